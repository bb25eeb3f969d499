package work

import (
	"fmt"
	"math"

	"dishwright/cam/path"
)

const (
	// TouchLand is the land in mm that a cutter needs to be touched off on.
	TouchLand = 8.0
	// HolderGap is the least room in mm between the holder and the blank's top
	// when the tip is at its lowest.
	HolderGap = 2.0
	// SteepestFace is the steepest slope of a face that is planned, as a sine
	// (30 degrees): beyond it this is a bowl, which needs other passes.
	SteepestFace = 0.5
)

// FirstNamed returns which of a shelf is the first of that name; -1 where none is.
func FirstNamed(shelf []path.Cutter, name string) int {
	for i, c := range shelf {
		if c.Name == name {
			return i
		}
	}
	return -1
}

// HeightProblems compares heights with the machine's.
func HeightProblems(w Piece) (ps Problems) {
	m, tall := w.Machine, 0.0
	for _, h := range w.Standing() {
		tall = max(tall, h.Height)
	}
	if need := w.Blank.Thickness + w.Clearance(); need > m.Travel.Z {
		ps.Add(KindRoom, KeyThickness, fmt.Sprintf("the cutter must rise %s above the bed to clear everything; %s travels %s in Z", MM(need), m.Name, MM(m.Travel.Z)), "a thinner blank or lower hold-downs")
	}
	if need := w.Blank.Thickness + max(tall, w.Skim.Off); m.UnderGantry > 0 && need > m.UnderGantry {
		ps.Add(KindRoom, KeyThickness, fmt.Sprintf("blank and hold-downs stand %s high; under the gantry of %s there are %s", MM(need), m.Name, MM(m.UnderGantry)), "a thinner blank or lower hold-downs")
	}
	return ps
}

// WidestNamed returns the diameter of the widest cutter that may cut the face.
func WidestNamed(w Piece) float64 {
	widest := 0.0
	for _, c := range w.Shelf {
		for _, n := range [...]string{w.Method.Rough, w.Method.Finish} {
			if n == Auto || n == c.Name {
				widest = max(widest, c.Diameter)
			}
		}
	}
	return widest
}

// Fits returns why cutter c cannot be used for the work on its machine.
func Fits(w *Work, c path.Cutter) (ps Problems) {
	f, m := w.Face, w.Machine
	if _, _, ok := Runs(m, c); !ok {
		ps = append(ps, CannotRun(w, c))
	}
	if c.Diameter >= 2*f.Rim || NewTool(f, c).RimReach() <= 0 {
		ps.Add(KindCutter, DiameterKey(c), fmt.Sprintf("%s, %s wide, is wider than the face of %s", c.Name, MM(c.Diameter), MM(2*f.Rim)), "a smaller cutter")
	}
	if c.FluteLength < c.DepthOfCut {
		ps.Add(KindCutter, fluteLengthKey(c), fmt.Sprintf("the flutes of %s are too short: %s for a depth of cut of %s", c.Name, MM(c.FluteLength), MM(c.DepthOfCut)), fmt.Sprintf("write depth of cut: %s, or less; or longer flutes", w.Write(RoundDown(c.FluteLength, w.Inches()))))
	}
	// What stands beside the cutter is never higher than the blank's top.
	if deep := f.Sagitta(); c.FluteLength < deep && (c.Shank > c.Diameter || f.Falls()) {
		ps.Add(KindCutter, fluteLengthKey(c), fmt.Sprintf("the flutes of %s are too short: %s, and its shank would rub on the wall %s deep", c.Name, MM(c.FluteLength), MM(deep)), "longer flutes, or a shank no wider than the cutter")
	}
	if !TakesShank(m.Collets, c.Shank) {
		ps.Add(KindCutter, shankKey(c), fmt.Sprintf("%s has no collet for the shank of %s, %s", m.Name, c.Name, MM(c.Shank)), "a cutter with a shank of "+w.shanks()+", which it takes, or the collet added to the machine's profile")
	}
	if need := f.Sagitta() + HolderGap; c.StickOut < need {
		ps.Add(KindCutter, stickOutKey(c), fmt.Sprintf("%s sticks out %s: the holder would come down on the blank (%s needed)", c.Name, MM(c.StickOut), MM(need)), fmt.Sprintf("write stick out: %s, or more, if its shank is so long", w.Write(math.Ceil(max(need, c.FluteLength)))))
	}
	if m.Hood != nil && m.Hood.AboveTip < f.Sagitta() {
		ps.Add(KindRoom, KeyMachine, fmt.Sprintf("the hood of %s hangs %s above the tip and would touch the blank: the face is %s deep", m.Name, MM(m.Hood.AboveTip), MM(f.Sagitta())), "raise the hood")
	}
	ps = append(ps, SquareProblems(w, c)...)
	if w.Allowance <= w.ZeroError {
		ps.Add(KindBite, KeyAllowance, fmt.Sprintf("an allowance of %s does not cover a zero that may be off by %s: roughing could gouge", MM(w.Allowance), MM(w.ZeroError)), fmt.Sprintf("write allowance: %s, well above the zero error", w.Write(roundLength(max(0.4, 2*w.ZeroError), w.Inches()))))
	}
	return ps
}

// TakesShank reports whether one of the collets takes the shank; 0.05 mm is less
// than any two nominal sizes differ (6 mm and 1/4 in: 0.35 mm).
func TakesShank(collets []float64, shank float64) bool {
	for _, c := range collets {
		if math.Abs(c-shank) < 0.05 {
			return true
		}
	}
	return false
}

// CannotRun is the problem of a cutter that the machine cannot run slowly enough.
func CannotRun(w *Work, c path.Cutter) Problem {
	s, _ := slowest(w.Machine)
	hint := "a smaller cutter that may run faster, or a slower spindle"
	if c.Speed < s && c.FastestSpeed >= s {
		hint = fmt.Sprintf("write speed: %.0f, which it may run at", math.Ceil(s))
	}
	return Problem{KindCutter, speedKey(c),
		fmt.Sprintf("the spindle of %s cannot run slowly enough for %s: %.0f rpm at the slowest, the cutter takes at most %.0f", w.Machine.Name, c.Name, s, min(c.Speed, c.FastestSpeed)),
		hint}
}

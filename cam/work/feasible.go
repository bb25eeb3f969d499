package work

import (
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/dish/measure"
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

// HeightProblems compares heights with the machine's.
func HeightProblems(w Piece) (ps Problems) {
	m, tall := w.Machine, 0.0
	for _, h := range w.Standing() {
		tall = max(tall, h.Height)
	}
	if need := w.Blank.Thickness + w.Clearance(); need > m.Travel.Z {
		ps.Add(KindRoom, KeyThickness, measure.Say("the cutter must rise %s above the bed to clear everything; %s travels %s in Z", measure.MM(need), m.Name, measure.MM(m.Travel.Z)), measure.Say("a thinner blank or lower hold-downs"))
	}
	if need := w.Blank.Thickness + max(tall, w.Skim.Off); m.UnderGantry > 0 && need > m.UnderGantry {
		ps.Add(KindRoom, KeyThickness, measure.Say("blank and hold-downs stand %s high; under the gantry of %s there are %s", measure.MM(need), m.Name, measure.MM(m.UnderGantry)), measure.Say("a thinner blank or lower hold-downs"))
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
		ps.Add(KindCutter, DiameterKey(c), measure.Say("%s, %s wide, is wider than the face of %s", c.Name, measure.MM(c.Diameter), measure.MM(2*f.Rim)), measure.Say("a smaller cutter"))
	}
	if c.FluteLength < c.DepthOfCut {
		ps.Add(KindCutter, fluteLengthKey(c), measure.Say("the flutes of %s are too short: %s for a depth of cut of %s", c.Name, measure.MM(c.FluteLength), measure.MM(c.DepthOfCut)), measure.Say("write depth of cut: %s, or less; or longer flutes", measure.Put(RoundDown(c.FluteLength, w.Inches()))))
	}
	// What stands beside the cutter is never higher than the blank's top.
	if deep := f.Sagitta(); c.FluteLength < deep && (c.Shank > c.Diameter || f.Falls()) {
		ps.Add(KindCutter, fluteLengthKey(c), measure.Say("the flutes of %s are too short: %s, and its shank would rub on the wall %s deep", c.Name, measure.MM(c.FluteLength), measure.MM(deep)), measure.Say("longer flutes, or a shank no wider than the cutter"))
	}
	if !TakesShank(m.Collets, c.Shank) {
		ps.Add(KindCutter, shankKey(c), measure.Say("%s has no collet for the shank of %s, %s", m.Name, c.Name, measure.MM(c.Shank)), measure.Say("a cutter with a shank of %s, which it takes, or the collet added to the machine's profile", w.shanks()))
	}
	if need := f.Sagitta() + HolderGap; c.StickOut < need {
		ps.Add(KindCutter, stickOutKey(c), measure.Say("%s sticks out %s: the holder would come down on the blank (%s needed)", c.Name, measure.MM(c.StickOut), measure.MM(need)), measure.Say("write stick out: %s, or more, if its shank is so long", measure.Put(math.Ceil(max(need, c.FluteLength)))))
	}
	if m.Hood != nil && m.Hood.AboveTip < f.Sagitta() {
		ps.Add(KindRoom, KeyMachine, measure.Say("the hood of %s hangs %s above the tip and would touch the blank: the face is %s deep", m.Name, measure.MM(m.Hood.AboveTip), measure.MM(f.Sagitta())), measure.Say("raise the hood"))
	}
	ps = append(ps, SquareProblems(w, c)...)
	if w.Allowance <= w.ZeroError {
		ps.Add(KindBite, KeyAllowance, measure.Say("an allowance of %s does not cover a zero that may be off by %s: roughing could gouge", measure.MM(w.Allowance), measure.MM(w.ZeroError)), measure.Say("write allowance: %s, well above the zero error", measure.Put(roundLength(max(0.4, 2*w.ZeroError), w.Inches()))))
	}
	return ps
}

// TakesShank reports whether one of the collets takes the shank; 0.05 mm is less
// than any two nominal sizes differ (6 mm and 1/4 in: 0.35 mm).
func TakesShank(collets []float64, shank float64) bool {
	return slices.ContainsFunc(collets, func(c float64) bool { return math.Abs(c-shank) < 0.05 })
}

// CannotRun is the problem of a cutter that the machine cannot run slowly enough.
func CannotRun(w *Work, c path.Cutter) Problem {
	s, _ := slowest(w.Machine)
	hint := measure.Say("a smaller cutter that may run faster, or a slower spindle")
	if c.Speed < s && c.FastestSpeed >= s {
		hint = measure.Say("write speed: %.0f, which it may run at", math.Ceil(s))
	}
	return Problem{Kind: KindCutter, Key: speedKey(c),
		Message: measure.Say("the spindle of %s cannot run slowly enough for %s: %.0f rpm at the slowest, the cutter takes at most %.0f", w.Machine.Name, c.Name, s, min(c.Speed, c.FastestSpeed)),
		Hint:    hint}
}

package cam

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cam/path"
	"dishwright/dish"
)

const (
	// touchLand is the land in mm that a cutter needs to be touched off on.
	touchLand = 8.0
	// holderGap is the least room in mm between the holder and the blank's top
	// when the tip is at its lowest.
	holderGap = 2.0
	// steepestFace is the steepest slope of a face that is planned, as a sine
	// (30 degrees): beyond it this is a bowl, which needs other passes.
	steepestFace = 0.5
)

// Feasible returns every reason known before planning why the piece cannot be cut, with
// the cutters that its method names or, where a name is empty or Auto, with any.
func Feasible(w Piece) Problems {
	var ps Problems
	rough, finish := w.Method.Rough, w.Method.Finish
	ps = append(ps, blankProblems(w)...)
	ps = append(ps, heightProblems(w)...)
	ps = append(ps, touchProblems(w)...)
	ps = append(ps, holdDownProblems(w)...)
	if _, ok := patternOf(w.Method.Pattern); !ok {
		ps.add(KindPattern, KeyPattern, fmt.Sprintf("there is no pattern %q", w.Method.Pattern), strings.Join(Patterns(), ", ")+", or auto")
	}
	if why := strange(w.Work, w.Method.Pattern); why != "" {
		ps.add(KindPattern, KeyPattern, why, strings.Join(PatternsFor(w.Work), ", ")+", or auto")
	}
	if w.Face.Rim > steepestFace*w.Face.Radius {
		ps.add(KindSize, KeyRadius, fmt.Sprintf("the face would slope %.0f degrees at its rim; up to 30 are planned", 180/math.Pi*dish.Slope(w.Face.Radius, w.Face.Rim)),
			fmt.Sprintf("a radius of at least %s for this diameter", mm(math.Ceil(w.Face.Rim/steepestFace))))
	}
	for i, c := range w.Shelf {
		named := c.Name == rough || c.Name == finish
		if named && (i == 0 || firstNamed(w.Shelf, c.Name) == i) {
			ps = append(ps, Fits(w.Work, c)...)
		}
	}
	for _, n := range [...]struct {
		key  Key
		name string
	}{{KeyRough, rough}, {KeyFinish, finish}} {
		if _, ok := w.Cutter(n.name); !ok && n.name != "" && n.name != Auto {
			ps.add(KindCutter, n.key, fmt.Sprintf("no cutter named %q is on the shelf", n.name), "a name from the shelf, or auto")
		}
	}
	if finish != "" && finish != Auto && rough == "" && len(ps) == 0 {
		if c, _ := w.Cutter(finish); !CanSkipRoughing(w.Work, c) {
			ps.add(KindBite, KeyRough, fmt.Sprintf("%s alone would bite %s, more than it may (%s less %s)", c.Name, mm(alone(w.Work, c)), mm(c.DepthOfCut), mm(biteMargin+w.ZeroError)), "rough first")
		}
	}
	return ps
}

func firstNamed(shelf []path.Cutter, name string) int {
	for i, c := range shelf {
		if c.Name == name {
			return i
		}
	}
	return -1
}

// blankProblems compares the blank with the face and with what the machine holds.
func blankProblems(w Piece) (ps Problems) {
	b := w.Blank
	ps = append(ps, w.ground().fit(w.Work)...)
	ps = append(ps, uprightProblems(w)...)
	ps = append(ps, reachProblems(w)...)
	left := b.Thickness - w.Face.Sagitta()
	if left < w.Floor {
		ps.add(KindThickness, KeyThickness, fmt.Sprintf("a face %s deep leaves %s of a %s blank: less than the floor of %s", mm(w.Face.Sagitta()), mm(max(0, left)), mm(b.Thickness), mm(w.Floor)),
			fmt.Sprintf("a blank of at least %s, a smaller diameter, a larger radius, or a thinner floor", mm(math.Ceil((w.Face.Sagitta()+w.Floor)*10)/10)))
	}
	return ps
}

// heightProblems compares heights with the machine's.
func heightProblems(w Piece) (ps Problems) {
	m, tall := w.Machine, 0.0
	for _, h := range w.Standing() {
		tall = max(tall, h.Height)
	}
	if need := w.Blank.Thickness + w.Clearance(); need > m.Travel.Z {
		ps.add(KindRoom, KeyThickness, fmt.Sprintf("the cutter must rise %s above the bed to clear everything; %s travels %s in Z", mm(need), m.Name, mm(m.Travel.Z)), "a thinner blank or lower hold-downs")
	}
	if need := w.Blank.Thickness + max(tall, w.Skim.Off); m.UnderGantry > 0 && need > m.UnderGantry {
		ps.add(KindRoom, KeyThickness, fmt.Sprintf("blank and hold-downs stand %s high; under the gantry of %s there are %s", mm(need), m.Name, mm(m.UnderGantry)), "a thinner blank or lower hold-downs")
	}
	return ps
}

// touchProblems looks for land to touch off on.
func touchProblems(w Piece) (ps Problems) {
	if w.ZeroAtBed || !w.reachesFace() { // or it is cut in several setups
		return nil
	}
	if _, _, ok := TouchPlace(w); !ok {
		ps.add(KindLand, KeyZero, fmt.Sprintf("outside the face no land %s wide is free to touch off the blank's top on, where the tip can go", mm(touchLand)), "zero: centre-bed, or a larger blank")
	}
	return ps
}

// widestNamed returns the diameter of the widest cutter that may cut the face.
func widestNamed(w Piece) float64 {
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
	if _, _, ok := runs(m, c); !ok {
		ps = append(ps, cannotRun(w, c))
	}
	if c.Diameter >= 2*f.Rim || newTool(f, c).rimReach() <= 0 {
		ps.add(KindCutter, diameterKey(c), fmt.Sprintf("%s, %s wide, is wider than the face of %s", c.Name, mm(c.Diameter), mm(2*f.Rim)), "a smaller cutter")
	}
	if c.FluteLength < c.DepthOfCut {
		ps.add(KindCutter, fluteLengthKey(c), fmt.Sprintf("the flutes of %s are too short: %s for a depth of cut of %s", c.Name, mm(c.FluteLength), mm(c.DepthOfCut)), fmt.Sprintf("write depth of cut: %s, or less; or longer flutes", w.write(roundDown(c.FluteLength, w.inches()))))
	}
	// What stands beside the cutter is never higher than the blank's top.
	if deep := f.Sagitta(); c.FluteLength < deep && (c.Shank > c.Diameter || f.Falls()) {
		ps.add(KindCutter, fluteLengthKey(c), fmt.Sprintf("the flutes of %s are too short: %s, and its shank would rub on the wall %s deep", c.Name, mm(c.FluteLength), mm(deep)), "longer flutes, or a shank no wider than the cutter")
	}
	if !collet(m.Collets, c.Shank) {
		ps.add(KindCutter, shankKey(c), fmt.Sprintf("%s has no collet for the shank of %s, %s", m.Name, c.Name, mm(c.Shank)), "a cutter with a shank of "+w.shanks()+", which it takes, or the collet added to the machine's profile")
	}
	if need := f.Sagitta() + holderGap; c.StickOut < need {
		ps.add(KindCutter, stickOutKey(c), fmt.Sprintf("%s sticks out %s: the holder would come down on the blank (%s needed)", c.Name, mm(c.StickOut), mm(need)), fmt.Sprintf("write stick out: %s, or more, if its shank is so long", w.write(math.Ceil(max(need, c.FluteLength)))))
	}
	if m.Hood != nil && m.Hood.AboveTip < f.Sagitta() {
		ps.add(KindRoom, KeyMachine, fmt.Sprintf("the hood of %s hangs %s above the tip and would touch the blank: the face is %s deep", m.Name, mm(m.Hood.AboveTip), mm(f.Sagitta())), "raise the hood")
	}
	ps = append(ps, squareProblems(w, c)...)
	if w.Allowance <= w.ZeroError {
		ps.add(KindBite, KeyAllowance, fmt.Sprintf("an allowance of %s does not cover a zero that may be off by %s: roughing could gouge", mm(w.Allowance), mm(w.ZeroError)), fmt.Sprintf("write allowance: %s, well above the zero error", w.write(roundLength(max(0.4, 2*w.ZeroError), w.inches()))))
	}
	return ps
}

// collet reports whether one of the collets takes the shank; 0.05 mm is less
// than any two nominal sizes differ (6 mm and 1/4 in: 0.35 mm).
func collet(collets []float64, shank float64) bool {
	for _, c := range collets {
		if math.Abs(c-shank) < 0.05 {
			return true
		}
	}
	return false
}

func cannotRun(w *Work, c path.Cutter) Problem {
	s, _ := slowest(w.Machine)
	hint := "a smaller cutter that may run faster, or a slower spindle"
	if c.Speed < s && c.FastestSpeed >= s {
		hint = fmt.Sprintf("write speed: %.0f, which it may run at", math.Ceil(s))
	}
	return Problem{KindCutter, speedKey(c),
		fmt.Sprintf("the spindle of %s cannot run slowly enough for %s: %.0f rpm at the slowest, the cutter takes at most %.0f", w.Machine.Name, c.Name, s, min(c.Speed, c.FastestSpeed)),
		hint}
}

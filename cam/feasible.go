package cam

import (
	"math"
	"slices"
	"strings"

	"dishwright/cam/pass"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// Feasible returns every reason known before planning why the piece cannot be cut, with
// the cutters that its method names or, where a name is empty or Auto, with any.
func Feasible(w work.Piece) work.Problems {
	var ps work.Problems
	rough, finish := w.Method.Rough, w.Method.Finish
	ps = append(ps, blankProblems(w)...)
	ps = append(ps, work.HeightProblems(w)...)
	ps = append(ps, touchProblems(w)...)
	ps = append(ps, holdDownProblems(w)...)
	if why := pass.Strange(w.Work, w.Method.Pattern); why != "" {
		ps.Add(work.KindPattern, work.KeyPattern, measure.Say("%s", why), measure.Say("%s, or auto", strings.Join(pass.PatternsFor(w.Work), ", ")))
	}
	if w.Face.Rim > work.SteepestFace*w.Face.Radius {
		ps.Add(work.KindSize, work.KeyRadius, measure.Say("the face would slope %.0f degrees at its rim; up to 30 are planned", float64(180/math.Pi*dish.Slope(w.Face.Radius, w.Face.Rim))),
			measure.Say("a radius of at least %s for this diameter", measure.Enough(w.Face.Rim/work.SteepestFace, 0)))
	}
	for _, c := range w.Shelf {
		if c.Name == rough || c.Name == finish {
			ps = append(ps, work.Fits(w.Work, c)...)
		}
	}
	if finish != "" && finish != work.Auto && rough == "" && len(ps) == 0 {
		if c, _ := w.Cutter(finish); !pass.CanSkipRoughing(w.Work, c) {
			ps.Add(work.KindBite, work.KeyRough, measure.Say("%s alone would bite %s, more than it may (%s less %s)", c.Name, measure.MM(pass.Alone(w.Work, c)), measure.MM(c.DepthOfCut), measure.MM(work.BiteMargin+w.ZeroError)), measure.Say("rough first"))
		}
	}
	return ps
}

// blankProblems compares the blank with the face and with what the machine holds.
func blankProblems(w work.Piece) (ps work.Problems) {
	b := w.Blank
	ps = append(ps, pass.GroundOf(w.Work).Fit(w.Work)...)
	ps = append(ps, work.UprightProblems(w)...)
	ps = append(ps, work.ReachProblems(w)...)
	left := b.Thickness - w.Face.Sagitta()
	if left < w.Floor {
		thick := w.Face.Sagitta() + w.Floor
		would := []work.Instead{{Key: work.KeyThickness, MM: math.Ceil(thick*10) / 10, Said: measure.Say("a blank of at least %s", measure.Enough(thick, 1))}}
		if left >= w.Floor/2 { // less would not be what was asked for
			would = slices.Insert(would, 0, work.Instead{Key: work.KeyFloor, MM: left, Said: measure.Say("a floor of at most %s", measure.Most(left, 1))})
		}
		ps = append(ps, work.Problem{Kind: work.KindThickness, Key: work.KeyThickness,
			Message: measure.Say("a face %s deep leaves %s of a %s blank: less than the floor of %s", measure.MM(w.Face.Sagitta()), measure.MM(max(0, left)), measure.MM(b.Thickness), measure.MM(w.Floor)),
			Instead: would, Hint: measure.Say("a smaller diameter, or a larger radius")})
	}
	return ps
}

// touchProblems looks for land to touch off on.
func touchProblems(w work.Piece) (ps work.Problems) {
	if w.ZeroAtBed || !w.ReachesFace() { // or it is cut in several setups
		return nil
	}
	if _, _, ok := TouchPlace(w); !ok {
		ps.Add(work.KindLand, work.KeyZero, measure.Say("outside the face no land %s wide is free to touch off the blank's top on, where the tip can go", measure.MM(work.TouchLand)), measure.Say("zero: centre-bed, or a larger blank"))
	}
	return ps
}

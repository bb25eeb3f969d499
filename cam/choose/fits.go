package choose

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strings"

	"dishwright/cam"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// Fit is a change after which a work fits its machine in which it did not before.
type Fit struct {
	Hint measure.Said // as a job says it
	Work work.Work
}

// Hinted returns why a work cannot be planned in one setup with hints that say what would
// fit, where the machine's travel is why. A crown that is cut with its dish is its pair: it
// needs more travel than that, and one job states the diameter and the cutters of both.
func Hinted(w *work.Work, err error, pair *work.Work) error {
	if w.Setups.Count != 0 || !w.Round() || !travels(err) {
		return err
	}
	fits := Fits
	if pair != nil {
		w = pair
		fits = func(w *work.Work) (list []Fit) {
			if f, ok := smaller(w, nil); ok {
				list = append(list, f)
			}
			return list
		}
	}
	var ps, out work.Problems
	errors.As(err, &ps)
	told := false
	for _, p := range ps { // every cutter of the shelf may have its own
		if p.Kind == work.KindTravel {
			if told {
				continue
			}
			told = true
			for i, f := range fits(w) {
				if i == 0 {
					p.Hint = f.Hint
				} else {
					p.Hint = measure.Say("%v; or %v", p.Hint, f.Hint)
				}
			}
		}
		out = append(out, p)
	}
	return out
}

// Fits returns what would fit a machine whose travel is too short for a round face in one
// setup, each change by itself, and each tried: cutters and a pattern of which the job names
// others, the largest diameter, several setups, a cutter of another diameter. All of them
// together take no more than a plan may.
func Fits(w *work.Work) (list []Fit) {
	left := &effort{looks: mostTried}
	for _, try := range [...]func(*work.Work, *effort) (Fit, bool){otherWay, smaller, divided, otherCutter} {
		if f, ok := try(w, left); ok {
			list = append(list, f)
		}
	}
	return list
}

// mostFitting is how many cutters are tried for a hint.
const mostFitting = 6

// reaching returns the cutters with which a work may be finished, those first whose axis
// runs least far: over a hollow the widest level ends, over a crown the narrowest.
func reaching(w *work.Work) (list []path.Cutter) {
	for _, c := range w.Shelf {
		if (w.Finish == work.Auto || w.Finish == c.Name) && len(work.Fits(w, c)) == 0 {
			list = append(list, c)
		}
	}
	slices.SortStableFunc(list, func(a, b path.Cutter) int {
		if w.Face.Falls() {
			return cmp.Compare(a.Diameter, b.Diameter)
		}
		return cmp.Compare(b.Body().Flat, a.Body().Flat)
	})
	return list[:min(len(list), mostFitting)]
}

// fitting returns cutters with which a work can be planned in its pattern, or in a raster.
func fitting(w *work.Work) (rough, finish string, ok bool) {
	p := work.Whole(w)
	if len(cam.Feasible(p)) > 0 {
		return "", "", false
	}
	for _, c := range reaching(w) {
		if rough = w.Rough; rough == work.Auto {
			rough = c.Name
		}
		p.Method.Rough, p.Method.Finish = rough, c.Name
		if _, err := cam.Make(p); err == nil {
			return rough, c.Name, true
		}
	}
	return "", "", false
}

// otherWay is the fit by cutters of the shelf and a pattern of which the job names others: by
// the first pattern that will do.
func otherWay(w *work.Work, left *effort) (Fit, bool) {
	for _, pattern := range pass.PatternsFor(w) {
		v := *w
		v.Rough, v.Finish, v.Pattern = work.Auto, work.Auto, pattern
		rough, finish, ok := fitting(&v)
		if !ok {
			continue
		}
		v.Rough, v.Finish = rough, finish
		if _, err := inOne(work.Whole(&v), left); err != nil {
			continue
		}
		var said []string
		for _, k := range [...][3]string{{"rough", w.Rough, v.Rough}, {"finish", w.Finish, v.Finish}, {"pattern", w.Pattern, v.Pattern}} {
			if k[1] != k[2] && k[1] != work.Auto {
				said = append(said, k[0]+": "+k[2])
			}
		}
		return Fit{measure.Say("%s", strings.Join(said, ", ")), v}, len(said) > 0
	}
	return Fit{}, false
}

// smaller is the fit by the largest diameter, in whole millimetres.
func smaller(w *work.Work, _ *effort) (Fit, bool) {
	least := math.Inf(1)
	for _, c := range reaching(w) {
		if by, err := cam.Beyond(work.Whole(w), c); err == nil {
			least = min(least, by)
		}
	}
	if math.IsInf(least, 1) {
		return Fit{}, false
	}
	// Roughing may run a little further than finishing.
	const tries = 6
	for d, k := math.Floor(2*w.Face.Rim-max(0, least)), 0; d > w.Face.Rim && k < tries; d, k = d-1, k+1 {
		v := *w
		f, err := w.Face.WithRim(d / 2)
		if err != nil {
			return Fit{}, false
		}
		v.CutAll(f)
		if _, _, ok := fitting(&v); ok {
			return Fit{measure.Say("a diameter of at most %v", measure.Most(d, 0)), v}, true
		}
	}
	return Fit{}, false
}

// indexErrors are what a builder may state, the usual ones first: aside mm, turned radians.
var indexErrors = [...]work.IndexError{{Shift: 0.1, Turn: 0.05 * math.Pi / 180}, {Shift: 0.05, Turn: 0.02 * math.Pi / 180}}

// usualHeight is how well a blank lies at its height again that is seated and touched off with
// care, mm.
const usualHeight = 0.05

// divided is the fit by several setups, as few as will do, with an index error that leaves the
// passes enough of the scallop.
func divided(w *work.Work, left *effort) (Fit, bool) {
	if on := w.TouchOff.On; on == work.TouchCorner || on == work.TouchEdges || w.Top != nil {
		return Fit{}, false
	}
	beside := w.Extras // a centre hole is all that may be made beside such a face
	if hole, _ := w.CentreHole(); hole {
		beside.Holes = beside.Holes[1:]
	}
	if !beside.Empty() {
		return Fit{}, false
	}
	v := *w
	v.Setups.Count, v.Setups.Unstated = work.AutoSetups, false
	if v.Setups.By == "" {
		v.Setups.By, _ = v.IndexBy()
	}
	for _, e := range indexErrors {
		v.Setups.Error = e
		height, _ := AllowedIndexErrors(&v)
		if v.Setups.Error.Height = min(usualHeight, math.Floor(height*100)/100); v.Setups.Error.Height < 0.01 {
			continue
		}
		n := planned(&v, left)
		if n == 0 {
			return Fit{}, false
		}
		if w.Setups.Count == 0 {
			v.Setups.Count = n
		}
		return Fit{measure.Say("setups: %d with index error: %s", n, indexText(v.Setups.Error)), v}, true
	}
	return Fit{}, false
}

// planned returns in how few setups a work can be planned with one cutter and, where none is
// named, in a raster; 0 where it was not found to be.
func planned(w *work.Work, left *effort) int {
	list := reaching(w)
	if len(list) == 0 {
		return 0
	}
	v := turnable(*w)
	p := work.Whole(&v)
	if p.Method.Finish = list[0].Name; p.Method.Rough == work.Auto {
		p.Method.Rough = p.Method.Finish
	}
	if p.Method.Pattern == work.Auto {
		p.Method.Pattern = pass.PatternsFor(w)[0]
	}
	for _, l := range work.Layouts(p) {
		if !reaches(p, l) {
			continue
		}
		if _, err := tiles(p, l, left); err == nil {
			return l.Count()
		}
	}
	return 0
}

// indexText writes an index error as a job does.
func indexText(e work.IndexError) measure.Said {
	return measure.Say("%v, %.2g deg, height %v", measure.Most(e.Shift, 3), e.Turn*180/math.Pi, measure.Most(e.Height, 3))
}

// mostWider is how much wider than one of the shelf a cutter may be that is suggested: what
// it may turn at and whether the spindle drives it is for the builder to say.
const mostWider = 1.5

// otherCutter is the fit by a cutter of another diameter, in whole millimetres: over a hollow
// a wider level end, whose axis stays further in, over a crown a narrower cutter.
func otherCutter(w *work.Work, _ *effort) (Fit, bool) {
	list := reaching(w)
	if len(list) == 0 {
		return Fit{}, false
	}
	c := list[0]
	by, err := cam.Beyond(work.Whole(w), c)
	for _, name := range [...]string{w.Rough, w.Finish} {
		if name != "" && name != work.Auto && name != c.Name {
			return Fit{}, false
		}
	}
	crown := w.Face.Falls()
	if err != nil || !crown && c.Body().Flat <= 0 {
		return Fit{}, false
	}
	const tries = 4
	for k := range tries {
		d, which, bound := math.Ceil(c.Diameter+by)+float64(k), "at least", measure.Enough
		if crown {
			d, which, bound = math.Floor(c.Diameter-by)-float64(k), "at most", measure.Most
		}
		if d > c.Diameter*mostWider || d < 1 {
			break
		}
		wide := c
		wide.Diameter, wide.Corner, wide.Core = d, min(c.Corner, d/2), float64(c.Core*d/c.Diameter)
		v := *w
		v.Shelf = slices.Clone(w.Shelf)
		v.Shelf[slices.Index(v.Shelf, c)] = wide
		if _, _, ok := fitting(&v); ok {
			return Fit{measure.Say("a %s of %s %v in place of %s", c.Shape, which, bound(d, 0), c.Name), v}, true
		}
	}
	return Fit{}, false
}

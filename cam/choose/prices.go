package choose

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dishwright/cam"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
)

// Price is a change of a job, and how long all of its programs then take, changes of cutter
// included.
type Price struct {
	Change  string // as a job says it
	Work    work.Work
	Seconds float64
}

// Prices returns what a face whose slope is more than its finishing cutter's ramp would take
// otherwise: with a ramp that is enough, with another cutter of the shelf, in another pattern;
// in this order, each planned, and those left out that cannot be, as far as that can be found
// out with a fifth of what the plan might take.
func Prices(w *work.Work, chosen Choice) []Price {
	p, among := chosen.Plan, chosen.Among
	c, ok := w.Cutter(p.Finish)
	if !ok || w.Setups.Count != 0 || !work.MustClimb(w.Face, c) {
		return nil
	}
	if w.Finish != work.Auto || w.Pattern != work.Auto {
		v := *w
		v.Finish, v.Pattern = work.Auto, work.Auto
		all := work.Whole(&v)
		found := finishings(all)
		among = list(all, found, newRoughTimes(all, found))
	}
	var tries []Price
	if deg, v, ok := ramped(w, c); ok {
		tries = append(tries, Price{Change: fmt.Sprintf("ramp: %.1f deg, if %s is made to go down so steeply", deg, c.Name), Work: v})
	}
	named := func(change string, other func(Candidate) bool) {
		rest := slices.DeleteFunc(slices.Clone(among), func(a Candidate) bool { return !other(a) })
		if best := quickest(rest, nil); best != nil {
			v := *w
			v.Finish, v.Pattern = best.Finish, best.Pattern
			tries = append(tries, Price{Change: change + map[bool]string{true: best.Finish, false: best.Pattern}[change == "finish: "], Work: v})
		}
	}
	named("finish: ", func(a Candidate) bool { return a.Finish != p.Finish })
	named("pattern: ", func(a Candidate) bool { return a.Finish == p.Finish && a.Pattern != p.Pattern })
	left := &effort{looks: mostTried / 5, known: chosen.Known}
	for i := range tries { // one after another, for each has all processors, and what is known grows
		if c, err := inOne(work.Whole(&tries[i].Work), left); err == nil {
			tries[i].Seconds = Seconds(c.Plan)
		}
	}
	return slices.DeleteFunc(tries, func(t Price) bool { return t.Seconds == 0 })
}

// mostRamp is the steepest way down, degrees, that is suggested for a cutter with a blunt
// middle: beyond it that drags (common practice).
const mostRamp = 10

// ramped returns the work with a ramp, in tenths of a degree, that the slope of its face does
// not exceed.
func ramped(w *work.Work, c path.Cutter) (degrees float64, v work.Work, ok bool) {
	slope := dish.Slope(w.Face.Radius, w.Face.Rim) * 180 / math.Pi
	for degrees = math.Ceil(slope*10) / 10; degrees <= mostRamp; degrees += 0.1 {
		steeper := c
		steeper.Ramp = degrees * math.Pi / 180
		if !work.MustClimb(w.Face, steeper) {
			v = *w
			v.Shelf = slices.Clone(w.Shelf)
			v.Shelf[slices.Index(v.Shelf, c)] = steeper
			return degrees, v, true
		}
	}
	return 0, v, false
}

// PriceHint says what else may be done, and how long that takes; empty where nothing else was
// found.
func PriceHint(p cam.Plan, prices []Price) string {
	var list []string
	for _, one := range prices {
		list = append(list, fmt.Sprintf("%s: %.0f min", one.Change, one.Seconds/60))
	}
	if len(list) == 0 {
		return ""
	}
	return fmt.Sprintf("in place of these %.0f min: %s", Seconds(p)/60, strings.Join(list, "; "))
}

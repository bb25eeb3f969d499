package sides

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/rim"
)

// readings sees that the places of measured widths are there, and that each is one of a side that
// is to have its width.
func (b *builder) readings(body rim.Body, start rim.UnsandedRim) {
	places := body.NamedStations()
	for _, m := range b.job.Measured {
		i := slices.IndexFunc(places, func(s rim.Station) bool { return s.Name == m.Place })
		if i < 0 {
			var names []string
			for _, s := range places {
				names = append(names, s.Name)
			}
			b.fault("measured/"+m.Place, "it has "+strings.Join(names, ", "), "this outline has no %s", m.Place)
			continue
		}
		if wanted := places[i].Width + backLeft(b.job.SawTo, start, places[i]); !likely(m.Width, wanted) {
			hint := fmt.Sprintf("the width of the side at its outside, from edge to edge: it is to have %s there", measure.To(wanted, 1).In(b.job.Ruler))
			switch slip(m.Width, wanted) {
			case inInches:
				hint = "it would fit in inches; " + hint
			case inMM:
				hint = "it would fit in millimetres; " + hint
			case inCM:
				hint = "is it in centimetres, or is its point misplaced? " + hint
			}
			b.fault("measured/"+m.Place, hint, "a width of %v at the %s", mm(m.Width), m.Place)
		}
	}
}

// backLeft is what a station's back still has while the top is sanded, mm: what comes off it, of
// which more than sawTo is sawn off before where that is not 0.
func backLeft(sawTo float64, start rim.UnsandedRim, s rim.Station) float64 {
	_, back := start.Excess(s)
	if sawTo > 0 {
		back = min(back, sawTo)
	}
	return back
}

// likely reports whether a side that is to have the wanted width may be so wide now, mm.
func likely(width, wanted float64) bool {
	share := width / wanted
	return width > 0 && width < mostHeight && share >= leastShare && share <= mostShare
}

// The slips that make a width unlikely; none is known of another.
type unitSlip int

const (
	noSlip   unitSlip = iota
	inInches          // it would fit if it were in inches
	inMM              // or in millimetres
	inCM              // or with its point one place to the left or the right
)

// slip says which slip a width may be that is to have the wanted one, mm.
func slip(width, wanted float64) unitSlip {
	near := func(factor float64) bool {
		share := float64(width*factor) / wanted
		return share > 0.75 && share < 1.5
	}
	switch {
	case near(measure.Inch.MM()):
		return inInches
	case near(1 / measure.Inch.MM()):
		return inMM
	case near(10) || near(0.1):
		return inCM
	}
	return noSlip
}

// attitude fills in what the measured widths say.
func (w *maker) attitude() {
	w.out.Tilt = Tilt{AngleDeg: 0.1, ApexShift: rim.ApexShift(w.body.Top.Radius, math.Pi/1800), EndsMM: w.body.Outline.Length() / 2 * math.Tan(math.Pi/1800)}
	if len(w.job.Measured) == 0 {
		return
	}
	var list []rim.MeasuredWidth
	out := &Attitude{}
	for _, m := range w.job.Measured {
		i := slices.IndexFunc(w.places, func(s rim.Station) bool { return s.Name == m.Place })
		wanted := w.places[i]
		_, left := w.ready.Excess(wanted)
		wanted.Width += left // as long as the back is not sanded
		list = append(list, rim.MeasuredWidth{Station: wanted, Width: m.Width})
		out.Left = append(out.Left, LeftOver{Name: m.Place, Has: m.Width, Wanted: wanted.Width, Finished: w.places[i].Width})
	}
	a := w.body.Attitude(list)
	for i := range out.Left {
		out.Left[i].TooMMM = a.Excess[i]
	}
	hint := "hold the other places higher, or take the depths as they are now"
	if out.Down() {
		hint = "take the depths as they are now"
		if out.beside() != "" {
			hint += ", or sand as much less off the back, all round"
		}
	}
	for _, l := range out.Left {
		if l.TooMMM < -evenly {
			w.warn("too-low", hint, "the side is %s too narrow at the %s already", mm(-l.TooMMM), l.Name)
		}
	}
	out.MeanMM, out.PitchDeg, out.RollDeg, out.ApexX, out.ApexY = a.Mean, degrees(a.Pitch), degrees(a.Roll), a.Apex.X, a.Apex.Y
	if out.Press = even; !out.Down() {
		out.Press, out.PressMM = press(a, w.body.Outline)
	}
	w.out.Attitude = out
}

// Down reports whether nothing is left to come off at any place that was measured.
func (a *Attitude) Down() bool {
	return !slices.ContainsFunc(a.Left, func(l LeftOver) bool { return l.TooMMM > evenly })
}

// OnBack is what of the width that is wanted now is still on the back's edge, mm.
func (l LeftOver) OnBack() float64 { return l.Wanted - l.Finished }

// Back says what of the width that is wanted now is still on the back; nothing where that is nothing.
func (l LeftOver) Back(u measure.Ruler) string {
	if l.OnBack() < hardly {
		return ""
	}
	return fmt.Sprintf(", of which %s are still on the back", u.Length(l.OnBack(), 2))
}

// Much says how much a place has too much, or too little.
func (l LeftOver) Much(u measure.Ruler) string {
	if l.TooMMM < 0 {
		return u.Length(-l.TooMMM, 2) + " too little"
	}
	return u.Length(l.TooMMM, 2) + " too much"
}

// beside says that what is on the back is not counted; nothing where that is nothing.
func (a *Attitude) beside() string {
	if !slices.ContainsFunc(a.Left, func(l LeftOver) bool { return l.OnBack() >= hardly }) {
		return ""
	}
	return ", beside what is still on the back"
}

// evenly is how little two ends may differ to be sanded alike, mm: what a rule with
// a vernier tells.
const evenly = 0.05

// press says which end has more to come off, and by how much from end to end.
func press(a rim.Attitude, o *rim.Outline) (string, float64) {
	along := math.Tan(a.Pitch) * o.Length()
	across := 2 * math.Tan(a.Roll) * math.Abs(o.At(o.Head()/2).At.Y)
	switch {
	case math.Abs(along) < evenly && math.Abs(across) < evenly:
		return even, 0
	case math.Abs(along) >= math.Abs(across) && along > 0:
		return "head", along
	case math.Abs(along) >= math.Abs(across):
		return "tail", -along
	case across > 0:
		return "left", across
	}
	return "right", -across
}

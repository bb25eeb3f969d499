package readings

import (
	"math"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// Seat is what the face that was read is used for, as a job tells it: a rim that is sanded in
// it, or is the face itself, and meets a plate.
type Seat struct {
	Job, Form string  // the file, and the word of its form
	Plate     float64 // radius of the plate that the rim meets, mm
	Over      float64 // what the face that was read has over that of its covering, mm
	Bare      bool    // was the wood read, before it was covered?
	Covering  float64 // mm; 0 for none
	Uneven    float64 // by how much it differs where it was measured, mm
	Places    []Place // of the rim
	Limit     float64 // the gap that may stay there, mm
	Taken     bool    // was no limit named?
}

// Place is one of a rim.
type Place struct {
	Name     string
	FromApex float64 // mm
}

// UsualLimit is the gap under a plate that most glues fill and light clamping closes, mm
// (common practice, about): it is taken where the builder names none.
const UsualLimit = 0.1

// The answers that a face gets.
const (
	Usable  = "may be used"
	Useless = "may not be used"
	Untold  = "not told"
)

// Against is whether a face may be used for a job.
type Against struct {
	Job      string       `json:"job"`
	Form     string       `json:"form"`
	Use      string       `json:"use"` // may be used, may not be used, or not told
	Verdict  measure.Said `json:"verdict"`
	PlateMM  float64      `json:"plate_radius_mm"`
	LimitMM  float64      `json:"limit_mm"`
	Taken    bool         `json:"limit_taken"`
	Bare     bool         `json:"wood_read"`
	Covering float64      `json:"covering_mm"`
	Uneven   float64      `json:"covering_unevenness_mm"`
	Places   []Gap        `json:"places"`

	opens measure.Said
}

// Gap is how far a plate stands off a rim at a place while both meet at the apex, mm: above
// zero where the rim falls more than its plate.
type Gap struct {
	Name     string  `json:"at"`
	FromApex float64 `json:"from_apex_mm"`
	Gap      float64 `json:"gap_mm"`
	Low      float64 `json:"gap_low_mm"` // at the ends of the interval, and of a face that is surely not round where it is curved least and most
	High     float64 `json:"gap_high_mm"`
	Least    float64 `json:"gap_at_least_mm"` // what is surely there, whichever way
}

// Hold says whether the face may be used.
func (r *Report) Hold(seat Seat) {
	a := &Against{Job: seat.Job, Form: seat.Form, PlateMM: seat.Plate, LimitMM: seat.Limit, Taken: seat.Taken, Bare: seat.Bare, Covering: seat.Covering, Uneven: seat.Uneven, Places: []Gap{}}
	least, surest := 0.0, Gap{}
	worst := Gap{}
	for _, p := range seat.Places {
		g := r.gap(p, seat)
		a.Places = append(a.Places, g)
		if far := max(math.Abs(g.Low), math.Abs(g.High)); worst.Name == "" || far > max(math.Abs(worst.Low), math.Abs(worst.High)) {
			worst = g
		}
		if surest.Name == "" || g.Least > least {
			surest, least = g, g.Least
		}
	}
	r.Against = a
	most := max(math.Abs(worst.Low), math.Abs(worst.High))
	stay := measure.Say("%v may stay", measure.MM(seat.Limit))
	if seat.Taken {
		stay = measure.Say("%v may stay (common practice, taken: --limit names your own)", measure.MM(seat.Limit))
	}
	what := r.subject(seat)
	switch {
	case most <= seat.Limit:
		a.Use = Usable
		a.Verdict = measure.Say("%s may be used: rim and plate see at most %v of its error %s, and %v", what, measure.Micro(most), worst.where(), stay)
	case least > seat.Limit:
		a.Use = Useless
		a.Verdict = measure.Say("%s may not be used: rim and plate see at least %v of its error %s, and %v", what, measure.Micro(least), surest.where(), stay)
	default:
		a.Use = Untold
		a.Verdict = measure.Say("the readings do not tell whether %s may be used: rim and plate see %v to %v of its error %s, and %v; %v", what, measure.Micro(worst.Least), measure.Micro(most), worst.where(), stay, r.moreTold())
	}
	switch {
	case worst.Low > 0:
		a.opens = measure.Say("it is too curved: plate and rim meet where the rim is nearest its apex, and part at its widest")
	case worst.High < 0:
		a.opens = measure.Say("it is too flat: plate and rim meet where the rim is widest, and part where it is nearest its apex")
	}
}

// subject is what was read, as the verdict calls it.
func (r *Report) subject(seat Seat) string {
	switch {
	case seat.Form == "rim" && r.Face == kind(false):
		return "the rim"
	case seat.Form == "rim":
		return "the dish"
	case seat.Covering > 0:
		return "the covered " + seat.Form
	}
	return "the " + seat.Form
}

func (g Gap) where() string { return strings.TrimSpace("at the " + g.Name) }

// moreTold says what to measure so that the readings tell it.
func (r *Report) moreTold() measure.Said {
	if len(r.More) == 0 {
		return measure.Say("read again, more often or wider apart")
	}
	out := measure.Say("measure again")
	for i, m := range r.More {
		out = measure.Say("%v%s %d at %v", out, [2]string{"", ","}[min(i, 1)], m.Count, measure.At(m.X, m.Y))
	}
	return measure.Say("%v, which halves that", out)
}

// gap works out what stays at a place: the difference of the two spheres' falls, exactly.
func (r *Report) gap(p Place, seat Seat) Gap {
	plate := dish.Drop(seat.Plate, p.FromApex)
	at := func(curvature float64) float64 { // of the face that was read
		if !(curvature > 0) {
			return -plate
		}
		R := 1/curvature - seat.Over
		if !(R > p.FromApex) { // steeper than upright there
			R = p.FromApex
		}
		return dish.Drop(R, p.FromApex) - plate
	}
	k, half := 1/r.RadiusMM, r.half
	g := Gap{Name: p.Name, FromApex: p.FromApex, Gap: at(k)}
	sharpest := [2]float64{at(k - half), at(k + half)}
	flattest := sharpest
	if o := r.Roundness; o != nil && o.Sure {
		sharp, flat := 1/o.LeastMM, 0.0
		if o.MostMM != nil {
			flat = 1 / *o.MostMM
		}
		half = r.halfAxes
		sharpest = [2]float64{at(sharp - half), at(sharp + half)}
		flattest = [2]float64{at(flat - half), at(flat + half)}
	}
	g.Low, g.High = flattest[0], sharpest[1]
	for _, way := range [...][2]float64{flattest, sharpest} {
		g.Least = max(g.Least, way[0], -way[1]) // nothing where zero lies between
	}
	return g
}

// Facts are what the verdict rests on.
func (a *Against) Facts(u measure.Ruler) (list document.Facts) {
	add := func(label string, text measure.Said) {
		list = append(list, document.Fact{Label: label, Text: text.In(u)})
	}
	for _, g := range a.Places {
		add(g.Name, measure.Say("%v, %v from the apex (95 of 100: %v to %v)", measure.Micro(g.Gap), measure.To(g.FromApex, 1), measure.Micro(g.Low), measure.Micro(g.High)))
	}
	add("the plate", measure.Say("of radius %v: so far it stands off the rim, both held together at the apex; below 0 the rim stands higher", radius(a.PlateMM)))
	if !a.opens.Empty() {
		add("which way", a.opens)
	}
	if a.Use != Usable {
		add("braced in it", measure.Say("a plate braced in what sanded the rim has the same error and meets it; its arch alone is another"))
	}
	switch {
	case a.Covering > 0 && a.Bare:
		add("covering", measure.Say("%v, reckoned on top of the wood that was read", measure.MM(a.Covering)))
	case a.Covering > 0:
		add("covering", measure.Say("%v; it was read covered, else say --wood", measure.MM(a.Covering)))
	}
	if a.Uneven > 0 {
		add("it is uneven", measure.Say("by %v where it was measured, beside those gaps", measure.MM(a.Uneven)))
	}
	return list
}

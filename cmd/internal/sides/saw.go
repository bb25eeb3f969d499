package sides

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/job"
	"dishwright/dish/measure"
	"dishwright/dish/rim"
)

// Saw is what is sawn or planed off the rim before it is sanded.
type Saw struct {
	ToMM    float64 `json:"to_mm"`   // outside the finished edge
	MostMM  float64 `json:"most_mm"` // what comes off the top's edge, at most
	Most    Station `json:"most_at"`
	AlongMM float64 `json:"along_mm"` // length of the rim along which it does
	WoodMM3 float64 `json:"wood_mm3"` // of sides and lining, at the top
	BackMM  float64 `json:"back_most_mm"`

	Gauge []SawGauge `json:"gauge"` // at each named place
}

// SawGauge is what a gauge is set to at a place to mark the lines that are sawn to, edge by edge:
// the top's, from the back's edge as it is before sawing; then the back's, from the sawn top.
type SawGauge struct {
	Name   string  `json:"name"`
	TopMM  float64 `json:"top_mm"`
	BackMM float64 `json:"back_mm"`
}

// TopGauge is the width of the side once its top's edge is sawn, mm: the finished width, what is
// left on that edge, and all that is to come off the back's.
func (s Station) TopGauge() float64 { return s.WidthMM + (s.RemoveMM - s.Saw) + s.BackRemove }

// BackGauge is the width of the side once both of its edges are sawn, mm.
func (s Station) BackGauge() float64 { return s.TopGauge() - s.BackSaw }

// saw fills in what is sawn off, and makes the rim that is sanded then.
func (w *maker) saw() {
	w.ready = w.start
	if w.job.SawTo == 0 {
		return
	}
	back := 0.0
	for _, s := range w.out.Stations {
		back = max(back, s.BackSaw)
	}
	raw := w.start.Sanding(1)
	if most := raw.MostExcess - w.job.SawTo; most >= hardly || back >= hardly {
		w.ready = w.start.Sawn(w.job.SawTo)
		w.out.Saw = &Saw{ToMM: w.job.SawTo, MostMM: max(0, most), Most: w.station(raw.FirstTouch), AlongMM: float64(raw.Length * raw.TouchedFraction(w.job.SawTo)),
			WoodMM3: raw.WoodVolume - w.ready.Sanding(1).WoodVolume, BackMM: back}
		for _, s := range w.out.Places {
			w.out.Saw.Gauge = append(w.out.Saw.Gauge, SawGauge{s.Name, s.TopGauge(), s.BackGauge()})
		}
	}
}

// sawn returns what of an excess is sawn off, mm.
func (w *maker) sawn(excess float64) float64 {
	if w.job.SawTo == 0 {
		return 0
	}
	return max(0, excess-w.job.SawTo)
}

// strips are the two sides unrolled, from the right one on.
func strips(j job.Rim, body rim.Body) []rim.UnrolledSide {
	return []rim.UnrolledSide{body.Unroll(false, j.Step), body.Unroll(true, j.Step)}
}

// board returns the width of the narrowest board that both sides can be cut from as they are before
// anything comes off, how the sides lie in it, as a rise per mm, and the length of the longer with its trims.
func board(j job.Rim, body rim.Body, start rim.UnsandedRim) (width, slope, length float64) {
	halves := strips(j, body)
	for i := range halves {
		length = max(length, halves[i].OuterLength+j.TrimHead+j.TrimTail)
		for k := range halves[i].Points {
			p := &halves[i].Points[k]
			top, back := start.Excess(body.Station(arcOf(body, halves[i].Left, p.OuterArc)))
			if j.SawTo > 0 { // else its edges run beside the finished ones
				p.Top, p.Back = p.Top+top, p.Back-back
			}
		}
	}
	spare := 0.0
	if j.SawTo == 0 {
		spare = j.Start.Allowance
	}
	width, slope = rim.NarrowestBoard(halves, spare)
	return width, slope, length
}

// arcOf returns the arc of a place of a side, so far from the tail along its outside.
func arcOf(body rim.Body, left bool, along float64) float64 {
	if left {
		return body.Outline.Perimeter() - along
	}
	return along
}

// boards sees that the sides can be cut from the boards that the builder has.
func (b *builder) boards(body rim.Body, start rim.UnsandedRim) {
	has := b.job.Boards
	if has.Width == 0 {
		return
	}
	width, _, length := board(b.job, body, start)
	if has.Length > 0 && length > has.Length {
		hint := fmt.Sprintf("boards %s long", measure.Enough(length, 0))
		if b.job.TrimHead+b.job.TrimTail >= length-has.Length {
			hint += fmt.Sprintf(", or trims of %s in all", measure.Most(b.job.TrimHead+b.job.TrimTail-(length-has.Length), 1))
		}
		b.fault("side boards/length", hint, "a side is %s long with what is left on its ends, and the boards %s", measure.Enough(length, 0), mm(has.Length))
	}
	if width <= has.Width+hardly {
		return
	}
	hint := fmt.Sprintf("boards %s wide", measure.Enough(width, 1))
	least := start.Sanding(1).LeastExcess
	switch over := width - has.Width; {
	case b.job.Start.Flat > 0 && over <= least:
		hint += fmt.Sprintf(", or start: {flat: %s}", measure.Most(b.job.Start.Flat-over, 1))
	case b.job.SawTo == 0 && over <= 2*b.job.Start.Allowance:
		hint += fmt.Sprintf(", or start: {allowance: %s}", measure.Most(b.job.Start.Allowance-over/2, 1))
	default:
		hint += ", or sides that are less deep"
	}
	b.fault("side boards/width", hint, "before anything comes off, the sides take boards %s wide, and these are %s wide", measure.Enough(width, 1), mm(has.Width))
}

// sawLines are the lines of a side that it is sawn to before it is sanded, at the top's edge and at
// the back's: the finished edge and what is left over it.
func (r *Result) sawLines(i int) (upper, lower []r2.Vec) {
	if r.Report.Saw == nil {
		return nil, nil
	}
	h := r.Report.Side.Halves[i]
	for _, e := range h.Edges {
		top, back := r.start.Excess(r.Body.Station(arcOf(r.Body, i == 1, e.Along)))
		left := func(excess float64) float64 { return max(0, min(excess, r.Job.SawTo)) }
		upper = append(upper, r2.Vec{X: e.Mid, Y: e.Upper + left(top)})
		lower = append(lower, r2.Vec{X: e.Mid, Y: e.Lower - left(back)})
	}
	return upper, lower
}

// brief says to what the rim is sawn; the table of its places tells how much that is.
func (s *Saw) brief(u measure.Ruler) string {
	return measure.Say("down to a line %v outside the finished edges", mm(s.ToMM)).In(u)
}

// Off says how much is sawn off each edge at most.
func (s *Saw) Off() measure.Said {
	top := measure.Say("up to %v off the top's edge, at %v", mm(s.MostMM), measure.At(s.Most.X, s.Most.Y))
	back := measure.Say("up to %v off the back's edge", mm(s.BackMM))
	switch {
	case s.BackMM < hardly:
		return top
	case s.MostMM < hardly:
		return back
	}
	return measure.Say("%v, and %v", top, back)
}

// comesOff adds the columns of what comes off to the table of the named places, and returns what
// stands in them at a place.
func (r *Result) comesOff(head []string) ([]string, func(s Station) []string) {
	u, saw := r.Job.Ruler, r.Report.Saw
	both := func(excess, sawn float64) []string { return []string{u.Fixed(sawn, 2), u.Fixed(excess-sawn, 2)} }
	switch {
	case saw == nil:
		return append(head, "off the top", "off the back"), func(s Station) []string { return []string{u.Fixed(s.RemoveMM, 2), u.Fixed(s.BackRemove, 2)} }
	case saw.BackMM < hardly:
		return append(head, "saw top", "sand top", "off the back"), func(s Station) []string {
			return append(both(s.RemoveMM, s.Saw), u.Fixed(s.BackRemove, 2))
		}
	}
	return append(head, "saw top", "sand top", "saw back", "sand back"), func(s Station) []string {
		return append(both(s.RemoveMM, s.Saw), both(s.BackRemove, s.BackSaw)...)
	}
}

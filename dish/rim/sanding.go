package rim

import (
	"math"
	"slices"
	"sort"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// UnsandedRim is a rim before it is sanded: how high its edges stand.
type UnsandedRim struct {
	body     Body
	kind     startKind
	amount   float64
	readings []MeasuredHeight

	base, pitch float64 // of the back's edge plane

	sawn  bool // to saw mm over the finished edge
	saw   float64
	domed bool // down to the dome all round
}

type startKind uint8

const (
	byAllowance startKind = iota
	byFlat
	byMeasure
)

// MeasuredHeight is a height of the top's edge above the back's edge plane at an arc, mm.
type MeasuredHeight struct{ Arc, Top float64 }

// WithAllowance returns a rim cut to its pattern with an allowance on either edge, in
// mm; its edges are cut square to the sides.
func (b Body) WithAllowance(mm float64) UnsandedRim {
	return UnsandedRim{body: b, kind: byAllowance, amount: mm}
}

// CutFlat returns a rim whose edges are planes, the top's the given mm above the back's,
// which is EdgePlane.
func (b Body) CutFlat(mm float64) UnsandedRim {
	h := UnsandedRim{body: b, kind: byFlat, amount: mm}
	h.base, h.pitch = b.EdgePlane()
	return h
}

// AsMeasured returns a rim whose top's edge was measured at places in the order of
// their arcs, at least one; between them it runs straight, and on over the tail.
// Its back's edge is a plane.
func (b Body) AsMeasured(list []MeasuredHeight) UnsandedRim {
	h := UnsandedRim{body: b, kind: byMeasure, readings: list}
	h.base, h.pitch = b.EdgePlane()
	return h
}

// EdgePlane returns the plane on which the back's finished edge stands, its height
// at the tail and its rise per mm towards the head: it is level across the body,
// leans along it like the line from the edge's tail to its head, and lies under
// the edge everywhere, touching it at its lowest places. A plane back is it itself.
func (b Body) EdgePlane() (base, pitch float64) {
	o := b.Outline
	tail, head := o.At(0).At, o.At(o.Head()).At
	pitch = (b.Back.Height(head) - b.Back.Height(tail)) / (head.X - tail.X)
	base = math.Inf(1)
	for i := range lapSamples {
		p := o.At(float64(o.Perimeter() * (float64(i) / lapSamples))).At
		base = min(base, b.Back.Height(p)-float64(pitch*p.X))
	}
	return base, pitch
}

// backPlane returns the height of the back's edge plane at a place.
func (h UnsandedRim) backPlane(p r2.Vec) float64 { return h.base + float64(h.pitch*p.X) }

// Sawn returns the rim with what stood more than mm outside its finished edges, at its
// outside, sawn or planed off, square to the sides.
func (h UnsandedRim) Sawn(mm float64) UnsandedRim {
	h.sawn, h.saw = true, mm
	return h
}

// InDish returns the rim as the dish leaves it all round, as if its top had no flat.
func (h UnsandedRim) InDish() UnsandedRim {
	h.domed = true
	return h
}

// TopHeight returns the height of the top's edge before sanding at a station, w mm in
// from the outside.
func (h UnsandedRim) TopHeight(s Station, w float64) float64 {
	z := h.uncut(s, w)
	if h.sawn {
		z = min(z, s.Top+h.saw)
	}
	if h.domed {
		dome, _ := h.body.Top.curved(s.Inward(w))
		z = min(z, dome)
	}
	return z
}

// uncut is TopHeight of the rim as it was at first.
func (h UnsandedRim) uncut(s Station, w float64) float64 {
	switch h.kind {
	case byAllowance:
		return s.Top + h.amount
	case byFlat:
		return h.backPlane(s.Inward(w)) + h.amount
	}
	return h.backPlane(s.At) + h.measured(s.Arc)
}

// measured returns the height between the two measured places about an arc.
func (h UnsandedRim) measured(arc float64) float64 {
	n := len(h.readings)
	i := sort.Search(n, func(i int) bool { return h.readings[i].Arc > arc })
	a, b := h.readings[(i+n-1)%n], h.readings[i%n]
	lap := h.body.Outline.Perimeter()
	span, in := b.Arc-a.Arc, arc-a.Arc
	if span <= 0 {
		span += lap
	}
	if in < 0 {
		in += lap
	}
	return a.Top + float64((b.Top-a.Top)*(in/span))
}

// Excess returns what has to come off the top's edge and the back's at a station's
// outside, mm; negative where wood is missing.
func (h UnsandedRim) Excess(s Station) (top, back float64) {
	top, back = h.amount, h.amount
	if h.kind != byAllowance {
		top, back = h.uncut(s, 0)-s.Top, s.Back-h.backPlane(s.At)
	}
	if h.sawn {
		top, back = min(top, h.saw), min(back, h.saw)
	}
	if h.domed {
		top = min(top, -h.body.Top.OverDome(s.At))
	}
	return top, back
}

// Sanding is how a rim, or the parts of it in some zones, is sanded down, held so that the
// dome comes where it belongs.
type Sanding struct {
	MostExcess, LeastExcess float64 // of what comes off at the outside, mm; LeastExcess < 0 where wood is missing
	FirstTouch, LastTouch   Station // where the tool touches first, and where the last pencil mark goes
	Steps                   []SandingStep
	WoodVolume              float64 // to take off in all, mm³, of the whole edge with its lining
	Length                  float64 // of the rim that it is of, mm along the outside
	MissingLength           float64 // length of the rim along which wood is missing, mm
	runs                    []run
}

// run is a piece of the outside over which what comes off runs straight from one height to
// another, all in mm.
type run struct{ from, to, long float64 }

// SandingStep is a state of sanding.
type SandingStep struct {
	Lowered         float64 // how far the rim has come down since the dish first touched, mm
	TouchedFraction float64 // of the outside that the tool has touched
	RemovedFraction float64 // share of the wood along the outside that is gone
}

// sandingPieces is into how many pieces a lap is divided, straight between their
// ends: on a body of 2 m round, half a millimetre each, over which no smooth edge
// bends by a thousandth of a millimetre.
const sandingPieces = 4000

// Sanding works out the sanding of the top's edge in the zones, or all of it where none is
// named: with states at n + 1 evenly spaced heights from the first touch to the last mark, and
// one more where the rim then has to come down to its height. Where the zones have no part of the
// rim all of it is 0.
func (h UnsandedRim) Sanding(n int, zones ...Zone) Sanding {
	b, lap := h.body, h.body.stretchesIn(zones)
	if len(lap) == 0 {
		return Sanding{}
	}
	s := Sanding{MostExcess: math.Inf(-1), LeastExcess: math.Inf(1)}
	for _, part := range lap {
		s.Length += part.To - part.From
		arcs, before := b.piecesOf(part), 0.0
		for i, arc := range arcs {
			st := b.Station(math.Mod(arc, b.Outline.Perimeter()))
			e, _ := h.Excess(st)
			if i > 0 {
				s.runs = append(s.runs, run{before, e, arc - arcs[i-1]})
			}
			if before = e; e > s.MostExcess {
				s.MostExcess, s.FirstTouch = e, st
			}
			if e < s.LeastExcess {
				s.LeastExcess, s.LastTouch = e, st
			}
		}
		s.WoodVolume += h.woodVolume(part)
	}
	s.MissingLength = float64(s.Length * (1 - s.TouchedFraction(0)))
	low := max(0, s.LeastExcess)
	for i := range n + 1 {
		s.Steps = append(s.Steps, s.stepAt(s.MostExcess-float64((s.MostExcess-low)*(float64(i)/float64(n)))))
	}
	if low > 0 {
		s.Steps = append(s.Steps, s.stepAt(0))
	}
	return s
}

// stretchesIn returns the stretches of the lap in the zones, or the lap as one where none is named.
func (b Body) stretchesIn(zones []Zone) []Stretch {
	if len(zones) == 0 {
		return []Stretch{{To: b.Outline.Perimeter()}}
	}
	return slices.DeleteFunc(b.Stretches(), func(s Stretch) bool { return !slices.Contains(zones, s.Zone) })
}

// piecesOf returns the ends of the pieces of a stretch, as long as those of the lap or shorter.
func (b Body) piecesOf(part Stretch) []float64 {
	long := part.To - part.From
	n := max(1, math.Ceil(float64(sandingPieces*long)/b.Outline.Perimeter()-1e-9))
	list := make([]float64, int(n)+1)
	for i := range list {
		list[i] = part.From + float64(long*(float64(i)/n))
	}
	return list
}

// stepAt returns the state in which remaining mm are still to come off the highest place.
func (s Sanding) stepAt(remaining float64) SandingStep {
	l := SandingStep{Lowered: s.MostExcess - remaining, TouchedFraction: s.TouchedFraction(remaining), RemovedFraction: 1}
	if total := s.removedArea(0); total > 0 {
		l.RemovedFraction = s.removedArea(remaining) / total
	}
	return l
}

// TouchedFraction returns the share of the outside at which at least remaining mm have
// to come off: exact for the pieces, straight between their ends.
func (s Sanding) TouchedFraction(remaining float64) float64 {
	sum := 0.0
	for _, r := range s.runs {
		lo, hi := min(r.from, r.to), max(r.from, r.to)
		switch {
		case lo >= remaining:
			sum += r.long
		case hi > remaining:
			sum += float64(r.long * ((hi - remaining) / (hi - lo)))
		}
	}
	return sum / s.Length
}

// removedArea returns what has come off the outside, in mm² along the rim, when
// remaining mm are still to come off the highest place.
func (s Sanding) removedArea(remaining float64) float64 {
	sum := 0.0
	for _, r := range s.runs {
		lo, hi := min(r.from, r.to)-remaining, max(r.from, r.to)-remaining
		switch {
		case lo >= 0:
			sum += float64(r.long * ((lo + hi) / 2))
		case hi > 0:
			sum += float64(r.long * (float64(hi*hi) / (2 * (hi - lo))))
		}
	}
	return sum
}

// sharpest is the sharpest corner, in radians, round which the strips inside are as much
// shorter as their own corners tell: a point of 65 degrees.
const sharpest = 2.0

// woodVolume integrates what has to come off over the edge along a stretch, from the outside
// to the lining's inner edge: where the outside turns by β a strip dw at w inside is
// 2w tan(β/2) shorter, round a sharp corner as along a curve (where that is wβ).
func (h UnsandedRim) woodVolume(part Stretch) float64 {
	b, arcs, sum := h.body, h.body.piecesOf(part), 0.0
	before := b.Station(arcs[0])
	for i, arc := range arcs[1:] {
		step := arc - arcs[i]
		next, mid := b.Station(arc), b.Station(arcs[i]+step/2)
		bend := math.Atan2(exact.Cross2(before.Tangent, next.Tangent), exact.Dot2(before.Tangent, next.Tangent))
		corner := math.Tan(max(-sharpest, min(sharpest, bend)) / 2)
		for k, x := range nodes {
			w := float64(x * b.EdgeWidth())
			e := max(0, h.TopHeight(mid, w)-b.Top.Height(mid.Inward(w)))
			sum += float64(float64(weights[k]*b.EdgeWidth()*e) * (step - float64(2*w*corner)))
		}
		before = next
	}
	return sum
}

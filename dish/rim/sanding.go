package rim

import (
	"math"
	"sort"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// Heights is a rim before it is sanded: how high its edges stand.
type Heights struct {
	body Body
	kind startKind
	at   float64
	list []Measured

	base, pitch float64 // of the back's edge plane
}

type startKind uint8

const (
	byAllowance startKind = iota
	byFlat
	byMeasure
)

// Measured is a height of the top's edge above the back's edge plane at an arc, mm.
type Measured struct{ Arc, Top float64 }

// WithAllowance is a rim cut to its pattern with so much left on either edge, mm;
// its edges are cut square to the sides.
func (b Body) WithAllowance(mm float64) Heights {
	return Heights{body: b, kind: byAllowance, at: mm}
}

// CutFlat is a rim whose edges are planes, the top's so many mm above the back's:
// see EdgePlane.
func (b Body) CutFlat(mm float64) Heights {
	h := Heights{body: b, kind: byFlat, at: mm}
	h.base, h.pitch = b.EdgePlane()
	return h
}

// AsMeasured is a rim whose top's edge was measured at places in the order of
// their arcs, at least one; between them it runs straight, and on over the tail.
// Its back's edge is a plane.
func (b Body) AsMeasured(list []Measured) Heights {
	h := Heights{body: b, kind: byMeasure, list: list}
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
	for i := range turns {
		p := o.At(float64(o.Perimeter() * (float64(i) / turns))).At
		base = min(base, b.Back.Height(p)-float64(pitch*p.X))
	}
	return base, pitch
}

// plane returns the height of the back's edge plane at a place.
func (h Heights) plane(p r2.Vec) float64 { return h.base + float64(h.pitch*p.X) }

// Top returns the height of the top's edge before sanding at a station, w mm in
// from the outside.
func (h Heights) Top(s Station, w float64) float64 {
	switch h.kind {
	case byAllowance:
		return s.Top + h.at
	case byFlat:
		return h.plane(s.Inward(w)) + h.at
	}
	return h.plane(s.At) + h.measured(s.Arc)
}

// measured returns the height between the two measured places about an arc.
func (h Heights) measured(arc float64) float64 {
	n := len(h.list)
	i := sort.Search(n, func(i int) bool { return h.list[i].Arc > arc })
	a, b := h.list[(i+n-1)%n], h.list[i%n]
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

// Remove returns what has to come off the top's edge and the back's at a station's
// outside, mm; negative where wood is missing.
func (h Heights) Remove(s Station) (top, back float64) {
	if h.kind == byAllowance {
		return h.at, h.at
	}
	return h.Top(s, 0) - s.Top, s.Back - h.plane(s.At)
}

// Sanding is how a rim is sanded down in its dish, held so that the dome comes
// where it belongs.
type Sanding struct {
	Most, Least float64 // of what comes off at the outside, mm; Least < 0 where wood is missing
	First, Last Station // where the dish touches first, and where the last pencil mark goes
	Steps       []Lowered
	Wood        float64 // to take off in all, mm³, of the whole edge with its lining
	Missing     float64 // length of the rim along which wood is missing, mm
	excess      []float64
	perimeter   float64
}

// Lowered is a state of sanding.
type Lowered struct {
	By    float64 // how far the rim has come down since the dish first touched, mm
	Share float64 // of the outside that the dish has touched
	Gone  float64 // share of the wood along the outside that is gone
}

// sandingPlaces is into how many pieces a lap is divided, straight between their
// ends: on a body of 2 m round, half a millimetre each, over which no smooth edge
// bends by a thousandth of a millimetre.
const sandingPlaces = 4000

// Sanding works out the sanding of the top's edge, with states at n + 1 evenly
// spaced heights from the first touch to the last mark, and one more where the rim
// then has to come down to its height.
func (h Heights) Sanding(n int) Sanding {
	b, lap := h.body, h.body.Outline.Perimeter()
	s := Sanding{Most: math.Inf(-1), Least: math.Inf(1), perimeter: lap, excess: make([]float64, sandingPlaces)}
	for i := range s.excess {
		st := b.Station(float64(lap * (float64(i) / sandingPlaces)))
		e, _ := h.Remove(st)
		if s.excess[i] = e; e > s.Most {
			s.Most, s.First = e, st
		}
		if e < s.Least {
			s.Least, s.Last = e, st
		}
	}
	s.Missing = float64(lap * (1 - s.Touched(0)))
	low := max(0, s.Least)
	for i := range n + 1 {
		s.Steps = append(s.Steps, s.lowered(s.Most-float64((s.Most-low)*(float64(i)/float64(n)))))
	}
	if low > 0 {
		s.Steps = append(s.Steps, s.lowered(0))
	}
	s.Wood = h.wood()
	return s
}

// lowered returns the state in which so much is left to come off where it was
// most.
func (s Sanding) lowered(left float64) Lowered {
	l := Lowered{By: s.Most - left, Share: s.Touched(left), Gone: 1}
	if whole := s.gone(0); whole > 0 {
		l.Gone = s.gone(left) / whole
	}
	return l
}

// Touched returns the share of the outside at which at least so much has to come
// off: exact for the pieces, straight between their ends.
func (s Sanding) Touched(left float64) float64 {
	n, sum := len(s.excess), 0.0
	for i, a := range s.excess {
		b := s.excess[(i+1)%n]
		lo, hi := min(a, b), max(a, b)
		switch {
		case lo >= left:
			sum++
		case hi > left:
			sum += (hi - left) / (hi - lo)
		}
	}
	return sum / float64(n)
}

// gone returns what has come off the outside, in mm² along the rim, once as much
// as left is left to come off at the highest.
func (s Sanding) gone(left float64) float64 {
	n, sum := len(s.excess), 0.0
	for i, a := range s.excess {
		b := s.excess[(i+1)%n]
		lo, hi := min(a, b)-left, max(a, b)-left
		switch {
		case lo >= 0:
			sum += (lo + hi) / 2
		case hi > 0:
			sum += float64(hi*hi) / (2 * (hi - lo))
		}
	}
	return sum * s.perimeter / float64(n)
}

// sharpest is the sharpest corner, in radians, round which the strips inside are as much
// shorter as their own corners tell: a point of 65 degrees.
const sharpest = 2.0

// wood integrates what has to come off over the edge, from the outside to the
// lining's inner edge: where the outside turns by β a strip dw at w inside is
// 2w tan(β/2) shorter, round a sharp corner as along a curve (where that is wβ).
func (h Heights) wood() float64 {
	b, lap, sum := h.body, h.body.Outline.Perimeter(), 0.0
	step := lap / sandingPlaces
	before := b.Station(0)
	for i := 1; i <= sandingPlaces; i++ {
		next := b.Station(float64(step * float64(i)))
		mid := b.Station(float64(step * (float64(i) - 0.5)))
		bend := math.Atan2(exact.Cross2(before.Along, next.Along), exact.Dot2(before.Along, next.Along))
		corner := math.Tan(max(-sharpest, min(sharpest, bend)) / 2)
		for k, x := range nodes {
			w := float64(x * b.Edge())
			e := max(0, h.Top(mid, w)-b.Top.Height(mid.Inward(w)))
			sum += float64(float64(weights[k]*b.Edge()*e) * (step - float64(2*w*corner)))
		}
		before = next
	}
	return sum
}

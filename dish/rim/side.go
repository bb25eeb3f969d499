package rim

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// UnrolledSide is one side unrolled flat, from the tail to the head.
type UnrolledSide struct {
	Left        bool
	Points      []UnrolledPoint
	OuterLength float64 // length along the outside, mm
	MidLength   float64 // length at mid-thickness, mm: what the side has before it is bent
}

// UnrolledPoint is a place of a side unrolled.
type UnrolledPoint struct {
	OuterArc  float64 // from the tail along the outside, mm
	MidArc    float64 // the same at mid-thickness
	Top, Back float64 // mm
	Name      string
}

// Unroll lays one half of the rim flat with a place every step mm, the head and
// the named places among them.
//
// Along a line t/2 inside the outline a piece that turns by dθ is t/2 dθ shorter:
// over a half of a smooth symmetric body that adds up to π t/2.
func (b Body) Unroll(left bool, step float64) UnrolledSide {
	s := UnrolledSide{Left: left, OuterLength: b.Outline.Head()}
	side := "right "
	if left {
		s.OuterLength, side = b.Outline.Perimeter()-b.Outline.Head(), "left "
	}
	arc := func(u float64) float64 {
		if left {
			return b.Outline.Perimeter() - u
		}
		return u
	}
	var named []Station
	if left {
		named = b.sideStations(b.Outline.Perimeter(), b.Outline.Head(), side)
	} else {
		named = b.sideStations(0, b.Outline.Head(), side)
	}
	at := withNamed(step, s.OuterLength, named, arc)
	turned := 0.0
	var before r2.Vec
	for i, p := range at {
		st := b.Station(arc(p.u))
		if i > 0 {
			turned += float64(math.Abs(math.Atan2(exact.Cross2(before, st.Tangent), exact.Dot2(before, st.Tangent))) * bendSign(before, st.Tangent, left))
		}
		before = st.Tangent
		mid := p.u - float64(b.Sides/2*turned)
		if i > 0 { // round a sharp corner the middle of the side goes no way at all
			mid = max(mid, s.Points[i-1].MidArc)
		}
		s.Points = append(s.Points, UnrolledPoint{OuterArc: p.u, MidArc: mid, Top: st.Top, Back: st.Back, Name: p.name})
	}
	s.MidLength = s.Points[len(s.Points)-1].MidArc
	return s
}

// bendSign tells whether the outline bends inward (+1) or outward from one direction
// to the next.
func bendSign(a, b r2.Vec, left bool) float64 {
	c := exact.Cross2(a, b)
	if left { // walked against the arcs
		c = -c
	}
	if c < 0 {
		return -1
	}
	return 1
}

type namedArc struct {
	u    float64
	name string
}

// withNamed returns the multiples of step up to total, with the named places.
func withNamed(step, total float64, named []Station, arc func(float64) float64) []namedArc {
	var marks []namedArc
	for _, n := range named {
		u := n.Arc
		if arc(0) != 0 {
			u = arc(n.Arc) // the way back is its own inverse
		}
		marks = append(marks, namedArc{u, n.Name})
	}
	var list []namedArc
	for k := 0; ; k++ {
		u := float64(float64(k) * step)
		last := u >= total-1e-9
		if last {
			u = total
		}
		for len(marks) > 0 && marks[0].u < u {
			list = append(list, marks[0])
			marks = marks[1:]
		}
		switch {
		case k == 0:
			list = append(list, namedArc{0, "tail"})
		case last:
			return append(list, namedArc{total, "head"})
		default:
			list = append(list, namedArc{u, ""})
		}
	}
}

// NarrowestBoard returns the width, in mm, of the narrowest straight board that both
// sides can be cut from with spare mm beyond either edge, and the slope at which the
// pattern lies in it (rise per mm).
func NarrowestBoard(strips []UnrolledSide, spare float64) (width, slope float64) {
	span := func(m float64) float64 {
		widest := 0.0
		for _, s := range strips {
			top, back := math.Inf(-1), math.Inf(1)
			for _, l := range s.Points {
				top, back = max(top, l.Top-float64(m*l.OuterArc)), min(back, l.Back-float64(m*l.OuterArc))
			}
			widest = max(widest, (top-back)/math.Hypot(1, m))
		}
		return widest
	}
	// A guitar's taper is a tenth of this; between lie no two valleys, for the span
	// is convex in m but for the root, which hardly changes.
	lo, hi := -0.2, 0.2
	const golden = 0.6180339887498949
	for range 60 {
		a, c := hi-float64(golden*(hi-lo)), lo+float64(golden*(hi-lo))
		if span(a) <= span(c) {
			hi = c
		} else {
			lo = a
		}
	}
	slope = (lo + hi) / 2
	return span(slope) + 2*spare, slope
}

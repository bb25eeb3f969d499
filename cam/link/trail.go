package link

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// Bend is a vertex of a way in plan, before its corners are rounded.
type Bend struct {
	At    r2.Vec
	Reach float64 // most that the rounding may take of either leg, mm
	Miss  float64 // most by which the rounding may pass the vertex by, mm
}

// Leg is a straight piece of a way in plan, or an arc of a circle from one leg
// of a corner to the other.
type Leg struct {
	From, corner, To r2.Vec
	cos              float64 // of half the angle that an arc turns by; 1 for a straight piece
}

// at returns the place at share t of a piece. An arc is the rational curve of the
// second degree over its corner, with the weight cos: + − × ÷ alone, the same on
// every machine. It is the circle: both are conics through the same two ends with the
// same tangents there, and with that weight this one passes the arc's middle at t = 1/2;
// five conditions leave one conic.
func (p Leg) at(t float64) r2.Vec {
	u := 1 - t
	if p.cos == 1 {
		return r2.Vec{X: float64(u*p.From.X) + float64(t*p.To.X), Y: float64(u*p.From.Y) + float64(t*p.To.Y)}
	}
	a, b, c := float64(u*u), float64(2*p.cos*u*t), float64(t*t)
	n := a + b + c
	return r2.Vec{
		X: (float64(a*p.From.X) + float64(b*p.corner.X) + float64(c*p.To.X)) / n,
		Y: (float64(a*p.From.Y) + float64(b*p.corner.Y) + float64(c*p.To.Y)) / n,
	}
}

// Rounded returns a way with its corners rounded by arcs that touch both legs,
// so that no machine has to stop in them. Corners share a leg half and half.
//
// An arc that turns by β and takes T of each leg has the radius T / tan(β/2) and
// misses the corner by T tan(β/4).
func Rounded(way []Bend) []Leg {
	var list []Leg
	at := way[0].At
	line := func(to r2.Vec) {
		if exact.Dist(to.X-at.X, to.Y-at.Y) >= shortestLine {
			list = append(list, Leg{From: at, To: to, cos: 1})
			at = to
		}
	}
	for i := 1; i < len(way)-1; i++ {
		v := way[i]
		a, b := r2.Sub(v.At, way[i-1].At), r2.Sub(way[i+1].At, v.At)
		la, lb := exact.Dist(a.X, a.Y), exact.Dist(b.X, b.Y)
		if la < shortestLeg || lb < shortestLeg {
			line(v.At)
			continue
		}
		a, b = exact.Scale2(1/la, a), exact.Scale2(1/lb, b)
		sin, cos := exact.Dist(b.X-a.X, b.Y-a.Y)/2, exact.Dist(a.X+b.X, a.Y+b.Y)/2 // of half the turn
		take := min(min(v.Reach, min(la, lb)/2), v.Miss*(1+cos)/sin)
		if !(sin > leastTurn) || cos < leastTurn || !(take > 0) {
			line(v.At)
			continue
		}
		in := r2.Vec{X: v.At.X - float64(take*a.X), Y: v.At.Y - float64(take*a.Y)}
		out := r2.Vec{X: v.At.X + float64(take*b.X), Y: v.At.Y + float64(take*b.Y)}
		line(in)
		list = append(list, Leg{From: at, corner: v.At, To: out, cos: cos})
		at = out
	}
	line(way[len(way)-1].At)
	return list
}

const (
	shortestLeg  = 1e-3 // mm: below it a direction is mostly rounding
	shortestLine = 0.05 // mm: less than that between two arcs is not worth a move
	leastTurn    = 1e-5 // radians, about: such a turn over 100 mm is one step of a coordinate
)

// Chain returns places along the pieces, the first piece's start included,
// between which straight moves keep within wide of them in plan, and within tol
// of the height above the straight line in plan.
func Chain(pieces []Leg, height func(d float64) float64, wide, tol float64) []r2.Vec {
	if len(pieces) == 0 {
		return nil
	}
	places := []r2.Vec{pieces[0].From}
	w := Way(pieces)
	end, step := float64(len(pieces)), 1.0
	for n := 0.0; n < end; {
		step = min(min(step, 1), end-n)
		for range 60 {
			share := w.strays(n, n+step, height, wide, tol)
			if !(share > 1) {
				break
			}
			step = float64(step * max(0.1, min(0.9, 0.97/math.Sqrt(share))))
		}
		if n += step; end-n < 1e-6 {
			n = end
		}
		places = append(places, w.at(n))
		step = float64(step * 1.3)
	}
	return places
}

// Way is pieces one after another; a place on it is the number of a piece plus a
// share of that.
type Way []Leg

func (w Way) at(n float64) r2.Vec {
	i := min(int(n), len(w)-1)
	return w[i].at(n - float64(i))
}

// strays returns how far the chord from s to t leaves the way, as a share of
// what it may: in plan, and in height.
func (p Way) strays(s, t float64, height func(d float64) float64, wide, tol float64) float64 {
	a, b := p.at(s), p.at(t)
	za, zb := height(exact.Dist(a.X, a.Y)), height(exact.Dist(b.X, b.Y))
	dx, dy := b.X-a.X, b.Y-a.Y
	long, most := exact.Dist(dx, dy), 0.0
	for _, k := range [...]float64{0.25, 0.5, 0.75} {
		x, y := a.X+float64(k*dx), a.Y+float64(k*dy)
		z := za + float64(k*(zb-za))
		most = max(most, math.Abs(height(exact.Dist(x, y))-z)/tol)
		if long > 0 {
			c := p.at(s + float64(k*(t-s)))
			most = max(most, math.Abs(float64((c.X-a.X)*dy)-float64((c.Y-a.Y)*dx))/long/wide)
		}
	}
	return most
}

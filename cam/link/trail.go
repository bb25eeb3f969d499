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
	Drawn            bool    // is it an arc of the pattern's own, no rounding? a machine that takes arcs cuts it as one
	Step             float64 // how wide a step is cut along it, mm, where that holds the feed down; 0 where it does not
}

// arc reports whether a piece is one.
func (p Leg) arc() bool { return p.cos < 1 }

// length returns how long a piece is: of an arc (8b − a) / 3 but for a thousandth, from the
// chords a of all and b of half of it (Huygens).
func (p Leg) length() float64 {
	chord := exact.Dist(p.To.X-p.From.X, p.To.Y-p.From.Y)
	if !p.arc() {
		return chord
	}
	mid := p.at(0.5)
	return (8*exact.Dist(mid.X-p.From.X, mid.Y-p.From.Y) - chord) / 3
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

// chain returns places along the pieces, the first piece's start included, between which
// straight moves keep within wide of them in plan, and within tol of the height above the
// straight line in plan. There is one where
// two straight pieces meet, and where the way comes back to its beginning.
func chain(pieces []Leg, height func(x, y float64) float64, wide, tol float64) []stop {
	if len(pieces) == 0 {
		return nil
	}
	w, n := trail(pieces), 0.0
	stops := []stop{{pieces[0].From, 0}}
	for i := 0; i < len(w); {
		end := i + 1
		for end < len(w) && (w[end-1].arc() || w[end].arc()) && !w.closes(end) {
			end++
		}
		for step := 1.0; n < float64(end); step = float64(step * 1.3) {
			step = min(min(step, 1), float64(end)-n)
			for range 60 {
				share := w.strays(n, n+step, height, wide, tol)
				if !(share > 1) {
					break
				}
				step = float64(step * max(0.1, min(0.9, 0.97/math.Sqrt(share))))
			}
			if n+step == n || float64(end)-n-step < 1e-6 {
				n = float64(end)
			} else {
				n += step
			}
			stops = append(stops, stop{w.at(n), n})
		}
		i = end
	}
	return stops
}

// Chords returns places on the straight line in plan from one place to another, both
// included, between which straight moves keep within tol of the heights that z gives, mm.
func Chords(from, to r2.Vec, z func(x, y float64) float64, tol float64) (places []r2.Vec) {
	for _, s := range chain(Straight(from, to), z, 0, tol) {
		places = append(places, s.at)
	}
	return places
}

// trail is pieces one after another; a place on it is the number of a piece plus a share of
// that.
type trail []Leg

func (w trail) at(n float64) r2.Vec {
	i := min(int(n), len(w)-1)
	return w[i].at(n - float64(i))
}

// closes reports whether so many pieces lead back to where the first begins.
func (w trail) closes(n int) bool {
	a, b := w[0].From, w[n-1].To
	return exact.Dist(a.X-b.X, a.Y-b.Y) < 1e-9
}

// step returns the widest step that is cut from one place to another, 0 where none holds the
// feed down.
func (w trail) step(from, to float64) (widest float64) {
	for i := int(from); i < len(w) && float64(i) < to; i++ {
		widest = max(widest, w[i].Step)
	}
	return widest
}

// strays returns how far the chord from s to t leaves the way, as a share of
// what it may: in plan, and in height.
func (w trail) strays(s, t float64, height func(x, y float64) float64, wide, tol float64) float64 {
	a, b := w.at(s), w.at(t)
	za, zb := height(a.X, a.Y), height(b.X, b.Y)
	dx, dy := b.X-a.X, b.Y-a.Y
	long, most := exact.Dist(dx, dy), 0.0
	for _, k := range [...]float64{0.25, 0.5, 0.75} {
		x, y := a.X+float64(k*dx), a.Y+float64(k*dy)
		z := za + float64(k*(zb-za))
		most = max(most, math.Abs(height(x, y)-z)/tol)
		if long > 0 && wide > 0 {
			c := w.at(s + float64(k*(t-s)))
			most = max(most, math.Abs(float64((c.X-a.X)*dy)-float64((c.Y-a.Y)*dx))/long/wide)
		}
	}
	return most
}

package link

import (
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// On a machine that takes arcs a leg is one move where it can be: a straight one of a ball
// along X or Y is an upright arc, and an arc in plan over which the height changes evenly
// one about a line along Z.

// bends reports whether a leg of a way becomes an arc.
func (l *laying) bends(w Way) bool {
	for _, p := range w.Legs {
		if l.upright(p) || l.turns(p) {
			return true
		}
	}
	return false
}

// upright reports whether a straight leg is an arc as seen from the side: that of a ball
// which runs on the sphere.
func (l *laying) upright(p Leg) bool {
	t := l.course.Tool
	on := func(q r2.Vec) bool { return exact.Dist(q.X, q.Y) <= t.Foot+footEdge }
	return !p.arc() && t.Flat == 0 && !t.Face.Level() && (p.From.X == p.To.X || p.From.Y == p.To.Y) && on(p.From) && on(p.To)
}

// footEdge is how far beyond the foot of a crown, where a leg was split, its end may be
// rounded to, mm.
const footEdge = 1e-9

// turns reports whether a leg is an arc of the pattern's as seen from above: one that would
// take more than two chords.
func (l *laying) turns(p Leg) bool {
	mid := exact.Scale2(0.5, r2.Add(p.From, p.To))
	bow := r2.Sub(p.at(0.5), mid)
	return p.Drawn && exact.Dist(bow.X, bow.Y) > 4*l.course.Wide && l.lacks(p) <= arcOver*l.course.Tol
}

// arcs cuts a way from its beginning, where the cutter stands.
func (l *laying) arcs(w Way) {
	b, lifts := l.Builder, make([]float64, len(w.Legs)+1)
	for i, p := range w.Legs {
		if l.turns(p) {
			lack := l.lacks(p)
			lifts[i], lifts[i+1] = max(lifts[i], lack), max(lifts[i+1], lack)
		}
	}
	b.Line(l.place(w.Legs[0].From, lifts[0]), b.Feeds.Feed)
	for i, p := range w.Legs {
		to, feed := l.place(p.To, lifts[i+1]), l.pace(p.Step)
		switch {
		case l.upright(p):
			b.upright(l.course, p, to, feed)
		case l.turns(p):
			b.turn(p, to, feed)
		default:
			for _, s := range chain([]Leg{p}, l.course.height, l.course.Wide, l.course.Tol)[1:] {
				b.Line(l.place(s.at, 0), feed)
			}
		}
	}
}

// upright adds a straight leg of a ball as one arc about the sphere's centre.
func (b *Builder) upright(o Course, p Leg, to r3.Vec, feed float64) {
	along, side := r2.Sub(p.To, p.From), to.X-b.At.X
	m := path.Move{Kind: path.Arc, From: b.At, To: to, Plane: path.ZX, Centre: r3.Vec{Y: b.At.Y}}
	slope := max(math.Abs(o.Tool.Rise(p.From.X, p.From.Y)), math.Abs(o.Tool.Rise(p.To.X, p.To.Y)))
	d := r3.Vec{X: 1}
	if along.X == 0 { // seen from +X the sense along Y is the other one
		m.Plane, m.Centre, side = path.YZ, r3.Vec{X: b.At.X}, b.At.Y-to.Y
		slope = max(math.Abs(o.Tool.Rise(p.From.Y, p.From.X)), math.Abs(o.Tool.Rise(p.To.Y, p.To.X)))
		d = r3.Vec{Y: 1}
	}
	m.Clockwise = (side > 0) == o.Tool.Face.Rises()
	// The centre is written as an increment from the start.
	m.Centre.Z = b.At.Z + b.Grid.Near(o.Tool.Face.Centre()-o.Tool.Corner+o.Lift-b.At.Z)
	// Steepest at its ends, where the limit of Z bites first.
	f := b.Piece.Machine.FeedAlong(d, feed)
	d.Z = slope
	m.Feed = work.FloorFeed(b.Piece.Machine, min(f, b.Piece.Machine.FeedAlong(d, feed)))
	if InPlan(to, b.At) > 0 {
		b.Add(m)
	}
}

// centre returns that of an arc.
func (p Leg) centre() r2.Vec {
	mid := exact.Scale2(0.5, r2.Add(p.From, p.To))
	return exact.AddScaled2(p.corner, r2.Sub(mid, p.corner), 1/(1-exact.Square(p.cos)))
}

// The height of an arc is looked at where it is halved arcLooks times; between these places
// it may be a little too low still.
const (
	arcLooks = 4
	arcOver  = 1.02
)

// lacks returns by how much an arc has to be lifted, whose height changes evenly while its
// distance from the apex does not.
func (l *laying) lacks(p Leg) (most float64) {
	from, to := l.course.height(p.From.X, p.From.Y), l.course.height(p.To.X, p.To.Y)
	c := p.centre()
	u, v := r2.Sub(p.From, c), r2.Sub(p.To, c)
	radius := exact.Dist(u.X, u.Y)
	var look func(u, v r2.Vec, a, b float64, depth int)
	look = func(u, v r2.Vec, a, b float64, depth int) {
		m := r2.Add(u, v)
		m = exact.Scale2(radius/exact.Dist(m.X, m.Y), m)
		mid := (a + b) / 2
		most = max(most, l.course.Tool.Tip(c.X+m.X, c.Y+m.Y)-from-float64(mid*(to-from)))
		if depth > 1 {
			look(u, m, a, mid, depth-1)
			look(m, v, mid, b, depth-1)
		}
	}
	look(u, v, 0, 1, arcLooks)
	return float64(most * arcOver)
}

// turn adds an arc as seen from above.
func (b *Builder) turn(p Leg, to r3.Vec, feed float64) {
	long := InPlan(b.At, to)
	if long < 4*b.Grid.Step {
		b.Line(to, feed)
		return
	}
	o := p.centre()
	clockwise := exact.Cross2(r2.Sub(p.From, o), r2.Sub(p.To, o)) < 0
	m := path.Move{Kind: path.Arc, From: b.At, To: to, Plane: path.XY, Clockwise: clockwise}
	// Written as an increment from the start; of the places around it the one from which
	// both ends are most nearly as far.
	least := math.Inf(1)
	for i := -1.0; i <= 1; i++ {
		for j := -1.0; j <= 1; j++ {
			c := r3.Vec{X: b.At.X + b.Grid.Near(o.X-b.At.X+float64(i*b.Grid.Step)), Y: b.At.Y + b.Grid.Near(o.Y-b.At.Y+float64(j*b.Grid.Step)), Z: b.At.Z}
			off := math.Abs(InPlan(b.At, c) - InPlan(to, c))
			if i == 0 && j == 0 {
				off -= b.Grid.Step / 4
			}
			if off < least {
				least, m.Centre = off, c
			}
		}
	}
	slope := (to.Z - b.At.Z) / long
	f := min(b.Piece.Machine.FeedAlong(r3.Vec{X: 1, Z: slope}, feed), b.Piece.Machine.FeedAlong(r3.Vec{Y: 1, Z: slope}, feed))
	m.Feed = work.FloorFeed(b.Piece.Machine, f)
	b.Add(m)
}

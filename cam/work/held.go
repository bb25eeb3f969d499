package work

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// NearSide and nearAbove are how close, in mm, anything that moves may come
	// to a hold-down from the side and from above.
	NearSide, nearAbove = 2.0, 2.0
)

// part is a piece of what moves: a cylinder that begins some way above the tip.
type part struct {
	name          string
	radius, above float64
}

// parts returns cutter, shank, holder and hood.
func parts(m machines.Machine, c path.Cutter) []part {
	ps := []part{
		{"cutter", c.Radius(), 0},
		{"shank", c.Shank / 2, c.FluteLength},
		{"holder", m.Holder.Diameter / 2, c.StickOut},
	}
	if h := m.Hood; h != nil {
		ps = append(ps, part{"hood", h.Diameter / 2, h.AboveTip})
	}
	return ps
}

// away returns the distance in plan from (x, y) to the nearest place of the move.
// An arc of a pass is straight in plan, or one of at most half a turn in XY.
func away(m path.Move, x, y float64) float64 {
	if m.Kind == path.Arc && m.Plane == path.XY {
		p, a, b := r3.Vec{X: x - m.Centre.X, Y: y - m.Centre.Y}, r3.Sub(m.From, m.Centre), r3.Sub(m.To, m.Centre)
		if m.Clockwise {
			a, b = b, a
		}
		if float64(a.X*p.Y) >= float64(a.Y*p.X) && float64(p.X*b.Y) >= float64(p.Y*b.X) {
			return math.Abs(exact.Dist(p.X, p.Y) - exact.Dist(a.X, a.Y))
		}
		return min(exact.Dist(p.X-a.X, p.Y-a.Y), exact.Dist(p.X-b.X, p.Y-b.Y))
	}
	return path.Obstacle{X: m.From.X, Y: m.From.Y, DX: m.To.X - m.From.X, DY: m.To.Y - m.From.Y}.Clear(x, y)
}

// awayFrom returns the distance in plan from the middle line of an obstacle to the
// nearest place of the move. Of a fence, the nearest of two straight pieces that do
// not cross is an end of one of them; an arc counts as chords that leave it by a
// hundredth of the room that is kept.
func awayFrom(m path.Move, o path.Obstacle) float64 {
	ends := o.Ends()
	if o.DX == 0 && o.DY == 0 {
		return away(m, o.X, o.Y)
	}
	wall := path.Move{Kind: path.Line, From: r3.Vec{X: ends[0][0], Y: ends[0][1]}, To: r3.Vec{X: ends[1][0], Y: ends[1][1]}}
	n := 1
	if m.Kind == path.Arc && m.Plane == path.XY {
		r := exact.Dist(m.From.X-m.Centre.X, m.From.Y-m.Centre.Y)
		n = min(2000, 1+int(math.Pi/math.Acos(1-min(1, 0.01*NearSide/max(r, 0.01)))))
	}
	best, a := math.Inf(1), m.From
	for k := range n {
		b := m.At(float64(k+1) / float64(n))
		piece := path.Move{Kind: path.Line, From: a, To: b}
		if crossing(a, b, wall.From, wall.To) {
			return 0
		}
		best = min(best, min(min(away(piece, ends[0][0], ends[0][1]), away(piece, ends[1][0], ends[1][1])),
			min(away(wall, a.X, a.Y), away(wall, b.X, b.Y))))
		a = b
	}
	if n > 1 {
		best -= 0.01 * NearSide
	}
	return best
}

// crossing reports whether the pieces from a to b and from p to q cross in plan.
func crossing(a, b, p, q r3.Vec) bool {
	side := func(a, b, c r3.Vec) float64 {
		return float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
	}
	return side(a, b, p)*side(a, b, q) < 0 && side(p, q, a)*side(p, q, b) < 0
}

// NearHoldDowns returns the hold-downs and obstacles that something comes near to,
// each with the worst of it.
func NearHoldDowns(w Piece, programs []Program) (ps Problems) {
	for _, t := range w.Things() {
		h := t.Obstacle
		worst, what := 0.0, ""
		for _, pr := range programs {
			for _, p := range parts(w.Machine, pr.Cutter) {
				need := p.radius + h.Radius + NearSide
				for _, s := range pr.Sections {
					for _, m := range s.Moves {
						low := min(m.From.Z, m.To.Z)
						if m.Kind == path.Arc { // the passes' arcs are lowest or highest at their middle
							low = min(low, m.At(0.5).Z)
						}
						if low+p.above >= h.Height+nearAbove {
							continue
						}
						if short := need - awayFrom(m, h); short > worst {
							worst, what = short, fmt.Sprintf("the %s of %s", p.name, pr.Cutter.Name)
						}
					}
				}
			}
		}
		if worst > 0 {
			ps.Add(KindHoldDown, t.Key, measure.Say("%s comes within %s of the %s at %s", what, measure.MM(max(0, NearSide-worst)), t, measure.At(h.X, h.Y)),
				measure.Say("move it at least %s further from the apex, or use one that is lower or narrower", measure.MM(math.Ceil(worst*10)/10)))
		}
	}
	return ps
}

// BeyondTravel compares the programs' extents, as the machine is told them, with the travel.
func BeyondTravel(w *Work, programs []Program) (ps Problems) {
	for _, pr := range programs {
		t, size := w.Machine.Travel, w.RunsOver(pr)
		if size.X > t.X || size.Y > t.Y {
			ps.Add(KindTravel, KeyMachine, measure.Say("the passes of %s run over %s by %s; %s travels %s by %s", pr.Cutter.Name, measure.MM(size.X), measure.MM(size.Y), w.Machine.Name, measure.MM(t.X), measure.MM(t.Y)), measure.Say("a smaller cutter or diameter, or a machine with more travel"))
		}
	}
	return ps
}

// RunsOver returns how much of the travel a program takes: in one setup twice as much as it
// runs to one side of X0 Y0 at most, which stands in the middle.
func (w *Work) RunsOver(p Program) r3.Vec {
	told := p
	told.Sections = nil
	for _, s := range p.Sections {
		s.Moves = Compensated(w, s.Moves)
		told.Sections = append(told.Sections, s)
	}
	b := told.Extents()
	if w.Setups.Count != 0 {
		return r3.Sub(b.Max, b.Min)
	}
	return r3.Vec{X: 2 * max(b.Max.X, -b.Min.X), Y: 2 * max(b.Max.Y, -b.Min.Y)}
}

// InTheWay returns why the machine cannot make a section's moves with c: the
// hold-downs that something would come near to, and the end of the travel.
func InTheWay(w Piece, c path.Cutter, s Section) Problems {
	one := []Program{{Cutter: c, Sections: []Section{s}}}
	return append(NearHoldDowns(w, one), BeyondTravel(w.Work, one)...)
}

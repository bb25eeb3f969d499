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

// awayFrom returns the distance in plan from the middle line of an obstacle to the nearest
// place of the move. The nearest of two straight pieces that do not cross is an end of one of
// them; an arc counts as chords that leave it by a hundredth of the room that is kept.
func awayFrom(m path.Move, o path.Obstacle) float64 {
	o.Radius = 0
	n, ends := 1, o.Ends()
	if m.Kind == path.Arc && m.Plane == path.XY {
		r := exact.Dist(m.From.X-m.Centre.X, m.From.Y-m.Centre.Y)
		n = min(2000, 1+int(math.Pi/math.Acos(1-min(1, 0.01*NearSide/max(r, 0.01)))))
	}
	best, a := math.Inf(1), m.From
	for k := range n {
		b := m.At(float64(k+1) / float64(n))
		piece := path.Obstacle{X: a.X, Y: a.Y, DX: b.X - a.X, DY: b.Y - a.Y}
		if crossing(piece.Ends(), ends) {
			return 0
		}
		for i, e := range piece.Ends() {
			best = min(best, o.Clear(e[0], e[1]), piece.Clear(ends[i][0], ends[i][1]))
		}
		a = b
	}
	if n > 1 {
		best -= 0.01 * NearSide
	}
	return best
}

// crossing reports whether two straight pieces cross.
func crossing(p, q [2][2]float64) bool {
	side := func(p [2][2]float64, c [2]float64) float64 {
		return float64((p[1][0]-p[0][0])*(c[1]-p[0][1])) - float64((p[1][1]-p[0][1])*(c[0]-p[0][0]))
	}
	return side(p, q[0])*side(p, q[1]) < 0 && side(q, p[0])*side(q, p[1]) < 0
}

// NearHoldDowns returns the hold-downs and obstacles that something comes near to,
// each with the worst of it.
func NearHoldDowns(w Piece, programs []Program) (ps Problems) {
	for _, t := range w.Things() {
		h := t.Obstacle
		worst, what := 0.0, ""
		for _, pr := range programs {
			moving := parts(w.Machine, pr.Cutter)
			for _, s := range pr.Sections {
				for _, m := range s.Moves {
					low := min(m.From.Z, m.To.Z)
					if m.Kind == path.Arc { // the passes' arcs are lowest or highest at their middle
						low = min(low, m.At(0.5).Z)
					}
					if low >= h.Height+nearAbove {
						continue
					}
					away := awayFrom(m, h)
					for _, p := range moving {
						short := p.radius + h.Radius + NearSide - away
						if low+p.above < h.Height+nearAbove && short > worst {
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

package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"
	"dishwright/dish/extra"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// edgeSlack is how far, in mm, the edge of an extra may stay short of where it should be.
const edgeSlack = 0.05

// undone lists what of the extras is not made as it should be, with how far off
// the worst edge of a cut-out is.
func (c Case) undone(programs []Program, in []*volumes) (list []Finding, edge float64) {
	if c.Extras.Empty() {
		return nil, 0
	}
	find := func(x, y, z, amount float64, format string, args ...any) {
		f := Finding{Line: 1, Column: 1, Kind: KindExtra, X: x, Y: y, Amount: amount, Message: fmt.Sprintf(format, args...)}
		f.blame(z, programs, in)
		list = append(list, f)
	}
	for _, h := range c.Extras.Holes {
		c.undoneHole(h, programs, find)
	}
	for _, g := range c.Extras.Grooves {
		c.undoneGroove(g, programs, find)
	}
	for _, o := range c.Extras.CutOuts {
		edge = max(edge, c.undoneCutOut(o, programs, find)+o.Chord)
	}
	return list, edge
}

// tell takes what is found at a place.
type tell func(x, y, z, amount float64, format string, args ...any)

// undoneHole looks at the wall of a hole and all over its floor for the place that lies
// farthest out of what is cut.
func (c Case) undoneHole(h extra.Hole, programs []Program, find tell) {
	low := c.lowMoves(programs, h.Bottom, h.X, h.Y, h.Radius)
	worst, at := math.Inf(-1), r2.Vec{}
	look := func(p r2.Vec) {
		if d := low.short(p); d > worst {
			worst, at = d, p
		}
	}
	const round = 48
	for k := range round {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / round)
		look(r2.Vec{X: h.X + h.Radius*cos, Y: h.Y + h.Radius*sin})
	}
	left := low.leave(h)
	const most = 400 // enough to say where; each is held against every move
	for k := 0; k < len(left); k += len(left)/most + 1 {
		look(left[k])
	}
	if worst > edgeSlack {
		find(at.X, at.Y, h.Bottom, finiteOr(worst, h.Radius), "%s is not cut to its depth of %.2f mm and its diameter of %.2f mm", h.Name, -h.Bottom, 2*h.Radius)
	}
}

// How far apart the places of a hole's floor are, mm, and how many of them there are at
// most from its middle to its wall.
const (
	floorStep  = 0.5
	floorSteps = 100
)

// leave returns the places of a hole's floor that no move comes over. What is as narrow
// as a step, all round, still holds some of them: rings cross a square grid everywhere.
func (l lows) leave(h extra.Hole) (left []r2.Vec) {
	n := int(min(floorSteps, math.Ceil(h.Radius/floorStep)))
	step, side := h.Radius/float64(n), 2*n+1
	cut := make([]bool, side*side)
	index := func(v float64) int { return int(max(0, min(float64(side), v/step+float64(n)))) }
	over := func(a, b r3.Vec, reach float64) {
		for j := index(min(a.Y, b.Y) - reach - h.Y); j < min(side, index(max(a.Y, b.Y)+reach-h.Y)+1); j++ {
			for i := index(min(a.X, b.X) - reach - h.X); i < min(side, index(max(a.X, b.X)+reach-h.X)+1); i++ {
				if k := j*side + i; !cut[k] {
					d, _ := segmentDistance(a.X, a.Y, b.X, b.Y, h.X+float64(step*float64(i-n)), h.Y+float64(step*float64(j-n)))
					cut[k] = d <= reach
				}
			}
		}
	}
	for _, one := range l {
		pieces, a := 1, one.m.From
		if one.m.Kind == path.Arc {
			pieces = arcPieces(one.m)
		}
		for k := range pieces {
			b := one.m.At(float64(k+1) / float64(pieces))
			over(a, b, one.r+edgeSlack)
			a = b
		}
	}
	for j := range side {
		for i := range side {
			x, y := float64(step*float64(i-n)), float64(step*float64(j-n))
			if !cut[j*side+i] && math.Hypot(x, y) <= h.Radius {
				left = append(left, r2.Vec{X: h.X + x, Y: h.Y + y})
			}
		}
	}
	return left
}

// undoneGroove looks along a groove for a place that no move has cut.
func (c Case) undoneGroove(g extra.Groove, programs []Program, find tell) {
	for i := 1; i < len(g.Way); i++ {
		a, b := g.Way[i-1], g.Way[i]
		n := max(1, int(math.Ceil(r3.Norm(r3.Sub(b, a))/2)))
		for k := range n + 1 {
			p := exact.Along3(a, r3.Sub(b, a), float64(k)/float64(n))
			if !c.traced(p, programs) {
				find(p.X, p.Y, p.Z, g.Depth, "%s is not cut here", g.Name)
				return
			}
		}
	}
}

// traced reports whether a cutting move comes to a place of a groove.
func (c Case) traced(p r3.Vec, programs []Program) bool {
	for _, one := range programs {
		for _, m := range one.Path.Moves {
			if m.Kind == path.Traverse || !finite(m.From) || !finite(m.To) {
				continue
			}
			if lo, hi := bounds(m); lo.Z > p.Z+extraSlack || lo.X > p.X+1 || hi.X < p.X-1 || lo.Y > p.Y+1 || hi.Y < p.Y-1 {
				continue
			}
			if d, at := nearestPlace(m, p.X, p.Y); d <= 2*extraSlack && at.Z <= p.Z+2*extraSlack {
				return true
			}
		}
	}
	return false
}

// undoneCutOut looks along a cut-out's edge for a place that is not cut through,
// or over a tab not down to it, and returns how far off the edge is at most.
func (c Case) undoneCutOut(o extra.CutOut, programs []Program, find tell) (edge float64) {
	through := c.lowMoves(programs, o.Bottom, 0, 0, math.Inf(1))
	toTabs := through
	if len(o.Tabs) > 0 { // all of one height
		toTabs = c.lowMoves(programs, o.Tabs[0].Top, 0, 0, math.Inf(1))
	}
	points, normals := o.Ring.Line()
	for i, a := range points {
		b := points[(i+1)%len(points)]
		n := max(1, int(math.Ceil(r2.Norm(r2.Sub(b, a))/edgeStep)))
		for k := range n {
			p := exact.Along2(a, r2.Sub(b, a), float64(k)/float64(n))
			axis := exact.Along2(p, normals[i], o.Cutter)
			moves, what := through, "through the blank"
			if len(o.Tabs) > 0 && o.Clear(axis.X, axis.Y) < o.Cutter+edgeStep {
				moves, what = toTabs, "down to its tab"
			}
			d := moves.short(p)
			if d > edgeSlack {
				find(p.X, p.Y, o.Bottom, finiteOr(d, o.Ring.Width), "%s is not cut %s here", o.Name, what)
				return edge
			}
			edge = max(edge, math.Abs(d))
		}
	}
	return edge
}

// edgeStep is how far apart, in mm, the places of a cut-out's edge are looked at.
const edgeStep = 1.0

// finiteOr returns v, or other where v is no number.
func finiteOr(v, other float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return other
	}
	return v
}

// lows are moves that go down to some depth near a place, with the radius of what
// their cutter makes level there.
type lows []struct {
	m path.Move
	r float64
}

// lowMoves returns the cutting moves that keep to the depth within reach of a disc.
func (c Case) lowMoves(programs []Program, bottom, x, y, radius float64) (list lows) {
	for _, p := range programs {
		for _, m := range p.Path.Moves {
			if m.Kind == path.Traverse || !finite(m.From) || !finite(m.To) || max(m.From.Z, m.To.Z) > bottom+extraSlack {
				continue
			}
			if planDistance(m, x, y) <= radius+p.Cutter.Radius()+1 {
				list = append(list, struct {
					m path.Move
					r float64
				}{m, p.Cutter.FlatRadius()})
			}
		}
	}
	return list
}

// short returns how far a place lies outside what the moves clear; negative inside.
func (l lows) short(p r2.Vec) float64 {
	least := math.Inf(1)
	for _, one := range l {
		least = min(least, planDistance(one.m, p.X, p.Y)-one.r)
	}
	return least
}

// blame names the line that comes nearest to what is not made down to z, of the
// programs that cut nothing but extras; the last program where there is none.
func (f *Finding) blame(z float64, programs []Program, in []*volumes) {
	least := math.Inf(1)
	for i, p := range programs {
		if i == len(programs)-1 && math.IsInf(least, 1) {
			f.Program = p.Name
		}
		if !in[i].only() {
			continue
		}
		for _, m := range p.Path.Moves {
			if lo, _ := bounds(m); m.Kind == path.Traverse || !(lo.Z < 0) {
				continue
			}
			if d := math.Hypot(planDistance(m, f.X, f.Y), m.To.Z-z); d < least {
				least = d
				f.Program, f.Line, f.Column = p.Name, m.Source.Line, m.Source.Column
			}
		}
	}
}

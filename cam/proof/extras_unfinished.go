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

// edgeTolerance is how far, in mm, the edge of an extra may stay short of where it should be.
const edgeTolerance = 0.05

// unfinishedExtras lists which extras are not cut as they should be, and returns how far
// off the worst edge of a cut-out is, mm.
func (c Case) unfinishedExtras(programs []Program, extras []*programExtras) (list []Finding, edge float64) {
	if c.Extras.Empty() {
		return nil, 0
	}
	find := func(x, y, z, amount float64, format string, args ...any) {
		f := Finding{Line: 1, Column: 1, Kind: KindExtra, X: x, Y: y, Amount: amount, Message: fmt.Sprintf(format, args...)}
		f.nameNearestLine(z, programs, extras)
		list = append(list, f)
	}
	for _, h := range c.Extras.Holes {
		c.unfinishedHole(h, programs, find)
	}
	for _, g := range c.Extras.Grooves {
		c.unfinishedGroove(g, programs, find)
	}
	for _, o := range c.Extras.CutOuts {
		edge = max(edge, c.unfinishedCutOut(o, programs, find)+o.ChordTolerance)
	}
	return list, edge
}

// reporter takes a finding at a place.
type reporter func(x, y, z, amount float64, format string, args ...any)

// unfinishedHole searches the wall of a hole and its whole floor for the place that lies
// farthest outside what is cut.
func (c Case) unfinishedHole(h extra.Hole, programs []Program, find reporter) {
	low := c.movesDownTo(programs, h.Bottom, h.X, h.Y, h.Radius)
	worst, at := math.Inf(-1), r2.Vec{}
	look := func(p r2.Vec) {
		if d := low.shortfall(p); d > worst {
			worst, at = d, p
		}
	}
	const round = 48
	for k := range round {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / round)
		look(r2.Vec{X: h.X + h.Radius*cos, Y: h.Y + h.Radius*sin})
	}
	left := low.uncutPlaces(h)
	const most = 400 // enough to say where; each is held against every move
	for k := 0; k < len(left); k += len(left)/most + 1 {
		look(left[k])
	}
	if worst > edgeTolerance {
		find(at.X, at.Y, h.Bottom, finiteOr(worst, h.Radius), "%s is not cut to its depth of %.2f mm and its diameter of %.2f mm", h.Name, -h.Bottom, 2*h.Radius)
	}
}

// The places at which a hole's floor is examined are holeGridStep mm apart, with at most
// maxHoleGridSteps steps from the middle to the wall.
const (
	holeGridStep     = 0.5
	maxHoleGridSteps = 100
)

// uncutPlaces returns the places of a hole's floor that no move passes over. An uncut
// ring no wider than a step still holds some of them: a ring crosses a square grid.
func (l deepMoves) uncutPlaces(h extra.Hole) (left []r2.Vec) {
	n := int(min(maxHoleGridSteps, math.Ceil(h.Radius/holeGridStep)))
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
			pieces = arcChords(one.m)
		}
		for k := range pieces {
			b := one.m.At(float64(k+1) / float64(pieces))
			over(a, b, one.r+edgeTolerance)
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

// unfinishedGroove searches a groove for a place that no move cuts.
func (c Case) unfinishedGroove(g extra.Groove, programs []Program, find reporter) {
	for i := 1; i < len(g.Path); i++ {
		a, b := g.Path[i-1], g.Path[i]
		n := max(1, int(math.Ceil(r3.Norm(r3.Sub(b, a))/2)))
		for k := range n + 1 {
			p := exact.AddScaled3(a, r3.Sub(b, a), float64(k)/float64(n))
			if !c.grooveCut(p, programs) {
				find(p.X, p.Y, p.Z, g.Depth, "%s is not cut here", g.Name)
				return
			}
		}
	}
}

// grooveCut reports whether a cutting move passes a place of a groove.
func (c Case) grooveCut(p r3.Vec, programs []Program) bool {
	for _, one := range programs {
		for _, m := range one.Path.Moves {
			if m.Kind == path.Traverse || !finite(m.From) || !finite(m.To) {
				continue
			}
			if lo, hi := moveBox(m); lo.Z > p.Z+volumeTolerance || lo.X > p.X+1 || hi.X < p.X-1 || lo.Y > p.Y+1 || hi.Y < p.Y-1 {
				continue
			}
			if d, at := nearestPlace(m, p.X, p.Y); d <= 2*volumeTolerance && at.Z <= p.Z+2*volumeTolerance {
				return true
			}
		}
	}
	return false
}

// unfinishedCutOut searches a cut-out's edge for a place that is not cut through (over
// a tab: not down to it), and returns how far off the edge is at most.
func (c Case) unfinishedCutOut(o extra.CutOut, programs []Program, find reporter) (edge float64) {
	through := c.movesDownTo(programs, o.Bottom, 0, 0, math.Inf(1))
	toTabs := through
	if len(o.Tabs) > 0 { // all of one height
		toTabs = c.movesDownTo(programs, o.Tabs[0].Top, 0, 0, math.Inf(1))
	}
	points, normals := o.Slot.Line()
	for i, a := range points {
		b := points[(i+1)%len(points)]
		n := max(1, int(math.Ceil(r2.Norm(r2.Sub(b, a))/edgeStep)))
		for k := range n {
			p := exact.AddScaled2(a, r2.Sub(b, a), float64(k)/float64(n))
			axis := exact.AddScaled2(p, normals[i], o.CutterRadius)
			moves, what := through, "through the blank"
			if len(o.Tabs) > 0 && o.TabClearance(axis.X, axis.Y) < o.CutterRadius+edgeStep {
				moves, what = toTabs, "down to its tab"
			}
			d := moves.shortfall(p)
			if d > edgeTolerance {
				find(p.X, p.Y, o.Bottom, finiteOr(d, o.Slot.Width), "%s is not cut %s here", o.Name, what)
				return edge
			}
			edge = max(edge, math.Abs(d))
		}
	}
	return edge
}

// edgeStep is how far apart, in mm, the places are at which a cut-out's edge is examined.
const edgeStep = 1.0

// finiteOr returns v, or other where v is no number.
func finiteOr(v, other float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return other
	}
	return v
}

// deepMoves are moves that go down to some depth near a place, each with the radius of
// the level floor that its cutter leaves.
type deepMoves []struct {
	m path.Move
	r float64
}

// movesDownTo returns the cutting moves that stay at a depth or below it and reach a disc.
func (c Case) movesDownTo(programs []Program, bottom, x, y, radius float64) (list deepMoves) {
	for _, p := range programs {
		for _, m := range p.Path.Moves {
			if m.Kind == path.Traverse || !finite(m.From) || !finite(m.To) || max(m.From.Z, m.To.Z) > bottom+volumeTolerance {
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

// shortfall returns how far a place lies outside what the moves clear; negative inside.
func (l deepMoves) shortfall(p r2.Vec) float64 {
	least := math.Inf(1)
	for _, d := range l {
		least = min(least, planDistance(d.m, p.X, p.Y)-d.r)
	}
	return least
}

// nameNearestLine names the line that comes nearest to what is not cut down to z, of the
// programs that cut only extras; the last program where there is none.
func (f *Finding) nameNearestLine(z float64, programs []Program, extras []*programExtras) {
	least := math.Inf(1)
	for i, p := range programs {
		if i == len(programs)-1 && math.IsInf(least, 1) {
			f.Program = p.Name
		}
		if !extras[i].cutsOnlyExtras() {
			continue
		}
		for _, m := range p.Path.Moves {
			if lo, _ := moveBox(m); m.Kind == path.Traverse || !(lo.Z < 0) {
				continue
			}
			if d := math.Hypot(planDistance(m, f.X, f.Y), m.To.Z-z); d < least {
				least = d
				f.Program, f.Line, f.Column = p.Name, m.Source.Line, m.Source.Column
			}
		}
	}
}

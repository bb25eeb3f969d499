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

const (
	// extraSlack is how far, in mm, a cutter may reach out of an extra's volume: the
	// chords of a round wall and the steps of the coordinates, far below what a
	// hobby router holds.
	extraSlack = 0.02
	// wideSlack is by how much a groove may be wider than stated: on a slope the
	// cutter's end meets the wood a little higher on its one side.
	wideSlack = 0.1
	// leastPiece is the length in mm at which the search along a move stops.
	leastPiece = extraSlack
	// hoodRoom is how far the hood stands above the blank's top where it has been
	// raised for a deep extra, mm.
	hoodRoom = 2.0
)

// volume says whether a move stays in the volume of an extra, and how deep that
// volume goes there.
type volume struct {
	within bool
	bottom float64
}

// volumeOf finds the volume of an extra that holds the whole of a move.
func (c Case) volumeOf(cutter path.Cutter, m path.Move) volume {
	lo, _ := bounds(m)
	if c.Extras.Empty() || !finite(m.From) && !finite(r3.Vec{X: m.To.X, Y: m.To.Y}) || math.IsNaN(lo.Z) {
		return volume{}
	}
	if !finite(m.From) {
		m = path.Move{Kind: path.Line, From: m.To, To: m.To}
	}
	r := cutter.Radius()
	for _, h := range c.Extras.Holes {
		if lo.Z >= h.Bottom-GougeLimit && most(m, func(x, y float64) float64 { return h.Beyond(x, y, r) }) {
			return volume{true, h.Bottom}
		}
	}
	for _, o := range c.Extras.CutOuts {
		if lo.Z >= o.Bottom-GougeLimit && most(m, func(x, y float64) float64 { return o.Beyond(x, y, r) }) && sparesTabs(o, lo.Z, r, m) {
			return volume{true, o.Bottom}
		}
	}
	for _, g := range c.Extras.Grooves {
		if cutter.Width(g.Depth) <= g.Wide+wideSlack && inGroove(g, m) {
			return volume{true, lo.Z}
		}
	}
	return volume{}
}

// sparesTabs reports whether a move leaves a cut-out's tabs as they should be.
func sparesTabs(o extra.CutOut, low, r float64, m path.Move) bool {
	for _, t := range o.Tabs {
		if low < t.Top-GougeLimit {
			return most(m, func(x, y float64) float64 { return r - o.Clear(x, y) })
		}
	}
	return true
}

// inGroove reports whether a move keeps over the groove's way and no deeper.
func inGroove(g extra.Groove, m path.Move) bool {
	if m.Kind == path.Arc {
		return false
	}
	for i := 1; i < len(g.Way); i++ {
		one := extra.Groove{Way: g.Way[i-1 : i+1]}
		ok := true
		for _, p := range [2]r3.Vec{m.From, m.To} {
			off, bottom := one.Nearest(p.X, p.Y)
			ok = ok && off <= extraSlack && p.Z >= bottom-extraSlack
		}
		if ok { // what is near a straight line at both its ends is so between them
			return true
		}
	}
	return false
}

// most reports whether f is nowhere along a move above extraSlack. f changes no
// faster than the place: over a piece it is at most the mean of its ends and half
// the piece's length.
func most(m path.Move, f func(x, y float64) float64) bool {
	at := func(t float64) (x, y float64) { v := m.At(t); return v.X, v.Y }
	long := m.Length() // of an arc or a slope more than in plan
	value := func(t float64) float64 { return f(at(t)) }
	var piece func(a, b, fa, fb float64) bool
	piece = func(a, b, fa, fb float64) bool {
		l := long * (b - a)
		if fa > extraSlack || fb > extraSlack {
			return false
		}
		if (fa+fb+l)/2 <= extraSlack || l <= leastPiece {
			return true
		}
		mid := (a + b) / 2
		fm := value(mid)
		return piece(a, mid, fa, fm) && piece(mid, b, fm, fb)
	}
	if math.IsNaN(long) || long > farthest {
		return false
	}
	return piece(0, 1, value(0), value(1))
}

// volumes finds, once for each program, what of its moves lies in extras: only
// those that come below the blank's top are asked for.
type volumes struct {
	c    Case
	p    Program
	know map[int]volume
}

func (v *volumes) at(i int) volume {
	if v.c.Extras.Empty() {
		return volume{}
	}
	if k, ok := v.know[i]; ok {
		return k
	}
	k := v.c.volumeOf(v.p.Cutter, v.p.Path.Moves[i])
	if v.know == nil {
		v.know = map[int]volume{}
	}
	v.know[i] = k
	return k
}

// only reports whether the program cuts, and nothing but extras.
func (v *volumes) only() bool {
	cuts := false
	for i, m := range v.p.Path.Moves {
		if lo, _ := bounds(m); m.Kind == path.Traverse || lo.Z >= 0 {
			continue
		}
		if !v.at(i).within {
			return false
		}
		cuts = true
	}
	return cuts
}

// idle reports whether the program cuts nothing at all.
func (p Program) idle() bool {
	for _, m := range p.Path.Moves {
		if lo, _ := bounds(m); m.Kind != path.Traverse && !(lo.Z >= 0) {
			return false
		}
	}
	return true
}

// raised returns the machine as it must stand for the program: its hood raised
// where an extra goes deeper than the hood hangs above the tip, as the program says.
func (c Case) raised(v *volumes) Case {
	h := c.Machine.Hood
	if h == nil {
		return c
	}
	deep := 0.0
	for i, m := range v.p.Path.Moves {
		if lo, _ := bounds(m); lo.Z < hoodRoom-h.AboveTip && v.at(i).within {
			deep = min(deep, lo.Z)
		}
	}
	if deep < 0 {
		up := *h
		up.AboveTip = hoodRoom - deep
		c.Machine.Hood = &up
	}
	return c
}

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
		low := c.lowMoves(programs, h.Bottom, h.X, h.Y, h.Radius)
		worst, at := math.Inf(-1), r2.Vec{}
		const round = 48
		for k := range round + 1 {
			p := r2.Vec{X: h.X, Y: h.Y}
			if k < round {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / round)
				p = r2.Vec{X: h.X + h.Radius*cos, Y: h.Y + h.Radius*sin}
			}
			if d := low.short(p); d > worst {
				worst, at = d, p
			}
		}
		if worst > edgeSlack {
			find(at.X, at.Y, h.Bottom, finiteOr(worst, h.Radius), "%s is not cut to its depth of %.2f mm and its diameter of %.2f mm", h.Name, -h.Bottom, 2*h.Radius)
		}
	}
	for _, g := range c.Extras.Grooves {
		c.undoneGroove(g, programs, find)
	}
	for _, o := range c.Extras.CutOuts {
		edge = max(edge, c.undoneCutOut(o, programs, find)+o.Chord)
	}
	return list, edge
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

// edgeSlack is how far, in mm, the edge of an extra may stay short of where it should be.
const edgeSlack = 0.05

// finiteOr returns v, or other where v is no number.
func finiteOr(v, other float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return other
	}
	return v
}

// lows are moves that go down to some depth near a place, with the radius of their cutter.
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
				}{m, p.Cutter.Radius()})
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

// undoneGroove looks along a groove for a place that no move has cut.
func (c Case) undoneGroove(g extra.Groove, programs []Program, find func(x, y, z, amount float64, format string, args ...any)) {
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
func (c Case) undoneCutOut(o extra.CutOut, programs []Program, find func(x, y, z, amount float64, format string, args ...any)) (edge float64) {
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

package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/extra"

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
		if lo.Z >= h.Bottom-GougeTolerance && most(m, func(x, y float64) float64 { return h.Beyond(x, y, r) }) {
			return volume{true, h.Bottom}
		}
	}
	for _, o := range c.Extras.CutOuts {
		if lo.Z >= o.Bottom-GougeTolerance && most(m, func(x, y float64) float64 { return o.Beyond(x, y, r) }) && sparesTabs(o, lo.Z, r, m) {
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
		if low < t.Top-GougeTolerance {
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

package proof

import (
	"math"

	"dishwright/cam/path"
)

// What programs do to wood at single places, carried out move by move. What is claimed of
// a move is never more than it does:
//
//   - Its bite at a place is what stood there when the path last was more than the rind
//     outside it, less what the path leaves once it has come more than the rind inside,
//     with the tip no lower than when it came near: what is cut from the side.
//   - Traverses take what they lower there, all together from when the path comes near
//     until it leaves, once one comes more than the rind inside.
//   - A descent takes under the core what it lowers there while the axis stays where it
//     is, lifts and traverses included.

// claim is the worst that was seen of one kind, and where.
type claim struct {
	amount  float64
	x, y    float64
	program int
	line    int
}

func (c *claim) take(amount, x, y float64, program, line int) {
	if amount > c.amount {
		*c = claim{amount, x, y, program, line}
	}
}

// deeds are the worst of all places, of each program.
type deeds struct{ bite, traverse, plunge, contact claim }

// column is a place of the blank while programs run.
type column struct {
	x, y, stood float64
	near        bool    // the path has come near and not left
	base, level float64 // what stood, and where the tip was, when it came
	dashed      float64 // what traverses have taken since
	pole        r3xy    // where the descent under way began
	before      float64 // what stood there then
	sinking     bool
}

type r3xy struct{ x, y float64 }

// stand is how far the axis may wander, in mm, in what still counts as a plunge. One that
// wanders by so much while it goes down tenths of a millimetre is steeper than any ramp.
const stand = 0.02

// carry takes the columns through all programs.
func (d *deceit) carry(columns []column) (worst []deeds) {
	worst = make([]deeds, len(d.programs))
	for i := range columns {
		c := &columns[i]
		c.stood = 0
		if d.limits.Blank.Inside(c.x, c.y) < 0 {
			c.stood = math.Inf(-1)
		}
	}
	rind := d.limits.CellSize / 4
	for n, p := range d.programs {
		e := endOf(p.Cutter)
		var strokes [][]stroke
		for _, m := range p.Path.Moves {
			strokes = append(strokes, strokesOf(m))
		}
		for i := range columns {
			c := &columns[i]
			c.near, c.sinking = false, false
			for k, m := range p.Path.Moves {
				for _, s := range strokes[k] {
					c.pass(&s, e, rind, m, p.Cutter, &worst[n], n)
				}
			}
		}
	}
	return worst
}

// pass carries one stroke out.
func (c *column) pass(s *stroke, e end, rind float64, m path.Move, cutter path.Cutter, w *deeds, program int) {
	if math.IsInf(c.stood, -1) {
		return
	}
	r, line := e.wide(), m.Source.Line
	lowTip := math.Min(s.a.Z, s.b.Z)
	_, off := s.nearest(c.x, c.y)
	if wide := cutter.Shank / 2; cutter.Shank > cutter.Diameter && cutter.FluteLength > 0 && off < wide {
		// what still stands after the whole stroke, where the shank came
		left := math.Min(c.stood, s.lowest(e, c.x, c.y, r, math.Inf(-1)))
		if up := s.lowest(end{wide, 0}, c.x, c.y, wide, math.Inf(-1)) + cutter.FluteLength; s.a.Z >= s.b.Z || s.a.X != s.b.X || s.a.Y != s.b.Y {
			w.contact.take(left-up, c.x, c.y, program, line)
		}
	}
	if off > r+rind || lowTip >= c.stood && !c.near {
		c.near, c.sinking = false, false
		return
	}
	// A stroke that begins outside comes near at its own height there.
	if !c.near || s.off(0, c.x, c.y) > r+rind {
		low, _, _ := s.within(c.x, c.y, r+rind)
		c.near, c.base, c.level, c.dashed = true, c.stood, s.at(low).Z, 0
	}
	if math.Max(s.a.Z, s.b.Z) >= c.base { // lifted out of the wood
		c.base, c.level = c.stood, math.Max(s.a.Z, s.b.Z)
	}
	after := math.Min(c.stood, s.lowest(e, c.x, c.y, r, math.Inf(-1)))
	if m.Kind == path.Traverse {
		if c.dashed += c.stood - after; off <= r-rind {
			w.traverse.take(c.dashed, c.x, c.y, program, line)
		}
	} else if low := s.lowest(e, c.x, c.y, r-rind, c.level); low < c.base {
		w.bite.take(c.base-low, c.x, c.y, program, line)
	}
	c.sink(s, e, cutter, w, program, line)
	c.stood = after
	if s.off(1, c.x, c.y) > r+rind {
		c.near = false
	}
}

// sink follows a descent where the axis stays, and what it takes under the core.
func (c *column) sink(s *stroke, e end, cutter path.Cutter, w *deeds, program, line int) {
	far := func(p r3xy) bool { return math.Hypot(s.b.X-p.x, s.b.Y-p.y) > stand }
	if c.sinking && far(c.pole) {
		c.sinking = false
	}
	if !c.sinking {
		c.pole = r3xy{s.a.X, s.a.Y}
		if far(c.pole) || !(s.b.Z < s.a.Z) || s.off(0, c.x, c.y) > cutter.Core/2-stand {
			return
		}
		c.sinking, c.before = true, c.stood
	}
	if math.Max(s.a.Z, s.b.Z) > c.before { // out of the wood
		c.before = c.stood
	}
	if low := s.lowest(e, c.x, c.y, e.wide(), math.Inf(-1)); s.round || low < c.stood {
		w.plunge.take(c.before-low, c.x, c.y, program, line)
	}
}

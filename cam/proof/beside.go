package proof

import (
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// beside is the wood beside the face that stays as it is while a program runs: the places of
// the blank outside the regions that this program and those before it may cut.
//
// A tip at a depth h under the blank's top takes some of all the wood within Width(h)/2 of
// its axis. So none of what stays may be as near as that. Round a hollow that is cut out to
// its rim nothing has to be looked for: an end inside the face's sphere is nowhere under the
// blank's top outside the rim.
//
// Every answer is bounded by distances that change no faster than the place does: nothing is
// understated between two places that are looked at.
type beside struct {
	cleared []dish.Region
	blank   dish.Blank
	floor   float64 // the tip's lowest height in a crown's moat; −Inf without one
	tally   *tally
}

// round reports whether all of the face is cut.
func (c Case) round() bool {
	_, disc := c.Region.(dish.Disc)
	return disc || c.Region == nil
}

// besideFace returns, for each program, the wood beside the face that stays; nil where the
// face alone decides.
func (c Case) besideFace(programs []Program, extras []*programExtras) []*beside {
	list := make([]*beside, len(programs))
	if c.TemplatesOnly || c.Face.Level() || c.Face.Rises() && c.round() {
		return list
	}
	all := beside{cleared: []dish.Region{c.Region}, blank: c.Blank, floor: math.Inf(-1)}
	cutsFace := make([]bool, len(programs))
	for i, p := range programs {
		cutsFace[i] = !p.cutsNothing() && !extras[i].cutsOnlyExtras()
	}
	if c.round() {
		all.cleared[0], all.floor = dish.Disc{Radius: c.Face.Rim}, c.moatFloor(programs, cutsFace)
	}
	known := map[[2]path.Cutter]bool{}
	for i, p := range programs {
		for k := i; cutsFace[i] && c.Cleared != nil && k < len(programs); k++ {
			pair := [2]path.Cutter{p.Cutter, programs[k].Cutter}
			if !cutsFace[k] || programs[k].Setup != p.Setup || known[pair] {
				continue
			}
			known[pair] = true
			if r := c.Cleared(pair[0], pair[1]); !slices.Contains(all.cleared, r) {
				all.cleared = append(all.cleared, r)
			}
		}
		now := all
		now.tally = extras[i].tally
		list[i] = &now
	}
	return list
}

// moatFloor returns the tip's lowest height in the moat round a crown. A corner that touches
// the rim hangs below it by its radius less its height, c (1 − cos θ): the largest makes
// the floor for all.
func (c Case) moatFloor(programs []Program, cutsFace []bool) float64 {
	corner := 0.0
	for i, p := range programs {
		if cutsFace[i] {
			corner = max(corner, p.Cutter.Body().Corner)
		}
	}
	return -c.Face.Sagitta() - float64(corner*c.Face.Sagitta())/c.Face.Radius
}

// off returns how far a place lies outside all that may be cut, less volumeTolerance.
func (b *beside) off(x, y float64) float64 {
	least := math.Inf(1)
	for _, r := range b.cleared {
		by, _ := r.Off(x, y)
		least = min(least, by)
	}
	return least - volumeTolerance
}

const (
	// besidePiece is half the length of a piece of a move, in mm, at which the search for
	// what it takes beside the face ends; a cell of the plan is as small then.
	besidePiece = volumeTolerance / 4
	// maxBesidePieces bounds the pieces of one move; after it the bound is returned as it is.
	maxBesidePieces = 20000
)

// moveDepth returns how far a move goes below what is allowed beside the face, where, and
// what it is below of; −Inf where it stays clear of all that stays.
func (b *beside) moveDepth(c path.Cutter, m path.Move) (depth float64, at r3.Vec, below string) {
	depth = math.Inf(-1)
	lo, _ := m.Box()
	if !known(m) || !(lo.Z < -GougeTolerance) { // where it is not known, the face's own limit is the blank's top
		return depth, at, ""
	}
	if at = m.To; m.From.Z < m.To.Z {
		at = m.From
	}
	if !math.IsInf(b.floor, -1) {
		depth, below = b.floor-lo.Z, "the floor of the moat"
	}
	if b.clearAll(m, c.Body().HalfWidth(-lo.Z)) {
		return depth, at, below
	}
	if d, p := b.woodDepth(c, m); d > depth && d > 0 {
		return d, p, "the blank's top beside the face, where the job cuts nothing"
	}
	return depth, at, below
}

// clearAll reports whether a disc of radius u about any place of a move certainly reaches
// nothing that stays. How far a place lies outside a convex region is convex along a line:
// there the ends decide.
func (b *beside) clearAll(m path.Move, u float64) bool {
	u -= volumeTolerance
	for _, r := range b.cleared {
		off := func(p r3.Vec) float64 { by, _ := r.Off(p.X, p.Y); return by }
		most := max(off(m.From), off(m.To))
		if m.Kind == path.Arc && m.Plane == path.XY {
			_, r0, r1 := m.Sweep()
			most = off(m.Centre) + max(r0, r1)
		} else if !dish.Convex(r) {
			most = (off(m.From) + off(m.To) + math.Hypot(m.To.X-m.From.X, m.To.Y-m.From.Y)) / 2
		}
		if most+u <= 0 {
			return true
		}
	}
	return false
}

// woodDepth returns by how much a move would have to be raised to touch nothing that stays,
// an upper bound that is exact but for the size of a piece, and a place where it is reached.
func (b *beside) woodDepth(c path.Cutter, m path.Move) (depth float64, at r3.Vec) {
	inPlan, inHeight := moveRates(m)
	type piece struct{ from, to float64 }
	stack := []piece{{0, 1}}
	for n := 0; len(stack) > 0; n++ {
		p := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if b.tally.add(gougeLooks) {
			break
		}
		half, mid := (p.to-p.from)/2, m.At((p.from+p.to)/2)
		apart, low := float64(half*inPlan), mid.Z-float64(half*inHeight)
		if !b.woodUnder(c, mid, low+depth, apart) {
			continue
		}
		if d := b.raise(c, mid, mid.Z, 0); d > depth {
			depth, at = d, mid
			if !b.woodUnder(c, mid, low+depth, apart) {
				continue
			}
		}
		if apart <= besidePiece && half*inHeight <= GougeTolerance || n >= maxBesidePieces {
			if d := b.raise(c, mid, low, apart); d > depth {
				depth, at = d, mid
			}
			continue
		}
		stack = append(stack, piece{(p.from + p.to) / 2, p.to}, piece{p.from, (p.from + p.to) / 2})
	}
	return depth, at
}

// moveRates returns how fast a move changes its place and its height at most, mm for the
// whole of it.
func moveRates(m path.Move) (inPlan, inHeight float64) {
	d := r3.Sub(m.To, m.From)
	if m.Kind != path.Arc {
		return math.Hypot(d.X, d.Y), math.Abs(d.Z)
	}
	angle, r0, r1 := m.Sweep()
	turn := math.Hypot(math.Abs(angle)*max(r0, r1), r1-r0)
	switch m.Plane {
	case path.XY:
		return turn, math.Abs(d.Z)
	case path.ZX:
		return math.Hypot(turn, d.Y), turn
	}
	return math.Hypot(turn, d.X), turn
}

// raise returns by how much a tip that stands at height z within apart of a place would have
// to be raised there, to a micrometre.
func (b *beside) raise(c path.Cutter, p r3.Vec, z, apart float64) float64 {
	if !b.woodUnder(c, p, z, apart) {
		return 0
	}
	lo, hi := 0.0, -z
	for hi-lo > GougeTolerance/2 {
		if mid := (lo + hi) / 2; b.woodUnder(c, p, z+mid, apart) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// woodUnder reports whether a tip at height z within apart of a place may touch what stays.
func (b *beside) woodUnder(c path.Cutter, p r3.Vec, z, apart float64) bool {
	if !(z < 0) {
		return false
	}
	u := c.Body().HalfWidth(-z) + apart
	return b.woodInCell(p, u, p.X, p.Y, u)
}

// woodInCell reports whether something that stays lies within u of a place, in the square of
// half the side half about (x, y), or less than a piece outside of it.
func (b *beside) woodInCell(p r3.Vec, u, x, y, half float64) bool {
	across := float64(half * math.Sqrt2)
	away, in := math.Hypot(x-p.X, y-p.Y), b.blank.Inside(x, y)
	if b.tally.add(1) {
		return true
	}
	if away-across > u || in+across < 0 {
		return false
	}
	off := b.off(x, y)
	if off+across <= 0 {
		return false
	}
	if away <= u && in >= 0 && off > 0 || across < besidePiece {
		return true
	}
	half /= 2
	for _, s := range [...][2]float64{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}} {
		if b.woodInCell(p, u, x+float64(s[0]*half), y+float64(s[1]*half), half) {
			return true
		}
	}
	return false
}

package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// GougeTolerance is the depth, in mm, up to which a gouge is allowed: a program's own
// rounding of heights is a tenth of it.
const GougeTolerance = 0.001

// UnknownDepth is the amount, in mm, of a gouge that is not known: a kilometre.
const UnknownDepth = maxCoordinate

// Gouge is how far one move goes below the lowest allowed tip height, and where. The
// amount is negative where the move stays above.
type Gouge struct {
	Amount    float64 // mm, along Z
	X, Y, Z   float64 // of the tip, mm
	Cut, Move int     // indices
	Source    path.Source
	Below     string // what it goes below of; empty for the face
}

// DeepestGouge returns the deepest gouge of all moves (the first of equals), and every
// move that gouges by more than GougeTolerance, in order. Where no move can be judged,
// worst has Cut and Move −1 and the amount 0.
//
// The lowest allowed tip height at distance d from the apex is the closed form
// of dish.Face.Tip, but never above the blank's top at Z0: there is nothing to
// gouge higher up. Where a hollow's sphere does not reach, it is the blank's
// top; where a crown's does not, there is no limit. Traverses count.
//
// A straight move is exact. An arc's amount is at most arcTolerance above its true
// one and never below it.
//
// A coordinate that is not finite is one that is not known, as before a program
// has set it. A move with such a one may pass over any place, where the allowed height
// is at most the blank's top; and where it may pass at a height that is not known it
// counts as 1 km deep. What it starts from is not asked of a move that goes straight up
// or down: the tip stands there already.
//
// Beside the face only what its closed form says counts; Check also holds moves against
// what a job leaves there.
func DeepestGouge(face dish.Face, cuts []Cut) (worst Gouge, over []Gouge) {
	return deepestGouge(face, nil, cuts, nil)
}

// deepestGouge is DeepestGouge with the wood that stays beside the face, nil for none, and
// its looks counted.
func deepestGouge(face dish.Face, b *beside, cuts []Cut, t *tally) (worst Gouge, over []Gouge) {
	worst = Gouge{Amount: math.Inf(-1), Cut: -1, Move: -1}
	for i, c := range cuts {
		g := newTipLimit(face, c.Cutter)
		g.tally = t
		for j, m := range c.Moves {
			if t.add(gougeLooks) {
				break
			}
			depth, p := g.moveDepth(m)
			below := g.limitAt(p)
			if b != nil {
				if d, q, of := b.moveDepth(c.Cutter, m); !(d < depth) {
					depth, p, below = d, q, of
				}
			}
			if math.IsInf(depth, -1) {
				continue
			}
			at := Gouge{numberOr(depth, UnknownDepth), p.X, p.Y, p.Z, i, j, m.Source, below}
			if at.Amount > worst.Amount {
				worst = at
			}
			if breaks(at.Amount, GougeTolerance) {
				over = append(over, at)
			}
		}
	}
	if worst.Cut < 0 {
		worst.Amount = 0
	}
	return worst, over
}

// tipLimit is the lowest allowed tip height of one cutter over a face.
type tipLimit struct {
	dish.Body
	face        dish.Face
	topDistance float64 // hollow: the distance beyond which the blank's top is the limit
	tally       *tally
}

// gougeLooks is what a move, or a piece of an arc, counts in a budget, about.
const gougeLooks = 8

// newTipLimit finds where a hollow's closed form meets the blank's top: where the
// sphere R − c has risen by the sagitta of the face, or where it ends.
func newTipLimit(face dish.Face, c path.Cutter) tipLimit {
	g := tipLimit{Body: c.Body(), face: face}
	if face.Kind == dish.Hollow {
		r, h := face.Radius-g.Corner, face.Sagitta()
		g.topDistance = r - g.Flat
		if h < r {
			g.topDistance = math.Sqrt(float64(h*(2*r-h))) - g.Flat
		}
	}
	return g
}

// allowed returns the lowest allowed height at distance d.
func (g tipLimit) allowed(d float64) float64 {
	switch g.face.Kind {
	case dish.Hollow:
		if !(d < g.topDistance) {
			return 0
		}
		return min(0, g.face.Tip(g.Body, d))
	case dish.Crown:
		if d-g.Flat > g.face.Radius+g.Corner { // the sphere does not reach
			return math.Inf(-1)
		}
		return g.face.Tip(g.Body, d)
	}
	return 0
}

// limitAt names what a tip at p may not go below where that is not the face: the height of
// the blank's top beside a hollow, and beside the blank as well.
func (g tipLimit) limitAt(p r3.Vec) string {
	if g.face.Kind == dish.Hollow && !(g.face.Distance(p.X, p.Y) < g.topDistance) {
		return "the height of the blank's top"
	}
	return ""
}

// depth is how far a tip at p is below what is allowed.
func (g tipLimit) depth(p r3.Vec) float64 {
	return numberOr(g.allowed(g.face.Distance(p.X, p.Y))-p.Z, UnknownDepth)
}

// moveDepth returns the depth of one move and where it is reached.
func (g tipLimit) moveDepth(m path.Move) (float64, r3.Vec) {
	if !known(m) {
		return unknownDepth(m)
	}
	if m.Kind == path.Arc {
		if _, r0, _ := m.Sweep(); r0 > 0 {
			a, b := g.depth(m.From), g.depth(m.To)
			if b > a {
				return g.arcDepth(m, m.To, b)
			}
			return g.arcDepth(m, m.From, a)
		}
	}
	return g.lineDepth(m.From, m.To)
}

// unknownDepth returns the most that a move which is not known may go below what is
// allowed anywhere.
func unknownDepth(m path.Move) (float64, r3.Vec) {
	low := m.To
	if m.Sideways() && !(m.From.Z >= low.Z) {
		low = m.From
	}
	if m.Kind == path.Arc || !finite(r3.Vec{Z: low.Z}) {
		low.Z = -UnknownDepth
	}
	return 0 - low.Z, low
}

// lineDepth returns the depth of a straight piece.
//
// Hollow: along a straight line d is convex, being the length of a linear
// vector, and the closed form is convex and rising in d; so where the closed
// form counts, height minus closed form is concave along the line and least at
// an end of that part; where the blank's top counts it is linear. The parts
// meet where d = topDistance, at most twice. Flat: linear.
//
// Crown: the closed form is minus a convex function that never falls, of d, so
// height minus closed form is convex: it has one minimum, where its slope turns
// from falling to rising.
func (g tipLimit) lineDepth(a, b r3.Vec) (depth float64, at r3.Vec) {
	depth, at = g.depth(a), a
	look := func(t float64) {
		p := exact.AddScaled3(a, r3.Sub(b, a), t)
		if t == 1 {
			p = b
		}
		if v := g.depth(p); v > depth {
			depth, at = v, p
		}
	}
	look(1)
	switch g.face.Kind {
	case dish.Hollow:
		dx, dy, ay := b.X-a.X, b.Y-a.Y, a.Y
		if g.face.Cylinder { // only X counts
			dy, ay = 0, 0
		}
		q := float64(dx*dx) + float64(dy*dy)
		h := float64(a.X*dx) + float64(ay*dy)
		if q == 0 || g.topDistance <= 0 {
			break
		}
		mid := -h / q // the place nearest the apex
		near := (float64(a.X*dy) - float64(ay*dx)) / math.Sqrt(q)
		half := halfChord(g.topDistance, math.Abs(near)) / math.Sqrt(q)
		for _, t := range [2]float64{mid - half, mid + half} {
			if t > 0 && t < 1 { // there the blank's top is what is allowed
				if p := exact.AddScaled3(a, r3.Sub(b, a), t); 0-p.Z > depth {
					depth, at = 0-p.Z, p
				}
			}
		}
	case dish.Crown:
		look(g.lowestShareOverCrown(a, b))
	}
	return depth, at
}

// lowestShareOverCrown returns the share of the line from a to b at which its height over a
// crown's closed form is least, by halving the interval in which the slope
// changes its sign: 60 times, to the last digit.
func (g tipLimit) lowestShareOverCrown(a, b r3.Vec) float64 {
	r := g.face.Radius + g.Corner
	if g.face.Cylinder { // only X counts
		a.Y, b.Y = 0, 0
	}
	dx, dy := b.X-a.X, b.Y-a.Y
	low, high := 0.0, 1.0
	for range 60 {
		t := (low + high) / 2
		x, y := a.X+float64(t*dx), a.Y+float64(t*dy)
		d := math.Hypot(x, y)
		slope := b.Z - a.Z
		if out := d - g.Flat; out > 0 {
			outward := (float64(x*dx) + float64(y*dy)) / d
			steep := math.Inf(1)
			if out < r {
				steep = out / math.Sqrt(float64((r-out)*(r+out)))
			}
			if outward != 0 {
				slope += float64(steep * outward)
			}
		}
		if slope > 0 {
			high = t
		} else {
			low = t
		}
	}
	return low
}

// maxSlope is the largest slope of the allowed height over distances up to d.
func (g tipLimit) maxSlope(d float64) float64 {
	var r, x float64
	switch g.face.Kind {
	case dish.Hollow:
		r, x = g.face.Radius-g.Corner, min(d, g.topDistance)+g.Flat
	case dish.Crown:
		r, x = g.face.Radius+g.Corner, d-g.Flat
	}
	if !(x > 0) {
		return 0
	}
	return x / halfChord(r, x)
}

const (
	arcTolerance = 0.05e-3 // mm: a twentieth of GougeTolerance
	maxArcPieces = 20000   // of one arc: ten times those of a face 2 m wide of the largest radius
)

// arcDepth returns the depth of an arc, an upper bound that is at most arcTolerance above
// its true depth, from the known depth at one end.
//
// Pieces that may be deeper than the deepest place found are halved; after
// maxArcPieces the bound is returned as it is.
func (g tipLimit) arcDepth(m path.Move, at r3.Vec, best float64) (float64, r3.Vec) {
	sweep, r0, r1 := m.Sweep()
	whole := math.Abs(sweep)
	bend := max(r0, r1) + 2*math.Abs(r1-r0)/whole
	type piece struct{ from, to float64 }
	stack := []piece{{0, 1}}
	bound := best
	for n := 0; len(stack) > 0; n++ {
		p := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		a, b := m.At(p.from), m.At(p.to)
		for _, v := range [2]r3.Vec{a, b} {
			if d := g.depth(v); d > best {
				best, at = d, v
			}
		}
		step := float64(whole * (p.to - p.from))
		upper := g.pieceDepth(a, b, bend*step*step/8, m.Plane == path.XY)
		if g.tally.add(gougeLooks) || upper <= best+arcTolerance || n >= maxArcPieces {
			bound = max(bound, upper)
			continue
		}
		half := (p.from + p.to) / 2
		stack = append(stack, piece{half, p.to}, piece{p.from, half})
	}
	return max(bound, best), at
}

// pieceDepth returns an upper bound of the depth of a piece of an arc that leaves its
// chord from a to b by at most off (see arcChain), in height too unless that is even. It
// is the lesser of two: the chord's depth, plus off for the height, plus off times the
// steepest slope of the allowed height for the distance; and the highest allowed height
// near the chord over the lowest place of the piece. The second serves where the sphere
// ends with an infinite slope, and the first is infinite.
func (g tipLimit) pieceDepth(a, b r3.Vec, off float64, even bool) float64 {
	near, _ := segmentDistance(a.X, a.Y, b.X, b.Y, 0, 0)
	far := max(g.face.Distance(a.X, a.Y), g.face.Distance(b.X, b.Y)) + off
	if g.face.Cylinder {
		near = 0 // nothing is lower than over its line
	}
	drop := off
	if even {
		drop = 0
	}
	high := max(g.allowed(max(0, near-off)), g.allowed(far)) // it rises or falls all the way
	upper := high - (min(a.Z, b.Z) - drop)
	if slope := g.maxSlope(far); !math.IsInf(slope, 1) {
		depth, _ := g.lineDepth(a, b)
		upper = min(upper, depth+drop+float64(off*slope))
	}
	return upper
}

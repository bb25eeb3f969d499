package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// ExactPathMode reports whether a path mode's text is one of the two that round no
// corner, G61 and G61.1 (NISTIR 6556, 3.5.14).
func ExactPathMode(text string) bool { return text == "G61" || text == "G61.1" }

// cornerRounding returns the greatest height, in mm, by which a controller that rounds
// corners within Machine.CornerRounding may move the cutter's underside on the face away
// from the programmed path: it may add so much to the scallop, and to the gouge. Of
// templates it is how far the cutter may leave its path in plan. It is 0 where the text
// selects an exact path mode. Ways in and out do not count, nor do corners so far above
// the face that they do not shape it.
//
// Between two moves that turn by γ, a rounding that is tangent to both and stays within
// half of the shorter, T, leaves the corner by T tan(γ/4), and never by more than
// the profile states. It moves the tip along the bisector.
func (c Case) cornerRounding(programs []Program, extras []*programExtras) float64 {
	rounding, greatest := c.Machine.CornerRounding, 0.0
	for i, p := range programs {
		if p.cutsNothing() || extras[i].cutsOnlyExtras() != c.TemplatesOnly {
			continue
		}
		high := 2*c.MaxScallop + rounding
		if c.TemplatesOnly {
			high = math.Inf(1)
		}
		near := newRelevant(c.Face, p.Cutter, 0, high, extras[i].tally)
		modes, exact, g := p.PathModes, false, newTipLimit(c.Face, p.Cutter)
		for k, b := range p.Path.Moves {
			if extras[i].tally.add(gougeLooks) {
				break
			}
			for ; len(modes) > 0 && modes[0].Before <= k; modes = modes[1:] {
				exact = ExactPathMode(modes[0].Text)
			}
			if k == 0 || exact {
				continue
			}
			a := p.Path.Moves[k-1]
			off, turn := cornerMiss(rounding, a, b)
			switch {
			case off == 0 || isPlunge(a) || isPlunge(b) || near.stays(a) || near.stays(b):
			case c.TemplatesOnly:
				greatest = max(greatest, off)
			case math.Hypot(b.From.X, b.From.Y) <= c.Face.Rim:
				greatest = max(greatest, g.cornerHeight(c.MaxScallop, off, turn, b.From))
			}
		}
	}
	return greatest
}

// isPlunge reports whether a move is a way in or out, not a pass.
func isPlunge(m path.Move) bool {
	return math.Abs(m.To.Z-m.From.Z) > math.Hypot(m.To.X-m.From.X, m.To.Y-m.From.Y)
}

// cornerMiss returns how far the corner between the moves a and b is missed, and the
// difference of the two directions; 0 where one of them is no cut, or is not known.
func cornerMiss(rounding float64, a, b path.Move) (off float64, turn r3.Vec) {
	if a.Kind == path.Traverse || b.Kind == path.Traverse || a.To != b.From || !finite(a.From) {
		return 0, turn
	}
	turn = r3.Sub(b.Direction(0), a.Direction(1))
	off = float64(min(a.Length(), b.Length()) / 2 * math.Tan(math.Asin(min(1, r3.Norm(turn)/2))/2))
	return min(rounding, off), turn
}

// cornerHeight returns how much higher the face may stand, to first order, where the
// controller misses by off a corner at p between two directions that differ by turn: the
// part of the miss that is square to the surface on which the tip runs, and the part
// along it times the slope of what the cutter leaves at the crest of a scallop of height
// h, √(2h/r). There r is the radius in which the pass lies: that of the corner, and of a
// flat of radius f, which runs up the slope θ of the face, f/sin θ more.
func (g tipLimit) cornerHeight(scallop, off float64, turn, p r3.Vec) float64 {
	n := r3.Norm(turn)
	d := g.face.Distance(p.X, p.Y)
	slope := g.maxSlope(d)
	if n == 0 || math.IsInf(slope, 1) {
		return off
	}
	out := r3.Vec{X: p.X, Y: p.Y}
	if g.face.Cylinder {
		out.Y = 0
	}
	up := float64(math.Copysign(slope, turn.Z) * math.Hypot(turn.X, turn.Y)) // the most that it could be
	if d > 0 {
		up = -slope * exact.Dot3(out, turn) / d
		if g.face.Kind == dish.Crown {
			up = -up
		}
	}
	radius := g.Corner
	if g.Flat > 0 { // where there is no slope a flat leaves no crest
		radius += g.Flat * math.Hypot(1, slope) / slope
	}
	crest := math.Sqrt(2 * scallop / radius)
	return float64(off / n * (math.Abs(turn.Z+up)/math.Hypot(1, slope) + float64(math.Hypot(turn.X, turn.Y)*crest)))
}

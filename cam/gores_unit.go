package cam

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// turnShare is the radius of a turn on the face as a share of the step: a half
	// circle would be a half; less lets the second pass begin nearer to its seam.
	turnShare = 0.4
	// turnChord is how far the chords of a turn may leave it, mm: the least that
	// a usual machine's own rounding of corners takes, so that it need not slow down more.
	turnChord = 0.02
)

// turned works out the mth unit with the shifts as they are.
func (g *gores) turned(m int) goreUnit {
	var u goreUnit
	for i := 2 * m; i < min(2*m+2, g.count()); i++ {
		u.passes = append(u.passes, gorePass{gore: i / g.each, v: g.across[i%g.each], end: g.ends[i%g.each]})
	}
	last := len(u.passes) - 1
	a, b := &u.passes[0], &u.passes[last]
	near, far := a, b
	if math.Abs(b.v) < math.Abs(a.v) {
		near, far = b, a
	}
	s := g.step
	x := g.shift[m%len(g.shift)]
	switch {
	case a.gore != b.gore || a == b: // over a seam, and the last of an odd number
		a.in, b.in = max(0, math.Abs(a.v)/g.tan+x), max(0, math.Abs(b.v)/g.tan+x)
	case a.v < 0 && b.v > 0:
		s = b.v - a.v
		near.in = max(0, math.Abs(near.v)/g.tan+x)
		far.in = near.in
	default:
		s = b.v - a.v
		near.in = max(0, math.Abs(near.v)/g.tan+turnShare*s/g.half+x)
		far.in = near.in + (1-2*turnShare)*s/g.tan
	}
	r := float64(turnShare * s)
	for i := range u.passes {
		p := &u.passes[i]
		p.in = min(p.in, p.end-min(s/2, p.end/2))
	}
	if g.moat == 0 {
		for i := range u.passes {
			p := &u.passes[i]
			if p.gore == 0 && p.v == g.across[g.middleRow()] {
				p.apex, p.in = true, min(p.end/2, max(p.in, math.Abs(p.v)))
			}
		}
	}
	first, second := g.pose(*a), g.pose(*b)
	first.dir = exact.Scale2(-1, first.dir)
	if a == b {
		u.turn = []r2.Vec{first.at}
		return u
	}
	u.turn = turnPlaces(first, second, r, turnChord)
	u.size = wayLength(u.turn)
	return u
}

// middleRow returns which pass of a gore is nearest to the middle line.
func (g *gores) middleRow() int {
	best := 0
	for k, v := range g.across {
		if math.Abs(v) < math.Abs(g.across[best]) {
			best = k
		}
	}
	return best
}

// spot returns a place of a gore in the frame of the face.
func (g *gores) spot(gore int, u, v float64) r2.Vec {
	e := g.axes[gore]
	return r2.Vec{X: float64(u*e.X) - float64(v*e.Y), Y: float64(u*e.Y) + float64(v*e.X)}
}

// pose returns the inner end of a pass, looking outwards.
func (g *gores) pose(p gorePass) pose {
	if !p.apex {
		return pose{g.spot(p.gore, p.in, p.v), g.axes[p.gore]}
	}
	d := g.spot(p.gore, p.in, p.v)
	return pose{dir: exact.Scale2(1/dist(d.X, d.Y), d)}
}

package proof

import (
	"math"

	"dishwright/cam/path"
)

// shallowArc returns an arc in a vertical plane as heights over a line in plan,
// where it can be taken so: its coordinate across the plane stays, and its slope
// nowhere exceeds maxArcSlope. The first and last points are its own ends. The chain
// lies nowhere below the arc, and at most off above it.
//
// An arc whose two radii differ is a spiral r = r0 + b·θ; its curvature has the
// sign of r² + 2b², so it is convex all the way as a circle is. Under the
// centre it is a valley: its chords lie above it. Over the centre it is a hill:
// its tangents lie above it, and so does the chain of the points where each
// meets the next.
//
// The angle start is measured from straight up, in the sense in which the plane's own
// angle grows; the plane's angle is measured from Z in ZX and from Y in YZ.
func shallowArc(m path.Move) (points []point, off float64, ok bool) {
	sweep, r0, r1 := m.Sweep()
	var start float64 // angle of From from straight up, as the sweep counts
	switch {
	case m.Plane == path.ZX && m.From.Y == m.To.Y:
		start = math.Atan2(m.From.X-m.Centre.X, m.From.Z-m.Centre.Z)
	case m.Plane == path.YZ && m.From.X == m.To.X:
		start = math.Atan2(m.From.Z-m.Centre.Z, m.From.Y-m.Centre.Y) - math.Pi/2
	default:
		return nil, 0, false
	}
	r, b := max(r0, r1), math.Abs((r1-r0)/sweep)
	if !(b <= maxSpiral*min(r0, r1)) {
		return nil, 0, false
	}
	hill := math.Cos(start) > 0
	middle := 0.0
	if !hill {
		middle = math.Copysign(math.Pi, start)
	}
	// A spiral's slope differs from the circle's by at most b/r, hence maxSpiral.
	steepest := max(math.Abs(start-middle), math.Abs(start+sweep-middle)) + 2*maxSpiral
	if !(steepest <= maxArcSlope) {
		return nil, 0, false
	}
	n := pieceCount(math.Abs(sweep), math.Sqrt(8*maxSagittaHeight/r))
	step := math.Abs(sweep) / float64(n)
	// Over the length l in plan the height leaves a chord, or the place where two
	// tangents meet, by at most bend·l²/8, with l ≤ r·step and bend = (1+slope²)^1.5/r;
	// a twentieth more outweighs what a spiral within the limit adds to both. The
	// hill's points are raised by another b·step along the radius.
	off = float64(1.05 * r * step * step / 8 * math.Pow(math.Cos(steepest), -3))
	if hill {
		off += 2 * b * step / math.Cos(steepest)
	}
	points = append(points, point{m.From.X, m.From.Y, m.From.Z})
	for k := 1; k < n; k++ {
		if hill {
			p := tangentCrossing(m, (float64(k)-0.5)/float64(n), step, sweep)
			points = append(points, p)
			continue
		}
		v := m.At(float64(k) / float64(n))
		points = append(points, point{v.X, v.Y, v.Z})
	}
	if hill {
		points = append(points, tangentCrossing(m, (float64(n)-0.5)/float64(n), step, sweep))
	}
	return append(points, point{m.To.X, m.To.Y, m.To.Z}), off, true
}

const (
	maxSpiral         = 0.01 // the largest change of radius a radian, over the radius, of a hill or valley
	maxRadiusMismatch = 0.01 // the largest difference of an arc's radii, relative and in mm: the language allows 0.002 mm
)

// tangentCrossing returns a place on or above where the tangents at the two ends of a
// piece of a hill meet: the piece's middle, moved outward from the centre. On a
// circle the tangents meet at r/cos(step/2); a spiral's b adds |b|·step. Moving the
// point further out only raises the chain.
func tangentCrossing(m path.Move, t, step, sweep float64) point {
	_, r0, r1 := m.Sweep()
	v := m.At(t)
	r := max(r0, r1)
	b := math.Abs((r1 - r0) / sweep)
	out := float64(r*(1/math.Cos(step/2)-1)) + float64(b*step)
	dx, dy, dz := v.X-m.Centre.X, v.Y-m.Centre.Y, v.Z-m.Centre.Z
	if m.Plane == path.ZX {
		dy = 0
	} else {
		dx = 0
	}
	k := out / math.Sqrt(float64(dx*dx)+float64(dy*dy)+float64(dz*dz))
	return point{v.X + float64(k*dx), v.Y + float64(k*dy), v.Z + float64(k*dz)}
}

func pieceCount(whole, step float64) int {
	n := math.Ceil(whole / step)
	return int(max(1, min(n, maxPieces)))
}

// arcPieces returns how many even chords take the place of an arc of any kind, and how far it
// leaves them at most; none of what is no arc: see makeRuns. With the angle as the
// parameter the arc's second derivative is at most r + 2|b| (b: change of radius a radian), so
// between two points step apart it leaves the chord by at most that × step²/8 in the arc's
// plane; along the plane's normal it is linear and does not leave it.
func arcPieces(m path.Move) (n int, off float64) {
	sweep, r0, r1 := m.Sweep()
	whole := math.Abs(sweep)
	bend := max(r0, r1) + 2*math.Abs(r1-r0)/max(whole, 1e-9)
	if !(r0 > 0) || math.Abs(r1-r0) > float64(maxRadiusMismatch*max(r0, r1))+maxRadiusMismatch {
		return 0, 0
	}
	n = pieceCount(whole, math.Sqrt(8*maxSagittaPlan/max(bend, maxSagittaPlan)))
	step := whole / float64(n)
	return n, bend * step * step / 8
}

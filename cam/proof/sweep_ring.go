package proof

import (
	"math"

	"dishwright/cam/path"
)

// ring is an arc in the XY plane of at most a third of a turn. A level one sweeps
// f(p) = z + profile(distance from p to the arc). One that rises leaves no more than f with
// the z of its station nearest p.
//
// That distance is |s − ρ| for a p at s from the centre and within the arc's
// sector, and else the distance to the nearer end. It is convex but for places
// inside the ring, where across s the curvature is −1/s: f is bent downward by
// at most profile'(ρ − s)/s. Outside it f is bent upward by at least profile'(s − ρ)/s, with
// the profile of the corner alone, whose slope grows faster than that along s and round an
// end. The function is smooth where the two cases meet; it has a crest only on the far side of
// the centre, at least ρ away, which no footprint reaches, for rings are made only where ρ
// exceeds minRingRatio times the cutter's radius.
// A z that grows with the angle of p round the centre is bent by at most its growth over s²;
// before the lower end it stays, and beyond the upper end it is taken to grow on.
//
// What a bound from corners needs besides is that a convex cell whose corners lie
// in the footprint lies in it whole. A footprint is convex where the path is
// straight, and that of a ring is not: with r the cutter's radius it goes round the
// disc D of radius ρ − r about the centre. A cell that meets D has no bound by
// the ring (see curvature). For a segment between two places of the footprint that does
// not meet D, let σ be the sweep and b the coordinate along the bisector of the
// sector, from the centre.
//
//   - Where it passes in front of D, or does not go round it at all, it is in the
//     footprint: in the sector s > ρ − r, and s ≤ ρ + r, as that disc is convex; and
//     what of it lies outside the sector runs from a ray of it, or from an end of
//     the segment, within the disc of the cutter at one end of the arc.
//   - It could leave the footprint only from the disc of one end to that of the other
//     behind D. Both discs lie at b ≥ ρ cos(σ/2) − r, so does the segment, and behind
//     D it would cross the bisector at b < r − ρ. So cos(σ/2) would be under
//     2r/ρ − 1, which is under 1/3 for ρ > 3r/2. A third of a turn has 1/2.
//
// TestRingsOverAnyCell tries cells of every kind.
type ring struct {
	x, y, radius float64
	start, sweep float64 // radians, counter-clockwise from start; 0 < sweep ≤ longestRing
	z, rise      float64 // the height at its start, and by how much it rises to its end
	climb        float64 // how much it rises a radian, either way
	ax, ay       float64 // the ends
	bx, by       float64
}

// minRingRatio is the least radius of a ring, as a multiple of the cutter's: tighter arcs
// become chords.
const minRingRatio = 1.5

// longestRing is the most that a ring may sweep, radians: see ring.
const longestRing = 2 * math.Pi / 3

// maxRingRise is the most, in mm, that a ring may rise and count as level wherever it
// matters: see parts.
const maxRingRise = 0.2e-3

// ringParts is how many rings take the place of one that rises by more.
const ringParts = 4

// rings returns an arc in the XY plane as runs; nil where it is none, or tight, or
// its two radii differ by more than the language allows, or it rises by more than
// maxPieces rings may. A smaller difference of the radii counts as an error about the mean
// radius. One that hardly rises counts as level at its higher end.
func (t cutterEnd) rings(m path.Move) []*run {
	const allowed = 0.002
	sweep, r0, r1 := m.Sweep()
	rho := (r0 + r1) / 2
	if m.Plane != path.XY || !(rho > minRingRatio*t.Radius()) || math.Abs(r1-r0) > allowed {
		return nil
	}
	start := math.Atan2(m.From.Y-m.Centre.Y, m.From.X-m.Centre.X)
	z, rise := m.From.Z, m.To.Z-m.From.Z
	if sweep < 0 {
		start, sweep, z, rise = start+sweep, -sweep, m.To.Z, -rise
	}
	if !(math.Ceil(math.Abs(rise)/maxRingRise) <= maxPieces) {
		return nil
	}
	whole := ring{x: m.Centre.X, y: m.Centre.Y, radius: rho, start: start, sweep: sweep, z: z, rise: rise}
	return t.ringRuns(whole, math.Ceil(sweep/longestRing), math.Abs(r1-r0)/2+coordinateGuard)
}

// ringRuns cuts a ring into n even ones, each a run that lies off it in plan at most.
func (t cutterEnd) ringRuns(whole ring, n, off float64) (runs []*run) {
	for k := 0.0; k < n; k++ {
		g := &ring{x: whole.x, y: whole.y, radius: whole.radius, start: whole.start + float64(k*whole.sweep/n), sweep: whole.sweep / n,
			z: whole.z + float64(whole.rise*k)/n, rise: whole.rise / n, climb: math.Abs(whole.rise) / whole.sweep}
		g.ax, g.ay = g.end(g.start)
		g.bx, g.by = g.end(g.start + g.sweep)
		low, below := g.z+min(0, g.rise), min(math.Abs(g.rise), t.fallBehind(leastChord*g.climb/g.radius, off))
		if math.Abs(g.rise) <= maxRingRise {
			low, below, g.climb = g.z+max(0, g.rise), math.Abs(g.rise), 0
		}
		runs = append(runs, &run{end: t, ring: g, stations: []float64{0}, heights: []float64{low}, lowest: low, lineError: off, planError: off, errorBelow: below})
	}
	return runs
}

// leastChord is by how much at most the chord from a place s ≥ ρ/3 from the middle of a ring,
// seen from the place nearest it, is shorter than the arc: 2√(sρ) sin(φ/2) against ρφ for φ up
// to π.
const leastChord = math.Pi / 2 * 1.7320508075688774

// fallBehind bounds by how much less than over its nearest station an end leaves on a line that
// rises by m: from further back by as much as its flat, widened by e, reaches; and its corner
// is a ball, with c(√(1 + m²) − 1) less on a slope.
func (t cutterEnd) fallBehind(m, e float64) float64 {
	return float64(m*(t.Flat+e)) + float64(t.Corner*m*m)/2
}

// angle returns the angle of (x, y) round the ring's centre from its lower end on, towards the
// upper one.
func (g *ring) angle(x, y float64) float64 {
	dx, dy := x-g.x, y-g.y
	ux, uy, sign := g.ax-g.x, g.ay-g.y, 1.0
	if g.rise < 0 {
		ux, uy, sign = g.bx-g.x, g.by-g.y, -1
	}
	return math.Atan2(float64(sign*(float64(ux*dy)-float64(uy*dx))), float64(ux*dx)+float64(uy*dy))
}

// up returns by how much a ring rises from its lower end to its station nearest (x, y). Beyond
// its upper end it rises on.
func (g *ring) up(x, y float64) float64 {
	if g.climb == 0 {
		return 0
	}
	return float64(g.climb * max(0, g.angle(x, y)))
}

// rises reports whether a run is a ring that rises by more than counts as level.
func (r *run) rises() bool { return r.ring != nil && r.errorBelow > maxRingRise }

// parts returns the rings that take the place of one that rises.
func (r *run) parts() []*run { return r.end.ringRuns(*r.ring, ringParts, r.planError) }

// ringLowerBound returns a lower bound of what a ring leaves at (x, y), within maxRingRise
// where that is below another height.
func (r *run) ringLowerBound(x, y, other float64, t *tally) float64 {
	t.add(2)
	g := r.ring
	low := r.lowest + min(g.up(x, y), math.Abs(g.rise)) - r.errorBelow + r.end.Profile(max(0, r.planDistance(x, y)-r.planError))
	if !r.rises() || !(low < other) {
		return low
	}
	return r.lowerBetween(0, g.sweep, g.angle(x, y), math.Hypot(x-g.x, y-g.y), other, t)
}

// lowerBetween is ringLowerBound by the stations of a ring between two angles from its lower
// end alone, over the place at the angle a and s from its centre.
func (r *run) lowerBetween(from, to, a, s, other float64, t *tally) float64 {
	g, share := r.ring, 0.0
	if a < from || a > to {
		share = min(math.Abs(math.Sin((a-from)/2)), math.Abs(math.Sin((a-to)/2)))
	}
	off := math.Sqrt(float64((s-g.radius)*(s-g.radius)) + float64(4*s*g.radius*share*share))
	low := r.lowest + float64(g.climb*from) + r.end.Profile(max(0, off-r.planError))
	if float64(g.climb*(to-from)) <= maxRingRise || !(low < other) || t != nil && t.over {
		return low
	}
	t.add(2)
	middle := (from + to) / 2
	low = r.lowerBetween(from, middle, a, s, other, t)
	return min(low, r.lowerBetween(middle, to, a, s, min(low, other), t))
}

func (g *ring) end(angle float64) (x, y float64) {
	sin, cos := math.Sincos(angle)
	return g.x + float64(g.radius*cos), g.y + float64(g.radius*sin)
}

// nearest returns the point of the arc that is nearest to (x, y), and its distance.
func (g *ring) nearest(x, y float64) (qx, qy, d float64) {
	dx, dy := x-g.x, y-g.y
	s := math.Sqrt(float64(dx*dx) + float64(dy*dy))
	// within the sector of less than half a turn: left of its first ray and right of its last
	ux, uy, vx, vy := g.ax-g.x, g.ay-g.y, g.bx-g.x, g.by-g.y
	if s > 0 && float64(ux*dy) >= float64(uy*dx) && float64(dx*vy) >= float64(dy*vx) {
		return g.x + float64(dx*(g.radius/s)), g.y + float64(dy*(g.radius/s)), math.Abs(s - g.radius)
	}
	a, b := math.Hypot(x-g.ax, y-g.ay), math.Hypot(x-g.bx, y-g.by)
	if a < b {
		return g.ax, g.ay, a
	}
	return g.bx, g.by, b
}

// curvature returns the least curvature of a ring's surface over places at least near away
// from its centre: negative where it is bent downward, −Inf where the places extend beyond the
// footprint on the inner side.
func (r *run) curvature(near float64) float64 {
	u := r.ring.radius - near
	if u <= 0 {
		return (r.end.cornerSlope(-u) - r.ring.climb/near) / near
	}
	if u += r.lineError; near <= 0 || u >= r.end.Radius() {
		return math.Inf(-1)
	}
	return -(r.end.slopeAt(u) + r.ring.climb/near) / near
}

// direction returns the direction of the pass near (x, y).
func (r *run) direction(x, y float64) (ux, uy float64) {
	if r.ring == nil {
		return r.ux, r.uy
	}
	x, y = x-r.ring.x, y-r.ring.y
	s := math.Hypot(x, y)
	if s == 0 {
		return 1, 0
	}
	return -y / s, x / s
}

// planDistance returns the distance in plan from (x, y) to the run.
func (r *run) planDistance(x, y float64) float64 {
	if r.ring != nil {
		_, _, d := r.ring.nearest(x, y)
		return d
	}
	a, b := r.frame(x, y)
	return math.Hypot(a-clamp(a, 0, r.length()), b)
}

// box returns the least and greatest coordinates of the run in plan: of a ring those of
// its chord, widened by its sagitta, or of its circle, whichever are closer, so that each
// of a spiral's many short rings comes near few tiles only.
func (r *run) box() (x0, y0, x1, y1 float64) {
	if g := r.ring; g != nil {
		h := float64(g.radius * (1 - math.Cos(g.sweep/2)))
		return max(min(g.ax, g.bx)-h, g.x-g.radius), max(min(g.ay, g.by)-h, g.y-g.radius),
			min(max(g.ax, g.bx)+h, g.x+g.radius), min(max(g.ay, g.by)+h, g.y+g.radius)
	}
	ex, ey := r.startX+float64(r.ux*r.length()), r.startY+float64(r.uy*r.length())
	return min(r.startX, ex), min(r.startY, ey), max(r.startX, ex), max(r.startY, ey)
}

// reach returns how far from its path in plan the run may cut.
func (r *run) reach() float64 { return r.end.Radius() + r.lineError + r.planError }

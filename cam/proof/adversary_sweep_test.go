package proof

import (
	"math"

	"dishwright/cam/path"

	"gonum.org/v1/gonum/spatial/r3"
)

// What a cutter sweeps, from first principles: the height of its end over one place is
// that of the profile, at the distance in plan, least over the whole stroke. Nothing of
// the proof is used.

// end is the lower end of a cutter: level out to flat, then a quarter circle.
type end struct{ flat, corner float64 }

func endOf(c path.Cutter) end {
	r := c.Diameter / 2
	switch c.Shape {
	case path.Ball:
		return end{0, r}
	case path.Flat:
		return end{r, 0}
	}
	return end{r - c.Corner, c.Corner}
}

func (e end) wide() float64 { return e.flat + e.corner }

// rise is the height over the tip at u from the axis; up to the last digits beyond the
// edge the place still counts as under it.
func (e end) rise(u float64) float64 {
	switch w := u - e.flat; {
	case u > e.wide()+1e-9:
		return math.Inf(1)
	case w <= 0:
		return 0
	case w < e.corner:
		return e.corner - math.Sqrt(e.corner*e.corner-w*w)
	}
	return e.corner
}

// stroke is a straight motion of the tip, or a piece of at most half a radian of an arc,
// in plan about a centre (level: about an upright axis) or straight in plan.
type stroke struct {
	a, b     r3.Vec
	round    bool    // about (cx, cy) in plan
	cx, cy   float64 // of a round one
	r0, r1   float64
	from, by float64 // angles, radians
}

// shortTurn is how far a round stroke turns at most, radians: within it the distance from
// any place falls and rises once.
const shortTurn = 0.5

// strokesOf divides a move. An arc in an upright plane becomes chords that leave it by
// less than fineChord. Of a move from an unknown place only the end is sure.
func strokesOf(m path.Move) (list []stroke) {
	switch {
	case !known3(m.To):
		return nil
	case !known3(m.From):
		return []stroke{{a: m.To, b: m.To}}
	}
	if m.Kind != path.Arc {
		return []stroke{{a: m.From, b: m.To}}
	}
	turn, r0, r1 := turnOf(m)
	n := int(math.Ceil(math.Abs(turn) / shortTurn))
	if m.Plane != path.XY {
		n = max(n, int(math.Ceil(math.Abs(turn)*math.Sqrt(math.Max(r0, r1)/(8*fineChord)))))
	}
	p := m.From
	for i := 1; i <= n; i++ {
		q := placeOf(m, float64(i)/float64(n))
		s := stroke{a: p, b: q}
		if m.Plane == path.XY {
			s.round, s.cx, s.cy = true, m.Centre.X, m.Centre.Y
			s.r0, s.r1 = math.Hypot(p.X-s.cx, p.Y-s.cy), math.Hypot(q.X-s.cx, q.Y-s.cy)
			s.from, s.by = math.Atan2(p.Y-s.cy, p.X-s.cx), turn/float64(n)
		}
		list, p = append(list, s), q
	}
	return list
}

// fineChord is how far chords of an arc may leave it here, mm.
const fineChord = 2e-5

func known3(v r3.Vec) bool {
	s := v.X + v.Y + v.Z
	return !math.IsNaN(s) && !math.IsInf(s, 0)
}

// flatPlane returns the coordinates of v in the plane of an arc, and the one across it.
func flatPlane(p path.Plane, v r3.Vec) (a, b, across float64) {
	switch p {
	case path.ZX:
		return v.Z, v.X, v.Y
	case path.YZ:
		return v.Y, v.Z, v.X
	}
	return v.X, v.Y, v.Z
}

// turnOf returns how far an arc turns, counter-clockwise positive, and its radii.
func turnOf(m path.Move) (turn, r0, r1 float64) {
	ca, cb, _ := flatPlane(m.Plane, m.Centre)
	a0, b0, _ := flatPlane(m.Plane, m.From)
	a1, b1, _ := flatPlane(m.Plane, m.To)
	turn = math.Atan2(b1-cb, a1-ca) - math.Atan2(b0-cb, a0-ca)
	for !m.Clockwise && turn <= 1e-12 {
		turn += 2 * math.Pi
	}
	for m.Clockwise && turn >= -1e-12 {
		turn -= 2 * math.Pi
	}
	return turn, math.Hypot(a0-ca, b0-cb), math.Hypot(a1-ca, b1-cb)
}

// placeOf returns where the tip is after a share of a move.
func placeOf(m path.Move, share float64) r3.Vec {
	mix := func(a, b float64) float64 { return a*(1-share) + b*share }
	if m.Kind != path.Arc {
		return r3.Vec{X: mix(m.From.X, m.To.X), Y: mix(m.From.Y, m.To.Y), Z: mix(m.From.Z, m.To.Z)}
	}
	turn, r0, r1 := turnOf(m)
	ca, cb, _ := flatPlane(m.Plane, m.Centre)
	a0, b0, n0 := flatPlane(m.Plane, m.From)
	_, _, n1 := flatPlane(m.Plane, m.To)
	sin, cos := math.Sincos(math.Atan2(b0-cb, a0-ca) + turn*share)
	r := mix(r0, r1)
	a, b, n := ca+r*cos, cb+r*sin, mix(n0, n1)
	switch m.Plane {
	case path.ZX:
		return r3.Vec{Z: a, X: b, Y: n}
	case path.YZ:
		return r3.Vec{Y: a, Z: b, X: n}
	}
	return r3.Vec{X: a, Y: b, Z: n}
}

// at returns the tip's place after a share of the stroke.
func (s *stroke) at(share float64) r3.Vec {
	v := r3.Vec{X: s.a.X + share*(s.b.X-s.a.X), Y: s.a.Y + share*(s.b.Y-s.a.Y), Z: s.a.Z + share*(s.b.Z-s.a.Z)}
	if s.round && share > 0 && share < 1 {
		sin, cos := math.Sincos(s.from + s.by*share)
		r := s.r0 + share*(s.r1-s.r0)
		v.X, v.Y = s.cx+r*cos, s.cy+r*sin
	}
	return v
}

// off is the distance in plan from the tip to a place.
func (s *stroke) off(share, x, y float64) float64 {
	v := s.at(share)
	return math.Hypot(v.X-x, v.Y-y)
}

// nearest returns where the axis comes nearest to a place, and how near.
func (s *stroke) nearest(x, y float64) (share, off float64) {
	if s.round {
		// Nearest where the ray from the centre meets the arc, else at an end. Of radii
		// that differ by a rounding the difference is one too.
		turn := math.Remainder(math.Atan2(y-s.cy, x-s.cx)-s.from, 2*math.Pi) / s.by
		share, off = 0, s.off(0, x, y)
		for _, t := range [...]float64{1, turn} {
			if t > 0 && t <= 1 && s.off(t, x, y) < off {
				share, off = t, s.off(t, x, y)
			}
		}
		return share, off
	}
	dx, dy := s.b.X-s.a.X, s.b.Y-s.a.Y
	if n := dx*dx + dy*dy; n > 0 {
		share = math.Max(0, math.Min(1, ((x-s.a.X)*dx+(y-s.a.Y)*dy)/n))
	}
	return share, s.off(share, x, y)
}

// within returns the shares between which the axis is nearer to a place than reach.
func (s *stroke) within(x, y, reach float64) (low, high float64, ok bool) {
	mid, off := s.nearest(x, y)
	if off > reach {
		return 0, 0, false
	}
	edge := func(out float64) float64 { // the distance rises from mid to out
		if s.off(out, x, y) <= reach {
			return out
		}
		in := mid
		for range 50 {
			if t := (in + out) / 2; s.off(t, x, y) <= reach {
				in = t
			} else {
				out = t
			}
		}
		return in
	}
	return edge(0), edge(1), true
}

// lowest returns how low the end comes over a place while its axis is nearer than reach
// and its tip counts as no lower than floor; +Inf where it does not come.
func (s *stroke) lowest(e end, x, y, reach, floor float64) float64 {
	low, high, ok := s.within(x, y, reach)
	if !ok {
		return math.Inf(1)
	}
	z := func(t float64) float64 {
		v := s.at(t)
		return math.Max(floor, v.Z) + e.rise(math.Hypot(v.X-x, v.Y-y))
	}
	near, _ := s.nearest(x, y)
	best := math.Min(math.Min(z(low), z(high)), z(near))
	if s.a.Z == s.b.Z || e.corner == 0 {
		return best // level: where it is nearest; a flat: at an end
	}
	const parts = 6
	first := 0
	for i := range parts + 1 {
		if v := z(low + (high-low)*float64(i)/parts); v <= best {
			best, first = v, i
		}
	}
	a, b := low+(high-low)*float64(max(first-1, 0))/parts, low+(high-low)*float64(min(first+1, parts))/parts
	for range 40 {
		p, q := a+(b-a)/3, b-(b-a)/3
		zp, zq := z(p), z(q)
		best = math.Min(best, math.Min(zp, zq))
		if zp < zq {
			b = q
		} else {
			a = p
		}
	}
	return best
}

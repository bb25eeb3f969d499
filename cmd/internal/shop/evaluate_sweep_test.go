package shop_test

import "math"

// tool is a cutter as the tests know it: level out to flat, then a quarter
// circle of radius corner.
type tool struct {
	flat, corner      float64 // mm
	core              float64 // radius that cannot cut, mm
	ramp              float64 // steepest way down into stock, degrees
	depth             float64 // deepest bite, mm
	flutes            int
	chip, speed       float64 // mm a tooth, rpm
	fluteLong, shank  float64 // mm, shank as a diameter
	stickOut, fastest float64 // mm, rpm
	lean              lean
}

func (c tool) radius() float64 { return c.flat + c.corner }

// edge returns the height of the cutter's surface above its tip at u from the
// axis, +Inf outside.
func (c tool) edge(u float64) float64 {
	switch {
	case u > c.radius():
		return math.Inf(1)
	case u <= c.flat:
		return 0
	}
	return c.corner - math.Sqrt(max(0, sqr(c.corner)-sqr(u-c.flat)))
}

// sweep is a piece of a motion, straight in plan: a slanted line, or a bow, a
// piece of an upright circle.
type sweep struct {
	motion       int // index among the steps
	x, y, dx, dy float64
	long         float64 // in plan
	z, m         float64 // height at the start, rise for every mm
	bow          bool
	mid, height  float64 // of a bow: its centre along the piece, and in Z
	r0, r1       float64 // of a bow: radius at its start and its end
	side         float64 // of a bow: −1 below its centre, 1 above
	zLeast       float64 // not above any height of the piece
}

// flattening is how far the chords that stand for other arcs may leave them, mm.
const flattening = 2e-5

// sweeps cuts a motion into pieces that are straight in plan.
func (m motion) sweeps(index int, c tool) []sweep {
	if m.g < 2 {
		return []sweep{straight(index, m.from, m.to)}
	}
	if s, ok := m.bow(index); ok && c.flat == 0 {
		return []sweep{s}
	}
	angle, r0, r1 := m.turned()
	r := max(r0, r1)
	n := int(math.Ceil(math.Abs(angle) / math.Sqrt(8*flattening/max(r, flattening))))
	n = min(max(n, 1), 5000)
	var list []sweep
	for i := range n {
		list = append(list, straight(index, m.place(float64(i)/float64(n)), m.place(float64(i+1)/float64(n))))
	}
	return list
}

// straight returns the piece from a to b; a plunge has no length and the lower
// of its two heights.
func straight(index int, a, b point) sweep {
	s := sweep{motion: index, x: a[0], y: a[1], z: a[2], dx: 1, zLeast: min(a[2], b[2])}
	s.long = math.Hypot(b[0]-a[0], b[1]-a[1])
	if s.long == 0 {
		s.z = s.zLeast
		return s
	}
	s.dx, s.dy, s.m = (b[0]-a[0])/s.long, (b[1]-a[1])/s.long, (b[2]-a[2])/s.long
	return s
}

// bow returns an arc of G18 or G19 as one piece, if it lies wholly below or
// wholly above its centre and does not leave its plane.
func (m motion) bow(index int) (sweep, bool) {
	angle, r0, r1 := m.turned()
	middle := m.place(0.5)
	below := m.from[2] < m.centre[2] && m.to[2] < m.centre[2] && middle[2] < m.centre[2]
	above := m.from[2] > m.centre[2] && m.to[2] > m.centre[2] && middle[2] > m.centre[2]
	if m.plane == 2 || math.Abs(angle) > 3 || !(below || above) || m.from[m.plane] != m.to[m.plane] {
		return sweep{}, false
	}
	s := straight(index, m.from, m.to)
	s.bow, s.r0, s.r1, s.side, s.height = true, r0, r1, 1, m.centre[2]
	if below {
		s.side = -1
	}
	s.mid = (m.centre[0]-s.x)*s.dx + (m.centre[1]-s.y)*s.dy
	for i := range 65 { // with room for what a bow falls between two of these places
		s.zLeast = min(s.zLeast, s.at(s.long*float64(i)/64)-0.01)
	}
	return s, true
}

// at returns the tip's height at a along the piece.
func (s *sweep) at(a float64) float64 {
	if !s.bow {
		return s.z + s.m*a
	}
	r := s.r0
	if s.r1 != s.r0 {
		r += (s.r1 - s.r0) * a / s.long
	}
	return s.height + s.side*math.Sqrt(sqr(r)-sqr(a-s.mid))
}

// rise returns the slope of the piece at a.
func (s *sweep) rise(a float64) float64 {
	if !s.bow {
		return s.m
	}
	return -s.side * (a - s.mid) / math.Sqrt(sqr(s.r0)-sqr(a-s.mid))
}

// least returns what the cutter is nowhere below within near of the place (x, y).
func (s *sweep) least(c *tool, x, y, near float64) float64 {
	px, py := x-s.x, y-s.y
	a, w, reach := px*s.dx+py*s.dy, math.Abs(px*s.dy-py*s.dx), c.radius()+near
	half := math.Sqrt(reach*reach - w*w)
	if !(half >= 0) || a+half < 0 || a-half > s.long {
		return math.Inf(1)
	}
	w = max(0, w-near)
	if s.bow {
		return s.zLeast + c.edge(w)
	}
	if c.lean == (lean{}) {
		return min(s.at(max(a-half, 0)), s.at(min(a+half, s.long))) + c.edge(w)
	}
	q := s.leaning(c, x, y)
	return min(q.at(max(a-half, 0)), q.at(min(a+half, s.long))) - near*c.lean.slope() + c.edge(w)
}

// under returns the lowest height of the cutter over the place (x, y) while it
// runs along the piece, or something not below stop where it is not below stop.
func (s *sweep) under(c *tool, x, y, stop float64) float64 {
	px, py := x-s.x, y-s.y
	a, w := px*s.dx+py*s.dy, math.Abs(px*s.dy-py*s.dx)
	r := c.flat + c.corner
	if w > r || a < -r || a > s.long+r {
		return math.Inf(1)
	}
	half := math.Sqrt(r*r - w*w)
	lo, hi := max(0, a-half), min(s.long, a+half)
	if lo > hi {
		return math.Inf(1)
	}
	if c.lean != (lean{}) {
		q := s.leaning(c, x, y)
		s = &q
	}
	switch {
	case c.corner == 0:
		if s.m > 0 {
			return s.z + s.m*lo
		}
		return s.z + s.m*hi
	case c.flat == 0:
		t := a
		if !s.bow {
			t = a - s.m*half/math.Sqrt(1+s.m*s.m)
		} else {
			// The place where the ball touches lies against the slope of the bow
			// there: a contraction by the ball's radius over the bow's.
			for range 5 {
				m := s.rise(min(max(t, 0), s.long))
				t = a - m*half/math.Sqrt(1+m*m)
			}
		}
		t = min(max(t, lo), hi)
		return s.at(t) + c.corner - math.Sqrt(max(0, half*half-sqr(a-t)))
	}
	if min(s.z+s.m*lo, s.z+s.m*hi)+c.edge(w) >= stop {
		return stop
	}
	return s.underBull(c, a, w, lo, hi)
}

// underBull minimises height plus edge along the piece, from lo to hi. Down the slope from
// the place itself, over v, the tip falls evenly and the edge climbs ever faster: the sum
// is convex, and its slope from the end of the level part on tells how far off it can be.
func (s *sweep) underBull(c *tool, a, w, lo, hi float64) float64 {
	way := 1.0
	if s.m > 0 {
		way, lo, hi = -1, hi, lo
	}
	fall, r := math.Abs(s.m), c.radius()
	slope := func(v float64) (first, second float64) {
		u := math.Sqrt(w*w + v*v)
		e, p := u-c.flat, v/u
		sink := math.Sqrt(max(0, c.corner*c.corner-e*e))
		return e/sink*p - fall, sqr(p*c.corner)/(sink*sink*sink) + e/sink*(1-p*p)/u
	}
	v, near, far := 0.0, max((lo-a)*way, math.Sqrt(max(0, sqr(c.flat)-w*w))), (hi-a)*way
	if first, _ := slope(far); far <= near || !(first > 0) {
		v = far
	} else if first, _ := slope(near); first >= 0 {
		v = near
	} else {
		// Not nearer than along a way that runs through the axis.
		v = max(near, math.Sqrt(max(0, sqr(c.flat+c.corner*fall/math.Sqrt(1+fall*fall))-w*w)))
		for range 40 {
			first, second := slope(v)
			if math.Abs(first)*(far-near) < 1e-10 {
				break
			}
			if first < 0 {
				near = v
			} else {
				far = v
			}
			if v -= first / second; !(near < v && v < far) {
				v = (near + far) / 2
			}
		}
	}
	return s.z + s.m*(a+way*v) + c.edge(min(math.Sqrt(w*w+v*v), r))
}

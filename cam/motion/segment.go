package motion

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cam/path"
)

// minLength is the length in mm up to which a move is ignored: a hundred thousandth
// of the smallest step that a program writes, yet ten thousand times the rounding
// of a coordinate of a metre, so that the directions of longer moves are known.
const minLength = 1e-9

// Two lines of one feed are one straight run where they turn by at most
// maxStraightTurn radians, or where the shorter leaves the other's line by no more
// than coordinateRounding mm. A float64 keeps a coordinate of a metre to 1e-13 mm:
// that turns a move of 0.001 mm by less than maxStraightTurn, and
// coordinateRounding serves for shorter ones.
const (
	maxStraightTurn    = 1e-9
	coordinateRounding = 1e-12
)

// minFeed is the least feed, in mm/min, that counts as one: a millimetre in two
// years. Squares of much lower ones would underflow.
const minFeed = 1e-6

// segment is one move as the planner sees it.
type segment struct {
	length       float64 // mm
	first, last  r3.Vec  // unit directions at its ends
	speedSquared float64 // square of its highest speed, (mm/s)²
	acceleration float64 // along the path, mm/s²
	run          float64 // length of the straight run up to its end, mm
	meeting      meeting // at the start of its straight run; after a rest, the zero value
	feed         float64 // that the program asks for, mm/min; 0 in a traverse
	index        int     // of the move
	straight     bool    // goes on along the line of the segment before, at its feed
	curved       bool    // an arc
	traverse     bool
}

// segment returns a move as the planner sees it; the length is 0 where there is nothing
// to time.
func (r *rules) segment(m path.Move) (s segment) {
	for _, axis := range [...][2]*float64{{&m.From.X, &m.To.X}, {&m.From.Y, &m.To.Y}, {&m.From.Z, &m.To.Z}} {
		if d := *axis[1] - *axis[0]; math.IsNaN(d) || math.IsInf(d, 0) {
			if *axis[0], *axis[1] = 0, 0; m.Kind == path.Arc {
				return segment{} // without its start an arc has no centre either
			}
		}
	}
	if s.traverse = m.Kind == path.Traverse; !s.traverse && m.Feed >= minFeed {
		s.feed = m.Feed
	}
	s.curved = m.Kind == path.Arc
	var cosine [3]float64
	curveSquared := math.Inf(1)
	if s.curved {
		cosine, curveSquared = r.arc(m, &s)
	} else {
		cosine = line(m, &s)
	}
	if !(s.length > minLength) || math.IsInf(s.length, 0) {
		return segment{}
	}
	speed := 0.0
	switch {
	case s.traverse:
		speed = limitAlong(r.rapid, cosine)
	case !(m.Feed >= minFeed):
		speed = limitAlong(r.feed, cosine)
	default:
		speed = min(m.Feed/60, limitAlong(r.feed, cosine))
	}
	s.speedSquared = min(float64(speed*speed), curveSquared)
	s.acceleration = limitAlong(r.acceleration, cosine)
	return s
}

// line sets the length and direction of a straight move and returns its absolute
// direction cosines.
func line(m path.Move, s *segment) [3]float64 {
	d := r3.Sub(m.To, m.From)
	s.length = norm(d)
	u := r3.Vec{X: d.X / s.length, Y: d.Y / s.length, Z: d.Z / s.length}
	s.first, s.last = u, u
	return cosines(u)
}

// arc sets the length and directions of an arc and returns the largest absolute
// direction cosine of each axis along it, and the square of the speed at which the
// centripetal acceleration reaches what its axes can give.
func (r *rules) arc(m path.Move, s *segment) (cosine [3]float64, curveSquared float64) {
	angle, r0, r1 := m.Sweep()
	radius := (r0 + r1) / 2
	if r0 == 0 || r1 == 0 {
		return line(m, s), math.Inf(1) // an arc about its own end turns nowhere
	}
	s.length = m.Length()
	i, j, n := m.Plane.Axes()
	from, to, centre := coordinates(m.From), coordinates(m.To), coordinates(m.Centre)
	rise := (to[n] - from[n]) / s.length
	level := math.Abs(angle) * radius / s.length // cosine between the direction and the arc's plane

	tangent := func(at [3]float64) r3.Vec {
		a, b := at[i]-centre[i], at[j]-centre[j]
		k := math.Copysign(level, angle) / norm(r3.Vec{X: a, Y: b})
		var t [3]float64
		t[i], t[j], t[n] = float64(-k*b), float64(k*a), rise
		return r3.Vec{X: t[0], Y: t[1], Z: t[2]}
	}
	s.first, s.last = tangent(from), tangent(to)

	start := math.Atan2(from[j]-centre[j], from[i]-centre[i])
	cos, sin := largestCos(start, angle), largestCos(start-math.Pi/2, angle)
	cosine[i], cosine[j], cosine[n] = float64(level*sin), float64(level*cos), math.Abs(rise)
	var inward [3]float64
	inward[i], inward[j] = cos, sin
	return cosine, limitAlong(r.acceleration, inward) * radius / (level * level)
}

// largestCos returns the largest |cos φ| for φ from start through the signed angle.
func largestCos(start, angle float64) float64 {
	end := start + angle
	if math.Floor(start/math.Pi) != math.Floor(end/math.Pi) {
		return 1
	}
	return max(math.Abs(math.Cos(start)), math.Abs(math.Cos(end)))
}

func coordinates(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// seconds returns how long a piece takes from speed √w0 to speed √w1: speeding up,
// constant speed and braking [BM]. Neither may exceed the piece's own, and its
// acceleration must be able to change one into the other.
func (p *piece) seconds(w0, w1 float64) float64 {
	v0, v1, a := math.Sqrt(w0), math.Sqrt(w1), p.acceleration
	peak := (w0+w1)/2 + float64(a*p.length)
	if peak < p.speedSquared {
		v := math.Sqrt(peak)
		return max(0, (v-v0)/a) + max(0, (v-v1)/a)
	}
	v := math.Sqrt(p.speedSquared)
	rest := p.length - (max(0, p.speedSquared-w0)+max(0, p.speedSquared-w1))/(2*a)
	return max(0, (v-v0)/a) + max(0, rest/v) + max(0, (v-v1)/a)
}

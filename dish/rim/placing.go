package rim

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish/exact"
)

// An edge that is sanded to a sphere may lie anywhere in a dish of that sphere: shifted,
// turned or tilted in it, it turns about the sphere's centre, and every point of it stays on
// the sphere. So what room it takes has nothing to do with its apex: it is the smallest
// circle ON THE SPHERE that holds it.
//
// A circle on a sphere is where a ball cuts it. One of radius ρ, its middle √(R² − ρ²) from
// the sphere's centre, cuts it in a circle of radius ρ, and no ball smaller than that holds
// the circle. So the smallest circle round points that take less than half of the sphere
// is that of the smallest ball round them, and a dish of that diameter in plan, laid with its
// axis through the ball's middle, just holds them. On a plane the same is the smallest circle
// as it is known.

// Seat is the face that an edge is sanded on, a sphere or a plane, and the points of the
// edge that have to lie on it.
type Seat struct {
	dome   Dome
	points []r3.Vec
}

// Placing is a place of a dish under a rim.
type Placing struct {
	At   r2.Vec  // the place of the rim, in plan, under which the dish's middle lies, mm
	Half float64 // half the diameter of the smallest dish that holds the points there, mm
}

// Seat lays points of an edge, in plan, at least one, on the face of a dome; where its top is
// flat beyond a place, on the curved face all the same. They must lie within its reach
// (Extent). Of a cylinder a Seat knows Arc, Half and Across alone.
func (d Dome) Seat(points []r2.Vec) Seat {
	s := Seat{dome: d, points: make([]r3.Vec, len(points))}
	for i, p := range points {
		s.points[i] = s.on(p)
	}
	return s
}

// on returns the place of the face over a place in plan.
func (s Seat) on(p r2.Vec) r3.Vec {
	z, _ := s.dome.curved(p)
	return r3.Vec{X: p.X, Y: p.Y, Z: z}
}

// flat reports whether the face is a plane.
func (s Seat) flat() bool { return s.dome.Kind == Plane }

// centre returns the sphere's centre.
func (s Seat) centre() r3.Vec {
	down := -s.dome.Radius
	if s.dome.Back {
		down = -down
	}
	return r3.Vec{X: s.dome.Apex.X, Y: s.dome.Apex.Y, Z: s.dome.Level + down}
}

// Arc returns how far the edge of a dish lies from its middle along the face, mm, given half
// the dish's diameter: R asin(half/R), a quarter round where the sphere ends.
func (s Seat) Arc(half float64) float64 {
	if s.flat() {
		return half
	}
	return float64(s.dome.Radius * math.Asin(min(1, half/s.dome.Radius)))
}

// Half is the way back: half the diameter of a dish whose edge lies so far from its middle
// along the face, mm; half the sphere's where that is beyond it.
func (s Seat) Half(arc float64) float64 {
	if s.flat() {
		return arc
	}
	return float64(s.dome.Radius * math.Sin(min(math.Pi/2, arc/s.dome.Radius)))
}

// between returns how far two places of the face lie apart along it.
func (s Seat) between(p, q r3.Vec) float64 { return 2 * s.Arc(exact.Norm3(r3.Sub(p, q))/2) }

// Least returns where the smallest dish that holds all the points lies, and half its
// diameter.
func (s Seat) Least() Placing {
	b := smallestBall(s.points)
	at := r2.Vec{X: b.middle.X, Y: b.middle.Y}
	if !s.flat() {
		c := s.centre()
		out := r3.Sub(b.middle, c)
		out = exact.AddScaled3(c, out, s.dome.Radius/exact.Norm3(out))
		at = r2.Vec{X: out.X, Y: out.Y}
	}
	return Placing{at, b.radius}
}

// Lean returns by how much the rim leans in a dish whose middle lies under a place, radians:
// there the face that is level under the apex slopes so much.
func (s Seat) Lean(at r2.Vec) float64 {
	_, rise := s.dome.curved(at)
	return math.Atan(exact.Norm2(rise))
}

// Needs returns half the diameter of the smallest dish with its middle under a place that
// holds all the points, mm; +Inf where the sphere does not reach there.
func (s Seat) Needs(at r2.Vec) float64 {
	middle := s.on(at)
	return s.halfTo(middle, s.points[farthest(s.points, middle)])
}

// halfTo returns half the diameter of the dish about a place of the face whose edge goes
// through another, +Inf where there is none.
func (s Seat) halfTo(middle, p r3.Vec) float64 {
	half := s.Half(s.between(middle, p))
	if math.IsNaN(half) {
		return math.Inf(1)
	}
	return half
}

// Reach returns how far along the face, mm, the middle of a dish of half a diameter may go
// from a place either way along a direction in plan, a unit vector, until a point of the edge
// leaves the dish; 0 where one lies beyond it already. That points of a sphere lie in a
// circle about a place is so for all places within one circle about each point: on a straight
// line in plan, one stretch.
func (s Seat) Reach(at, way r2.Vec, half float64) float64 {
	if !(s.Needs(at) <= half) {
		return 0
	}
	least := math.Inf(1)
	for _, sign := range [...]float64{-1, 1} {
		to := func(by float64) r2.Vec { return exact.AddScaled2(at, way, float64(sign*by)) }
		by, _ := exact.Bisect(0, 2*half, 48, func(by float64) bool { return s.Needs(to(by)) <= half })
		least = min(least, s.between(s.on(at), s.on(to(by))))
	}
	return least
}

// InTwo parts the points between two placings: one holds those before a line square to a direction
// in plan, a unit vector, the other those after it, and both what lies within lap mm of the line.
// The line lies where the larger of the two least circles is smallest, to a ten-thousandth of what
// the points take.
func (s Seat) InTwo(way r2.Vec, lap float64) [2]Seat {
	along := func(p r3.Vec) float64 { return exact.Dot2(way, r2.Vec{X: p.X, Y: p.Y}) }
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range s.points {
		lo, hi = min(lo, along(p)), max(hi, along(p))
	}
	parted := func(line float64) (two [2]Seat, half [2]float64) {
		two = [2]Seat{{dome: s.dome}, {dome: s.dome}}
		for _, p := range s.points {
			if along(p) <= line+lap {
				two[0].points = append(two[0].points, p)
			}
			if along(p) >= line-lap {
				two[1].points = append(two[1].points, p)
			}
		}
		return two, [2]float64{two[0].Least().Half, two[1].Least().Half}
	}
	// The further the line, the larger the first circle and the smaller the second.
	a, b := exact.Bisect(lo, hi, 14, func(line float64) bool {
		_, half := parted(line)
		return half[0] < half[1]
	})
	first, halfA := parted(a)
	second, halfB := parted(b)
	if max(halfA[0], halfA[1]) <= max(halfB[0], halfB[1]) {
		return first
	}
	return second
}

// Across returns half the length of the shortest board, hollow along its length, that reaches
// over all the points when it is laid along a direction in plan, a unit vector: half the way
// from the first of them to the last, straight through the air. Of a cylinder too, along its
// bend.
func (s Seat) Across(way r2.Vec) float64 {
	along := func(p r3.Vec) float64 { return exact.Dot2(way, r2.Vec{X: p.X, Y: p.Y}) }
	lo, hi := s.points[0], s.points[0]
	for _, p := range s.points {
		if along(p) < along(lo) {
			lo = p
		}
		if along(p) > along(hi) {
			hi = p
		}
	}
	return exact.Dist(along(hi)-along(lo), hi.Z-lo.Z) / 2
}

// Beyond reports by how much a point of the edge lies beyond a dish of half a diameter whose
// middle lies under a place, mm in the dish's plan: less than 0 within it.
func (s Seat) Beyond(p, at r2.Vec, half float64) float64 {
	return s.halfTo(s.on(at), s.on(p)) - half
}

// Within returns points of the curve, evenly within each piece and on average no farther apart
// than the given mm, with each joint of two pieces, so that no corner is missed. Between two of
// them the curve goes no farther out than their distance squared over eight times its bend's
// radius: points half a millimetre apart miss 0.003 mm of a bend of 10 mm.
func (o *Outline) Within(apart float64) []r2.Vec {
	var list []r2.Vec
	for i, p := range o.pieces {
		n := max(1, math.Ceil((o.arcBefore[i+1]-o.arcBefore[i])/apart))
		for k := 0.0; k < n; k++ {
			list = append(list, p.at(k/n))
		}
	}
	return list
}

package sketch

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// curve is a piece of a path: its place over 0 ≤ t ≤ 1, and a bound of the length
// of its second derivative, from which follows how finely it is divided.
type curve struct {
	at   func(t float64) r2.Vec
	end  r2.Vec
	bend float64
	long float64 // no shorter than the piece
}

// line is the straight piece from a to b.
func line(a, b r2.Vec) curve {
	return curve{func(t float64) r2.Vec { return r2.Add(r2.Scale(1-t, a), r2.Scale(t, b)) }, b, 0, r2.Norm(r2.Sub(b, a))}
}

// quadratic is the Bézier curve of three points: its second derivative is
// 2(a − 2b + c).
func quadratic(a, b, c r2.Vec) curve {
	bend := 2 * r2.Norm(r2.Add(r2.Sub(a, r2.Scale(2, b)), c))
	return curve{func(t float64) r2.Vec {
		u := 1 - t
		return r2.Add(r2.Add(r2.Scale(u*u, a), r2.Scale(2*u*t, b)), r2.Scale(t*t, c))
	}, c, bend, r2.Norm(r2.Sub(b, a)) + r2.Norm(r2.Sub(c, b))}
}

// cubic is the Bézier curve of four points: its second derivative runs from
// 6(a − 2b + c) to 6(b − 2c + d).
func cubic(a, b, c, d r2.Vec) curve {
	second := func(a, b, c r2.Vec) float64 { return 6 * r2.Norm(r2.Add(r2.Sub(a, r2.Scale(2, b)), c)) }
	return curve{func(t float64) r2.Vec {
		u := 1 - t
		return r2.Add(r2.Add(r2.Scale(u*u*u, a), r2.Scale(3*u*u*t, b)), r2.Add(r2.Scale(3*u*t*t, c), r2.Scale(t*t*t, d)))
	}, d, max(second(a, b, c), second(b, c, d)), r2.Norm(r2.Sub(b, a)) + r2.Norm(r2.Sub(c, b)) + r2.Norm(r2.Sub(d, c))}
}

// arc is the elliptic arc from a to b with two radii, turned by degrees [SVG,
// implementation notes B.2.4 and B.2.5]: radii are taken without their signs and
// enlarged where they do not reach; ok is false where the arc is a straight line or
// nothing.
func arc(a, b r2.Vec, rx, ry, turn float64, large, sweep bool) (c curve, ok bool) {
	rx, ry = math.Abs(rx), math.Abs(ry)
	if rx == 0 || ry == 0 || a == b {
		return curve{}, false
	}
	sin, cos := math.Sincos(math.Mod(turn, 360) * math.Pi / 180)
	half := r2.Scale(0.5, r2.Sub(a, b))
	x, y := cos*half.X+sin*half.Y, cos*half.Y-sin*half.X
	if grow := x*x/(rx*rx) + y*y/(ry*ry); grow > 1 {
		rx, ry = rx*math.Sqrt(grow), ry*math.Sqrt(grow)
	}
	under := rx*rx*y*y + ry*ry*x*x
	k := math.Sqrt(max(0, (rx*rx*ry*ry-under)/under))
	if large == sweep {
		k = -k
	}
	cx, cy := k*rx*y/ry, -k*ry*x/rx
	middle := r2.Add(r2.Vec{X: cos*cx - sin*cy, Y: sin*cx + cos*cy}, r2.Scale(0.5, r2.Add(a, b)))
	from := math.Atan2((y-cy)/ry, (x-cx)/rx)
	by := math.Mod(math.Atan2((-y-cy)/ry, (-x-cx)/rx)-from, 2*math.Pi)
	if sweep && by < 0 {
		by += 2 * math.Pi
	}
	if !sweep && by > 0 {
		by -= 2 * math.Pi
	}
	if bad := from - from + by - by + middle.X - middle.X + middle.Y - middle.Y; bad != 0 {
		return curve{}, false // radii so small or large that nothing is left of them
	}
	at := func(t float64) r2.Vec {
		switch t { // the ends are the path's own
		case 0:
			return a
		case 1:
			return b
		}
		s, c := math.Sincos(from + by*t)
		return r2.Add(middle, r2.Vec{X: cos*rx*c - sin*ry*s, Y: sin*rx*c + cos*ry*s})
	}
	widest := max(rx, ry)
	return curve{at, b, widest * by * by, widest * math.Abs(by)}, true
}

// Points divides the line into points: no chord lies farther than tolerance from
// its curve, and none is longer than longest, both in the path's own units and
// more than zero. A closed line's first point is not repeated at its end. It is
// an error where that takes more than MostRows points.
//
// A chord over dt of a curve lies within |second derivative| dt²/8 of it.
func (s Subpath) Points(tolerance, longest float64) ([]r2.Vec, error) {
	points := []r2.Vec{s.start}
	for _, c := range s.pieces {
		n := max(1, max(math.Ceil(math.Sqrt(c.bend/(8*tolerance))), math.Ceil(c.long/longest)))
		if !(n+float64(len(points)) <= MostRows) {
			return nil, fmt.Errorf("the path takes more than %d points", MostRows)
		}
		for i := 1.0; i < n; i++ {
			points = appendNew(points, c.at(i/n))
		}
		points = appendNew(points, c.end)
	}
	if s.Closed && len(points) > 1 && points[len(points)-1] == points[0] {
		points = points[:len(points)-1]
	}
	return points, nil
}

// appendNew leaves out a point that is the one before: a piece of no length.
func appendNew(points []r2.Vec, p r2.Vec) []r2.Vec {
	if p == points[len(points)-1] {
		return points
	}
	return append(points, p)
}

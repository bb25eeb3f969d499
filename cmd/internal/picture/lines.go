package picture

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// finite leaves out what is no place, and what is out of any paper's reach.
func finite(points []Point) []Point {
	const far = 1e5
	away := func(p Point) bool { return !(math.Abs(p.X) < far && math.Abs(p.Y) < far) }
	if !slices.ContainsFunc(points, away) {
		return points
	}
	return slices.DeleteFunc(slices.Clone(points), away)
}

// simplify drops points that lie within tol of the line through those that stay: first
// what lies within a third of that of the last one kept, then, run by run so that the
// work grows no faster than the line, what a straight piece passes close enough.
func simplify(points []Point, tol float64) []Point {
	const run = 400
	if len(points) < 3 {
		return points
	}
	apart := []Point{points[0]}
	for _, p := range points[1 : len(points)-1] {
		if q := apart[len(apart)-1]; math.Abs(p.X-q.X) > tol/3 || math.Abs(p.Y-q.Y) > tol/3 {
			apart = append(apart, p)
		}
	}
	apart = append(apart, points[len(points)-1])
	out := apart[:1:1]
	for i := 0; i+1 < len(apart); i += run {
		out = append(out, straighten(apart[i:min(len(apart), i+run+1)], tol/2)[1:]...)
	}
	return out
}

// straighten is the way of Ramer, Douglas and Peucker, with its own stack.
func straighten(points []Point, tol float64) []Point {
	keep := make([]bool, len(points))
	keep[0], keep[len(points)-1] = true, true
	for stack := [][2]int{{0, len(points) - 1}}; len(stack) > 0; {
		s := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		worst, at := tol, -1
		for i := s[0] + 1; i < s[1]; i++ {
			if d := off(points[s[0]], points[s[1]], points[i]); d > worst {
				worst, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{s[0], at}, [2]int{at, s[1]})
		}
	}
	out := points[:0:0]
	for i, k := range keep {
		if k {
			out = append(out, points[i])
		}
	}
	return out
}

// off returns how far a place is from the piece from a to b.
func off(a, b, p Point) float64 {
	d := r2.Sub(b, a)
	n := r2.Norm2(d)
	t := 0.0
	if n > 0 {
		t = max(0, min(1, r2.Dot(r2.Sub(p, a), d)/n))
	}
	e := r2.Sub(p, r2.Add(a, r2.Scale(t, d)))
	return math.Sqrt(r2.Norm2(e))
}

// Clip returns what of the line from a to b lies in the box (Liang and Barsky's way).
func Clip(a, b Point, box r2.Box) (from, to Point, ok bool) {
	t0, t1 := 0.0, 1.0
	d := r2.Sub(b, a)
	for _, e := range [4][2]float64{{-d.X, a.X - box.Min.X}, {d.X, box.Max.X - a.X}, {-d.Y, a.Y - box.Min.Y}, {d.Y, box.Max.Y - a.Y}} {
		switch p, q := e[0], e[1]; {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	from, to = a, b
	if t0 > 0 {
		from = Point{X: a.X + float64(t0*d.X), Y: a.Y + float64(t0*d.Y)}
	}
	if t1 < 1 {
		to = Point{X: a.X + float64(t1*d.X), Y: a.Y + float64(t1*d.Y)}
	}
	return from, to, t0 < t1
}

// Length returns the length of a line.
func Length(line []Point) (n float64) {
	for i := 1; i < len(line); i++ {
		n += r2.Norm(r2.Sub(line[i], line[i-1]))
	}
	return n
}

// spans returns where the upright line at x lies inside what the points enclose, from
// above downward.
func spans(points []Point, x float64) (list [][2]float64) {
	var at []float64
	for i, a := range points {
		b := points[(i+1)%len(points)]
		if (a.X <= x) != (b.X <= x) {
			at = append(at, a.Y+(b.Y-a.Y)*(x-a.X)/(b.X-a.X))
		}
	}
	slices.Sort(at)
	for i := 1; i < len(at); i += 2 {
		list = append(list, [2]float64{at[i-1], at[i]})
	}
	return list
}

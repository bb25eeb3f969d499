package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"dishwright/dish/rim"
)

// sphere is the face of a dome of radius R with its apex at a place.
func sphere(R float64, apex r2.Vec) rim.Dome {
	return rim.Dome{Kind: rim.Sphere, Radius: R, Apex: apex}
}

// direction returns the unit vector from a dome's centre to its face over a place in plan.
func direction(d rim.Dome, p r2.Vec) r3.Vec {
	v := r2.Sub(p, d.Apex)
	return r3.Vec{X: v.X / d.Radius, Y: v.Y / d.Radius, Z: math.Sqrt(1 - (v.X*v.X+v.Y*v.Y)/d.Radius/d.Radius)}
}

// turned takes v about an axis, a unit vector: Rodrigues' formula.
func turned(v, axis r3.Vec, angle float64) r3.Vec { return r3.Rotate(v, angle, axis) }

// angle returns the angle between two unit vectors, by a form that loses nothing where it is
// small: 2 asin of half the chord.
func angle(a, b r3.Vec) float64 { return 2 * math.Asin(r3.Norm(r3.Sub(a, b))/2) }

// Closed forms: a round and an oval edge about the apex need what they are across; a circle
// on the sphere, about any place of it, its own diameter; of three points, the circumcircle
// a b c / 4 K with the area K by Heron, or the longest side where the angle over it is blunt.
func TestLeastCircle(t *testing.T) {
	apex := r2.Vec{X: 160, Y: 12}
	d := sphere(7620, apex)
	at := func(points ...r2.Vec) []r2.Vec {
		for i := range points {
			points[i] = r2.Add(points[i], apex)
		}
		return points
	}
	var round, oval, elsewhere []r2.Vec
	middle := direction(d, r2.Add(apex, r2.Vec{X: 700, Y: -300}))
	side := r3.Unit(r3.Cross(middle, r3.Vec{X: 1}))
	for i := range 720 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 360)
		round = append(round, r2.Vec{X: 200 * cos, Y: 200 * sin})
		oval = append(oval, r2.Vec{X: 250 * cos, Y: 190 * sin})
		p := turned(turned(middle, side, 0.03), middle, math.Pi*float64(i)/360)
		elsewhere = append(elsewhere, r2.Add(apex, r2.Vec{X: 7620 * p.X, Y: 7620 * p.Y}))
	}
	for _, tt := range []struct {
		name   string
		points []r2.Vec
		at     r2.Vec
		half   float64
	}{
		{"one point", at(r2.Vec{X: 90}), r2.Vec{X: 90}, 0},
		{"round", at(round...), r2.Vec{}, 200},
		{"oval", at(oval...), r2.Vec{}, 250},
		{"a circle elsewhere", elsewhere, r2.Vec{X: 700, Y: -300}, 7620 * math.Sin(0.03)},
	} {
		p := d.Seat(tt.points).Least()
		require.InDelta(t, tt.half, p.Half, 1e-9, tt.name)
		require.InDelta(t, 0, r2.Norm(r2.Sub(p.At, r2.Add(apex, tt.at))), 1e-6, tt.name)
	}
	for _, d := range []rim.Dome{sphere(3000, apex), {Kind: rim.Plane, Level: 5}} {
		for _, three := range [][]r2.Vec{{{}, {X: 400, Y: 30}, {X: 150, Y: 310}}, {{}, {X: 400, Y: 30}, {X: 220, Y: 90}}} {
			var p [3]r3.Vec
			for i, v := range three {
				p[i] = r3.Vec{X: v.X, Y: v.Y, Z: d.Height(v)}
			}
			a, b, c := r3.Norm(r3.Sub(p[1], p[2])), r3.Norm(r3.Sub(p[0], p[2])), r3.Norm(r3.Sub(p[0], p[1]))
			s := (a + b + c) / 2
			want := a * b * c / 4 / math.Sqrt(s*(s-a)*(s-b)*(s-c))
			if c*c > a*a+b*b {
				want = c / 2
			}
			require.InDelta(t, want, d.Seat(three).Least().Half, 1e-9)
		}
	}
}

// drawn draws points of an edge on a sphere, and the sphere.
func drawn(t *rapid.T) (rim.Dome, []r2.Vec) {
	d := sphere(rapid.Float64Range(1500, 12000).Draw(t, "radius"), r2.Vec{X: rapid.Float64Range(-100, 600).Draw(t, "apex"), Y: rapid.Float64Range(-50, 50).Draw(t, "off")})
	var points []r2.Vec
	for range rapid.IntRange(3, 40).Draw(t, "points") {
		points = append(points, r2.Vec{X: rapid.Float64Range(0, 500).Draw(t, "x"), Y: rapid.Float64Range(-200, 200).Draw(t, "y")})
	}
	return d, points
}

// No place is better than the least circle's: not any of three hundred about it, near and far,
// and there the farthest point lies on its edge. The angles are those between directions.
func TestLeastCircleIsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, points := drawn(t)
		seat := d.Seat(points)
		least := seat.Least()
		needs := func(at r2.Vec) float64 {
			most, u := 0.0, direction(d, at)
			for _, p := range points {
				most = max(most, angle(u, direction(d, p)))
			}
			return d.Radius * math.Sin(most)
		}
		require.InDelta(t, least.Half, needs(least.At), 1e-6)
		require.InDelta(t, least.Half, seat.Needs(least.At), 1e-6)
		for k := range 300 {
			sin, cos := math.Sincos(float64(k))
			far := 1e-3 * math.Exp(float64(k)/26)
			at := r2.Add(least.At, r2.Vec{X: far * cos, Y: far * sin})
			require.Greater(t, needs(at), least.Half-1e-7)
			require.InDelta(t, needs(at), seat.Needs(at), 1e-6)
		}
	})
}

// Turned about the sphere's centre to any placing, tilted and turned, the edge still lies on
// the sphere, and within the swing of the least circle's middle in a dish that is wider by it.
func TestAnyPlacingIsOnTheSphere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBody(t)
		b.Top.Kind = rim.Sphere
		points := b.Outline.Within(5)
		seat := b.Top.Seat(points)
		least := seat.Least()
		swing := rapid.Float64Range(0, 60).Draw(t, "swing")
		half := seat.Half(seat.Arc(least.Half) + swing)
		R, u, up := b.Top.Radius, direction(b.Top, least.At), r3.Vec{Z: 1}
		tilt, spin := r3.Cross(u, up), rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		if r3.Norm(tilt) < 1e-9 {
			tilt = r3.Vec{X: 1}
		}
		off := r3.Unit(r3.Vec{X: rapid.Float64Range(-1, 1).Draw(t, "x"), Y: 1})
		for _, p := range points {
			v := turned(direction(b.Top, p), r3.Unit(tilt), angle(u, up)) // the least circle's middle over the dish's
			v = turned(turned(v, up, spin), off, swing/R)
			d := math.Hypot(R*v.X, R*v.Y)
			require.InDelta(t, math.Sqrt(R*R-d*d), R*v.Z, 1e-9)
			require.LessOrEqual(t, d, half+1e-6)
		}
	})
}

// How far a dish's middle may go, against steps of a fiftieth of what is told, and that all of
// them from any side hold the edge as far as the difference of the two circles.
func TestReach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, points := drawn(t)
		seat := d.Seat(points)
		least := seat.Least()
		half := least.Half + rapid.Float64Range(0.5, 80).Draw(t, "room")
		holds := func(at r2.Vec) bool {
			u := direction(d, at)
			for _, p := range points {
				if angle(u, direction(d, p)) > math.Asin(half/d.Radius) {
					return false
				}
			}
			return true
		}
		sin, cos := math.Sincos(rapid.Float64Range(0, 2*math.Pi).Draw(t, "way"))
		way := r2.Vec{X: cos, Y: sin}
		reach, all := seat.Reach(least.At, way, half), seat.Arc(half)-seat.Arc(least.Half)
		require.GreaterOrEqual(t, reach, all-1e-6)
		out := func(by float64, sign float64) r2.Vec { return r2.Add(least.At, r2.Scale(sign*by, way)) }
		brute := math.Inf(1)
		for _, sign := range []float64{-1, 1} {
			by := 0.0
			for holds(out(by+reach/50, sign)) {
				by += reach / 50
			}
			brute = min(brute, d.Radius*angle(direction(d, least.At), direction(d, out(by, sign))))
		}
		require.InDelta(t, reach, brute, reach/45)
		u := direction(d, least.At)
		side := r3.Unit(r3.Cross(u, r3.Vec{X: 1, Y: 0.3}))
		for k := range 36 { // every way along the sphere
			v := turned(turned(u, side, 0.9999*all/d.Radius), u, float64(k)/36*2*math.Pi)
			require.True(t, holds(r2.Add(d.Apex, r2.Vec{X: d.Radius * v.X, Y: d.Radius * v.Y})))
		}
		require.Zero(t, seat.Reach(r2.Add(least.At, r2.Vec{X: 1.1*half + 600}), way, half))
	})
}

// Two placings hold every point between them, what lies near the line twice, and no other line
// parts the points better.
func TestInTwo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBody(t)
		if b.Top.Kind != rim.Plane {
			b.Top.Kind = rim.Sphere
		}
		way, lap := rapid.SampledFrom([]r2.Vec{{X: 1}, {Y: 1}}).Draw(t, "way"), 10.0
		points := b.Outline.Within(4)
		seat := b.Top.Seat(points)
		parts := seat.InTwo(way, lap)
		two := [2]rim.Placing{parts[0].Least(), parts[1].Least()}
		half := max(two[0].Half, two[1].Half)
		require.Less(t, half, seat.Least().Half+1e-9)
		for _, p := range points {
			require.LessOrEqual(t, min(seat.Beyond(p, two[0].At, half), seat.Beyond(p, two[1].At, half)), 1e-6)
		}
		best := math.Inf(1)
		for line := -250.0; line < 700; line += 8 {
			var parts [2][]r2.Vec
			for _, p := range points {
				u := r2.Dot(way, p)
				if u <= line+lap {
					parts[0] = append(parts[0], p)
				}
				if u >= line-lap {
					parts[1] = append(parts[1], p)
				}
			}
			if len(parts[0]) > 0 && len(parts[1]) > 0 {
				best = min(best, max(b.Top.Seat(parts[0]).Least().Half, b.Top.Seat(parts[1]).Least().Half))
			}
		}
		require.LessOrEqual(t, half, best+0.5)
	})
}

// The points of an outline hold its corners, and are as near one another as is asked.
func TestPointsWithin(t *testing.T) {
	square := []r2.Vec{{}, {Y: -100}, {X: 300, Y: -100}, {X: 300}, {X: 300, Y: 100}, {Y: 100}}
	points := outline(t, square, rim.Straight).Within(0.7)
	for _, p := range square {
		require.Contains(t, points, p)
	}
	for i, p := range points {
		require.LessOrEqual(t, r2.Norm(r2.Sub(points[(i+1)%len(points)], p)), 0.7)
	}
	require.InDelta(t, 2*math.Hypot(300, 200)/2, 2*rim.Dome{Kind: rim.Plane}.Seat(points).Least().Half, 1e-9)
	b := guitarBody(t)
	for i, p := range b.Outline.Within(0.5) {
		if i%40 == 0 {
			near := math.Inf(1)
			for k := range 4000 {
				near = min(near, r2.Norm(r2.Sub(b.Outline.At(b.Outline.Perimeter()*float64(k)/4000).At, p)))
			}
			require.Less(t, near, 0.3)
		}
	}
}

package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish/rim"
)

// On a polygon by plane geometry: a brace at 60 degrees through a straight side.
func TestNotchOnStraightSides(t *testing.T) {
	points := []r2.Vec{{}, {X: 0, Y: -100}, {X: 400, Y: -100}, {X: 400, Y: 100}, {X: 0, Y: 100}}
	b := rim.Body{Outline: outline(t, points, rim.Straight), Sides: 2, Lining: 6, Top: rim.Dome{Radius: 8000, Apex: r2.Vec{X: 200}}}
	dx := 200 / math.Tan(math.Pi/3)
	n, err := b.Notches(rim.Brace{From: r2.Vec{X: 150, Y: -100}, To: r2.Vec{X: 150 + dx, Y: 100}, Width: 8, EndHeight: 3})
	require.NoError(t, err)
	require.InDelta(t, 250, n[0].Arc, 1e-6)
	require.InDelta(t, 100+400+200+(400-150-dx), n[1].Arc, 1e-6)
	for i, inner := range []float64{250 + 8/math.Tan(math.Pi/3), n[1].Arc + 8/math.Tan(math.Pi/3)} {
		require.InDelta(t, math.Pi/3, n[i].Angle, 1e-9)
		require.InDelta(t, 8/math.Sin(math.Pi/3), n[i].Width, 1e-9)
		require.Equal(t, 3.0, n[i].Depth)
		require.InDelta(t, inner, n[i].InnerArc, 1e-6)
	}
}

// The curve through 720 points of a circle is the circle to 1e-7 in place and in length
// (see TestPerimeterOfEllipses for fewer). On it a chord at distance p from the middle crosses at acos(p/r) to the
// tangent: cos of the angle is p/r.
func TestNotchOnACircle(t *testing.T) {
	const r = 200.0
	b := round(t, r, 8000, r2.Vec{})
	for _, p := range []float64{0, 50, 120} {
		n, err := b.Notches(rim.Brace{From: r2.Vec{X: r + p, Y: -150}, To: r2.Vec{X: r + p, Y: 150}, Width: 10})
		require.NoError(t, err)
		half := math.Acos(p / r) // from the head's side
		require.InDelta(t, math.Pi*r-half*r, n[0].Arc, 1e-6)
		require.InDelta(t, math.Pi*r+half*r, n[1].Arc, 1e-6)
		for _, end := range n {
			require.InDelta(t, p/r, math.Cos(end.Angle), 1e-6)
			require.InDelta(t, 10/math.Sqrt(1-p*p/r/r), end.Width, 1e-6)
		}
	}
	for _, bad := range []rim.Brace{
		{From: r2.Vec{X: 500, Y: -100}, To: r2.Vec{X: 500, Y: 100}},
		{From: r2.Vec{X: 100, Y: 10}, To: r2.Vec{X: 100, Y: 10}},
		{From: r2.Vec{X: 399, Y: -10}, To: r2.Vec{X: 399.1, Y: 10}},
	} {
		_, err := b.Notches(bad)
		require.Error(t, err)
	}
}

// A plane cuts a sphere at distance p from its middle in a circle of radius
// √(R² − p²): along a level chord the brace's edge is that circle seen upright, but
// for the tilt p/R of its plane.
func TestBraceArcs(t *testing.T) {
	const R = 4572.0
	b := round(t, 200, R, r2.Vec{})
	for _, p := range []float64{0, 60, 120} {
		n, err := b.Notches(rim.Brace{From: r2.Vec{X: 200 + p, Y: -150}, To: r2.Vec{X: 200 + p, Y: 150}, Width: 8})
		require.NoError(t, err)
		radius, length, heights := b.BraceArc(n, 8)
		require.InDelta(t, 2*math.Sqrt(200*200-p*p), length, 1e-6)
		require.InDelta(t, math.Sqrt(R*R-p*p), radius, 1e-6)
		require.Len(t, heights, 9)
		require.InDelta(t, 0, heights[0]+heights[8], 1e-12)
		rho := math.Sqrt(R*R - p*p)
		require.InDelta(t, rho-math.Sqrt(rho*rho-length*length/4), heights[4], 1e-6)
		require.InDelta(t, heights[2], heights[6], 1e-9)
		two, _, middle := b.BraceArc(n, 2)
		require.InDelta(t, radius, two, 1e-9)
		require.InDelta(t, heights[4], middle[1], 1e-12)
		odd, _, _ := b.BraceArc(n, 5)
		require.True(t, math.IsInf(odd, 1), "no station in its middle")
		level := b
		level.Top = rim.Dome{Kind: rim.Plane, Pitch: 0.01}
		straight, _, heights := level.BraceArc(n, 8)
		require.True(t, math.IsInf(straight, 1))
		for _, h := range heights {
			require.InDelta(t, 0, h, 1e-12)
		}
	}
}

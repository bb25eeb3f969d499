package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish/rim"
)

// ellipse returns points of an ellipse of half axes a and b, its tail at X0.
func ellipse(a, b float64, n int) []r2.Vec {
	points := make([]r2.Vec, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		points[i] = r2.Vec{X: a - a*cos, Y: -b * sin}
	}
	points[0], points[n/2] = r2.Vec{}, r2.Vec{X: 2 * a}
	return points
}

func outline(t require.TestingT, points []r2.Vec, curve rim.Curve) *rim.Outline {
	o, err := rim.NewOutline(points, curve)
	require.NoError(t, err)
	return o
}

// guitar is an invented body with a waist.
var guitar = rim.Bouts{Upper: 280, Waist: 240, Lower: 380, Length: 490}

func guitarBody(t testing.TB) rim.Body {
	half, err := guitar.Half()
	require.NoError(t, err)
	b := rim.Body{Outline: outline(t, rim.Mirrored(half), rim.Smooth), Sides: 2.2, Lining: 6}
	b.Top = rim.Dome{Kind: rim.Sphere, Radius: 8534.4, Apex: r2.Vec{X: 160}}
	b.Back, err = rim.BackThrough(rim.Sphere, 4572, b.Top, b.Outline.Length(), rim.Depths{Head: 80, Tail: 95})
	require.NoError(t, err)
	return b
}

// round is a body of radius r whose top's apex stands off its middle.
func round(t require.TestingT, r, R float64, off r2.Vec) rim.Body {
	return rim.Body{Outline: outline(t, ellipse(r, r, 720), rim.Smooth), Sides: 2, Lining: 6,
		Top:  rim.Dome{Kind: rim.Sphere, Radius: R, Apex: r2.Vec{X: r + off.X, Y: off.Y}},
		Back: rim.Dome{Kind: rim.Plane, Level: -90, Back: true}}
}

// drawBody draws an egg-shaped body with a waist or without, and its domes.
func drawBody(t *rapid.T) rim.Body {
	length, width := rapid.Float64Range(200, 600).Draw(t, "length"), rapid.Float64Range(120, 420).Draw(t, "width")
	waist := rapid.Float64Range(0, 0.3).Draw(t, "waist")
	egg := rapid.Float64Range(-0.3, 0.3).Draw(t, "egg")
	n := rapid.IntRange(6, 60).Draw(t, "points")
	var half []r2.Vec
	for i := range n + 1 {
		sin, cos := math.Sincos(math.Pi * float64(i) / float64(n))
		half = append(half, r2.Vec{X: length / 2 * (1 - cos), Y: width / 2 * sin * (1 + egg*cos) * (1 - waist*math.Cos(4*math.Pi*float64(i)/float64(n)))})
	}
	half[n].Y = 0
	b := rim.Body{Outline: outline(t, rim.Mirrored(half), rim.Smooth), Sides: 2, Lining: 5}
	b.Top = rim.Dome{Kind: rapid.SampledFrom([]rim.DomeKind{rim.Sphere, rim.Sphere, rim.CylinderAcross, rim.CylinderAlong, rim.Plane}).Draw(t, "kind"),
		Radius: rapid.Float64Range(2000, 12000).Draw(t, "radius"), Apex: r2.Vec{X: length * rapid.Float64Range(0.2, 0.8).Draw(t, "apex"), Y: rapid.Float64Range(-20, 20).Draw(t, "off")}}
	if b.Top.Kind == rim.Plane {
		b.Top.Apex = r2.Vec{}
	}
	kind := rapid.SampledFrom([]rim.DomeKind{rim.Sphere, rim.Sphere, rim.CylinderAcross, rim.CylinderAlong, rim.Plane}).Draw(t, "back")
	var err error
	b.Back, err = rim.BackThrough(kind, rapid.Float64Range(2000, 9000).Draw(t, "back radius"), b.Top, b.Outline.Length(),
		rim.Depths{Head: rapid.Float64Range(40, 120).Draw(t, "head"), Tail: rapid.Float64Range(40, 120).Draw(t, "tail")})
	require.NoError(t, err)
	return b
}

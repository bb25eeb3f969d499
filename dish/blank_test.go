package dish_test

import (
	"math"
	"testing"

	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// outlineOf returns the corners of a blank, counter-clockwise; a round is a
// polygon of 720 corners on its circle.
func outlineOf(b dish.Blank) (corners [][2]float64) {
	x, y := b.Length/2, b.Width/2
	switch b.Shape {
	case dish.Round:
		for k := range 720 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 360)
			corners = append(corners, [2]float64{x * cos, x * sin})
		}
	case dish.Octagon:
		for k := range 8 { // corners half an eighth off the axes, so that it stands on a flat
			sin, cos := math.Sincos((float64(k) + 0.5) * math.Pi / 4)
			r := x / math.Cos(math.Pi/8)
			corners = append(corners, [2]float64{r * cos, r * sin})
		}
	default:
		corners = [][2]float64{{x, y}, {-x, y}, {-x, -y}, {x, -y}}
	}
	return corners
}

// nearestEdge returns the distance from (x, y) to the nearest side, and whether
// the place lies inside all of them.
func nearestEdge(corners [][2]float64, x, y float64) (distance float64, inside bool) {
	distance, inside = math.Inf(1), true
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		dx, dy := b[0]-a[0], b[1]-a[1]
		t := ((x-a[0])*dx + (y-a[1])*dy) / (dx*dx + dy*dy)
		t = math.Min(1, math.Max(0, t))
		distance = math.Min(distance, math.Hypot(x-a[0]-t*dx, y-a[1]-t*dy))
		inside = inside && dx*(y-a[1])-dy*(x-a[0]) >= 0
	}
	return distance, inside
}

func TestBlankInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := dish.Blank{Shape: rapid.SampledFrom([]dish.BlankShape{dish.Square, dish.Rectangle, dish.Round, dish.Octagon}).Draw(t, "outline"),
			Length: rapid.Float64Range(20, 2000).Draw(t, "length"), Thickness: 20}
		b.Width = b.Length
		if b.Shape == dish.Rectangle {
			b.Width = rapid.Float64Range(20, 2000).Draw(t, "width")
		}
		x := b.Length * rapid.Float64Range(-0.7, 0.7).Draw(t, "x")
		y := b.Width * rapid.Float64Range(-0.7, 0.7).Draw(t, "y")
		distance, inside := nearestEdge(outlineOf(b), x, y)
		// The polygon of a round lies inside it by its sagitta, 5e-6 of the diameter.
		keep := 5e-6*b.Length + 1e-9
		got := b.Inside(x, y)
		if inside {
			require.InDelta(t, distance, got, keep)
		} else {
			require.LessOrEqual(t, got, keep, "outside")
			require.GreaterOrEqual(t, got, -distance-keep, "never farther outside than it is")
		}
	})
}

func TestBlankLeastAndCorner(t *testing.T) {
	for _, b := range []dish.Blank{
		{Shape: dish.Square, Length: 500, Width: 500}, {Shape: dish.Rectangle, Length: 700, Width: 400},
		{Shape: dish.Rectangle, Length: 300, Width: 900}, {Shape: dish.Round, Length: 640, Width: 640}, {Shape: dish.Octagon, Length: 600, Width: 600},
	} {
		t.Run(b.Shape.String(), func(t *testing.T) {
			corners := outlineOf(b)
			least, inside := nearestEdge(corners, 0, 0)
			require.True(t, inside)
			far := 0.0
			for _, c := range corners {
				far = math.Max(far, math.Hypot(c[0], c[1]))
			}
			require.InDelta(t, least, b.InnerRadius(), 5e-6*b.Length)
			require.InDelta(t, far, b.OuterRadius(), 1e-9)
		})
	}
}

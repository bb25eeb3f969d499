package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish/rim"
)

// Of a straight-sided body on a plane the line meets the inner side of the edge at half the width less
// the edge's: by Pythagoras the dish's middle lies √(ρ² − y²) before the line, ρ half the dish, its
// swing and its room. On the outside it reaches, fully swung, √((half + swing)² − Y²) from its middle.
func TestBesideALine(t *testing.T) {
	const line, wide, edge, room = 300.0, 150.0, 8.0, 1.5
	body := rim.Body{Outline: outline(t, []r2.Vec{{}, {Y: -wide}, {X: 400, Y: -wide}, {X: 400}, {X: 400, Y: wide}, {Y: wide}}, rim.Straight), Sides: 2, Lining: edge - 2, Top: rim.Dome{Kind: rim.Plane}}
	var on []r2.Vec
	for _, p := range body.Outline.Within(0.5) {
		if p.X <= line {
			on = append(on, p)
		}
	}
	seat := body.Top.Seat(on)
	b := seat.Beside(body.EdgeFrom(line, 1), line, room)
	for _, half := range []float64{250, 300, 450} {
		for _, swing := range []float64{0, 12, 30} {
			at, ok := b.Place(half, swing)
			require.True(t, ok)
			want := line - math.Sqrt((half+swing+room)*(half+swing+room)-(wide-edge)*(wide-edge))
			require.InDelta(t, min(want, line/2), at.X, 2e-3)
			require.Zero(t, at.Y)
			for _, p := range on {
				far := r2.Norm(r2.Sub(p, at))
				never, partly := seat.Left(p, at, half, swing)
				require.Equal(t, []bool{far > half+swing, far > half-swing}, []bool{never, partly})
			}
		}
	}
	// No swing holds the tail's half where that needs more than the dish is wide.
	_, ok := b.Place(160, 0)
	require.False(t, ok)
	require.True(t, math.IsInf(b.Needs(200, 1000), 1))
}

// For drawn bodies, dishes and swings no place of the edge from the line on, outside to inside, comes
// within the dish at any stroke, and the tail's half of what lies before it is in it at every one. A
// dish that is said to be needed has a place, one that is smaller has none; a swing that is said to
// be the largest has one, a longer one has none.
func TestNothingBeyondTheLineIsSanded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		body := drawBody(t)
		body.Top = sphere(rapid.Float64Range(2000, 12000).Draw(t, "dome"), body.Top.Apex)
		long := body.Outline.Length()
		line := long * rapid.Float64Range(0.5, 0.95).Draw(t, "line")
		var on []r2.Vec
		for _, p := range body.Outline.Within(1) {
			if p.X <= line {
				on = append(on, p)
			}
		}
		off := body.EdgeFrom(line, 1)
		for _, p := range off {
			require.GreaterOrEqual(t, p.X, line-1e-9)
		}
		seat := body.Top.Seat(on)
		b := seat.Beside(off, line, 1.5)
		half, asked := long*rapid.Float64Range(0.2, 0.9).Draw(t, "half"), rapid.Float64Range(5, 60).Draw(t, "swing")
		at, swing, ok := b.Swing(half, 5, asked)
		R, middle := body.Top.Radius, direction(body.Top, at)
		arc := R * math.Asin(half/R)
		for k := range 1500 {
			o := body.Outline.At(body.Outline.Perimeter() * float64(k) / 1500)
			p := o.Inward(body.EdgeWidth() * float64(k%7) / 6)
			if far := R * angle(middle, direction(body.Top, p)); p.X >= line {
				require.Greater(t, far, arc+swing+1, "%v", p)
			} else if ok && k%7 == 0 && p.X <= line/2-1 {
				require.Less(t, far, arc-swing+0.01, "%v", p)
			}
		}
		if ok && swing < asked {
			_, more := b.Place(half, swing+0.01)
			require.False(t, more)
		}
		if needs := b.Needs(20, long); !math.IsInf(needs, 1) {
			_, holds := b.Place(needs, 20)
			_, less := b.Place(needs-0.1, 20)
			require.Equal(t, []bool{true, false}, []bool{holds, less})
		}
	})
}

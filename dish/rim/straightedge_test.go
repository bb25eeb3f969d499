package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish/rim"
)

// gapsAt returns the gaps of a block whose inner and outer edges stand at given
// distances from the apex.
func gapsAt(R, inner, outer float64) rim.Gaps {
	b := rim.Body{Top: rim.Dome{Kind: rim.Sphere, Radius: R}}
	return b.BlockGaps(rim.Block{Name: "head", Outer: outer, Inner: inner}, rim.Block{Name: "tail", Outer: -outer, Inner: -inner})
}

// Inner edge d1, outer d2 = d1 + t on a crown of radius R, z(d) = R − √(R² − d²). Own
// derivation: held level, a straightedge on the inner edge has the gap z(d2) − z(d1) at
// the outer; rocked on to the tangent there, z(d2) − z(d1) − t d1/√(R² − d1²), about t²/2R.
func TestGapsOfOneBlock(t *testing.T) {
	for _, tt := range []struct{ R, d1, t, level, tangent, slope float64 }{
		{8534.4, 240, 20, 0.58612, 0.02346, 1.6786},
		{8534.4, 240, 60, 1.89916, 0.21121, 1.8130},
		{4572, 240, 60, 3.54958, 0.39562, 3.3856},
		{8534.4, 245, 55, 1.75703, 0.17748, 1.8297},
	} {
		// The slope in the block's middle, asin(d/R) in degrees, is that of its bevel.
		require.InDelta(t, tt.slope, math.Asin((tt.d1+tt.t/2)/tt.R)*180/math.Pi, 5e-5)
		require.InDelta(t, tt.slope, math.Atan(tt.level/tt.t)*180/math.Pi, 3e-4)
		b := rim.Body{Top: rim.Dome{Kind: rim.Sphere, Radius: tt.R}, Back: rim.Dome{Kind: rim.Plane, Level: -80, Back: true}}
		require.InDelta(t, math.Atan(tt.level/tt.t), b.BlockCut(rim.Block{Outer: tt.d1 + tt.t, Inner: tt.d1}).TopBevel, 3e-7)
		g := gapsAt(tt.R, tt.d1, tt.d1+tt.t)
		require.InDelta(t, tt.level, g.Level, 1e-5)
		require.InDelta(t, tt.tangent, g.Rocked, 1e-5)
	}
}

// Over both blocks: t (S + t)/2R to second order; exact 1.8992 with the apex
// midway and 1.8998 with it 60 mm off, for R 8534.4, t 60, S 480. Own derivation: on the
// parabola z = x²/2R a line through a and a + S lies x² − (2a + S)x + a(a + S) over 2R
// above it, at x = a + S + t that is t (S + t)/2R, wherever a lies.
func TestGapOverBothBlocks(t *testing.T) {
	g := gapsAt(8534.4, 240, 300)
	require.InDelta(t, 60.0*540/(2*8534.4), g.OverBoth, 1.1e-3)
	require.InDelta(t, 1.8992, g.OverBoth, 5e-5)
	b := rim.Body{Top: rim.Dome{Kind: rim.Sphere, Radius: 8534.4}}
	off := b.BlockGaps(rim.Block{Outer: 360, Inner: 300}, rim.Block{Outer: -240, Inner: -180})
	require.InDelta(t, 1.8998, off.OverBoth, 5e-5)
}

// Common practice: at 28 ft, with a tail block a third as thick as the head block,
// its gap is about a third of the other's held level and about a ninth rocked.
func TestGapsOfThinAndThickBlocks(t *testing.T) {
	b := guitarBody(t)
	b.Top.Apex.X = 245
	head, tail := b.HeadBlock(60), b.TailBlock(20)
	h, l := b.BlockGaps(head, tail), b.BlockGaps(tail, head)
	require.InDelta(t, 3, h.Level/l.Level, 0.5)
	require.InDelta(t, 9, h.Rocked/l.Rocked, 0.1)
	require.InDelta(t, 60, head.Thickness(), 1e-12)
	require.InDelta(t, 490-2.2, head.Outer, 1e-6)
	require.InDelta(t, 2.2, tail.Outer, 1e-9)
	c := b.BlockCut(head)
	require.InDelta(t, math.Atan(h.Level/60), c.TopBevel, 1e-9)
	require.InDelta(t, c.InnerHeight-c.OuterHeight, 60*(math.Tan(c.TopBevel)+math.Tan(c.BackBevel)), 1e-9)
}

// Across the edge: the same gaps over the width of sides and lining; on a circle
// about the apex in closed form.
func TestEdgeGaps(t *testing.T) {
	b := round(t, 240, 8534.4, r2.Vec{})
	s := b.Station(100)
	level, rocked := b.EdgeGaps(s)
	want := gapsAt(8534.4, 232, 240)
	require.InDelta(t, want.Level, level, 1e-4)
	require.InDelta(t, want.Rocked, rocked, 1e-6)
	require.Less(t, rocked, 0.05, "too little for a feeler gauge")
}

// Fall from the apex to d = 250, R − √(R² − d²) (Machinery's Handbook, 31st ed., pp. 79
// and 83): 3.66244 at 28 ft, 6.84020 at 15 ft, own calculation.
func TestFall(t *testing.T) {
	// A side cut to the heights of the bouts alone would be too low at the waist, which lies
	// nearer the apex: d 120 against 200, own calculation.
	for R, want := range map[float64]float64{4572: 2.801, 8534.4: 1.500} {
		b := rim.Body{Top: rim.Dome{Kind: rim.Sphere, Radius: R}}
		require.InDelta(t, want, b.Top.Height(r2.Vec{Y: 120})-b.Top.Height(r2.Vec{Y: 200}), 5e-4)
	}
	for R, want := range map[float64]float64{8534.4: 3.66244, 7620: 4.10215, 4572: 6.84020, 3657.6: 8.55386} {
		b := rim.Body{Top: rim.Dome{Kind: rim.Sphere, Radius: R, Apex: r2.Vec{X: 150}}}
		for _, x := range [...]float64{400, -100} {
			require.InDelta(t, want, b.Top.Height(b.Top.Apex)-b.Top.Height(r2.Vec{X: x}), 1e-5)
		}
	}
}

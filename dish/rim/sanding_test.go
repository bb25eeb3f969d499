package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish/rim"
)

// A flat-cut round rim whose apex stands e off its middle: what is to come off is
// (d² of the apex)/2R, a cosine round the rim, so that the share that is touched
// when the rim has come down by l of the whole 2A is arccos(1 − l/A)/π.
func TestTouchedShareOfARoundRim(t *testing.T) {
	const r, R, e = 200.0, 7620.0, 40.0
	b := round(t, r, R, r2.Vec{X: e})
	s := b.CutFlat(95).Sanding(20)
	at := func(phi float64) float64 {
		d := math.Sqrt(r*r + e*e - 2*r*e*math.Cos(phi))
		return R - math.Sqrt(R*R-d*d)
	}
	most, least := at(math.Pi), at(0)
	require.InDelta(t, 5+most, s.MostExcess, 1e-9) // the back lies 90 under Z0
	require.InDelta(t, 5+least, s.LeastExcess, 1e-9)
	require.InDelta(t, 0, s.FirstTouch.At.X, 1e-6)
	require.InDelta(t, 400, s.LastTouch.At.X, 1e-6)
	require.Len(t, s.Steps, 22)
	for _, l := range s.Steps[:21] { // pieces of 1/4000 of a lap: straight to (2π/4000)²/8 = 3e-7 of the wave
		// The exact angle from the apex's far side, by the distance at that height.
		z := most - l.Lowered
		d2 := 2*R*z - z*z
		cos := (r*r + e*e - d2) / (2 * r * e)
		want := math.Acos(math.Max(-1, math.Min(1, -cos))) / math.Pi
		require.InDelta(t, want, l.TouchedFraction, 1e-6, "lowered by %g", l.Lowered)
	}
	require.InDelta(t, 1, s.Steps[20].TouchedFraction, 1e-9)
	require.InDelta(t, s.MostExcess, s.Steps[21].Lowered, 1e-12)
	require.InDelta(t, 1, s.Steps[21].RemovedFraction, 1e-9)
	for i := 1; i < len(s.Steps); i++ {
		require.GreaterOrEqual(t, s.Steps[i].RemovedFraction, s.Steps[i-1].RemovedFraction)
	}
	require.Zero(t, s.MissingLength)
}

// Wood by a second way: over the round edge in rings, each in closed form about
// the apex at its middle: 2π ∫ (h − drop(ρ)) ρ dρ by the volume of caps.
func TestWoodOfARoundRim(t *testing.T) {
	const r, R = 200.0, 4572.0
	b := round(t, r, R, r2.Vec{})
	cap := func(a float64) float64 { // volume between the apex's plane and the sphere within a
		h := R - math.Sqrt(R*R-a*a)
		return math.Pi*a*a*h - math.Pi*h*h*(3*R-h)/3
	}
	want := 3*math.Pi*(r*r-192*192) + cap(r) - cap(192)
	require.InEpsilon(t, want, b.CutFlat(93).Sanding(1).WoodVolume, 1e-7) // 4000 pieces: (2π/4000)²/24 of it
}

// On any body by a second way: quadrilaterals of the edge's strip, each with the
// height at its middle.
func TestWoodOfABody(t *testing.T) {
	b := guitarBody(t)
	base, pitch := b.EdgePlane()
	sum := 0.0
	const n, k = 3000, 8
	for i := range n {
		p, q := b.Outline.At(b.Outline.Perimeter()*float64(i)/n), b.Outline.At(b.Outline.Perimeter()*float64(i+1)/n)
		for j := range k {
			w0, w1 := b.EdgeWidth()*float64(j)/k, b.EdgeWidth()*float64(j+1)/k
			a, c, d, e := p.Inward(w0), q.Inward(w0), q.Inward(w1), p.Inward(w1)
			area := math.Abs(r2.Cross(r2.Sub(d, a), r2.Sub(e, c))) / 2
			m := r2.Scale(0.25, r2.Add(r2.Add(a, c), r2.Add(d, e)))
			sum += area * (base + pitch*m.X + 105 - b.Top.Height(m))
		}
	}
	require.InEpsilon(t, sum, b.CutFlat(105).Sanding(1).WoodVolume, 1e-5) // 8 strips, height at the middle: 4e-6
}

// With an allowance as much comes off everywhere along the outside; a rim that is
// too low says where and for how long.
func TestOtherStarts(t *testing.T) {
	b := guitarBody(t)
	s := b.WithAllowance(1.5).Sanding(4)
	require.Equal(t, [2]float64{1.5, 1.5}, [2]float64{s.MostExcess, s.LeastExcess})
	require.InDelta(t, 1, s.Steps[0].TouchedFraction, 1e-12)
	top, back := b.WithAllowance(1.5).Excess(b.Station(300))
	require.Equal(t, [2]float64{1.5, 1.5}, [2]float64{top, back})

	low := b.CutFlat(92)
	s = low.Sanding(4)
	require.Negative(t, s.LeastExcess)
	require.Positive(t, s.MissingLength)
	require.Less(t, s.MissingLength, b.Outline.Perimeter())

	base, pitch := b.EdgePlane()
	touching := math.Inf(1)
	for _, st := range b.Stations(3) {
		over := st.Back - base - pitch*st.At.X
		require.GreaterOrEqual(t, over, -1e-4)
		touching = math.Min(touching, over)
	}
	require.Less(t, touching, 1e-3)
	tail, head := b.Station(0), b.Station(b.Outline.Head())
	require.InDelta(t, tail.Back-base, head.Back-base-pitch*490, 1e-9)
}

// One measured height is that of all places; of several, each piece runs between its own two.
func TestMeasuredInPieces(t *testing.T) {
	b := guitarBody(t)
	lap := b.Outline.Perimeter()
	base, pitch := b.EdgePlane()
	over := func(h rim.UnsandedRim, share float64) float64 {
		s := b.Station(share * lap)
		return h.TopHeight(s, 0) - base - pitch*s.At.X
	}
	for _, share := range []float64{0, 0.2, 0.3, 0.9} {
		require.InDelta(t, 97, over(b.AsMeasured([]rim.MeasuredHeight{{Arc: 0.3 * lap, Top: 97}}), share), 1e-9)
	}
	h := b.AsMeasured([]rim.MeasuredHeight{{Arc: 0.1 * lap, Top: 100}, {Arc: 0.3 * lap, Top: 104}, {Arc: 0.4 * lap, Top: 90}, {Arc: 0.8 * lap, Top: 94}})
	for share, want := range map[float64]float64{0.1: 100, 0.15: 101, 0.3: 104, 0.35: 97, 0.4: 90, 0.7: 93, 0.8: 94, 0.9: 96, 0: 98, 0.05: 99, 0.95: 97} {
		require.InDelta(t, want, over(h, share), 1e-9, "%g", share)
	}
}

// Measured heights run straight between their places, on over the tail.
func TestMeasuredStart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBody(t)
		lap := b.Outline.Perimeter()
		a := lap * rapid.Float64Range(0.05, 0.3).Draw(t, "a")
		c := lap * rapid.Float64Range(0.5, 0.9).Draw(t, "c")
		h := b.AsMeasured([]rim.MeasuredHeight{{Arc: a, Top: 100}, {Arc: c, Top: 104}})
		base, pitch := b.EdgePlane()
		over := func(arc float64) float64 {
			s := b.Station(arc)
			return h.TopHeight(s, 0) - base - pitch*s.At.X
		}
		require.InDelta(t, 100, over(a), 1e-9)
		require.InDelta(t, 104, over(c), 1e-9)
		require.InDelta(t, 102, over((a+c)/2), 1e-9)
		require.InDelta(t, 104-4*(lap-c)/(lap-c+a), over(0), 1e-9)
		top, back := h.Excess(b.Station(a))
		require.InDelta(t, base+pitch*b.Station(a).At.X+100-b.Station(a).Top, top, 1e-9)
		require.GreaterOrEqual(t, back, -1e-3)
	})
}

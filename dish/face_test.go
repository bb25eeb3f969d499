package dish_test

import (
	"math"
	"testing"

	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func newFace(t require.TestingT, k dish.Kind, radius, rim float64) dish.Face {
	f, err := dish.NewFace(k, radius, rim)
	require.NoError(t, err)
	return f
}

func TestNewFace(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, bad := range []struct {
		kind        dish.Kind
		radius, rim float64
	}{
		{dish.Hollow, 100, 0}, {dish.Hollow, 100, -1}, {dish.Hollow, 100, nan}, {dish.Hollow, 100, inf}, {dish.Hollow, 100, 100},
		{dish.Hollow, 99, 100}, {dish.Hollow, nan, 10}, {dish.Hollow, inf, 10}, {dish.Crown, 100, 100}, {dish.Crown, -100, 10},
		{dish.Crown, nan, 10}, {dish.Crown, inf, 10}, {dish.Flat, 100, 0}, {dish.Flat, 100, nan}, {dish.Flat, 100, inf},
	} {
		f, err := dish.NewFace(bad.kind, bad.radius, bad.rim)
		require.Error(t, err, "%+v", bad)
		require.Zero(t, f)
	}
	f := newFace(t, dish.Flat, nan, 10)
	require.True(t, math.IsInf(f.Radius, 1))
	require.Zero(t, f.Sagitta())
	require.Zero(t, f.Height(3))
	require.Equal(t, 0.25, f.Over(3, 0.25))
	require.Zero(t, f.Tip(dish.Body{Flat: 3, Corner: 2}, 5))
	require.Equal(t, []string{"hollow", "crown", "flat"}, []string{dish.Hollow.String(), dish.Crown.String(), dish.Flat.String()})
}

func TestFaceAtItsEnds(t *testing.T) {
	hollow, crown := newFace(t, dish.Hollow, 4572, 230), newFace(t, dish.Crown, 4572, 230)
	const sagitta = 5.788879 // R − √(R² − d²), see TestCaps
	require.InDelta(t, sagitta, hollow.Sagitta(), 5e-7)
	require.InDelta(t, -sagitta, hollow.Height(0), 5e-7)
	require.Zero(t, hollow.Height(230))
	require.Zero(t, crown.Height(0))
	require.InDelta(t, -sagitta, crown.Height(230), 5e-7)
	for _, f := range []dish.Face{hollow, crown} {
		require.InDelta(t, 0, f.Over(0, f.Height(0)), 1e-12)
		require.InDelta(t, 0, f.Over(230, f.Height(230)), 1e-12)
		require.True(t, math.IsNaN(f.Height(5000)))
		require.True(t, math.IsNaN(f.Height(math.NaN())))
		require.True(t, math.IsNaN(f.Over(math.NaN(), 0)))
		require.True(t, math.IsNaN(f.Over(0, math.NaN())))
		require.True(t, math.IsNaN(f.Tip(dish.Body{Flat: 5, Corner: 5}, 5000)))
		require.True(t, math.IsNaN(f.Tip(dish.Body{Flat: 5, Corner: 5}, math.NaN())))
	}
}

// Over is the distance to the sphere, with 400 bits: R minus the distance to
// its centre inside a hollow, the distance minus R outside a crown.
func TestOverIsTheDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rim := rapid.Float64Range(10, 1500).Draw(t, "rim")
		R := rim * rapid.Float64Range(1.01, 200).Draw(t, "R / rim")
		d, z := rapid.Float64Range(0, 1.2*rim).Draw(t, "d"), rapid.Float64Range(-20, 5).Draw(t, "z")
		up := func(v float64) float64 { // the distance of (d, z) from the centre at height v
			a := mul(exactly(d), exactly(d))
			b := sub(exactly(z), exactly(v))
			return float(sub(root(add(a, mul(b, b))), exactly(R)))
		}
		crown := newFace(t, dish.Crown, R, rim)
		// 20 roundings at the size of z and of the square of d over R, and two of R
		// itself, in the heights of the centre.
		keep := 20*0x1p-53*(25+d*d/R) + 2*0x1p-53*R
		require.InDelta(t, up(-R), crown.Over(d, z), keep)
		hollow := newFace(t, dish.Hollow, R, rim)
		// The centre lies at R − sagitta, which no float64 holds to better than R's own rounding.
		require.InDelta(t, -up(R-hollow.Sagitta()), hollow.Over(d, z), keep)
		require.InDelta(t, float(sub(drop(R, rim), exactly(0))), hollow.Sagitta(), 1e-14*rim)
	})
}

// A place h above the face along its normal is h over it.
func TestOverAlongTheNormal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rim := rapid.Float64Range(10, 1500).Draw(t, "rim")
		R := rim * rapid.Float64Range(1.01, 200).Draw(t, "R / rim")
		h, turn := rapid.Float64Range(-1, 1).Draw(t, "h"), rapid.Float64Range(0, 1).Draw(t, "turn")*math.Asin(rim/R)
		sin, cos := math.Sincos(turn)
		require.InDelta(t, h, newFace(t, dish.Crown, R, rim).Over((R+h)*sin, (R+h)*cos-R), 1e-10*math.Max(1, R/1000))
		f := newFace(t, dish.Hollow, R, rim)
		require.InDelta(t, h, f.Over((R-h)*sin, R-f.Sagitta()-(R-h)*cos), 1e-10*math.Max(1, R/1000))
	})
}

// lowestTip searches the cutter's surface for the place that comes first to
// touch the sphere as the cutter is let down at distance d from the apex. A
// place of the surface lies at distance u from the axis, turned by a from the
// direction of the apex, and rises above the tip by its own height there.
// The search starts with a grid and closes in on the best u seven times; it
// never finds more than the true height, and misses it by the square of its
// last step over the corner's radius, far under 1e-9 mm.
func lowestTip(kind dish.Kind, R, rim, flat, corner, d float64) float64 {
	middle := -R // height of the sphere's centre
	if kind == dish.Hollow {
		middle = math.Sqrt(R*R - rim*rim)
	}
	need := func(s, a float64) float64 {
		u, rise := flat*s, 0.0
		if s > 1 {
			angle := (s - 1) * math.Pi / 2
			u, rise = flat+corner*math.Sin(angle), corner-corner*math.Cos(angle)
		}
		x, y := d-u*math.Cos(a), u*math.Sin(a)
		deep := math.Sqrt(R*R - x*x - y*y)
		if kind == dish.Hollow {
			deep = -deep
		}
		return middle + deep - rise
	}
	bestS, best := 0.0, math.Inf(-1)
	s0, s1 := 0.0, 2.0
	if flat == 0 { // no level part
		s0 = 1
	}
	if corner == 0 {
		s1 = 1
	}
	for range 8 {
		const n, m = 40, 24
		for i := range n + 1 {
			for j := range m + 1 {
				s := s0 + (s1-s0)*float64(i)/n
				if z := need(s, math.Pi*float64(j)/m); z > best {
					bestS, best = s, z
				}
			}
		}
		ds := 3 * (s1 - s0) / n
		s0, s1 = math.Max(s0, bestS-ds), math.Min(s1, bestS+ds)
	}
	return best
}

func TestTipAgainstSearch(t *testing.T) {
	for _, cutter := range []struct {
		name         string
		flat, corner float64
	}{{"half-inch ball", 0, 6.35}, {"inch flat", 12.7, 0}, {"bull", 9.525, 6.35}, {"small bull", 2.5, 0.5}} {
		for _, face := range []struct {
			kind   dish.Kind
			R, rim float64
		}{{dish.Hollow, 4572, 230}, {dish.Hollow, 7620, 300}, {dish.Crown, 4572, 230}, {dish.Crown, 7620, 300}, {dish.Hollow, 60, 29}, {dish.Crown, 60, 29}} {
			f := newFace(t, face.kind, face.R, face.rim)
			for _, share := range []float64{0, 0.001, 0.02, 0.04, 0.3, 0.6, 0.99, 1, 1.02} {
				d := share * face.rim
				want := lowestTip(face.kind, face.R, face.rim, cutter.flat, cutter.corner, d)
				require.InDelta(t, want, f.Tip(dish.Body{Flat: cutter.flat, Corner: cutter.corner}, d), 1e-9, "%s, %s of %g, d %g", cutter.name, face.kind, face.R, d)
			}
		}
	}
}

// The same over random cutters and faces.
func TestTipAgainstSearchAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown}).Draw(t, "kind")
		rim := rapid.Float64Range(20, 300).Draw(t, "rim")
		R := 2 * rim * math.Exp(rapid.Float64Range(0, 5).Draw(t, "log"))
		r := rapid.Float64Range(1, rim/3).Draw(t, "r")
		corner := r * rapid.SampledFrom([]float64{0, 0.1, 0.5, 0.9, 1}).Draw(t, "corner")
		d := rapid.Float64Range(0, rim).Draw(t, "d")
		f := newFace(t, kind, R, rim)
		require.InDelta(t, lowestTip(kind, R, rim, r-corner, corner, d), f.Tip(dish.Body{Flat: r - corner, Corner: corner}, d), 1e-8) // corners down to 0.1 mm
	})
}

// A tip never comes down on the way out of a hollow, nor rises on a crown; a
// ball's tip runs on the sphere that is its radius smaller or larger; the tip
// of any cutter is as far from the face as its corner's centre is from R ∓ c.
func TestTipProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rim := rapid.Float64Range(10, 1500).Draw(t, "rim")
		R := rim * rapid.Float64Range(1.5, 100).Draw(t, "R / rim")
		c := rim * rapid.Float64Range(0.001, 0.2).Draw(t, "corner")
		flat := rim * rapid.SampledFrom([]float64{0, 0.01, 0.2}).Draw(t, "flat")
		a := rapid.Float64Range(0, rim).Draw(t, "a")
		b := rapid.Float64Range(a, rim).Draw(t, "b")
		hollow, crown := newFace(t, dish.Hollow, R, rim), newFace(t, dish.Crown, R, rim)
		require.LessOrEqual(t, hollow.Tip(dish.Body{Flat: flat, Corner: c}, a), hollow.Tip(dish.Body{Flat: flat, Corner: c}, b))
		require.GreaterOrEqual(t, crown.Tip(dish.Body{Flat: flat, Corner: c}, a), crown.Tip(dish.Body{Flat: flat, Corner: c}, b))
		require.GreaterOrEqual(t, hollow.Tip(dish.Body{Flat: flat, Corner: c}, a)+1e-9, hollow.Height(a), "no tip lies below the face under it")
		require.GreaterOrEqual(t, crown.Tip(dish.Body{Flat: flat, Corner: c}, a)+1e-9, crown.Height(a))
		// Roundings at the size of R, of up to 150 m.
		require.InDelta(t, c, hollow.Over(a, hollow.Tip(dish.Body{Corner: c}, a)+c), 1e-14*R+1e-11)
		require.InDelta(t, c, crown.Over(a, crown.Tip(dish.Body{Corner: c}, a)+c), 1e-14*R+1e-11)
		require.InDelta(t, c, hollow.Over(a+flat, hollow.Tip(dish.Body{Flat: flat, Corner: c}, a)+c), 1e-14*R+1e-11)
		require.InDelta(t, c, crown.Over(math.Max(0, a-flat), crown.Tip(dish.Body{Flat: flat, Corner: c}, a)+c), 1e-14*R+1e-11)
	})
}

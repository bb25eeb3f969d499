package dish_test

import (
	"math"
	"math/big"
	"testing"

	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const mmPerFoot = 304.8 // mm, exactly

// must returns a value that comes without an error.
func must(t *testing.T) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		require.NoError(t, err)
		return v
	}
}

// exactly calculates with 400 bits.
func exactly(v float64) *big.Float { return new(big.Float).SetPrec(400).SetFloat64(v) }

func add(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(400).Add(a, b) }
func sub(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(400).Sub(a, b) }
func mul(a, b *big.Float) *big.Float { return new(big.Float).SetPrec(400).Mul(a, b) }
func root(a *big.Float) *big.Float   { return new(big.Float).SetPrec(400).Sqrt(a) }

func float(a *big.Float) float64 { v, _ := a.Float64(); return v }

// drop is R − √(R² − d²): Machinery's Handbook, 31st ed., pp. 79 and 83.
func drop(R, d float64) *big.Float {
	return sub(exactly(R), root(sub(mul(exactly(R), exactly(R)), mul(exactly(d), exactly(d)))))
}

func TestHandbookSegments(t *testing.T) {
	ok := must(t)
	tests := []struct {
		name            string
		got, want, keep float64 // keep: half a unit of the last digit that is given
	}{
		// Machinery's Handbook, 31st ed., p. 79; the book cuts 59.8665 off to 59.86.
		{"r 60, h 8: chord", ok(dish.Chord(60, 8)), 59.8665, 5e-5},
		{"chord 16, h 6: radius", ok(dish.Radius(16, 6)), 8 + 1.0/3, 1e-12},
		// Machinery's Handbook, 31st ed., p. 50: r 12, depth 2.
		{"r 12, h 2: chord", ok(dish.Chord(12, 2)), 13.2665, 5e-5},
		{"r 12, h 2: half angle, degrees", dish.Slope(12, ok(dish.Chord(12, 2))/2) * 180 / math.Pi, 67.1146 / 2, 5e-5},
		{"r 12, h 2: arc", dish.ArcOfChord(12, ok(dish.Chord(12, 2))), 14.0565, 5e-5},
		// Machinery's Handbook, 31st ed., p. 91: h 50, c 125; the book has 372 247 and 64.
		{"cap of chord 125, h 50: radius", ok(dish.Radius(125, 50)), 64.0625, 1e-12},
		{"cap of chord 125, h 50: volume", dish.CapVolume(64.0625, 62.5), 372246, 0.5},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { require.InDelta(t, tt.want, tt.got, tt.keep) })
	}
}

// A small sphere, of the 7.80 mm that eye optics takes for a cornea (from memory).
// Own calculation of R − √(R² − c²/4): a chord of 5 gives 0.41150, 10 gives 7.8 − √35.84.
func TestCornea(t *testing.T) {
	for c, want := range map[float64]float64{5: 0.41150, 10: 1.81335, 12: 2.81603} {
		require.InDelta(t, want, must(t)(dish.Sagitta(7.8, c)), 5e-6, "chord %g", c)
	}
}

// R − √(R² − c²/4), Machinery's Handbook, 31st ed., pp. 79 and 83: own calculation,
// apart from this program.
func TestSagittasOfTheTrade(t *testing.T) {
	tests := []struct {
		radius  float64 // ft
		sagitta [3]float64
		quick   [3]float64 // c²/8R minus exact; 0 where not given
	}{
		{15, [3]float64{4.517788, 7.061008, 10.171314}, [3]float64{-0.002232, -0.005453, -0.011314}},
		{25, [3]float64{2.709815, 4.234510, 6.098440}, [3]float64{}},
		{28, [3]float64{2.419391, 3.780599, 5.444594}, [3]float64{-0.000343, -0.000837, -0.001737}},
	}
	for _, tt := range tests {
		R := tt.radius * mmPerFoot
		for i, inches := range [...]float64{16, 20, 24} {
			c := inches * 25.4
			h := must(t)(dish.Sagitta(R, c))
			require.InDelta(t, tt.sagitta[i], h, 5e-7, "%g ft over %g in", tt.radius, inches)
			if tt.quick[i] != 0 {
				require.InDelta(t, tt.quick[i], c*c/(8*R)-h, 5e-7, "%g ft over %g in", tt.radius, inches)
			}
		}
	}
	for d, want := range map[float64]float64{50: 0.164044, 100: 0.656196, 150: 1.476521, 200: 2.625124, 250: 4.102154, 300: 5.907802} {
		require.InDelta(t, want, dish.Drop(25*mmPerFoot, d), 5e-7, "25 ft at %g", d)
		f, err := dish.NewFace(dish.Hollow, 25*mmPerFoot, 300)
		require.NoError(t, err)
		require.InDelta(t, want-5.907802, f.Height(d), 1e-6)
		f, err = dish.NewFace(dish.Crown, 25*mmPerFoot, 300)
		require.NoError(t, err)
		require.InDelta(t, -want, f.Height(d), 5e-7)
	}
	// Fall from the apex to d = 250, by the same formula.
	for ft, want := range map[float64]float64{28: 3.66244, 25: 4.10215, 15: 6.84020, 12: 8.55386} {
		require.InDelta(t, want, dish.Drop(ft*mmPerFoot, 250), 5e-6, "%g ft", ft)
	}
}

// Own calculation from closed forms: volume π h² (3R − h)/3 and area 2π R h of a cap
// (Machinery's Handbook, 31st ed., p. 91), arc 2R asin(a/R).
func TestCaps(t *testing.T) {
	tests := []struct{ R, a, h, volume, area, arc float64 }{
		{7620, 300, 5.907802, 835.304, 109.648, 0.155109},
		{7620, 304.8, 6.098440, 890.075, 116.839, 0.16268},
		{4572, 230, 5.788879, 481.129, 105.278, 0.19424},
	}
	for _, tt := range tests {
		require.InDelta(t, tt.h, dish.Drop(tt.R, tt.a), 5e-7)
		require.InDelta(t, tt.volume, dish.CapVolume(tt.R, tt.a)/1000, 5e-4)
		require.InDelta(t, tt.area, dish.CapArea(tt.R, tt.a)-math.Pi*tt.a*tt.a, 5e-4)
		require.InDelta(t, tt.arc, dish.ArcOfChord(tt.R, 2*tt.a)-2*tt.a, 5e-6)
		// A second way: rings, by Simpson's rule in the angle φ, d = R sin φ.
		const n = 400
		end := math.Asin(tt.a / tt.R)
		area, volume := 0.0, 0.0
		for i := range n + 1 {
			weight := [...]float64{2, 4}[i%2]
			if i == 0 || i == n {
				weight = 1
			}
			sin, cos := math.Sincos(end * float64(i) / n)
			ring := 2 * math.Pi * tt.R * sin * tt.R // per radian along the arc
			area += weight * ring
			volume += weight * ring * cos * (tt.R*cos - math.Sqrt(tt.R*tt.R-tt.a*tt.a))
		}
		require.InEpsilon(t, area*end/n/3, dish.CapArea(tt.R, tt.a), 1e-9)
		require.InEpsilon(t, volume*end/n/3, dish.CapVolume(tt.R, tt.a), 1e-7)
	}
}

func TestImpossibleArcs(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	tests := []struct {
		name string
		of   func(a, b float64) (float64, error)
		bad  [][2]float64
	}{
		{"sagitta", dish.Sagitta, [][2]float64{{0, 1}, {-5, 1}, {nan, 1}, {inf, 1}, {5, -1}, {5, nan}, {5, inf}, {5, 10.001}}},
		{"radius", dish.Radius, [][2]float64{{0, 1}, {-1, 1}, {nan, 1}, {inf, 1}, {1, 0}, {1, -1}, {1, nan}, {1, inf}}},
		{"chord", dish.Chord, [][2]float64{{0, 1}, {-1, 1}, {nan, 1}, {inf, 1}, {5, -0.1}, {5, nan}, {5, inf}, {5, 10.001}}},
	}
	for _, tt := range tests {
		for _, b := range tt.bad {
			v, err := tt.of(b[0], b[1])
			require.Error(t, err, "%s of %v", tt.name, b)
			require.Zero(t, v, "%s of %v", tt.name, b)
		}
	}
	ok := must(t)
	require.Zero(t, ok(dish.Sagitta(5, 0)))
	require.Equal(t, 5.0, ok(dish.Sagitta(5, 10)), "a half circle")
	require.Zero(t, ok(dish.Chord(5, 0)))
	require.Zero(t, ok(dish.Chord(5, 10)), "a whole circle")
	require.Equal(t, 10.0, ok(dish.Chord(5, 5)))
	require.Equal(t, 5.0, ok(dish.Radius(10, 5)))
}

// Any two of radius, chord and depth give the third, and Drop keeps its digits
// where R − √(R² − d²) loses them.
func TestArcsGoRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(1, 100_000).Draw(t, "R")
		// Up to 0.999 R: near a half circle a chord hardly tells its depth.
		c := 2 * R * rapid.Float64Range(1e-4, 0.999).Draw(t, "share")
		h, err := dish.Sagitta(R, c)
		require.NoError(t, err)
		require.InEpsilon(t, float(drop(R, c/2)), h, 4e-15)
		back, err := dish.Radius(c, h)
		require.NoError(t, err)
		require.InEpsilon(t, R, back, 1e-12)
		chord, err := dish.Chord(R, h)
		require.NoError(t, err)
		require.InEpsilon(t, c, chord, 1e-10)
		// The arc is longer than its chord, and longer than two straight halves.
		arc := dish.ArcOfChord(R, c)
		require.GreaterOrEqual(t, arc, c)
		require.GreaterOrEqual(t, arc*(1+1e-12), 2*math.Hypot(c/2, h))
		require.InEpsilon(t, arc, 2*R*dish.Slope(R, c/2), 1e-12)
	})
}

func TestDropBeyondTheSphere(t *testing.T) {
	require.Zero(t, dish.Drop(100, 0))
	require.Equal(t, 100.0, dish.Drop(100, 100))
	require.Equal(t, dish.Drop(100, 30), dish.Drop(100, -30))
	require.True(t, math.IsNaN(dish.Drop(100, 100.0001)))
	require.True(t, math.IsNaN(dish.Drop(100, math.NaN())))
}

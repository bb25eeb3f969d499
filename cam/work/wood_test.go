package work

import (
	"math"
	"testing"

	"dishwright/dish"

	"github.com/stretchr/testify/require"
)

// The sag of a plate against the differential equation, integrated: the slope φ obeys
// D (r⁻¹ (r φ)′)′ = Q, where Q is the shear by the load within r: q r / 2 + F / (2 π r); with
// the moment at the edge, φ′ + ν φ / r, none. The part without load is φ = C r.
func TestSagOfAPlate(t *testing.T) {
	for _, c := range []struct{ thick, radius, force float64 }{{8, 300, 0}, {8, 300, 20}, {19, 230, 20}, {3, 150, 5}} {
		wood := WoodOf("mdf")
		d := wood.Modulus * math.Pow(c.thick, 3) / (12 * (1 - poisson*poisson))
		q := wood.weight * 1e-9 * 9.81 * c.thick
		const steps = 200_000
		h := c.radius / steps
		inner, g, sunk := 0.0, 0.0, 0.0 // (r φ)′/r from the middle, r φ, and w
		phi, bend := 0.0, 0.0
		for i := range steps {
			r := (float64(i) + 0.5) * h
			inner += h * (q*r/2 + c.force/(2*math.Pi*r)) / d
			g += h * r * inner
			phi = g / (r + h/2)
			bend = inner - phi/(r+h/2)
			sunk += h * g / (r + h/2)
		}
		// With C r added the moment at the edge vanishes: φ′ + ν φ/a + C (1 + ν) = 0.
		k := -(bend + poisson*phi/c.radius) / (1 + poisson)
		require.InEpsilon(t, wood.Sag(c.thick, c.radius, c.force), -(sunk + k*c.radius*c.radius/2), 2e-3)
	}
	w := WoodOf("MDF, black")
	require.Less(t, StiffEnough(0.5, func(thick float64) float64 { return w.Sag(thick, 230, 0) }), 5.0)
	need := StiffEnough(0.1, func(thick float64) float64 { return w.Sag(thick, 300, Hand) })
	require.LessOrEqual(t, w.Sag(need, 300, Hand), 0.1)
	require.Greater(t, w.Sag(need-1, 300, Hand), 0.1)
}

// A plate between two long edges that turn freely sinks under a force F on its middle by
// F b²/(2 π³ D) Σ 1/m³ over odd m (S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and
// Shells, art. 36, the limit of a plate without end; from memory), which their table 23 rounds to
// 0.01695 F b²/D; under its weight by 5 q b⁴/384 D, as a beam of the plate's stiffness.
func TestSagBetweenRibs(t *testing.T) {
	sum := 0.0
	for m := 1.0; m < 2000; m += 2 {
		sum += 1 / (m * m * m)
	}
	require.InDelta(t, sum/(2*math.Pow(math.Pi, 3)), longPlate, 1e-6)
	require.InDelta(t, 0.01695, longPlate, 2e-5)
	w := WoodOf("mdf")
	const thick, b = 9.0, 150.0
	d := 2200 * math.Pow(thick, 3) / (12 * (1 - 0.09)) // own calculation: 146 868 N mm
	require.InEpsilon(t, 146868, d, 1e-5)
	own := 5 * 750e-9 * 9.81 * thick * math.Pow(b, 4) / 384 / d
	require.InDelta(t, longPlate*20*b*b/d+own, w.SagBetween(thick, b, 20), 1e-9)
	require.InDelta(t, 0.0549, w.SagBetween(thick, b, 20), 1e-3)
}

// The published sag of a round plate under F in its middle, simply supported, (3 + ν) F a²/(16 π
// (1 + ν) D), and under its own weight, (5 + ν) q a⁴/(64 (1 + ν) D) (The Civil Engineering
// Handbook, 2nd ed., eq. 47.72–47.76; Timoshenko and Woinowsky-Krieger, arts. 16 and 19), worked
// for 12 mm of MDF 600 mm across under 20 N: D = 348 132 N mm, 0.2611 and 0.1309 mm (own
// calculation).
func TestSagOfSupports(t *testing.T) {
	w := Work{Material: "mdf", Support: OnRim, Ribs: 120, Face: dish.Face{Kind: dish.Hollow, Radius: 7620, Rim: 300}, Blank: dish.Blank{Thickness: 12 + dish.Drop(7620, 300)}}
	require.InDelta(t, 12, w.Left(), 1e-9)
	require.InDelta(t, 0.2611+0.1309, w.Sag(w.Left()), 1e-4)
	on := func(support string) float64 { w.Support = support; return w.Sag(6) }
	require.Zero(t, on(OnBoard))
	require.Equal(t, BenchFlat, on(OnBench), "a bench that is hollow under it stops it")
	require.Equal(t, BenchFlat, on(""))
	require.InDelta(t, WoodOf("mdf").SagBetween(6, 120, Hand), on(OnRibs), 1e-12)
	require.Less(t, on(OnRibs), on(OnRim)/20)
	for _, support := range []string{OnRim, OnRibs} {
		w.Support = support
		need := StiffEnough(0.05, w.Sag)
		require.LessOrEqual(t, w.Sag(need), 0.05)
		require.Greater(t, w.Sag(need-1), 0.05)
	}
}

func TestWoods(t *testing.T) {
	for words, name := range map[string]string{"mdf": "MDF", "MDF 25": "MDF", "birch plywood": "plywood", "birch": "hardwood", "Baltic birch ply": "plywood", "acrylic": "MDF", "": "MDF", "white oak": "hardwood"} {
		require.Equal(t, name, WoodOf(words).Name, words)
	}
	for _, w := range woods { // rising, and without a step
		last := 0.0
		for d := 0.1; d < 20; d += 0.01 {
			v := w.MostChip(d)
			require.GreaterOrEqual(t, v, last)
			require.Less(t, v-last, 0.011)
			last = v
		}
	}
}

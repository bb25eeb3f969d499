package work

import (
	"math"
	"testing"

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
	require.Less(t, WoodOf("MDF, black").StiffEnough(230, 0, 0.5), 5.0)
	w := WoodOf("mdf")
	need := w.StiffEnough(300, Hand, 0.1)
	require.LessOrEqual(t, w.Sag(need, 300, Hand), 0.1)
	require.Greater(t, w.Sag(need-1, 300, Hand), 0.1)
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

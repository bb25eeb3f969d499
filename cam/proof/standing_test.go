package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// What the tip's places alone leave at any place never stands higher above a hollow than
// MostOver says, whatever was cut.
func TestMostOverAgainstBruteForce(t *testing.T) {
	blank := dish.Blank{Shape: dish.Square, Length: 24, Width: 24, Thickness: 10}
	rapid.Check(t, func(t *rapid.T) {
		s := NewStock(blank, rapid.Float64Range(0.7, 2).Draw(t, "cell"))
		face, err := dish.NewFace(dish.Hollow, rapid.Float64Range(20, 400).Draw(t, "radius"), rapid.Float64Range(4, 16).Draw(t, "rim"))
		require.NoError(t, err)
		face.Cylinder = rapid.Bool().Draw(t, "cylinder")
		require.GreaterOrEqual(t, s.MostOver(face), face.Sagitta(), "nothing is cut")
		require.LessOrEqual(t, s.MostOver(face), face.Sagitta()+biteTolerance)
		c, at := stockDrawCutter(t), r3.Vec{Z: 1}
		var ways []sampledMove
		for range rapid.IntRange(1, 5).Draw(t, "moves") {
			m := stockDrawMove(t, at)
			at = m.To
			s.Cut(c, m)
			ways = append(ways, sampleMove(m, 300))
		}
		most := s.MostOver(face)
		rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		for range 60 {
			x, y := 24*rnd.Float64()-12, 24*rnd.Float64()-12
			low := 0.0
			for _, w := range ways {
				lo, _, _ := w.over(c, x, y)
				low = math.Min(low, lo)
			}
			require.GreaterOrEqual(t, most, low-face.Height(face.Distance(x, y))-1e-9, "at %v, %v", x, y)
		}
	})
}

// Over a hollow that was cut to an allowance that allowance is what stands, within the
// excess of the field.
func TestMostOverOfAnAllowance(t *testing.T) {
	face, err := dish.NewFace(dish.Hollow, 7620, 300)
	require.NoError(t, err)
	s := NewStock(dish.Blank{Shape: dish.Round, Length: 600, Width: 600, Thickness: 20}, 2)
	c := ballCutter(12.7)
	s.Run(c, stockRaster(c, 2, 15, 0.4))
	scallop := 2.0 * 2.0 / 8 / c.Body().Corner
	most := s.MostOver(face)
	require.GreaterOrEqual(t, most, 0.4+scallop/2)
	require.LessOrEqual(t, most, 0.4+scallop+0.15)

	crown, err := dish.NewFace(dish.Crown, 7620, 300)
	require.NoError(t, err)
	require.True(t, math.IsInf(s.MostOver(crown), 1))
}

// No finishing move bites deeper than stands above the face that it stays over.
func TestMostOverBoundsBites(t *testing.T) {
	face, err := dish.NewFace(dish.Hollow, 7620, 300)
	require.NoError(t, err)
	for name, c := range map[string]path.Cutter{"ball": ballCutter(12.7), "flat": flatCutter(25.4), "bull": bullCutter(25.4, 6)} {
		t.Run(name, func(t *testing.T) {
			s := NewStock(dish.Blank{Shape: dish.Round, Length: 600, Width: 600, Thickness: 20}, 2)
			c.DepthOfCut = 20
			s.Run(c, stockRaster(c, c.Diameter/3, 15, 0.7))
			most := s.MostOver(face)
			bite := s.Run(c, stockRaster(c, c.Diameter/4, 15, 0)).Depth
			require.Greater(t, bite, 0.7)
			require.LessOrEqual(t, bite, most+s.Slack(s.Slope))
		})
	}
}

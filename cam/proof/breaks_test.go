package proof

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cam/path"
	"dishwright/dish"
)

func TestBreaks(t *testing.T) {
	require.True(t, breaks(1.1, 1))
	require.False(t, breaks(1, 1))
	require.False(t, breaks(math.Inf(-1), 1))
	for _, v := range [][2]float64{{math.NaN(), 1}, {1, math.NaN()}, {math.NaN(), math.NaN()}} {
		require.True(t, breaks(v[0], v[1]), "of what is no number nothing is proven")
	}
}

// A face that is no number makes every cut a gouge, of a line and of an arc.
func TestGougeOfNoNumber(t *testing.T) {
	face := dish.Face{Kind: dish.Crown, Radius: math.NaN(), Rim: 100}
	c := path.Cutter{Shape: path.Ball, Diameter: 6, Corner: 3}
	for _, m := range []path.Move{
		{Kind: path.Line, From: r3.Vec{X: -5, Z: 5}, To: r3.Vec{X: 5, Z: 5}, Feed: 1},
		{Kind: path.Arc, From: r3.Vec{X: 5, Z: 5}, To: r3.Vec{X: -5, Z: 5}, Centre: r3.Vec{Z: 5}, Feed: 1},
	} {
		worst, over := DeepestGouge(face, []Cut{{c, []path.Move{m}}})
		require.Len(t, over, 1)
		require.GreaterOrEqual(t, worst.Amount, maxCoordinate)
	}
}

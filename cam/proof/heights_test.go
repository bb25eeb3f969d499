package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// same holds two maps against each other, NaNs and all. A Stock leaves out cells that a
// run lowers by less than the search for a surface leaves open.
func same(t require.TestingT, want, got [][]float64) {
	require.Len(t, got, len(want))
	for r := range want {
		require.Len(t, got[r], len(want[r]))
		for c, v := range want[r] {
			if !(math.Abs(v-got[r][c]) <= 1e-6) && !(math.IsNaN(v) && math.IsNaN(got[r][c])) {
				require.Equal(t, v, got[r][c], "row %d, column %d", r, c)
			}
		}
	}
}

// Passes over a face leave the same whether a Stock or Heights take them off.
func TestHeightsAreTheStocks(t *testing.T) {
	for _, c := range []path.Cutter{stockBall, stockFlat, stockBull} {
		moves := stockRaster(c, 9, 30, 0)
		face := must(dish.NewFace(dish.Hollow, 7620, 300))
		s, h := NewStock(stockBed, 2), NewHeights(stockBed, 2)
		s.Run(c, moves)
		h.Run(c, moves, 0, len(moves))
		same(t, s.HeightMap(face, 90, 90), h.HeightMap(face, 90, 90))
		other := NewHeights(stockBed, 2)
		for i := range moves { // move by move, each looked at half way
			half := moves[i]
			half.To = half.At(0.5)
			other.Peek(c, half, func() {})
			other.Run(c, moves, i, i+1)
		}
		same(t, h.HeightMap(face, 90, 90), other.HeightMap(face, 90, 90))
	}
}

// Any moves leave the same, arcs too, and a look at one more changes nothing.
func TestHeightsOfAnyMoves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := func(name string) r3.Vec {
			return r3.Vec{X: rapid.Float64Range(-70, 70).Draw(t, name+" x"), Y: rapid.Float64Range(-70, 70).Draw(t, name+" y"), Z: rapid.Float64Range(-8, 2).Draw(t, name+" z")}
		}
		c := rapid.SampledFrom([]path.Cutter{stockBall, stockFlat, stockBull}).Draw(t, "cutter")
		s, h := NewStock(stockPlate, 1), NewHeights(stockPlate, 1)
		at := place("start")
		for range rapid.IntRange(1, 6).Draw(t, "moves") {
			m := path.Move{Kind: path.Line, From: at, To: place("to")}
			if rapid.Bool().Draw(t, "arc") {
				m.Kind, m.Clockwise = path.Arc, rapid.Bool().Draw(t, "clockwise")
				m.Centre = r3.Scale(0.5, r3.Add(m.From, m.To))
			}
			s.Cut(c, m)
			h.Run(c, []path.Move{m}, 0, 1)
			at = m.To
		}
		flat := must(dish.NewFace(dish.Flat, 0, 50))
		same(t, s.HeightMap(flat, 40, 40), h.HeightMap(flat, 40, 40))
		was := h.Clone()
		h.Peek(c, path.Move{Kind: path.Line, From: at, To: place("peek")}, func() {})
		same(t, was.HeightMap(flat, 40, 40), h.HeightMap(flat, 40, 40))
	})
}

// A traverse takes nothing off by a hair, and shows where it runs into stock; a lift
// takes nothing.
func TestHeightsUnderTraverses(t *testing.T) {
	h := NewHeights(stockPlate, 1)
	deep := func(z float64) float64 {
		h.Run(stockSmall, []path.Move{{Kind: path.Traverse, From: stockVec(-30, 0, z), To: stockVec(30, 0, z)}}, 0, 1)
		most := 0.0
		for _, row := range h.DepthMap(50, 50) {
			for _, d := range row {
				most = max(most, d)
			}
		}
		return most
	}
	require.Zero(t, deep(0))
	require.Zero(t, deep(-0.01))
	require.Equal(t, 3.0, deep(-3))
}

// Row 0 of the depths lies at the greatest y, column 0 at the least x; beside a round
// blank there is nothing.
func TestDepthMapIsTheRightWayUp(t *testing.T) {
	h := NewHeights(stockPlate, 1)
	at := stockVec(-22.5, 32.5, -2)
	h.Run(stockSmall, []path.Move{{Kind: path.Line, From: at, To: at}}, 0, 1)
	d := h.DepthMap(12, 12) // of 10 mm each
	require.Equal(t, 2.0, d[2][3])
	require.Zero(t, d[2][8])
	require.Zero(t, d[9][3])
	round := NewHeights(dish.Blank{Shape: dish.Round, Length: 100, Width: 100, Thickness: 20}, 1)
	require.True(t, math.IsNaN(round.DepthMap(20, 20)[0][0]))
	require.Zero(t, round.DepthMap(20, 20)[10][10])
}

func BenchmarkHeightsFlatFinish(b *testing.B) {
	moves := stockRaster(stockFlat, 3, 8, 0)
	for b.Loop() {
		NewHeights(stockBed, 1).Run(stockFlat, moves, 0, len(moves))
	}
	b.ReportMetric(float64(len(moves)), "moves")
}

func BenchmarkHeightMap(b *testing.B) {
	face := must(dish.NewFace(dish.Hollow, 7620, 300))
	h := NewHeights(stockBed, 1)
	for b.Loop() {
		h.HeightMap(face, 160, 160)
	}
}

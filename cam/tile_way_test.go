package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"
)

// A round that runs just where a steep crown comes down to its moat, or a hair beside it,
// stays level: the rounding of its places does not lift some of them and others not.
func TestRoundsAtAFoot(t *testing.T) {
	lifted := 0
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(30, 200).Draw(t, "radius")
		w := Usual(dish.Crown, R, R*rapid.Float64Range(0.1, 0.4).Draw(t, "slope"))
		piece := Whole(&w).In(Tile{Sector: dish.Sector{Middle: 45, Half: 90}})
		c := path.Cutter{Name: "bull", Shape: path.Bull, Diameter: 4.6, Corner: 1.9, Flutes: 1, Core: 0.5, Ramp: 3 * math.Pi / 180, DepthOfCut: 1.4, FluteLength: 20, Shank: 6.35, StickOut: 40, ChipLoad: 0.09, Speed: 20000}
		r, err := newRough(piece, c, c)
		require.NoError(t, err)
		b := newBuilder(piece, Feeds{Feed: 1000, Plunge: 300})
		way := tileWay{rough: r, sector: piece.Tile.Sector, level: r.tool.low + w.Allowance, b: b}
		d := r.tool.foot + float64(rapid.IntRange(-3, 3).Draw(t, "off"))*b.grid.step/2
		round := way.round(ring{d: d, by: 1}, 1)
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range round[1 : len(round)-1] { // its ends lie on chords, nearer to the apex
			low, high = min(low, p.Z), max(high, p.Z)
		}
		require.LessOrEqual(t, high-low, 3*b.grid.step)
		if high > way.level+2*b.grid.step {
			lifted++
		}
	})
	require.Positive(t, lifted)
}

// The way from a round of a bowl to the next arc goes straight over what rounds have left,
// not down along the bowl and up again.
func TestWaysOverABowlAreStraight(t *testing.T) {
	w := Usual(dish.Hollow, 29.158, 11.64)
	piece := Whole(&w).In(Tile{Sector: dish.Sector{Middle: 45, Half: 30}})
	c := path.Cutter{Name: "bull", Shape: path.Bull, Diameter: 9.31, Corner: 2, Flutes: 2, Core: 2.8, Ramp: 3 * math.Pi / 180, DepthOfCut: 1.147, FluteLength: 17, Shank: 6.35, StickOut: 55, ChipLoad: 0.04, Speed: 19000}
	narrow := c
	narrow.Name, narrow.Shape, narrow.Diameter, narrow.Corner, narrow.Core, narrow.DepthOfCut = "flat", path.Flat, 3.612, 0, 1, 2
	r, err := newRough(piece, narrow, c)
	require.NoError(t, err)
	b := newBuilder(piece, Feeds{Feed: 1000, Plunge: 300})
	way := tileWay{rough: r, sector: piece.Tile.Sector, level: -2, b: b}
	from, to := way.place(3.2515, 3.2515, 0), way.place(-3.4361, 3.5799, 0)
	all, at := way.join(from, []r3.Vec{to}), from
	require.Greater(t, len(all), 1)
	for _, p := range all {
		require.False(t, tooSteep(at, p, steep(c)), "%+v to %+v", at, p)
		require.GreaterOrEqual(t, p.Z, r.height(exact.Dist(p.X, p.Y)))
		at = p
	}
}

package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/cam/path"
	"dishwright/dish"
)

// A round that runs just where a steep crown comes down to its moat, or a hair beside it,
// stays level: the rounding of its places does not lift some of them and others not.
func TestRoundsAtAFoot(t *testing.T) {
	lifted := 0
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(30, 200).Draw(t, "radius")
		w := Usual(dish.Crown, R, R*rapid.Float64Range(0.1, 0.4).Draw(t, "slope"))
		w.Tile = &Tile{Sector: dish.Sector{Middle: 45, Half: 90}}
		c := path.Cutter{Name: "bull", Shape: path.Bull, Diameter: 4.6, Corner: 1.9, Flutes: 1, Core: 0.5, Ramp: 3 * math.Pi / 180, DepthOfCut: 1.4, FluteLength: 20, Shank: 6.35, StickOut: 40, ChipLoad: 0.09, Speed: 20000}
		r, err := newRough(w, c, c)
		require.NoError(t, err)
		b := newBuilder(w, Feeds{Feed: 1000, Plunge: 300})
		way := tileWay{rough: r, sector: w.Tile.Sector, level: r.tool.low + w.Allowance, b: b}
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

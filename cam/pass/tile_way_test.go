package pass

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// Ways along a tile's borders follow what its layers clear: a straight piece that led over
// the place where the face comes up through a layer would leave stock for rounds that go
// straight in there. Chords and what ways over a crown are lifted by leave some hundredths.
func TestBordersFollowTheFace(t *testing.T) {
	for _, kind := range []dish.Kind{dish.Crown, dish.Hollow} {
		for _, R := range []float64{60, 300, 4572} {
			w := given.Work(kind, R, min(R/3.5, 150))
			piece := work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 30, Half: 30}})
			r, err := roundsOf(piece, given.BigBull, given.BigBull)
			if err != nil || r.count == 0 {
				continue
			}
			f, ok := work.NewFeeds(w.Machine, given.BigBull, 0, r.depth)
			require.True(t, ok)
			for k := 1; k <= r.count; k++ {
				way := tileWay{rounds: r, sector: piece.Tile.Sector, level: -float64(k) * r.depth, b: link.NewBuilder(piece, f)}
				places := way.border(2, r.boundary(k+2), r.boundary(k+1), r.boundary(k), 1)
				for i := 1; i < len(places); i++ {
					a, b := places[i-1], places[i]
					for s := 0.0; s <= 1; s += 0.05 {
						x, y, z := a.X+s*(b.X-a.X), a.Y+s*(b.Y-a.Y), a.Z+s*(b.Z-a.Z)
						at := max(way.height(x, y), way.level)
						require.GreaterOrEqual(t, z, at-1e-9, "R %g, layer %d: it keeps above what stays", R, k)
						require.LessOrEqual(t, z-at, 0.06, "R %g, layer %d at %g mm", R, k, exact.Dist(x, y))
					}
				}
			}
		}
	}
}

// A layer of a tile is laid inward only where its rounds go down to the apex: of a hollow
// that is not laid along its borders, and not where the cutter would come down too steeply.
func TestTileLayersLaidInward(t *testing.T) {
	rounds := layerRings{rest: []ring{{d: 20}, {d: 30}}}
	for _, tt := range []struct {
		kind   dish.Kind
		R      float64
		narrow bool
		l      layerRings
		inward bool
	}{
		{dish.Hollow, 4572, false, rounds, true},
		{dish.Hollow, 4572, true, rounds, false},
		{dish.Hollow, 4572, false, layerRings{}, false},
		{dish.Crown, 4572, false, rounds, false},
		{dish.Hollow, 120, false, rounds, false},
	} {
		w := given.Work(tt.kind, tt.R, min(tt.R/3, 150))
		piece := work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 30, Half: 30}, Narrow: tt.narrow})
		r, err := roundsOf(piece, given.BigBull, given.BigBull)
		require.NoError(t, err)
		require.Equal(t, tt.inward, tileRough{rounds: r}.inwardToo(tt.l), "%+v", tt)
	}
}

// A round that runs just where a steep crown comes down to its moat, or a hair beside it,
// stays level: the rounding of its places does not lift some of them and others not.
func TestRoundsAtAFoot(t *testing.T) {
	lifted := 0
	rapid.Check(t, func(t *rapid.T) {
		R := rapid.Float64Range(30, 200).Draw(t, "radius")
		w := given.Work(dish.Crown, R, R*rapid.Float64Range(0.1, 0.4).Draw(t, "slope"))
		piece := work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 45, Half: 90}})
		c := path.Cutter{Name: "bull", Shape: path.Bull, Diameter: 4.6, Corner: 1.9, Flutes: 1, Core: 0.5, Ramp: 3 * math.Pi / 180, DepthOfCut: 1.4, FluteLength: 20, Shank: 6.35, StickOut: 40, ChipLoad: 0.09, Speed: 20000}
		r, err := roundsOf(piece, c, c)
		require.NoError(t, err)
		b := link.NewBuilder(piece, work.Feeds{Feed: 1000, Plunge: 300})
		way := tileWay{rounds: r, sector: piece.Tile.Sector, level: r.tool.Low + w.Allowance, b: b}
		d := r.tool.Foot + float64(rapid.IntRange(-3, 3).Draw(t, "off"))*b.Grid.Step/2
		round := way.round(ring{d: d, by: 1}, 1)
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range round[1 : len(round)-1] { // its ends lie on chords, nearer to the apex
			low, high = min(low, p.Z), max(high, p.Z)
		}
		require.LessOrEqual(t, high-low, 3*b.Grid.Step)
		if high > way.level+2*b.Grid.Step {
			lifted++
		}
	})
	require.Positive(t, lifted)
}

// The way from a round of a bowl to the next arc goes straight over what rounds have left,
// not down along the bowl and up again.
func TestWaysOverABowlAreStraight(t *testing.T) {
	w := given.Work(dish.Hollow, 29.158, 11.64)
	piece := work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 45, Half: 30}})
	c := path.Cutter{Name: "bull", Shape: path.Bull, Diameter: 9.31, Corner: 2, Flutes: 2, Core: 2.8, Ramp: 3 * math.Pi / 180, DepthOfCut: 1.147, FluteLength: 17, Shank: 6.35, StickOut: 55, ChipLoad: 0.04, Speed: 19000}
	narrow := c
	narrow.Name, narrow.Shape, narrow.Diameter, narrow.Corner, narrow.Core, narrow.DepthOfCut = "flat", path.Flat, 3.612, 0, 1, 2
	r, err := roundsOf(piece, narrow, c)
	require.NoError(t, err)
	b := link.NewBuilder(piece, work.Feeds{Feed: 1000, Plunge: 300})
	way := tileWay{rounds: r, sector: piece.Tile.Sector, level: -2, b: b}
	from, to := way.place(3.2515, 3.2515, 0), way.place(-3.4361, 3.5799, 0)
	all, at := way.join(from, []r3.Vec{to}), from
	require.Greater(t, len(all), 1)
	for _, p := range all {
		require.False(t, link.TooSteep(at, p, work.Steep(c)), "%+v to %+v", at, p)
		require.GreaterOrEqual(t, p.Z, r.height(p.X, p.Y))
		at = p
	}
}

// roundsOf returns the rounds of a tile.
func roundsOf(w work.Piece, c, finish path.Cutter) (rounds, error) {
	o, err := planRounds(w, c, finish)
	if err != nil {
		return rounds{}, err
	}
	if t, ok := o.(tileRough); ok {
		return t.rounds, nil
	}
	return o.(rounds), nil // nothing stands
}

package cam

import (
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/path"
	"dishwright/dish"
)

// What holds the blank down lies with it and stands in its own setup, or in all; what
// stands about the machine stays where it is while the blank is turned and slid.
func TestStandingInSetups(t *testing.T) {
	w := Usual(dish.Hollow, 4572, 100)
	w.HoldDowns = []path.Obstacle{{X: 140, Radius: 5}, {X: 150, Radius: 6, In: 2}}
	w.KeepOuts = []path.Obstacle{{Y: 200, Radius: 7}, {Y: 210, Radius: 8, In: 1}}
	places := func() (list [][3]float64) {
		for _, o := range w.Standing() {
			list = append(list, [3]float64{o.X, o.Y, o.Radius})
		}
		return list
	}
	require.Equal(t, [][3]float64{{140, 0, 5}, {150, 0, 6}, {0, 200, 7}, {0, 210, 8}}, places(), "in one setup all of them")
	w.Tile = &Tile{Sector: dish.Sector{Middle: 30, Half: 90}, Setups: []path.Setup{{Number: 1}, {Number: 2, Turn: 180, X: 10, Y: 20}}}
	require.Equal(t, [][3]float64{{140, 0, 5}, {-140, 0, 5}, {-150, 0, 6}, {0, 200, 7}, {-10, 180, 7}, {0, 210, 8}}, places())
}

// Ways along a tile's borders follow what its layers clear: a straight piece that led over
// the place where the face comes up through a layer would leave stock for rounds that go
// straight in there. Chords and what ways over a crown are lifted by leave some hundredths.
func TestBordersFollowTheFace(t *testing.T) {
	for _, kind := range []dish.Kind{dish.Crown, dish.Hollow} {
		for _, R := range []float64{60, 300, 4572} {
			w := Usual(kind, R, min(R/3.5, 150))
			w.Tile = &Tile{Sector: dish.Sector{Middle: 30, Half: 30}}
			r, err := newRough(w, BigBull, BigBull)
			if err != nil || r.layers == 0 {
				continue
			}
			f, ok := NewFeeds(w.Machine, BigBull, 0, r.depth)
			require.True(t, ok)
			for k := 1; k <= r.layers; k++ {
				way := tileWay{rough: r, sector: w.Tile.Sector, level: -float64(k) * r.depth, b: newBuilder(w, f)}
				places := way.border(2, r.boundary(k+2), r.boundary(k+1), r.boundary(k), 1)
				for i := 1; i < len(places); i++ {
					a, b := places[i-1], places[i]
					for s := 0.0; s <= 1; s += 0.05 {
						x, y, z := a.X+s*(b.X-a.X), a.Y+s*(b.Y-a.Y), a.Z+s*(b.Z-a.Z)
						at := max(way.height(dist(x, y)), way.level)
						require.GreaterOrEqual(t, z, at-1e-9, "R %g, layer %d: it keeps above what stays", R, k)
						require.LessOrEqual(t, z-at, 0.06, "R %g, layer %d at %g mm", R, k, dist(x, y))
					}
				}
			}
		}
	}
}

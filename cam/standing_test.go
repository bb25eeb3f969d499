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
	"dishwright/dish/extra"
	"dishwright/machines"
)

// What holds the blank down lies with it and stands in its own setup, or in all; what
// stands about the machine stays where it is while the blank is turned and slid.
func TestStandingInSetups(t *testing.T) {
	w := Usual(dish.Hollow, 4572, 100)
	w.HoldDowns = []path.Obstacle{{X: 140, Radius: 5}, {X: 150, Radius: 6, In: 2}}
	w.Obstacles = []path.Obstacle{{Y: 200, Radius: 7}, {Y: 210, Radius: 8, In: 1}}
	places := func(p Piece) (list [][3]float64) {
		for _, o := range p.Standing() {
			list = append(list, [3]float64{o.X, o.Y, o.Radius})
		}
		return list
	}
	require.Equal(t, [][3]float64{{140, 0, 5}, {150, 0, 6}, {0, 200, 7}, {0, 210, 8}}, places(Whole(&w)), "in one setup all of them")
	tile := Tile{Sector: dish.Sector{Middle: 30, Half: 90}, Setups: []path.Setup{{Number: 1}, {Number: 2, Turn: 180, X: 10, Y: 20}}}
	require.Equal(t, [][3]float64{{140, 0, 5}, {-140, 0, 5}, {-150, 0, 6}, {0, 200, 7}, {-10, 180, 7}, {0, 210, 8}}, places(Whole(&w).In(tile)))
}

// Ways along a tile's borders follow what its layers clear: a straight piece that led over
// the place where the face comes up through a layer would leave stock for rounds that go
// straight in there. Chords and what ways over a crown are lifted by leave some hundredths.
func TestBordersFollowTheFace(t *testing.T) {
	for _, kind := range []dish.Kind{dish.Crown, dish.Hollow} {
		for _, R := range []float64{60, 300, 4572} {
			w := Usual(kind, R, min(R/3.5, 150))
			piece := Whole(&w).In(Tile{Sector: dish.Sector{Middle: 30, Half: 30}})
			r, err := newRough(piece, BigBull, BigBull)
			if err != nil || r.layers == 0 {
				continue
			}
			f, ok := NewFeeds(w.Machine, BigBull, 0, r.depth)
			require.True(t, ok)
			for k := 1; k <= r.layers; k++ {
				way := tileWay{rough: r, sector: piece.Tile.Sector, level: -float64(k) * r.depth, b: newBuilder(piece, f)}
				places := way.border(2, r.boundary(k+2), r.boundary(k+1), r.boundary(k), 1)
				for i := 1; i < len(places); i++ {
					a, b := places[i-1], places[i]
					for s := 0.0; s <= 1; s += 0.05 {
						x, y, z := a.X+s*(b.X-a.X), a.Y+s*(b.Y-a.Y), a.Z+s*(b.Z-a.Z)
						at := max(way.height(exact.Dist(x, y)), way.level)
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
		w := Usual(tt.kind, tt.R, min(tt.R/3, 150))
		piece := Whole(&w).In(Tile{Sector: dish.Sector{Middle: 30, Half: 30}, Narrow: tt.narrow})
		r, err := newRough(piece, BigBull, BigBull)
		require.NoError(t, err)
		require.Equal(t, tt.inward, tileRough{rough: r}.inwardToo(tt.l), "%+v", tt)
	}
}

// Where the blank's top is touched in a setup is a place of the machine over land of the
// blank as it lies there, slid or turned; every setup has one.
func TestTouchInSetups(t *testing.T) {
	for _, travel := range [][2]float64{{180, 400}, {400, 180}} {
		w := Usual(dish.Hollow, 4572, 100)
		w.Machine.Travel.X, w.Machine.Travel.Y = travel[0], travel[1]
		w.Setups.By, w.Shelf = ByFence, []path.Cutter{HalfBall}
		layouts := slid(Whole(&w))
		require.NotEmpty(t, layouts)
		far := 0.0
		for _, tile := range layouts[0] {
			s := tile.Setups[0]
			x, y, ok := TouchIn(Whole(&w), layouts[0], s)
			require.True(t, ok)
			p := s.Blank(r3.Vec{X: x, Y: y})
			require.GreaterOrEqual(t, w.Blank.Inside(p.X, p.Y), touchLand/2-1e-9, "%+v", s)
			require.GreaterOrEqual(t, exact.Dist(p.X, p.Y)-w.Face.Rim, touchLand/2-1e-9, "%+v", s)
			far = max(far, math.Abs(s.X)+math.Abs(s.Y))
		}
		require.Greater(t, far, 50.0, "one of them is slid")
		_, _, ok := TouchIn(Whole(&w), layouts[0], path.Setup{Number: 7})
		require.False(t, ok)
	}
}

// After a change of cutter the top is touched beside whatever was taken out.
func TestTouchBesideIsFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyLand(t)
		var set extra.Set
		x, y, ok := TouchPlace(Whole(&w))
		for i := range rapid.IntRange(1, 3).Draw(t, "holes") {
			h := extra.Hole{X: rapid.Float64Range(-90, 90).Draw(t, "x"), Y: rapid.Float64Range(-90, 90).Draw(t, "y"), Radius: rapid.Float64Range(2, 9).Draw(t, "radius")}
			if i == 0 && ok { // on the very place that is free otherwise
				h.X, h.Y = x+h.X/20, y+h.Y/20
			}
			set.Holes = append(set.Holes, h)
		}
		x, y, ok = TouchBeside(Whole(&w), set)
		if !ok {
			return
		}
		require.GreaterOrEqual(t, w.Blank.Inside(x, y), touchLand/2-1e-9)
		require.GreaterOrEqual(t, exact.Dist(x, y)-outer(Whole(&w)), touchLand/2-1e-9)
		for _, h := range set.Holes {
			require.GreaterOrEqual(t, exact.Dist(x-h.X, y-h.Y)-h.Radius, touchLand/2-1e-9)
		}
	})
}

// A fence stands in the way wherever it crosses what is cut, though its ends lie outside.
func TestFenceAcrossTheFace(t *testing.T) {
	for _, tt := range []struct {
		fence path.Obstacle
		free  bool
	}{
		{path.Obstacle{X: -220, Y: 10, DX: 440, Radius: 5, Height: 20}, false},
		{path.Obstacle{X: -220, Y: 190, DX: 440, Radius: 5, Height: 2}, true},
		{path.Obstacle{X: 30, Y: 30, Radius: 5, Height: 20}, false},
		{path.Obstacle{X: -220, Y: 108, DX: 440, Radius: 12, Height: 2}, false}, // its middle clear, its side not
	} {
		w := Usual(dish.Hollow, 4572, 100)
		w.Machine.Travel.X, w.Machine.Travel.Y = 800, 800
		w.Obstacles = []path.Obstacle{tt.fence}
		keys := map[Key]bool{}
		for _, p := range Feasible(Named(w, Auto, HalfBall.Name)) {
			keys[p.Key] = true
		}
		require.Equal(t, !tt.free, keys["obstacles/0"], "%+v: %v", tt.fence, keys)
	}
}

// A blank is slid by whole millimetres, or by tenths of an inch where the machine counts in
// inches: as a stop block is made.
func TestSlidByWholeSteps(t *testing.T) {
	w := Usual(dish.Hollow, 4572, 100)
	w.Machine.Travel.X, w.Machine.Travel.Y, w.Setups.By, w.Shelf = 181.3, 400, ByFence, []path.Cutter{HalfBall}
	for _, unit := range []machines.Unit{machines.Millimetres, machines.Inches} {
		w.Machine.Unit = unit
		step := 1.0
		if unit == machines.Inches {
			step = 2.54
		}
		by := slid(Whole(&w))[0][1].Setups[0].X / step
		require.InDelta(t, math.Round(by), by, 1e-9)
		require.Less(t, by, -20.0)
	}
}

package cam

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/extra"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// What holds the blank down lies with it and stands in its own setup, or in all; what
// stands about the machine stays where it is while the blank is turned and slid.
func TestStandingInSetups(t *testing.T) {
	w := given.Work(dish.Hollow, 4572, 100)
	w.HoldDowns = []path.Obstacle{{X: 140, Radius: 5}, {X: 150, Radius: 6, In: 2}}
	w.Obstacles = []path.Obstacle{{Y: 200, Radius: 7}, {Y: 210, Radius: 8, In: 1}}
	places := func(p work.Piece) (list [][3]float64) {
		for _, o := range p.Standing() {
			list = append(list, [3]float64{o.X, o.Y, o.Radius})
		}
		return list
	}
	require.Equal(t, [][3]float64{{140, 0, 5}, {150, 0, 6}, {0, 200, 7}, {0, 210, 8}}, places(work.Whole(&w)), "in one setup all of them")
	tile := work.Tile{Sector: dish.Sector{Middle: 30, Half: 90}, Setups: []path.Setup{{Number: 1}, {Number: 2, Turn: 180, X: 10, Y: 20}}}
	require.Equal(t, [][3]float64{{140, 0, 5}, {-140, 0, 5}, {-150, 0, 6}, {0, 200, 7}, {-10, 180, 7}, {0, 210, 8}}, places(work.Whole(&w).In(tile)))
}

// Where the blank's top is touched in a setup is a place of the machine over land of the
// blank as it lies there, slid or turned; every setup has one.
func TestTouchInSetups(t *testing.T) {
	for _, travel := range [][2]float64{{180, 400}, {400, 180}} {
		w := given.Work(dish.Hollow, 4572, 100)
		w.Machine.Travel.X, w.Machine.Travel.Y = travel[0], travel[1]
		w.Setups.By, w.Shelf = work.ByFence, []path.Cutter{given.HalfBall}
		layouts := work.Slid(work.Whole(&w))
		require.NotEmpty(t, layouts)
		far := 0.0
		for _, tile := range layouts[0] {
			s := tile.Setups[0]
			x, y, ok := TouchIn(work.Whole(&w), layouts[0], s)
			require.True(t, ok)
			p := s.Blank(r3.Vec{X: x, Y: y})
			require.GreaterOrEqual(t, w.Blank.Inside(p.X, p.Y), work.TouchLand/2-1e-9, "%+v", s)
			require.GreaterOrEqual(t, exact.Dist(p.X, p.Y)-w.Face.Rim, work.TouchLand/2-1e-9, "%+v", s)
			far = max(far, math.Abs(s.X)+math.Abs(s.Y))
		}
		require.Greater(t, far, 50.0, "one of them is slid")
		_, _, ok := TouchIn(work.Whole(&w), layouts[0], path.Setup{Number: 7})
		require.False(t, ok)
	}
}

// After a change of cutter the top is touched beside whatever was taken out.
func TestTouchBesideIsFree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyLand(t)
		var set extra.Set
		x, y, ok := TouchPlace(work.Whole(&w))
		for i := range rapid.IntRange(1, 3).Draw(t, "holes") {
			h := extra.Hole{X: rapid.Float64Range(-90, 90).Draw(t, "x"), Y: rapid.Float64Range(-90, 90).Draw(t, "y"), Radius: rapid.Float64Range(2, 9).Draw(t, "radius")}
			if i == 0 && ok { // on the very place that is free otherwise
				h.X, h.Y = x+h.X/20, y+h.Y/20
			}
			set.Holes = append(set.Holes, h)
		}
		x, y, ok = TouchBeside(work.Whole(&w), set)
		if !ok {
			return
		}
		require.GreaterOrEqual(t, w.Blank.Inside(x, y), work.TouchLand/2-1e-9)
		require.GreaterOrEqual(t, exact.Dist(x, y)-outer(work.Whole(&w)), work.TouchLand/2-1e-9)
		for _, h := range set.Holes {
			require.GreaterOrEqual(t, exact.Dist(x-h.X, y-h.Y)-h.Radius, work.TouchLand/2-1e-9)
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
		w := given.Work(dish.Hollow, 4572, 100)
		w.Machine.Travel.X, w.Machine.Travel.Y = 800, 800
		w.Obstacles = []path.Obstacle{tt.fence}
		keys := map[work.Key]bool{}
		for _, p := range Feasible(given.Named(w, work.Auto, given.HalfBall.Name)) {
			keys[p.Key] = true
		}
		require.Equal(t, !tt.free, keys["obstacles/0"], "%+v: %v", tt.fence, keys)
	}
}

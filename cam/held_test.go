package cam

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// What more travel would solve is of a kind of its own, whatever it is about; what stands
// beside it in the same refusal is not.
func TestKindsOfTravel(t *testing.T) {
	w := given.Work(dish.Hollow, 7620, 200)
	w.Machine.Travel = r3.Vec{X: 150, Y: 150, Z: 10}
	ps := Feasible(work.Whole(&w))
	require.True(t, work.KindTravel.In(ps), "%v", ps)
	for _, p := range ps {
		require.Equal(t, strings.Contains(p.Message.String(), "run over"), p.Kind == work.KindTravel, "%v", p)
		require.Equal(t, p.Key == work.KeyMachine, p.Kind == work.KindTravel, "%v", p)
	}
}

// A kind is found in whatever carries its problem, and in nothing else.
func TestKindIn(t *testing.T) {
	ps := work.Problems{{Kind: work.KindLand}, {Kind: work.KindRamp}}
	for _, tt := range []struct {
		err  error
		want bool
	}{
		{nil, false},
		{errors.New("ramp"), false},
		{work.Problems{}, false},
		{work.Problems{{Kind: work.KindLand, Key: "ramp", Message: measure.Say("ramp")}}, false},
		{ps, true},
		{fmt.Errorf("program 1: %w", ps), true},
	} {
		require.Equal(t, tt.want, work.KindRamp.In(tt.err), "%v", tt.err)
	}
}

// An obstacle stands on a mould where it comes over the band: inside it is free.
func TestObstaclesOfAMould(t *testing.T) {
	var line []r2.Vec
	for k := range 720 {
		sin, cos := math.Sincos(float64(k) * math.Pi / 360)
		line = append(line, r2.Vec{X: 40 * cos, Y: 40 * sin})
	}
	band, err := dish.NewBand(line, 8)
	require.NoError(t, err)
	w := given.Work(dish.Crown, 7620, band.Extent())
	w.Region = band
	for _, tt := range []struct {
		o    path.Obstacle
		away string // "" where it stands well
	}{
		{path.Obstacle{Radius: 39.9}, ""},
		{path.Obstacle{Radius: 40.9}, "1 mm"},
		{path.Obstacle{X: 60, Radius: 11.9}, ""},
		{path.Obstacle{X: 60, Radius: 14.5}, "3 mm"},
		{path.Obstacle{Y: -44, Radius: 1}, "5 mm"},
		{path.Obstacle{X: -30, DX: 25, Radius: 9}, ""},
		{path.Obstacle{X: -60, DX: 60, Radius: 5}, "9 mm"},
		{path.Obstacle{X: -60, DY: 70, Radius: 5}, ""},
	} {
		w.Obstacles = []path.Obstacle{tt.o}
		ps := obstacleProblems(work.Whole(&w))
		if tt.away == "" {
			require.Empty(t, ps, "%+v", tt)
			continue
		}
		require.Len(t, ps, 1, "%+v", tt)
		require.Equal(t, work.ObstacleKey(0), ps[0].Key)
		require.Contains(t, ps[0].Hint.String(), tt.away)
	}
}

// A screw with its washer wants a free circle of 6 mm (common practice): a square blank with
// its half b, kept free out to k from its middle, has circles of r = (b − k/√2)/(1 + 1/√2) on its
// diagonals (own derivation: b − (k + r)/√2 = r). Half a millimetre is left for places that
// are rounded to be found by hand.
func TestLeastHold(t *testing.T) {
	const reach = 80.0
	k := reach + 12.7/2 + 2
	for r, want := range map[float64]int{5.5: 0, 6.5: 4, 20: 4} {
		w := given.Work(dish.Hollow, 4572, 70)
		w.Blank.Length = 2 * (r*(1+1/math.Sqrt2) + k/math.Sqrt2)
		w.Blank.Width = w.Blank.Length
		places := HoldPlaces(work.Whole(&w), []work.Program{given.Over(given.HalfFlat, -reach, 0, reach, 0)})
		require.Len(t, places, want, "%g mm", r)
		for _, p := range places {
			require.InDelta(t, r, p.Radius, 0.6)
		}
		if want > 0 { // whatever else stands there takes the place, and near it some of the room
			w.Obstacles = []path.Obstacle{{X: places[0].X, Y: places[0].Y, Radius: 3}, {X: places[2].X - 10, Y: places[2].Y, Radius: 3.5}}
			left := HoldPlaces(work.Whole(&w), []work.Program{given.Over(given.HalfFlat, -reach, 0, reach, 0)})
			require.Len(t, left, map[bool]int{false: 3, true: 4}[r > 7]) // a wider corner has room beside it
			for _, p := range left {
				for _, o := range w.Obstacles {
					require.GreaterOrEqual(t, o.Clear(p.X, p.Y), p.Radius)
				}
			}
		}
	}
}

// Extras a board the blank is held where a circle of 6 mm is free of whatever passes, with 2 mm
// between, and touched where one of 4 mm is of what may be cut, half the widest cutter beyond
// the board: by the roomiest of all places half a millimetre apart. Programs run over the
// board's long side by 8 and its end by 3.
func TestLandOfABoard(t *testing.T) {
	w := given.Work(dish.Hollow, 4572, math.Hypot(300, 90)/2)
	w.Region = dish.Strip{Length: 300, Width: 90}
	programs := []work.Program{given.Over(given.HalfFlat, -153, -53, 153, 53)}
	const passes, cut = 8 + 12.7/2 + 2, 31.75 / 2
	count := map[int]int{}
	for _, land := range [][2]float64{{16, 16}, {20, 24}, {24, 18}, {25, 25}, {60, 20}, {15, 60}, {30, 33}, {17, 30}, {34, 10}, {9, 29}, {23, 9}} {
		w.Blank = dish.Blank{Shape: dish.Rectangle, Length: 300 + 2*land[0], Width: 90 + 2*land[1], Thickness: 25}
		most := func(keep float64) float64 {
			best := math.Inf(-1)
			for x := 0.0; x <= w.Blank.Length/2; x += 0.5 {
				for y := 0.0; y <= w.Blank.Width/2; y += 0.5 {
					off := math.Max(x-150, y-45)
					if x > 150 && y > 45 {
						off = math.Hypot(x-150, y-45)
					}
					best = math.Max(best, math.Min(w.Blank.Inside(x, y), off-keep))
				}
			}
			return best
		}
		const coarse = 1.7 // the places that are looked at lie up to a 160th of the blank aside
		if best := most(passes); best < 6 || best > 6+coarse {
			places := HoldPlaces(work.Whole(&w), programs)
			require.Equal(t, map[bool]int{true: 4}[best >= 6], len(places), "land %v, room for %g", land, best)
			for _, p := range places {
				require.InDelta(t, best, p.Radius, coarse)
				off, _ := w.Region.Off(p.X, p.Y)
				require.GreaterOrEqual(t, min(w.Blank.Inside(p.X, p.Y), off-passes), p.Radius)
			}
			count[len(places)]++
		}
		if best := most(cut); best < 4 || best > 4+coarse {
			x, y, ok := TouchPlace(work.Whole(&w))
			require.Equal(t, best >= 4, ok, "land %v, room for %g", land, best)
			off, _ := w.Region.Off(x, y)
			require.True(t, !ok || min(w.Blank.Inside(x, y), off-cut) >= 4)
			count[map[bool]int{true: 2, false: 1}[ok]]++
		}
	}
	require.Greater(t, min(count[0], count[4], count[1], count[2]), 1, "%v", count)
}

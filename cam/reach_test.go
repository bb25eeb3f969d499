package cam

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// A blank may be larger than the travel: what is cut, and the place to touch, lie within it.
func TestTouchPlaceIsInReach(t *testing.T) {
	found, beyond := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		w := given.Work(rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown}).Draw(t, "kind"), 4572, rapid.Float64Range(100, 250).Draw(t, "rim"))
		side := 2 * w.Face.Rim * rapid.Float64Range(1, 2.5).Draw(t, "blank")
		w.Blank.Shape = rapid.SampledFrom([]dish.BlankShape{dish.Square, dish.Round, dish.Octagon}).Draw(t, "shape")
		w.Blank.Length, w.Blank.Width = side, side
		w.Machine.Travel.X = 2 * w.Face.Rim * rapid.Float64Range(0.95, 1.6).Draw(t, "x")
		w.Machine.Travel.Y = 2 * w.Face.Rim * rapid.Float64Range(0.95, 1.6).Draw(t, "y")
		if rapid.Bool().Draw(t, "errors") {
			w.Machine.Errors.Corrected = true
			w.Machine.Errors.Scale = r3.Vec{X: -0.004, Y: 0.003}
			w.Machine.Errors.Lean = 0.005
		}
		x, y, ok := TouchPlace(work.Whole(&w))
		if !ok {
			return
		}
		found++
		told := w.Warp().Compensated(r3.Vec{X: x, Y: y, Z: w.Clearance()})
		require.LessOrEqual(t, math.Abs(told.X), w.Machine.Travel.X/2)
		require.LessOrEqual(t, math.Abs(told.Y), w.Machine.Travel.Y/2)
		require.GreaterOrEqual(t, w.Blank.Inside(x, y), work.TouchLand/2)
		require.GreaterOrEqual(t, math.Hypot(x, y)-outer(work.Whole(&w)), work.TouchLand/2)
		if side > w.Machine.Travel.X && side > w.Machine.Travel.Y {
			beyond++
		}
	})
	require.Positive(t, beyond)
	require.Greater(t, found, beyond)
}

// Where the land's middle lies beyond the travel, a place nearer to the face is touched.
func TestTouchNearer(t *testing.T) {
	w := given.Work(dish.Hollow, 4572, 200)
	w.Blank.Length, w.Blank.Width = 1000, 1000
	w.Machine.Travel = r3.Vec{X: 410.7, Y: 410.7, Z: 90}
	x, y, ok := TouchPlace(work.Whole(&w))
	require.True(t, ok)
	require.Equal(t, [2]float64{205, 205}, [2]float64{x, y}, "half of 410.7, down to half a millimetre")
}

// A blank's width is its greatest extent along X as it lies.
func TestBlankAcross(t *testing.T) {
	for _, b := range []dish.Blank{{Shape: dish.Square, Length: 300, Width: 300}, {Shape: dish.Rectangle, Length: 300, Width: 120}, {Shape: dish.Round, Length: 300, Width: 300}, {Shape: dish.Octagon, Length: 300, Width: 300}} {
		for turn := -360; turn <= 360; turn += dish.TurnStep {
			sin, cos := math.Sincos(float64(turn) * math.Pi / 180)
			most := 0.0 // by looking all round the edge
			for k := range 7200 {
				s, c := math.Sincos(float64(k) * math.Pi / 3600)
				lo, hi := 0.0, 400.0
				for range 40 {
					if mid := (lo + hi) / 2; b.Inside(mid*c, mid*s) > 0 {
						lo = mid
					} else {
						hi = mid
					}
				}
				most = math.Max(most, 2*lo*math.Abs(cos*c-sin*s))
			}
			require.InDelta(t, most, b.Across(turn), 0.2, "%v turned by %d", b.Shape, turn)
		}
	}
}

// Uprights bound the blank in every setup: a square that is turned by 120 degrees is wider.
func TestTurnedBetweenUprights(t *testing.T) {
	w := given.Work(dish.Hollow, 4572, 200)
	w.Machine.BetweenUprights = 500
	tile := work.Tile{Sector: dish.Sector{Middle: 45, Half: 90}, Setups: work.Turns(2)}
	require.Empty(t, Feasible(given.Named(w, given.InchFlat.Name, given.InchFlat.Name).In(tile)))
	tile = work.Tile{Sector: dish.Sector{Middle: 45, Half: 60}, Setups: work.Turns(3)}
	ps := Feasible(given.Named(w, given.InchFlat.Name, given.InchFlat.Name).In(tile))
	require.Len(t, ps, 1)
	require.Equal(t, work.Key("blank/size"), ps[0].Key)
	require.Equal(t, work.KindTravel, ps[0].Kind, "another number of setups may do")
	require.Contains(t, ps[0].Message.String(), "turned by 120 degrees the blank is 683.1 mm wide") // 500 (1/2 + √3/2)
}

// In one setup X0 Y0 stands in the middle of the travel, so that a program takes twice as much
// of it as it runs to one side; what the machine is told counts, not where its tip goes.
func TestRunsOver(t *testing.T) {
	w := given.Work(dish.Hollow, 4572, 200)
	w.Machine.Travel = r3.Vec{X: 420, Y: 420, Z: 90}
	require.Empty(t, work.BeyondTravel(&w, []work.Program{given.Over(given.InchFlat, -210, -10, 200, 210)}))
	require.Len(t, work.BeyondTravel(&w, []work.Program{given.Over(given.InchFlat, -100, -10, 211, 200)}), 1)
	w.Machine.Errors.Corrected, w.Machine.Errors.Scale = true, r3.Vec{X: -0.001}
	require.Len(t, work.BeyondTravel(&w, []work.Program{given.Over(given.InchFlat, -210, -10, 200, 200)}), 1)
	x, y := w.TipTravel()
	require.Empty(t, work.BeyondTravel(&w, []work.Program{given.Over(given.InchFlat, -x, -y, x, y)}))
	require.InDelta(t, 210, x, 0.22)
	w.Machine.Errors.Scale, w.Setups.Count = r3.Vec{}, 2
	require.Empty(t, work.BeyondTravel(&w, []work.Program{given.Over(given.InchFlat, -100, -10, 311, 200)}), "a turned blank's zero stands where it may")
}

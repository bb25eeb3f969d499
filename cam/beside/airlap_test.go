package beside

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// The air lap runs with the first program's cutter round the extents of each, at clearance;
// for a wider cutter the difference of the radii further out, so that the edge of the one in the
// spindle passes where the wider one's will: −100 − (12.7 − 6.35) with an inch cutter after a
// half-inch one. For a narrower one it runs no less far than its tip will.
func TestAirLapShowsEveryEdge(t *testing.T) {
	w := given.Work(dish.Hollow, 7620, 200)
	w.HoldDowns = []path.Obstacle{{X: 240, Radius: 5, Height: 15}}
	narrow := given.HalfFlat
	narrow.Diameter = 6
	programs := []work.Program{given.Over(given.HalfFlat, -120, -90, 110, 95), given.Over(given.InchFlat, -100, -80, 105, 70), given.Over(narrow, -60, -50, 40, 30),
		given.Over(given.HalfBall, -120, -90, 110, 95), given.Over(given.InchFlat, -120, -90, 110, 95), given.Over(given.HalfBall, 0, 0, 306, 304)}
	want := [][4]float64{{-120, -90, 110, 95}, {-106.35, -86.35, 111.35, 76.35}, {-60, -50, 40, 30}, {-126.35, -96.35, 116.35, 101.35}, {0, 0, 306, 304}}
	lap := AirLap(&w, programs, 0)
	require.Equal(t, given.HalfFlat, lap.Cutter)
	require.Len(t, lap.Sections, len(want), "the fourth program reaches as far as the first")
	for i, s := range lap.Sections {
		require.Equal(t, work.AirLap, s.Purpose)
		e := work.Program{Sections: []work.Section{s}}.Extents()
		for k, v := range []float64{e.Min.X, e.Min.Y, e.Max.X, e.Max.Y} {
			require.InDelta(t, want[i][k], v, 1e-9, "section %d", i)
		}
		n := len(s.Moves)
		require.Equal(t, s.Moves[n-4].From, s.Moves[n-1].To, "four sides, back to the first corner")
		for k, m := range s.Moves[n-4:] {
			require.InDelta(t, [4]float64{e.Max.X, e.Max.X, e.Min.X, e.Min.X}[k], m.To.X, 1e-9)
			require.InDelta(t, [4]float64{e.Min.Y, e.Max.Y, e.Max.Y, e.Min.Y}[k], m.To.Y, 1e-9)
		}
		for _, m := range s.Moves {
			require.Equal(t, path.Line, m.Kind)
			require.Equal(t, w.Clearance(), m.To.Z)
			require.Equal(t, 1200.0, m.Feed, "as slow as a person can follow")
		}
	}
	// Which section shows which program: the lap is number 4 of its set, the programs follow it.
	lap = AirLap(&w, programs, 3)
	for i, said := range []string{"program 5 and 8", "program 6", "program 7", "program 9", "program 10"} {
		require.Equal(t, "round the extents of "+said, lap.Sections[i].Pattern.String())
	}
	w.Machine.Feed.Y = 700
	require.Equal(t, 700.0, AirLap(&w, programs, 0).Sections[0].Moves[1].Feed)
}

// The air lap stays within the travel about the blank's middle, where the programs do; with a
// blank that is slid between setups, about the middle of what all of them run over. It keeps to
// coordinates that can be written.
func TestAirLapWithinTravel(t *testing.T) {
	w := given.Work(dish.Hollow, 7620, 200)
	w.Machine.Travel = r3.Vec{X: 500.0003, Y: 420, Z: 90}
	programs := []work.Program{given.Over(given.HalfFlat, -240, -205, 245, 208), given.Over(given.InchFlat, -246, -206, 248, 210)}
	extents := func(p []work.Program) r3.Box { return work.Program{Sections: AirLap(&w, p, 0).Sections[1:]}.Extents() }
	e := extents(programs)
	require.InDelta(t, -250.0001, e.Min.X, 1e-9)
	require.InDelta(t, 250.0001, e.Max.X, 1e-9)
	require.InDelta(t, -210, e.Min.Y, 1e-9)
	require.InDelta(t, 210, e.Max.Y, 1e-9)
	for i := range programs { // slid by 180 along X and −30 along Y: 494 and 416 of the travel
		programs[i].Setup = path.Setup{Number: 1}
		for k := range programs[i].Sections[0].Moves {
			m := &programs[i].Sections[0].Moves[k]
			m.To.X, m.To.Y = m.To.X+180, m.To.Y-30
		}
	}
	e = extents(programs)
	require.InDelta(t, 181-250, e.Min.X, 1e-3)
	require.InDelta(t, 181+250, e.Max.X, 1e-3)
	require.InDelta(t, -28-210, e.Min.Y, 1e-3)
	require.InDelta(t, -28+210, e.Max.Y, 1e-3)
	require.Less(t, math.Abs(math.Remainder(e.Max.X, w.Machine.Step())), 1e-9)
}

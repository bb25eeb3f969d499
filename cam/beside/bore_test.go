package beside

import (
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/extra"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// The rounds of a bore clear the whole of its disc, the middle too, and none comes so
// close to another that it has but a sliver to cut.
func TestBoreRounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.5, 12).Draw(t, "cutter")
		room := r * rapid.Float64Range(0.05, 20).Draw(t, "room")
		rounds := boreRounds(room, r)
		require.InDelta(t, room, rounds[len(rounds)-1], 1e-9)
		require.Less(t, rounds[0], r, "the middle is cleared")
		for i := 1; i < len(rounds); i++ {
			apart := rounds[i] - rounds[i-1]
			require.LessOrEqual(t, apart, 1.2*r+1e-9)
			require.GreaterOrEqual(t, apart, 0.39*r)
		}
	})
}

// Whatever the hole and the cutter: no bite goes over the depth of cut, no way down is
// steeper than the cutter may take, and the hole is whole.
func TestAnyBore(t *testing.T) {
	walls := 0
	rapid.Check(t, chance.Few(10, func(t *rapid.T) {
		c := given.HalfFlat
		c.Diameter = rapid.Float64Range(1.5, 13).Draw(t, "cutter")
		c.Core = c.Diameter * rapid.Float64Range(0, 0.5).Draw(t, "core")
		c.Ramp = rapid.Float64Range(1.5, 8).Draw(t, "ramp") * math.Pi / 180
		c.DepthOfCut = rapid.Float64Range(0.5, 4).Draw(t, "depth of cut")
		radius := c.Radius() + max(0.3, c.Radius()*rapid.Float64Range(0.05, 4).Draw(t, "room"))
		bottom := -rapid.Float64Range(1, 5).Draw(t, "deep")
		w := given.Work(dish.Hollow, 7620, 50)
		w.Blank = dish.Blank{Shape: dish.Square, Length: 120, Width: 120, Thickness: 25}
		at := r2.Vec{X: rapid.Float64Range(-25, 25).Draw(t, "x"), Y: rapid.Float64Range(-25, 25).Draw(t, "y")}
		f, ok := work.NewFeeds(w.Machine, c, 0, c.DepthOfCut)
		if !ok {
			return
		}
		b := link.NewBuilder(work.Whole(&w), f)
		bottom = w.Grid().Raise(bottom)
		rounds := boreRounds(radius-c.Radius()-b.Grid.Step, c.Radius())
		if min(2*math.Pi*rounds[0]*work.Steep(c), c.DepthOfCut-work.BiteMargin) < leastPitch {
			return
		}
		bore(b, c, at, rounds, bottom)
		s := proof.NewStock(w.Blank, proof.CellSize(w.Blank, c.Diameter))
		rep := s.RunOnMachine(w.Machine, c, b.Moves)
		require.LessOrEqual(t, rep.Depth, c.DepthOfCut, "at X%.2f Y%.2f", rep.X-at.X, rep.Y-at.Y)
		require.Empty(t, rep.TooSteep)
		require.Empty(t, rep.Traverses)
		hole := extra.Hole{X: at.X, Y: at.Y, Radius: radius, Bottom: bottom}
		for _, m := range b.Moves {
			if m.Kind == path.Line {
				require.LessOrEqual(t, hole.DiscOutside(m.To.X, m.To.Y, c.Radius()), 1e-9)
			}
			// The wall is made of chords, 0.01 mm off it at most; places are rounded by half a step
			// either way, and the round keeps a step off the wall.
			step := w.Grid().Step
			if axis := radius - c.Radius(); m.Kind == path.Line && m.From.Z == bottom && m.To.Z == bottom && exact.Dist(m.To.X-at.X, m.To.Y-at.Y) > axis-2*step && exact.Dist(m.From.X-at.X, m.From.Y-at.Y) > axis-2*step {
				require.GreaterOrEqual(t, exact.Dist((m.From.X+m.To.X)/2-at.X, (m.From.Y+m.To.Y)/2-at.Y), axis-0.01-2*step)
				walls++
			}
		}
	}))
	require.Positive(t, walls)
}

// A hole counts from the blank's top: in a hollow, 5.013 mm deep by R − √(R² − 100²), one that
// ends above the face is refused; where it reaches out of the face it cuts wood at any depth.
func TestHoleAboveTheFace(t *testing.T) {
	c := given.HalfFlat
	c.Diameter, c.Shank, c.FluteLength, c.StickOut = 6, 6, 25, 50
	for _, tt := range []struct {
		x, depth float64
		refused  bool
	}{{0, 4.9, true}, {0, 5.2, false}, {60, 2.9, true}, {60, 3, false}, {98, 0.5, false}, {140, 0.5, false}} {
		w := given.Work(dish.Hollow, 1000, 100)
		w.Blank = dish.Blank{Shape: dish.Square, Length: 320, Width: 320, Thickness: 20}
		w.Shelf = []path.Cutter{c}
		w.Extras.Holes = []work.HoleWanted{{Name: "the hole", Key: "extras/holes/1", X: tt.x, Diameter: 8, Depth: tt.depth}}
		_, err := Make(&w)
		if !tt.refused {
			require.NoError(t, err, "%+v", tt)
			continue
		}
		require.ErrorContains(t, err, "above the face", "%+v", tt)
	}
}

// A helix narrower than the core would leave a post under it that no edge comes to.
func TestNoCoreStandsOnAHolesMiddle(t *testing.T) {
	c := given.HalfFlat
	c.Diameter, c.Core, c.Shank, c.FluteLength, c.StickOut = 6, 1.8, 6, 25, 50
	w := given.Work(dish.Hollow, 7620, 50)
	w.Blank = dish.Blank{Shape: dish.Square, Length: 160, Width: 160, Thickness: 20}
	for _, tt := range []struct {
		hole, core float64
		cut        bool
	}{{7, 1.8, false}, {7.7, 1.8, false}, {7.9, 1.8, true}, {7, 0.9, true}, {7, 0, true}, {20, 1.8, true}} {
		c.Core = tt.core
		w.Shelf = []path.Cutter{c}
		w.Extras.Holes = []work.HoleWanted{{Name: "the hole", Key: "extras/holes/1", Diameter: tt.hole, Cutter: c.Name}}
		_, err := Make(&w)
		if tt.cut {
			require.NoError(t, err, "%+v", tt)
		} else {
			require.ErrorContains(t, err, "core", "%+v", tt)
		}
	}
}

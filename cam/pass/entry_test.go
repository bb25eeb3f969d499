package pass

import (
	"math"
	"strings"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The first pass on a small bowl begins where the tip stands in the air, or is entered down
// a ramp: no cutter with a blunt middle is sent straight down into even two micrometres of
// wood, and nowhere on goes down more steeply than it may.
func TestRowsBeginAboveWood(t *testing.T) {
	lay := func(t require.TestingT, w work.Work, c path.Cutter) (ramp bool) {
		w.Pattern, w.Shelf = "raster", []path.Cutter{c}
		s, err := Finishing(work.Whole(&w), c, 0.4)
		if err != nil || strings.Contains(s.Pattern.String(), "uphill") { // whose halves begin at the middle
			return false
		}
		for i, m := range s.Moves {
			if m.Kind == path.Line && m.To.Z < -link.Enough {
				require.Positive(t, link.InPlan(m.From, m.To), "move %d of %d goes straight down to Z%.4f", i, len(s.Moves), m.To.Z)
				require.False(t, link.TooSteep(m.From, m.To, math.Tan(c.Ramp)), "move %d of %d: %+v", i, len(s.Moves), m)
			}
		}
		return s.Moves[3].From.Z > link.AirGap/3 && link.InPlan(s.Moves[3].From, s.Moves[3].To) > 0
	}
	w, c := given.Work(dish.Hollow, 293.68, 14.2279), given.HalfFlat
	c.Shape, c.Diameter, c.Corner, c.Core = path.Bull, 11.272, 1.7016, 3
	w.Scallop = 0.0615
	for _, w.Direction = range []work.Direction{work.AlongX, work.AlongY} {
		require.True(t, lay(t, w, c), "down a ramp")
	}
	rapid.Check(t, chance.Few(20, func(t *rapid.T) {
		R := rapid.Float64Range(200, 1000).Draw(t, "radius")
		w, c := given.Work(dish.Hollow, R, max(10, R*rapid.Float64Range(0.02, 0.0515).Draw(t, "rim"))), given.HalfFlat
		c.Diameter = rapid.Float64Range(3, 12.7).Draw(t, "diameter")
		c.Core = c.Diameter * rapid.Float64Range(0.1, 0.6).Draw(t, "core")
		if rapid.Bool().Draw(t, "bull") {
			c.Shape, c.Corner = path.Bull, c.Diameter*rapid.Float64Range(0.1, 0.3).Draw(t, "corner")
		}
		w.Scallop = rapid.Float64Range(0.05, 0.3).Draw(t, "scallop")
		w.Direction = rapid.SampledFrom([]work.Direction{work.AlongX, work.AlongY}).Draw(t, "direction")
		lay(t, w, c)
	}))
}

// The border of a tile cuts pieces off chords that may be shorter than heights are rounded:
// what is left of a pass goes down no more steeply than the cutter may, to the last digit.
func TestStretchesGoDownGently(t *testing.T) {
	w, c := given.Work(dish.Hollow, 770, 14.2), given.HalfFlat
	c.Diameter, c.Core, c.Ramp = 2.8, 1, 3*math.Pi/180
	w.Pattern, w.Scallop, w.Shelf = "raster", 0.03, []path.Cutter{c}
	s, err := Finishing(work.Whole(&w), c, 0.3)
	require.NoError(t, err)
	p, err := Plan(work.Whole(&w), c)
	require.NoError(t, err)
	short := 0
	rapid.Check(t, func(t *rapid.T) {
		piece := work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 15 * rapid.IntRange(0, 23).Draw(t, "middle"), Half: rapid.SampledFrom([]int{30, 45, 90}).Draw(t, "half")}})
		// A border a hair from the ends of chords that lie on it.
		over := math.Abs(s.Moves[rapid.IntRange(0, len(s.Moves)-1).Draw(t, "move")].From.X) + float64(rapid.IntRange(-20, 20).Draw(t, "off"))*1e-4
		b := link.NewBuilder(piece, s.Feeds)
		p.Lay(b, c, 0.3, over)
		for i, m := range b.Moves {
			along := link.InPlan(m.From, m.To)
			if m.Kind != path.Line || along == 0 {
				continue
			}
			require.False(t, link.TooSteep(m.From, m.To, math.Tan(c.Ramp)), "move %d: %+v", i, m)
			if along < 0.005 {
				short++
			}
		}
	})
	require.Positive(t, short)
}

// Where nothing leads down to where passes begin, that is the refusal, whether the whole face
// is cut or a tile of it.
func TestNoWayDownIsRefused(t *testing.T) {
	w, c := given.Work(dish.Hollow, 15, 6), given.HalfFlat
	c.Diameter, c.Core, c.Ramp = 3, 1, 0.5*math.Pi/180
	w.Pattern, w.Scallop, w.Shelf = "raster", 0.3, []path.Cutter{c}
	for _, piece := range []work.Piece{work.Whole(&w), work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 30, Half: 45}, Setups: work.Turns(4)})} {
		_, err := Finishing(piece, c, 0.3)
		require.True(t, work.KindRamp.In(err), "%v", err)
	}
}

// A cutter to whose beginning nothing leads down is refused with what would do: an edge that
// cuts to the middle.
func TestNoWayDownHint(t *testing.T) {
	w, c := given.Work(dish.Hollow, 291.7, 19.7), given.HalfFlat
	c.Diameter, c.Core, c.DepthOfCut, c.Ramp = 16.7, 8, 0.4, 0.0116
	w.Scallop, w.Pattern, w.Direction = 0.235, "raster", work.Uphill
	lay := func() error {
		w.Shelf = []path.Cutter{c}
		_, err := Finishing(work.Whole(&w), c, 0.4)
		return err
	}
	require.ErrorContains(t, lay(), "come straight down into stock")
	require.ErrorContains(t, lay(), "core: 0 mm")
	c.Core = 0
	require.NoError(t, lay())
}

// A cutter that may bite too little to rough with is told how much is enough, at once.
func TestTooLittleToRoughWith(t *testing.T) {
	w, finish := given.Work(dish.Hollow, 4572, 100), given.HalfFlat
	for _, deep := range []float64{0.05, 0.15, 0.21, 0.24} {
		c := given.HalfFlat
		c.DepthOfCut = deep
		_, _, err := Roughing(work.Whole(&w), c, finish)
		require.ErrorContains(t, err, "a depth of cut of at least 0.25 mm", deep)
		c.DepthOfCut = 0.25
		_, _, err = Roughing(work.Whole(&w), c, finish)
		require.NoError(t, err)
	}
}

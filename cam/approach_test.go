package cam

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"dishwright/cam/chance"
	"dishwright/cam/path"
	"dishwright/dish"
)

// A stretch that climbs from its start more steeply than the cutter may go down is entered
// aside of it: down to its start, nowhere too steeply, in few moves, and nowhere below the
// face.
func TestEntryWhereAStretchClimbs(t *testing.T) {
	w := Usual(dish.Crown, 53, 11)
	piece := Whole(&w).In(Tile{Sector: dish.Sector{Middle: 30, Half: 30}})
	c := path.Cutter{Name: "flat", Shape: path.Flat, Diameter: 8.69, Flutes: 3, Core: 6, Ramp: 0.0524, DepthOfCut: 1.1, FluteLength: 20, Shank: 6.35, StickOut: 50}
	tl, b := newTool(w.Face, c), newBuilder(piece, Feeds{Feed: 2000, Plunge: 500})
	s := stretch{}
	for d := 9.8; d > 3; d -= 0.5 {
		s.places = append(s.places, b.place(d, 0, tl.tip))
		s.feeds = append(s.feeds, 2000)
	}
	s.feeds = s.feeds[1:]
	l := linker{b: b, cutter: c, face: &tl, stands: overFace(0.55)}
	require.Greater(t, s.places[1].Z-s.places[0].Z, steep(c)*0.5, "it climbs steeply")
	l.enter(s)
	require.InDelta(t, s.places[0].Z, b.at.Z, enough)
	require.InDelta(t, 0, r3.Norm(r3.Sub(s.places[0], r3.Vec{X: b.at.X, Y: b.at.Y, Z: s.places[0].Z})), 1e-9)
	require.Less(t, len(b.moves), 100)
	into := false
	for _, m := range b.moves {
		require.GreaterOrEqual(t, m.To.Z, tl.tip(m.To.X, m.To.Y)-linkSag)
		if m.Kind == path.Line && m.From.X != m.To.X {
			into = true
		}
		if into {
			require.False(t, tooSteep(m.From, m.To, steep(c)), "%+v", m)
		}
	}
}

// A stretch that runs level for a while and then climbs steeply is entered in as many moves
// as the height takes, and no more: along it as far as it is level, else aside.
func TestEntryBeforeAStretchClimbs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Usual(dish.Crown, rapid.Float64Range(60, 150).Draw(t, "radius"), 41)
		piece := Whole(&w).In(Tile{Sector: dish.Sector{Middle: 45, Half: 60}})
		c := path.Cutter{Name: "flat", Shape: path.Flat, Diameter: 11, Flutes: 3, Core: 6, Ramp: 0.0524, DepthOfCut: 1.1, FluteLength: 20, Shank: 6.35, StickOut: 50}
		tl, b := newTool(w.Face, c), newBuilder(piece, Feeds{Feed: 2000, Plunge: 500})
		s, x := stretch{}, tl.foot+rapid.Float64Range(0, 5).Draw(t, "level")
		for d := x; d > 20; d -= 1.5 {
			s.places, s.feeds = append(s.places, b.place(d, -12, tl.tip)), append(s.feeds, 2000)
		}
		s.feeds = s.feeds[1:]
		l := linker{b: b, cutter: c, face: &tl, stands: overFace(rapid.Float64Range(0.1, 2).Draw(t, "stands"))}
		l.cut(s)
		require.Less(t, len(b.moves), 250)
		require.InDelta(t, s.places[len(s.places)-1].Z, b.at.Z, enough)
	})
}

// What is left standing where a stretch begins is cut on no more steeply than into stock.
func TestWhatIsLeftAtAStart(t *testing.T) {
	w := Usual(dish.Crown, 102.7, 11)
	c := path.Cutter{Name: "bull", Shape: path.Bull, Diameter: 3.5, Corner: 1.02, Flutes: 2, Core: 0.5, Ramp: 3 * math.Pi / 180, DepthOfCut: 0.95, Shank: 6.35}
	tl := newTool(w.Face, c)
	for k := range 40 {
		b := newBuilder(Whole(&w), Feeds{Feed: 2000, Plunge: 500})
		l := linker{b: b, cutter: c, face: &tl, stands: overFace(0.1 + 0.02*float64(k))}
		s := stretch{}
		s.places = []r3.Vec{b.place(7.4, 0, tl.tip)}
		for d := 7.356; d > 1; d -= 0.556 {
			s.places, s.feeds = append(s.places, b.place(d, 0, tl.tip)), append(s.feeds, 2000)
		}
		l.cut(s)
		for _, m := range b.moves {
			if m.Kind == path.Line && m.From.X != m.To.X {
				require.False(t, tooSteep(m.From, m.To, math.Tan(c.Ramp)), "%d: %+v", k, m)
			}
		}
	}
}

// The first pass on a small bowl begins where the tip stands in the air, or is entered down
// a ramp: no cutter with a blunt middle is sent straight down into even two micrometres of
// wood, and nowhere on goes down more steeply than it may.
func TestRowsBeginAboveWood(t *testing.T) {
	lay := func(t require.TestingT, w Work, c path.Cutter) (ramp bool) {
		w.Pattern, w.Shelf = "raster", []path.Cutter{c}
		s, err := FinishingOf(Whole(&w), c, 0.4)
		if err != nil || strings.Contains(s.Pattern.Figures, "uphill") { // whose halves begin at the middle
			return false
		}
		for i, m := range s.Moves {
			if m.Kind == path.Line && m.To.Z < -enough {
				require.Positive(t, inPlan(m.From, m.To), "move %d of %d goes straight down to Z%.4f", i, len(s.Moves), m.To.Z)
				require.False(t, tooSteep(m.From, m.To, math.Tan(c.Ramp)), "move %d of %d: %+v", i, len(s.Moves), m)
			}
		}
		return s.Moves[3].From.Z > airGap/3 && inPlan(s.Moves[3].From, s.Moves[3].To) > 0
	}
	w, c := Usual(dish.Hollow, 293.68, 14.2279), HalfFlat
	c.Shape, c.Diameter, c.Corner, c.Core = path.Bull, 11.272, 1.7016, 3
	w.Scallop = 0.0618
	for _, w.Direction = range []Direction{AlongX, AlongY} {
		require.True(t, lay(t, w, c), "down a ramp")
	}
	rapid.Check(t, chance.Few(20, func(t *rapid.T) {
		R := rapid.Float64Range(200, 1000).Draw(t, "radius")
		w, c := Usual(dish.Hollow, R, max(10, R*rapid.Float64Range(0.02, 0.0515).Draw(t, "rim"))), HalfFlat
		c.Diameter = rapid.Float64Range(3, 12.7).Draw(t, "diameter")
		c.Core = c.Diameter * rapid.Float64Range(0.1, 0.6).Draw(t, "core")
		if rapid.Bool().Draw(t, "bull") {
			c.Shape, c.Corner = path.Bull, c.Diameter*rapid.Float64Range(0.1, 0.3).Draw(t, "corner")
		}
		w.Scallop = rapid.Float64Range(0.05, 0.3).Draw(t, "scallop")
		w.Direction = rapid.SampledFrom([]Direction{AlongX, AlongY}).Draw(t, "direction")
		lay(t, w, c)
	}))
}

// The border of a tile cuts pieces off chords that may be shorter than heights are rounded:
// what is left of a pass goes down no more steeply than the cutter may, to the last digit.
func TestStretchesGoDownGently(t *testing.T) {
	w, c := Usual(dish.Hollow, 770, 14.2), HalfFlat
	c.Diameter, c.Core, c.Ramp = 2.8, 1, 3*math.Pi/180
	w.Pattern, w.Scallop, w.Shelf = "raster", 0.03, []path.Cutter{c}
	s, err := FinishingOf(Whole(&w), c, 0.3)
	require.NoError(t, err)
	short := 0
	rapid.Check(t, func(t *rapid.T) {
		piece := Whole(&w).In(Tile{Sector: dish.Sector{Middle: 15 * rapid.IntRange(0, 23).Draw(t, "middle"), Half: rapid.SampledFrom([]int{30, 45, 90}).Draw(t, "half")}})
		// A border a hair from the ends of chords that lie on it.
		over := math.Abs(s.Moves[rapid.IntRange(0, len(s.Moves)-1).Draw(t, "move")].From.X) + float64(rapid.IntRange(-20, 20).Draw(t, "off"))*1e-4
		for i, m := range tiled(piece, c, s.Feeds, over, 0.3, s.Moves) {
			along := inPlan(m.From, m.To)
			if m.Kind != path.Line || along == 0 {
				continue
			}
			require.False(t, tooSteep(m.From, m.To, math.Tan(c.Ramp)), "move %d: %+v", i, m)
			if along < 0.005 {
				short++
			}
		}
	})
	require.Positive(t, short)
}

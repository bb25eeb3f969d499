package link

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// A stretch that climbs from its start more steeply than the cutter may go down is entered
// aside of it: down to its start, nowhere too steeply, in few moves, and nowhere below the
// face.
func TestEntryWhereAStretchClimbs(t *testing.T) {
	w := given.Work(dish.Crown, 53, 11)
	piece := work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 30, Half: 30}})
	c := path.Cutter{Name: "flat", Shape: path.Flat, Diameter: 8.69, Flutes: 3, Core: 6, Ramp: 0.0524, DepthOfCut: 1.1, FluteLength: 20, Shank: 6.35, StickOut: 50}
	tl, b := work.NewTool(w.Face, c), NewBuilder(piece, work.Feeds{Feed: 2000, Plunge: 500})
	s := Stretch{}
	for d := 9.8; d > 3; d -= 0.5 {
		s.Places = append(s.Places, b.Place(d, 0, tl.Tip))
		s.Feeds = append(s.Feeds, 2000)
	}
	s.Feeds = s.Feeds[1:]
	l := Linker{Builder: b, Cutter: c, Face: &tl, Stands: OverFace(0.55)}
	require.Greater(t, s.Places[1].Z-s.Places[0].Z, work.Steep(c)*0.5, "it climbs steeply")
	l.comeIn(l.fromAir(s))
	require.InDelta(t, s.Places[0].Z, b.At.Z, Enough)
	require.InDelta(t, 0, r3.Norm(r3.Sub(s.Places[0], r3.Vec{X: b.At.X, Y: b.At.Y, Z: s.Places[0].Z})), 1e-9)
	require.Less(t, len(b.Moves), 100)
	into := false
	for _, m := range b.Moves {
		require.GreaterOrEqual(t, m.To.Z, tl.Tip(m.To.X, m.To.Y)-linkSag)
		if m.Kind == path.Line && m.From.X != m.To.X {
			into = true
		}
		if into {
			require.False(t, TooSteep(m.From, m.To, work.Steep(c)), "%+v", m)
		}
	}
}

// A stretch that runs level for a while and then climbs steeply is entered in as many moves
// as the height takes, and no more: along it as far as it is level, else aside.
func TestEntryBeforeAStretchClimbs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := given.Work(dish.Crown, rapid.Float64Range(60, 150).Draw(t, "radius"), 41)
		piece := work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 45, Half: 60}})
		c := path.Cutter{Name: "flat", Shape: path.Flat, Diameter: 11, Flutes: 3, Core: 6, Ramp: 0.0524, DepthOfCut: 1.1, FluteLength: 20, Shank: 6.35, StickOut: 50}
		tl, b := work.NewTool(w.Face, c), NewBuilder(piece, work.Feeds{Feed: 2000, Plunge: 500})
		s, x := Stretch{}, tl.Foot+rapid.Float64Range(0, 5).Draw(t, "level")
		for d := x; d > 20; d -= 1.5 {
			s.Places, s.Feeds = append(s.Places, b.Place(d, -12, tl.Tip)), append(s.Feeds, 2000)
		}
		s.Feeds = s.Feeds[1:]
		l := Linker{Builder: b, Cutter: c, Face: &tl, Stands: OverFace(rapid.Float64Range(0.1, 2).Draw(t, "stands"))}
		l.Cut(s)
		require.Less(t, len(b.Moves), 250)
		require.InDelta(t, s.Places[len(s.Places)-1].Z, b.At.Z, Enough)
	})
}

// What is left standing where a stretch begins is cut on no more steeply than into stock.
func TestWhatIsLeftAtAStart(t *testing.T) {
	w := given.Work(dish.Crown, 102.7, 11)
	c := path.Cutter{Name: "bull", Shape: path.Bull, Diameter: 3.5, Corner: 1.02, Flutes: 2, Core: 0.5, Ramp: 3 * math.Pi / 180, DepthOfCut: 0.95, Shank: 6.35}
	tl := work.NewTool(w.Face, c)
	for k := range 40 {
		b := NewBuilder(work.Whole(&w), work.Feeds{Feed: 2000, Plunge: 500})
		l := Linker{Builder: b, Cutter: c, Face: &tl, Stands: OverFace(0.1 + 0.02*float64(k))}
		s := Stretch{}
		s.Places = []r3.Vec{b.Place(7.4, 0, tl.Tip)}
		for d := 7.356; d > 1; d -= 0.556 {
			s.Places, s.Feeds = append(s.Places, b.Place(d, 0, tl.Tip)), append(s.Feeds, 2000)
		}
		l.Cut(s)
		for _, m := range b.Moves {
			if m.Kind == path.Line && m.From.X != m.To.X {
				require.False(t, TooSteep(m.From, m.To, math.Tan(c.Ramp)), "%d: %+v", k, m)
			}
		}
	}
}

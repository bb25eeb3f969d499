package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cam/path"
	"dishwright/dish"
)

// A stretch that climbs from its start more steeply than the cutter may go down is entered
// aside of it: down to its start, nowhere too steeply, in few moves, and nowhere below the
// face.
func TestEntryWhereAStretchClimbs(t *testing.T) {
	w := Usual(dish.Crown, 53, 11)
	w.Tile = &Tile{Sector: dish.Sector{Middle: 30, Half: 30}}
	c := path.Cutter{Name: "flat", Shape: path.Flat, Diameter: 8.69, Flutes: 3, Core: 6, Ramp: 0.0524, DepthOfCut: 1.1, FluteLength: 20, Shank: 6.35, StickOut: 50}
	tl, b := newTool(w.Face, c), newBuilder(w, Feeds{Feed: 2000, Plunge: 500})
	s := stretch{}
	for d := 9.8; d > 3; d -= 0.5 {
		s.places = append(s.places, b.place(d, 0, tl.tip))
		s.feeds = append(s.feeds, 2000)
	}
	s.feeds = s.feeds[1:]
	e := entry{b: b, cutter: c, tool: tl, down: steep(c), stands: 0.55}
	require.Greater(t, s.places[1].Z-s.places[0].Z, e.down*0.5, "it climbs steeply")
	e.enter(s)
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
			require.False(t, tooSteep(m.From, m.To, e.down), "%+v", m)
		}
	}
}

// What is left standing where a stretch begins is cut on no more steeply than into stock.
func TestWhatIsLeftAtAStart(t *testing.T) {
	w := Usual(dish.Crown, 102.7, 11)
	c := path.Cutter{Name: "bull", Shape: path.Bull, Diameter: 3.5, Corner: 1.02, Flutes: 2, Core: 0.5, Ramp: 3 * math.Pi / 180, DepthOfCut: 0.95, Shank: 6.35}
	tl := newTool(w.Face, c)
	for k := range 40 {
		b := newBuilder(w, Feeds{Feed: 2000, Plunge: 500})
		e := entry{b: b, cutter: c, tool: tl, down: steep(c), stands: 0.1 + 0.02*float64(k)}
		s := stretch{}
		s.places = []r3.Vec{b.place(7.4, 0, tl.tip)}
		for d := 7.356; d > 1; d -= 0.556 {
			s.places, s.feeds = append(s.places, b.place(d, 0, tl.tip)), append(s.feeds, 2000)
		}
		e.cut(s)
		for _, m := range b.moves {
			if m.Kind == path.Line && m.From.X != m.To.X {
				require.False(t, tooSteep(m.From, m.To, math.Tan(c.Ramp)), "%d: %+v", k, m)
			}
		}
	}
}

package cam

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"dishwright/cam/path"
	"dishwright/dish"
)

// anyStretch draws a stretch that goes down no more steeply than a tangent and begins so too,
// or stays level, as bites do.
func anyStretch(t *rapid.T, b *builder, down float64, flat bool) stretch {
	at := r3.Vec{X: rapid.Float64Range(-50, 50).Draw(t, "x"), Y: rapid.Float64Range(-50, 50).Draw(t, "y"), Z: rapid.Float64Range(-6, -1).Draw(t, "z")}
	var places []r3.Vec
	for range rapid.IntRange(2, 12).Draw(t, "places") {
		places = append(places, b.place(at.X, at.Y, level(at.Z)))
		long, turn := rapid.Float64Range(0.5, 40).Draw(t, "long"), rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		at.X, at.Y = at.X+long*math.Cos(turn), at.Y+long*math.Sin(turn)
		if flat || rapid.Bool().Draw(t, "level") {
			continue
		}
		most := 2.0
		if len(places) == 1 {
			most = 0.9
		}
		at.Z += rapid.Float64Range(-0.9, most).Draw(t, "slope") * long * down
	}
	s := b.along(places)
	if rapid.Bool().Draw(t, "closed") {
		for i := range places {
			places[i].Z = places[0].Z
		}
		s = closed(b.along(append(places, places[0])))
	}
	return s
}

// However stretches lie, the way to each begins above what stands or where the one before
// ended, goes down into stock no more steeply than the cutter may, and never below the
// stretch; a round, or a way out and back, takes no more than its bite. Each is cut to its end.
func TestLinksOfAnyStretches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Usual(dish.Hollow, 4572, 100)
		c := path.Cutter{Name: "flat", Shape: path.Flat, Diameter: 8, Flutes: 2, Core: 3, Ramp: rapid.Float64Range(0.5, 10).Draw(t, "ramp") * math.Pi / 180, DepthOfCut: 2, Shank: 6}
		b := newBuilder(Whole(&w), Feeds{Feed: 2000, Plunge: 700})
		l := linker{b: b, cutter: c}
		if rapid.Bool().Draw(t, "links") {
			l.near = 60
		}
		if rapid.Bool().Draw(t, "bites") {
			l.bite = rapid.Float64Range(0.3, 3).Draw(t, "bite")
		}
		cut := map[[2]r3.Vec]bool{}
		for range rapid.IntRange(1, 4).Draw(t, "stretches") {
			s := anyStretch(t, b, steep(c), l.bite > 0)
			stands := rapid.Float64Range(-3, 0).Draw(t, "stands")
			l.stands = flatTop(stands)
			first := len(b.moves)
			l.cut(s)
			require.Equal(t, s.places[len(s.places)-1], b.at)
			low := math.Inf(1)
			for _, p := range s.places {
				low = min(low, p.Z)
			}
			visits := map[[2]float64]float64{}
			for _, m := range b.moves[first : len(b.moves)-len(s.feeds)] {
				require.GreaterOrEqual(t, m.To.Z, min(low, m.From.Z)-1e-9)
				along := inPlan(m.From, m.To)
				switch {
				case m.Kind == path.Traverse:
					require.GreaterOrEqual(t, m.To.Z, min(w.Clearance(), stands+airGap)-1e-9)
					continue
				case along == 0 && m.To.Z < m.From.Z:
					require.True(t, m.To.Z >= stands-enough, "straight down into stock: %+v", m)
				case along > 0 && !cut[[2]r3.Vec{m.To, m.From}]: // else back over what is cut
					require.False(t, tooSteep(m.From, m.To, math.Tan(c.Ramp)), "%+v", m)
				}
				at := [2]float64{m.To.X, m.To.Y}
				if z, seen := visits[at]; seen && l.bite > 0 && m.From.Z <= stands {
					require.LessOrEqual(t, z-m.To.Z, l.bite+0.01)
				}
				visits[at] = m.To.Z
			}
			for _, m := range b.moves[len(b.moves)-len(s.feeds):] {
				cut[[2]r3.Vec{m.From, m.To}] = true
			}
		}
	})
}

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

// anyStretch draws a stretch that goes down no more steeply than a tangent and begins so too,
// or stays level, as bites do.
func anyStretch(t *rapid.T, b *Builder, down float64, flat bool) Stretch {
	at := r3.Vec{X: rapid.Float64Range(-50, 50).Draw(t, "x"), Y: rapid.Float64Range(-50, 50).Draw(t, "y"), Z: rapid.Float64Range(-6, -1).Draw(t, "z")}
	var places []r3.Vec
	for range rapid.IntRange(2, 12).Draw(t, "places") {
		places = append(places, b.Place(at.X, at.Y, Level(at.Z)))
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
	s := b.Along(places)
	if rapid.Bool().Draw(t, "closed") {
		for i := range places {
			places[i].Z = places[0].Z
		}
		s = Closed(b.Along(append(places, places[0])))
	}
	return s
}

// However stretches lie, the way to each begins above what stands or where the one before
// ended, goes down into stock no more steeply than the cutter may, and never below the
// stretch; a round, or a way out and back, takes no more than its bite. Each is cut to its end.
func TestLinksOfAnyStretches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := given.Work(dish.Hollow, 4572, 100)
		c := path.Cutter{Name: "flat", Shape: path.Flat, Diameter: 8, Flutes: 2, Core: 3, Ramp: rapid.Float64Range(0.5, 10).Draw(t, "ramp") * math.Pi / 180, DepthOfCut: 2, Shank: 6}
		b := NewBuilder(work.Whole(&w), work.Feeds{Feed: 2000, Plunge: 700})
		l := Linker{Builder: b, Cutter: c}
		if rapid.Bool().Draw(t, "links") {
			l.Near = 60
		}
		if rapid.Bool().Draw(t, "bites") {
			l.Bite = rapid.Float64Range(0.3, 3).Draw(t, "bite")
		}
		cut := map[[2]r3.Vec]bool{}
		for range rapid.IntRange(1, 4).Draw(t, "stretches") {
			s := anyStretch(t, b, work.Steep(c), l.Bite > 0)
			stands := rapid.Float64Range(-3, 0).Draw(t, "stands")
			l.Stands = FlatTop(stands)
			first := len(b.Moves)
			l.Cut(s)
			if b.stuck != nil { // nowhere as far as the core is wide
				a, _ := l.along(s)
				require.Less(t, a.reach(), c.Core)
				return
			}
			require.Equal(t, s.Places[len(s.Places)-1], b.At)
			low := math.Inf(1)
			for _, p := range s.Places {
				low = min(low, p.Z)
			}
			visits := map[[2]float64]float64{}
			for _, m := range b.Moves[first : len(b.Moves)-len(s.Feeds)] {
				require.GreaterOrEqual(t, m.To.Z, min(low, m.From.Z)-1e-9)
				along := InPlan(m.From, m.To)
				switch {
				case m.Kind == path.Traverse:
					require.GreaterOrEqual(t, m.To.Z, min(w.Clearance(), stands+AirGap)-1e-9)
					continue
				case along == 0 && m.To.Z < m.From.Z:
					require.True(t, m.To.Z >= stands-Enough, "straight down into stock: %+v", m)
				case along > 0 && !cut[[2]r3.Vec{m.To, m.From}]: // else back over what is cut
					require.False(t, TooSteep(m.From, m.To, math.Tan(c.Ramp)), "%+v", m)
				}
				at := [2]float64{m.To.X, m.To.Y}
				if z, seen := visits[at]; seen && l.Bite > 0 && m.From.Z <= stands {
					require.LessOrEqual(t, z-m.To.Z, l.Bite+0.01)
				}
				visits[at] = m.To.Z
			}
			for _, m := range b.Moves[len(b.Moves)-len(s.Feeds):] {
				cut[[2]r3.Vec{m.From, m.To}] = true
			}
		}
	})
}

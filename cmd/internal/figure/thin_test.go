package figure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// Of passes that run beside one another evenly those that are drawn do so too: at even
// steps, none nearer than asked, none left out that had room, each from end to end.
func TestThinnedStayParallel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		step, apart := rapid.Float64Range(0.1, 12).Draw(t, "step"), rapid.Float64Range(1, 8).Draw(t, "apart")
		n := rapid.IntRange(1, 100).Draw(t, "passes")
		turn := rapid.Float64Range(0, math.Pi).Draw(t, "turn")
		var passes [][]Point
		for i := range n {
			a, b := Point{X: -60, Y: step * float64(i)}, Point{X: 60, Y: step * float64(i)}
			if i%2 == 1 {
				a, b = b, a // back and forth
			}
			passes = append(passes, []Point{r2.Rotate(a, turn, Point{}), r2.Rotate(b, turn, Point{})})
		}
		drawn := thinned(passes, apart)
		every := int(math.Ceil(0.95*apart/step - 1e-9)) // the least that are as far apart
		last := -1
		for i, d := range drawn {
			if !d {
				continue
			}
			if last >= 0 {
				require.InDelta(t, max(1, every), i-last, 1, "even steps")
				require.GreaterOrEqual(t, step*float64(i-last), 0.95*apart-1e-6)
			} else {
				require.LessOrEqual(t, i, every)
			}
			last = i
		}
		require.GreaterOrEqual(t, last, n-1-every)
	})
}

// What is drawn of any passes is some of them, whole; whatever else is drawn would lie by
// half of its way nearer to those than asked.
func TestThinnedIsFull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.Float64Range(0, 50)
		apart := rapid.Float64Range(3, 20).Draw(t, "apart")
		var passes [][]Point
		for range rapid.IntRange(0, 15).Draw(t, "passes") {
			var l []Point
			for range rapid.IntRange(2, 6).Draw(t, "points") {
				l = append(l, Point{X: place.Draw(t, "x"), Y: place.Draw(t, "y")})
			}
			passes = append(passes, l)
		}
		drawn := thinned(passes, apart)
		var all []Point
		for i, d := range drawn {
			if d {
				all = append(all, sampled(passes[i], apart/3)...)
			}
		}
		for i, d := range drawn {
			if d {
				continue
			}
			near := 0
			places := sampled(passes[i], apart/3)
			for _, p := range places {
				least := math.Inf(1)
				for _, q := range all {
					least = math.Min(least, r2.Norm(r2.Sub(p, q)))
				}
				if least < 0.95*apart {
					near++
				}
			}
			require.Greater(t, 2*near, len(places), "pass %d had room", i)
		}
		require.True(t, len(passes) == 0 || len(all) > 0)
	})
}

// The turns of a spiral are told apart; together they are all of it.
func TestTurns(t *testing.T) {
	spiral := rings(100, 5)[0].Points
	list := turns(spiral)
	require.InDelta(t, 20, len(list), 1)
	at := 0
	for i, l := range list {
		require.Equal(t, spiral[at:at+len(l)], l)
		if at += len(l) - 1; i < len(list)-1 {
			first, last := l[0], l[len(l)-1]
			require.Less(t, math.Abs(r2.Norm(first)-r2.Norm(last)), 7.5, "a full turn ends one step further out")
		}
	}
	require.Equal(t, len(spiral)-1, at)
	require.Equal(t, [][]Point{{{}, {X: 1}}}, turns([]Point{{}, {X: 1}}))
}

// What a plan draws are passes as they were given, from end to end.
func TestPassesKeepTheirEnds(t *testing.T) {
	for name, list := range map[string][]Pass{"raster": raster(230, 2), "spokes": spokes(230, 90)} {
		fr := fit(Point{X: -250, Y: -250}, Point{X: 250, Y: 250}, 100, 100, 0, 0)
		given := map[[2]Point]bool{}
		for _, p := range list {
			given[[2]Point{fr.p(p.Points[0]), fr.p(p.Points[len(p.Points)-1])}] = true
		}
		cuts, _, drawn, total := PlanView{Passes: list}.passes(fr, Size{Apart: 4})
		require.Greater(t, total, drawn, name)
		require.Greater(t, drawn, 5, name)
		for _, c := range cuts {
			require.True(t, given[[2]Point{c[0], c[len(c)-1]}], "%s: %v", name, c)
		}
	}
}

package cam

import (
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// planned returns the gores of a face that are settled.
func planned(t require.TestingT, kind dish.Kind, c path.Cutter) *gores {
	rim := 120.0
	if chance.Long() {
		rim = 300
	}
	w := Usual(kind, 7620, rim)
	w.Pattern, w.Scallop = "gores", 0.05
	made, err := planGores(Whole(&w), c, newBudget(&w, c, 1))
	require.NoError(t, err)
	return made.(*gores)
}

// A square that is passed over because it lies between two passes is one that they
// serve, all over and from between their ends; where the passes leave too much it is
// not passed over, wherever it lies.
func TestSquaresBetweenPassesAreServed(t *testing.T) {
	for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
		for _, c := range []path.Cutter{InchFlat, BigBull} {
			g := planned(t, kind, c)
			strict := *g
			strict.budget.ridge = g.budget.ridge / 50
			passed := 0
			rapid.Check(t, func(t *rapid.T) {
				gore := g.kinds()[0]
				axis := g.axes[gore]
				u, v := rapid.Float64Range(-g.tool.radius(), g.tool.face.Rim).Draw(t, "u"), rapid.Float64Range(-1, 1).Draw(t, "v")*g.across[len(g.across)-1]
				at := r2.Vec{X: u*axis.X - v*axis.Y, Y: u*axis.Y + v*axis.X}
				q := square{at, axis, g.step / lookStep / 2 / float64(int(1)<<rapid.IntRange(0, 4).Draw(t, "deep")), g.near(at)}
				if !g.between(q, q.corners()) {
					return
				}
				passed++
				for range 6 {
					x, y := rapid.Float64Range(-1, 1).Draw(t, "x"), rapid.Float64Range(-1, 1).Draw(t, "y")
					p := q.corner(x, y)
					a, b := r2.Vec{}, false
					for _, m := range q.units {
						for _, one := range g.units[m].passes {
							if b = b || g.low(g.spot(one.gore, one.end, one.v), g.spot(one.gore, one.in, one.v), p); b {
								a = p
							}
						}
					}
					require.True(t, b, "%v is left high", a)
				}
			})
			require.Positive(t, passed)
			axis, asked := g.axes[g.kinds()[0]], 0
			for i := range g.across[1:] { // squares in which a scallop lies
				u, v := 0.7*g.tool.face.Rim, (g.across[i]+g.across[i+1])/2
				at := r2.Vec{X: u*axis.X - v*axis.Y, Y: u*axis.Y + v*axis.X}
				q := square{at, axis, g.step / lookStep / 2, g.near(at)}
				if g.between(q, q.corners()) {
					asked++
					require.False(t, strict.between(q, q.corners()), "the scallop is too high there")
				}
			}
			require.Positive(t, asked)
		}
	}
}

// What counts as beside a pass: on its side of the apex, within what the cutter covers
// for certain, and left from between the pass's ends.
func TestBesideAPass(t *testing.T) {
	for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
		for _, c := range []path.Cutter{InchFlat, BigBull} {
			g := planned(t, kind, c)
			p := g.units[0].passes[0]
			for _, unit := range g.units { // a long one, aside of its gore's middle
				for _, one := range unit.passes {
					if !one.apex && math.Abs(one.v) > g.step && (math.Abs(p.v) <= g.step || one.end-one.in > p.end-p.in) {
						p = one
					}
				}
			}
			wide := g.tool.radius() - g.step/coverShare
			at := func(u, v float64) r2.Vec { return g.spot(p.gore, u, v) }
			// one of four places, the others well beside
			holds := func(u, v float64) bool {
				m := at((p.in+p.end)/2, p.v)
				return g.beside(p, [4]r2.Vec{m, at(u, v), m, m})
			}
			middle := (p.in + p.end) / 2
			require.True(t, holds(middle, p.v))
			require.True(t, holds(middle, p.v+wide-1e-6))
			require.True(t, holds(middle, p.v-wide+1e-6))
			require.False(t, holds(middle, p.v+wide+1e-6))
			require.False(t, holds(middle, p.v-wide-1e-6))
			require.False(t, holds(-middle, p.v))
			for _, u := range []float64{p.in + 2*g.tool.radius(), p.end - 2*g.tool.radius()} {
				require.True(t, holds(u, p.v), "%g", u)
			}
			require.False(t, holds(p.end+1.1*g.tool.radius(), p.v))
			if p.in > 1.1*g.tool.radius() {
				require.False(t, holds(p.in-1.1*g.tool.radius(), p.v))
			}
			late := p
			late.in = -1 // even a pass that begins beyond the apex serves nothing there
			require.False(t, g.beside(late, [4]r2.Vec{at(-0.01, p.v), at(1, p.v), at(1, p.v), at(1, p.v)}))
			require.True(t, g.beside(late, [4]r2.Vec{at(0.01, p.v), at(1, p.v), at(1, p.v), at(1, p.v)}) || g.lowest(p.v, 0.01, p.v) > p.end)
		}
	}
}

// The turns between two passes of a unit, and at the rim between two units, have chords that
// leave their arcs by 0.02 mm at most, as much as a usual machine rounds corners by, and of
// more than one piece. A chord l long, between two that turn by β each, stands l/2 tan(β/4) off
// its circle (own derivation: it takes up the angle β there, a sagitta of l/2 tan(β/4)).
func TestChordsOfTurns(t *testing.T) {
	for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
		g := planned(t, kind, InchFlat)
		off, turns := 0.0, 0
		look := func(way []r2.Vec) {
			for i := 2; i < len(way); i++ {
				a, b := r2.Sub(way[i-1], way[i-2]), r2.Sub(way[i], way[i-1])
				beta := math.Abs(math.Atan2(r2.Cross(a, b), r2.Dot(a, b)))
				off = max(off, min(r2.Norm(a), r2.Norm(b))/2*math.Tan(beta/4))
				turns++
			}
		}
		for m, u := range g.units {
			look(u.turn)
			if kind == dish.Hollow && m+1 < len(g.units) && len(u.passes) > 1 {
				look(g.link(u, g.units[m+1]))
			}
		}
		require.LessOrEqual(t, off, 0.02*(1+1e-6))
		require.Greater(t, off, 0.02/4, "and they are not many more than that takes")
		require.Greater(t, turns, 50)
	}
}

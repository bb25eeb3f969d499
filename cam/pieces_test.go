package cam

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// A point is never put below the height that is asked for, nor a whole step
// above it; coordinates lie on the lattice, at most half a step off, and a zero
// has no sign. A millionth of a step is what counts as on the lattice.
func TestGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit, decimals := rapid.SampledFrom([]float64{1, 25.4}).Draw(t, "unit"), rapid.IntRange(3, 6).Draw(t, "decimals")
		g := grid{step: unit / math.Pow(10, float64(decimals)), zero: -rapid.SampledFrom([]float64{0, 18, 25.4, 31.7}).Draw(t, "thickness")}
		v := rapid.Float64Range(-700, 700).Draw(t, "v") * math.Pow(10, -float64(rapid.IntRange(0, 8).Draw(t, "small")))
		// Rounding of a float64 at 1 m, and the millionth.
		keep := 1e-12 + 1e-6*g.step
		up := g.raise(v)
		require.GreaterOrEqual(t, up, v-keep)
		require.Less(t, up, v+g.step+keep)
		near := g.near(v)
		require.LessOrEqual(t, math.Abs(near-v), g.step/2+keep)
		for _, n := range [...]float64{near / g.step, (up - g.zero) / g.step} {
			require.InDelta(t, math.Round(n), n, 1e-4)
		}
		for _, x := range [...]float64{near, up, g.near(-g.step / 3), g.raise(-g.step / 3)} {
			require.False(t, x == 0 && math.Signbit(x), "%g became -0", v)
		}
		require.InDelta(t, up, g.raise(up), keep, "a height on the lattice stays")
	})
}

// Unit vectors all round, the narrowest step more than five sixths of the widest, back to
// the start; the chords of a circle stay as close as was asked for.
func TestTurn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.1, 2000).Draw(t, "r")
		tol := r * math.Exp(rapid.Float64Range(-15, 1).Draw(t, "log tol"))
		n := newTurn(r, tol)
		x0, y0 := n.dir(0)
		require.Equal(t, []float64{1, 0}, []float64{x0, y0})
		least, most, sum := math.Inf(1), 0.0, 0.0
		for k := range n.steps() {
			x, y := n.dir(k)
			x1, y1 := n.dir(k + 1)
			require.InDelta(t, 1, math.Hypot(x, y), 1e-15)
			angle := math.Atan2(x*y1-y*x1, x*x1+y*y1)
			least, most, sum = math.Min(least, angle), math.Max(most, angle), sum+angle
			if k%17 == 0 {
				require.LessOrEqual(t, r*(1-math.Hypot(x+x1, y+y1)/2), tol*(1+1e-9)+1e-15*r)
			}
		}
		require.InDelta(t, 2*math.Pi, sum, 1e-9)
		require.Positive(t, least)
		require.Greater(t, least, most*5/6)
	})
}

// Between the places that chords returns, the curve stays within the tolerance;
// they run from a to b, one way.
func TestChords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Sphere(rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown}).Draw(t, "kind"), 700*math.Exp(rapid.Float64Range(0, 5).Draw(t, "log R")), 300)
		tl := tool{face: f, Body: dish.Body{Flat: rapid.SampledFrom([]float64{0, 9}).Draw(t, "flat"), Corner: rapid.SampledFrom([]float64{0, 6}).Draw(t, "corner")}, low: math.Inf(-1), foot: math.Inf(1)}
		v := rapid.Float64Range(0, 280).Draw(t, "v")
		// One side of the middle: a level end makes a kink there, and where it covers a crown's apex.
		a, b := rapid.Float64Range(0, 280).Draw(t, "a"), rapid.Float64Range(0, 280).Draw(t, "b")
		if f.Falls() {
			a, b = a+tl.Flat, b+tl.Flat
		}
		tol := math.Exp(rapid.Float64Range(math.Log(1e-4), math.Log(0.02)).Draw(t, "log tol"))
		curve := func(u float64) float64 { return tl.tip(u, v) }
		if math.Abs(b-a) < 1e-3 {
			return // no pass is as short as a step of its coordinates
		}
		us := chords(curve, a, b, tol)
		require.Equal(t, a, us[0])
		require.Equal(t, b, us[len(us)-1])
		for i := 1; i < len(us); i++ {
			require.Positive(t, (us[i]-us[i-1])*(b-a))
			for k := 1; k < 16; k++ {
				s := float64(k) / 16
				chord := curve(us[i-1]) + s*(curve(us[i])-curve(us[i-1]))
				// Three looks a piece miss at most a few per cent of a smooth curve's highest.
				require.LessOrEqual(t, math.Abs(chord-curve(us[i-1]+s*(us[i]-us[i-1]))), 1.05*tol)
			}
		}
		// A chord over a curve of radius R leaves it by L²/8R: about as few as that.
		fewest := math.Abs(b-a) / math.Sqrt(8*(f.Radius+6)*tol)
		require.LessOrEqual(t, float64(len(us)-1), 3+1.7*fewest*math.Pow(1-math.Pow(330/f.Radius, 2), -0.75))
	})
}

func TestChordsOfNothing(t *testing.T) {
	line := func(u float64) float64 { return 3 * u }
	require.Equal(t, []float64{5}, chords(line, 5, 5, 0.001), "no length")
	require.Equal(t, []float64{-5, 5}, chords(line, -5, 5, 0.001), "a straight line takes one piece")
	nan := func(float64) float64 { return math.NaN() }
	require.Equal(t, []float64{0, 10}, chords(nan, 0, 10, 0.001), "a curve that is no number ends")
	half := func(u float64) float64 { return math.Sqrt(25 - u*u) } // NaN beyond 5
	us := chords(half, 0, 10, 0.001)
	require.Equal(t, 10.0, us[len(us)-1])
}

// No axis is ever asked to go faster than its feed, whichever way a line runs,
// and what a program can write is not exceeded by rounding.
func TestBuilderKeepsTheFeedOfEachAxis(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := Usual(dish.Hollow, 4572, 200)
		w.Machine = Router(rapid.SampledFrom([]string{"bench-600", "inch-24", "desktop-300"}).Draw(t, "machine"))
		b := newBuilder(Whole(&w), Feeds{})
		want := rapid.Float64Range(50, 20_000).Draw(t, "feed")
		for range 5 {
			at := func(name string, most float64) float64 { return rapid.Float64Range(-most, most).Draw(t, name) }
			p := r3.Vec{X: b.grid.near(at("x", 200)), Y: b.grid.near(at("y", 200)), Z: b.grid.near(at("z", 30))}
			b.line(p, want)
		}
		for _, m := range b.moves {
			d, f := r3.Sub(m.To, m.From), w.Machine.Feed
			n := r3.Norm(d)
			require.LessOrEqual(t, m.Feed, want*(1+1e-9))
			require.LessOrEqual(t, m.Feed*math.Abs(d.X)/n, f.X*(1+1e-9))
			require.LessOrEqual(t, m.Feed*math.Abs(d.Y)/n, f.Y*(1+1e-9))
			require.LessOrEqual(t, m.Feed*math.Abs(d.Z)/n, f.Z*(1+1e-9))
			steps := m.Feed / feedStep(w.Machine)
			require.InDelta(t, math.Round(steps), steps, 1e-6)
			require.Positive(t, m.Feed)
			// As fast as the limits let it, less one step of what can be written.
			require.GreaterOrEqual(t, m.Feed+feedStep(w.Machine)*(1+1e-9), w.Machine.FeedAlong(d, want))
		}
	})
}

// A program starts from clearance, lifts straight up, comes straight down in the
// air and never makes a move of no length.
func TestBuilderOver(t *testing.T) {
	w := Usual(dish.Hollow, 4572, 200)
	w.HoldDowns = []path.Obstacle{{X: 240, Y: 240, Radius: 8, Height: 12}}
	require.InDelta(t, 17, w.Clearance(), 1e-3, "5 mm above the tallest hold-down")
	b := newBuilder(Whole(&w), Feeds{})
	b.over(r3.Vec{X: 10, Y: 20, Z: -3}, -1.5)
	b.line(r3.Vec{X: 10, Y: 20, Z: -3}, 500)
	b.line(b.at, 500)
	b.over(r3.Vec{X: 10, Y: 20, Z: 100}, 100)
	var kinds []path.Kind
	for i, m := range b.moves {
		kinds = append(kinds, m.Kind)
		require.NotEqual(t, m.From, m.To)
		if m.Kind == path.Traverse {
			flat := m.From.Z == m.To.Z
			straight := m.From.X == m.To.X && m.From.Y == m.To.Y
			require.True(t, flat != straight, "move %d turns no corner", i)
			require.True(t, straight || m.From.Z == w.Clearance(), "move %d crosses at clearance alone", i)
		}
	}
	require.Equal(t, []path.Kind{path.Traverse, path.Traverse, path.Line, path.Traverse}, kinds)
	require.InDelta(t, -1.5+airGap, b.moves[1].To.Z, 1e-3)
	require.Equal(t, w.Clearance(), b.at.Z, "never above clearance, whatever stands")
}

func TestSteep(t *testing.T) {
	for _, degrees := range []float64{0.2, 3, 10, 45} {
		c := path.Cutter{Ramp: degrees * math.Pi / 180}
		require.Less(t, steep(c), math.Tan(c.Ramp))
		require.InEpsilon(t, math.Tan(c.Ramp), steep(c), 0.0201)
	}
}

func TestMessagesInMillimetres(t *testing.T) {
	for v, want := range map[float64]string{0: "0 mm", -0.0001: "0 mm", 12: "12 mm", 12.5: "12.5 mm", 0.0125: "0.013 mm", -3.1: "-3.1 mm", 100: "100 mm"} {
		require.Equal(t, want, mm(v))
	}
}

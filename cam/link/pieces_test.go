package link

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// Ramps keep to the slope however their coordinates are rounded: an end a step too high,
// and both a step too near.
func TestFallAllowsForTheGrid(t *testing.T) {
	for _, m := range []string{"bench-600", "inch-24", "wide-1250"} {
		w := given.Work(dish.Hollow, 4572, 100)
		w.Machine = given.Router(m)
		b, step := NewBuilder(work.Whole(&w), work.Feeds{}), w.Grid().Step
		most, linker := math.Tan(given.HalfFlat.Ramp), Linker{Builder: b, Cutter: given.HalfFlat}
		for l := 2 * step; l < 50; l *= 1.1 {
			fall := linker.fall(l, 0)
			if steps := fall / step; math.Abs(steps-math.Round(steps)) < 1e-9 { // which nothing rounds
				require.LessOrEqual(t, fall/l, most*(1+1e-8), "%s, %g mm", m, l)
				continue
			}
			require.LessOrEqual(t, (fall+step)/(l-step), most*(1+1e-8), "%s, %g mm", m, l)
		}
		require.Greater(t, linker.fall(50, 0), 0.97*work.Steep(given.HalfFlat)*50)
	}
}

// Between the places that chords returns, the curve stays within the tolerance;
// they run from a to b, one way.
func TestChords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := given.Sphere(rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown}).Draw(t, "kind"), 700*math.Exp(rapid.Float64Range(0, 5).Draw(t, "log R")), 300)
		tl := work.Tool{Face: f, Body: dish.Body{Flat: rapid.SampledFrom([]float64{0, 9}).Draw(t, "flat"), Corner: rapid.SampledFrom([]float64{0, 6}).Draw(t, "corner")}, Low: math.Inf(-1), Foot: math.Inf(1)}
		v := rapid.Float64Range(0, 280).Draw(t, "v")
		// One side of the middle: a level end makes a kink there, and where it covers a crown's apex.
		a, b := rapid.Float64Range(0, 280).Draw(t, "a"), rapid.Float64Range(0, 280).Draw(t, "b")
		if f.Falls() {
			a, b = a+tl.Flat, b+tl.Flat
		}
		tol := math.Exp(rapid.Float64Range(math.Log(1e-4), math.Log(0.02)).Draw(t, "log tol"))
		curve := func(u float64) float64 { return tl.Tip(u, v) }
		if math.Abs(b-a) < 1e-3 {
			return // no pass is as short as a step of its coordinates
		}
		var us []float64
		for _, p := range Chords(r2.Vec{X: a, Y: v}, r2.Vec{X: b, Y: v}, tl.Tip, tol) {
			require.InDelta(t, v, p.Y, 1e-9)
			us = append(us, p.X)
		}
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
	a, b := r2.Vec{X: -5}, r2.Vec{X: 10}
	line := func(x, _ float64) float64 { return 3 * x }
	require.Equal(t, []r2.Vec{a, b}, Chords(a, b, line, 0.001), "a straight line takes one piece")
	nan := func(_, _ float64) float64 { return math.NaN() }
	require.Equal(t, []r2.Vec{a, b}, Chords(a, b, nan, 0.001), "a curve that is no number ends")
	half := func(x, _ float64) float64 { return math.Sqrt(25 - x*x) } // NaN beyond 5
	places := Chords(r2.Vec{}, b, half, 0.001)
	require.Equal(t, b, places[len(places)-1])
	step := func(x, _ float64) float64 { return math.Round(x) } // no chord comes near it
	places = Chords(a, b, step, 0.001)
	require.Equal(t, b, places[len(places)-1])
}

// No axis is ever asked to go faster than its feed, whichever way a line runs,
// and what a program can write is not exceeded by rounding.
func TestBuilderKeepsTheFeedOfEachAxis(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := given.Work(dish.Hollow, 4572, 200)
		w.Machine = given.Router(rapid.SampledFrom([]string{"bench-600", "inch-24", "desktop-300"}).Draw(t, "machine"))
		b := NewBuilder(work.Whole(&w), work.Feeds{})
		want := rapid.Float64Range(50, 20_000).Draw(t, "feed")
		for range 5 {
			at := func(name string, most float64) float64 { return rapid.Float64Range(-most, most).Draw(t, name) }
			p := r3.Vec{X: b.Grid.Near(at("x", 200)), Y: b.Grid.Near(at("y", 200)), Z: b.Grid.Near(at("z", 30))}
			b.Line(p, want)
		}
		for _, m := range b.Moves {
			d, f := r3.Sub(m.To, m.From), w.Machine.Feed
			n := r3.Norm(d)
			require.LessOrEqual(t, m.Feed, want*(1+1e-9))
			require.LessOrEqual(t, m.Feed*math.Abs(d.X)/n, f.X*(1+1e-9))
			require.LessOrEqual(t, m.Feed*math.Abs(d.Y)/n, f.Y*(1+1e-9))
			require.LessOrEqual(t, m.Feed*math.Abs(d.Z)/n, f.Z*(1+1e-9))
			steps := m.Feed / work.FeedStep(w.Machine)
			require.InDelta(t, math.Round(steps), steps, 1e-6)
			require.Positive(t, m.Feed)
			// As fast as the limits let it, less one step of what can be written.
			require.GreaterOrEqual(t, m.Feed+work.FeedStep(w.Machine)*(1+1e-9), w.Machine.FeedAlong(d, want))
		}
	})
}

// A program starts from clearance, lifts straight up, comes straight down in the
// air and never makes a move of no length.
func TestBuilderOver(t *testing.T) {
	w := given.Work(dish.Hollow, 4572, 200)
	w.HoldDowns = []path.Obstacle{{X: 240, Y: 240, Radius: 8, Height: 12}}
	require.InDelta(t, 17, w.Clearance(), 1e-3, "5 mm above the tallest hold-down")
	b := NewBuilder(work.Whole(&w), work.Feeds{})
	b.Over(r3.Vec{X: 10, Y: 20, Z: -3}, -1.5)
	b.Line(r3.Vec{X: 10, Y: 20, Z: -3}, 500)
	b.Line(b.At, 500)
	b.Over(r3.Vec{X: 10, Y: 20, Z: 100}, 100)
	var kinds []path.Kind
	for i, m := range b.Moves {
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
	require.InDelta(t, -1.5+AirGap, b.Moves[1].To.Z, 1e-3)
	require.Equal(t, w.Clearance(), b.At.Z, "never above clearance, whatever stands")
}

package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// anyArc draws an arc with equal radii in any plane.
func anyArc(t *rapid.T) path.Move {
	m := path.Move{Kind: path.Arc, Plane: rapid.SampledFrom([]path.Plane{path.XY, path.ZX, path.YZ}).Draw(t, "plane"), Clockwise: rapid.Bool().Draw(t, "clockwise")}
	first, second, normal := m.Plane.Axes()
	r := rapid.Float64Range(0.5, 300).Draw(t, "radius")
	quarter := rapid.SampledFrom([]float64{0, 0.25, 0.5, 0.75, 1})
	share := func(name string) float64 {
		if rapid.Bool().Draw(t, name+" on an axis") {
			return quarter.Draw(t, name)
		}
		return rapid.Float64Range(0, 1).Draw(t, name)
	}
	var c, from, to [3]float64
	for k := range c {
		c[k] = rapid.Float64Range(-100, 100).Draw(t, "centre")
	}
	a, b := 2*math.Pi*share("from"), 2*math.Pi*share("to")
	from[first], from[second] = c[first]+r*math.Cos(a), c[second]+r*math.Sin(a)
	to[first], to[second] = c[first]+r*math.Cos(b), c[second]+r*math.Sin(b)
	from[normal], to[normal] = c[normal], c[normal]+rapid.Float64Range(-50, 50).Draw(t, "rise")
	vec := func(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }
	m.From, m.To, m.Centre, m.Feed = vec(from), vec(to), vec(c), 1000
	return m
}

func TestArcBoundsAgainstManyPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyArc(t)
		lo, hi := m.Box()
		least, most := m.From, m.From
		const n = 2000
		for i := range n + 1 {
			v := m.At(float64(i) / n)
			least = r3.Vec{X: math.Min(least.X, v.X), Y: math.Min(least.Y, v.Y), Z: math.Min(least.Z, v.Z)}
			most = r3.Vec{X: math.Max(most.X, v.X), Y: math.Max(most.Y, v.Y), Z: math.Max(most.Z, v.Z)}
		}
		// the places miss the outermost one by r·(2π/2000)²/8 at most: 0.4 mm × 1e-3 for 300 mm
		for _, d := range []float64{least.X - lo.X, least.Y - lo.Y, least.Z - lo.Z, hi.X - most.X, hi.Y - most.Y, hi.Z - most.Z} {
			require.GreaterOrEqual(t, d, -1e-9)
			require.LessOrEqual(t, d, 4e-4)
		}
	})
}

func TestFeedCosinesAgainstManyPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyArc(t)
		got := arcCosines(m)
		var want [3]float64
		const n = 4000
		for i := range n {
			d := r3.Sub(m.At(float64(i+1)/n), m.At(float64(i)/n))
			long := r3.Norm(d)
			if long == 0 {
				continue
			}
			for k, v := range [...]float64{d.X, d.Y, d.Z} {
				want[k] = math.Max(want[k], math.Abs(v)/long)
			}
		}
		// A chord's direction lies up to 2π/8000 off an end's, and coordinates of up
		// to 400 mm lose some 1e-13 of it in float64.
		for k := range want {
			require.InDelta(t, want[k], got[k], 8e-4+4e-13*n/m.Length())
		}
	})
}

func TestArcFeedIsExact(t *testing.T) {
	// From 30 to 60 degrees of a circle X moves at sin 60 at most, Y at cos 30.
	sin, cos := math.Sincos(math.Pi / 6)
	m := path.Move{Kind: path.Arc, From: r3.Vec{X: 10 * cos, Y: 10 * sin, Z: 5}, To: r3.Vec{X: 10 * sin, Y: 10 * cos, Z: 5}, Centre: r3.Vec{Z: 5}}
	c := plainCase(spindleMachine())
	c.Machine.Feed.Y = 4000
	for feed, want := range map[float64]int{4000 / cos * (1 - 1e-9): 0, 4000 / cos * (1 + 1e-5): 1} {
		p := program(framed(g1(m.From.X, m.From.Y, nan, 1000), arc(m, feed))...)
		require.Len(t, findings(c, p), want)
	}
}

func TestPlanDistanceAgainstManyPlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := anyArc(t)
		if rapid.Bool().Draw(t, "line") {
			m.Kind = path.Line
		}
		x, y := rapid.Float64Range(-400, 400).Draw(t, "x"), rapid.Float64Range(-400, 400).Draw(t, "y")
		top := rapid.Float64Range(-200, 400).Draw(t, "top")
		want, wantBelow := math.Inf(1), math.Inf(1)
		const n = 4000
		for i := range n + 1 {
			v := m.At(float64(i) / n)
			d := math.Hypot(v.X-x, v.Y-y)
			want = math.Min(want, d)
			if v.Z < top {
				wantBelow = math.Min(wantBelow, d)
			}
		}
		step := m.Length() / n
		require.InDelta(t, want, planDistance(m, x, y), chordTolerance+step)
		below := distanceBelow(m, top, path.Obstacle{X: x, Y: y})
		if math.IsInf(below, 1) {
			require.True(t, math.IsInf(wantBelow, 1))
			return
		}
		require.LessOrEqual(t, below, wantBelow+chordTolerance)
		require.GreaterOrEqual(t, below, planDistance(m, x, y)-1e-9)
	})
}

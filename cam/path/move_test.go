package path_test

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

var units = [...]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}

var planes = []path.Plane{path.XY, path.ZX, path.YZ}

// The report's rule (NISTIR 6556, 4.3.6.1): in G17 the axes are X and Y, in G18
// Z and X, in G19 Y and Z, and seen from the positive end of the normal a turn
// from the first to the second is counter-clockwise: the cross product of the
// first and the second is the normal.
func TestAxes(t *testing.T) {
	want := map[path.Plane][3]int{path.XY: {0, 1, 2}, path.ZX: {2, 0, 1}, path.YZ: {1, 2, 0}}
	for _, p := range planes {
		first, second, normal := p.Axes()
		require.Equal(t, want[p], [3]int{first, second, normal}, p.String())
		require.Equal(t, units[normal], r3.Cross(units[first], units[second]), p.String())
	}
	require.Equal(t, "XY", path.XY.String())
	require.Equal(t, "ZX", path.ZX.String())
	require.Equal(t, "YZ", path.YZ.String())
}

// A pass over a face and the sense of its arc, derived from the same rule: over
// a hollow towards +X G2 in G18, towards +Y G3 in G19; over a crown the other way.
func TestSenseOfPasses(t *testing.T) {
	const d, deep = 100.0, 5.0
	R := d*d/(2*deep) + deep/2
	tests := []struct {
		plane     path.Plane
		along     r3.Vec
		clockwise bool
		lowest    bool // is the middle of the pass its lowest place (a hollow)?
	}{
		{path.ZX, r3.Vec{X: 1}, true, true}, {path.ZX, r3.Vec{X: -1}, false, true},
		{path.YZ, r3.Vec{Y: 1}, false, true}, {path.YZ, r3.Vec{Y: -1}, true, true},
		{path.ZX, r3.Vec{X: 1}, false, false}, {path.ZX, r3.Vec{X: -1}, true, false},
		{path.YZ, r3.Vec{Y: 1}, true, false}, {path.YZ, r3.Vec{Y: -1}, false, false},
	}
	for _, tt := range tests {
		m := path.Move{Kind: path.Arc, Plane: tt.plane, Clockwise: tt.clockwise, From: r3.Scale(-d, tt.along), To: r3.Scale(d, tt.along)}
		m.Centre, m.From.Z, m.To.Z = r3.Vec{Z: R - deep}, 0, 0
		want := -deep
		if !tt.lowest {
			m.Centre, want = r3.Vec{Z: deep - R}, deep
		}
		require.InDelta(t, want, m.At(0.5).Z, 1e-9, "%+v", tt)
		require.InDelta(t, 2*R*math.Asin(d/R), m.Length(), 1e-9)
	}
}

// arc builds an arc in a plane from its parts: what it turns through, its
// radius, and how far it climbs along the normal.
func arc(p path.Plane, centre r3.Vec, start, turn, radius, climb float64) path.Move {
	first, second, normal := p.Axes()
	at := func(a, h float64) r3.Vec {
		sin, cos := math.Sincos(a)
		v := r3.Add(centre, r3.Add(r3.Scale(radius*cos, units[first]), r3.Scale(radius*sin, units[second])))
		return r3.Add(v, r3.Scale(h, units[normal]))
	}
	return path.Move{Kind: path.Arc, Plane: p, Centre: centre, Clockwise: turn < 0, From: at(start, 0), To: at(start+turn, climb)}
}

// Sweep, Length and At give back what an arc was built from, in every plane,
// both senses, as a helix too.
func TestArcs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(planes).Draw(t, "plane")
		centre := r3.Vec{X: rapid.Float64Range(-300, 300).Draw(t, "x"), Y: rapid.Float64Range(-300, 300).Draw(t, "y"), Z: rapid.Float64Range(-50, 50).Draw(t, "z")}
		start := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "start")
		turn := rapid.Float64Range(0.001, 2*math.Pi-0.001).Draw(t, "turn")
		if rapid.Bool().Draw(t, "clockwise") {
			turn = -turn
		}
		radius := rapid.Float64Range(1, 9000).Draw(t, "radius")
		climb := rapid.SampledFrom([]float64{0, 3.5, -20}).Draw(t, "climb")
		m := arc(p, centre, start, turn, radius, climb)
		angle, r0, r1 := m.Sweep()
		// Coordinates of up to 9 m round at 1e-12, over the radius.
		keep := 1e-11 * (1 + 300/radius)
		require.InDelta(t, turn, angle, keep)
		require.InDelta(t, radius, r0, 1e-11*9000)
		require.InDelta(t, radius, r1, 1e-11*9000)
		require.InEpsilon(t, math.Hypot(turn*radius, climb), m.Length(), 1e-9)
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		want := arc(p, centre, start, turn*share, radius, climb*share).To
		require.InDelta(t, 0, r3.Norm(r3.Sub(want, m.At(share))), 1e-7)
		require.Equal(t, m.From, m.At(0))
		require.Equal(t, m.To, m.At(1))
		// The length of many chords, each short of its arc by a³/24.
		sum, last := 0.0, m.From
		const n = 500
		for i := 1; i <= n; i++ {
			next := m.At(float64(i) / n)
			sum, last = sum+r3.Norm(r3.Sub(next, last)), next
		}
		require.InEpsilon(t, m.Length(), sum, math.Pow(turn/n, 2)/24+1e-9)
	})
}

// Equal ends make a full turn, one way or the other.
func TestFullTurns(t *testing.T) {
	for _, p := range planes {
		first, second, normal := p.Axes()
		for _, clockwise := range []bool{false, true} {
			for _, climb := range []float64{0, -4} {
				m := path.Move{Kind: path.Arc, Plane: p, Clockwise: clockwise, From: r3.Scale(10, units[first])}
				m.To = r3.Add(m.From, r3.Scale(climb, units[normal]))
				angle, _, _ := m.Sweep()
				want := 2 * math.Pi
				quarter := r3.Add(r3.Scale(10, units[second]), r3.Scale(climb/4, units[normal]))
				if clockwise {
					want, quarter = -want, r3.Sub(quarter, r3.Scale(20, units[second]))
				}
				require.Equal(t, want, angle)
				require.InDelta(t, math.Hypot(20*math.Pi, climb), m.Length(), 1e-12)
				require.InDelta(t, 0, r3.Norm(r3.Sub(quarter, m.At(0.25))), 1e-12, "%s %t", p, clockwise)
			}
		}
	}
}

// An arc read from text may have two radii that differ a little: its radius
// changes in proportion to the angle.
func TestUnequalRadii(t *testing.T) {
	m := path.Move{Kind: path.Arc, From: r3.Vec{X: 10}, To: r3.Vec{Y: 10.002}}
	angle, r0, r1 := m.Sweep()
	require.InDelta(t, math.Pi/2, angle, 1e-15)
	require.Equal(t, []float64{10, 10.002}, []float64{r0, r1})
	require.InDelta(t, 10.001, r3.Norm(m.At(0.5)), 1e-12)
	require.InDelta(t, 10.001*math.Pi/2, m.Length(), 1e-12)
}

func TestStraightMoves(t *testing.T) {
	for _, k := range []path.Kind{path.Traverse, path.Line} {
		m := path.Move{Kind: k, From: r3.Vec{X: 1, Y: 2, Z: 3}, To: r3.Vec{X: 3, Y: 5, Z: 9}}
		require.InDelta(t, 7, m.Length(), 1e-15, "2, 3, 6, 7")
		require.Equal(t, m.From, m.At(0))
		require.Equal(t, m.To, m.At(1))
		require.Equal(t, r3.Vec{X: 2, Y: 3.5, Z: 6}, m.At(0.5))
		angle, r0, r1 := m.Sweep()
		require.Zero(t, angle)
		require.True(t, math.IsNaN(r0) && math.IsNaN(r1))
	}
	require.Equal(t, []string{"traverse", "line", "arc"}, []string{path.Traverse.String(), path.Line.String(), path.Arc.String()})
}

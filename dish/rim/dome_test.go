package rim_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"dishwright/dish/rim"
)

// fromCentre is a second way to a sphere's height: the place lies at the radius
// from the centre, which stands over or under the apex.
func fromCentre(d rim.Dome, p r2.Vec, z float64) float64 {
	v := r2.Sub(p, d.Apex)
	switch d.Kind {
	case rim.CylinderAcross:
		v.X = 0
	case rim.CylinderAlong:
		v.Y = 0
	}
	centre := d.Level - d.Radius
	if d.Back {
		centre = d.Level + d.Radius
	}
	return math.Sqrt(v.X*v.X+v.Y*v.Y+(z-centre)*(z-centre)) - d.Radius
}

// Ten thousand stations of random bodies: both edges lie on their domes within a
// micrometre, and the slopes are those of finite differences.
func TestHeightsLieOnTheDomes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBody(t)
		for range 100 {
			s := b.Station(rapid.Float64Range(0, b.Outline.Perimeter()).Draw(t, "arc"))
			for _, of := range []struct {
				d rim.Dome
				z float64
			}{{b.Top, s.Top}, {b.Back, s.Back}} {
				if of.d.Kind == rim.Plane || of.d.Pitch != 0 {
					continue
				}
				require.InDelta(t, 0, fromCentre(of.d, s.At, of.z), 1e-6)
			}
			require.InDelta(t, s.Top-s.Back, s.Width, 1e-12)
			const step = 0.01
			out := (b.Top.Height(r2.Add(s.At, r2.Scale(step, s.Normal))) - b.Top.Height(r2.Sub(s.At, r2.Scale(step, s.Normal)))) / (2 * step)
			require.InDelta(t, -out, math.Tan(s.TopSlope), 1e-7)
			out = (b.Back.Height(r2.Add(s.At, r2.Scale(step, s.Normal))) - b.Back.Height(r2.Sub(s.At, r2.Scale(step, s.Normal)))) / (2 * step)
			require.InDelta(t, out, math.Tan(s.BackSlope), 1e-7)
			require.GreaterOrEqual(t, s.Steepest, math.Abs(s.TopSlope)-1e-12)
			require.InDelta(t, b.Top.Height(s.Inward(7)), s.TopInner, 1e-12)
		}
	})
}

// The back that goes through two depths has them, whatever its kind; given its
// apex and one of them it is the same.
func TestBackThroughDepths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBody(t)
		head, tail := rim.WidthAt(b.Top, b.Back, b.Outline.Length()), rim.WidthAt(b.Top, b.Back, 0)
		again, err := rim.BackThrough(b.Back.Kind, b.Back.Radius, b.Top, b.Outline.Length(), rim.Depths{Head: head, Tail: tail})
		require.NoError(t, err)
		require.InDelta(t, b.Back.Level, again.Level, 1e-6)
		if b.Back.Kind == rim.Plane || b.Back.Kind == rim.CylinderAcross {
			return
		}
		one := rim.BackAt(b.Back.Kind, b.Back.Radius, b.Back.Apex, b.Top, b.Outline.Length(), head, true)
		require.InDelta(t, tail, rim.WidthAt(b.Top, one, 0), 1e-7)
		one = rim.BackAt(b.Back.Kind, b.Back.Radius, b.Back.Apex, b.Top, b.Outline.Length(), tail, false)
		require.InDelta(t, head, rim.WidthAt(b.Top, one, b.Outline.Length()), 1e-7)
	})
	b := guitarBody(t)
	require.InDelta(t, 80, rim.WidthAt(b.Top, b.Back, 490), 1e-9)
	require.InDelta(t, 95, rim.WidthAt(b.Top, b.Back, 0), 1e-9)
	_, err := rim.BackThrough(rim.Sphere, 244, b.Top, 490, rim.Depths{Head: 80, Tail: 95})
	require.ErrorContains(t, err, "does not reach")
}

// A back that is bent across and leans: an arc across the body at every place, on a line that runs
// straight from depth to depth; its lean goes through its apex. Bent along, it is an arc along the
// body and level across. In closed form: R − √(R² − v²) over its lowest line.
func TestCylindersAsBacks(t *testing.T) {
	const R = 5000.0
	top := rim.Dome{Kind: rim.Sphere, Radius: 8000, Apex: r2.Vec{X: 170}}
	fall := func(x float64) float64 { return 8000 - math.Sqrt(8000*8000-(x-170)*(x-170)) }
	rise := func(v float64) float64 { return R - math.Sqrt(R*R-v*v) }
	across, err := rim.BackThrough(rim.CylinderAcross, R, top, 480, rim.Depths{Head: 80, Tail: 100})
	require.NoError(t, err)
	along, err := rim.BackThrough(rim.CylinderAlong, R, top, 480, rim.Depths{Head: 80, Tail: 100})
	require.NoError(t, err)
	tail, head := -fall(0)-100, -fall(480)-80
	require.InDelta(t, tail, along.Height(r2.Vec{}), 1e-9)
	require.InDelta(t, head, along.Height(r2.Vec{X: 480, Y: 33}), 1e-9)
	for _, p := range []r2.Vec{{}, {X: 120, Y: -90}, {X: 480, Y: 70}} {
		require.InDelta(t, tail+(head-tail)*p.X/480+rise(p.Y), across.Height(p), 1e-9)
		require.InDelta(t, along.Level+rise(p.X-along.Apex.X), along.Height(p), 1e-9)
		moved := across
		moved.Apex = r2.Vec{X: 200, Y: 15}
		z, slope := moved.Surface(p)
		require.InDelta(t, across.Level+across.Pitch*(p.X-200)+rise(p.Y-15), z, 1e-9)
		require.InDelta(t, across.Pitch, slope.X, 1e-12)
		require.InDelta(t, (p.Y-15)/math.Sqrt(R*R-(p.Y-15)*(p.Y-15)), slope.Y, 1e-12)
	}
}

// A leaning plane: straight between its two depths.
func TestLeaningBack(t *testing.T) {
	top := rim.Dome{Kind: rim.Plane}
	back, err := rim.BackThrough(rim.Plane, 0, top, 480, rim.Depths{Head: 80, Tail: 100})
	require.NoError(t, err)
	for _, x := range []float64{0, 120, 480} {
		require.InDelta(t, -100+20*x/480, back.Height(r2.Vec{X: x, Y: 77}), 1e-9)
	}
}

// A top kept flat towards the head is the sphere before the blend, a plane after
// it, and smooth between.
func TestFlatAbove(t *testing.T) {
	d := rim.Dome{Kind: rim.Sphere, Radius: 7620, Apex: r2.Vec{X: 170}, FlatFrom: 330, Blend: 60}
	plain := d
	plain.FlatFrom, plain.Blend = 0, 0
	for _, y := range []float64{-120, 0, 90} {
		require.Equal(t, plain.Height(r2.Vec{X: 269, Y: y}), d.Height(r2.Vec{X: 269, Y: y}))
		z, rise := d.Surface(r2.Vec{X: 400, Y: y})
		require.InDelta(t, d.Height(r2.Vec{X: 330})+70*rise.X, z, 1e-9, "flat")
		require.Zero(t, rise.Y)
		for _, x := range []float64{330, 331, 350, 389, 391, 480} {
			require.InDelta(t, d.Height(r2.Vec{X: 330})+(x-330)*rise.X, d.Height(r2.Vec{X: x, Y: y}), 1e-9, "all of it")
		}
		for x := 250.0; x < 480; x += 1.7 {
			p := r2.Vec{X: x, Y: y}
			_, rise := d.Surface(p)
			const step = 1e-3
			dx := (d.Height(r2.Vec{X: x + step, Y: y}) - d.Height(r2.Vec{X: x - step, Y: y})) / (2 * step)
			dy := (d.Height(r2.Vec{X: x, Y: y + step}) - d.Height(r2.Vec{X: x, Y: y - step})) / (2 * step)
			require.InDelta(t, dx, rise.X, 1e-6, "x %g", x)
			require.InDelta(t, dy, rise.Y, 1e-6)
		}
	}
	require.InDelta(t, plain.Height(r2.Vec{X: 330}), d.Height(r2.Vec{X: 330}), 1e-12, "it touches the dome on the centre line")
}

// A circular outline about the apex has one height, R − √(R² − d²) (Machinery's
// Handbook, 31st ed., pp. 79 and 83): 2.625124 for R 7620 at d 200. With the apex
// aside it is a cosine to second order, d e cos φ / R up and down about it: h is about
// ρ²/2R, and ρ² = d² + e² − 2 d e cos φ (own derivation). The next term is ρ⁴/8R³,
// here at most 8e-4 mm.
func TestRoundRims(t *testing.T) {
	const r, R = 200.0, 7620.0
	b := round(t, r, R, r2.Vec{})
	for _, s := range b.Stations(17) {
		require.InDelta(t, -2.625124, s.Top, 5e-7) // the last digit: through 720 points the curve lies far nearer the circle
		require.InDelta(t, math.Asin(r/R), s.TopSlope, 1e-6)
	}
	const e = 30.0
	b = round(t, r, R, r2.Vec{X: e})
	for _, s := range b.Stations(11) {
		phi := math.Atan2(s.At.Y, s.At.X-r)
		require.InDelta(t, -(r*r+e*e-2*r*e*math.Cos(phi))/(2*R), s.Top, 9e-4)
	}
}

func TestPlaces(t *testing.T) {
	names := func(b rim.Body) (list []string) {
		for _, s := range b.NamedStations() {
			list = append(list, s.Name)
		}
		return list
	}
	b := guitarBody(t)
	require.Equal(t, []string{"tail", "right lower bout", "right waist", "right upper bout", "head", "left upper bout", "left waist", "left lower bout"}, names(b))
	for i, want := range map[int]r2.Vec{1: {X: 0.27 * 490, Y: -190}, 2: {X: 0.62 * 490, Y: -120}, 3: {X: 0.8 * 490, Y: -140}, 4: {X: 490}, 7: {X: 0.27 * 490, Y: 190}} {
		at := b.NamedStations()[i].At
		require.InDelta(t, 0, r2.Norm(r2.Sub(want, at)), 0.05, "%d %v", i, at)
	}
	arcs := -1.0
	for _, s := range b.NamedStations() {
		require.Greater(t, s.Arc, arcs)
		arcs = s.Arc
	}
	b = round(t, 200, 7620, r2.Vec{})
	require.Equal(t, []string{"tail", "right widest", "head", "left widest"}, names(b))
	high, low, narrow, wide := round(t, 200, 7620, r2.Vec{X: 40}).Extremes()
	require.InDelta(t, 400, high.At.X, 1e-6) // one of the places looked at
	require.InDelta(t, 0, low.At.X, 1e-6)
	require.Equal(t, low.Arc, narrow.Arc)
	require.Equal(t, high.Arc, wide.Arc)
	// Of any body, against places half a millimetre apart: over so little an edge changes by less
	// than a thousandth, where it is highest or lowest.
	b = cutawayBody(t)
	b.Top.Apex = r2.Vec{X: 220, Y: 30}
	high, low, narrow, wide = b.Extremes()
	for _, s := range b.Stations(0.5) {
		require.LessOrEqual(t, s.Top, high.Top+1e-3)
		require.GreaterOrEqual(t, s.Top, low.Top-1e-3)
		require.GreaterOrEqual(t, s.Width, narrow.Width-1e-3)
		require.LessOrEqual(t, s.Width, wide.Width+1e-3)
	}
	require.Greater(t, high.Top, low.Top+1)
	require.Greater(t, wide.Width, narrow.Width+1)
}

// cutawayBody is a guitar's body with a cutaway on one side.
func cutawayBody(t *testing.T) rim.Body {
	t.Helper()
	half, err := guitar.Half()
	require.NoError(t, err)
	whole := rim.Mirrored(half)
	for i, p := range whole {
		if p.X > 330 && p.Y < -40 {
			whole[i].Y = -40 + 0.4*(p.Y+40)
		}
	}
	b := guitarBody(t)
	b.Outline = outline(t, whole, rim.Smooth)
	return b
}

// A body with a cutaway is narrower on that side; the other keeps its places.
func TestCutaway(t *testing.T) {
	b := cutawayBody(t)
	right, left := b.Unroll(false, 10), b.Unroll(true, 10)
	require.Greater(t, math.Abs(right.OuterLength-left.OuterLength), 1.0)
	require.InDelta(t, b.Outline.Perimeter(), right.OuterLength+left.OuterLength, 1e-9)
	for _, s := range b.NamedStations() {
		if s.Name == "left upper bout" {
			require.InDelta(t, 140, s.At.Y, 0.05)
		}
	}
}

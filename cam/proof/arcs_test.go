package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// The language allows an arc's two radii to differ by 0.002 mm (RS274/NGC
// interpreter, version 3, 3.5.3).
const allowedRadiusError = 0.002

// drawnArc draws an arc in any plane, in either sense, rising or level, and with two
// radii, as the language allows.
func drawnArc(t *rapid.T) path.Move {
	plane := rapid.SampledFrom([]path.Plane{path.XY, path.ZX, path.YZ}).Draw(t, "plane")
	radius := rapid.OneOf(rapid.Float64Range(0.5, 12), rapid.Float64Range(5, 9000)).Draw(t, "radius")
	start := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "start")
	longest := 2 * math.Pi
	if radius > 400 {
		longest = 400 / radius
	}
	sweep := rapid.Float64Range(0.02*min(1, 60/radius), longest).Draw(t, "sweep")
	clockwise := rapid.Bool().Draw(t, "clockwise")
	if clockwise {
		sweep = -sweep
	}
	rise := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(-0.85, 0.85)).Draw(t, "rise")
	play := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(-allowedRadiusError, allowedRadiusError)).Draw(t, "play")
	centre := r3.Vec{X: 31, Y: -47, Z: -3}
	at := func(a, r, along float64) r3.Vec {
		u, v := r*math.Cos(a), r*math.Sin(a)
		switch plane {
		case path.ZX:
			return r3.Vec{X: centre.X + v, Y: centre.Y + along, Z: centre.Z + u}
		case path.YZ:
			return r3.Vec{X: centre.X + along, Y: centre.Y + u, Z: centre.Z + v}
		default:
			return r3.Vec{X: centre.X + u, Y: centre.Y + v, Z: centre.Z + along}
		}
	}
	return path.Move{Kind: path.Arc, Plane: plane, Clockwise: clockwise, Centre: centre,
		From: at(start, radius, 0), To: at(start+sweep, radius+play, rise)}
}

// sweptAt is what a cutter leaves at a place that runs along a move: the least over
// its places, each low one refined.
func sweptAt(c cutterEnd, m path.Move, x, y float64) float64 {
	at := func(s float64) float64 {
		v := m.At(s)
		return v.Z + c.Profile(math.Hypot(v.X-x, v.Y-y))
	}
	const n = 4000
	var z [n + 1]float64
	for k := range z {
		z[k] = at(float64(k) / n)
	}
	best := math.Inf(1)
	for k := range z {
		if z[k] > z[max(0, k-1)] || z[k] > z[min(n, k+1)] || math.IsInf(z[k], 1) {
			continue
		}
		low, from := z[k], float64(k)/n
		for step := 1.0 / n; step > 1e-13; step /= 2 {
			for _, s := range [...]float64{max(0, from-step), min(1, from+step)} {
				if h := at(s); h < low {
					low, from = h, s
				}
			}
		}
		best = min(best, low)
	}
	return best
}

// However an arc is taken, what is left of it is held from both sides; and of one in
// the XY plane that is not steep as closely as it is cut to pieces.
func TestArcsAreHeldFromBothSides(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawnArc(t)
		c := jobCutter(t)
		cut := Cut{c, []path.Move{m}}
		runs, err := makeRuns(cut, 0, always, nil)
		require.NoError(t, err)
		require.NotEmpty(t, runs)
		tool := tiltedEnd(c, 0)
		v := m.At(rapid.Float64Range(0, 1).Draw(t, "along"))
		turn, off := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn"), rapid.Float64Range(0, 0.75).Draw(t, "off")*tool.Radius()
		x, y := v.X+off*math.Cos(turn), v.Y+off*math.Sin(turn)
		left := sweptAt(tool, m, x, y)
		const noise = 1e-8
		whole := math.Inf(1) // by rings as long as may be
		for _, r := range runs {
			whole = min(whole, r.lowerBound(x, y, math.Inf(1), nil))
			for _, l := range r.surfaces(nil, x, y) {
				z, _ := l.upperBound(x, y)
				require.GreaterOrEqual(t, z, left-noise)
			}
		}
		high, low := math.Inf(1), math.Inf(1)
		for _, r := range settled(runs) {
			for _, l := range r.surfaces(nil, x, y) {
				z, _ := l.upperBound(x, y)
				high = min(high, z)
			}
			low = min(low, r.lowerBound(x, y, math.Inf(1), nil))
		}
		require.GreaterOrEqual(t, high, left-noise)
		require.LessOrEqual(t, low, left+noise)
		require.LessOrEqual(t, whole, left+noise)
		require.InDelta(t, low, whole, maxRingRise)
		steep := math.Abs(m.To.Z-m.From.Z) / m.Length()
		if m.Plane != path.XY || steep > 0.1 {
			return // steep ones are held loosely
		}
		_, r0, r1 := m.Sweep()
		aside := math.Abs(r1-r0) + noise
		if tool.rings(m) == nil {
			aside += 2*maxSagittaPlan + planTolerance // the chord beside the arc, the cutter widened for it, chords as one line
		}
		within := noise + aside*tool.slopeAt(max(off, tool.Flat)+aside+2*steep*tool.Radius()) // a sloping pass leaves a place from before it
		if m.From.Z != m.To.Z {
			within += maxRingRise
		}
		require.LessOrEqual(t, high, left+within)
		require.GreaterOrEqual(t, low, left-within)
	})
}

// settled puts its parts in the place of each ring that rises by more than it may.
func settled(runs []*run) (list []*run) {
	for _, r := range runs {
		if r.rises() {
			list = append(list, settled(r.parts())...)
		} else {
			list = append(list, r)
		}
	}
	return list
}

// Rings are few, their parts rise by no more than they may, and none is made of an arc that
// is tight, or of two radii that differ by more than play.
func TestRings(t *testing.T) {
	c := tiltedEnd(bullCutter(6, 1), 0)
	arc := func(r0, r1, turn, rise float64) path.Move {
		return path.Move{Kind: path.Arc, Clockwise: turn < 0, From: r3.Vec{X: r0, Z: -1},
			To: r3.Vec{X: r1 * math.Cos(turn), Y: r1 * math.Sin(turn), Z: -1 + rise}}
	}
	for _, test := range []struct {
		name        string
		m           path.Move
		want, parts int
	}{
		{"level", arc(40, 40, 2.09, 0), 1, 1},
		{"level, more than a third of a turn", arc(40, 40, 2.1, 0), 2, 2},
		{"whole", arc(40, 40, -6.28, 0), 3, 3},
		{"rising", arc(40, 40, 1, 0.00019), 1, 1},
		{"rising, and hardly less from further back", arc(40, 40, 1, 0.00146), 1, 1},
		{"rising more", arc(40, 40, 1, 0.00148), 1, 16},
		{"falling", arc(40, 40, -3, -0.005), 2, 32},
		{"as much as is cut", arc(40, 40, 1, 0.8191), 1, 4096},
		{"more than is cut", arc(40, 40, 1, 0.8193), 0, 0},
		{"just not tight", arc(4.51, 4.51, 1, 0), 1, 1},
		{"tight", arc(4.49, 4.49, 1, 0), 0, 0},
		{"of two radii", arc(40, 40.0019, 1, 0), 1, 1},
		{"of two radii, the first greater", arc(40.0019, 40, -1, 0), 1, 1},
		{"of radii that differ too much", arc(40, 40.0021, 1, 0), 0, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			runs := c.rings(test.m)
			require.Len(t, runs, test.want)
			runs = settled(runs)
			require.Len(t, runs, test.parts)
			for _, r := range runs {
				require.LessOrEqual(t, r.errorBelow, maxRingRise)
				require.LessOrEqual(t, r.ring.sweep, math.Pi)
			}
		})
	}
	// Over its own end, where an arc of two radii is as far from their mean as it comes,
	// the bound is what is left.
	for _, m := range []path.Move{arc(40, 40.0019, 1, 0), arc(40.0019, 40, -1, 0)} {
		for _, end := range []r3.Vec{m.From, m.To} {
			out := 2.0 // mm, away from the ring's centre or towards it
			if math.Hypot(end.X, end.Y) > 40.001 {
				out = -2
			}
			k := 1 + out/math.Hypot(end.X, end.Y)
			high, _ := surface{c.rings(m)[0], -1}.upperBound(k*end.X, k*end.Y)
			require.InDelta(t, sweptAt(c, m, k*end.X, k*end.Y), high, 1e-7)
		}
	}
	up := arc(40, 40, 1, 0.8)
	up.Plane = path.ZX
	require.Nil(t, c.rings(up))
}

// A ring's surface is convex over a cell but for what bent says, wherever the ring and
// the cell lie and however the cell is turned; and moved together they bend as before.
func TestRingsBendNoMoreThanStated(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := jobCutter(t)
		tool := tiltedEnd(c, 0)
		radius := tool.Radius() * rapid.Float64Range(1.6, 12).Draw(t, "radius")
		at := rapid.OneOf(rapid.Float64Range(0.1, math.Pi-0.1), rapid.Just(math.Pi/2)).Draw(t, "at") // the ring ends at π/2
		turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		across := rapid.Bool().Draw(t, "across") // p and q, seen from the centre
		if across {
			turn = at + math.Pi/2
		}
		sin, cos := math.Sincos(turn)
		face := dish.Face{Kind: rapid.SampledFrom([]dish.Kind{dish.Flat, dish.Hollow, dish.Crown}).Draw(t, "face"), Radius: 500, Rim: 450}
		w := worker{search: &search{face: face}, ux: cos, uy: sin}
		side := rapid.Float64Range(0.01, 0.4).Draw(t, "side") * tool.Radius()
		from := radius + rapid.Float64Range(-0.9, 0.9).Draw(t, "aside")*tool.Radius()
		rise := rapid.Float64Range(-0.2, 0.2).Draw(t, "rise")
		over := func(x, y float64) (cell, surface) {
			place := func(a float64) r3.Vec {
				return r3.Vec{X: x + radius*math.Cos(a), Y: y + radius*math.Sin(a), Z: rise * a}
			}
			runs := tool.rings(path.Move{Kind: path.Arc, From: place(0), To: place(math.Pi), Centre: r3.Vec{X: x, Y: y}})
			return cell{x: x + from*math.Cos(at), y: y + from*math.Sin(at), hu: side, hv: side / 2}, surface{runs[0], -1}
		}
		x, y := rapid.Float64Range(-200, 200).Draw(t, "x"), rapid.Float64Range(-200, 200).Draw(t, "y")
		still, one := over(0, 0)
		moved, other := over(x, y)
		w.local = newLocalFace(face, moved.x, moved.y)
		told := w.bendExcess(moved, other.run)
		if still := w.bendExcess(still, one.run); still > 0 && !math.IsInf(still, 1) {
			require.InEpsilon(t, 1+still, 1+told, 1e-6)
		}
		within := rapid.Float64Range(-1, 1)
		b := side / 2 * within.Draw(t, "v")
		draw := func(name string) (x, y float64) {
			a := side * within.Draw(t, name+" u")
			if !across {
				b = side / 2 * within.Draw(t, name+" v")
			}
			return moved.x + a*cos - b*sin, moved.y + a*sin + b*cos
		}
		height := func(x, y float64) float64 {
			z, _ := other.upperBound(x, y)
			return w.local.height(x, y, z)
		}
		px, py := draw("p")
		qx, qy := draw("q")
		fp, fq := height(px, py), height(qx, qy)
		fm := height((px+qx)/2, (py+qy)/2)
		if !math.IsInf(fp+fq+told, 1) {
			bend := told * 2 / (side * side * 1.25) // a curvature
			require.LessOrEqual(t, fm, (fp+fq)/2+bend*((px-qx)*(px-qx)+(py-qy)*(py-qy))/8+1e-9)
		}
	})
}

// A ring lies within its box, all but for rounding, and the box is no wider than the circle's.
func TestRingInItsBox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coordinate := rapid.Float64Range(-300, 300)
		g := ring{x: coordinate.Draw(t, "x"), y: coordinate.Draw(t, "y"), radius: rapid.Float64Range(1, 400).Draw(t, "radius"),
			start: rapid.Float64Range(-7, 7).Draw(t, "start"), sweep: math.Pi * rapid.Float64Range(1e-4, 1).Draw(t, "sweep")}
		g.ax, g.ay = g.end(g.start)
		g.bx, g.by = g.end(g.start + g.sweep)
		r := run{ring: &g}
		x0, y0, x1, y1 := r.box()
		const rounding = 1e-9
		for k := range 101 {
			x, y := g.end(g.start + g.sweep*float64(k)/100)
			require.True(t, x >= x0-rounding && x <= x1+rounding && y >= y0-rounding && y <= y1+rounding, "%g %g", x, y)
		}
		require.LessOrEqual(t, max(x1-x0, y1-y0), 2*g.radius+rounding)
		// Of a short one the box is about as large as the ring is long.
		require.LessOrEqual(t, max(x1-x0, y1-y0), 2*g.radius*g.sweep+rounding)
	})
}

package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// stockEnd is the cutter's end, written out a second time: the height over the tip at
// distance u from the axis.
func stockEnd(c path.Cutter, u float64) float64 {
	r := c.Diameter / 2
	switch {
	case u > r:
		return math.Inf(1)
	case c.Shape == path.Flat:
		return 0
	case c.Shape == path.Ball:
		return r - math.Sqrt(r*r-u*u)
	}
	if w := u - (r - c.Corner); w > 0 {
		return c.Corner - math.Sqrt(math.Max(0, c.Corner*c.Corner-w*w))
	}
	return 0
}

// sampledMove is a move as many places of the tip, each within apart of the next.
type sampledMove struct {
	at    []r3.Vec
	apart float64
}

func sampleMove(m path.Move, places int) sampledMove {
	w := sampledMove{}
	for i := range places + 1 {
		p := m.At(float64(i) / float64(places))
		if i > 0 {
			w.apart = math.Max(w.apart, r3.Norm(r3.Sub(p, w.at[i-1])))
		}
		w.at = append(w.at, p)
	}
	return w
}

// over returns bounds of the swept surface over (x, y) from the places of the
// tip alone: any place bounds it from above, and no place of the move lies more
// than half the gap from one of them. near is the least distance to the axis seen.
func (w sampledMove) over(c path.Cutter, x, y float64) (low, high, near float64) {
	low, high, near = math.Inf(1), math.Inf(1), math.Inf(1)
	for _, p := range w.at {
		u := math.Hypot(x-p.X, y-p.Y)
		near = math.Min(near, u)
		high = math.Min(high, p.Z+stockEnd(c, u))
		low = math.Min(low, p.Z-w.apart/2+stockEnd(c, math.Max(0, u-w.apart/2)))
	}
	return low, high, near
}

// within returns the lowest that the cutter's underside comes over (x, y) while
// its axis is nearer than reach, +Inf where it never is.
func (w sampledMove) within(c path.Cutter, reach, x, y float64) float64 {
	low := math.Inf(1)
	for _, p := range w.at {
		if u := math.Hypot(x-p.X, y-p.Y); u < reach {
			low = math.Min(low, p.Z+stockEnd(c, u))
		}
	}
	return low
}

// stockDrawCutter draws a cutter of 3 to 13 mm.
func stockDrawCutter(t *rapid.T) path.Cutter {
	c := path.Cutter{
		Shape:    path.Shape(rapid.IntRange(0, 2).Draw(t, "shape")),
		Diameter: rapid.Float64Range(3, 13).Draw(t, "diameter"),
	}
	c.Corner = c.Diameter * rapid.Float64Range(0.02, 0.48).Draw(t, "corner")
	c.Core = c.Diameter * rapid.Float64Range(0, 0.5).Draw(t, "core")
	return c
}

// stockDrawMove draws a line, a plunge, or an arc in any plane near a blank of 24 mm.
func stockDrawMove(t *rapid.T, from r3.Vec) path.Move {
	within := rapid.Float64Range(-15, 15)
	to := r3.Vec{X: within.Draw(t, "x"), Y: within.Draw(t, "y"), Z: rapid.Float64Range(-6, 1).Draw(t, "z")}
	m := path.Move{Kind: path.Line, From: from, To: to}
	switch rapid.IntRange(0, 6).Draw(t, "kind") {
	case 0:
		m.To.X, m.To.Y = from.X, from.Y
	case 1:
		m.To.Z = from.Z
	case 2: // a helix about a centre as far from both ends
		m.Kind, m.Plane = path.Arc, path.XY
		mid, d := r3.Scale(0.5, r3.Add(from, to)), r3.Sub(to, from)
		k := rapid.Float64Range(-2, 2).Draw(t, "centre")
		m.Centre = r3.Vec{X: mid.X - k*d.Y, Y: mid.Y + k*d.X, Z: from.Z}
		m.Clockwise = rapid.Bool().Draw(t, "clockwise")
	case 3: // a shallow valley along X
		m.Kind, m.Plane, m.To.Y, m.To.Z = path.Arc, path.ZX, from.Y, from.Z
		m.Centre = r3.Vec{X: (from.X + m.To.X) / 2, Y: from.Y, Z: from.Z + 40}
		m.Clockwise = m.To.X > from.X
	}
	return m
}

// What the field says is held against the tip's places alone: heights never too
// low, bites and what stood under the core never understated.
func TestStockAgainstBruteForce(t *testing.T) {
	blank := dish.Blank{Shape: dish.Square, Length: 24, Width: 24, Thickness: 10}
	rapid.Check(t, func(t *rapid.T) {
		s := NewStock(blank, rapid.Float64Range(0.7, 2).Draw(t, "cell"))
		c := stockDrawCutter(t)
		var points [][2]float64
		rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		for range 60 {
			points = append(points, [2]float64{24*rnd.Float64() - 12, 24*rnd.Float64() - 12})
		}
		low, high := make([]float64, len(points)), make([]float64, len(points))
		at := r3.Vec{Z: 1}
		for range rapid.IntRange(1, 5).Draw(t, "moves") {
			m := stockDrawMove(t, at)
			at = m.To
			way, bite := sampleMove(m, 300), s.Cut(c, m)
			require.False(t, math.IsNaN(bite.Depth) || math.IsNaN(bite.Volume) || math.IsNaN(bite.CoreDepth))
			for i, p := range points {
				lo, hi, near := way.over(c, p[0], p[1])
				if near < c.Diameter/2-s.EdgeMargin() {
					require.GreaterOrEqual(t, bite.Depth, low[i]-hi-1e-9, "bite at %v", p)
				}
				if core := way.within(c, c.Core/2, p[0], p[1]); low[i] > core+1e-9 {
					require.True(t, bite.UnderCore)
					require.GreaterOrEqual(t, bite.CoreDepth, low[i]-core-1e-9)
				}
				low[i], high[i] = math.Min(low[i], lo), math.Min(high[i], hi)
				require.GreaterOrEqual(t, s.Height(p[0], p[1]), low[i]-1e-9, "height at %v", p)
				require.GreaterOrEqual(t, s.HighestInDisc(p[0], p[1], 0), low[i]-1e-9)
				require.LessOrEqual(t, s.Height(p[0], p[1]), 0.0)
			}
		}
		// The bound is a bound of the whole cell, not of the place asked for.
		for i, p := range points {
			require.GreaterOrEqual(t, s.HighestInDisc(p[0]+1, p[1], 1.001), low[i]-1e-9)
		}
	})
}

// Over cells that one pass covers wholly the excess is the slope across a cell.
func TestStockExcessIsAsStated(t *testing.T) {
	blank := dish.Blank{Shape: dish.Square, Length: 40, Width: 40, Thickness: 10}
	rapid.Check(t, chance.Few(25, func(t *rapid.T) {
		c := stockDrawCutter(t)
		// A cell and half a step stay well inside the cutter: no cell between passes
		// is covered in part, none lies on a vertical flank.
		s := NewStock(blank, c.Diameter/2*rapid.Float64Range(0.1, 0.25).Draw(t, "cell"))
		step := c.Diameter / 2 * rapid.Float64Range(0.2, 0.8).Draw(t, "step")
		tilt := rapid.Float64Range(-0.12, 0.12).Draw(t, "tilt")
		// Passes along X that climb along X, each with its own path beside the last.
		var ways []sampledMove
		steepest := math.Abs(tilt)
		for y := -24.0; y < 24; y += step {
			m := path.Move{Kind: path.Line, From: r3.Vec{X: -24, Y: y, Z: -4 - 24*tilt}, To: r3.Vec{X: 24, Y: y, Z: -4 + 24*tilt}}
			s.Cut(c, m)
			ways = append(ways, sampleMove(m, 500))
		}
		// Beside a pass the flank rises to where the next one, and one cell more, takes over.
		if w := step/2 + s.CellSize()*math.Sqrt2 - c.Body().Flat; c.Shape != path.Flat && w > 0 {
			steepest = math.Hypot(steepest*1.1, w/math.Sqrt(c.Body().Corner*c.Body().Corner-w*w)) * 1.1
		}
		stated := s.cellSize * math.Sqrt2 * steepest
		for range 5 {
			x, y := rapid.Float64Range(-15, 15).Draw(t, "x"), rapid.Float64Range(-15, 15).Draw(t, "y")
			low := math.Inf(1)
			for _, w := range ways {
				if math.Abs(w.at[0].Y-y) <= c.Diameter/2+1 { // the others do not reach
					l, _, _ := w.over(c, x, y)
					low = math.Min(low, l)
				}
			}
			// Half the gap between the places, downwards and sideways.
			loose := ways[0].apart*(0.5+steepest) + 1e-9
			require.LessOrEqual(t, s.HighestInDisc(x, y, 0), low+stated+loose+s.cellSize*math.Sqrt2*steepest)
			require.LessOrEqual(t, s.Height(x, y), low+stated+loose)
		}
	}))
}

// No place of an arc lies farther from the same share of its chord than allowed for.
func TestStockChordsMissByNoMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := stockDrawMove(t, r3.Vec{X: rapid.Float64Range(-9, 9).Draw(t, "fx"), Z: 1})
		if m.Kind == path.Arc { // ends that differ in radius
			m.Centre.X += rapid.Float64Range(-0.5, 0.5).Draw(t, "off")
		}
		n, miss := chordCount(m)
		most := 0.0
		for i := range n {
			a, b := m.At(float64(i)/float64(n)), m.At(float64(i+1)/float64(n))
			for k := 1; k < 8; k++ {
				f := float64(k) / 8
				most = math.Max(most, r3.Norm(r3.Sub(m.At((float64(i)+f)/float64(n)), r3.Add(a, r3.Scale(f, r3.Sub(b, a))))))
			}
		}
		require.LessOrEqual(t, most, miss+1e-9)
		if angle, r0, r1 := m.Sweep(); m.Kind == path.Arc && r0 == r1 && angle != 0 && m.Length() < 1000 {
			require.LessOrEqual(t, miss, maxChordMiss*(1+1e-9))
		}
	})
}

// The plane of tangent lies nowhere above the surface, nor do lowerBoundWithin and quickLowerBound.
func TestStockLowerBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := stockDrawCutter(t)
		to := r3.Vec{X: rapid.Float64Range(0, 20).Draw(t, "x"), Z: rapid.Float64Range(-8, 8).Draw(t, "z")}
		k := newStraightRun(c.Body(), r3.Vec{}, to, 0)
		rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		reach := 3 * rnd.Float64()
		for range 200 {
			s, v := to.X*rnd.Float64()*1.4-3, 14*rnd.Float64()-7
			f, gs, gv, ok := k.tangent(s, v, reach)
			floor, quick := k.lowerBoundWithin(s, v, reach), k.quickLowerBound(s, v, reach)
			for range 5 {
				sin, cos := math.Sincos(7 * rnd.Float64())
				ds, dv := reach*rnd.Float64()*cos, reach*rnd.Float64()*sin
				there, _ := k.surfaceAt(s+ds, v+dv)
				if ok {
					require.GreaterOrEqual(t, there, f+gs*ds+gv*dv-1e-9*(1+math.Abs(gs)+math.Abs(gv)))
				}
				require.GreaterOrEqual(t, there, floor-1e-9)
				require.GreaterOrEqual(t, there, quick-1e-9)
			}
		}
	})
}

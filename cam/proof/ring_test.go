package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Whatever the sweep of an arc and the shape of a cell, nothing in the cell stands higher
// than the bound that the arc gives it. The cells reach from one place of the footprint
// to another, often from end to end of the arc, where a footprint that goes round its
// middle is not convex. The height is the plain one: that of the cutter at the nearest
// place of the arc; and of two rings a mean of theirs.
func TestRingsOverAnyCell(t *testing.T) {
	d := rand.New(rand.NewPCG(24, 1))
	between := func(a, b float64) float64 { return a + (b-a)*d.Float64() }
	bounded := 0
	for range 4000 {
		c := path.Cutter{Shape: path.Flat, Diameter: between(3, 9)}
		if d.IntN(3) > 0 {
			c = path.Cutter{Shape: path.Bull, Diameter: c.Diameter, Corner: c.Diameter * between(0.01, 0.5)}
		}
		tool := tiltedEnd(c, 0)
		rho := tool.Radius() * between(1.501, 2.2)
		sweep := between(0.3, 2*math.Pi)
		climb := between(-0.02, 0.02)
		end := func(a float64) r3.Vec { return r3.Vec{X: rho * math.Cos(a), Y: rho * math.Sin(a), Z: climb*a - 1} }
		m := path.Move{Kind: path.Arc, Plane: path.XY, From: end(-sweep / 2), To: end(sweep / 2)}
		place := func(at float64) (x, y float64) {
			if d.IntN(3) == 0 {
				at = d.Float64()
			}
			turn, off := between(0, 2*math.Pi), tool.Radius()*math.Sqrt(d.Float64())
			if d.IntN(2) == 0 { // behind the centre, seen from the arc
				turn, off = between(2.6, 3.7), tool.Radius()*between(0.8, 1)
			}
			sin, cos := math.Sincos(turn)
			v := m.At(at)
			return v.X + off*cos, v.Y + off*sin
		}
		ax, ay := place(0)
		bx, by := place(1)
		long := math.Hypot(bx-ax, by-ay)
		cell := cell{x: (ax + bx) / 2, y: (ay + by) / 2, hv: long / 2, hu: math.Exp(between(-12, -0.5)) * rho}
		face := dish.Face{Kind: dish.Flat, Rim: 1000}
		if kind := [...]dish.Kind{dish.Flat, dish.Hollow, dish.Crown}[d.IntN(3)]; kind != dish.Flat {
			face = dish.Face{Kind: kind, Radius: 10 * rho, Rim: 9 * rho}
		}
		w := worker{search: &search{face: face, slack: 1e-3}, tile: &tile{half: 1e3},
			ux: (by - ay) / long, uy: (ax - bx) / long, rings: true, best: Scallop{Certified: math.Inf(-1), Found: math.Inf(-1)}}
		rings := tool.rings(m)
		for i, r := range rings {
			require.True(t, w.findCorners(cell))
			w.local = newLocalFace(w.face, cell.x, cell.y)
			for k, p := range w.corners[:w.cornerCount] {
				w.bases[k] = w.local.base(p.x, p.y)
			}
			// By itself, and in a mean with the next, or with one beside it.
			beside := m
			out := between(-0.7, 0.7) * tool.Radius() / rho
			beside.From.X, beside.From.Y, beside.To.X, beside.To.Y = m.From.X*(1+out), m.From.Y*(1+out), m.To.X*(1+out), m.To.Y*(1+out)
			other := rings[(i+1)%len(rings)]
			if others := tool.rings(beside); d.IntN(2) == 0 && len(others) > i {
				other = others[i]
			}
			share, bound := math.Min(1, between(0, 1.3)), math.Inf(-1)
			var heights [2]cornerHeights
			for k, r := range [2]*run{r, other} {
				w.candidates, w.known, w.heights = w.candidates[:0], w.known[:0], w.heights[:0]
				w.push(candidate{run: r}, unknownHeights)
				if w.addHeights(cell, &w.candidates[0]); len(w.heights) > 0 {
					heights[k] = w.heights[0]
				} else if share = 1; k == 0 {
					share = -1
					break
				}
			}
			if share < 0 {
				continue
			}
			for k := range w.heightCount() {
				bound = math.Max(bound, share*heights[0].height[k]+(1-share)*heights[1].height[k])
			}
			bounded++
			plain := func(r *run, x, y float64) float64 {
				_, _, off := r.ring.nearest(x, y)
				return w.height(planPoint{x, y}, r.lowest+min(r.ring.up(x, y), math.Abs(r.ring.rise))+tool.Profile(off))
			}
			for i := -2.0; i <= 2; i++ {
				for k := -20.0; k <= 20; k++ {
					u, v := cell.hu*i/2, cell.hv*k/20
					x, y := cell.x+u*w.ux-v*w.uy, cell.y+u*w.uy+v*w.ux
					left := plain(r, x, y)
					if share < 1 {
						left = share*left + (1-share)*plain(other, x, y)
					}
					require.LessOrEqual(t, left, bound+1e-9, "at %g, %g of a sweep of %g", x, y, sweep)
				}
			}
		}
	}
	require.Greater(t, bounded, 1000)
}

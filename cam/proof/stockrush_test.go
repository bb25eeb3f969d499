package proof

import (
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Traverses that come down at one place are one, whatever short feeds stand between; pecks
// back to where the hole ends already, and ways down at other places, are none.
func TestTraversesAtOnePlaceAddUp(t *testing.T) {
	flat := path.Cutter{Shape: path.Flat, Diameter: 6, DepthOfCut: 3, FluteLength: 20}
	run := func(draw func(r *route)) int {
		s := NewStock(dish.Blank{Shape: dish.Square, Length: 60, Width: 60, Thickness: 30}, 1)
		r := newRoute("", flat, r3.Vec{Z: 5})
		draw(r)
		return len(s.Run(flat, r.Path.Moves).Traverses)
	}
	require.Positive(t, run(func(r *route) {
		r.to(path.Traverse, 0, 0, 0)
		for range 20 {
			r.by(path.Traverse, 0, 0, -0.04)
			r.by(path.Line, 0.001, 0, 0)
		}
	}))
	require.Zero(t, run(func(r *route) { // pecks
		for z := -0.05; z > -2; z -= 0.05 {
			r.to(path.Traverse, 0, 0, min(z+0.05, 0))
			r.to(path.Line, 0, 0, z)
			r.to(path.Traverse, 0, 0, 2)
		}
	}))
	require.Zero(t, run(func(r *route) { // each a little too deep, and off
		for x := -20.0; x < 20; x += 2 {
			r.to(path.Traverse, x, 0, 2)
			r.by(path.Traverse, 0, 0, -2.04)
			r.by(path.Line, 0, 10, 0)
			r.by(path.Traverse, 0, 0, 3)
			r.by(path.Traverse, 0, -10, 0)
		}
	}))
}

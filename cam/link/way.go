package link

import (
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// StraightWay returns places on the straight line in plan from a to b, both included, between
// which straight moves keep within tol of the heights that z gives, mm.
func (b *Builder) StraightWay(from, to r2.Vec, z func(u, v float64) float64, tol float64) (way []r3.Vec) {
	step := r2.Sub(to, from)
	at := func(share float64) r2.Vec { return exact.AddScaled2(from, step, share) }
	for _, share := range Chords(func(share float64) float64 { p := at(share); return z(p.X, p.Y) }, 0, 1, tol) {
		p := at(share)
		way = append(way, b.Place(p.X, p.Y, z))
	}
	return way
}

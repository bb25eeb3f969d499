package extra

import (
	"math"

	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Run is a straight run of a cutter's tip, in plan along X or along Y, that leaves a mark
// which something is measured by: it ends a way down along its own line, and nothing is cut
// beside that line or below it.
type Run struct {
	Name     string
	From, To r3.Vec // of the tip; To is no higher than From
	Aside    r2.Vec // the tip's last way in the air before it comes down; zero where any will do
	Radius   float64
}

// Off returns how far a place lies from the run in plan, and how high it lies above the run
// where that is nearest.
func (r Run) Off(p r3.Vec) (plan, above float64) {
	t := nearestFraction(r.From.X, r.From.Y, r.To.X, r.To.Y, p.X, p.Y)
	q := exact.AddScaled3(r.From, r3.Sub(r.To, r.From), t)
	return exact.Dist(p.X-q.X, p.Y-q.Y), p.Z - q.Z
}

// Clear returns how far a place in plan lies outside what the run takes.
func (r Run) Clear(x, y float64) float64 {
	plan, _ := r.Off(r3.Vec{X: x, Y: y})
	return plan - r.Radius
}

// Low returns the run's lowest height.
func (r Run) Low() float64 { return math.Min(r.From.Z, r.To.Z) }

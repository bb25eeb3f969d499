package work

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
)

// Steep returns the steepest allowed descent into stock, as a tangent rounded to
// nine digits (the library's Tan may differ in its last one between machines).
// The last 2 % are kept for the rounding of coordinates.
func Steep(c path.Cutter) float64 {
	return math.Round(Kept*1e9*math.Tan(c.Ramp)) / 1e9
}

// Kept is the share of a slope that is used.
const Kept = 0.98

// MustClimb reports whether a pass down the slope of a face would be steeper at
// its rim than the cutter may go down into stock.
func MustClimb(f dish.Face, c path.Cutter) bool { return MustClimbWith(NewTool(f, c), c) }

// MustClimbWith reports whether a pass down the slope would be steeper than the
// cutter may go down into stock: then passes have to climb.
func MustClimbWith(t Tool, c path.Cutter) bool {
	return c.Core > 0 && math.Abs(t.Rise(t.RimReach(), 0)) > Steep(c)
}

package work

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"
	"dishwright/machines"
)

// Effect is what an error does: at worst, and typically, which is the root of the mean
// square where every part of it lies anywhere within its bounds.
type Effect struct{ Worst, Typical float64 }

// Distortion is what a machine's own errors make of a face that is cut without regard to
// them, or of one for which they are corrected.
type Distortion struct {
	Least, Most float64 // radii across one another, mm
	Angle       float64 // of the least from X, radians, −π/2 to π/2
	Radius      Effect  // how far the radius may be from the one wanted, mm
	Round       Effect  // how far the rim stands out of its mean height, mm
	Ridge       Effect  // what comes on top of the certified scallop, mm
}

// Distorted works out what the machine's errors do to the work's face, finished in steps of
// at most step mm.
//
// Told to cut a sphere, a machine with the plan map M (axes too long by their shares, Y
// leaning) and heights too great by the share s_z cuts a face of the curvature matrix
// (1 + s_z)/R · M⁻ᵀM⁻¹: its radii are R/(1 + s_z) times the squares of the singular
// values of M. Round the rim its height swings by the sagitta times √((s_x − s_y)² +
// lean²), to first order.
//
// Where passes run both ways a backlash b shifts one against the next by up to b: on the
// slope θ that is a step of θ b, it widens a step s to s + b, and a scallop h with it by
// 2 h b/s; in height it goes in one to one.
func (w *Work) Distorted(step float64) Distortion {
	e, R, sagitta := w.Machine.Errors, w.Face.Radius, w.Face.Sagitta()
	known := e
	if e.Corrected {
		known.Scale.X, known.Scale.Y, known.Scale.Z, known.Lean = 0, 0, 0, 0
	}
	d := Distortion{}
	d.Least, d.Most, d.Angle = radii(R, known)
	off := max(math.Abs(d.Most-R), math.Abs(d.Least-R))
	swing := float64(sagitta * exact.Dist(known.Scale.X-known.Scale.Y, known.Lean))
	// What is not known of two scales, their difference from the height's, and the lean.
	u := e.Uncertainty
	d.Radius = Effect{off + float64(4*u*R), exact.Dist(off, float64(math.Sqrt2*u*R))}
	d.Round = Effect{swing + float64(math.Sqrt(5)*u*sagitta), exact.Dist(swing, float64(u*sagitta))}
	b := exact.Dist(e.Backlash.X, e.Backlash.Y)
	parts := [...]float64{float64(w.Face.RimSlope() * b), 0, e.Backlash.Z}
	if step > 0 {
		parts[1] = 2 * w.Scallop * b / step
	}
	sum, squares := 0.0, 0.0
	for _, p := range parts {
		sum, squares = sum+p, squares+exact.Square(p)
	}
	d.Ridge = Effect{sum, math.Sqrt(squares / 3)}
	return d
}

// radii returns the two principal radii of a face that was to have one, and the
// direction of the least.
func radii(R float64, e machines.GeometryErrors) (least, most, angle float64) {
	m := path.Warp{Scale: e.Scale, Lean: e.Lean}
	a, b, c := 1+m.Scale.X, float64(m.Lean*(1+m.Scale.Y)), 1+m.Scale.Y // M = [[a, b], [0, c]]
	// M Mᵀ has the squares of the singular values, in the directions of what is cut.
	xx, xy, yy := float64(a*a)+float64(b*b), float64(b*c), float64(c*c)
	mean, half := (xx+yy)/2, exact.Dist((xx-yy)/2, xy)
	k := R / (1 + m.Scale.Z)
	angle = math.Atan2(xy, (xx-yy)/2)/2 + math.Pi/2 // of the least
	if angle > math.Pi/2 {
		angle -= math.Pi
	}
	return float64(k * (mean - half)), float64(k * (mean + half)), angle
}

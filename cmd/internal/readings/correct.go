package readings

import (
	"math"

	"dishwright/dish/fit"
	"dishwright/dish/measure"
	"dishwright/machines"
)

// Correction is what to write for the next cut, so that it comes out right.
type Correction struct {
	In     string         `json:"in,omitempty"` // profile or job; empty where nothing is warranted
	Lines  []measure.Said `json:"lines"`        // as they are written there
	Why    measure.Said   `json:"why"`
	Errors *AsErrors      `json:"errors,omitempty"`         // of the machine, with those that its profile corrects already
	Radius float64        `json:"radius_mm,omitempty"`      // to ask for
	Low    float64        `json:"radius_low_mm,omitempty"`  // that would come out right with as much chance as the one found
	High   *float64       `json:"radius_high_mm,omitempty"` // is the true one
}

// InProfile and InJob are where a correction is written.
const (
	InProfile = "profile"
	InJob     = "job"
)

const (
	// mostError is how far off an axis may be in a profile, as a share.
	mostError = 0.02
	// otherFace is by which share a face's curvature is off that is rather another face: more
	// than three axes that are off by the most make of it.
	otherFace = 0.1
)

// correct works out the next cut's correction.
func (r *Report) correct(t Target, found fit.Sphere) {
	c := &Correction{Lines: []measure.Said{}}
	r.Correction = c
	switch o := r.Roundness; {
	case o != nil && o.Sure && r.AsErrors == nil:
		c.Why = measure.Say("no correction: no machine that is told to cut a sphere cuts this; see that it lay flat, cut and measured")
	case o != nil && o.Sure:
		c.ofMachine(*r.AsErrors, t.Errors)
	case r.Within:
		c.Why = measure.Say("no correction is warranted: the radius asked for lies within the interval")
	default:
		c.ofRadius(t, found)
	}
}

// ofMachine is a face that is surely not round: the profile's errors make up for it.
func (c *Correction) ofMachine(e AsErrors, old machines.GeometryErrors) {
	if !old.Corrected {
		old.Scale.X, old.Scale.Y, old.Lean = 0, 0, 0 // what was cut has them
	}
	x, y, lean := 1+e.ScaleX/100, 1+e.ScaleY/100, e.Lean/100
	// Of the maps [[x, lean y], [0, y]] the one found works on what the old one left.
	lean = (x*old.Lean*(1+old.Scale.Y) + lean*y*(1+old.Scale.Y)) / (y * (1 + old.Scale.Y))
	x, y = x*(1+old.Scale.X), y*(1+old.Scale.Y)
	e.ScaleX, e.ScaleY, e.Lean = 100*(x-1), 100*(y-1), 100*lean
	c.Errors = &e
	if max(math.Abs(e.ScaleX), math.Abs(e.ScaleY), math.Abs(e.Lean), e.Within) > 100*mostError {
		c.Why = measure.Say("no correction: axes that are off by over %v are no machine's; see its steps a mm, and that the face lay flat, cut and measured", measure.Tan(mostError))
		return
	}
	c.In = InProfile
	c.Why = measure.Say("in the profile of the machine that cut it, if its heights are true and X and Y were its own; a spindle that leans cuts an oval too: square it first")
	scale := measure.Say("x: %v, y: %v", measure.Tan(x-1), measure.Tan(y-1))
	if old.Scale.Z != 0 {
		scale = measure.Say("%v, z: %v", scale, measure.Tan(old.Scale.Z))
	}
	c.Lines = append(c.Lines, measure.Say("errors:"), measure.Say("  scale: {%v}", scale))
	if e.Leans || old.Lean != 0 {
		c.Lines = append(c.Lines, measure.Say("  lean: %v", measure.Tan(lean)))
	}
	if b := old.Backlash; b.X != 0 || b.Y != 0 || b.Z != 0 {
		c.Lines = append(c.Lines, measure.Say("  backlash: {x: %v, y: %v, z: %v}", measure.Put(b.X), measure.Put(b.Y), measure.Put(b.Z)))
	}
	c.Lines = append(c.Lines, measure.Say("  known within: %v", measure.Tan(e.Within/100)), measure.Say("  corrected: yes"))
}

// ofRadius is a face of another radius: what came out too curved is asked for flatter by as
// much.
func (c *Correction) ofRadius(t Target, found fit.Sphere) {
	wanted, told := 1/t.Radius.MM, 1/t.told()
	k := told + wanted - math.Abs(found.Curvature)
	if off := math.Abs(found.Curvature) - told; math.Abs(off)-found.HalfInterval > otherFace*told || !(k > 1/flattest) {
		c.Why = measure.Say("no correction: no machine that was told to cut %v is so far off; is it another face, or another unit?", radius(t.told()))
		return
	}
	c.In, c.Radius, c.Low = InJob, 1/k+t.Over, 1/(k+found.HalfInterval)+t.Over
	between := measure.Say("to no limit")
	if left := k - found.HalfInterval; left > 1/flattest {
		high := 1/left + t.Over
		c.High, between = &high, measure.Say("to %v", radius(high))
	}
	c.Lines = append(c.Lines, measure.Say("radius: %v", radius(c.Radius)))
	c.Why = measure.Say("in the job, if the same machine cuts it again; the readings leave %v %v", radius(c.Low), between)
}

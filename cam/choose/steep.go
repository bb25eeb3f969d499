package choose

import (
	"dishwright/cam"
	"dishwright/cam/pass"
	"dishwright/cam/work"
	"dishwright/dish"
)

// divesUnseen reports whether only the field of what stands can tell how steeply a
// plan's finishing passes go down into stock.
func divesUnseen(p cam.Plan) bool {
	c, _ := p.Work.Cutter(p.Finish)
	return !pass.ClimbsAlone(p.Pattern) && work.MustClimb(p.Work.Face, c)
}

// verySteep reports whether a face rises so much at its rim, by more than 17 degrees, that
// what roughing leaves beside it, in steps as wide as on any, may be more than finishing
// may bite.
func verySteep(f dish.Face) bool { return f.Rim > 0.3*f.Radius }

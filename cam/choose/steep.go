package choose

import (
	"slices"

	"dishwright/cam"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
)

// unseen reports whether only the field of what stands can tell whether a plan keeps every
// bound.
func unseen(p cam.Plan) bool {
	return divesUnseen(p) || verySteep(p.Work.Face) || slices.ContainsFunc(p.Programs, func(pr work.Program) bool { return overhangs(pr.Cutter) })
}

// overhangs reports whether a cutter's core reaches beyond its level end: under it more stands
// than under the tip, how much follows from all that was cut before, and what it leaves is in
// the way of its edges later.
func overhangs(c path.Cutter) bool { return c.Core/2 > c.Body().Flat }

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

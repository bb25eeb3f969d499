package choose

import (
	"math"

	"dishwright/cam"
	"dishwright/cam/pass"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// steepInto returns why a plan's finishing passes go down into stock more steeply
// than their cutter may, or bite deeper.
func steepInto(p cam.Plan) error {
	if !divesUnseen(p) && !verySteep(p.Work.Face) {
		return nil
	}
	_, err := deepestBite(p, true)
	return err
}

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

// deepestBite runs a plan's programs over the blank. It returns the deepest bite, mm (where only
// deeper ones than may be are looked for, one of those or 0), and why a finishing pass goes
// down into stock more steeply than its cutter may, or on a very steep face any bites deeper.
func deepestBite(p cam.Plan, onlyTooDeep bool) (bite float64, err error) {
	narrowest := math.Inf(1)
	for _, pr := range p.Programs {
		narrowest = min(narrowest, pr.Cutter.Diameter)
	}
	s := proof.NewStock(p.Work.Blank, proof.CellSize(p.Work.Blank, narrowest))
	s.Slope, s.SkipAllowedBites = dish.Slope(p.Work.Face.Radius, p.Work.Face.Rim), onlyTooDeep
	for _, pr := range p.Programs {
		for _, sec := range pr.Sections {
			r := s.RunOnMachine(p.Work.Machine, pr.Cutter, sec.Moves)
			bite = max(bite, r.Depth)
			if len(r.TooDeep) > 0 && err == nil && verySteep(p.Work.Face) {
				err = work.Problems{{
					Kind:    work.KindBite,
					Key:     work.KeyPattern,
					Message: measure.Say("on a face so steep %s bites %v in places; it may take %v", pr.Cutter.Name, measure.To(r.TooDeep[0].Depth, 2), measure.To(pr.Cutter.DepthOfCut, 2)),
					Hint:    measure.Say("another pattern, cutters that may bite deeper, a smaller diameter, or a larger radius"),
				}}
			}
			if len(r.TooSteep) == 0 || sec.Purpose != work.Finishing || err != nil {
				continue
			}
			worst := r.TooSteep[0]
			err = work.Problems{{
				Kind:    work.KindRamp,
				Key:     work.KeyPattern,
				Message: measure.Say("%s with %s goes down into stock at %.1f degrees; it may at %.1f", p.Pattern, pr.Cutter.Name, worst.Angle*180/math.Pi, pr.Cutter.Ramp*180/math.Pi),
				Hint:    measure.Say("another pattern, such as a raster, which then only climbs; a smaller allowance; or a greater ramp, if the cutter can plunge"),
			}}
		}
	}
	return bite, err
}

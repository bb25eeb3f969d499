package choose

import (
	"fmt"
	"math"

	"dishwright/cam"
	"dishwright/cam/proof"
	"dishwright/dish"
)

// steepInto returns why a plan's finishing passes go down into stock more steeply
// than their cutter may. The raster climbs by itself where that could be; other
// patterns rely on what their own passes have cleared before, and the field of
// what stands has the last word on that.
func steepInto(p cam.Plan) error {
	c, _ := p.Work.Cutter(p.Finish)
	if p.Work.Pattern == "raster" || !cam.MustClimb(p.Work.Face, c) {
		return nil
	}
	narrowest := math.Inf(1)
	for _, pr := range p.Programs {
		narrowest = math.Min(narrowest, pr.Cutter.Diameter)
	}
	s := proof.NewStock(p.Work.Blank, proof.CellFor(p.Work.Blank, narrowest))
	s.Slope = dish.Slope(p.Work.Face.Radius, p.Work.Face.Rim)
	for _, pr := range p.Programs {
		for _, sec := range pr.Sections {
			r := s.RunOn(p.Work.Machine, pr.Cutter, sec.Moves)
			if len(r.Steeper) == 0 || sec.Purpose != cam.Finishing {
				continue
			}
			worst := r.Steeper[0]
			return cam.Problems{{
				Key:     "pattern",
				Message: fmt.Sprintf("%s with %s goes down into stock at %.1f degrees; it may at %.1f", p.Work.Pattern, c.Name, worst.Angle*180/math.Pi, c.Ramp*180/math.Pi),
				Hint:    "another pattern, such as a raster, which then only climbs; a smaller allowance; or a greater ramp, if the cutter can plunge",
			}}
		}
	}
	return nil
}

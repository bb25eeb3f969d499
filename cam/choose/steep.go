package choose

import (
	"fmt"
	"math"

	"dishwright/cam"
	"dishwright/cam/proof"
	"dishwright/dish"
)

// steepInto returns why a plan's finishing passes go down into stock more steeply
// than their cutter may.
func steepInto(p cam.Plan) error {
	if !divesUnseen(p) {
		return nil
	}
	_, err := dig(p)
	return err
}

// divesUnseen reports whether only the field of what stands can tell how steeply a
// plan's finishing passes go down into stock. The raster climbs by itself where
// that could be; other patterns rely on what their own passes have cleared before.
func divesUnseen(p cam.Plan) bool {
	c, _ := p.Work.Cutter(p.Finish)
	return p.Work.Pattern != "raster" && cam.MustClimb(p.Work.Face, c)
}

// dig runs a plan's programs over the blank. It returns the deepest bite, mm, and
// why a finishing pass goes down into stock more steeply than its cutter may.
func dig(p cam.Plan) (bite float64, err error) {
	narrowest := math.Inf(1)
	for _, pr := range p.Programs {
		narrowest = min(narrowest, pr.Cutter.Diameter)
	}
	s := proof.NewStock(p.Work.Blank, proof.CellFor(p.Work.Blank, narrowest))
	s.Slope = dish.Slope(p.Work.Face.Radius, p.Work.Face.Rim)
	for _, pr := range p.Programs {
		for _, sec := range pr.Sections {
			r := s.RunOn(p.Work.Machine, pr.Cutter, sec.Moves)
			bite = max(bite, r.Depth)
			if len(r.Steeper) == 0 || sec.Purpose != cam.Finishing || err != nil {
				continue
			}
			worst := r.Steeper[0]
			err = cam.Problems{{
				Key:     "pattern",
				Message: fmt.Sprintf("%s with %s goes down into stock at %.1f degrees; it may at %.1f", p.Work.Pattern, pr.Cutter.Name, worst.Angle*180/math.Pi, pr.Cutter.Ramp*180/math.Pi),
				Hint:    "another pattern, such as a raster, which then only climbs; a smaller allowance; or a greater ramp, if the cutter can plunge",
			}}
		}
	}
	return bite, err
}

package shop

import (
	"fmt"

	"dishwright/cam"
	"dishwright/cam/path"
	"dishwright/dish"
)

// Touching are the sentences that say what is touched off, and what the machine's
// display is then set to, with a cutter: X and Y first, then Z. None where the job says
// nothing of it.
func (r *Result) Touching(c path.Cutter) []string {
	w := r.Plan.Work
	t := w.TouchOff
	if t.On == "" {
		return nil
	}
	between, to := "", ""
	if t.Block > 0 {
		between = fmt.Sprintf(" with %s between", r.own(t.Block))
		to = fmt.Sprintf(", %s between", r.own(t.Block))
	}
	var xy string
	switch t.On {
	case cam.TouchCorner:
		xy = fmt.Sprintf("Cutter still, power off. Its side on the blank's left side%s: set X to %s. Its side on the blank's front side%s: set Y to %s.",
			between, r.own(-w.Blank.Length/2-c.Radius()-t.Block), between, r.own(-w.Blank.Width/2-c.Radius()-t.Block))
	case cam.TouchEdges:
		xy = fmt.Sprintf("Cutter still, power off. Its side on the blank's left and right sides%s, at the same Y: X0 is half way. On the front and back sides, at X0: Y0 is half way.", between)
	case cam.TouchHole:
		xy = "Cutter still, power off. A pin that fits the centre hole, or the cutter's side on the hole's left and right walls: X0 is half way; front and back: Y0 is half way."
	default:
		xy = "Cutter still, power off. Its tip over the crossing of the blank's diagonals: set X and Y to 0."
		if w.Blank.Outline == dish.Round {
			xy = "Cutter still, power off. Its tip over the crossing of two diameters of the blank: set X and Y to 0."
		}
		if w.Band != nil {
			xy = "Cutter still, power off. Its tip over the mark of the top's apex: set X and Y to 0."
		}
	}
	return []string{xy, r.touchZ(to)}
}

// touchZ says how Z is set; between is what lies under the tip.
func (r *Result) touchZ(between string) string {
	w := r.Plan.Work
	on := "the blank's top"
	switch {
	case w.ZeroAtBed:
		on = "the bed, beside the blank"
	case w.TouchOff.On == cam.TouchApex:
		on = "the blank's top at X0 Y0, the apex"
	case r.Report.Touch != nil:
		on += ", beside what is cut, at " + r.xy(r.Report.Touch.X, r.Report.Touch.Y)
	}
	return fmt.Sprintf("Its tip on %s%s: set Z to %s. Then take everything away.", on, between, r.own(w.TouchOff.Block))
}

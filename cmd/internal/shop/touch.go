package shop

import (
	"fmt"

	"dishwright/cam"
	"dishwright/cam/path"
	"dishwright/dish"
)

// stops are the sentences that say what is done before program i is started: how the
// blank is laid, and what is touched off.
func (r *Result) stops(i int) []string {
	pr := r.Plan.Programs[i]
	list := r.bring(i)
	touch := r.touching(pr.Cutter, pr.Setup)
	if r.raw(i) {
		w, n := r.Plan.Work, len(touch)
		z := fmt.Sprintf("Its tip on the highest place of the blank's raw top%s: set Z to %s. Then take everything away.", r.block(), r.own(w.Skim.Off+w.TouchOff.Block))
		return append(append(list, touch[:max(0, n-1)]...), z)
	}
	if len(touch) == 0 && pr.Setup.Number > 1 && len(list) > 0 {
		touch = []string{r.touchZ(r.block(), pr.Setup)}
	}
	return append(list, touch...)
}

// raw reports whether the blank's top is not skimmed yet when program i begins, and Z0 is
// touched off on it.
func (r *Result) raw(i int) bool {
	w := r.Plan.Work
	if !(w.Skim.Off > 0) || w.ZeroAtBed {
		return false
	}
	for _, p := range r.Plan.Programs[:i] {
		if p.Purpose() == cam.Skim {
			return false
		}
	}
	return true
}

// touchIn returns the place at which the blank's top is touched in a setup; nil where
// there is none.
func (r *Result) touchIn(s path.Setup) *Place {
	w := r.Plan.Work
	x, y, ok := 0.0, 0.0, false
	if s.Number > 0 {
		x, y, ok = cam.TouchIn(w, r.Plan.Layout, s)
	} else {
		x, y, ok = cam.TouchBeside(w, r.Extras)
	}
	if !ok {
		return nil
	}
	return &Place{x, y}
}

// block says what lies under the tip when Z is touched off.
func (r *Result) block() string {
	if b := r.Plan.Work.TouchOff.Block; b > 0 {
		return fmt.Sprintf(", %s between", r.own(b))
	}
	return ""
}

// Touching are the sentences that say what is touched off, and what the machine's
// display is then set to, with a cutter: X and Y first, then Z. None where the job says
// nothing of it.
func (r *Result) Touching(c path.Cutter) []string {
	return r.touching(c, r.Plan.Programs[0].Setup)
}

// touching is Touching in a setup: X0 and Y0 are kept from the first.
func (r *Result) touching(c path.Cutter, s path.Setup) []string {
	w := r.Plan.Work
	t := w.TouchOff
	if t.On == "" {
		return nil
	}
	if s.Number > 1 {
		return []string{r.touchZ(r.block(), s)}
	}
	between := ""
	if t.Block > 0 {
		between = fmt.Sprintf(" with %s between", r.own(t.Block))
	}
	var xy string
	switch t.On {
	case cam.TouchCorner:
		xy = fmt.Sprintf("Cutter still, its motor's power off. Its side on the blank's left side%s: set X to %s. Its side on the blank's front side%s: set Y to %s.",
			between, r.own(-w.Blank.Length/2-c.Radius()-t.Block), between, r.own(-w.Blank.Width/2-c.Radius()-t.Block))
	case cam.TouchEdges:
		xy = fmt.Sprintf("Cutter still, its motor's power off. Its side on the blank's left and right sides%s, at the same Y: X0 is half way. On the front and back sides, at X0: Y0 is half way.", between)
	case cam.TouchHole:
		xy = "Cutter still, its motor's power off. A pin that fits the centre hole, or the cutter's side on the hole's left and right walls: X0 is half way; front and back: Y0 is half way."
	default:
		xy = "Cutter still, its motor's power off. Its tip over the crossing of the blank's diagonals: set X and Y to 0."
		if w.Blank.Shape == dish.Round {
			xy = "Cutter still, its motor's power off. Its tip over the crossing of two diameters of the blank: set X and Y to 0."
		}
		if w.Band != nil {
			xy = "Cutter still, its motor's power off. Its tip over the mark of the top's apex: set X and Y to 0."
		}
	}
	return []string{xy, r.touchZ(r.block(), s)}
}

// touchZ says how Z is set; between is what lies under the tip.
func (r *Result) touchZ(between string, s path.Setup) string {
	w, touch := r.Plan.Work, r.Report.Touch
	if s.Number > 1 {
		touch = r.touchIn(s)
	}
	on := "the blank's top"
	switch {
	case w.ZeroAtBed:
		on = "the bed, beside the blank"
	case w.TouchOff.On == cam.TouchApex && s.Number <= 1:
		on = "the blank's top at X0 Y0, the apex"
	case touch != nil:
		on += ", beside what is cut, at " + r.xy(touch.X, touch.Y)
	}
	return fmt.Sprintf("Its tip on %s%s: set Z to %s. Then take everything away.", on, between, r.own(w.TouchOff.Block))
}

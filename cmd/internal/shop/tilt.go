package shop

import (
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/extra"
	"dishwright/dish/measure"
)

// widest returns, of the cutters that may leave the last of a place of the face, the one
// with the widest level end, and how many programs there are to the last that finishes;
// 0 where none does.
func (r *Result) widest() (c path.Cutter, programs int) {
	n := r.finishing()
	if n < 0 {
		return c, 0
	}
	list := r.Plan.Programs
	c = list[n].Cutter
	for _, p := range list[:n] {
		if p.Cutter.Body().Flat > c.Body().Flat && slices.ContainsFunc(p.Sections, func(s work.Section) bool {
			return slices.ContainsFunc(s.Moves, func(m path.Move) bool { return leaves(&r.Plan.Work, r.Extras, p.Cutter, p.Setup, m) })
		}) {
			c = p.Cutter
		}
	}
	return c, n + 1
}

// leaves reports whether a move, as the machine makes it in a setup, may leave the last of a place
// of the face: whether the cutter runs along the face, no further from it than the scallop. What
// goes down passes that height and does not run along it, or does so in a hole.
func leaves(w *work.Work, extras extra.Set, c path.Cutter, setup path.Setup, m path.Move) bool {
	for _, share := range [...]float64{0, 0.5, 1} {
		at := setup.Blank(m.At(share))
		d := w.Face.Distance(at.X, at.Y)
		above := at.Z - w.Face.Tip(c.Body(), d)
		const slack = 1e-3 // mm: coordinates are rounded
		in := func(h extra.Hole) bool { return h.DiscOutside(at.X, at.Y, c.Radius()) <= slack }
		if !(d < w.Face.Rim+c.Radius()) || !(math.Abs(above) <= w.Scallop) || slices.ContainsFunc(extras.Holes, in) {
			return false
		}
	}
	return m.Kind != path.Traverse
}

// tilt finds from which tilt of the spindle on the passes no longer keep the scallop for
// certain, and warns where they are laid for a square one, or do not keep it.
func (r *Result) tilt(programs []proof.Program, ridge proof.Scallop) error {
	w := &r.Plan.Work
	widest, n := r.widest()
	if n == 0 {
		return nil
	}
	r.Report.Tilt.StatedMM = work.Per100(w.Tilt)
	// What the top leans is no tilt to the bed, but counts as one.
	tilt := w.OutOfSquare()
	top, from, kept := tilt-w.Tilt, tilt, ridge.Certified <= w.Scallop
	if tilt > 0 && !kept && widest.Body().Flat > 0 {
		var cuts []proof.Cut
		for _, p := range programs[:n] {
			cuts = append(cuts, proof.Cut{Cutter: p.Cutter, Moves: p.Path.Moves})
		}
		square, err := proof.Certify(w.Face, 0, cuts, proof.CertifyOptions{Expected: w.Scallop, Undersize: w.Undersize, Region: w.Region})
		if err != nil {
			return err
		}
		ridge, from = square, 0
	}
	bears := proof.AllowedTilt(widest, w.Scallop, ridge.Certified, from)
	if math.IsInf(bears, 1) {
		return nil
	}
	bears = math.Floor(work.Per100(max(0, bears-top))*1e4) / 1e4
	if kept { // kept there: rounding down and what a strip may lay bare do not undo it
		bears = max(bears, work.Per100(w.Tilt))
	}
	r.Report.Tilt.BreaksFromMM = &bears
	if w.Tilt > 0 && kept {
		return nil
	}
	hint := measure.Say("square the spindle, or state its tilt (spindle tilt: %v): the passes are then laid for it", measure.Tan(0.001))
	if w.Tilt == 0 {
		hint = measure.Say("leave spindle tilt out, or state what it is: the passes are then laid for it")
	}
	if most := math.Floor(work.Per100(work.MostTilt(w, widest))*1000) / 1000; most > 0 {
		hint = measure.Say("%v; with %s that goes up to %v at this scallop", hint, widest.Name, measure.Tan(most/100))
	}
	r.warn("square-spindle",
		measure.Say("with %s these passes keep the scallop for certain up to a spindle tilt of %v; each %v adds up to %v", widest.Name, measure.Tan(bears/100), measure.Tan(0.0001), measure.To(2*widest.Body().Flat*0.0001, 4)),
		measure.Say("%v, and a tilt does not matter to a ball", hint))
	return nil
}

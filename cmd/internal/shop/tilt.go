package shop

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cam"
	"dishwright/cam/proof"
	"dishwright/dish/measure"
	"dishwright/machines"
)

// Holds says for which spindle and cutters a work's certificate holds.
func Holds(w cam.Work) string {
	spindle, cutters := "for a spindle square to the bed", "cutters of their named diameters"
	if w.Tilt > 0 {
		spindle = "for a spindle up to " + per100(w.Tilt) + " out of square"
	}
	if w.Undersize > 0 {
		cutters = "cutters up to " + measure.TrimZeros(measure.FormatFixed(w.Undersize, 4)) + " mm under their named diameters"
	}
	return spindle + " and " + cutters
}

// Corners says what a controller that rounds corners may add to scallop and gouge, which
// the certificate leaves out, and whose word the rounding is: the program's, where its
// path mode states it, or else the builder's about the controller.
func Corners(m machines.Machine, corner float64) string {
	if corner == 0 {
		return "no corner that shapes the work is rounded"
	}
	word := "which the profile states and no program asks for"
	switch {
	case strings.Contains(m.PathMode, "P"):
		word = "as " + m.PathMode + " asks"
	case m.Took("corner rounding"):
		word = "which is taken, for the profile does not state it and no program asks for it"
	}
	return fmt.Sprintf("up to %s mm more where the controller rounds corners by %s mm, %s", measure.FormatShort(corner, 4), measure.FormatShort(m.CornerRounding, 4), word)
}

// per100 writes a slope as a job does.
func per100(slope float64) string {
	return measure.TrimZeros(measure.FormatFixed(cam.Per100(slope), 4)) + " mm per 100 mm"
}

// tilt finds from which tilt of the spindle on the passes no longer keep the
// scallop for certain, and warns where nothing was stated that they keep.
func (r *Result) tilt(programs []proof.Program, ridge proof.Scallop) error {
	w, n := r.Plan.Work, r.finishing()
	if n < 0 {
		return nil
	}
	r.Report.Tilt.StatedMM = cam.Per100(w.Tilt)
	// Of the cutters that may leave the last of a place, the one with the widest level
	// end: roughing stays above the allowance, along the normal at least half of it.
	rough := w.Allowance/2 <= w.Scallop
	widest := programs[n].Cutter
	var cuts []proof.Cut
	for i, p := range programs[:n+1] {
		cuts = append(cuts, proof.Cut{Cutter: p.Cutter, Moves: p.Path.Moves})
		if p.Cutter.FlatRadius() > widest.FlatRadius() && (rough || r.Plan.Programs[i].Purpose() == cam.Finishing) {
			widest = p.Cutter
		}
	}
	from := w.Tilt
	if w.Tilt > 0 && ridge.Certified > w.Scallop && widest.FlatRadius() > 0 {
		square, err := proof.Certify(w.Face, 0, cuts, proof.CertifyOptions{Expected: w.Scallop, Undersize: w.Undersize, Region: w.Part()})
		if err != nil {
			return err
		}
		ridge, from = square, 0
	}
	bears := proof.AllowedTilt(widest, w.Scallop, ridge.Certified, from)
	if math.IsInf(bears, 1) {
		return nil
	}
	bears = math.Floor(cam.Per100(bears)*1e4) / 1e4
	if from > 0 { // kept there: rounding down and what a strip may lay bare do not undo it
		bears = max(bears, cam.Per100(from))
	}
	r.Report.Tilt.BreaksFromMM = &bears
	if w.Tilt > 0 && ridge.Certified <= w.Scallop && from > 0 {
		return nil
	}
	hint := "square the spindle, or state its tilt in the job (spindle tilt: 0.05 mm per 100 mm): the passes are then laid for it"
	if most := math.Floor(cam.Per100(cam.MostTilt(w, widest))*1000) / 1000; most > 0 {
		hint += fmt.Sprintf("; with %s that goes up to %s mm per 100 mm at this scallop", widest.Name, measure.TrimZeros(measure.FormatFixed(most, 3)))
	}
	r.Report.Warnings = append(r.Report.Warnings, Warning{"square-spindle",
		fmt.Sprintf("with %s these passes keep the scallop for certain up to a spindle tilt of %s mm per 100 mm; each 0.01 mm per 100 mm adds up to %.4f mm", widest.Name, measure.TrimZeros(measure.FormatFixed(bears, 4)), 2*widest.FlatRadius()*0.0001),
		hint + ", and a tilt does not matter to a ball"})
	return nil
}

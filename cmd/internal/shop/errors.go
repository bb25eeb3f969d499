package shop

import (
	"math"

	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// MachineErrors are what the machine's own errors do to the face: worst where all meet,
// typically the root of the mean square.
type MachineErrors struct {
	Corrected   bool    `json:"corrected"`
	LeastMM     float64 `json:"least_radius_mm"`
	MostMM      float64 `json:"most_radius_mm"`
	AngleDeg    float64 `json:"least_radius_angle_deg"`
	RadiusMM    float64 `json:"radius_off_mm"`
	RadiusTypMM float64 `json:"radius_off_typical_mm"`
	RoundMM     float64 `json:"out_of_round_mm"` // of the rim's height, either way
	RoundTypMM  float64 `json:"out_of_round_typical_mm"`
	RidgeMM     float64 `json:"ridge_adds_mm"` // on top of the certified scallop
	RidgeTypMM  float64 `json:"ridge_adds_typical_mm"`
}

// Top is how the blank's top lies, where it was touched off at several places.
type Top struct {
	XMM   float64 `json:"rise_along_x_mm_per_100_mm"`
	YMM   float64 `json:"rise_along_y_mm_per_100_mm"`
	OffMM float64 `json:"farthest_off_mm"`
}

// ownErrors works out what the machine's errors do.
func (r *Result) ownErrors() {
	w := &r.Plan.Work
	if t := w.Top; t != nil {
		r.Report.Top = &Top{work.Per100(t.A), work.Per100(t.B), t.Off}
		r.warn("top", measure.Say("the programs are laid for a top that rises %s along X and %s along Y: they are true for this blank, as it lies now, alone", measure.Tan(t.A), measure.Tan(t.B)),
			measure.Say("do not move it; a blank that is shimmed or skimmed level needs no such programs"))
	}
	n := r.finishing()
	if w.Machine.Errors.NoneKnown() || w.Face.Level() || !w.HasFace() || n < 0 {
		return
	}
	sec := r.Plan.Programs[n].Sections
	d := w.Distorted(sec[len(sec)-1].Widest)
	e := MachineErrors{w.Machine.Errors.Corrected, d.Least, d.Most, d.Angle * 180 / math.Pi, d.Radius.Worst, d.Radius.Typical, d.Round.Worst, d.Round.Typical, d.Ridge.Worst, d.Ridge.Typical}
	r.Report.MachineErrors = &e
	corrected, hint := "are corrected in the programs; what is left of them", "measure it again after the machine was moved or adjusted"
	if !e.Corrected {
		corrected, hint = "are not corrected; they", "corrected: yes under errors in the machine's profile lays the programs for its scale and its lean"
	}
	ridge := measure.Said{}
	if e.RidgeMM > 0 {
		ridge = measure.Say(", and backlash adds up to %s to the scallops (typically %s)", length(ceil(e.RidgeMM)), length(ceil(e.RidgeTypMM)))
	}
	r.warn("machine-errors",
		measure.Say("the errors of %s %s put the radius off by up to %s (typically %s) and the rim's height out of round by up to %s%s", w.Machine.Name, corrected,
			length(math.Ceil(e.RadiusMM)), length(math.Ceil(e.RadiusTypMM)), length(ceil(e.RoundMM)), ridge), measure.Say("%s", hint))
	if e.RidgeMM > w.Scallop/2 {
		r.warn("backlash", measure.Say("backlash may add %s to scallops of %s", length(ceil(e.RidgeMM)), length(w.Scallop)), measure.Say("direction: uphill makes all passes run one way; or take up the slack"))
	}
}

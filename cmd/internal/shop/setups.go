package shop

import (
	"math"

	"dishwright/cam/choose"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// Setups is how a face is divided between setups, and what an index error does.
type Setups struct {
	Count        int     `json:"count"`
	By           string  `json:"by"` // what the blank is brought round by
	ShiftMM      float64 `json:"shift_error_mm"`
	TurnDeg      float64 `json:"turn_error_deg"`
	HeightMM     float64 `json:"height_error_mm"`
	SidewaysMM   float64 `json:"sideways_adds_mm"`   // to a scallop, contained in the certified scallop
	HeightAddsMM float64 `json:"height_adds_mm"`     // likewise
	AloneMM      float64 `json:"alone_certified_mm"` // each setup by itself, without an index error
	StepMM       float64 `json:"seam_step_mm"`       // two sides of a seam may stand so much apart at most
	XMM          float64 `json:"x_travel_mm"`        // what all programs run over
	YMM          float64 `json:"y_travel_mm"`
	PinMM        float64 `json:"pin_mm,omitempty"` // a pin of the bed may stand so high at most
}

// divided are the setups of a plan, for its proof; none where there is only the one.
func divided(w *work.Work, l work.Layout) (s proof.Setups) {
	if len(l) == 0 {
		return s
	}
	s.MachineObstacles = w.Obstacles
	s.ShiftAllowance, s.HeightAllowance = w.Adds()
	for _, t := range l {
		for _, one := range t.Setups {
			s.Parts = append(s.Parts, proof.SetupPart{Setup: one, Region: t.Part(one)})
		}
	}
	return s
}

// setupLine says in which setup a program runs; empty where there is only the one.
func (r *Result) setupLine(s path.Setup) string {
	for _, t := range r.Plan.Layout {
		for _, one := range t.Setups {
			if one == s {
				return statedSetup{setup: s, n: r.Plan.Layout.Count(), middle: t.Sector.Middle, inches: r.ownRuler().Inches}.String()[len(setupWord):]
			}
		}
	}
	return ""
}

// inSetups fills what is known of a divided face.
func (r *Result) inSetups(ridge proof.Scallop) {
	w := &r.Plan.Work
	if len(r.Plan.Layout) == 0 {
		return
	}
	sideways, height := w.Adds()
	e := w.Setups.Error
	s := Setups{Count: r.Plan.Layout.Count(), By: w.Setups.By, ShiftMM: e.Shift, TurnDeg: e.Turn * 180 / math.Pi, HeightMM: e.Height,
		SidewaysMM: sideways, HeightAddsMM: height, AloneMM: ridge.Certified - sideways - height, StepMM: 2 * (sideways + height)}
	s.XMM, s.YMM = runOver(r.Plan.Programs)
	if s.By == work.ByPin {
		s.PinMM = pinHeight(w)
	}
	r.Report.Setups = &s
	r.warn("setups", r.divided(s), measure.Say("order.txt tells program by program which mark lies where; X0 and Y0 stay where they are from the first program to the last"))
	if ridge.Certified > w.Scallop && s.AloneMM <= w.Scallop { // else the passes themselves leave too much
		r.warn(WarnIndexError, measure.Say("the index error alone adds %s to the scallops, too much of the %s that is allowed", length(ceil(sideways+height)), length(w.Scallop)), r.sufficientIndexError(sideways))
	}
	if s.StepMM > w.Scallop {
		r.warn("seam",
			measure.Say("the two sides of a seam may stand up to %s apart, more than the scallop of %s", length(ceil(s.StepMM)), length(w.Scallop)),
			measure.Say("an index error of at most %s in height would keep it under that; the covering and the first strokes hide less than %s", length(max(0, floor(w.Scallop/2-sideways))), length(ceil(s.StepMM))))
	}
}

// sufficientIndexError describes which index error would do.
func (r *Result) sufficientIndexError(sideways float64) measure.Said {
	w := &r.Plan.Work
	height, shift := choose.AllowedIndexErrors(w)
	if sideways >= w.Scallop || height <= 0 {
		return measure.Say("a shift of at most %s and none in height would do; or a larger scallop", length(floor(shift)))
	}
	return measure.Say("an index error of at most %s in height would do: touch off with a feeler, clean the bed before the blank is laid down again; or a larger scallop", length(floor(height)))
}

func ceil(v float64) float64  { return math.Ceil(v*1e4-1e-6) / 1e4 }
func floor(v float64) float64 { return math.Floor(v*1e4+1e-6) / 1e4 }

// divided says how the face is divided, in a sentence.
func (r *Result) divided(s Setups) measure.Said {
	return measure.Say("the face is cut in %d setups, %s; they run over %s by %s of the travel; an index error may add %s to the scallops, %s of it in height, and part the two sides of a seam by up to %s",
		s.Count, r.Brought(), length(math.Ceil(s.XMM)), length(math.Ceil(s.YMM)), length(ceil(s.SidewaysMM+s.HeightAddsMM)), length(s.HeightAddsMM), length(ceil(s.StepMM)))
}

// Brought says how the blank is brought from setup to setup.
func (r *Result) Brought() string {
	switch by := r.Plan.Work.Setups.By; by {
	case work.ByPin:
		return "turned about a pin in the centre hole"
	case work.ByFences:
		return "turned against two fences"
	case work.ByFence:
		return "slid along a fence"
	}
	return "turned to marks"
}

// pinHeight returns how high above the bed a pin in the centre hole may stand: 2 mm
// under the apex, in whole millimetres.
func pinHeight(w *work.Work) float64 {
	const under = 2.0
	return max(0, math.Floor(w.Blank.Thickness+w.Face.Height(0)-w.Allowance-under))
}

// runOver returns how wide all programs' moves are along X and Y.
func runOver(programs []work.Program) (x, y float64) {
	var all work.Program
	for _, p := range programs {
		all.Sections = append(all.Sections, p.Sections...)
	}
	e := all.Extents()
	return e.Max.X - e.Min.X, e.Max.Y - e.Min.Y
}

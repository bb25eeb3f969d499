package shop

import (
	"fmt"
	"math"

	"dishwright/cam"
	"dishwright/cam/choose"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/dish"
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
func divided(w cam.Work, l cam.Layout) (s proof.Setups) {
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
	if s.Number == 0 {
		return ""
	}
	n, middle := 0, 0
	for _, t := range r.Plan.Layout {
		for _, one := range t.Setups {
			if n++; one == s {
				middle = t.Sector.Middle
			}
		}
	}
	at := func(v float64) string { return measure.TrimZeros(measure.FormatFixed(v, 3)) }
	return fmt.Sprintf("%d of %d, turned %d degrees, shifted X%s Y%s mm, sector at %d degrees", s.Number, n, s.Turn, at(s.X), at(s.Y), middle)
}

// inSetups fills what is known of a divided face.
func (r *Result) inSetups(ridge proof.Scallop) {
	w := r.Plan.Work
	if len(r.Plan.Layout) == 0 {
		return
	}
	sideways, height := w.Adds()
	e := w.Setups.Error
	s := Setups{Count: r.Plan.Layout.Count(), By: w.Setups.By, ShiftMM: e.Shift, TurnDeg: e.Turn * 180 / math.Pi, HeightMM: e.Height,
		SidewaysMM: sideways, HeightAddsMM: height, AloneMM: ridge.Certified - sideways - height, StepMM: 2 * (sideways + height)}
	s.XMM, s.YMM = runOver(r.Plan.Programs)
	if s.By == cam.ByPin {
		s.PinMM = pinHeight(w)
	}
	r.Report.Setups = &s
	r.Report.Warnings = append(r.Report.Warnings, Warning{"setups", r.divided(s), "mark the blank and the bed, and keep X0 and Y0 where they are from the first program to the last"})
	if ridge.Certified > w.Scallop && s.AloneMM <= w.Scallop { // else the passes themselves leave too much
		r.Report.Warnings = append(r.Report.Warnings, Warning{"index-error", fmt.Sprintf("the index error alone adds %s to the scallops, too much of the %s that is allowed", length(ceil(sideways+height)), length(w.Scallop)), r.sufficientIndexError(sideways)})
	}
	if s.StepMM > w.Scallop {
		r.Report.Warnings = append(r.Report.Warnings, Warning{"seam",
			fmt.Sprintf("the two sides of a seam may stand up to %s apart, more than the scallop of %s", length(ceil(s.StepMM)), length(w.Scallop)),
			fmt.Sprintf("an index error of at most %s in height would keep it under that; the covering and the first strokes hide less than %s", length(max(0, floor(w.Scallop/2-sideways))), length(ceil(s.StepMM)))})
	}
}

// sufficientIndexError describes which index error would do.
func (r *Result) sufficientIndexError(sideways float64) string {
	w := r.Plan.Work
	height, shift := choose.AllowedIndexErrors(w)
	if sideways >= w.Scallop || height <= 0 {
		return fmt.Sprintf("a shift of at most %s and none in height would do; or a larger scallop", length(floor(shift)))
	}
	return fmt.Sprintf("an index error of at most %s in height would do: touch off with a feeler, clean the bed before the blank is laid down again; or a larger scallop", length(floor(height)))
}

func ceil(v float64) float64  { return math.Ceil(v*1e4-1e-6) / 1e4 }
func floor(v float64) float64 { return math.Floor(v*1e4+1e-6) / 1e4 }

// divided says how the face is divided, in a sentence.
func (r *Result) divided(s Setups) string {
	return fmt.Sprintf("the face is cut in %d setups, %s; they run over %s by %s of the travel; an index error may add %s to the scallops, %s of it in height, and part the two sides of a seam by up to %s",
		s.Count, r.Brought(), length(math.Ceil(s.XMM)), length(math.Ceil(s.YMM)), length(ceil(s.SidewaysMM+s.HeightAddsMM)), length(s.HeightAddsMM), length(ceil(s.StepMM)))
}

// Brought says how the blank is brought from setup to setup.
func (r *Result) Brought() string {
	switch by := r.Plan.Work.Setups.By; by {
	case cam.ByPin:
		return "turned about a pin in the centre hole"
	case cam.ByFences:
		return "turned against two fences"
	case cam.ByFence:
		return "slid along a fence"
	}
	return "turned to marks"
}

// pinHeight returns how high above the bed a pin in the centre hole may stand: 2 mm
// under the deepest place, in whole millimetres.
func pinHeight(w cam.Work) float64 {
	const under = 2.0
	deep := w.Face.Sagitta()
	if w.Face.Kind == dish.Crown {
		deep = 0
	}
	return max(0, math.Floor(w.Blank.Thickness-deep-w.Allowance-under))
}

// runOver returns how wide all programs' moves are along X and Y.
func runOver(programs []cam.Program) (x, y float64) {
	var all cam.Program
	for _, p := range programs {
		all.Sections = append(all.Sections, p.Sections...)
	}
	e := all.Extents()
	return e.Max.X - e.Min.X, e.Max.Y - e.Min.Y
}

// setupSentence describes how the blank lies while a program runs.
func (r *Result) setupSentence(s path.Setup) []string {
	n := r.Plan.Layout.Count()
	switch {
	case s.Number == 0:
		return nil
	case s.Number == 1:
		return []string{fmt.Sprintf("Setup 1 of %d: the blank lies as it is drawn.", n)}
	case s.X != 0 || s.Y != 0:
		return []string{fmt.Sprintf("Setup %d of %d: the blank is slid, its middle at %s.", s.Number, n, r.xy(s.X, s.Y))}
	}
	return []string{fmt.Sprintf("Setup %d of %d: the blank is turned %d degrees counter-clockwise, seen from above, from how it lay first.", s.Number, n, s.Turn)}
}

// Bringing are the sentences with which program i has the blank laid for its setup, one
// after the other; none where it lies as for the program before.
func (r *Result) Bringing(i int) []string { return r.bring(i) }

// bring are the sentences that the first program of a setup stops with, one after the
// other: how the blank is laid. None where there is only one setup.
func (r *Result) bring(i int) []string {
	w, s := r.Plan.Work, r.Plan.Programs[i].Setup
	if s.Number == 0 || i > 0 && r.Plan.Programs[i-1].Setup == s {
		return nil
	}
	n, by := r.Plan.Layout.Count(), w.Setups.By
	if s.Number == 1 {
		switch by {
		case cam.ByFences:
			return []string{fmt.Sprintf("Setup 1 of %d. Lay the blank against the two fences and mark its side towards you. X0 and Y0 stay where they are set now, for all setups.", n)}
		case cam.ByFence:
			return []string{fmt.Sprintf("Setup 1 of %d. Lay the blank against the fence and mark its side towards you. X0 and Y0 stay where they are set now, for both setups.", n)}
		}
		return []string{fmt.Sprintf("Setup 1 of %d. Mark the blank's side towards you. X0 and Y0 stay where they are set now, for all setups.", n)}
	}
	lead := fmt.Sprintf("Setup %d of %d. Cutter up and still, its motor's power off, the machine's on.", s.Number, n)
	const clamp = "Clamp it, and run the air lap again if anything stands elsewhere. X0 and Y0 stay where they are."
	turn := fmt.Sprintf("turn it by %d degrees counter-clockwise, seen from above", 360/n)
	switch by {
	case cam.ByFence:
		return []string{lead + " " + r.slide(s), clamp}
	case cam.ByFences:
		return []string{fmt.Sprintf("%s Free the blank, %s, and lay it against the same two fences.", lead, turn), clamp}
	}
	about, list := ", its middle under X0 Y0", []string{}
	if by == cam.ByPin {
		list = append(list, fmt.Sprintf("%s It turns about a pin that fits the centre hole, in the bed at X0 Y0 and no higher than %s above it.", lead, r.own(pinHeight(w))))
		about = ", about the pin"
		lead = "The motor's power off, the machine's on."
	}
	from, to, ok := cam.IndexMark(w, r.Plan.Programs, r.Plan.Layout[0])
	if !ok {
		return append(list, fmt.Sprintf("%s Free the blank and %s%s, to marks that you have laid out on it.", lead, turn, about), clamp)
	}
	return append(list,
		fmt.Sprintf("%s Before the blank is freed: bring the tip over its land at %s, and mark it there.", lead, r.xy(from.X, from.Y)),
		fmt.Sprintf("Free the blank and %s%s, until that mark lies under the tip at %s.", turn, about, r.xy(to.X, to.Y)), clamp)
}

// slide says how far the blank is slid.
func (r *Result) slide(s path.Setup) string {
	way, d := "X", s.X
	if s.Y != 0 {
		way, d = "Y", s.Y
	}
	sign := "+"
	if d < 0 {
		sign = "-"
	}
	return fmt.Sprintf("Free the blank and slide it along the fence by %s towards %s%s, by a stop block of that length.", r.own(math.Abs(d)), sign, way)
}

package shop

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"dishwright/cam"
	"dishwright/cam/choose"
	"dishwright/cam/job"
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
	SidewaysMM   float64 `json:"sideways_adds_mm"`   // to a ridge, contained in the certified scallop
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
	s.KeepOuts = w.KeepOuts
	s.Sideways, s.Height = w.Adds()
	for _, t := range l {
		for _, one := range t.Setups {
			s.Tiles = append(s.Tiles, proof.Tile{Setup: one, Part: t.Part(one)})
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
	at := func(v float64) string { return measure.Trim(measure.FormatMM(v, 3)) }
	return fmt.Sprintf("%d of %d, turned %d degrees, shifted X%s Y%s mm, sector at %d degrees", s.Number, n, s.Turn, at(s.X), at(s.Y), middle)
}

// setupPattern reads it back.
var setupPattern = regexp.MustCompile(`(?i)^setup: (\d{1,2}) of (\d{1,2}), turned (\d{1,3}) degrees, shifted X(-?[\d.]+) Y(-?[\d.]+) mm, sector at (-?\d{1,3}) degrees$`)

// lies is how a program says that the blank lies.
type lies struct {
	setup     path.Setup
	n, middle int
	at        path.Source
}

// setupOf finds in a program how the blank lies; ok is false where it does not say. Two
// such lines that differ are a fault.
func setupOf(p path.Path) (l lies, ok bool, fault *proof.Finding) {
	for _, e := range p.Events {
		if e.Kind != path.Comment || !strings.HasPrefix(strings.ToLower(e.Text), "setup:") {
			continue
		}
		find := func(message string) *proof.Finding {
			return &proof.Finding{Line: e.Source.Line, Column: e.Source.Column, Kind: proof.KindOrder, Message: message}
		}
		m := setupPattern.FindStringSubmatch(e.Text)
		if m == nil {
			return l, ok, find("the line that says in which setup the program runs cannot be read")
		}
		whole := func(i int) int { v, _ := strconv.Atoi(m[i]); return v }
		x, errX := strconv.ParseFloat(m[4], 64)
		y, errY := strconv.ParseFloat(m[5], 64)
		now := lies{path.Setup{Number: whole(1), Turn: whole(3), X: x + 0, Y: y + 0}, whole(2), whole(6), e.Source}
		if errX != nil || errY != nil || now.setup.Turn%dish.TurnStep != 0 {
			return l, ok, find("the line that says in which setup the program runs cannot be read")
		}
		if ok && (now.setup != l.setup || now.n != l.n || now.middle != l.middle) {
			return l, ok, find("the program names two setups")
		}
		l, ok = now, true
	}
	return l, ok, nil
}

// layOut finds out from programs how a job's face is divided, and lays each as the blank
// sees it. Programs of a job that is cut in one name no setup.
func (v *Verdict) layOut(j job.Job, programs []proof.Program) cam.Layout {
	var all []lies
	add := func(p proof.Program, f proof.Finding) {
		f.Program = p.Name
		v.add(f)
	}
	for i := range programs {
		p := &programs[i]
		l, ok, fault := setupOf(p.Path)
		switch {
		case fault != nil:
			add(*p, *fault)
		case ok && j.Work.Setups.Count == 0:
			add(*p, proof.Finding{Line: l.at.Line, Column: l.at.Column, Kind: proof.KindOrder, Message: "the program is for one of several setups; the job is cut in one"})
		}
		all = append(all, l)
		p.Setup = l.setup
	}
	if j.Work.Setups.Count == 0 {
		return nil
	}
	layout := v.layoutOf(j, programs, all)
	for i := range programs {
		p := &programs[i]
		if len(layout) > 0 && p.Setup.Number == 0 {
			add(*p, proof.Finding{Line: 1, Column: 1, Kind: proof.KindOrder, Message: "the program does not say in which setup it runs: a line (setup: ...), as make writes it"})
		}
		if at, ok := ontoBlank(p); !ok {
			add(*p, proof.Finding{Line: at.Line, Column: at.Column, Kind: proof.KindArc, Message: "an arc in an upright plane cannot be followed on a turned blank"})
		}
	}
	return layout
}

// layoutOf returns the layout that programs name; none where none of them names one, for
// a face that fits is cut in one.
func (v *Verdict) layoutOf(j job.Job, programs []proof.Program, all []lies) (layout cam.Layout) {
	var first lies
	var second path.Setup
	for _, l := range all {
		if first.n == 0 {
			first = l
		}
		if l.setup.Number == 2 && second.Number == 0 {
			second = l.setup
		}
	}
	if first.n == 0 && j.Work.Setups.Count == cam.AutoSetups {
		return nil
	}
	middle := first.middle
	if j.Work.Setups.By == cam.ByFence && first.setup.Number == 2 {
		middle += 180
	}
	n := first.n
	if n == 0 {
		n = j.Work.Setups.Count
	}
	layout, ok := cam.LayoutAs(j.Work, n, middle, second)
	for i, l := range all {
		if l.n == 0 {
			continue
		}
		if !ok || l.n != n || !named(layout, l) {
			v.add(proof.Finding{Program: programs[i].Name, Line: l.at.Line, Column: l.at.Column, Kind: proof.KindOrder,
				Message: fmt.Sprintf("setup %d of %d, turned %d degrees, about %d degrees, is none of the setups that this job and the other programs name", l.setup.Number, l.n, l.setup.Turn, l.middle)})
		}
	}
	return layout
}

// named reports whether a layout has a setup as a program names it.
func named(layout cam.Layout, l lies) bool {
	for _, t := range layout {
		for _, s := range t.Setups {
			if s == l.setup {
				return (t.Sector.Middle-l.middle)%360 == 0
			}
		}
	}
	return false
}

// ontoBlank takes a program's moves as the blank sees them; where one cannot be, at says
// which.
func ontoBlank(p *proof.Program) (at path.Source, ok bool) {
	ok = true
	if p.Setup.Still() {
		return at, ok
	}
	moves := make([]path.Move, len(p.Path.Moves))
	for i, m := range p.Path.Moves {
		one, fine := p.Setup.OnBlank(m)
		if !fine && ok {
			at, ok = m.Source, false
		}
		moves[i] = one
	}
	p.Path.Moves = moves
	return at, ok
}

// inSetups fills what is known of a divided face.
func (r *Result) inSetups(ridge proof.Ridge) {
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
	if ridge.Certified > w.Scallop {
		r.Report.Warnings = append(r.Report.Warnings, Warning{"index-error", fmt.Sprintf("the index error alone adds %s to the ridges, too much of the scallop of %s", length(ceil(sideways+height)), length(w.Scallop)), r.enough(sideways)})
	}
	if s.StepMM > w.Scallop {
		r.Report.Warnings = append(r.Report.Warnings, Warning{"seam",
			fmt.Sprintf("the two sides of a seam may stand up to %s apart, more than the scallop of %s", length(ceil(s.StepMM)), length(w.Scallop)),
			fmt.Sprintf("an index error of at most %s in height would keep it under that; the covering and the first strokes hide less than %s", length(math.Max(0, floor(w.Scallop/2-sideways))), length(ceil(s.StepMM)))})
	}
}

// enough says which index error would do.
func (r *Result) enough(sideways float64) string {
	w := r.Plan.Work
	height, shift := choose.Bears(w)
	if sideways >= w.Scallop || height <= 0 {
		return fmt.Sprintf("a shift of at most %s and none in height would do; or a larger scallop", length(floor(shift)))
	}
	return fmt.Sprintf("an index error of at most %s in height would do: touch off with a feeler, clean the bed before the blank is laid down again; or a larger scallop", length(floor(height)))
}

func ceil(v float64) float64  { return math.Ceil(v*1e4-1e-6) / 1e4 }
func floor(v float64) float64 { return math.Floor(v*1e4+1e-6) / 1e4 }

// divided says how the face is divided, in a sentence.
func (r *Result) divided(s Setups) string {
	return fmt.Sprintf("the face is cut in %d setups, %s; they run over %s by %s of the travel; an index error may add %s to the ridges, %s of it in height, and part the two sides of a seam by up to %s",
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
	return math.Max(0, math.Floor(w.Blank.Thickness-deep-w.Allowance-under))
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

// lies says in a sentence how the blank lies while a program runs.
func (r *Result) lies(s path.Setup) []string {
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
	lead := fmt.Sprintf("Setup %d of %d. Cutter up and still, power off.", s.Number, n)
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
		lead = "Power off."
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

package sheet

import (
	"fmt"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// cut is the sheet of a job that is cut, in the making.
type cut struct {
	*page
	r *shop.Result
	u Units
}

// Of writes the sheet of a job that was taken all the way; of a pair that of the dish
// with its caul after it.
func Of(r *shop.Result) ([]byte, error) {
	p := &page{}
	p.cut(r)
	return p.write()
}

// unitsOf returns what the builder of a job measures with. A radius in feet says
// nothing: it is how domes are named.
func unitsOf(r *shop.Result) Units {
	j := r.Job
	return Units(j.Ruler)
}

// cut fills the page.
func (p *page) cut(r *shop.Result) {
	c := cut{page: p, r: r, u: unitsOf(r)}
	p.Title, p.What = r.Report.Name, capital(r.Words().Heading())+", for "+r.Report.Machine
	p.Facts = c.facts()
	p.Caution = r.Report.Caution
	if more := r.Words().Caution(); more != "" {
		p.Caution += " " + more
	}
	c.piece("")
	if r.Mate != nil {
		m := cut{page: p, r: r.Mate, u: c.u}
		m.piece("The caul: ")
	}
	c.steps()
	c.messages()
	c.stopped()
	c.after()
	c.known()
	p.Foot = "Made by dishwright from the programs' own bytes. The machine's manual, the cutter maker's limits, local codes and licensed practice come before anything said here. Read SAFETY.md."
}

// capital writes the first letter large.
func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// facts are those of the title block.
func (c cut) facts() []fact {
	p, w := c.r.Report, &c.r.Plan.Work
	list := []fact{{"radius", c.r.Job.Radius.String()}}
	if !w.HasFace() {
		list[0] = fact{"edges true to", c.u.Len(p.Scallop.CertifiedMM, 4)}
	} else {
		if w.Covering > 0 || p.PlateMM > 0 {
			list = append(list, fact{"wood cut to radius", c.u.Len(p.CutRadiusMM, 1)})
		}
		list = append(list, fact{"depth (sagitta)", c.u.Depth(p.SagittaMM)},
			fact{"wood under it", c.u.Len(p.FloorLeftMM, 2)},
			fact{"highest scallop, certified", c.u.Len(p.Scallop.CertifiedMM, 4)})
	}
	return append(list, fact{"cutting time", tell.Clock(p.TimeS)}, fact{"programs", fmt.Sprint(len(c.r.All()))}, fact{"machine", p.Machine})
}

// piece shows one piece: its blank, cutters, programs and drawings.
func (c cut) piece(lead string) {
	f := c.r.Pictures(c.u.Short)
	c.add(lead+"The blank and its zero", c.blank(f)...)
	c.add(lead+"Cutters, in running order", block{Table: c.cutters()})
	c.add(lead+"Programs", c.programs()...)
	c.add(lead+"What the programs do", c.pictures(f)...)
	if f.Scallops != nil {
		c.add(lead+"Finer or coarser", block{Figures: c.show(f.Scallops)}, block{Table: c.choices()})
	}
}

// blank says what is needed and where the zero is.
func (c cut) blank(f shop.Pictures) []block {
	w, p, u := &c.r.Plan.Work, c.r.Report, c.u
	facts := []fact{{"material", w.Material}, {"size", c.size()}, {"thickness", u.Len(w.Blank.Thickness, 2)}}
	if s := p.Setups; s != nil {
		facts = append(facts, fact{"setups", fmt.Sprintf("%d, %s", s.Count, c.r.Brought())},
			fact{"run over", u.Len(s.XMM, 0) + " by " + u.Len(s.YMM, 0) + " of the machine's travel"},
			fact{"index error allowed", fmt.Sprintf("%s aside, %s degrees, %s in height", u.Len(s.ShiftMM, 2), measure.FormatShort(s.TurnDeg, 3), u.Len(s.HeightMM, 3))},
			fact{"seams", "their sides " + u.Len(s.StepMM, 3) + " apart at most"})
	}
	for i, h := range w.HoldDowns {
		facts = append(facts, fact{fmt.Sprintf("hold-down %d", i+1), u.Place(h.X, h.Y)})
	}
	for i, o := range w.Obstacles {
		ends := o.Ends()
		place := u.Place(o.X, o.Y)
		if o.DX != 0 || o.DY != 0 {
			place += " to " + u.Place(ends[1][0], ends[1][1])
		}
		facts = append(facts, fact{fmt.Sprintf("kept clear of %d", i+1), place + ", " + u.Len(o.Radius, 1) + " round it"})
	}
	if len(w.HoldDowns) == 0 {
		for i, h := range p.HoldPlaces {
			facts = append(facts, fact{fmt.Sprintf("room to hold %d", i+1), u.Place(h.X, h.Y) + ", " + u.Len(h.Radius, 1) + " all round"})
		}
	}
	zero := append([]string(nil), p.Order[0].Touch...)
	zero = append(zero, fmt.Sprintf("The job takes Z to be set again within %s.", u.Len(w.ZeroError, 3)))
	return []block{{Figures: c.show(f.Blank)}, {Facts: facts}, {Sub: "Touching off", List: zero}}
}

// size says how large the blank is.
func (c cut) size() string {
	b := c.r.Plan.Work.Blank
	switch b.Shape {
	case dish.Rectangle:
		return c.u.Len(b.Length, 1) + " by " + c.u.Len(b.Width, 1)
	case dish.Round:
		return "round, " + c.u.Len(b.Length, 1) + " across"
	case dish.Octagon:
		return "octagon, " + c.u.Len(b.Length, 1) + " across its flats"
	}
	return c.u.Len(b.Length, 1) + " square"
}

// cutters lists each cutter as it comes.
func (c cut) cutters() *table {
	t := &table{Caption: "A change of cutter is needed where the name changes.", Head: []string{"program", "cutter", "size", "out of the holder", "flutes at least"}}
	for i, p := range c.r.Report.Programs[:len(c.r.Texts)] {
		size := p.Cutter.Shape + ", " + c.u.Len(p.Cutter.DiameterMM, 3)
		if p.Cutter.Shape == "bull" {
			size += ", corner " + c.u.Len(p.Cutter.CornerMM, 3)
		}
		flutes := c.u.Len(p.FluteNeedMM, 2)
		if p.Purpose == string(work.AirLap) {
			flutes = "cuts nothing"
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(c.r.First() + i + 1), tell.Plain(p.Cutter.Name, mostName), size, c.u.Len(c.r.Texts[i].Program.Cutter.StickOut, 1) + "; " + c.u.Len(p.StickOutNeedMM, 1) + " is needed", flutes})
	}
	return t
}

// programs shows each program's figures.
func (c cut) programs() (list []block) {
	for i, p := range c.r.Report.Programs[:len(c.r.Texts)] {
		facts := []fact{{"file", p.File}, {"cutter", tell.Plain(p.Cutter.Name, mostName)}, {"time", tell.Clock(p.TimeS)}, {"feed up to", c.u.Feed(p.FeedMMMin)}}
		if p.Purpose == string(work.AirLap) {
			facts = append(facts, fact{"spindle", "off: nothing turns"})
		} else {
			set := fact{"spindle speed", fmt.Sprintf("%.0f rpm", p.SpeedRPM)}
			if p.Dial != "" {
				set = fact{"dial setting", fmt.Sprintf("%s (%.0f rpm)", p.Dial, p.SpeedRPM)}
			}
			facts = append(facts, set, fact{"chip load", c.u.Len(p.ChipLoadMM, 3)},
				fact{"deepest bite", c.u.Len(p.BiteMM, 2) + ", of " + c.u.Len(p.DepthOfCutMM, 2)},
				fact{"cutting path", measure.FormatShort(p.CutLengthMM/1000, 1) + " m"})
		}
		facts = append(facts, fact{"lines", fmt.Sprint(p.Lines)})
		title := fmt.Sprintf("Program %d: %s", c.r.First()+i+1, p.Purpose)
		if c.r.Report.Setups != nil && p.Purpose != string(work.AirLap) {
			title += ", setup " + p.Setup.Name
		}
		list = append(list, block{Sub: title, Texts: []string{capital(p.Pattern) + "."}, Facts: facts, List: p.Limits})
	}
	return list
}

// pictures shows the passes, the section and the map.
func (c cut) pictures(f shop.Pictures) []block {
	p := c.r.Report
	list := []block{{Figures: c.show(f.Plans...)}}
	if !c.r.Plan.Work.HasFace() {
		return list
	}
	return append(list, block{Figures: c.show(f.Section, f.Left), Texts: []string{fmt.Sprintf(
		"No scallop is higher than %s above the wanted face (%s asked); the highest is near %s. Nothing is cut deeper than the face (gouge: %s). %s.",
		c.u.Len(p.Scallop.CertifiedMM, 4), c.u.Len(p.Scallop.AskedMM, 4), c.u.Place(p.Scallop.XMM, p.Scallop.YMM), c.u.Len(p.GougeMM, 4), capital(p.Certificate))}})
}

// choices is the table of other scallops.
func (c cut) choices() *table {
	t := &table{Caption: "Minutes are those of the finishing passes.", Head: []string{"scallop", "widest step", "passes", "path", "minutes"}}
	for _, s := range c.r.Report.Steps {
		mark := ""
		if s.Own {
			mark = " (this job)"
		}
		t.Rows = append(t.Rows, []string{c.u.Len(s.ScallopMM, 4) + mark, c.u.Len(s.StepMM, 2), fmt.Sprint(s.Passes), measure.FormatShort(s.LengthMM/1000, 1) + " m", measure.FormatShort(max(1, s.Minutes), 0)})
	}
	return t
}

// messages repeats what the programs tell the operator.
func (c cut) messages() {
	blocks := []block{{Texts: []string{"Some controllers hide the messages of a program, so here is each of them. A program stop (M0) is a pause, not a guard: it need not stop a spindle. Let go of everything and step back before you release it."}}}
	for _, r := range [...]*shop.Result{c.r, c.r.Mate} {
		if r == nil {
			continue
		}
		for _, step := range r.Report.Order[:len(r.Texts)] {
			var lines []string
			for _, a := range step.Answers {
				lines = append(append(lines, a.Told...), fmt.Sprintf("line %d, asked at the stop: %s Yes: %s.", a.Line, a.Message, a.Yes))
			}
			blocks = append(blocks, block{Sub: fmt.Sprintf("Program %d, %s", step.Program, step.File), List: lines})
		}
	}
	c.add("What the programs tell you", blocks...)
}

// stopped says what to do where a program does not come to its end.
func (c cut) stopped() {
	c.add("If a program stops part-way", block{List: []string{
		"Spindle off, standing still, its power drawn or locked out: a machine that gets its power back may start. A drive holds its charge for minutes after that: leave its cover shut.",
		"Write down the line and the place that the machine shows: line ........ X ........ Y ........ Z ........",
		"Lift the cutter straight up. Do not move the blank.",
		"dishwright resume JOB --program FILE --line N -o rest.ngc writes the program that goes on, proven with what is cut already. Touch off again before it runs, and run it in the air first, Z0 set higher by no more than the travel allows; then set it back and check it.",
	}})
}

// known shows what is worth knowing and what was taken.
func (c cut) known() {
	var blocks []block
	for _, r := range [...]*shop.Result{c.r, c.r.Mate} {
		if r == nil {
			continue
		}
		var list, taken []string
		for _, w := range r.Report.Warnings {
			list = append(list, sentence(w.Message, w.Hint))
		}
		for _, d := range r.Report.Defaults {
			taken = append(taken, fmt.Sprintf("%s: %s (%s)", d.Key, d.Value, d.Why))
		}
		if len(list) > 0 {
			blocks = append(blocks, block{List: list})
		}
		if held := job.OfShop(r.Report.Values); len(held) > 0 {
			blocks = append(blocks, block{Sub: "From the shop file " + r.Report.Shop, List: held})
		}
		if len(taken) > 0 && r == c.r {
			blocks = append(blocks, block{Sub: "Defaults used", List: taken})
		}
	}
	c.add("Worth knowing", blocks...)
}

// sentence joins a message and its hint.
func sentence(message, hint string) string {
	s := capital(message) + "."
	if hint != "" {
		s += " " + capital(hint) + "."
	}
	return s
}

package sheet

import (
	"fmt"

	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// rim is a rim that was worked out.
type rim struct {
	*sides.Result
	p sides.Report
	u measure.Ruler
}

// OfRim writes the sheet of a rim: what it is to be, how it is sanded and glued; mould is the
// cutting of its mould's edge, whose pages follow, nil where the job asks for none.
func OfRim(r *sides.Result, mould *shop.Result) []byte {
	d := rim{r, r.Report, r.Job.Ruler}
	caution, tag := d.p.Caution, "top flat"
	if d.p.Top.Shape != "flat" {
		tag = "top of radius " + r.Job.Top.Radius.String()
	}
	if mould != nil {
		caution += " " + mould.Words().Caution()
	}
	widths := d.Measures()
	d.stopColumn(&widths)
	widths.Head = append(widths.Head, "measured", "at the end")
	for i := range widths.Rows {
		widths.Rows[i] = append(widths.Rows[i], "", "")
	}
	first := append(d.Verdict(), document.Caution(caution), document.Columns{drawn(d.Plan(figure.Page)), {d.Brief()}}, widths)
	var sanded document.Document
	if s := d.p.Sanding; s.MostMM-s.LeastMM >= 0.005 || d.p.Saw != nil {
		sanded = drawn(d.Sanded(figure.Page)[0])
	}
	pages := document.Fill("The rim", []document.Document{first, sanded, d.Worth()})
	pages = append(append(pages, document.Fill("Sanding and gluing", append([]document.Document{d.laid(), d.gauge()}, d.steps()...))...), document.Page{Title: logTitle, Parts: d.log()})
	if mould != nil {
		pages = append(pages, cutPages(mould)...)
	}
	return document.Sheet{Title: d.p.Name, Tag: tag, Pages: pages}.HTML()
}

// laid shows how the rim lies on what it is sanded with.
func (d rim) laid() (list document.Document) {
	for _, text := range d.p.Placed(d.u) {
		list = append(list, document.Paragraph{Text: text})
	}
	if figures := d.Laid(figure.Size{Width: figure.Page.Width, Height: 80}); len(figures) > 0 {
		return document.Document{document.Columns{drawn(figures...), list}}
	}
	return list
}

// steps say how the rim is sanded, and how the plate is glued on.
func (d rim) steps() []document.Document {
	s, u := d.p.Sanding, d.u
	touch := fmt.Sprintf("The dish touches first at %s; the last mark goes at %s.", u.Place(s.First.X, s.First.Y), u.Place(s.Last.X, s.Last.Y))
	if s.MostMM-s.LeastMM < 1e-6 {
		touch = "As much comes off everywhere: the dish touches all of the edge at once."
	}
	steps := document.Steps{{Text: "Hold the sides in their mould or with spreaders, linings and blocks glued and dry, the other edge flat and supported.", Care: "Sides are sanded, never cut by a spinning cutter."}}
	steps = append(append(steps, d.saw()...), document.Steps{
		{Text: "Mark the edge all over with a soft pencil, mask on before the first stroke.", Care: careSanding},
		{Text: "Measure every place of the table, from edge to edge, and write the widths into row 0 of the page \"" + logTitle + "\"; after each round of strokes into the next row."},
	}...)
	before, after := d.flat()
	dome := max(0, len(before)-1) // the step of the dome itself
	steps = append(append(steps, before[:dome]...), document.Step{Text: d.p.Lay(u), Care: carePower})
	steps = append(append(steps, before[dome:]...), document.Step{Text: touch})
	if a := d.p.Attitude; a != nil {
		press := "Press " + map[bool]string{true: a.Press, false: "the " + a.Press}[a.Press == "evenly"]
		if a.Down() {
			press = "Stop: nothing is left to come off"
		}
		steps = append(steps, document.Step{Text: press + ": " + d.tooMuch(a)})
	}
	if s.LeastMM > 1e-6 {
		steps = append(steps, document.Step{Text: fmt.Sprintf("When the last mark is gone, mark again: %s more come off evenly all round.", u.Length(s.LeastMM, 2))})
	}
	steps = append(append(steps, after...), document.Step{Text: "Stop " + d.StopAt() + d.rowOfLog() + ", not when a mark is gone."})
	if len(d.p.Blocks) > 0 {
		steps = append(steps, document.Step{Text: "Lay a straightedge over both blocks: it rests on their inner edges and holds itself. At their outer faces it shows: " + d.Gaps() + "."})
	}
	return []document.Document{practised("Sanding, step by step", true, steps), append(practised("Gluing the plate on", true, d.glue()), document.Paragraph{Text: "More: dishwright rim JOB --full tells every station, the unrolled sides, braces and notches; -o DIR prints patterns at true size; dishwright manual sides says what each figure is."})}
}

// tooMuch says what is still to come off where.
func (d rim) tooMuch(a *sides.Attitude) string {
	text := ""
	for i, l := range a.Left {
		text += [...]string{"", ", "}[min(i, 1)] + l.Name + " " + l.Much(d.u)
	}
	return text + " so far."
}

// glue says how the plate goes on.
func (d rim) glue() document.Steps {
	fit := "Fit the plate dry with every clamp: no gap may need force to close. Where it does, sand on, do not clamp harder."
	clamp := "head and tail first, then from the waist outward, each side in turn"
	if f := d.p.Dry; f.Bent() {
		from, braced := d.p.Bending(d.u)
		fit, clamp = "Fit the plate dry with every clamp. "+from+" "+braced, "where it rests first, then outward, each side in turn, where it stands off most last"
	} else if f != nil && f.LargestMM >= 0.005 {
		fit += fmt.Sprintf(" It lies dry with gaps of up to %s.", d.u.Length(f.LargestMM, 2))
		for i, o := range f.Openings {
			if i < 4 && o.GapMM >= 0.005 {
				fit += fmt.Sprintf(" Clamp at %s early: the gap is %s there.", d.u.Place(o.X, o.Y), d.u.Length(o.GapMM, 2))
			}
		}
	}
	c := d.p.Clamps
	open := fmt.Sprintf("Lay everything out: a clamp every %s makes %d; they take about %s to set and must sit within the glue's open time", d.u.Length(c.SpacingMM, 0), c.Count, tell.Clock(c.TimeS))
	if c.OpenTimeS > 0 {
		open += fmt.Sprintf(", %s by its label", tell.Clock(c.OpenTimeS))
	}
	return document.Steps{
		{Text: fit},
		{Text: "Draw the centre line on plate and blocks, and fix it with two small pins or blocks outside the body."},
		{Text: open + ".", Care: careFumes},
		{Text: "Brush an even film on the rim, set the plate on its marks, and clamp " + clamp + "."},
		{Text: "Glue must squeeze out all round, inside too, in small even beads: where none comes there is a gap or none was spread. Clean it off before it sets."},
	}
}

package shop

import (
	"fmt"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// num writes a number with at most the given decimals.
func num(v float64, decimals int) string { return measure.FormatShort(v, decimals) }

// ruler writes lengths as the job's builder reads them.
func (r *Result) ruler() measure.Ruler { return measure.Ruler{Inches: r.Job.Inches} }

// Whole is all that is known of a job's programs.
func (r *Result) Whole() (d document.Document) {
	p := r.Report
	d = append(d, document.Paragraph{Text: fmt.Sprintf("%s: %s, for %s", p.Name, r.Words().Heading(), p.Machine)}, document.Space{}, r.facts(), document.Heading("programs"))
	for i, pr := range p.Programs[:len(r.Texts)] { // of a pair the caul's follow with it
		d = append(d, programParts(r.first+i+1, pr, r.ruler())...)
	}
	d = append(d, orderParts(p.Order[:len(r.Texts)])...)
	d = append(d, stepsParts(p)...)
	if p.Chosen != "" {
		d = append(d, document.Space{}, document.Paragraph{Lead: "chosen: ", Text: p.Chosen})
	}
	d = append(append(d, ShopParts(p.Shop, p.Values)...), DefaultsParts(p.Defaults)...)
	if len(p.Warnings) > 0 {
		d = append(d, document.Heading("worth knowing"), document.Notes{List: notes(p.Warnings)})
	}
	if r.Mate != nil {
		d = append(append(d, document.Heading("and its caul"), document.Space{}), r.Mate.Whole()...)
	}
	return append(d, ListParts("broken", p.Broken)...)
}

func notes(list []Warning) (notes []document.Note) {
	for _, w := range list {
		notes = append(notes, document.Note{Message: w.Message, Hint: w.Hint})
	}
	return notes
}

// DefaultsParts tells what was taken for keys that are left out, and why.
func DefaultsParts(list []job.Default) (d document.Document) {
	for i, one := range list {
		if i == 0 {
			d = append(d, document.Heading("defaults used"))
		}
		d = append(d, document.Paragraph{Lead: "  " + one.Key + ": ", Text: fmt.Sprintf("%s (%s)", one.Value, one.Why)})
	}
	return d
}

// ShopParts tells what came from the shop file; nothing where none was read.
func ShopParts(file string, values []job.Value) (d document.Document) {
	if file == "" {
		return nil
	}
	list := job.OfShop(values)
	if len(list) == 0 {
		list = []string{"nothing: the job says all of it, or has no use for it"}
	}
	d = append(d, document.Heading("from the shop file "+file))
	for _, one := range list {
		d = append(d, document.Paragraph{Lead: "  ", Text: one})
	}
	return d
}

// mostListed is how many things of one kind are listed for a person: more are not read.
const mostListed = 20

// ListParts are the first of a list under a heading, and how many more there are; nothing of
// an empty one.
func ListParts(head string, list []string) (d document.Document) {
	if len(list) == 0 {
		return nil
	}
	d = append(d, document.Heading(head))
	for _, one := range list[:min(mostListed, len(list))] {
		d = append(d, document.Paragraph{Lead: "  ", Text: one})
	}
	if more := len(list) - mostListed; more > 0 {
		d = append(d, document.Paragraph{Lead: "  ", Text: fmt.Sprintf("and %d more: --json lists all of them", more)})
	}
	return d
}

// facts are the figures of the whole.
func (r *Result) facts() (list document.Facts) {
	p, w, u := r.Report, &r.Plan.Work, r.ruler()
	add := func(label, format string, args ...any) {
		list = append(list, document.Fact{Label: label, Text: fmt.Sprintf(format, args...)})
	}
	if w.HasFace() {
		add("depth", "%s", u.Depth(p.SagittaMM))
		add("wood under it", "%s; the floor asked for is %s", u.Length(p.FloorLeftMM, 2), u.Length(w.Floor, 2))
	}
	if c := p.Covering; c != nil {
		add("covering", "%d %s with gaps of %s mm; a flat sheet is %s mm too long round the rim: each piece is %s mm narrower there",
			c.Count, c.Pieces, num(c.GapMM, 2), num(c.ExcessMM, 2), num(c.NarrowMM, 3))
	}
	if p.SpansMM > 0 {
		add("by hand", "spans sides %s apart with its swing;\nbends %s mm when pressed in the middle", u.Length(p.SpansMM, 0), num(p.BendsMM, 2))
	}
	if p.OffSphereMM > 0 {
		add("off the sphere", "%s mm across its width, as a cylinder", num(p.OffSphereMM, 4))
	}
	if w.Covering > 0 {
		add("wood cut to", "%s, for a covering of %s mm", u.Length(p.CutRadiusMM, 3), num(w.Covering, 3))
	}
	add("touch Z0 off", "%s", r.touching(",\n"))
	if holds := p.HoldPlaces; len(holds) > 0 {
		var lines []string
		for _, h := range holds {
			lines = append(lines, holding(u, h))
		}
		add("room to hold", "%s", strings.Join(lines, "\n"))
	}
	if w.HasFace() {
		add("scallop", "%s asked, highest at X%s Y%s mm,\n%s", u.Length(p.Scallop.AskedMM, 4), num(p.Scallop.XMM, 1), num(p.Scallop.YMM, 1), p.Certificate)
	} else {
		add("edges", "%s", p.Certificate)
	}
	add("gouge", "%s mm", num(p.GougeMM, 4))
	add("deepest bite", "%s mm", num(p.DeepestBiteMM, 2))
	add("time", "%s, without changes of cutter", tell.Clock(p.TimeS))
	return list
}

// touching says where Z0 is touched off, the place after a separator.
func (r *Result) touching(sep string) string {
	if t := r.Report.Touch; t != nil {
		return "on the blank's top, outside the face" + sep + "such as at " + r.ruler().Place(t.X, t.Y)
	}
	return "on the bed"
}

// holding says where a blank can be held down.
func holding(u measure.Ruler, h Hold) string {
	return fmt.Sprintf("%s, %s mm all round", u.Place(h.X, h.Y), num(h.Radius, 1))
}

// programParts are the figures of the n-th program.
func programParts(n int, p Program, u measure.Ruler) (d document.Document) {
	under := func(format string, args ...any) {
		d = append(d, document.Paragraph{Lead: "     ", Text: fmt.Sprintf(format, args...)})
	}
	d = append(d, document.Paragraph{Lead: fmt.Sprintf("  %d. ", n), Text: fmt.Sprintf("%s with %s, %s %s: %s", p.Purpose, p.Cutter.Name, p.Cutter.Shape, u.Length(p.Cutter.DiameterMM, 3), tell.Clock(p.TimeS))})
	under("%s", p.Pattern)
	if p.Purpose == string(work.AirLap) {
		under("nothing turns; feed %s mm/min above everything, %s m, %d lines", num(p.FeedMMMin, 0), num(p.CutLengthMM/1000, 1), p.Lines)
		return d
	}
	set := fmt.Sprintf("speed %.0f", p.SpeedRPM)
	if p.Dial != "" {
		set = fmt.Sprintf("dial %s (%.0f rpm)", p.Dial, p.SpeedRPM)
	}
	under("%s, feed %s mm/min, chip load %s mm; %s m of cutting, %s m of traverses, %d lines",
		set, num(p.FeedMMMin, 0), num(p.ChipLoadMM, 3), num(p.CutLengthMM/1000, 1), num(p.TraverseLength/1000, 1), p.Lines)
	under("bites %s of %s mm; needs flutes of %s mm and %s mm out of the holder",
		num(p.BiteMM, 2), num(p.DepthOfCutMM, 2), num(p.FluteNeedMM, 2), num(p.StickOutNeedMM, 1))
	for _, l := range p.Limits {
		d = append(d, document.Paragraph{Lead: "     limited: ", Text: l})
	}
	return d
}

// orderParts tell what is done before each program that is not as it was for the one before.
func orderParts(list []BenchStep) (d document.Document) {
	d = append(d, document.Heading("before each program, as its head and order.txt say it"))
	var before *BenchStep
	for i := range list {
		s := &list[i]
		d = append(d, document.Paragraph{Lead: "  ", Text: fmt.Sprintf("program %d", s.Program)})
		for _, one := range s.Sentences(before) {
			if one.Again && one.Act != ActStill && one.Act != ActStart { // those are of every program
				d = append(d, document.Paragraph{Lead: "    ", Text: one.String()})
			}
		}
		before = s
	}
	return d
}

// stepsParts are the table from which a builder picks a scallop.
func stepsParts(p Report) document.Document {
	if len(p.Steps) == 0 {
		return nil
	}
	t := document.Table{Head: []string{"scallop mm", "widest step mm", "passes", "path m", "minutes"}}
	for _, s := range p.Steps {
		row := []string{num(s.ScallopMM, 4), measure.FormatFixed(s.StepMM, 2), fmt.Sprint(s.Passes), measure.FormatFixed(s.LengthMM/1000, 1), measure.FormatFixed(s.Minutes, 0)}
		if s.Own {
			row = append(row, "<- this job")
		}
		t.Rows = append(t.Rows, row)
	}
	return document.Document{document.Heading("what another scallop costs in finishing"), t}
}

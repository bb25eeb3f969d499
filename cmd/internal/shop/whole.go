package shop

import (
	"fmt"
	"slices"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
)

// ruler writes lengths as the job's builder reads them.
func (r *Result) ruler() measure.Ruler { return r.Job.Ruler }

// Whole is all that is known of a job's programs.
func (r *Result) Whole() (d document.Document) {
	p, u := r.Report, r.ruler()
	d = append(d, document.Paragraph{Text: fmt.Sprintf("%s: %s, for %s", p.Name, r.Words().Heading(), p.Machine)}, document.Space{}, r.facts(), document.Heading("programs"))
	for i, pr := range p.Programs[:len(r.Texts)] { // of a pair the caul's follow with it
		d = append(d, r.programParts(r.first+i+1, pr)...)
	}
	d = append(d, orderParts(p.Order[:len(r.Texts)])...)
	d = append(d, stepsParts(p, r.ruler())...)
	if p.Chosen != "" {
		d = append(d, document.Space{}, document.Paragraph{Lead: "chosen: ", Text: p.Chosen})
	}
	d = append(append(d, ShopParts(p.Shop, p.Values)...), DefaultsParts(p.Defaults, u)...)
	if len(p.Warnings) > 0 {
		d = append(d, document.Heading("worth knowing"), document.Notes{List: Notes(p.Warnings, u)})
	}
	if r.Mate != nil {
		d = append(append(d, document.Heading("and its caul"), document.Space{}), r.Mate.Whole()...)
	}
	return append(d, ListParts("broken", measure.Texts(p.Broken, u))...)
}

// Notes are warnings as they are told.
func Notes(list []work.Warning, u measure.Ruler, whole ...string) (notes []document.Note) {
	for _, w := range list {
		notes = append(notes, document.Note{Message: w.Message.In(u), Hint: w.Hint.In(u), Whole: slices.Contains(whole, w.Kind)})
	}
	return notes
}

// DefaultsParts tells what was taken for keys that are left out, and why.
func DefaultsParts(list []keys.Default, u measure.Ruler) (d document.Document) {
	for i, one := range list {
		if i == 0 {
			d = append(d, document.Heading("defaults used"))
		}
		d = append(d, document.Paragraph{Lead: "  " + one.Key + ": ", Text: measure.Written(fmt.Sprintf("%s (%s)", one.Value, one.Why)).In(u)})
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
	if w.HasFace() {
		list.Add("depth", "%s", u.Depth(p.SagittaMM, 3))
		list.Add("wood under it", "%s; the floor asked for is %s", r.under(u), u.Length(w.Floor, 2))
	}
	if s := p.Sag; s != nil {
		list.Add("it sags", "%s", s.Says(u))
		if layers := s.Laminated(u); layers != "" {
			list.Add("glued from", "%s", layers)
		}
	}
	if c := p.Covering; c != nil {
		list.Add("covering", "%s", c.Layout(u))
	}
	if p.SpansMM > 0 {
		list.Add("by hand", "spans sides %s apart with its swing;\nbends %s when pressed in the middle", u.Length(p.SpansMM, 0), u.Length(p.BendsMM, 2))
	}
	if p.OffSphereMM > 0 {
		list.Add("off the sphere", "%s across its width, as a cylinder", u.Length(p.OffSphereMM, 4))
	}
	if w.Covering > 0 {
		list.Add("wood cut to", "%s, for a covering of %s", u.Length(p.CutRadiusMM, 3), u.Length(w.Covering, 3))
	}
	if w.Uneven > 0 {
		list.Add("it is uneven", "by %s, beside the scallop of %s that is certified for the wood", u.Length(w.Uneven, 3), u.Length(w.Scallop, 3))
	}
	list.Add("touch Z0 off", "%s", r.touching(",\n"))
	if lies := r.bedLies(); !lies.Empty() {
		list.Add("the bed", "%s", lies.In(u))
	}
	if holds := p.HoldPlaces; len(holds) > 0 {
		var lines []string
		for _, h := range holds {
			lines = append(lines, holding(u, h))
		}
		list.Add("room to hold", "%s", strings.Join(lines, "\n"))
	}
	if w.HasFace() {
		list.Add("scallop", "%s asked, highest at %s,\n%s", u.Length(p.Scallop.AskedMM, 4), u.Place(p.Scallop.XMM, p.Scallop.YMM), p.Certificate.In(u))
	} else {
		list.Add("edges", "%s", p.Certificate.In(u))
	}
	list.Add("gouge", "%s", u.Length(p.GougeMM, 4))
	list.Add("deepest bite", "%s", u.Length(p.DeepestBiteMM, 2))
	list.Add("time", "%s, without changes of cutter", tell.Clock(p.TimeS))
	return list
}

// touching says where Z0 is touched off, the place after a separator.
func (r *Result) touching(sep string) string {
	if t := r.Report.Touch; t != nil {
		text := "on the blank's top, beside the face" + sep + "such as " + r.ruler().Place(t.X, t.Y)
		if high := r.Plan.Work.TopAt(t.X, t.Y); high != 0 {
			text += ", there Z to be " + r.ruler().Length(high, 3)
		}
		return text
	}
	return "on the bed"
}

// holding says where a blank can be held down.
func holding(u measure.Ruler, h Hold) string {
	return fmt.Sprintf("%s, %s all round", u.Place(h.X, h.Y), u.Length(h.Radius, 1))
}

// programParts are the figures of the n-th program.
func (r *Result) programParts(n int, p Program) (d document.Document) {
	u := r.ruler()
	under := func(format string, args ...any) {
		d = append(d, document.Paragraph{Lead: "     ", Text: fmt.Sprintf(format, args...)})
	}
	d = append(d, document.Paragraph{Lead: fmt.Sprintf("  %d. ", n), Text: fmt.Sprintf("%s with %s, %s %s: %s", p.Purpose, p.Cutter.Name, p.Cutter.Shape, r.Job.Written("shelf/"+p.Cutter.Name+"/diameter", p.Cutter.DiameterMM), tell.Clock(p.TimeS))})
	under("%s", p.Pattern.In(u))
	if p.SpeedRPM == 0 {
		under("nothing turns; feed %s above everything, %s, %d lines", u.Feed(p.FeedMMMin), u.Path(p.CutLengthMM), p.Lines)
		return d
	}
	set := fmt.Sprintf("speed %.0f", p.SpeedRPM)
	if p.Dial != "" {
		set = fmt.Sprintf("dial %s (%.0f rpm)", p.Dial, p.SpeedRPM)
	}
	under("%s, feed %s, chip load %s; %s of cutting, %s of traverses, %d lines",
		set, u.Feed(p.FeedMMMin), u.Length(p.ChipLoadMM, 3), u.Path(p.CutLengthMM), u.Path(p.TraverseLength), p.Lines)
	under("bites %s of %s; needs flutes of %s and %s out of the holder",
		u.Short(p.BiteMM, 2), u.Length(p.DepthOfCutMM, 2), u.Length(p.FluteNeedMM, 2), u.Length(p.StickOutNeedMM, 1))
	for _, l := range p.Limits {
		d = append(d, document.Paragraph{Lead: "     limited: ", Text: l.In(u)})
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
func stepsParts(p Report, u measure.Ruler) document.Document {
	if len(p.Steps) == 0 {
		return nil
	}
	t := document.Table{Head: []string{"scallop " + u.Unit(), "widest step " + u.Unit(), "passes", "path " + u.FarUnit(), "time"}}
	for _, s := range p.Steps {
		row := []string{u.Short(s.ScallopMM, 4), u.Fixed(s.StepMM, 2), fmt.Sprint(s.Passes), u.Far(s.LengthMM), s.takes()}
		if s.Own {
			row = append(row, "<- this job")
		}
		t.Rows = append(t.Rows, row)
	}
	return document.Document{document.Heading("what another scallop costs in finishing"), t}
}

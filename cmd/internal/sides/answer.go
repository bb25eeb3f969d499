package sides

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/shop"
)

// Answer is what a builder asks first of a rim: whether it can be sanded, in which dish, what
// comes off where, what to do first, and what is worth knowing. The tables are told elsewhere.
func (r *Result) Answer() document.Document {
	d := append(r.Verdict(), document.Space{}, r.Brief(), r.Measures())
	return append(append(d, r.Worth()...), document.Space{},
		document.Paragraph{Text: "--full tells all the rest; -o DIR has patterns at true size, a sheet, a log"}, document.Space{})
}

// Verdict says whether a rim can be sanded, and how much comes off.
func (r *Result) Verdict() document.Document {
	return document.Document{document.Paragraph{Text: r.verdict()}}
}

// Brief are the figures that a rim is sanded by.
func (r *Result) Brief() document.Facts {
	p, u := &r.Report, r.Job.Ruler
	label, tool := p.Tool.sentence(p.Top, u)
	facts := document.Facts{
		{Label: "it is", Text: fmt.Sprintf("a rim %s long, %s round, its edge %s wide", u.Length(p.LengthMM, 1), u.Length(p.PerimeterMM, 1), u.Length(p.EdgeMM, 2))},
		{Label: label, Text: tool},
		{Label: "first", Text: r.begin()},
		{Label: "the end", Text: r.end()},
	}
	if f := p.Flat; f != nil {
		facts = slices.Insert(facts, 2, document.Fact{Label: "the flat", Text: f.brief(r.Job.Top.FlatFrom-r.Body.Top.Blend, r.Job.Tool.Length > 0, u)})
	}
	if p.Saw != nil {
		facts = slices.Insert(facts, 2, document.Fact{Label: "saw or plane", Text: p.Saw.brief(u)})
	}
	if g := p.Guess; g != nil {
		facts = append(facts, document.Fact{Label: "the outline", Text: g.sentence(u)})
	}
	if len(p.Blocks) > 0 {
		facts = append(facts, document.Fact{Label: "straightedge", Text: "on both blocks: " + r.Gaps()})
	}
	return facts
}

// Worth are what is worth knowing of a rim.
func (r *Result) Worth() document.Document {
	return shop.WorthKnowing(r.Report.Warnings, r.Job.Ruler)
}

// verdict says whether a rim can be sanded, and how much comes off.
func (r *Result) verdict() string {
	p, u := &r.Report, r.Job.Ruler
	if n := len(p.Broken); n > 0 {
		text := p.Name + " cannot be sanded as it is: " + p.Broken[0].In(u)
		if n > 1 {
			text += fmt.Sprintf("; and %d more", n-1)
		}
		return text
	}
	dome := "flat"
	if p.Top.Shape != "flat" {
		dome = fmt.Sprintf("a %s of radius %s", p.Top.Shape, r.Job.Top.Radius)
	}
	if p.Flat != nil {
		dome += ", and flat from " + u.Length(p.Flat.FromMM, 2) + " on"
	}
	saw, wood := "", "of wood in all"
	if p.Saw != nil && p.Saw.MostMM >= hardly {
		saw, wood = fmt.Sprintf("up to %s are sawn or planed off first; then ", u.Length(p.Saw.MostMM, 2)), "of wood by sanding"
	}
	most, least := r.whole.MostExcess, r.whole.LeastExcess
	off := u.Length(most, 2) + " come off its top's edge everywhere"
	if most-least >= 0.005 {
		off = fmt.Sprintf("%s to %s come off its top's edge", u.Short(least, 2), u.Length(most, 2))
	}
	return fmt.Sprintf("%s can be sanded to %s%s: %s%s, %s %s", p.Name, dome, p.Tool.but(u), saw, off, u.Volume(r.whole.WoodVolume), wood)
}

// begin says what is done first.
func (r *Result) begin() string {
	p, u := &r.Report, r.Job.Ruler
	switch a := p.Attitude; {
	case a == nil:
	case a.Down():
		return "stop: nothing is left to come off where it was measured" + a.beside()
	case a.Press != even:
		return fmt.Sprintf("press the %s: it has %s more to come off than the other side%s", a.Press, u.Length(a.PressMM, 2), a.beside())
	}
	s := "the rim is " + p.Sanding.Start.In(u) + ": mark the edge with a pencil all round"
	if p.Saw != nil {
		s = "mark the sawn edge with a pencil all round"
	}
	if f := p.Sanding.First; p.Sanding.MostMM-p.Sanding.LeastMM >= 0.005 {
		s += fmt.Sprintf("; the dish touches first at %s", u.Place(f.X, f.Y))
	}
	return s
}

// StopAt says at which widths the top's edge is done: as long as the back's is not sanded, what is
// to come off that stands in them.
func (r *Result) StopAt() string {
	if slices.ContainsFunc(r.Report.Stations, func(s Station) bool { return s.BackRemove-s.BackSaw >= hardly }) {
		return "when the widths hold, with what is still to be sanded off the back"
	}
	return "when the widths hold"
}

// end says when the rim is done.
func (r *Result) end() string {
	last := "when the last mark is gone"
	if l := r.Report.Sanding.Last; r.Report.Sanding.MostMM-r.Report.Sanding.LeastMM >= 0.005 {
		last = fmt.Sprintf("when the last mark, at %s, is gone", r.Job.Ruler.Place(l.X, l.Y))
	}
	return last + ", mark again; stop " + r.StopAt()
}

// Gaps are those under a straightedge that rests on both blocks.
func (r *Result) Gaps() string {
	var list []string
	for _, b := range r.Report.Blocks {
		gap := r.Job.Ruler.Length(b.GapBothMM, 2)
		if b.GapBothMM < Feeler {
			gap = "less than a feeler gauge tells"
		}
		list = append(list, b.Name+" "+gap)
	}
	return strings.Join(list, ", ")
}

// hardly is the most by which two sides differ that are told as one, mm: half of what is told.
const hardly = 0.005

// Measured are the named places, left and right apart only where they differ: one that both
// sides have alike comes once, without its side.
func (r *Result) Measured() (list []Station) {
	other := func(name string) (s Station, ok bool) {
		for _, s := range r.Report.Places {
			if s.Name == name {
				return s, true
			}
		}
		return s, false
	}
	for _, s := range r.Report.Places {
		side, rest, _ := strings.Cut(s.Name, " ")
		if mirrored := map[string]string{"right": "left", "left": "right"}[side]; mirrored != "" {
			if o, ok := other(mirrored + " " + rest); ok && math.Abs(o.WidthMM-s.WidthMM) < hardly && math.Abs(o.RemoveMM-s.RemoveMM) < hardly && math.Abs(o.BackRemove-s.BackRemove) < hardly {
				if side == "left" {
					continue
				}
				s.Name = rest
			}
		}
		list = append(list, s)
	}
	return list
}

// Measures are the named places: widths to hold and what comes off.
func (r *Result) Measures() document.Table {
	u := r.Job.Ruler
	t := document.Table{Caption: "what the side is to measure, and what comes off, " + u.Unit()}
	var off func(Station) []string
	t.Head, off = r.comesOff([]string{"place", "side"})
	for _, s := range r.Measured() {
		t.Rows = append(t.Rows, append([]string{s.Name, u.Mark(s.WidthMM, 2)}, off(s)...))
	}
	return t
}

package sides

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/dish/measure"
)

// Answer is what a builder asks first of a rim: whether it can be sanded, in which dish, what
// comes off where, what to do first, and what is worth knowing. The tables are told elsewhere.
func (r *Result) Answer() (d document.Document) {
	p := &r.Report
	d = append(d, document.Paragraph{Text: r.verdict()}, document.Space{})
	facts := document.Facts{
		{Label: "it is", Text: fmt.Sprintf("a rim %s mm long, %s mm round, its edge %s mm wide", short(p.LengthMM, 1), short(p.PerimeterMM, 1), short(p.EdgeMM, 2))},
		{Label: "the dish", Text: p.Tool.sentence()},
		{Label: "first", Text: r.begin()},
		{Label: "the end", Text: r.end()},
	}
	if len(p.Blocks) > 0 {
		facts = append(facts, document.Fact{Label: "straightedge", Text: "on both blocks: " + r.gaps()})
	}
	d = append(d, facts, document.Heading("what the side is to measure, and what comes off, mm"), r.measures())
	var notes []document.Note
	for _, w := range p.Warnings {
		notes = append(notes, document.Note{Message: w.Message, Hint: w.Hint})
	}
	if len(notes) > 0 {
		d = append(d, document.Heading("worth knowing"), document.Notes{List: notes, Brief: true})
	}
	return append(d, document.Space{}, document.Paragraph{Text: "--full tells all of it: every station, patterns, braces, the dry fit; -o DIR writes patterns at true size"}, document.Space{})
}

// verdict says whether a rim can be sanded, and how much comes off.
func (r *Result) verdict() string {
	p := &r.Report
	if n := len(p.Broken); n > 0 {
		text := p.Name + " cannot be sanded as it is: " + p.Broken[0]
		if n > 1 {
			text += fmt.Sprintf("; and %d more", n-1)
		}
		return text
	}
	dome := "flat"
	if p.Top.Shape != "flat" {
		dome = fmt.Sprintf("a %s of radius %s mm (%s ft)", p.Top.Shape, short(p.Top.RadiusMM, 1), short(p.Top.RadiusMM/304.8, 2))
	}
	off := fixed(p.Sanding.MostMM) + " mm come off its top's edge everywhere"
	if p.Sanding.MostMM-p.Sanding.LeastMM >= 0.005 {
		off = fmt.Sprintf("%s to %s mm come off its top's edge", fixed(p.Sanding.LeastMM), fixed(p.Sanding.MostMM))
	}
	return fmt.Sprintf("%s can be sanded to %s: %s, %s cm3 of wood in all", p.Name, dome, off, measure.FormatFixed(p.Sanding.WoodMM3/1000, 1))
}

// sentence says how large a dish has to be, and how large the builder's is.
func (t Tool) sentence() string {
	s := fmt.Sprintf("%s mm across holds all of the rim with a swing of %s mm", short(math.Ceil(t.NeededMM), 0), short(t.SwingMM, 0))
	switch {
	case t.HasMM > 0 && t.OverhangMM > 0:
		s += fmt.Sprintf("; yours has %s mm, and the rim overhangs it by %s mm", short(t.HasMM, 0), short(t.OverhangMM, 1))
	case t.HasMM > 0:
		s += fmt.Sprintf("; yours has %s mm", short(t.HasMM, 0))
	}
	return s
}

// begin says what is done first.
func (r *Result) begin() string {
	p := &r.Report
	if a := p.Attitude; a != nil && a.Press != "evenly" {
		return fmt.Sprintf("press the %s: it has %s mm more to come off than the other side", a.Press, fixed(a.PressMM))
	}
	s := "the rim is " + p.Sanding.Start + ": mark the edge with a pencil all round"
	if f := p.Sanding.First; p.Sanding.MostMM-p.Sanding.LeastMM >= 0.005 {
		s += fmt.Sprintf("; the dish touches first at X%s Y%s", short(f.X, 0), short(f.Y, 0))
	}
	return s
}

// end says when the rim is done.
func (r *Result) end() string {
	s := "mark again whenever the last mark is gone; stop when the widths hold"
	if l := r.Report.Sanding.Last; r.Report.Sanding.MostMM-r.Report.Sanding.LeastMM >= 0.005 {
		s = fmt.Sprintf("the last mark goes at X%s Y%s; ", short(l.X, 0), short(l.Y, 0)) + s
	}
	return s
}

// gaps are those under a straightedge that rests on both blocks.
func (r *Result) gaps() string {
	var list []string
	for _, b := range r.Report.Blocks {
		gap := fixed(b.GapBothMM) + " mm"
		if b.GapBothMM < Feeler {
			gap = "less than a feeler gauge tells"
		}
		list = append(list, b.Name+" "+gap)
	}
	return strings.Join(list, ", ")
}

// hardly is the most by which two sides differ that are told as one, mm: half of what is told.
const hardly = 0.005

// measures are the named places: widths to hold and what comes off; left and right apart only
// where they differ.
func (r *Result) measures() document.Table {
	t := document.Table{Head: []string{"place", "side", fmt.Sprintf("in 1/%d", r.Job.Parts), "off the top", "off the back"}}
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
		name := s.Name
		if mirrored := map[string]string{"right": "left", "left": "right"}[side]; mirrored != "" {
			if o, ok := other(mirrored + " " + rest); ok && math.Abs(o.WidthMM-s.WidthMM) < hardly && math.Abs(o.RemoveMM-s.RemoveMM) < hardly && math.Abs(o.BackRemove-s.BackRemove) < hardly {
				if side == "left" {
					continue
				}
				name = rest
			}
		}
		text, over := measure.Fraction(s.WidthMM, r.Job.Parts)
		off := fixed(over)
		if !strings.HasPrefix(off, "-") {
			off = "+" + off
		}
		t.Rows = append(t.Rows, []string{name, fixed(s.WidthMM), strings.TrimSuffix(text, " in") + " " + off, fixed(s.RemoveMM), fixed(s.BackRemove)})
	}
	return t
}

// fixed writes a length in mm to a hundredth, short with at most so many decimals.
func fixed(mm float64) string               { return measure.FormatFixed(mm, 2) }
func short(mm float64, decimals int) string { return measure.FormatShort(mm, decimals) }

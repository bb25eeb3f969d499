package shop

import (
	"fmt"

	"dishwright/cam/proof"
	"dishwright/cmd/internal/document"
	"dishwright/dish/measure"
)

// Answer says whether the programs keep every bound, and then of what they were held against
// and what they leave.
func (v Verdict) Answer(u measure.Ruler) (d document.Document) {
	d = append(d, document.Paragraph{Text: v.verdict(u)}, document.Space{})
	for i, p := range v.Programs {
		cutter := "cutter " + p.Cutter
		switch {
		case p.gauge:
			cutter = "for a dial gauge"
		case p.Cutter == "":
			cutter = "no known cutter"
		}
		d = append(d, document.Paragraph{Lead: fmt.Sprintf("  %d. ", i+1), Text: fmt.Sprintf("%s, %s: %s, %s", p.Program, cutter, measure.Count(p.Lines, "line"), measure.Count(p.Moves, "move"))})
	}
	facts, taken := v.facts(u), v.Defaults
	if v.onlyRead() { // nothing was cut that they count for
		taken = nil
	}
	for _, one := range taken {
		facts = append(facts, document.Fact{Label: "taken", Text: measure.Written(fmt.Sprintf("%s: %s (%s)", one.Key, one.Value, one.Why)).In(u)})
	}
	d = append(d, document.Space{}, facts)
	var list []string
	for _, f := range v.Findings {
		list = append(list, fmt.Sprintf("%s:%d:%d: %s, at %s: %s", f.Program, f.Line, f.Column, f.Kind, u.Place(f.XMM, f.YMM), f.Message.In(u)))
	}
	d = append(d, ListParts("findings", list)...)
	if len(v.Warnings) > 0 {
		d = append(d, document.Heading("worth knowing"), document.Notes{List: Notes(v.Warnings, u)})
	}
	return d
}

// broken is a finding as a bound that programs break.
func broken(f proof.Finding) measure.Said {
	return measure.Say("%s:%d:%d: %s: %v (%v)", f.Program, f.Line, f.Column, f.Kind, f.Message, measure.At(f.X, f.Y))
}

// verdict is the first line.
func (v Verdict) verdict(u measure.Ruler) string {
	if v.Proven && v.onlyRead() {
		r := v.Readings
		return fmt.Sprintf("proven: %s read with the spindle off, the gauge pressed %s at most of its %s", measure.Count(r.Places, "place"), u.Up(r.PressedMM, 2), u.Length(r.TravelMM, 2))
	}
	if v.Proven {
		return "proven: no bound is broken, " + v.Scallop.Condition.In(u)
	}
	text := "not proven"
	if n := len(v.Findings); n > 0 {
		text += fmt.Sprintf(": %s, the first %s", measure.Count(n, "finding"), v.Findings[0].Kind)
	}
	return text
}

// onlyRead reports whether all programs that were read are for a gauge.
func (v Verdict) onlyRead() bool { return v.Readings != nil && v.Scallop.CertifiedMM == nil }

// facts are the figures of what the programs leave.
func (v Verdict) facts(u measure.Ruler) document.Facts {
	s, job := v.Scallop, document.Fact{Label: "held against", Text: v.Job}
	if v.onlyRead() {
		return document.Facts{job}
	}
	if s.CertifiedMM == nil {
		return document.Facts{job, {Label: "certified", Text: "nothing: not every program could be read to its end"}}
	}
	gouge := u.Length(*v.GougeMM, 4)
	if *v.GougeMM >= proof.UnknownDepth {
		gouge = "not known"
	}
	certified := document.Fact{Label: "edges", Text: v.Certificate.In(u)}
	if v.faced {
		certified = document.Fact{Label: "scallop", Text: fmt.Sprintf("%s asked, highest at %s,\n%s", u.Length(s.AskedMM, 4), u.Place(*s.XMM, *s.YMM), v.Certificate.In(u))}
	}
	return document.Facts{job, certified,
		{Label: "gouge", Text: gouge},
		{Label: "deepest bite", Text: u.Length(*v.DeepestBite, 2)},
	}
}

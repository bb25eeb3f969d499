package dial

import (
	"fmt"

	plan "dishwright/cam/dial"
	"dishwright/cmd/internal/document"
	"dishwright/dish/measure"
)

// Answer says what the readings tell; full shows each.
func (r Found) Answer(u measure.Ruler, full bool) document.Document {
	d := document.Document{document.Paragraph{Text: r.Verdict.In(u)}, document.Space{}, r.facts(u)}
	if full {
		d = append(d, r.table(u))
	}
	var list document.List
	for _, p := range r.Patterns {
		list = append(list, p.Message.In(u))
	}
	d = append(d, document.Heading("what they suggest"), list)
	paste := func(heading string, lines []string) {
		if len(lines) > 0 {
			d = append(d, document.Heading(heading))
		}
		for _, l := range lines {
			d = append(d, document.Paragraph{Lead: "  " + l})
		}
	}
	paste("for the job; touch Z0 off at place 1 before each program", r.Lines)
	paste("for the machine's profile, if X0 Y0 was at the middle of its travel", r.Profile)
	d = append(d, notTold(r.Cannot, r.Of, u)...)
	if !full {
		d = append(d, document.Space{}, document.Paragraph{Text: "--full shows each reading"})
	}
	return d
}

// facts are the figures.
func (r Found) facts(u measure.Ruler) (list document.Facts) {
	add := func(label, format string, args ...any) {
		list = append(list, document.Fact{Label: label, Text: measure.Say(format, args...).In(u)})
	}
	add("source", "the machine itself, set %s, %s of %s", r.Readings, measure.Count(len(r.Places), "reading"), what(r.Of))
	add("off", "%v rms, height and tilt taken out", measure.MM(r.RMSMM))
	add("largest", "%v at place %d, %v", measure.MM(r.Largest.Off), r.Largest.Place, measure.At(r.Largest.X, r.Largest.Y))
	bend := func(label string, b *Bend, what string) {
		if b != nil {
			add(label, "%v, give or take %v: %s", measure.MM(b.MM), measure.MM(b.HalfMM), map[bool]string{true: what, false: "not told from none"}[b.Sure])
		}
	}
	bend("bow", r.Bow, "the edge over the middle")
	bend("twist", r.Twist, "surely so")
	if r.Of == plan.Face {
		add("left", "%v rms beside them", measure.MM(r.LeftMM))
	}
	add("drift", "%v from the first reading of place 1 to the last", measure.MM(r.DriftMM))
	return list
}

// table lists the readings.
func (r Found) table(u measure.Ruler) document.Table {
	t := document.Table{Caption: "readings, and how far each place stands above the one expected, " + u.Unit(), Head: []string{"place", "X", "Y", "dial", "off", "left"}}
	for _, p := range r.Places {
		row := []string{fmt.Sprint(p.Place), u.Fixed(p.X, 1), u.Fixed(p.Y, 1), u.Fixed(p.Dial, 3), u.Fixed(p.Off, 3), u.Fixed(p.Left, 3)}
		if p.Outlier {
			row = append(row, "wrong? left out")
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

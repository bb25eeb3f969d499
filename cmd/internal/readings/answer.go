package readings

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cmd/internal/document"
	"dishwright/dish/measure"
)

// Answer says whether the radius asked for is what was cut, and what the readings tell besides;
// full shows what each of them is off by.
func (r Report) Answer(asked measure.Length, u measure.Ruler, full bool) document.Document {
	d := document.Document{}
	if a := r.Against; a != nil {
		d = append(d, document.Paragraph{Text: a.Verdict.In(u)}, document.Space{}, a.Facts(u), document.Heading("the radius"))
	}
	d = append(d, document.Paragraph{Text: r.Verdict.In(u)}, document.Space{}, r.Facts(asked, u))
	if c := r.Correction; c != nil {
		d = append(d, document.Heading("next time"), document.Paragraph{Lead: "  ", Text: c.Why.In(u)})
		if len(c.Lines) > 0 {
			d = append(d, document.Space{})
		}
		for _, line := range c.Lines { // from the first column on, to be pasted
			d = append(d, document.Paragraph{Lead: line.In(u)})
		}
	}
	if full {
		d = append(d, r.residuals(u)...)
	}
	if len(r.Warnings) > 0 {
		var notes []document.Note
		for _, text := range measure.Texts(r.Warnings, u) {
			notes = append(notes, document.Note{Message: text})
		}
		d = append(d, document.Heading("worth knowing"), document.Notes{List: notes})
	}
	if !full {
		d = append(d, document.Space{}, document.Paragraph{Text: "--full shows what each reading is off by"})
	}
	return d
}

// Facts are the figures of the sphere.
func (r Report) Facts(asked measure.Length, u measure.Ruler) (list document.Facts) {
	add := func(label, format string, args ...any) {
		list = append(list, document.Fact{Label: label, Text: measure.Say(format, args...).In(u)})
	}
	add("radius", "%v of a %s", radius(r.RadiusMM), r.Face)
	if r.HighMM != nil {
		add("95 of 100", "%v to %v", radius(r.LowMM), radius(*r.HighMM))
	} else {
		add("95 of 100", "%v to a flat: the readings do not tell them apart", radius(r.LowMM))
	}
	add("asked for", "%v", measure.Nominal{Length: asked})
	add("at the rim", "%v off the wanted depth, at %v from the apex", measure.MM(r.AtRimMM), measure.To(r.RimMM, 1))
	if r.Apex != nil {
		add("apex", "%v, Z %v", measure.At(r.Apex.X, r.Apex.Y), measure.MM(r.Apex.Z))
	}
	add("scatter", "%v rms over %d readings; a reading is good for %v", measure.To(r.RMSMM, 4), r.Readings, measure.To(r.NoiseMM, 4))
	if o := r.Roundness; o != nil {
		most, word := measure.Say("flat"), "not told from chance"
		if o.MostMM != nil {
			most = measure.Say("%v", radius(*o.MostMM))
		}
		if o.Sure {
			word = "surely so"
		}
		add("roundness", "%v at %s deg, %v across it: %s", radius(o.LeastMM), measure.FormatFixed(o.AngleDeg, 0), most, word)
	}
	if e := r.AsErrors; e != nil && e.Sure {
		lean := measure.Say("lean %v", measure.Tan(e.Lean/100))
		if !e.Leans {
			lean = measure.Say("its lean is not told: a third line at 45 deg tells it")
		}
		add("as a machine", "scale x %v, y %v, %v; one with these errors would have cut it, if its heights are true and it was read as it lay",
			measure.Tan(e.ScaleX/100), measure.Tan(e.ScaleY/100), lean)
	}
	if len(r.More) > 0 {
		var again []string
		for _, m := range r.More {
			again = append(again, fmt.Sprintf("%d at %s", m.Count, u.Place(m.X, m.Y)))
		}
		add("to halve this", "as many readings more: %s", strings.Join(again, ", "))
	}
	if !r.Limit.Empty() {
		add("the limit", "%v", r.Limit)
	}
	return list
}

// radius is one that was found, mm, as a job could ask for it: to a mm, or a hundredth of a foot.
type radius float64

// In writes the radius.
func (r radius) In(u measure.Ruler) string {
	if u.Inches {
		return u.Dome(float64(r))
	}
	return u.Length(float64(r), 0)
}

const (
	// barHalf is how wide one half of a residual's bar is, in characters.
	barHalf = 16
	// mostBars are drawn; of more readings those that are off the most.
	mostBars = 60
)

// residuals draw how far each reading stands above or below the sphere.
func (r Report) residuals(u measure.Ruler) document.Document {
	largest := 0.0
	for _, e := range r.Residuals {
		if !e.Outlier {
			largest = max(largest, math.Abs(e.Residual))
		}
	}
	shown := 0.0
	if len(r.Residuals) > mostBars {
		shown = largest / 2
	}
	skipped := 0
	t := document.Table{Head: []string{"", "X " + u.Unit(), "Y", "off"}}
	for i, e := range r.Residuals {
		if math.Abs(e.Residual) < shown && !e.Outlier {
			skipped++
			continue
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), u.Fixed(e.X, 1), u.Fixed(e.Y, 1), u.Fixed(e.Residual, 4), e.bar(largest)})
	}
	d := document.Document{document.Heading(fmt.Sprintf("readings above (>) and below (<) the sphere; a full bar is %s", u.Length(largest, 4))), t}
	if skipped > 0 {
		d = append(d, document.Paragraph{Lead: "  ", Text: fmt.Sprintf("and %d that are off by less than half of that", skipped)})
	}
	return d
}

// bar draws a reading as a share of the largest.
func (e Residual) bar(largest float64) string {
	n := barHalf
	if largest > 0 && !e.Outlier {
		n = int(math.Round(math.Abs(e.Residual) / largest * barHalf))
	}
	bar := strings.Repeat(" ", barHalf) + "|" + strings.Repeat(">", n)
	if e.Residual < 0 {
		bar = strings.Repeat(" ", barHalf-n) + strings.Repeat("<", n) + "|"
	}
	if e.Outlier {
		bar += "  wrong?"
	}
	return bar
}

package sheet

import (
	"dishwright/cmd/internal/document"
	"dishwright/dish/measure"
)

// saw is the step by which a rim is brought near its edge before it is sanded; none where it is
// near it already.
func (d rim) saw() document.Steps {
	s := d.p.Saw
	if s == nil {
		return nil
	}
	text := measure.Say("Saw or plane to the line: mark it %v outside the finished edge, with the pattern or with a gauge set to the widths under \"%v\", edge by edge in their order: %v. Sanding takes the rest.",
		measure.To(s.ToMM, 2), gaugeTitle, s.Off()).In(d.u)
	return document.Steps{{Text: text, Care: "Clamp the rim, keep both hands behind the blade, work with the grain: sides split. Mask and extraction: the dust of side woods harms lungs and skin."}}
}

// gaugeTitle heads the widths that a gauge is set to before sawing.
const gaugeTitle = "The saw's gauge"

// gauge is what a gauge is set to at each place, for an edge that is sawn; none where none is.
func (d rim) gauge() document.Document {
	s := d.p.Saw
	if s == nil {
		return nil
	}
	t := document.Table{Caption: "what it is set to, " + d.u.Unit(), Head: []string{"place"}}
	top, back := s.MostMM >= 0.005, s.BackMM >= 0.005 // what the table tells
	if top {
		t.Head = append(t.Head, "for the top, from the back as it is")
	}
	if back {
		t.Head = append(t.Head, map[bool]string{true: "then for the back, from the sawn top", false: "for the back, from the top as it is"}[top])
	}
	for _, p := range d.Measured() {
		row := []string{p.Name}
		if top {
			row = append(row, d.u.Mark(p.TopGauge(), 2))
		}
		if back {
			row = append(row, d.u.Mark(p.BackGauge(), 2))
		}
		t.Rows = append(t.Rows, row)
	}
	return document.Document{document.Heading(gaugeTitle), t}
}

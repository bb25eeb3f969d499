package sides

import (
	"fmt"

	"dishwright/cmd/internal/sketch"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"
)

// start makes the rim before sanding.
func (b *builder) start(body rim.Body) rim.UnsandedRim {
	s := b.job.Start
	switch {
	case s.Flat > 0:
		return body.CutFlat(s.Flat)
	case s.File == "":
		return body.WithAllowance(s.Allowance)
	}
	data, ok := b.read("start/file", s.File)
	if !ok {
		return rim.UnsandedRim{}
	}
	t, err := sketch.Table(s.File, data, sketch.Column{Name: "arc", Needed: true}, sketch.Column{Name: "top", Needed: true})
	if err != nil {
		b.take("start/file", err)
		return rim.UnsandedRim{}
	}
	arcs, tops := t.MM("arc"), t.MM("top")
	var list []rim.MeasuredHeight
	for i, arc := range arcs {
		bad := func(hint, format string, args ...any) {
			b.faults = append(b.faults, strict.Fault{File: s.File, Line: t.Line(i), Column: 1, Message: measure.Say(format, args...).In(b.job.Ruler), Hint: hint})
		}
		switch lap := body.Outline.Perimeter(); {
		case !(arc >= 0 && arc < lap):
			bad(fmt.Sprintf("one lap is %s, from the tail along the outside", b.mm(lap)), "an arc of %s lies beyond the rim", mm(arc))
		case i > 0 && arc <= arcs[i-1]:
			bad("in the order of their arcs, each once", "the arc %s does not follow %s", mm(arc), mm(arcs[i-1]))
		case !(tops[i] > 0 && tops[i] < mostHeight):
			bad("the height of the top's edge above the plane that the back's edge stands on", "a height of %s", mm(tops[i]))
		}
		list = append(list, rim.MeasuredHeight{Arc: arc, Top: tops[i]})
	}
	if len(list) == 0 {
		b.fault("start/file", "one line for each place: arc_mm,top_mm", "%s holds no heights", measure.Quote(s.File))
		return rim.UnsandedRim{}
	}
	return body.AsMeasured(list)
}

// mostHeight is higher than any rim, mm.
const mostHeight = 500.0

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
	text := measure.Say("Saw or plane to the line: mark it %v outside the finished edge, with the pattern, or with a gauge set to the widths of the table and %v more: %v. Sanding takes the rest.",
		measure.To(s.ToMM, 2), measure.To(s.ToMM, 2), s.Off()).In(d.u)
	return document.Steps{{Text: text, Care: "Clamp the rim, keep both hands behind the blade, work with the grain: sides split. Mask and extraction: the dust of side woods harms lungs and skin."}}
}

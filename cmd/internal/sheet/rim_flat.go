package sheet

import (
	"dishwright/cmd/internal/document"
	"dishwright/dish/measure"
)

// flat are the steps that a top's flat takes before the dome is sanded and after it; none where
// it has no flat.
func (d rim) flat() (before, after document.Steps) {
	f := d.p.Flat
	if f == nil {
		return nil, nil
	}
	var all document.Steps
	for _, text := range measure.Texts(f.Order, d.u) {
		all = append(all, document.Step{Text: text})
	}
	return all[:len(all)-1], all[len(all)-1:]
}

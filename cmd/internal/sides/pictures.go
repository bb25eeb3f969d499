package sides

import "dishwright/cmd/internal/figure"

// Pictures are the workshop drawings of a rim; Touched is nil where the dish touches
// all of it at once.
type Pictures struct {
	Plan             *figure.Figure
	Unrolled         []*figure.Figure
	Sanding, Touched *figure.Figure
}

// All returns those that there are, in the order in which they are looked at.
func (p Pictures) All() []*figure.Figure {
	list := append(append([]*figure.Figure{p.Plan}, p.Unrolled...), p.Sanding)
	if p.Touched != nil {
		list = append(list, p.Touched)
	}
	return list
}

// Pictures draws the rim.
func (r *Result) Pictures() Pictures {
	p := Pictures{Plan: r.plan(figure.Page), Unrolled: r.unrolled(figure.Page)}
	sanded := append(r.sanded(figure.Page), nil)
	p.Sanding, p.Touched = sanded[0], sanded[1]
	return p
}

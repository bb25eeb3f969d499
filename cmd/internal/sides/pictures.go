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
	p := Pictures{Plan: figure.Rim(r.PlanView(), "the outline from above; numbers: height of the top's edge, mm")}
	for _, v := range r.StripViews() {
		p.Unrolled = append(p.Unrolled, figure.Strip(v, v.Title+", unrolled"))
	}
	v := r.SandingView()
	p.Sanding = figure.Sanding(v, "to come off round the rim, from the tail over the right side to the head and back")
	if len(v.Steps) > 0 {
		p.Touched = figure.Touched(v, "how much of the rim is touched as it comes down")
	}
	return p
}

package sides

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cmd/internal/figure"
	"dishwright/dish/measure"
	"dishwright/dish/rim"
)

// drawnPoints round an outline are more than any drawing tells apart.
const drawnPoints = 400

// Plan draws the outline from above with the widths of the side, which a gauge is set to.
func (r *Result) Plan(size figure.Size) *figure.Figure {
	return figure.RimPlan(r.planView(), "the outline from above; numbers: width of the finished side at its outside, "+r.Job.Ruler.Unit(), size)
}

// planView is the outline with the widths of the side beside it.
func (r *Result) planView() figure.RimView {
	v := figure.RimView{Outline: r.outline(), Edges: r.Body.FlatLines()}
	lap := r.Body.Outline.Perimeter()
	if r.Body.Top.Kind != rim.Plane {
		p := r.Body.Top.Apex
		v.Apex = &p
	}
	for _, k := range r.Job.Braces {
		if ends, err := r.Body.Notches(k); err == nil {
			v.Braces = append(v.Braces, []r2.Vec{ends[0].At, ends[1].At})
		}
	}
	for _, k := range [...]rim.Block{r.Body.HeadBlock(r.Job.Blocks.Head), r.Body.TailBlock(r.Job.Blocks.Tail)} {
		if k.Thickness() > 0 {
			half := r.blockHalf(k)
			v.Blocks = append(v.Blocks, []r2.Vec{{X: k.Outer, Y: -half}, {X: k.Inner, Y: -half}, {X: k.Inner, Y: half}, {X: k.Outer, Y: half}})
		}
	}
	for _, s := range r.Body.NamedStations() {
		v.Labels = append(v.Labels, figure.Label{At: s.At, Text: r.Job.Ruler.Fixed(s.Width, 2)})
	}
	// Between the named places a width half way from each to the next.
	places := r.Body.NamedStations()
	for i, s := range places {
		to := lap
		if i+1 < len(places) {
			to = places[i+1].Arc
		}
		m := r.Body.Station((s.Arc + to) / 2)
		v.Labels = append(v.Labels, figure.Label{At: m.At, Text: r.Job.Ruler.Fixed(m.Width, 2)})
	}
	return v
}

// outline is the outline as it is drawn.
func (r *Result) outline() (line []r2.Vec) {
	lap := r.Body.Outline.Perimeter()
	for i := range drawnPoints {
		line = append(line, r.Body.Outline.At(lap*float64(i)/drawnPoints).At)
	}
	return line
}

// blockHalf is a half of a block's width for a drawing: a job does not say it.
func (r *Result) blockHalf(k rim.Block) float64 {
	least := math.Inf(1)
	for _, p := range r.Body.Outline.Polygon(1) {
		if math.Abs(p.X-k.Inner) < 0.1*r.Body.Outline.Length() {
			least = min(least, math.Abs(p.Y))
		}
	}
	if math.IsInf(least, 1) || least <= 0 {
		least = r.Body.Outline.Length() / 8
	}
	return min(least*0.8, r.Body.Outline.Length()/8)
}

// Unrolled draws the sides; one alone where the two are alike.
func (r *Result) Unrolled(size figure.Size) (list []*figure.Figure) {
	for _, v := range r.stripViews() {
		list = append(list, figure.Strip(v, v.Title+", unrolled", size))
	}
	return list
}

// stripViews are the sides unrolled; one where the two are alike.
func (r *Result) stripViews() []figure.StripView {
	halves := r.Report.Side.Halves
	if alike(halves[0], halves[1]) {
		return []figure.StripView{strip(halves[0], "right side and, turned over, the left", r.Job.Ruler)}
	}
	return []figure.StripView{strip(halves[0], "right side", r.Job.Ruler), strip(halves[1], "left side", r.Job.Ruler)}
}

// alike reports whether two sides are the same to a hundredth of a millimetre.
func alike(a, b Halved) bool {
	if len(a.Edges) != len(b.Edges) {
		return false
	}
	for i, e := range a.Edges {
		f := b.Edges[i]
		if math.Abs(e.Along-f.Along) > 0.01 || math.Abs(e.Upper-f.Upper) > 0.01 || math.Abs(e.Lower-f.Lower) > 0.01 {
			return false
		}
	}
	return true
}

func strip(h Halved, title string, u measure.Ruler) figure.StripView {
	v := figure.StripView{Title: title, Ruler: u}
	for _, e := range h.Edges {
		v.Upper = append(v.Upper, r2.Vec{X: e.Along, Y: e.Upper})
		v.Lower = append(v.Lower, r2.Vec{X: e.Along, Y: e.Lower})
		if e.Name != "" {
			v.Marks = append(v.Marks, figure.Label{At: r2.Vec{X: e.Along}, Text: bare(e.Name)})
		}
	}
	return v
}

// bare drops the side from a place's name.
func bare(name string) string {
	for _, side := range [...]string{"left ", "right "} {
		if len(name) > len(side) && name[:len(side)] == side {
			return name[len(side):]
		}
	}
	return name
}

// Sanded draws what has to come off round the rim and, where it does not do so all at
// once, how the dish touches it.
func (r *Result) Sanded(size figure.Size) []*figure.Figure {
	v := r.sandingView()
	list := []*figure.Figure{figure.Sanding(v, "to come off round the rim, from the tail over the right side to the head and back", size)}
	if len(v.Steps) > 0 {
		list = append(list, figure.Touched(v, "how much of the rim is touched as it comes down", size))
	}
	return list
}

// Pictures are all of these, in the order in which they are looked at.
func (r *Result) Pictures(size figure.Size) []*figure.Figure {
	return slices.Concat([]*figure.Figure{r.Plan(size)}, r.Laid(size), r.Unrolled(size), r.Sanded(size))
}

// sandingView is what has to come off round the rim.
func (r *Result) sandingView() figure.SandingView {
	v := figure.SandingView{Ruler: r.Job.Ruler}
	lap := r.Body.Outline.Perimeter()
	for i := range drawnPoints {
		s := r.Body.Station(lap * float64(i) / drawnPoints)
		off, _ := r.start.Excess(s)
		v.Left = append(v.Left, off)
	}
	for _, s := range r.Body.NamedStations() {
		v.Marks = append(v.Marks, figure.Label{At: r2.Vec{X: s.Arc / lap}, Text: bare(s.Name)})
	}
	if s := r.Report.Sanding; s.MostMM-s.LeastMM > 1e-6 {
		for _, l := range s.Steps {
			v.Steps = append(v.Steps, figure.SandingStep{By: l.ByMM, Touched: l.Touched})
		}
	}
	return v
}

package shop

import (
	"fmt"

	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/draw"
	"dishwright/cmd/internal/figure"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// Pictures are the workshop drawings of a piece: the blank, the passes of each
// purpose, and, where there is a face, a section, what is left and what another
// scallop would cost; nil for what there is none of.
type Pictures struct {
	Blank    *figure.Figure
	Plans    []*figure.Figure
	Section  *figure.Figure
	Left     *figure.Figure
	Scallops *figure.Figure
}

// All returns those that there are, in the order in which they are looked at.
func (f Pictures) All() (list []*figure.Figure) {
	for _, one := range append(append([]*figure.Figure{f.Blank}, f.Plans...), f.Section, f.Left, f.Scallops) {
		if one != nil {
			list = append(list, one)
		}
	}
	return list
}

// Pictures draws the piece as its programs leave it; length writes a length in the
// builder's unit.
func (r *Result) Pictures(length func(mm float64) string) Pictures {
	f := picturesOf(&r.Plan.Work, r.stages(), r.left)
	f.Blank = figure.Blank(r.blankView(length), "the blank and its zero")
	var choices []figure.Choice
	for _, s := range r.Report.Steps {
		choices = append(choices, figure.Choice{Scallop: s.ScallopMM, Step: s.StepMM, Minutes: s.Minutes, Own: s.Own})
	}
	if len(choices) > 1 {
		f.Scallops = figure.Scallops(choices, "what another scallop costs in finishing")
	}
	return f
}

// Part draws the piece when the given share of the whole path is cut.
func (r *Result) Part(share float64) Pictures {
	return partOf(&r.Plan.Work, r.stages(), share)
}

// PicturesRead draws what programs that were read leave of a blank, up to the given
// share of their path.
func PicturesRead(w *work.Work, programs []proof.Program, share float64) Pictures {
	return partOf(w, stagesRead(programs), share)
}

func partOf(w *work.Work, stages []stage, share float64) Pictures {
	stock := stockFor(w.Blank, stages)
	part := upToShare(stages, share)
	for _, t := range part {
		stock.Run(t.cutter, t.moves)
	}
	return picturesOf(w, part, stock)
}

// picturesOf draws plans, and a section and a map of what stands at the end.
func picturesOf(w *work.Work, stages []stage, left *proof.Stock) (f Pictures) {
	var last *stage
	for i, t := range stages {
		if inAir(t.moves) {
			continue
		}
		if t.purpose != work.Extra {
			last = &stages[i]
		}
		f.Plans = append(f.Plans, figure.Plan(planView(w, t.moves), t.name+": "+t.pattern))
	}
	if !w.HasFace() || last == nil || left == nil {
		return f
	}
	end := *last
	end.name, end.last, end.moves = "", true, nil
	section := sectionView(w, left, end)
	f.Section = figure.Section(section, "section "+section.Title)
	f.Left = figure.Map(mapView(w, left, end, w.Scallop), fmt.Sprintf("left above the wanted face; %s mm are allowed", measure.TrimZeros(measure.FormatFixed(w.Scallop, 4))))
	return f
}

// marksView are the marks by which a blank is laid in its setups.
func (r *Result) marksView() (list []figure.Mark) {
	if len(r.Plan.Layout) == 0 {
		return nil
	}
	const inward = 0.93 // of the way from the middle
	slidX, slidY := r.benchOf(0).slide()
	for _, m := range indexMarks(&r.Plan.Work, r.Plan.Layout) {
		one := figure.Mark{At: draw.Point{X: m.at.X, Y: m.at.Y}, In: draw.Point{X: inward * m.at.X, Y: inward * m.at.Y}}
		switch { // square to the side along which it is slid
		case slidX != 0:
			one.In.X = m.at.X
		case slidY != 0:
			one.In.Y = m.at.Y
		}
		if m.number > 0 {
			one.Name = fmt.Sprint(m.number)
		}
		list = append(list, one)
	}
	return list
}

// blankView gathers what has to be found on the blank.
func (r *Result) blankView(length func(mm float64) string) figure.BlankView {
	w := &r.Plan.Work
	v := figure.BlankView{Blank: w.Blank, Length: length}
	edge := func(line []r2.Vec) {
		var edge []draw.Point
		for _, p := range line {
			edge = append(edge, draw.Point{X: p.X, Y: p.Y})
		}
		v.Edges = append(v.Edges, edge)
	}
	line := w.Region.Outline()
	switch {
	case w.Round():
		v.Rim = w.Face.Rim
	case len(line) > 0:
		edge(line)
	default:
		for _, c := range r.Extras.CutOuts {
			points, _ := c.Slot.Line()
			edge(points)
		}
	}
	for _, h := range work.Whole(w).Standing() {
		v.HoldDowns = append(v.HoldDowns, draw.Disc{X: h.X, Y: h.Y, Radius: h.Radius, DX: h.DX, DY: h.DY})
	}
	if len(w.HoldDowns) == 0 {
		for _, h := range r.Report.HoldPlaces {
			v.Room = append(v.Room, draw.Disc{X: h.X, Y: h.Y, Radius: h.Radius})
		}
	}
	v.Marks = r.marksView()
	if t := r.Report.Touch; t != nil {
		v.Touch = &draw.Point{X: t.X, Y: t.Y}
	}
	return v
}

package shop

import (
	"errors"
	"fmt"

	"dishwright/cam/work"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/tell"

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
	own := newScene(&r.Plan.Work, r.stages(), r.Plan.Left)
	own.whole = r.left
	a := Ask{Share: 1, Ruler: r.ruler()}
	var f Pictures
	if v, err := own.see(a); err == nil {
		f = own.pictures(own.stages, v, a)
	}
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

// PicturesOf draws what is asked for of scenes: a view alone, or all that there is.
func PicturesOf(list []Scene, a Ask) (all []*figure.Figure, err error) {
	for _, s := range list {
		v, err := s.see(a)
		if errors.Is(err, errNothing) && len(all) > 0 {
			continue // the share ends before this piece
		} else if err != nil {
			return nil, tell.Hint(err, "a larger share, such as --step 1/4")
		}
		switch {
		case a.Passes || a.Remaining || a.Section != nil:
			one, err := s.view(v, a, figure.Page)
			if err != nil {
				return nil, err
			}
			all = append(all, one)
		default:
			cut := upToShare(s.stages, a.Share)
			if a.Stage > 0 {
				cut = []stage{v.stage}
			}
			all = append(all, s.pictures(cut, v, a).All()...)
		}
	}
	return all, nil
}

// pictures draws plans of stages, and a section and a map of what stands at the end.
func (s Scene) pictures(stages []stage, v seen, a Ask) (f Pictures) {
	for _, t := range stages {
		one := v
		one.stage, one.title = t, t.name+": "+t.pattern
		f.Plans = append(f.Plans, s.planned(one, a, false, figure.Page))
	}
	if !s.w.HasFace() || v.purpose == work.Extra {
		return f
	}
	a.Section = &Line{}
	f.Section, _ = s.section(v, a, figure.Size{Width: figure.Page.Width, Height: 49}) // one through the apex meets the blank
	v.last = true
	f.Left = figure.Map(s.leftOver(v, a), fmt.Sprintf("left above the wanted face; %s is allowed", a.Ruler.Length(s.w.Scallop, 4)), figure.Page)
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
		one := figure.Mark{At: r2.Vec{X: m.at.X, Y: m.at.Y}, In: r2.Vec{X: inward * m.at.X, Y: inward * m.at.Y}}
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
	line := w.Region.Outline()
	switch {
	case w.Round():
		v.Rim = w.Face.Rim
	case len(line) > 0:
		v.Edges = append(v.Edges, line)
	default:
		for _, c := range r.Extras.CutOuts {
			points, _ := c.Slot.Line()
			v.Edges = append(v.Edges, points)
		}
	}
	v.HoldDowns = standing(w)
	if len(w.HoldDowns) == 0 {
		for _, h := range r.Report.HoldPlaces {
			v.Room = append(v.Room, figure.Disc{X: h.X, Y: h.Y, Radius: h.Radius})
		}
	}
	v.Marks = r.marksView()
	if t := r.Report.Touch; t != nil {
		v.Touch = &r2.Vec{X: t.X, Y: t.Y}
	}
	return v
}

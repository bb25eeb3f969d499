package shop

import (
	"errors"
	"fmt"

	"dishwright/cam/work"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/tell"

	"gonum.org/v1/gonum/spatial/r2"
)

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
			all = append(all, s.pictures(cut, v, a)...)
		}
	}
	return all, nil
}

// pictures draws plans of stages, and a section and a map of what stands at the end.
func (s Scene) pictures(stages []stage, v seen, a Ask) (list []*figure.Figure) {
	for _, t := range stages {
		one := v
		one.stage, one.title = t, t.name+": "+t.pattern
		list = append(list, s.planned(one, a, false, figure.Page))
	}
	if !s.w.HasFace() || v.purpose == work.Extra {
		return list
	}
	a.Section = &Line{}
	section, _ := s.section(v, a, figure.Size{Width: figure.Page.Width, Height: 49}) // one through the apex meets the blank
	v.last = true
	title := fmt.Sprintf("left above the wanted face; %s is allowed", a.Ruler.Length(s.w.Scallop, 4))
	return append(list, section, figure.Map(s.leftOver(v, a), title, figure.Page))
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
func (r *Result) blankView() figure.BlankView {
	w := &r.Plan.Work
	v := figure.BlankView{Blank: w.Blank, Ruler: r.ruler()}
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

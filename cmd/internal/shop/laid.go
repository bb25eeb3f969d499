package shop

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cmd/internal/figure"
	"dishwright/dish"
)

// How wide a drawing is made that stands over a page or over half of it: its letters are then
// large enough to be read.
const pageUnits, columnUnits = 150.0, 105.0

// Measured is the section of the piece as its programs leave it, with its measures; nil of a
// piece whose face is not measured by its depths.
func (r *Result) Measured() *figure.Figure {
	w, p, u := &r.Plan.Work, &r.Report, r.ruler()
	stages := r.stages()
	if !w.HasFace() || len(r.Words().Checks()) > 0 || len(stages) == 0 {
		return nil
	}
	long, _ := w.Region.Size()
	v := figure.MeasuredView{Surface: newScene(w, stages, 0).sectionView(seen{stage: stages[len(stages)-1], stock: r.left}, Line{}).Left, Thick: w.Blank.Thickness, Rim: long / 2,
		Deepest: r2.Vec{Y: -p.SagittaMM}, OnBed: w.ZeroAtBed,
		Across: u.Length(long, 1), Depth: u.Length(p.SagittaMM, 2) + " deep", Radius: "radius " + r.Job.Radius.String(),
		Blank: u.Length(w.Blank.Length, 1), Thickness: u.Length(w.Blank.Thickness, 2), Under: r.under(u)}
	if p.PlateMM > 0 { // its own is another than the one asked for
		v.Radius = "radius " + u.Length(w.Wanted, 1)
	}
	if v.Crown = w.Face.Falls(); v.Crown {
		v.Deepest.X = -v.Rim
	}
	wide := pageUnits
	if len(r.Plan.Layout) > 0 { // it stands beside its figures
		wide = columnUnits
	}
	return figure.Measured(v, wide, "the section through the apex")
}

// Blank is the blank from above with its zero and what stands on it.
func (r *Result) Blank() *figure.Figure {
	return figure.Blank(r.blankView(), "the blank and its zero")
}

// Laid is the blank as it lies in each of its setups; nil where there is only the one.
func (r *Result) Laid() *figure.Figure {
	var list []figure.LaidView
	for _, t := range r.Plan.Layout {
		for _, s := range t.Setups {
			turn := func(p r2.Vec) r2.Vec {
				q := s.Machine(r3.Vec{X: p.X, Y: p.Y})
				return r2.Vec{X: q.X, Y: q.Y}
			}
			v := figure.LaidView{Name: fmt.Sprintf("setup %d", s.Number), Part: turned(edgeOf(t.Part(s), r.Plan.Work.Face.Rim), turn), Edge: turned(figure.Outline(r.Plan.Work.Blank), turn)}
			blank := r.blankView()
			for _, m := range blank.Marks {
				v.Marks = append(v.Marks, figure.Mark{At: turn(m.At), In: turn(m.In), Name: m.Name})
			}
			for _, h := range blank.Room {
				at := turn(r2.Vec{X: h.X, Y: h.Y})
				v.Room = append(v.Room, figure.Disc{X: at.X, Y: at.Y, Radius: h.Radius})
			}
			for _, o := range (bench{setup: s}).here(append(slices.Clone(r.Plan.Work.HoldDowns), r.Plan.Work.Obstacles...)) {
				o = s.ObstacleOnMachine(o)
				v.Stand = append(v.Stand, figure.Disc{X: o.X, Y: o.Y, Radius: o.Radius, DX: o.DX, DY: o.DY})
			}
			if at := r.touchIn(s); at != nil {
				v.Touch = &r2.Vec{X: at.X, Y: at.Y}
			}
			list = append(list, v)
		}
	}
	if len(list) == 0 {
		return nil
	}
	return figure.Laid(list, "how the blank lies in each setup, from above", r.ownRuler())
}

func turned(list []r2.Vec, turn func(r2.Vec) r2.Vec) (out []r2.Vec) {
	for _, p := range list {
		out = append(out, turn(p))
	}
	return out
}

// edgeOf is the edge of a sector of a round face.
func edgeOf(s dish.Sector, rim float64) []r2.Vec {
	edge := []r2.Vec{{}}
	for k := s.Middle - s.Half; k <= s.Middle+s.Half; k += dish.TurnStep {
		u, v := dish.UnitVector(k)
		edge = append(edge, r2.Vec{X: rim * u, Y: rim * v})
	}
	return edge
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
		for _, one := range r.Extras.Runs {
			v.Edges = append(v.Edges, figure.Groove{From: r2.Vec{X: one.From.X, Y: one.From.Y}, To: r2.Vec{X: one.To.X, Y: one.To.Y}}.Shape(one.Radius))
		}
	}
	v.Clear = r.Job.Marks != nil
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

package job

import (
	"fmt"

	"dishwright/cam/job/key"
	"dishwright/dish"
)

// pair is a dish and the caul that presses a plate into it, each in a blank of its own.
type pair struct{ Dish }

func (pair) Word() string { return key.Pair }

func (pair) Read(r *Reader) {
	r.Face(dish.Hollow, r.Across)
	r.Cut("square", landMoat)
	r.mate()
}

// The pieces of a pair, as their programs say them.
const (
	PieceDish = "dish"
	PieceCaul = "caul"
)

// Piece names the piece that a job's programs cut; empty where there is only one.
func (j Job) Piece() string {
	switch {
	case j.Mate != nil:
		return PieceDish
	case j.Paired:
		return PieceCaul
	case j.Marks != nil:
		return ScrapWord
	}
	return ""
}

// mate makes the caul of a pair: the same sphere less the plate, in a blank like the
// dish's.
func (l *Reader) mate() {
	w := &l.Job.Work
	if w.Face.Rim <= 0 {
		return
	}
	l.finish()
	m := l.Job
	m.Form, m.Paired, m.Layout, m.Covered = caul{}, true, nil, nil
	cut := w.Wanted - l.Job.Plate.MM
	f, err := dish.NewFace(dish.Crown, cut, w.Face.Rim)
	if err != nil {
		l.Root.Fault("plate", fmt.Sprintf("a caul for a plate of %s has no radius left", l.Job.Plate), "the thickness of the plate, "+l.like("2 mm to 4 mm"))
		return
	}
	m.Work.Face, m.Work.Wanted, m.Work.Covering = f, cut, 0
	m.Work.Uneven = 0
	m.Work.Name = w.Name + " caul"
	if m.Work.Extras.Lines != nil {
		lines := *m.Work.Extras.Lines
		lines.Face = true
		m.Work.Extras.Lines = &lines
	}
	l.Job.Mate = &m
}

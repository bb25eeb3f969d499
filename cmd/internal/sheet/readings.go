package sheet

import (
	"fmt"

	"dishwright/cam/work"
	"dishwright/cmd/internal/dial"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/figure"
	"dishwright/dish"
)

// OfReadings writes the sheet of readings with a dial gauge: what is done before, the places,
// and a table for the figures; call is the one that reads them.
func OfReadings(s *dial.Set, call string) []byte {
	r := s.Report
	before := document.Steps{}
	for _, one := range r.Before {
		before = append(before, document.Step{Text: one})
	}
	pages := document.Fill("Before the program "+s.Name, []document.Document{{document.Caution(dial.Caution), before,
		document.Paragraph{Text: "X0, Y0 and Z are those of the gauge afterwards: all of them are set anew before anything is cut."}}})
	var tell document.List
	for _, c := range r.Cannot {
		tell = append(tell, capital(c.In(s.Job.Ruler))+".")
	}
	pages = append(pages, document.Fill("Reading: "+s.What(), []document.Document{append(drawn(places(s)), figures(s)), {
		document.List{
			"The program waits at each place until you go on. Read the dial and its small hand, count whole turns, write the figure down.",
			"About is what the dial shows of a face as the job has it: a figure far beside it is a turn that was miscounted, or something under the tip.",
			"The figures go into " + dial.CSVName + ", its first and last columns as they are; then: " + call,
		},
		document.Heading("What such readings cannot tell"), tell}})...)
	return document.Sheet{Title: r.Name, Tag: "readings " + r.Readings, Pages: pages}.HTML()
}

// places draws them.
func places(s *dial.Set) *figure.Figure {
	w := &s.Job.Work
	v := figure.PlacesView{Blank: w.Blank, Ruler: s.Job.Ruler}
	if _, round := w.Region.(dish.Disc); round {
		v.Rim = w.Face.Rim
	}
	for _, p := range w.Region.Outline() {
		v.Edge = append(v.Edge, figure.Point(p))
	}
	for _, o := range work.Whole(w).Standing() {
		v.HoldDowns = append(v.HoldDowns, figure.Disc{X: o.X, Y: o.Y, Radius: o.Radius, DX: o.DX, DY: o.DY})
	}
	for _, p := range s.Report.Places {
		v.Places = append(v.Places, figure.Point{X: p.X, Y: p.Y})
	}
	return figure.Places(v, "the places, in their order", figure.Size{Width: 150, Height: 80})
}

// figures is the table to fill in.
func figures(s *dial.Set) document.Part {
	u, list := s.Job.Ruler, s.Report.Places
	table := func(caption string, places []dial.ReadAt) document.Document {
		t := document.Table{Caption: caption, Head: []string{"place", "X " + u.Unit(), "Y", "about", "dial"}, Write: true}
		for _, p := range places {
			t.Rows = append(t.Rows, []string{fmt.Sprint(p.Place), u.Fixed(p.X, 1), u.Fixed(p.Y, 1), u.Fixed(p.AboutMM, 1), ""})
		}
		return document.Document{t}
	}
	half := (len(list) + 1) / 2
	return document.Columns{table("Readings, set "+s.ID, list[:half]), table("and the rest", list[half:])}
}

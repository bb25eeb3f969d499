package sheet

import (
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/figure"
	"dishwright/dish/scrap"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// marks is where the marks of a scrap are measured, and room for the figures.
func (c cut) marks() (drawing document.Document, table document.Table) {
	l := c.Job.Marks
	v := figure.MarksView{Size: l.Size, Radius: l.Body.Radius(), Ruler: c.u}
	plan := func(p r3.Vec) r2.Vec { return r2.Vec{X: p.X, Y: p.Y} }
	for _, k := range l.Cuts {
		v.Cuts = append(v.Cuts, figure.Groove{From: plan(k.From), To: plan(k.To), Z: k.From.Z})
	}
	table = document.Table{Caption: "What is measured, " + c.u.Unit() + ", each at three places", Head: []string{"mark", "what", "by", "told", "first", "second", "third"}, Words: true, Write: true}
	for _, m := range l.Marks {
		v.Marks = append(v.Marks, figure.Lettered{Letter: m.Letter, From: m.From, To: m.To})
		told := c.u.Fixed(m.Nominal, 2)
		if m.Kind == scrap.Strip {
			told = "about " + c.u.Fixed(m.Nominal, 1)
		}
		table.Rows = append(table.Rows, []string{m.Letter, m.What, tools[m.Kind], told, "", "", ""})
	}
	return drawn(figure.Marks(v, marksUnits, "where the scrap is measured")), table
}

// marksUnits is how wide the drawing of a scrap is made: its letters are then large enough.
const marksUnits = 130.0

// tools are what the marks are measured with.
var tools = map[scrap.Kind]string{scrap.Boss: "outside jaws", scrap.Pocket: "inside jaws", scrap.Strip: "rule", scrap.Floor: "depth rod"}

package sheet

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/readings"
	"dishwright/dish/measure"
)

// mostReadings are listed in the table; of more those that are off the most.
const mostReadings = 24

// OfFit writes the sheet of readings that were fitted.
func OfFit(r readings.Report, asked measure.Length, u measure.Ruler) []byte {
	parts := document.Document{}
	if a := r.Against; a != nil {
		parts = append(parts, document.Paragraph{Text: capital(a.Verdict.In(u)) + "."}, a.Facts(u))
	}
	parts = append(parts, document.Paragraph{Text: capital(r.Verdict.In(u)) + "."})
	list := make([]figure.Residual, len(r.Residuals))
	for i, e := range r.Residuals {
		list[i] = figure.Residual{Number: i + 1, Off: e.Residual, Wrong: e.Outlier}
	}
	if len(list) > 0 {
		rows := offs(r, u)
		half := (len(rows.Rows) + 1) / 2
		second := document.Table{Caption: "and the rest", Head: rows.Head, Rows: rows.Rows[half:]}
		rows.Rows = rows.Rows[:half]
		parts = append(parts, document.Columns{drawn(figure.Residuals(list, "how far each reading is off, in their order", u)), {r.Facts(asked, u)}}, document.Columns{{rows}, {second}})
	}
	again := document.List{
		"Measure with the machine's power off and the dust gone, on a flat support.",
		"Zero the gauge on a flat plate before and after; readings between two different zeros are worth nothing.",
		"Take the readings along two lines across one another: they show whether the face is round.",
	}
	if len(r.Warnings) > 0 {
		var worth document.List
		for _, text := range measure.Texts(r.Warnings, u) {
			worth = append(worth, capital(text)+".")
		}
		parts = append(parts, document.Heading("Worth knowing"), worth)
	}
	if c := r.Correction; c != nil {
		parts = append(parts, document.Heading("Next time"), document.Paragraph{Text: capital(c.Why.In(u)) + "."})
		if len(c.Lines) > 0 {
			parts = append(parts, document.List(measure.Texts(c.Lines, u)))
		}
	}
	parts = append(parts, document.Heading("Measure again"), again)
	return document.Sheet{Title: "Readings: " + filepath.Base(r.Name), Tag: "radius asked for " + asked.String(), Pages: []document.Page{{Title: "The radius that was cut", Parts: parts}}}.HTML()
}

// offs lists the readings, of many those that are off the most.
func offs(r readings.Report, u measure.Ruler) document.Table {
	t := document.Table{Caption: "How far readings stand above the sphere, " + u.Unit(), Head: []string{"reading", "at", "off"}}
	index := make([]int, len(r.Residuals))
	for i := range index {
		index[i] = i
	}
	if len(index) > mostReadings {
		t.Caption = fmt.Sprintf("The %d readings of %d that are off the most, %s", mostReadings, len(index), u.Unit())
		slices.SortStableFunc(index, func(a, b int) int {
			switch x, y := math.Abs(r.Residuals[a].Residual), math.Abs(r.Residuals[b].Residual); {
			case x > y:
				return -1
			case x < y:
				return 1
			}
			return 0
		})
		index = index[:mostReadings]
		slices.Sort(index)
	}
	for _, i := range index {
		e := r.Residuals[i]
		off := u.Fixed(e.Residual, 4)
		if e.Outlier {
			off += ", wrong? left out"
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), u.XY(e.X, e.Y), off})
	}
	return t
}

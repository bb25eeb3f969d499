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
func OfFit(r readings.Report, asked measure.Length) []byte {
	u := measure.Ruler{} // feet are how domes are named: gauges and their readings say mm
	parts := document.Document{document.Paragraph{Text: capital(r.Verdict) + "."}}
	list := make([]figure.Residual, len(r.Residuals))
	for i, e := range r.Residuals {
		list[i] = figure.Residual{Number: i + 1, Off: e.Residual, Wrong: e.Outlier}
	}
	if len(list) > 0 {
		rows := offs(r, u)
		half := (len(rows.Rows) + 1) / 2
		second := document.Table{Caption: "and the rest", Head: rows.Head, Rows: rows.Rows[half:]}
		rows.Rows = rows.Rows[:half]
		parts = append(parts, document.Columns{drawn(figure.Residuals(list, "how far each reading is off, in their order")), {fitted(r, asked, u)}}, document.Columns{{rows}, {second}})
	}
	again := document.List{
		"Measure with the machine's power off and the dust gone, on a flat support.",
		"Zero the gauge on a flat plate before and after; readings between two different zeros are worth nothing.",
		"Take the readings along two lines across one another: they show whether the face is round.",
	}
	for _, m := range r.More {
		again = append(again, fmt.Sprintf("To halve the interval, measure %s more at %s.", measure.Count(m.Count, "time"), u.Place(m.X, m.Y)))
	}
	if worth := worthOf(r, asked); len(worth) > 0 {
		parts = append(parts, document.Heading("Worth knowing"), worth)
	}
	parts = append(parts, document.Heading("Measure again"), again)
	return document.Sheet{Title: "Readings: " + filepath.Base(r.Name), Tag: "radius asked for " + asked.String(), Pages: []document.Page{{Title: "The radius that was cut", Parts: parts}}}.HTML()
}

// near writes a radius in the unit of the one asked for.
func near(asked measure.Length, mm float64) string {
	if asked.Unit.Imperial() {
		return measure.FormatFixed(mm/measure.Foot.MM(), 2) + " ft"
	}
	return asked.WithMM(math.Round(mm)).String()
}

// fitted are the figures of a fit.
func fitted(r readings.Report, asked measure.Length, u measure.Ruler) document.Facts {
	high := "a flat"
	if r.HighMM != nil {
		high = near(asked, *r.HighMM)
	}
	list := document.Facts{{Label: "radius found", Text: near(asked, r.RadiusMM) + ", of a " + r.Face}, {Label: "in 95 of 100 cases", Text: near(asked, r.LowMM) + " to " + high},
		{Label: "asked for", Text: near(asked, r.AskedMM)}, {Label: "off at the rim", Text: u.Length(r.AtRimMM, 3) + ", at " + u.Length(r.RimMM, 1)},
		{Label: "scatter", Text: fmt.Sprintf("%s rms over %s", u.Length(r.RMSMM, 4), measure.Count(r.Readings, "reading"))}}
	if r.Apex != nil {
		list = append(list, document.Fact{Label: "apex", Text: u.Place(r.Apex.X, r.Apex.Y)})
	}
	if r.CorrectedMM > 0 {
		list = append(list, document.Fact{Label: "to ask for next time", Text: near(asked, r.CorrectedMM)})
	}
	return list
}

// worthOf is what else the readings tell.
func worthOf(r readings.Report, asked measure.Length) (list document.List) {
	if o := r.Roundness; o != nil {
		most, word := "flat", "which is not told from chance"
		if o.MostMM != nil {
			most = near(asked, *o.MostMM)
		}
		if o.Sure {
			word = "surely so: the face is not round"
		}
		list = append(list, fmt.Sprintf("%s at %s deg, %s across it, %s.", near(asked, o.LeastMM), measure.FormatShort(o.AngleDeg, 0), most, word))
	}
	if r.Limit != "" {
		list = append(list, "The limit: "+r.Limit+".")
	}
	for _, w := range r.Warnings {
		list = append(list, capital(w)+".")
	}
	return list
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

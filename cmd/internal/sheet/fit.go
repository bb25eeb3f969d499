package sheet

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"

	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/readings"
	"dishwright/dish/measure"
)

// mostReadings are listed in the table; of more those that are off the most.
const mostReadings = 60

// OfFit writes the sheet of readings that were fitted.
func OfFit(r readings.Report, asked measure.Length) ([]byte, error) {
	inches := asked.Unit.Imperial()
	u := Units{Inches: inches}
	radius := func(mm float64) string {
		if s := asked.WithMM(math.Round(mm)).String(); !inches {
			return s
		}
		return measure.FormatFixed(mm/304.8, 2) + " ft (" + measure.FormatShort(mm, 0) + " mm)"
	}
	p := &page{Title: "Readings: " + filepath.Base(r.Name), What: capital(r.Verdict) + "."}
	high := "a flat"
	if r.HighMM != nil {
		high = radius(*r.HighMM)
	}
	p.Facts = []fact{{"radius found", radius(r.RadiusMM) + ", of a " + r.Face}, {"in 95 of 100 cases", radius(r.LowMM) + " to " + high}, {"asked for", radius(r.AskedMM)},
		{"off at the rim", u.Len(r.AtRimMM, 3) + ", at " + u.Len(r.RimMM, 1)}, {"scatter", u.Len(r.RMSMM, 4) + " rms"}, {"readings", fmt.Sprint(r.Readings)}}
	if r.Apex != nil {
		p.Facts = append(p.Facts, fact{"apex", u.Place(r.Apex.X, r.Apex.Y)})
	}
	if r.CorrectedMM > 0 {
		p.Facts = append(p.Facts, fact{"to ask for next time", radius(r.CorrectedMM)})
	}
	list := make([]figure.Residual, len(r.Residuals))
	for i, e := range r.Residuals {
		list[i] = figure.Residual{Number: i + 1, Off: e.Residual, Wrong: e.Outlier}
	}
	if len(list) > 0 {
		p.add("How far each reading is off", block{Figures: p.show(figure.Residuals(list, "readings above and below the fitted sphere, in their order"))}, block{Table: offs(r, u)})
	}
	var verdict []string
	if o := r.Roundness; o != nil {
		most, word := "flat", "which is not told from chance"
		if o.MostMM != nil {
			most = radius(*o.MostMM)
		}
		if o.Sure {
			word = "surely so: the face is not round"
		}
		verdict = append(verdict, fmt.Sprintf("%s at %s deg, %s across it, %s.", radius(o.LeastMM), measure.FormatShort(o.AngleDeg, 0), most, word))
	}
	if r.Limit != "" {
		verdict = append(verdict, "The limit: "+r.Limit+".")
	}
	for _, m := range r.More {
		verdict = append(verdict, fmt.Sprintf("To halve the interval, measure %s more at %s.", measure.Count(m.Count, "time"), u.Place(m.X, m.Y)))
	}
	for _, w := range r.Warnings {
		verdict = append(verdict, capital(w)+".")
	}
	if len(verdict) > 0 {
		p.add("Worth knowing", block{List: verdict})
	}
	p.add("Measure again", block{List: []string{
		"Measure with the machine's power off and the dust gone, on a flat support.",
		"Zero the gauge on a flat plate before and after; readings between two different zeros are worth nothing.",
		"Take the readings along two lines across one another: they show whether the face is round.",
	}})
	p.Foot = "Made by dishwright from the readings named above."
	return p.write()
}

// offs lists the readings, of many those that are off the most.
func offs(r readings.Report, u Units) *table {
	t := &table{Caption: "Readings and how far they stand above the sphere.", Head: []string{"reading", "at", "off"}}
	index := make([]int, len(r.Residuals))
	for i := range index {
		index[i] = i
	}
	if len(index) > mostReadings {
		t.Caption = fmt.Sprintf("The %d readings of %d that are off the most.", mostReadings, len(index))
		slices.SortStableFunc(index, func(a, b int) int {
			x, y := math.Abs(r.Residuals[a].Residual), math.Abs(r.Residuals[b].Residual)
			switch {
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
		off := measure.FormatFixed(e.Residual, 4) + " mm"
		if e.Outlier {
			off += ", wrong? left out"
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), u.Place(e.X, e.Y), off})
	}
	return t
}

package figure

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/picture"
	"dishwright/dish/measure"
)

// Choice is one scallop and what it costs.
type Choice struct {
	Scallop, Step, Minutes float64 // mm, mm, min
	Own                    bool    // is it the job's?
}

// Scallops draws what finer and coarser scallops cost in minutes, each place with its
// widest step between passes. Scallops are on a scale of doublings.
func Scallops(list []Choice, title string) *Figure {
	const left, top, high, below = 18.0, 10.0, 44.0, 14.0
	f := newPaper(Page.Width, top+high+below, title)
	if len(list) == 0 {
		return f.Figure
	}
	most := 0.0
	for _, c := range list {
		most = max(most, c.Minutes)
	}
	step := max(1, easy(most/3))
	top2 := step * math.Ceil(max(most, step)/step)
	wide := Page.Width - left - 20
	x := func(s float64) float64 {
		a, b := math.Log(list[0].Scallop), math.Log(list[len(list)-1].Scallop)
		if a == b {
			return left + wide/2
		}
		return left + wide*(0.04+0.9*(math.Log(s)-a)/(b-a))
	}
	y := func(m float64) float64 { return top + high*(1-m/top2) }
	f.Line(picture.Medium, Point{X: left, Y: top}, Point{X: left, Y: top + high}, Point{X: left + wide, Y: top + high})
	for m := 0.0; m <= top2*1.0001; m += step {
		if m > 0 {
			f.Line(picture.Pen{Width: 0.12, Grey: 0.55}, Point{X: left, Y: y(m)}, Point{X: left + wide, Y: y(m)})
		}
		f.Text(Point{X: left - 1.5, Y: y(m) + 1.1}, picture.End, measure.FormatShort(m, 1))
	}
	var way []Point
	for _, c := range list {
		way = append(way, Point{X: x(c.Scallop), Y: y(c.Minutes)})
	}
	f.Line(picture.Medium, way...)
	f.Dots(1.8, way)
	for i, c := range list {
		f.Text(Point{X: way[i].X, Y: top + high + 4.5}, picture.Middle, measure.FormatShort(c.Scallop, 4))
		f.Text(Point{X: way[i].X + 1, Y: way[i].Y - 2}, picture.Start, "step "+measure.FormatShort(c.Step, 2))
		if c.Own {
			f.Circle(picture.Bold, way[i], 2.2)
		}
		f.About += fmt.Sprintf("A scallop of %s mm takes %s min with steps up to %s mm. ", measure.FormatShort(c.Scallop, 4), measure.FormatFixed(c.Minutes, 0), measure.FormatShort(c.Step, 2))
	}
	f.Text(Point{X: 1, Y: 4.5}, picture.Start, "minutes of finishing")
	f.Text(Point{X: left + wide, Y: top + high + 10}, picture.End, "scallop, mm; ringed: this job")
	f.About += "The job's own is ringed."
	return f.Figure
}

package figure

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/picture"
	"dishwright/dish/measure"
)

// Residual is how far one reading stands above the fitted sphere, mm; a wrong one was
// left out of the fit.
type Residual struct {
	Number int
	Off    float64
	Wrong  bool
}

// Residuals draws readings as bars above and below the sphere, in their order. Those
// that are off by more than the scale are cut off and marked with their size.
func Residuals(list []Residual, title string, u measure.Ruler) *Figure {
	const left, top, high = 18.0, 9.0, 46.0
	f := newPaper(Page.Width, top+high+12, title)
	largest := 0.0
	for _, r := range list {
		if !r.Wrong {
			largest = max(largest, math.Abs(r.Off))
		}
	}
	scale := max(largest, 1e-4)
	wide := Page.Width - left - 5
	y := func(v float64) float64 { return top + high/2*(1-max(-1, min(1, v/scale))) }
	each := wide / max(1, float64(len(list)))
	for _, v := range [...]float64{scale, 0, -scale} {
		f.Line(picture.Thin, Point{X: left, Y: y(v)}, Point{X: left + wide, Y: y(v)})
		f.Text(Point{X: left - 1.5, Y: y(v) + 1.1}, picture.End, u.Fixed(v, 4))
	}
	for i, r := range list {
		x := left + each*float64(i)
		half := min(each*0.4, 2.5)
		mid := x + each/2
		bar := []Point{{X: mid - half, Y: y(0)}, {X: mid - half, Y: y(r.Off)}, {X: mid + half, Y: y(r.Off)}, {X: mid + half, Y: y(0)}}
		if r.Wrong {
			f.Ring(picture.Dashed, bar...)
			f.Text(Point{X: mid, Y: y(r.Off) + math.Copysign(3.6, -r.Off) + 1.1}, picture.Middle, fmt.Sprintf("no. %d: %s?", r.Number, u.Fixed(r.Off, 3)))
			f.About += fmt.Sprintf("Reading %d is off by %s and was left out. ", r.Number, u.Length(r.Off, 3))
		} else {
			f.Area(0.35, bar...)
		}
		if len(list) <= 25 || r.Number%10 == 0 {
			f.Text(Point{X: mid, Y: top + high + 7}, picture.Middle, fmt.Sprint(r.Number))
		}
	}
	f.Text(Point{X: 1, Y: 4.5}, picture.Start, "above and below the sphere, "+u.Unit())
	f.About = fmt.Sprintf("Bars of %s in their order; the largest of those that count is %s off. ", measure.Count(len(list), "reading"), u.Length(largest, 4)) + f.About
	return f.Figure
}

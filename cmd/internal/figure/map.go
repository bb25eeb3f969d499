package figure

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/draw"
	"dishwright/dish/measure"
)

// mapCells is into how many places a map is divided along its wider side: one in
// 1.6 mm, so that dots of seven sizes are told apart.
const mapCells = 66

// Map draws what is left: a dot in each place, the larger the more, above what is
// allowed a hollow square; what is missing is a small x, and the largest of all is ringed. Of the values that fall into one
// place the largest counts.
func Map(v draw.MapView, title string) *Figure {
	f := New(Width, 0, title)
	v = cropped(v)
	fr := fit(v.Lo, v.Hi, Width-16, Width-16, 8, 3)
	f.Height = 3 + fr.high() + 4
	cell := max(fr.wide(), fr.high()) / mapCells
	cols, rows := max(1, int(math.Round(fr.wide()/cell))), max(1, int(math.Round(fr.high()/cell)))
	worst := shrink(v.Values, cols, rows)
	bands := make([][]Point, len(v.Levels)+1)
	var missing [][]Point
	most, at := math.Inf(-1), Point{}
	for j := range worst {
		for i, m := range worst[j] {
			if math.IsNaN(m) {
				continue
			}
			p := Point{X: fr.at.X + (float64(i)+0.5)*fr.wide()/float64(cols), Y: fr.at.Y + fr.high() - (float64(j)+0.5)*fr.high()/float64(rows)}
			if m > most {
				most, at = m, p
			}
			if m < -lacking {
				d := 0.3 * cell
				missing = append(missing, []Point{{X: p.X - d, Y: p.Y - d}, {X: p.X + d, Y: p.Y + d}}, []Point{{X: p.X - d, Y: p.Y + d}, {X: p.X + d, Y: p.Y - d}})
				continue
			}
			k := 0
			for k < len(v.Levels) && m > v.Levels[k] {
				k++
			}
			bands[k] = append(bands[k], p)
		}
	}
	for k, b := range bands {
		f.band(v, k, cell, b)
	}
	f.Lines(Medium, missing)
	if !math.IsInf(most, -1) {
		f.Circle(Bold, at, 1.6*cell)
	}
	f.legend(v, cell, bands, len(missing) > 0, most)
	return f
}

// cropped leaves out what lies beside the face: a board is a strip of it.
func cropped(v draw.MapView) draw.MapView {
	rows := len(v.Values)
	if rows == 0 || len(v.Values[0]) == 0 {
		return v
	}
	cols := len(v.Values[0])
	i0, i1, j0, j1 := cols, -1, rows, -1
	for j, row := range v.Values {
		for i, m := range row {
			if !math.IsNaN(m) {
				i0, i1, j0, j1 = min(i0, i), max(i1, i), min(j0, j), max(j1, j)
			}
		}
	}
	if i1 < i0 {
		return v
	}
	out := v
	out.Values = nil
	for _, row := range v.Values[j0 : j1+1] {
		out.Values = append(out.Values, row[i0:i1+1])
	}
	w, h := (v.Hi.X-v.Lo.X)/float64(cols), (v.Hi.Y-v.Lo.Y)/float64(rows)
	out.Lo = draw.Point{X: v.Lo.X + w*float64(i0), Y: v.Lo.Y + h*float64(j0)}
	out.Hi = draw.Point{X: v.Lo.X + w*float64(i1+1), Y: v.Lo.Y + h*float64(j1+1)}
	return out
}

// lacking is what is taken for missing, mm: twice what the proof allows for the
// roundings of a program's numbers.
const lacking = 0.002

// dot is the diameter of the dots of a band: their areas grow evenly, and the widest
// nearly touch.
func dot(k, n int, cell float64) float64 {
	return cell * 0.95 * math.Sqrt((float64(k)+0.35)/(float64(n)-0.65))
}

// band draws the places of one band: dots, or above what is allowed hollow squares.
func (f *Figure) band(v draw.MapView, k int, cell float64, at []Point) {
	size := dot(k, len(v.Levels)+1, cell)
	if k == 0 || !(v.Allowed > 0) || v.Levels[k-1] < v.Allowed*(1-1e-9) {
		f.Dots(size, at)
		return
	}
	h := 0.42 * size
	var squares [][]Point
	for _, p := range at {
		squares = append(squares, []Point{{X: p.X - h, Y: p.Y - h}, {X: p.X + h, Y: p.Y - h}, {X: p.X + h, Y: p.Y + h}, {X: p.X - h, Y: p.Y + h}, {X: p.X - h, Y: p.Y - h}})
	}
	f.Lines(Pen{Width: 0.25}, squares)
}

// legend says what the dots stand for.
func (f *Figure) legend(v draw.MapView, cell float64, bands [][]Point, missing bool, most float64) {
	const step = 5.0
	y := f.Height + 2
	x := 8.0
	f.About = "A map of the face from above, X to the right and Y up: "
	lower := ""
	for k := range bands {
		name := "over " + lower + " " + v.Unit
		if k < len(v.Levels) {
			level := measure.FormatFixed(v.Levels[k], v.Digits)
			if name = lower + " to " + level + " " + v.Unit; k == 0 {
				name = "to " + level + " " + v.Unit
			}
			lower = level
		}
		f.band(v, k, cell, []Point{{X: x, Y: y - 1.1}, {X: x + cell, Y: y - 1.1}, {X: x + 2*cell, Y: y - 1.1}})
		f.Text(Point{X: x + 2*cell + 2, Y: y}, Start, name)
		f.About += fmt.Sprintf("%s in %s; ", name, measure.Count(len(bands[k]), "place"))
		if k%2 == 1 {
			y += step
			x = 8
		} else {
			x = Width / 2
		}
	}
	if x > 8 {
		y += step
	}
	note := "nothing on the face"
	if !math.IsInf(most, -1) {
		note = "ringed: the largest, " + measure.FormatFixed(most, v.Digits+1) + " " + v.Unit
	}
	if missing {
		note += "; x: wood is missing"
	}
	f.Text(Point{X: 8, Y: y}, Start, note)
	f.About += note + "."
	f.Height = y + 2
}

// shrink returns the largest values of a map in fewer places, row 0 the lowest; NaN
// where there is none.
func shrink(values [][]float64, cols, rows int) [][]float64 {
	out := make([][]float64, rows)
	for j := range out {
		out[j] = make([]float64, cols)
		for i := range out[j] {
			out[j][i] = math.NaN()
		}
	}
	for j, row := range values {
		for i, m := range row {
			c, r := i*cols/len(row), j*rows/len(values)
			if !math.IsNaN(m) && !(m <= out[r][c]) {
				out[r][c] = m
			}
		}
	}
	return out
}

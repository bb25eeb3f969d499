package figure

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/draw"
	"dishwright/dish/measure"
)

// Section draws a section through the apex: the wood under the wanted face hatched,
// what still stands over it black. Heights are drawn larger than they are; the
// figure says by how much.
func Section(v draw.SectionView, title string) *Figure {
	const left, top, high = 16.0, 3.0, 34.0
	wide := Width - left - 4
	fr := frame{lo: v.Lo, hi: v.Hi, at: Point{X: left, Y: top}, sx: wide / (v.Hi.X - v.Lo.X)}
	times := easy(high / (v.Hi.Y - v.Lo.Y) / fr.sx)
	fr.sy = times * fr.sx
	v.Wanted, v.Left = raised(v.Wanted, v.Lo.Y), raised(v.Left, v.Lo.Y)
	f := New(Width, top+fr.high()+12, fmt.Sprintf("%s; heights drawn %s times larger", title, measure.FormatShort(times, 1)))
	low := v.Lo.Y
	f.hatch(fr, v.Wanted)
	over := overs(v.Wanted, v.Left)
	for _, o := range over {
		f.Area(0, fr.ps(o)...)
	}
	f.Line(Medium, fr.ps(v.Wanted)...)
	bottom := fr.p(draw.Point{X: v.Lo.X, Y: low})
	f.Line(Bold, fr.p(v.Hi), Point{X: fr.p(v.Hi).X, Y: bottom.Y})
	f.Line(Bold, fr.p(draw.Point{X: v.Lo.X, Y: v.Hi.Y}), bottom)
	f.Line(Dashed, bottom, Point{X: fr.p(v.Hi).X, Y: bottom.Y}) // the wood goes on below
	deepest := draw.Point{Y: math.Inf(1)}
	for _, p := range v.Wanted {
		if p.Y < deepest.Y && p.Y > v.Lo.Y { // not where it is cut through
			deepest = p
		}
	}
	f.level(fr, v.Hi.Y)
	if !math.IsInf(deepest.Y, 1) && fr.sy*(v.Hi.Y-deepest.Y) > TextSize {
		f.level(fr, deepest.Y)
	}
	y := top + fr.high() + TextSize + 2
	for _, x := range [...]float64{v.Lo.X, 0, v.Hi.X} {
		f.Text(Point{X: fr.p(draw.Point{X: x}).X, Y: y}, Middle, measure.FormatShort(x, 1))
	}
	f.Text(Point{X: left, Y: y + 4.5}, Start, "hatched: wood under the wanted face; black: still over it")
	f.About = fmt.Sprintf("A section %s, heights in mm drawn %s times larger than lengths. The wanted face is lowest at %s mm, below the blank's top at 0.", v.Title, measure.FormatShort(times, 1), measure.FormatFixed(deepest.Y, 3))
	if len(over) == 0 {
		f.About += " Nothing stands over it that could be drawn."
	}
	return f
}

// raised returns the line with what lies below the box, such as a slot that is cut
// through, brought up to its edge.
func raised(line []draw.Point, low float64) []draw.Point {
	out := append([]draw.Point(nil), line...)
	for i := range out {
		out[i].Y = max(out[i].Y, low)
	}
	return out
}

// level writes a height at the left edge.
func (f *Figure) level(fr frame, z float64) {
	at := fr.p(draw.Point{X: fr.lo.X, Y: z})
	f.Line(Thin, Point{X: at.X - 2, Y: at.Y}, at)
	f.Text(Point{X: at.X - 2.6, Y: at.Y + 1.1}, End, measure.FormatFixed(z, 2))
}

// hatch fills what lies under a line with slanting strokes.
func (f *Figure) hatch(fr frame, top []draw.Point) {
	const apart = 2.4
	surface := finite(fr.ps(top))
	if len(surface) < 2 {
		return
	}
	bottom := fr.at.Y + fr.high()
	height := func(x float64) float64 {
		i := 1
		for i < len(surface)-1 && surface[i].X < x {
			i++
		}
		a, b := surface[i-1], surface[i]
		if b.X == a.X {
			return a.Y
		}
		return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
	}
	var strokes [][]Point
	left, right := max(surface[0].X, fr.at.X), min(surface[len(surface)-1].X, fr.at.X+fr.wide())
	for s := left - fr.high(); s < right; s += apart { // where the stroke meets the bottom
		var run []Point
		for k := 0; k <= 24; k++ { // each is cut off where it leaves the wood
			x := s + fr.high()*float64(k)/24
			y := bottom - (x - s)
			if x >= left && x <= right && y >= height(x) {
				run = append(run, Point{X: x, Y: y})
			}
		}
		if len(run) > 1 {
			strokes = append(strokes, []Point{run[0], run[len(run)-1]})
		}
	}
	f.Lines(Thin, strokes)
}

// overs returns the areas between the wanted face and what stands over it.
func overs(wanted, left []draw.Point) (out [][]draw.Point) {
	if len(wanted) != len(left) {
		return nil
	}
	var run []int
	flush := func() {
		if len(run) > 1 {
			var ring []draw.Point
			for _, i := range run {
				ring = append(ring, left[i])
			}
			for k := len(run) - 1; k >= 0; k-- {
				ring = append(ring, wanted[run[k]])
			}
			out = append(out, ring)
		}
		run = nil
	}
	for i := range wanted {
		if left[i].Y > wanted[i].Y+1e-6 {
			run = append(run, i)
			continue
		}
		flush()
	}
	flush()
	return out
}

// easy returns the greatest number with one easy digit, 1, 1.5, 2, 3, 4, 5, 6 or 8 and
// its tenfolds, that is no more than v; 1 at least.
func easy(v float64) float64 {
	if !(v > 1) || math.IsInf(v, 1) {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range [...]float64{8, 6, 5, 4, 3, 2, 1.5} {
		if k*ten <= v {
			return k * ten
		}
	}
	return ten
}

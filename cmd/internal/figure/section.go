package figure

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/picture"
	"dishwright/dish/measure"
)

// Section draws a section: the wood under the wanted face hatched, what still stands over
// it black. Heights are drawn larger than they are; the title says by how much.
func Section(v SectionView, title string, size Size) *Figure {
	const left, top, below = 22.0, 3.0, 3 * picture.Line
	wide := size.Width - left - 4
	fr := frame{lo: v.Lo, hi: v.Hi, at: Point{X: left, Y: top}, sx: wide / (v.Hi.X - v.Lo.X)}
	times := easy(max(size.Height-top-below, 3*picture.Line) / (v.Hi.Y - v.Lo.Y) / fr.sx)
	fr.sy = times * fr.sx
	v.Wanted, v.Left = raised(v.Wanted, v.Lo.Y), raised(v.Left, v.Lo.Y)
	f := newPaper(size.Width, top+fr.high()+below, fmt.Sprintf("%s; heights drawn %s times larger", title, measure.FormatShort(times, 1)))
	bottom, right := fr.p(v.Lo), fr.p(Point{X: v.Hi.X, Y: v.Lo.Y})
	f.hatch(fr, v.Wanted)
	f.Line(picture.Medium, fr.ps(v.Wanted)...)
	over := overs(v.Wanted, v.Left)
	for _, o := range over {
		f.Area(0, fr.ps(o)...)
	}
	f.Line(picture.Thin, fr.p(v.Hi), right)
	f.Line(picture.Thin, fr.p(Point{X: v.Lo.X, Y: v.Hi.Y}), bottom)
	f.Line(picture.Dashed, bottom, right) // the wood goes on below
	deepest := Point{Y: math.Inf(1)}
	for _, p := range v.Wanted {
		if p.Y < deepest.Y && p.Y > v.Lo.Y { // not where it is cut through
			deepest = p
		}
	}
	f.level(fr, v.Hi.Y, v.Ruler.Length(v.Hi.Y, 2))
	low := "nowhere"
	if !math.IsInf(deepest.Y, 1) {
		low = v.Ruler.Length(deepest.Y, 2)
		f.level(fr, deepest.Y, low)
	}
	y := top + fr.high() + picture.Line
	middle := []Label{{Point{X: v.Lo.X}, v.Ruler.Length(v.Lo.X, 1)}, {Point{X: v.Hi.X}, v.Ruler.Length(v.Hi.X, 1)}, {Point{}, "0"}}
	f.names(middle, func(x float64) float64 { return fr.p(Point{X: x}).X }, y)
	hatch := func(f *Figure, at Point) {
		f.Hatch(Point{X: at.X, Y: at.Y - 1.9}, Point{X: at.X + 6, Y: at.Y - 1.9}, Point{X: at.X + 6, Y: at.Y + 1.9}, Point{X: at.X, Y: at.Y + 1.9})
	}
	black := func(f *Figure, at Point) {
		f.Area(0, Point{X: at.X, Y: at.Y - 1.9}, Point{X: at.X + 6, Y: at.Y - 1.9}, Point{X: at.X + 6, Y: at.Y + 1.9}, Point{X: at.X, Y: at.Y + 1.9})
	}
	f.Keys(Point{X: left, Y: y + 1}, size.Width-left, []picture.Key{{Words: "wood under the face", Draw: hatch}, {Words: "still over it", Draw: black}})
	f.About = fmt.Sprintf("A section %s, heights drawn %s times larger than lengths. The wanted face is lowest at %s, below the blank's top at 0.", v.Title, measure.FormatShort(times, 1), low)
	if len(over) == 0 {
		f.About += " Nothing stands over it that could be drawn."
	}
	return f.Figure
}

// raised returns the line with what lies below the box, such as a slot that is cut
// through, brought up to its edge.
func raised(line []Point, low float64) []Point {
	out := append([]Point(nil), line...)
	for i := range out {
		out[i].Y = max(out[i].Y, low)
	}
	return out
}

// hatch fills what lies under a line, down to the frame's bottom.
func (f paper) hatch(fr frame, top []Point) {
	if len(top) < 2 {
		return
	}
	down := func(p Point) Point { return Point{X: p.X, Y: fr.lo.Y} }
	f.Hatch(fr.ps(append(top[:len(top):len(top)], down(top[len(top)-1]), down(top[0])))...)
}

// overs returns the areas between the wanted face and what stands over it.
func overs(wanted, left []Point) (out [][]Point) {
	if len(wanted) != len(left) {
		return nil
	}
	var run []int
	flush := func() {
		if len(run) > 1 {
			var ring []Point
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

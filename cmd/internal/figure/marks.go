package figure

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/picture"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// MarksView is a scrap with the marks that are measured on it.
type MarksView struct {
	Size   float64 // of the square scrap, mm
	Radius float64 // of the cutter
	Cuts   []Groove
	Marks  []Lettered
	Ruler  measure.Ruler
}

// Groove is a straight cut, Z its height where it begins.
type Groove struct {
	From, To Point
	Z        float64
}

// Lettered is a mark with its letter: a length, its letter beyond From or, where it is long,
// beside it there, or where both ends are one place, a depth.
type Lettered struct {
	Letter   string
	From, To Point
}

// How far from a length its letter stands, beyond its end or beside it where it is long, mm of
// paper.
const (
	beyond = 2.6
	nextTo = 2.0
	long   = 15.0
)

// cutGrey is the tone of what is cut.
const cutGrey = 0.88

// Marks draws a scrap from above with its marks' letters.
func Marks(v MarksView, wide float64, title string) *Figure {
	const left, top, below = 6.0, 8.0, 14.0
	half := v.Size / 2
	edge := []Point{{X: -half, Y: -half}, {X: half, Y: -half}, {X: half, Y: half}, {X: -half, Y: half}}
	lo, hi := box(edge)
	fr := fit(lo, hi, wide-2*left-8, wide, left, top)
	f := newPaper(wide, top+fr.high()+below, title)
	f.Ring(picture.Bold, fr.ps(edge)...)
	var shapes [][]Point
	for _, c := range v.Cuts {
		shapes = append(shapes, fr.ps(c.Shape(v.Radius)))
		f.Ring(picture.Medium, shapes[len(shapes)-1]...)
	}
	for _, s := range shapes { // over what of the rings lies inside
		f.Area(cutGrey, s...)
	}
	for i, c := range v.Cuts {
		if v.shows(c) {
			f.Ring(picture.Pass, shapes[i]...)
		}
	}
	for _, m := range v.Marks {
		a, b := fr.p(m.From), fr.p(m.To)
		if m.From == m.To {
			f.cross(picture.Medium, a, 1.4)
			f.Text(Point{X: a.X, Y: a.Y - 2}, picture.Middle, m.Letter)
			continue
		}
		f.Line(picture.Medium, a, b)
		f.ends(a, b)
		way, length := r2.Unit(r2.Sub(a, b)), r2.Norm(r2.Sub(a, b))
		at := r2.Add(a, r2.Scale(beyond, way))
		if length > long { // beside it: beyond its ends may lie the scrap's edge
			at = r2.Add(r2.Sub(a, r2.Scale(2*beyond, way)), r2.Scale(nextTo, Point{X: math.Abs(way.Y), Y: -math.Abs(way.X)}))
		}
		f.Text(Point{X: at.X, Y: at.Y + 1.2}, picture.Middle, m.Letter)
	}
	corner := fr.p(Point{X: -half, Y: -half})
	f.arrow(Point{X: corner.X - 3, Y: corner.Y + 3}, 9, 0, "X")
	f.arrow(Point{X: corner.X - 3, Y: corner.Y + 3}, 0, -9, "Y")
	f.measureX(corner.X, corner.X+fr.wide(), corner.Y+9, v.Ruler.Length(v.Size, 1))
	f.About = fmt.Sprintf("The scrap from above, X to the right, Y up, with %s by their letters. What is cut is grey.", measure.Count(len(v.Marks), "mark"))
	return f.Figure
}

// shows reports whether an edge of a cut shows inside what is cut: beside or in another of
// another height.
func (v MarksView) shows(c Groove) bool {
	a, b := box(c.Shape(v.Radius))
	for _, o := range v.Cuts {
		p, q := box(o.Shape(v.Radius))
		if o.Z != c.Z && p.X < b.X && q.X > a.X && p.Y < b.Y && q.Y > a.Y {
			return true
		}
	}
	return false
}

// Shape is what a cutter of some radius takes, in plan.
func (c Groove) Shape(radius float64) (ring []Point) {
	const steps = 16
	start := math.Atan2(c.To.Y-c.From.Y, c.To.X-c.From.X) + math.Pi/2
	for end, at := range [...]Point{c.From, c.To} {
		for k := range steps + 1 {
			sin, cos := math.Sincos(start + math.Pi*(float64(k)/steps+float64(end)))
			ring = append(ring, Point{X: at.X + radius*cos, Y: at.Y + radius*sin})
		}
	}
	return ring
}

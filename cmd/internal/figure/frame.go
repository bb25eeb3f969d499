package figure

import (
	"math"

	"dishwright/cmd/internal/draw"
)

// Width is how wide the figures are made, mm: as wide as half a page allows without
// its letters becoming too small to read.
const Width = 120.0

// frame puts places of the work on the paper.
type frame struct {
	lo, hi draw.Point // of the work, mm
	at     Point      // where lo.X and hi.Y come to lie
	sx, sy float64    // mm of paper for one of the work
}

// fit frames a box of the work alike both ways, as wide as the figure between its
// margins, but no higher than the highest.
func fit(lo, hi draw.Point, width, highest, left, top float64) frame {
	s := min(width/(hi.X-lo.X), highest/(hi.Y-lo.Y))
	return frame{lo, hi, Point{X: left + (width-s*(hi.X-lo.X))/2, Y: top}, s, s}
}

func (f frame) p(v draw.Point) Point {
	return Point{X: f.at.X + (v.X-f.lo.X)*f.sx, Y: f.at.Y + (f.hi.Y-v.Y)*f.sy}
}

func (f frame) ps(points []draw.Point) []Point {
	out := make([]Point, len(points))
	for i, v := range points {
		out[i] = f.p(v)
	}
	return out
}

// wide and high are how much paper it takes.
func (f frame) wide() float64 { return (f.hi.X - f.lo.X) * f.sx }
func (f frame) high() float64 { return (f.hi.Y - f.lo.Y) * f.sy }

// measureX draws a dimension under or over the drawing: a line between two places
// with a stroke at either end, and the text above it.
func (f *Figure) measureX(from, to, y float64, label string) {
	f.Line(Thin, Point{X: from, Y: y}, Point{X: to, Y: y})
	for _, x := range [...]float64{from, to} {
		f.Line(Medium, Point{X: x - 0.9, Y: y + 0.9}, Point{X: x + 0.9, Y: y - 0.9})
	}
	f.Text(Point{X: (from + to) / 2, Y: y - 0.9}, Middle, label)
}

// cross marks a place.
func (f *Figure) cross(at Point, size float64) {
	f.Line(Medium, Point{X: at.X - size, Y: at.Y}, Point{X: at.X + size, Y: at.Y})
	f.Line(Medium, Point{X: at.X, Y: at.Y - size}, Point{X: at.X, Y: at.Y + size})
}

// box returns the corners of what the points take.
func box(lists ...[]draw.Point) (lo, hi draw.Point) {
	lo, hi = draw.Point{X: math.Inf(1), Y: math.Inf(1)}, draw.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, l := range lists {
		for _, p := range l {
			lo = draw.Point{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
			hi = draw.Point{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
		}
	}
	return lo, hi
}

// blank draws a blank's edge.
func (f *Figure) blank(fr frame, outline []draw.Point) { f.Ring(Bold, fr.ps(outline)...) }

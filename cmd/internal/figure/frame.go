package figure

import (
	"math"

	"dishwright/cmd/internal/picture"
)

// frame puts places of the work on the paper.
type frame struct {
	lo, hi Point   // of the work, mm
	at     Point   // where lo.X and hi.Y come to lie
	sx, sy float64 // mm of paper for one of the work
}

// fit frames a box of the work alike both ways, as wide as the figure between its
// margins, but no higher than the highest.
func fit(lo, hi Point, width, highest, left, top float64) frame {
	s := min(width/(hi.X-lo.X), highest/(hi.Y-lo.Y))
	return frame{lo, hi, Point{X: left + (width-s*(hi.X-lo.X))/2, Y: top}, s, s}
}

func (f frame) p(v Point) Point {
	return Point{X: f.at.X + (v.X-f.lo.X)*f.sx, Y: f.at.Y + (f.hi.Y-v.Y)*f.sy}
}

func (f frame) ps(points []Point) []Point {
	out := make([]Point, len(points))
	for i, v := range points {
		out[i] = f.p(v)
	}
	return out
}

// wide and high are how much paper it takes.
func (f frame) wide() float64 { return (f.hi.X - f.lo.X) * f.sx }
func (f frame) high() float64 { return (f.hi.Y - f.lo.Y) * f.sy }

// paper is a figure in the making.
type paper struct{ *picture.Figure }

func newPaper(width, height float64, title string) paper {
	return paper{picture.New(width, height, title)}
}

// measureX draws a dimension under or over the drawing: a line between two places
// with a stroke at either end, and the text above it.
func (f paper) measureX(from, to, y float64, label string) {
	f.Line(picture.Thin, Point{X: from, Y: y}, Point{X: to, Y: y})
	f.ends(Point{X: from, Y: y}, Point{X: to, Y: y})
	f.Text(Point{X: (from + to) / 2, Y: y - 0.9}, picture.Middle, label)
}

// ends draws the slanting strokes at the ends of a dimension.
func (f paper) ends(list ...Point) {
	for _, p := range list {
		f.Line(picture.Medium, Point{X: p.X - 0.9, Y: p.Y + 0.9}, Point{X: p.X + 0.9, Y: p.Y - 0.9})
	}
}

// cross marks a place.
func (f paper) cross(p picture.Pen, at Point, size float64) {
	f.Lines(p, [][]Point{{{X: at.X - size, Y: at.Y}, {X: at.X + size, Y: at.Y}}, {{X: at.X, Y: at.Y - size}, {X: at.X, Y: at.Y + size}}})
}

// arrow draws an axis with its letter.
func (f paper) arrow(from Point, dx, dy float64, label string) {
	at := f.shaft(from, dx, dy)
	f.Text(at.At, at.Anchor, label)
}

// shaft draws an axis, and returns where its letter stands.
func (f paper) shaft(from Point, dx, dy float64) picture.Spot {
	to := Point{X: from.X + dx, Y: from.Y + dy}
	f.Line(picture.Bold, from, to)
	n := math.Hypot(dx, dy)
	ux, uy := dx/n, dy/n
	f.Area(0, to, Point{X: to.X - 2.4*ux + 0.9*uy, Y: to.Y - 2.4*uy + 0.9*ux}, Point{X: to.X - 2.4*ux - 0.9*uy, Y: to.Y - 2.4*uy - 0.9*ux})
	return picture.Spot{At: Point{X: to.X + 2.2*ux + 1.4*math.Abs(uy), Y: to.Y + 2.2*uy*0.3 + 1.1*math.Abs(ux)}}
}

// level writes a height at the left edge.
func (f paper) level(fr frame, z float64, label string) {
	at := fr.p(Point{X: fr.lo.X, Y: z})
	f.Line(picture.Thin, Point{X: at.X - 1.5, Y: at.Y}, at)
	f.Place(0, []string{label}, picture.Spot{Anchor: picture.End, At: Point{X: at.X - 2, Y: at.Y + 1.1}})
}

// box returns the corners of what the points take.
func box(lists ...[]Point) (lo, hi Point) {
	lo, hi = Point{X: math.Inf(1), Y: math.Inf(1)}, Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, l := range lists {
		for _, p := range l {
			lo = Point{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
			hi = Point{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
		}
	}
	return lo, hi
}

// blank draws a blank's edge.
func (f paper) blank(fr frame, outline []Point) { f.Ring(picture.Bold, fr.ps(outline)...) }

// standing draws what stands about: a crossed circle, or a fence with round ends and a
// cross at each.
func (f paper) standing(fr frame, h Disc) {
	r := h.Radius * fr.sx
	a, b := fr.p(Point{X: h.X, Y: h.Y}), fr.p(Point{X: h.X + h.DX, Y: h.Y + h.DY})
	f.cross(picture.Holding, a, r*0.7)
	if h.DX == 0 && h.DY == 0 {
		f.Circle(picture.Holding, a, r)
		return
	}
	f.cross(picture.Holding, b, r*0.7)
	const half = 12
	start := math.Atan2(b.Y-a.Y, b.X-a.X) + math.Pi/2
	var ring []Point
	for end, at := range [...]Point{a, b} {
		for k := range half + 1 {
			sin, cos := math.Sincos(start + math.Pi*(float64(k)/half+float64(end)))
			ring = append(ring, Point{X: at.X + r*cos, Y: at.Y + r*sin})
		}
	}
	f.Ring(picture.Holding, ring...)
}

// names writes the names of places in a row, those that find no room left out.
func (f paper) names(marks []Label, x func(float64) float64, y float64) {
	for _, m := range marks {
		half := picture.TextWidth(m.Text)/2 + 0.6
		at := max(half, min(x(m.At.X), f.Width-half))
		f.Place(0, []string{m.Text}, picture.Spot{Anchor: picture.Middle, At: Point{X: at, Y: y}})
	}
}

package figure

import (
	"math"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r2"
)

// Point is a place on the paper, mm from its upper left corner, Y downward.
type Point = r2.Vec

// Pen is how a line is drawn: its width and dashes in mm, and its grey, 0 for black
// to 1 for white.
type Pen struct {
	Width float64
	Dash  []float64
	Grey  float64
}

// The pens of a workshop drawing: edges bold, what is measured and hatched thin.
var (
	Bold   = Pen{Width: 0.5}
	Medium = Pen{Width: 0.3}
	Thin   = Pen{Width: 0.15}
	Axis   = Pen{Width: 0.15, Dash: []float64{4, 1, 0.6, 1}}
	Dashed = Pen{Width: 0.25, Dash: []float64{1.6, 1}}
)

// Anchor is where a text stands to its place.
type Anchor int

const (
	Start Anchor = iota
	Middle
	End
)

// TextSize is the height of letters, mm: 9 point, easily read at arm's length.
const TextSize = 3.2

// kind of a mark
type kind int

const (
	line kind = iota
	area
	dots
	text
)

// mark is one thing on the paper.
type mark struct {
	kind   kind
	pen    Pen       // of a line; its grey fills an area
	points [][]Point // lines, areas; of dots the first holds all of them
	closed bool
	round  float64 // of a circle about points[0][0], its radius
	size   float64 // of dots, their diameter; of a text, its height
	anchor Anchor
	text   string
}

// Figure is a drawing. Title says what it is, About what is to be seen on it, for
// those who do not see it.
type Figure struct {
	Width, Height float64 // mm
	Title, About  string

	marks []mark
}

// New returns an empty piece of paper.
func New(width, height float64, title string) *Figure {
	return &Figure{Width: width, Height: height, Title: title}
}

// Line draws from point to point.
func (f *Figure) Line(p Pen, points ...Point) { f.Lines(p, [][]Point{points}) }

// Lines draws several lines with one pen; what no eye would tell is left out.
func (f *Figure) Lines(p Pen, lines [][]Point) {
	m := mark{kind: line, pen: p}
	for _, l := range lines {
		if l = simplify(finite(l), 0.03); len(l) > 1 {
			m.points = append(m.points, l)
		}
	}
	if len(m.points) > 0 {
		f.marks = append(f.marks, m)
	}
}

// Ring draws a closed line.
func (f *Figure) Ring(p Pen, points ...Point) {
	if points = finite(points); len(points) > 2 {
		f.marks = append(f.marks, mark{kind: line, pen: p, points: [][]Point{points}, closed: true})
	}
}

// Area fills what the points enclose.
func (f *Figure) Area(grey float64, points ...Point) {
	if points = simplify(finite(points), 0.02); len(points) > 2 {
		f.marks = append(f.marks, mark{kind: area, pen: Pen{Grey: grey}, points: [][]Point{points}, closed: true})
	}
}

// Circle draws a circle.
func (f *Figure) Circle(p Pen, at Point, radius float64) {
	if radius > 0 && len(finite([]Point{at})) == 1 {
		f.marks = append(f.marks, mark{kind: line, pen: p, points: [][]Point{{at}}, round: radius})
	}
}

// Dots draws round dots of one diameter.
func (f *Figure) Dots(diameter float64, at []Point) {
	if at = finite(at); len(at) > 0 {
		f.marks = append(f.marks, mark{kind: dots, points: [][]Point{at}, size: diameter})
	}
}

// Text writes beside a place; it is moved sideways so far that it stays on the paper.
func (f *Figure) Text(at Point, a Anchor, s string) {
	wide := TextWidth(s)
	left := at.X - wide*[...]float64{0, 0.5, 1}[a]
	at.X += max(0, 0.5-left) - max(0, left+wide-(f.Width-0.5))
	if len(finite([]Point{at})) == 1 && s != "" {
		f.marks = append(f.marks, mark{kind: text, points: [][]Point{{at}}, size: TextSize, anchor: a, text: s})
	}
}

// TextWidth returns about how wide a text is at most, mm: no fonts are the same.
func TextWidth(s string) float64 {
	wide := 0.0
	for _, r := range s {
		if r < utf8.RuneSelf {
			wide += 0.56
		} else {
			wide++
		}
	}
	return wide * TextSize
}

// Stack puts figures under one another on one paper, each under its own title.
func Stack(title string, figures ...*Figure) *Figure {
	const margin, head = 5.0, 7.0
	out := New(0, margin, title)
	for _, f := range figures {
		out.Width = max(out.Width, f.Width+2*margin)
	}
	for i, f := range figures {
		if i > 0 {
			out.About += " "
		}
		out.About += f.Title + ". " + f.About
		for _, row := range wrap(f.Title, out.Width-2*margin) {
			out.Text(Point{X: margin, Y: out.Height + TextSize}, Start, row)
			out.Height += TextSize * 1.3
		}
		out.Height += head - TextSize*1.3
		move := Point{X: margin, Y: out.Height}
		for _, m := range f.marks {
			moved := m
			moved.points = make([][]Point, len(m.points))
			for k, l := range m.points {
				moved.points[k] = make([]Point, len(l))
				for n, p := range l {
					moved.points[k][n] = r2.Add(p, move)
				}
			}
			out.marks = append(out.marks, moved)
		}
		out.Height += f.Height + margin
	}
	return out
}

// wrap breaks a text into rows that are at most so wide.
func wrap(s string, width float64) (rows []string) {
	row := ""
	for _, word := range strings.Fields(s) {
		if row != "" && TextWidth(row+" "+word) > width {
			rows, row = append(rows, row), ""
		}
		if row != "" {
			row += " "
		}
		row += word
	}
	return append(rows, row)
}

// finite leaves out what is no place, and what is out of any paper's reach.
func finite(points []Point) []Point {
	const far = 1e5
	for i, p := range points {
		if math.Abs(p.X) < far && math.Abs(p.Y) < far {
			continue
		}
		out := append([]Point(nil), points[:i]...)
		for _, q := range points[i+1:] {
			if math.Abs(q.X) < far && math.Abs(q.Y) < far {
				out = append(out, q)
			}
		}
		return out
	}
	return points
}

// simplify drops points that lie within tol of the line through those that stay: first
// what lies within a third of that of the last one kept, then, run by run so that the
// work grows no faster than the line, what a straight piece passes close enough.
func simplify(points []Point, tol float64) []Point {
	const run = 400
	if len(points) < 3 {
		return points
	}
	apart := []Point{points[0]}
	for _, p := range points[1 : len(points)-1] {
		if q := apart[len(apart)-1]; math.Abs(p.X-q.X) > tol/3 || math.Abs(p.Y-q.Y) > tol/3 {
			apart = append(apart, p)
		}
	}
	apart = append(apart, points[len(points)-1])
	out := apart[:1:1]
	for i := 0; i+1 < len(apart); i += run {
		out = append(out, straighten(apart[i:min(len(apart), i+run+1)], tol/2)[1:]...)
	}
	return out
}

// straighten is the way of Ramer, Douglas and Peucker, with its own stack.
func straighten(points []Point, tol float64) []Point {
	keep := make([]bool, len(points))
	keep[0], keep[len(points)-1] = true, true
	for stack := [][2]int{{0, len(points) - 1}}; len(stack) > 0; {
		s := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		worst, at := tol, -1
		for i := s[0] + 1; i < s[1]; i++ {
			if d := off(points[s[0]], points[s[1]], points[i]); d > worst {
				worst, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{s[0], at}, [2]int{at, s[1]})
		}
	}
	out := points[:0:0]
	for i, k := range keep {
		if k {
			out = append(out, points[i])
		}
	}
	return out
}

// off returns how far a place is from the piece from a to b.
func off(a, b, p Point) float64 {
	d := r2.Sub(b, a)
	n := r2.Norm2(d)
	t := 0.0
	if n > 0 {
		t = max(0, min(1, r2.Dot(r2.Sub(p, a), d)/n))
	}
	e := r2.Sub(p, r2.Add(a, r2.Scale(t, d)))
	return math.Sqrt(r2.Norm2(e))
}

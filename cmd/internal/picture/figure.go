package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Point is a place on the paper, mm from its upper left corner, Y downward.
type Point = r2.Vec

// Pen is how a line is drawn.
type Pen struct {
	Width  float64   // mm
	Dash   []float64 // mm
	Grey   float64   // 0 for black to 1 for white
	Sign   rune      // of its lines as characters; 0: by their direction
	Colour Colour    // added on a terminal
	Class  string    // of its lines in SVG
}

// Colour is an attribute of characters on a terminal: an SGR code of ECMA-48, 0 for none.
type Colour uint8

// The colours that are used.
const (
	Red    Colour = 31
	Green  Colour = 32
	Yellow Colour = 33
	Blue   Colour = 34
	Purple Colour = 35
	Cyan   Colour = 36
)

// The pens of a workshop drawing: edges bold, what is measured and hatched thin.
var (
	Bold    = Pen{Width: 0.5, Sign: '#'}
	Holding = Pen{Width: 0.5, Sign: '@', Colour: Red}    // hold-downs
	Ringed  = Pen{Width: 0.5, Sign: 'O', Colour: Yellow} // what is to be looked at
	Turning = Pen{Width: 0.5, Sign: '+'}                 // the cutter
	Rim     = Pen{Width: 0.3, Sign: 'o', Colour: Cyan}
	Medium  = Pen{Width: 0.3}
	Pass    = Pen{Width: 0.18}
	Thin    = Pen{Width: 0.15}
	Air     = Pen{Width: 0.12, Dash: []float64{0.8, 0.8}, Sign: '.'} // traverses
	Axis    = Pen{Width: 0.15, Dash: []float64{4, 1, 0.6, 1}, Sign: '.'}
	Dashed  = Pen{Width: 0.25, Dash: []float64{1.6, 1}}
)

// Anchor is where a text stands to its place.
type Anchor int

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// kind of a mark
type kind int

const (
	line kind = iota
	area
	dots
	text
	shade
)

// mark is one thing on the paper.
type mark struct {
	kind   kind
	pen    Pen       // of a line; its grey fills an area
	points [][]Point // lines, areas; of dots the first holds all of them
	closed bool
	round  float64 // of a circle about points[0][0], its radius
	size   float64 // of dots, their diameter
	anchor Anchor
	text   string
	shade  *Shade
	parts  []mark // what a hatched area or a shade is made of on paper
}

// Figure is a drawing. Title says what it is, About what is to be seen on it, for
// those who do not see it.
type Figure struct {
	Width, Height float64 // mm
	Title, About  string
	Exact         bool // is it measured on the paper? then every point of a line is kept, to a micrometre

	marks []mark
	taken []r2.Box // by the texts of Place
}

// New returns an empty piece of paper.
func New(width, height float64, title string) *Figure {
	return &Figure{Width: width, Height: height, Title: title}
}

// Size is how wide and high the piece of paper is, mm.
func (f *Figure) Size() (width, height float64) { return f.Width, f.Height }

// Line draws from point to point.
func (f *Figure) Line(p Pen, points ...Point) { f.Lines(p, [][]Point{points}) }

// Lines draws several lines with one pen; what no eye would tell is left out.
func (f *Figure) Lines(p Pen, lines [][]Point) {
	m := mark{kind: line, pen: p}
	for _, l := range lines {
		if l = finite(l); !f.Exact {
			l = simplify(l, 0.03)
		}
		if len(l) > 1 {
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

// Hatch fills what the points enclose with slanting strokes: wood that is cut through.
func (f *Figure) Hatch(points ...Point) {
	const apart = 2.4
	if points = simplify(finite(points), 0.02); len(points) < 3 {
		return
	}
	lo, hi := points[0], points[0]
	for _, p := range points {
		lo, hi = Point{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}, Point{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
	}
	strokes := mark{kind: line, pen: Thin}
	for s := lo.X + lo.Y; s < hi.X+hi.Y; s += apart * math.Sqrt2 {
		// Turned by 45 degrees the strokes are upright.
		turned := make([]Point, len(points))
		for i, p := range points {
			turned[i] = Point{X: p.X + p.Y, Y: p.Y - p.X}
		}
		for _, span := range spans(turned, s+apart/2) {
			strokes.points = append(strokes.points, []Point{{X: (s + apart/2 - span[0]) / 2, Y: (s + apart/2 + span[0]) / 2}, {X: (s + apart/2 - span[1]) / 2, Y: (s + apart/2 + span[1]) / 2}})
		}
	}
	f.marks = append(f.marks, mark{kind: area, pen: Pen{Grey: hatched}, points: [][]Point{points}, closed: true, parts: []mark{strokes}})
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

// Stack puts figures under one another on one paper, each under its own title.
func Stack(title string, figures ...*Figure) *Figure {
	const margin = 4.0
	out := New(0, margin, title)
	for _, f := range figures {
		out.Width = max(out.Width, f.Width+2*margin)
	}
	for i, f := range figures {
		if i > 0 {
			out.About += " "
		}
		out.About += f.Title + ". " + f.About
		out.Height += out.Note(Point{X: margin, Y: out.Height}, out.Width-2*margin, f.Title) + 1
		for _, m := range f.marks {
			out.marks = append(out.marks, m.moved(Point{X: margin, Y: out.Height}))
		}
		out.Height += f.Height + margin
	}
	return out
}

// moved returns the mark elsewhere.
func (m mark) moved(by Point) mark {
	lines := m.points
	m.points = make([][]Point, len(lines))
	for k, l := range lines {
		m.points[k] = make([]Point, len(l))
		for n, p := range l {
			m.points[k][n] = r2.Add(p, by)
		}
	}
	if m.shade != nil {
		s := *m.shade
		s.Lo, s.Hi = r2.Add(s.Lo, by), r2.Add(s.Hi, by)
		m.shade = &s
	}
	parts := m.parts
	m.parts = nil
	for _, one := range parts {
		m.parts = append(m.parts, one.moved(by))
	}
	return m
}

// onPaper are the marks of which all drawings but characters consist.
func (f *Figure) onPaper() (list []mark) {
	for _, m := range f.marks {
		if m.parts != nil {
			list = append(list, m.parts...)
		} else if m.kind != shade {
			list = append(list, m)
		}
	}
	return list
}

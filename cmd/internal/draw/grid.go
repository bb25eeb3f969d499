package draw

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"dishwright/dish/measure"
)

// Point is a place in a drawing, mm: X to the right, Y (in a section, Z) up.
type Point struct{ X, Y float64 }

func (p Point) finite() bool {
	return !math.IsNaN(p.X) && !math.IsInf(p.X, 0) && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0)
}

// colour is an attribute of a cell: an SGR code, 0 for none.
type colour uint8

const (
	faint  colour = 2
	red    colour = 31
	green  colour = 32
	yellow colour = 33
	blue   colour = 34
	purple colour = 35
	cyan   colour = 36
)

// cell is one character of a drawing. Of two things in one cell the one of the
// higher rank shows.
type cell struct {
	glyph rune // 0: nothing
	rank  uint8
	paint colour
}

// grid is a drawing of w columns and h rows, row 0 at the top.
type grid struct {
	w, h  int
	cells []cell
}

func newGrid(w, h int) *grid { return &grid{w, h, make([]cell, w*h)} }

// put sets a cell; outside the grid, or under a higher rank, it does nothing.
func (g *grid) put(col, row int, glyph rune, rank uint8, paint colour) {
	if col < 0 || col >= g.w || row < 0 || row >= g.h {
		return
	}
	if c := &g.cells[row*g.w+col]; c.glyph == 0 || rank >= c.rank {
		*c = cell{glyph, rank, paint}
	}
}

// row returns one row as text without blanks at its end.
func (g *grid) row(n int, coloured bool) string {
	cells := g.cells[n*g.w : (n+1)*g.w]
	for len(cells) > 0 && (cells[len(cells)-1].glyph == 0 || cells[len(cells)-1].glyph == ' ') {
		cells = cells[:len(cells)-1]
	}
	var b strings.Builder
	var now colour
	for _, c := range cells {
		if coloured && c.paint != now {
			fmt.Fprintf(&b, "\x1b[%dm", 0)
			if c.paint != 0 {
				fmt.Fprintf(&b, "\x1b[%dm", c.paint)
			}
			now = c.paint
		}
		if c.glyph == 0 {
			c.glyph = ' '
		}
		b.WriteRune(c.glyph)
	}
	if now != 0 {
		b.WriteString("\x1b[0m")
	}
	return b.String()
}

// frame places mm in a grid.
type frame struct {
	left, top      float64 // mm at the outer edge of column 0 and of row 0
	perCol, perRow float64 // mm
	w, h           int
}

// tallest is the most rows of a drawing: more would scroll off any screen.
const tallest = 64

// newFrame fits the box from lo to hi in the given columns, one row twice a
// column; a box too tall for it gets fewer columns. The box has some size.
func newFrame(lo, hi Point, columns int) frame {
	dx, dy := hi.X-lo.X, hi.Y-lo.Y
	per := max(dx/float64(columns), dy/(2*tallest))
	f := frame{perCol: per, perRow: 2 * per}
	f.w = max(1, min(columns, int(math.Ceil(dx/f.perCol-1e-9)))) // 1e-9: a box that fits exactly needs no cell more
	f.h = max(1, min(tallest, int(math.Ceil(dy/f.perRow-1e-9))))
	// The box sits in the middle of the cells.
	f.left = (lo.X+hi.X)/2 - float64(f.w)*f.perCol/2
	f.top = (lo.Y+hi.Y)/2 + float64(f.h)*f.perRow/2
	return f
}

// at returns where p lies, in columns and rows from the upper left.
func (f frame) at(p Point) (col, row float64) {
	return (p.X - f.left) / f.perCol, (f.top - p.Y) / f.perRow
}

// cellAt returns the cell that p lies in; a point on the outer edge belongs to
// the last cell inside.
func (f frame) cellAt(p Point) (col, row int) {
	c, r := f.at(p)
	return edge(c, f.w), edge(r, f.h)
}

func edge(v float64, n int) int {
	switch {
	case !(v >= -1e9 && v <= 1e9):
		return -1
	case v == float64(n):
		return n - 1
	}
	return int(math.Floor(v))
}

// way is how a line runs through a cell, as a set: more than one way is a crossing.
type way uint8

const (
	level way = 1 << iota
	upright
	rising
	falling
)

// heading returns the way of a step of dc columns and dr rows (down).
func heading(dc, dr float64) way {
	switch {
	case math.Abs(dr) <= math.Abs(dc)/2:
		return level
	case math.Abs(dc) <= math.Abs(dr)/2:
		return upright
	case (dc > 0) == (dr > 0):
		return falling
	}
	return rising
}

// glyph returns the character of a way.
func (w way) glyph(blocks bool) rune {
	ascii, lines := '+', '┼'
	switch w {
	case level:
		ascii, lines = '-', '─'
	case upright:
		ascii, lines = '|', '│'
	case rising:
		ascii, lines = '/', '╱'
	case falling:
		ascii, lines = '\\', '╲'
	case rising | falling:
		ascii, lines = 'x', '╳'
	}
	if blocks {
		return lines
	}
	return ascii
}

// trace calls visit for every cell that the straight line from a to b passes,
// in order, cells being sx by sy to a character, and parts outside the frame
// left out. A cell may be visited twice in a row.
func (f frame) trace(a, b Point, sx, sy int, visit func(col, row int, w way)) {
	if !a.finite() || !b.finite() {
		return
	}
	c0, r0 := f.at(a)
	c1, r1 := f.at(b)
	w := heading(c1-c0, r1-r0)
	t0, t1, ok := clip(c0, r0, c1, r1, float64(f.w), float64(f.h))
	if !ok {
		return
	}
	at := func(t float64) (int, int) {
		col := edge((c0+t*(c1-c0))*float64(sx), f.w*sx)
		row := edge((r0+t*(r1-r0))*float64(sy), f.h*sy)
		return max(0, min(col, f.w*sx-1)), max(0, min(row, f.h*sy-1))
	}
	// Two samples a cell, so that none that the line crosses for long is missed.
	steps := int(math.Ceil(2 * (t1 - t0) * max(math.Abs(c1-c0)*float64(sx), math.Abs(r1-r0)*float64(sy))))
	if steps == 0 {
		col, row := at(t0)
		visit(col, row, w)
		return
	}
	for i := range steps {
		col, row := at(t0 + (t1-t0)*(float64(i)+0.5)/float64(steps))
		visit(col, row, w)
	}
}

// clip returns the part of the line that lies in the box from 0,0 to w,h, as
// shares of it (Liang and Barsky's way).
func clip(x0, y0, x1, y1, w, h float64) (t0, t1 float64, ok bool) {
	t1 = 1
	for _, e := range [4][2]float64{{x0 - x1, x0}, {x1 - x0, w - x0}, {y0 - y1, y0}, {y1 - y0, h - y0}} {
		p, q := e[0], e[1]
		switch {
		case p == 0 && q < 0:
			return 0, 0, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	return t0, t1, t0 <= t1
}

// size says how much a cell stands for, mm.
func (f frame) size() string {
	short := func(mm float64) string { return measure.TrimZeros(measure.FormatFixed(mm, 2)) }
	return "a cell is " + short(f.perCol) + " x " + short(f.perRow) + " mm"
}

// number writes mm shortly: whole where it is whole, else with one decimal.
func number(mm float64) string { return measure.TrimZeros(measure.FormatFixed(mm, 1)) }

// wrap writes items after a title, as many on a line as fit. A title or an item
// that fits no line is broken between its words.
func wrap(b *strings.Builder, width int, title string, items []string) {
	const indent = "    " // and two more blanks: under the first item after "key:"
	line := title
	if utf8.RuneCountInString(title) > width {
		b.WriteString(Text(title, Options{Width: width}))
		line = indent
	}
	for _, item := range items {
		if utf8.RuneCountInString(line)+2+utf8.RuneCountInString(item) > width && line != indent {
			b.WriteString(line + "\n")
			line = indent
		}
		line += " "
		for _, word := range strings.Split(item, " ") {
			if utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
				b.WriteString(line + "\n")
				line = indent + "   "
			}
			line += " " + word
		}
	}
	b.WriteString(line + "\n")
}

// gutter is the room for labels at the left of a drawing, in columns.
const gutter = 8

// write writes the grid with labels at its left (by row) and, under it, the
// places of three abscissas.
func (g *grid) write(b *strings.Builder, f frame, o Options, labels map[int]string, marks []float64) {
	for n := range g.h {
		text := g.row(n, o.Colour)
		line := fmt.Sprintf("%*s %s", gutter-1, labels[n], text)
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	foot := []byte(strings.Repeat(" ", gutter+g.w))
	free := 0
	for _, x := range marks {
		col, _ := f.cellAt(Point{x, 0})
		text := number(x)
		at := max(0, min(gutter+col-len(text)/2, len(foot)-len(text)))
		if at >= free {
			free = at + copy(foot[at:], text) + 1
		}
	}
	b.WriteString(strings.TrimRight(string(foot), " ") + "\n")
}

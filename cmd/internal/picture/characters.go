package picture

import (
	"fmt"
	"math"
	"strings"
)

// cellWidth and cellHeight are the paper that a character stands for, mm: on a screen it
// is about twice as tall as wide.
const cellWidth, cellHeight = 2.0, Line

// hatched is the grey of what is hatched.
const hatched = 0.75

// The characters of greys, and of a shade's tones, the lightest first; those from the sixth
// on are for what is over a bound. None of them is one of a line.
var (
	greys  = map[bool][]rune{false: []rune("#%=:"), true: []rune("█▓▒░")}
	tones  = map[bool][]rune{false: []rune(".:;*&%#@M"), true: []rune("·░▒▓█%#@M")}
	paints = []Colour{Blue, Cyan, Green, Green, Yellow, Red, Red, Red, Red}
)

// cell is one character of a drawing, 0 for none.
type cell struct {
	glyph  rune
	colour Colour
	text   bool
}

// cells is a drawing of w columns and h rows, row 0 at the top.
type cells struct {
	w, h   int
	look   Look
	all    []cell
	raised []uint8 // the dots of braille in each
}

// Characters returns the drawing under its title as lines, each ended by a line feed and
// none wider than the look says; what is beyond that is cut off.
func (f *Figure) Characters(o Look) string {
	g := &cells{look: o}
	g.w = min(o.Columns(), int(math.Ceil(f.Width/cellWidth-1e-9))) // 1e-9: a width that fits needs no cell more
	g.h = max(0, int(math.Ceil(f.Height/cellHeight-1e-9)))
	g.all, g.raised = make([]cell, g.w*g.h), make([]uint8, g.w*g.h)
	for _, m := range f.marks {
		if m.kind != text {
			g.mark(m)
		}
	}
	for _, m := range f.marks {
		if m.kind == text {
			g.text(m)
		}
	}
	var rows []string
	for n := range g.h {
		row := g.row(n)
		if row != "" || len(rows) > 0 {
			rows = append(rows, row)
		}
	}
	for len(rows) > 0 && rows[len(rows)-1] == "" {
		rows = rows[:len(rows)-1]
	}
	title := ""
	if f.Title != "" {
		title = Sentence(f.Title, o)
	}
	if len(rows) == 0 {
		return title
	}
	return title + strings.Join(rows, "\n") + "\n"
}

// Sentence returns a text broken between its words so that no line is wider than the look
// says, each ended; a word that is wider alone is cut.
func Sentence(s string, o Look) string {
	fits := func(s string) bool { return len([]rune(s)) <= o.Columns() }
	return strings.Join(wrapped(s, fits), "\n") + "\n"
}

// put sets a cell; outside the grid it does nothing.
func (g *cells) put(col, row int, glyph rune, c Colour) {
	if col >= 0 && col < g.w && row >= 0 && row < g.h {
		g.all[row*g.w+col], g.raised[row*g.w+col] = cell{glyph: glyph, colour: c}, 0
	}
}

// row returns one row as text without blanks at its end.
func (g *cells) row(n int) string {
	list := g.all[n*g.w : (n+1)*g.w]
	for len(list) > 0 && (list[len(list)-1].glyph == 0 || list[len(list)-1].glyph == ' ') {
		list = list[:len(list)-1]
	}
	var b strings.Builder
	var now Colour
	for _, c := range list {
		if g.look.Colour && c.colour != now {
			b.WriteString("\x1b[0m")
			if c.colour != 0 {
				fmt.Fprintf(&b, "\x1b[%dm", c.colour)
			}
			now = c.colour
		}
		b.WriteRune(max(c.glyph, ' '))
	}
	if now != 0 {
		b.WriteString("\x1b[0m")
	}
	return b.String()
}

func (g *cells) mark(m mark) {
	switch {
	case m.kind == shade:
		g.shade(*m.shade)
	case m.kind == area:
		g.area(m)
	case m.kind == dots:
		for _, p := range m.points[0] {
			g.put(int(math.Floor(p.X/cellWidth)), int(math.Floor(p.Y/cellHeight)), 'o', m.pen.Colour)
		}
	case m.round > 0 && m.round < 0.75*cellHeight: // smaller than its sign
		p := m.points[0][0]
		sign := m.pen.Sign
		if sign == 0 {
			sign = 'o'
		}
		g.put(int(math.Floor(p.X/cellWidth)), int(math.Floor(p.Y/cellHeight)), sign, m.pen.Colour)
	case m.round > 0:
		ring := circle(m.points[0][0], m.round)
		g.lines(m.pen, [][]Point{append(ring, ring[0])})
	case m.closed:
		ring := m.points[0]
		g.lines(m.pen, [][]Point{append(ring[:len(ring):len(ring)], ring[0])})
	default:
		g.lines(m.pen, m.points)
	}
}

// text writes a text where it has room: all of it, and on no other.
func (g *cells) text(m mark) {
	letters := []rune(m.text)
	p := m.points[0][0]
	col := int(math.Round(p.X/cellWidth - share[m.anchor]*float64(len(letters))))
	row := int(math.Floor((p.Y - TextSize/3) / cellHeight))
	col = max(0, min(col, g.w-len(letters)))
	if len(letters) > g.w || row < 0 || row >= g.h {
		return
	}
	for c := max(0, col-1); c < min(g.w, col+len(letters)+1); c++ {
		if g.all[row*g.w+c].text {
			return
		}
	}
	for i, r := range letters {
		g.put(col+i, row, r, 0)
		g.all[row*g.w+col+i].text = true
	}
}

// shade writes the tone of each cell of which most lies in the box.
func (g *cells) shade(s Shade) {
	c0, r0 := int(math.Round(s.Lo.X/cellWidth)), int(math.Round(s.Lo.Y/cellHeight))
	cols, rows := max(1, int(math.Round(s.Hi.X/cellWidth))-c0), max(1, int(math.Round(s.Hi.Y/cellHeight))-r0)
	if s.Hi.Y-s.Lo.Y < cellHeight {
		r0 = int(math.Floor((s.Lo.Y + s.Hi.Y) / 2 / cellHeight))
	}
	if cols > 4*g.w || rows > 4*g.h {
		return // far beyond the paper
	}
	for r, row := range s.shrink(cols, rows) {
		for c, v := range row {
			switch k := s.Tone(v); {
			case math.IsNaN(v) || k == 0 && s.Bare:
			case k < 0:
				g.put(c0+c, r0+r, 'v', Purple)
			default:
				switch {
				case s.Over > 0 && k >= s.Over:
					k += 5 - s.Over
				case s.Bare:
					k--
				}
				k = min(k, len(paints)-1)
				g.put(c0+c, r0+r, tones[g.look.Blocks][k], paints[k])
			}
		}
	}
}

// area fills the cells that lie by half or more in what is enclosed; with blocks, black
// ends at an eighth of a cell.
func (g *cells) area(m mark) {
	ring := m.points[0]
	for col := range g.w {
		for _, s := range spans(ring, (float64(col)+0.5)*cellWidth) {
			top, bottom := s[0]/cellHeight, s[1]/cellHeight
			for row := max(0, int(top)); row < g.h && float64(row) < bottom; row++ {
				share := min(bottom, float64(row+1)) - max(top, float64(row))
				eighths := int(math.Round(share * 8))
				switch {
				case m.parts != nil && !g.look.Blocks:
					if share >= 0.5 && (col+row)%4 == 0 {
						g.put(col, row, '/', 0)
					}
				case g.look.Blocks && m.pen.Grey == 0 && bottom >= float64(row+1) && eighths > 0:
					g.put(col, row, []rune(" ▁▂▃▄▅▆▇█")[eighths], 0)
				case share >= 0.5:
					g.put(col, row, greys[g.look.Blocks][min(3, int(m.pen.Grey*4))], 0)
				}
			}
		}
	}
}

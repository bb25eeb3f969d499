package figure

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strings"

	"dishwright/cmd/internal/outset"
	"dishwright/dish/measure"
)

// SVG returns the figure as one SVG element. id tells it from others on one page: it
// is the start of its element's ids, letters and digits. Alone it is a file of its
// own, at true size; else it is as wide as its place allows.
func (f *Figure) SVG(id string, alone bool) []byte {
	var b bytes.Buffer
	size := ""
	if alone {
		fmt.Fprintf(&b, "<!-- %s -->\n", outset.Mark)
		size = fmt.Sprintf(` width="%smm" height="%smm"`, num(f.Width), num(f.Height))
	}
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg"%s viewBox="0 0 %s %s" role="img" aria-labelledby="%s-t %s-d">`+"\n", size, num(f.Width), num(f.Height), id, id)
	fmt.Fprintf(&b, "<title id=\"%s-t\">%s</title>\n<desc id=\"%s-d\">%s</desc>\n", id, escape(f.Title), id, escape(f.About))
	if alone {
		fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="#fff"/>`+"\n", num(f.Width), num(f.Height))
	}
	fmt.Fprintf(&b, `<g transform="scale(.02)" fill="none" stroke="#000" stroke-linejoin="round" font-family="sans-serif">`+"\n")
	for _, m := range f.marks {
		m.svg(&b)
	}
	b.WriteString("</g>\n</svg>\n")
	return b.Bytes()
}

// fine is how many whole numbers a millimetre is divided into inside the drawing:
// whole numbers, each from the last, are short to write.
const fine = 50

// units writes a length of the drawing.
func units(mm float64) int { return int(math.Round(mm * fine)) }

// svg writes one mark.
func (m mark) svg(b *bytes.Buffer) {
	switch m.kind {
	case text:
		p := m.points[0][0]
		anchor := [...]string{"", ` text-anchor="middle"`, ` text-anchor="end"`}[m.anchor]
		fmt.Fprintf(b, `<text x="%d" y="%d" font-size="%d"%s fill="#000" stroke="none">%s</text>`+"\n", units(p.X), units(p.Y), units(m.size), anchor, escape(m.text))
		return
	case dots:
		fmt.Fprintf(b, `<path stroke-width="%d" stroke-linecap="round" d="`, units(m.size))
		var at pen
		for _, p := range m.points[0] {
			at.to(b, 'm', p)
			b.WriteString("h0")
		}
		b.WriteString(`"/>` + "\n")
		return
	}
	style := fmt.Sprintf(` stroke-width="%d"`, max(1, units(m.pen.Width)))
	if m.kind == area {
		style = fmt.Sprintf(` fill="%s" stroke="none"`, grey(m.pen.Grey))
	} else if m.pen.Grey > 0 {
		style += fmt.Sprintf(` stroke="%s"`, grey(m.pen.Grey))
	}
	if len(m.pen.Dash) > 0 {
		var list []string
		for _, d := range m.pen.Dash {
			list = append(list, fmt.Sprint(units(d)))
		}
		style += fmt.Sprintf(` stroke-dasharray="%s"`, strings.Join(list, " "))
	}
	if m.round > 0 {
		p := m.points[0][0]
		fmt.Fprintf(b, `<circle cx="%d" cy="%d" r="%d"%s/>`+"\n", units(p.X), units(p.Y), units(m.round), style)
		return
	}
	fmt.Fprintf(b, "<path%s d=\"", style)
	var at pen
	for _, l := range m.points {
		for i, p := range l {
			letter := byte('l')
			if i == 0 {
				letter = 'm'
			}
			at.to(b, letter, p)
		}
		if m.closed {
			b.WriteByte('z')
		}
	}
	b.WriteString("\"/>\n")
}

// pen is where a path has come to, in the drawing's whole numbers.
type pen struct {
	x, y   int
	letter byte // that was written last; it holds for what follows it
}

// to writes the way to a place: m sets the pen down there, l draws.
func (at *pen) to(b *bytes.Buffer, letter byte, p Point) {
	x, y := units(p.X), units(p.Y)
	dx, dy := x-at.x, y-at.y
	if letter == 'l' && dx == 0 && dy == 0 {
		return
	}
	sep := ""
	if letter != at.letter || letter == 'm' {
		b.WriteByte(letter)
	} else if dx >= 0 {
		sep = " "
	}
	fmt.Fprintf(b, "%s%d", sep, dx)
	if dy >= 0 {
		b.WriteByte(' ')
	}
	fmt.Fprint(b, dy)
	at.x, at.y, at.letter = x, y, letter
}

// num writes a length to a hundredth of a millimetre.
func num(v float64) string { return measure.FormatShort(v, 2) }

// grey is a colour of equal parts.
func grey(g float64) string {
	n := int(math.Round(255 * max(0, min(1, g))))
	return fmt.Sprintf("#%02x%02x%02x", n, n, n)
}

// escape makes a text safe inside an element.
func escape(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer takes everything
	return b.String()
}

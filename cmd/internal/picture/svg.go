package picture

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
	fine, scale := 50.0, ".02"
	if f.Exact {
		fine, scale = 1000, ".001"
	}
	fmt.Fprintf(&b, `<g transform="scale(%s)" fill="none" stroke="#000" stroke-linejoin="round" font-family="sans-serif">`+"\n", scale)
	for _, m := range f.onPaper() {
		svgWriter{&b, fine}.mark(m)
	}
	b.WriteString("</g>\n</svg>\n")
	return b.Bytes()
}

// svgWriter writes marks in whole numbers, so many to a millimetre: each from the last,
// they are short to write.
type svgWriter struct {
	*bytes.Buffer
	fine float64
}

func (w svgWriter) units(mm float64) int { return int(math.Round(mm * w.fine)) }

func (w svgWriter) printf(format string, args ...any) { fmt.Fprintf(w, format, args...) }

// mark writes one mark.
func (w svgWriter) mark(m mark) {
	switch m.kind {
	case text:
		p := m.points[0][0]
		anchor := [...]string{"", ` text-anchor="middle"`, ` text-anchor="end"`}[m.anchor]
		w.printf(`<text x="%d" y="%d" font-size="%d"%s fill="#000" stroke="none">%s</text>`+"\n", w.units(p.X), w.units(p.Y), w.units(TextSize), anchor, escape(m.text))
		return
	case dots:
		w.printf(`<path stroke-width="%d" stroke-linecap="round" d="`, w.units(m.size))
		at := course{svgWriter: w}
		for _, p := range m.points[0] {
			at.to('m', p)
			w.printf("h0")
		}
		w.printf(`"/>` + "\n")
		return
	}
	style := w.style(m)
	if m.round > 0 {
		p := m.points[0][0]
		w.printf(`<circle cx="%d" cy="%d" r="%d"%s/>`+"\n", w.units(p.X), w.units(p.Y), w.units(m.round), style)
		return
	}
	w.printf("<path%s d=\"", style)
	at := course{svgWriter: w}
	for _, l := range m.points {
		for i, p := range l {
			letter := byte('l')
			if i == 0 {
				letter = 'm'
			}
			at.to(letter, p)
		}
		if m.closed {
			w.WriteByte('z')
			at.letter = 'z'
			at.x, at.y = w.units(l[0].X), w.units(l[0].Y)
		}
	}
	w.printf("\"/>\n")
}

// style returns the attributes of a line or an area.
func (w svgWriter) style(m mark) string {
	style := ""
	if m.pen.Class != "" {
		style = fmt.Sprintf(` class="%s"`, m.pen.Class)
	}
	if m.kind == area {
		return style + fmt.Sprintf(` fill="%s" stroke="none"`, grey(m.pen.Grey))
	}
	style += fmt.Sprintf(` stroke-width="%d"`, max(1, w.units(m.pen.Width)))
	if m.pen.Grey > 0 {
		style += fmt.Sprintf(` stroke="%s"`, grey(m.pen.Grey))
	}
	if len(m.pen.Dash) > 0 {
		var list []string
		for _, d := range m.pen.Dash {
			list = append(list, fmt.Sprint(w.units(d)))
		}
		style += fmt.Sprintf(` stroke-dasharray="%s"`, strings.Join(list, " "))
	}
	return style
}

// course is where a path has come to, in the drawing's whole numbers.
type course struct {
	svgWriter
	x, y   int
	letter byte // that was written last; it holds for what follows it
}

// to writes the way to a place: m sets the pen down there, l draws.
func (at *course) to(letter byte, p Point) {
	x, y := at.units(p.X), at.units(p.Y)
	dx, dy := x-at.x, y-at.y
	if letter == 'l' && dx == 0 && dy == 0 {
		return
	}
	sep := ""
	if letter != at.letter || letter == 'm' {
		at.WriteByte(letter)
	} else if dx >= 0 {
		sep = " "
	}
	at.printf("%s%d", sep, dx)
	if dy >= 0 {
		at.WriteByte(' ')
	}
	at.printf("%d", dy)
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

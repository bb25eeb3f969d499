package picture

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// TextSize is the height of letters, mm: 9 point, easily read at arm's length. Line is
// from one line of a text to the next.
const TextSize, Line = 3.2, 4.0

// ascent and descent are how far letters reach above their line and below it, mm
// (rounded up from a common sans-serif face).
const ascent, descent = 2.6, 0.8

// TextWidth is no less than the width that a text takes, mm: the printer's face is
// not known, so each kind of letter counts as wide as its widest in DejaVu Sans,
// among the widest of the common sans-serif faces.
func TextWidth(text string) float64 {
	em := 0.0
	for _, c := range text {
		switch {
		case strings.ContainsRune("'ijlIJftr ,./:;\\|-()[]!", c):
			em += 0.42
		case strings.ContainsRune("mwMW%@#+<=>^~", c):
			em++
		case c >= 'A' && c <= 'Z' || c == '&':
			em += 0.8
		case c > '~':
			em += 1.5
		default:
			em += 0.66
		}
	}
	return TextSize * em
}

// Shortened returns the text, with dots for its end where it is wider than the room.
func Shortened(text string, room float64) string {
	const dots = "..."
	if TextWidth(text) <= room {
		return text
	}
	runes := []rune(text)
	for len(runes) > 0 && TextWidth(string(runes)+dots) > room {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ") + dots
}

// wrapped breaks a text into rows that fit; a word that does not alone is cut.
func wrapped(s string, fits func(string) bool) (rows []string) {
	row := ""
	for _, word := range strings.Fields(s) {
		if row != "" && fits(row+" "+word) {
			row += " " + word
			continue
		}
		if row != "" {
			rows = append(rows, row)
		}
		for row = word; !fits(row) && len(row) > 1; {
			runes := []rune(row)
			n := 1
			for n < len(runes) && fits(string(runes[:n+1])) {
				n++
			}
			rows, row = append(rows, string(runes[:n])), string(runes[n:])
		}
	}
	return append(rows, row)
}

// Text writes beside a place; it is moved sideways so far that it stays on the paper.
func (f *Figure) Text(at Point, a Anchor, s string) {
	wide := TextWidth(s)
	left := at.X - wide*share[a]
	at.X += max(0, 0.5-left) - max(0, left+wide-(f.Width-0.5))
	f.write(at, a, s)
}

func (f *Figure) write(at Point, a Anchor, s string) {
	if len(finite([]Point{at})) == 1 && s != "" {
		f.marks = append(f.marks, mark{kind: text, points: [][]Point{{at}}, anchor: a, text: s})
	}
}

// share is how much of a text stands left of its place.
var share = [...]float64{Start: 0, Middle: 0.5, End: 1}

// Note writes a text into a column, from its upper left corner down, and returns the
// height that it takes.
func (f *Figure) Note(at Point, width float64, s string) float64 {
	rows := wrapped(s, func(s string) bool { return TextWidth(s) <= width && len([]rune(s)) <= int(width/cellWidth) })
	for i, row := range rows {
		f.write(Point{X: at.X, Y: at.Y + Line*float64(i+1) - descent}, Start, row)
	}
	return Line * float64(len(rows))
}

// Spot is where a text may stand: how it lies to the place, and where.
type Spot struct {
	Anchor Anchor
	At     Point
}

// box returns what a text at a spot takes of the paper, at most.
func (p Spot) box(text string) r2.Box {
	w := TextWidth(text)
	left := p.At.X - w*share[p.Anchor]
	return r2.Box{Min: r2.Vec{X: left, Y: p.At.Y - ascent}, Max: r2.Vec{X: left + w, Y: p.At.Y + descent}}
}

// Take keeps the texts of Place off a box.
func (f *Figure) Take(box r2.Box) { f.taken = append(f.taken, box) }

// Place writes texts one under the other at the first of the spots where all of them
// lie so far within the paper's edges and on nothing that is taken, and reports whether
// there is such a spot. Else they are left out: half a number would be a wrong one.
func (f *Figure) Place(margin float64, texts []string, spots ...Spot) bool {
	for _, p := range spots {
		var boxes []r2.Box
		for i, t := range texts {
			q := p
			q.At.Y += float64(float64(i) * Line)
			boxes = append(boxes, q.box(t))
		}
		if !f.room(margin, boxes) {
			continue
		}
		f.taken = append(f.taken, boxes...)
		for i, t := range texts {
			f.write(Point{X: p.At.X, Y: p.At.Y + float64(float64(i)*Line)}, p.Anchor, t)
		}
		return true
	}
	return false
}

// room reports whether boxes lie within the edges and on nothing that is taken.
func (f *Figure) room(margin float64, boxes []r2.Box) bool {
	for _, b := range boxes {
		if b.Min.X < margin || b.Max.X > f.Width-margin || b.Min.Y < margin || b.Max.Y > f.Height-margin {
			return false
		}
		for _, t := range f.taken {
			if b.Min.X < t.Max.X && t.Min.X < b.Max.X && b.Min.Y < t.Max.Y && t.Min.Y < b.Max.Y {
				return false
			}
		}
	}
	return true
}

// Key is what a sign of a drawing stands for. Draw draws the sign from the left end
// of the middle line of a box 6 mm long; a key without it is a note.
type Key struct {
	Words string
	Draw  func(f *Figure, at Point)
}

// KeyOf is the key of a pen's lines.
func KeyOf(p Pen, words string) Key {
	return Key{words, func(f *Figure, at Point) { f.Line(p, at, Point{X: at.X + signWidth, Y: at.Y}) }}
}

// signWidth and signRoom are how long a sign in a key is, and how far its words are
// from where it begins, mm.
const signWidth, signRoom = 5.6, 8.0

// Keys writes keys from an upper left corner after one another, in as many rows as they
// take within the width, and returns the height of those.
func (f *Figure) Keys(at Point, width float64, list []Key) float64 {
	x, y := at.X, at.Y
	for _, k := range list {
		indent := 0.0
		if k.Draw != nil {
			indent = signRoom
		}
		wide := indent + max(TextWidth(k.Words), cellWidth*float64(len([]rune(k.Words)))) + cellWidth
		if x > at.X && x+wide > at.X+width {
			x, y = at.X, y+Line
		}
		left := math.Round(x/cellWidth)*cellWidth + 0.2 // a sign fills whole cells
		if k.Draw != nil {
			k.Draw(f, Point{X: left, Y: y + Line/2})
		}
		y += f.Note(Point{X: left + indent, Y: y}, at.X+width-x-indent, k.Words) - Line
		x += wide + cellWidth
	}
	return y + Line - at.Y
}

// KeysHeight is the height that keys take in a column of that width.
func KeysHeight(width float64, list []Key) float64 {
	return New(width, 0, "").Keys(Point{}, width, list)
}

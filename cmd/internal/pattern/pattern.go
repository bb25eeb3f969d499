// Package pattern lays the sides of a body, unrolled flat, on sheets of paper at
// true size, to be glued to the wood and cut to.
//
// In come the edges of a side in mm and a paper, out go sheets as SVG, their unit
// the millimetre. The same input gives the same bytes.
package pattern

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// Paper is a sheet, lying on its long side.
type Paper struct {
	Name          string
	Width, Height float64 // mm
}

// papers are the sheets that most printers take: ISO 216 A4, and letter paper of
// 11 in by 8 1/2 in.
var papers = []Paper{{"a4", 297, 210}, {"letter", 279.4, 215.9}}

// PaperNamed returns a paper by its name.
func PaperNamed(name string) (Paper, error) {
	var names []string
	for _, p := range papers {
		if p.Name == name {
			return p, nil
		}
		names = append(names, p.Name)
	}
	return Paper{}, &unknownPaper{name, strict.Suggest(name, names, "the papers are")}
}

type unknownPaper struct{ name, hint string }

func (e *unknownPaper) Error() string   { return fmt.Sprintf("the paper %q is not known", e.name) }
func (e *unknownPaper) Hints() []string { return []string{e.hint} }

// Mark is a named place along a side.
type Mark struct {
	U    float64 // mm from the tail
	Name string
}

// Pattern is one side: its finished edges over the length from the tail.
type Pattern struct {
	Name         string
	Mirrored     bool        // is the tail at the right?
	Upper, Lower []r2.Vec    // length from the tail and height, both edges over the same length, mm
	Allowance    float64     // to cut outside either edge, mm
	Saw          [2][]r2.Vec // in place of an allowance: the lines to saw to at the upper and at the lower edge, over the same length; nil for none
	TrimTail     float64     // to leave beyond the ends, mm
	TrimHead     float64
	Marks        []Mark
	Ruler        measure.Ruler // in whose unit its texts are written
	Notes        []string
}

const (
	// margin is what many printers leave white, mm.
	margin = 10.0
	// overlap of two sheets, mm: enough to glue them by.
	overlap = 10.0
	// heading is the room above the drawing for its title, mm, and footing the room
	// under it for the measuring bars.
	heading, footing = 14.0, 16.0
	// leastWidth and leastHeight of a paper leave room for the measuring bars and, over
	// them, for the drawing and its crosses, mm.
	leastWidth, leastHeight = 190.0, 120.0
	// mostSheets is far more than any body needs.
	mostSheets = 200
	// mostPoints of an edge and mostSize keep a slip from filling the memory.
	mostPoints, mostSize = 200_000, 10_000.0
)

// Page is one sheet.
type Page struct {
	Name string // its number, with as many digits as the last one
	SVG  []byte
}

// Pages lays a side on as many sheets as it needs, numbered along it and then
// downward. It is an error where the edges do not run over one and the same length
// from the tail to the head, where a mark lies on none of it, where a number is none
// or over 10 m, where an allowance is negative, and where the paper is too small or
// the sheets would be more than 200.
func Pages(p Pattern, paper Paper) ([]Page, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	if !(paper.Width >= leastWidth && paper.Height >= leastHeight && paper.Width <= mostSize && paper.Height <= mostSize) {
		return nil, fmt.Errorf("a paper has at least %g by %g mm, and at most 10 m", leastWidth, leastHeight)
	}
	l := newLayout(p, paper)
	if n := l.columns * l.rows; n > mostSheets {
		return nil, fmt.Errorf("the pattern takes %d sheets; at most %d", n, mostSheets)
	}
	var pages []Page
	total := l.columns * l.rows
	for r := range l.rows {
		for c := range l.columns {
			n := r*l.columns + c + 1
			pages = append(pages, Page{fmt.Sprintf("%0*d", len(fmt.Sprint(total)), n), l.sheet(c, r)})
		}
	}
	return pages, nil
}

// check sees that the edges can be drawn.
func (p Pattern) check() error {
	for _, edge := range p.all() {
		if len(edge) < 2 || len(edge) > mostPoints {
			return errors.New("an edge needs two points, and has room for 200,000")
		}
		for i, v := range edge {
			if !(math.Abs(v.X) <= mostSize && math.Abs(v.Y) <= mostSize) || (i > 0 && v.X < edge[i-1].X) {
				return errors.New("an edge runs from the tail to the head, in numbers up to 10 m")
			}
		}
	}
	first, last := p.Upper[0].X, p.Upper[len(p.Upper)-1].X
	for _, edge := range p.all() {
		if first != edge[0].X || last != edge[len(edge)-1].X || first == last {
			return errors.New("the edges run over one length, the same for all")
		}
	}
	for _, m := range p.Marks {
		if !(m.U >= first && m.U <= last) {
			return fmt.Errorf("the place %q does not lie on the side", m.Name)
		}
	}
	for _, v := range [...]float64{p.Allowance, p.TrimHead, p.TrimTail} {
		if !(v >= 0 && v <= mostSize) {
			return errors.New("an allowance is zero or more")
		}
	}
	return nil
}

// all returns the lines along the side: its edges, and those to saw to.
func (p Pattern) all() [][]r2.Vec {
	list := [][]r2.Vec{p.Upper, p.Lower}
	for _, line := range p.Saw {
		if line != nil {
			list = append(list, line)
		}
	}
	return list
}

// layout says where a side lies on its sheets.
type layout struct {
	p             Pattern
	paper         Paper
	left, top     float64 // of the whole drawing, mm in its own frame: u along the sheets, heights downward
	wide, high    float64 // of what one sheet shows
	columns, rows int
	first, last   float64 // u of the tail's and the head's end
}

func newLayout(p Pattern, paper Paper) layout {
	if p.Mirrored {
		p = mirrored(p)
	}
	l := layout{p: p, paper: paper, wide: paper.Width - 2*margin, high: paper.Height - 2*margin - heading - footing}
	l.first, l.last = p.Upper[0].X, p.Upper[len(p.Upper)-1].X
	up, low := math.Inf(-1), math.Inf(1)
	for _, edge := range p.all() {
		for _, v := range edge {
			up, low = max(up, v.Y), min(low, v.Y)
		}
	}
	// 2 mm beyond the outermost line, so that no line lies on the sheet's edge.
	l.left, l.top = l.first-p.TrimTail-2, up+p.Allowance+2
	sheets := func(size, room float64) int {
		return 1 + max(0, int(math.Ceil((size-room)/(room-overlap)-1e-9)))
	}
	l.columns = sheets(l.last+p.TrimHead+2-l.left, l.wide)
	l.rows = sheets(l.top-(low-p.Allowance-2), l.high)
	return l
}

// mirrored returns the pattern turned over: the tail comes to lie at the right.
func mirrored(p Pattern) Pattern {
	end := p.Upper[len(p.Upper)-1].X + p.Upper[0].X
	turn := func(edge []r2.Vec) []r2.Vec {
		if edge == nil {
			return nil
		}
		out := make([]r2.Vec, len(edge))
		for i, v := range edge {
			out[len(edge)-1-i] = r2.Vec{X: end - v.X, Y: v.Y}
		}
		return out
	}
	p.Upper, p.Lower = turn(p.Upper), turn(p.Lower)
	p.Saw = [2][]r2.Vec{turn(p.Saw[0]), turn(p.Saw[1])}
	p.TrimHead, p.TrimTail = p.TrimTail, p.TrimHead
	p.Marks = slices.Clone(p.Marks)
	for i := range p.Marks {
		p.Marks[i].U = end - p.Marks[i].U
	}
	return p
}

// along returns the length from the tail at u.
func (l layout) along(u float64) float64 {
	if l.p.Mirrored {
		return l.last - u
	}
	return u - l.first
}

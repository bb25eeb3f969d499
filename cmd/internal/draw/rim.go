package draw

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"
)

// Label is a text beside a place.
type Label struct {
	At   Point
	Text string
}

// RimView is what the plan of a rim shows: the centre line runs from left to
// right, the tail at the left.
type RimView struct {
	Outline []Point   // closed, its first point not repeated
	Blocks  [][]Point // corners of each, closed likewise
	Braces  [][]Point
	Apex    *Point
	Labels  []Label // of places of the outline
}

// ranks of the things in the plan of a rim
const (
	rankCentre = iota + 1
	rankBrace
	rankBlock
	rankEdge
	rankTop
	rankLabel
)

// Rim draws the outline of a body from above with labels beside it, those that find
// no room left out: half a number would be a wrong one. It panics where the outline
// has fewer than three points, one that is not finite, or no size either way.
func Rim(v RimView, o Options) string {
	f := rimFrame(v, o)
	g := newGrid(f.w, f.h)
	line := func(points []Point, glyph func(w way) rune, rank uint8) {
		outline(f, points, func(col, row int, w way) { g.put(col, row, glyph(w), rank, 0) })
	}
	round := func(points []Point) []Point {
		if len(points) == 0 {
			return nil
		}
		return append(append([]Point(nil), points...), points[0])
	}
	line(round(v.Outline), func(way) rune { return 'o' }, rankEdge)
	for _, b := range v.Braces {
		line(b, func(way) rune { return '.' }, rankBrace)
	}
	for _, b := range v.Blocks {
		line(round(b), func(w way) rune { return w.glyph(o.Blocks) }, rankBlock)
	}
	apex := false
	if v.Apex != nil {
		col, row := f.cellAt(*v.Apex)
		apex = col >= 0 && col < f.w && row >= 0 && row < f.h
		g.put(col, row, '+', rankTop, 0)
	}
	middle := boxMiddle(v.Outline)
	for _, l := range v.Labels {
		putLabel(g, f, l, middle)
	}
	var b strings.Builder
	b.WriteString(Text("plan from above, the tail at the left; "+f.size(), o))
	for n := range g.h {
		b.WriteString(g.row(n, o.Colour) + "\n")
	}
	wrap(&b, o.width(), "key:", rimKey(v, apex, o.Blocks))
	return b.String()
}

func rimKey(v RimView, apex, blocks bool) []string {
	key := []string{"o outside of the sides"}
	if apex {
		key = append(key, "+ apex of the top")
	}
	if len(v.Braces) > 0 {
		key = append(key, ". braces")
	}
	if len(v.Blocks) > 0 {
		key = append(key, fmt.Sprintf("%c %c blocks", level.glyph(blocks), upright.glyph(blocks)))
	}
	return key
}

// box returns the corners of what the points take.
func box(points []Point) (lo, hi Point) {
	lo, hi = points[0], points[0]
	for _, p := range points {
		lo = Point{min(lo.X, p.X), min(lo.Y, p.Y)}
		hi = Point{max(hi.X, p.X), max(hi.Y, p.Y)}
	}
	return lo, hi
}

func boxMiddle(points []Point) Point {
	lo, hi := box(points)
	return Point{(lo.X + hi.X) / 2, (lo.Y + hi.Y) / 2}
}

// rimFrame frames the outline with room for a label on every side.
func rimFrame(v RimView, o Options) frame {
	if len(v.Outline) < 3 {
		panic("draw: an outline without size")
	}
	lo, hi := box(v.Outline)
	if span := (Point{hi.X - lo.X, hi.Y - lo.Y}); !(span.X > 0) || !(span.Y > 0) || !span.finite() {
		panic("draw: an outline without size")
	}
	long := 0
	for _, l := range v.Labels {
		long = max(long, utf8.RuneCountInString(l.Text)+2)
	}
	long = min(long, o.width()/4)
	per := (hi.X - lo.X) / float64(o.width()-2*long)
	per = max(per, (hi.Y-lo.Y)/(2*(tallest-2)))
	side := float64(float64(long) * per)
	lo = Point{lo.X - side, lo.Y - float64(2*per)}
	hi = Point{hi.X + side, hi.Y + float64(2*per)}
	return newFrame(lo, hi, o.width())
}

// putLabel writes a label beside its place, on the side away from the middle, at
// the nearest of some places where it covers nothing and is not cut off, if any.
func putLabel(g *grid, f frame, l Label, middle Point) {
	text := []rune(l.Text)
	n := len(text)
	col, row := f.cellAt(l.At)
	m, r := f.at(middle)
	out, down := 1, 1 // which way is away from the middle
	if float64(col) < m {
		out = -1
	}
	if float64(row) < r {
		down = -1
	}
	beside := func(gap int) int { // the first column of a label that far to the side
		if out < 0 {
			return col - gap - n + 1
		}
		return col + gap
	}
	flat := math.Abs(float64(row)-r) > math.Abs(float64(col)-m)/3
	var places [][2]int
	if flat {
		places = append(places, [2]int{col - n/2, row + down})
	}
	for gap := 2; gap < 6; gap++ {
		places = append(places, [2]int{beside(gap), row})
		if flat {
			places = append(places, [2]int{beside(gap - 2), row + down}, [2]int{col - n/2, row + gap*down})
		}
	}
	for _, p := range places {
		if p[0] >= 0 && p[0]+n <= g.w && p[1] >= 0 && p[1] < g.h && g.free(p[0]-1, p[1], n+2) {
			for i, c := range text {
				g.put(p[0]+i, p[1], c, rankLabel, 0)
			}
			return
		}
	}
}

// free reports whether n cells of a row hold nothing.
func (g *grid) free(col, row, n int) bool {
	for c := max(0, col); c < min(g.w, col+n); c++ {
		if g.cells[row*g.w+c].glyph != 0 {
			return false
		}
	}
	return true
}

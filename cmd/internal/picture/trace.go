package picture

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// run is the part of a line in one cell: where it enters and where it leaves, and how long
// it is there, in cells.
type run struct {
	col, row int
	in, out  Point
	long     float64
}

// trace returns the cells that a line passes, in order; cells are sx by sy to a character.
func (g *cells) trace(points []Point, sx, sy int) (runs []run) {
	box := r2.Box{Max: Point{X: float64(g.w*sx) - 1e-9, Y: float64(g.h*sy) - 1e-9}} // 1e-9: the outer edge belongs to the last cell
	unit := func(p Point) Point { return Point{X: p.X / cellWidth * float64(sx), Y: p.Y / cellHeight * float64(sy)} }
	if math.Abs(unit(points[0]).X) > 1e7 {
		return nil
	}
	for i := 1; i < len(points); i++ {
		a, b, ok := Clip(nearer(unit(points[i-1]), box), nearer(unit(points[i]), box), box)
		if !ok {
			continue
		}
		steps := 1 + int(4*max(math.Abs(b.X-a.X), math.Abs(b.Y-a.Y)))
		for k := range steps + 1 {
			p := r2.Add(a, r2.Scale(float64(k)/float64(steps), r2.Sub(b, a)))
			col, row := int(p.X), int(p.Y)
			if n := len(runs); n > 0 && runs[n-1].col == col && runs[n-1].row == row {
				runs[n-1].long += r2.Norm(r2.Sub(p, runs[n-1].out))
				runs[n-1].out = p
			} else {
				runs = append(runs, run{col, row, p, p, 0})
			}
		}
	}
	return runs
}

// slim leaves out the cells of which a line only cuts off a corner, so that a slanting one
// is one character wide.
func slim(runs []run) []run {
	kept := runs[:0:0]
	for i, r := range runs {
		if n := len(kept); n > 0 && i+1 < len(runs) {
			a, b := kept[n-1], runs[i+1]
			d := r2.Norm(r2.Sub(r.out, r.in))
			if abs(a.col-b.col) == 1 && abs(a.row-b.row) == 1 && d < 0.6 && r.long < 1.2*d+0.1 {
				continue
			}
		}
		kept = append(kept, r)
	}
	return kept
}

// nearer brings a place that lies a hair outside the box onto its edge.
func nearer(p Point, box r2.Box) Point {
	const hair = 0.05
	if p.X > -hair && p.X < box.Max.X+hair && p.Y > -hair && p.Y < box.Max.Y+hair {
		return Point{X: max(0, min(p.X, box.Max.X)), Y: max(0, min(p.Y, box.Max.Y))}
	}
	return p
}

func abs(n int) int { return max(n, -n) }

// lines draws lines of one pen: where two of them cross is a cross.
func (g *cells) lines(p Pen, lines [][]Point) {
	if g.look.Blocks && p.Sign == 0 {
		g.braille(p, lines)
		return
	}
	drawn := map[int]rune{}
	for _, l := range lines {
		runs := g.trace(l, 1, 1)
		if p.Sign != '#' { // an edge keeps its corners
			runs = slim(runs)
		}
		for i, r := range runs {
			if len(p.Dash) > 0 && i%2 == 1 {
				continue
			}
			a, b := runs[max(0, i-1)], runs[min(len(runs)-1, i+1)]
			d := r2.Sub(r2.Add(b.in, b.out), r2.Add(a.in, a.out))
			if len(runs) == 1 {
				d = r2.Sub(r.out, r.in)
			}
			glyph := g.glyph(p, r, d)
			at := r.row*g.w + r.col
			if old := way(drawn[at]); old != 0 && p.Sign == 0 && old != way(glyph) {
				if glyph = '+'; way(drawn[at])|old == rising|falling {
					glyph = 'x'
				}
			}
			drawn[at] = glyph
			g.put(r.col, r.row, glyph, p.Colour)
		}
	}
}

// The ways of a line through a cell.
const (
	level rune = 1 << iota
	upright
	rising
	falling
)

// way returns the way that a character of a line shows, 0 for none.
func way(glyph rune) rune {
	switch glyph {
	case '_', '-', '\'':
		return level
	case '|':
		return upright
	case '/':
		return rising
	case '\\':
		return falling
	}
	return 0
}

// glyph returns the character of a line that goes by d through a cell.
func (g *cells) glyph(p Pen, r run, d Point) rune {
	w := rising
	switch {
	case math.Abs(d.Y) <= math.Abs(d.X)/2, p.Sign == '#' && r.long > 1.2*r2.Norm(r2.Sub(r.out, r.in))+0.1: // or a corner of an edge
		w = level
	case math.Abs(d.X) <= math.Abs(d.Y)/2:
		w = upright
	case (d.X > 0) == (d.Y > 0):
		w = falling
	}
	list := map[rune]rune{level: '-', upright: '|', rising: '/', falling: '\\'}
	switch {
	case p.Sign == '#' && g.look.Blocks:
		list = map[rune]rune{level: '━', upright: '┃', rising: '╱', falling: '╲'}
	case p.Sign == 'o' && g.look.Blocks:
		list = map[rune]rune{level: '─', upright: '│', rising: '╱', falling: '╲'}
	case p.Sign != 0:
		return p.Sign
	case w == level && math.Abs(d.Y) > math.Abs(d.X)/50: // slanting: higher or lower in its cell
		at := (r.in.Y+r.out.Y)/2 - float64(r.row)
		return []rune("'-_")[max(0, min(2, int(at*3)))]
	}
	return list[w]
}

// dot is the bit of each dot of a cell in Unicode's block of braille patterns: dots are
// numbered down the left column, then the right, the lowest pair last.
var dot = [4][2]uint8{{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}}

// braille draws lines by dots, two by four to a cell.
func (g *cells) braille(p Pen, lines [][]Point) {
	for _, l := range lines {
		for i, r := range slim(g.trace(l, 2, 4)) {
			if len(p.Dash) > 0 && i/3%2 == 1 {
				continue
			}
			at := r.row/4*g.w + r.col/2
			g.raised[at] |= dot[r.row%4][r.col%2]
			g.all[at] = cell{glyph: 0x2800 + rune(g.raised[at]), colour: p.Colour}
		}
	}
}

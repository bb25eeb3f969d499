package draw

import (
	"fmt"
	"math"
	"strings"

	"dishwright/dish/measure"
)

// SectionView is a section through the apex. X runs along the section, Y is the
// height; the blank fills the box from Lo to Hi.
type SectionView struct {
	Lo, Hi   Point
	Wanted   []Point // the face that is wanted, from left to right, land included
	Left     []Point // what stands after a stage, from left to right; nil for nothing cut
	LeftName string  // the stage, such as "roughing"
	Cutter   []Point // the cutter's outline where it stands, may be nil
	Title    string  // where the section runs, such as "along X"
}

// ranks of the things in a section
const (
	rankWood = iota + 1
	rankLeft
	rankSide
	rankFace
	rankCutter
)

// Section draws the wood under the wanted face hatched, what a stage leaves over
// it filled, and the cutter's outline. Heights are drawn larger than they are,
// and the first line says by how much.
//
// It panics where the blank has no size.
func Section(v SectionView, o Options) string {
	if !(v.Hi.X > v.Lo.X) || !(v.Hi.Y > v.Lo.Y) || !v.Lo.finite() || !v.Hi.finite() {
		panic("draw: a section without size")
	}
	f, scale := sectionFrame(v, o)
	g := newGrid(f.w, f.h)
	low := math.NaN()
	lowest := f.h - 1
	for col := range f.w {
		x := f.left + (float64(col)+0.5)*f.perCol
		if x < v.Lo.X || x > v.Hi.X {
			continue
		}
		z := height(v.Wanted, x)
		if math.IsNaN(z) {
			continue
		}
		drawColumn(g, f, v, o, col, z, height(v.Left, x))
		if math.IsNaN(low) || z < low {
			low = z
			_, lowest = f.cellAt(Point{x, z})
		}
	}
	for i := 1; i < len(v.Cutter); i++ {
		f.trace(v.Cutter[i-1], v.Cutter[i], 1, 1, func(col, row int, w way) {
			g.put(col, row, w.glyph(o.Blocks), rankCutter, yellow)
		})
	}
	_, top := f.cellAt(Point{v.Lo.X, v.Hi.Y})
	_, bottom := f.cellAt(Point{v.Lo.X, v.Lo.Y})
	labels := map[int]string{min(bottom, f.h-1): measure.FormatFixed(v.Lo.Y, 2), max(0, top): measure.FormatFixed(v.Hi.Y, 2)}
	if !math.IsNaN(low) && labels[lowest] == "" {
		labels[lowest] = measure.FormatFixed(low, 2)
	}
	var b strings.Builder
	b.WriteString(Text(fmt.Sprintf("section %s, in mm, vertical x %s", v.Title, number(scale)), o))
	g.write(&b, f, o, labels, []float64{v.Lo.X, 0, v.Hi.X})
	wrap(&b, o.width(), "key:", sectionKey(v, o))
	return b.String()
}

func sectionKey(v SectionView, o Options) []string {
	key := []string{"' - _ wanted face", "/ wood"}
	left := ":"
	if o.Blocks {
		key, left = []string{"█ wood under the wanted face"}, "░"
	}
	if len(v.Left) > 0 {
		key = append(key, left+" left after "+v.LeftName, "v missing")
	}
	if len(v.Cutter) > 0 {
		key = append(key, "outline: cutter")
	}
	return key
}

// sectionFrame frames the blank, and the cutter over it as far as half the
// blank's thickness, with the largest round vertical scale that still fits a
// screen.
func sectionFrame(v SectionView, o Options) (frame, float64) {
	const most = 24 // rows
	hi := v.Hi.Y
	for _, p := range v.Cutter {
		if p.finite() {
			hi = max(hi, min(p.Y, v.Hi.Y+(v.Hi.Y-v.Lo.Y)/2))
		}
	}
	columns := o.width() - gutter
	f := frame{left: v.Lo.X, top: hi, perCol: (v.Hi.X - v.Lo.X) / float64(columns), w: columns}
	scale := 1.0
	for _, s := range []float64{1, 2, 3, 4, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 300, 500, 1000} {
		if (hi-v.Lo.Y)*s/(2*f.perCol) <= most {
			scale = s
		}
	}
	f.perRow = 2 * f.perCol / scale
	if rows := (hi - v.Lo.Y) / f.perRow; rows > tallest {
		// A blank taller than wide: fewer columns, at the scale of 1.
		f.perCol *= rows / tallest
		f.perRow *= rows / tallest
		f.w = max(1, int(float64(columns)*tallest/rows))
	}
	f.h = max(1, min(tallest, int(math.Ceil((hi-v.Lo.Y)/f.perRow-1e-9)))) // 1e-9: as in newFrame
	return f, scale
}

// drawColumn draws one column: wood below the wanted height z, and what is left
// up to the height left (NaN: not drawn).
func drawColumn(g *grid, f frame, v SectionView, o Options, col int, z, left float64) {
	for row := range f.h {
		above := f.top - float64(row)*f.perRow
		below := above - f.perRow
		middle := (above + below) / 2
		side := col == 0 || col == f.w-1
		switch {
		case z >= below && z < above || z == f.top && row == 0:
			share := (z - below) / f.perRow
			g.put(col, row, faceGlyph(share, o.Blocks), rankFace, cyan)
			if left < z-f.perRow/2 {
				g.put(col, row, 'v', rankFace, red)
			}
		case above <= z && below > v.Lo.Y-f.perRow:
			glyph := ' '
			switch {
			case o.Blocks:
				glyph = '█'
			case side:
				glyph = '|'
			case (col+row)%4 == 0:
				glyph = '/'
			}
			g.put(col, row, glyph, rankWood, 0)
		case middle > z && middle <= left:
			glyph := ':'
			if o.Blocks {
				glyph = '░'
			}
			g.put(col, row, glyph, rankLeft, yellow)
		}
	}
}

// faceGlyph returns the character for a surface at a share of a cell's height.
func faceGlyph(share float64, blocks bool) rune {
	if blocks {
		return []rune(" ▁▂▃▄▅▆▇█")[max(0, min(8, int(math.Round(share*8))))]
	}
	return []rune("_-'")[max(0, min(2, int(share*3)))]
}

// height returns the height of a profile at x, between its points in a straight
// line; NaN outside it.
func height(profile []Point, x float64) float64 {
	for i := 1; i < len(profile); i++ {
		a, b := profile[i-1], profile[i]
		if x < a.X || x > b.X || !(b.X > a.X) {
			continue
		}
		return a.Y + (b.Y-a.Y)*((x-a.X)/(b.X-a.X))
	}
	return math.NaN()
}

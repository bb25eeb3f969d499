package draw

import (
	"fmt"
	"math"
	"math/bits"
	"strings"

	"dishwright/dish"
)

// Pass is one run of the cutter seen from above.
type Pass struct {
	Points   []Point
	Traverse bool // made above the work, not cutting: drawn dotted
}

// Disc is something that stands on the blank: a screw, a clamp, or, where DX and DY
// lead to its other end, a fence with round ends.
type Disc struct{ X, Y, Radius, DX, DY float64 }

// Round returns the discs that a fence is made of, no further apart than its radius.
func (d Disc) Round() (list []Disc) {
	const most = 1000
	n := 0
	if l := math.Hypot(d.DX, d.DY); l > 0 && d.Radius > 0 {
		n = int(min(most, math.Ceil(l/d.Radius)))
	}
	for k := range n + 1 {
		t := 0.0
		if n > 0 {
			t = float64(k) / float64(n)
		}
		list = append(list, Disc{X: d.X + t*d.DX, Y: d.Y + t*d.DY, Radius: d.Radius})
	}
	return list
}

// PlanView is what a plan shows, in the face frame.
type PlanView struct {
	Blank     dish.Blank
	Rim       float64 // distance of the rim from the apex; 0 for none
	HoldDowns []Disc
	Passes    []Pass // in running order
}

// ranks of the things in a plan
const (
	rankTraverse = iota + 1
	rankPass
	rankApex
	rankRim
	rankBlank
	rankDisc
)

// Plan draws the passes seen from above. Where they stand closer than two
// characters, every second, third, … of them is drawn, and a line says so.
func Plan(v PlanView, o Options) string {
	f := planFrame(v, o)
	g := newGrid(f.w, f.h)
	drawn, every, total := drawPasses(g, f, v, o)
	if v.Rim > 0 {
		outline(f, circle(0, 0, v.Rim), func(col, row int, _ way) { g.put(col, row, 'o', rankRim, cyan) })
	}
	outline(f, BlankOutline(v.Blank), func(col, row int, w way) {
		glyph := '#'
		if o.Blocks {
			glyph = w.glyph(true)
		}
		g.put(col, row, glyph, rankBlank, 0)
	})
	drawDiscs(g, f, v.HoldDowns)
	col, row := f.cellAt(Point{})
	g.put(col, row, '+', rankApex, 0)

	var b strings.Builder
	wrap(&b, o.width(), "plan in mm, Y up;", []string{f.size()})
	g.write(&b, f, o, labelRows(f), []float64{-v.Blank.Length / 2, 0, v.Blank.Length / 2})
	wrap(&b, o.width(), "key:", planKey(v, o))
	switch {
	case total == 0:
		b.WriteString("no passes\n")
	case every == 1:
		fmt.Fprintf(&b, "every pass drawn (%d)\n", total)
	default:
		fmt.Fprintf(&b, "every %s pass drawn (%d of %d)\n", ordinal(every), drawn, total)
	}
	return b.String()
}

func planKey(v PlanView, o Options) []string {
	passes, edge := `- | / \ passes`, "# edge of the blank"
	if o.Blocks {
		passes, edge = "⠒ ⡇ passes", "─ │ edge of the blank"
	}
	var key []string
	cuts, jumps := 0, 0
	for _, p := range v.Passes {
		if p.Traverse {
			jumps++
		} else {
			cuts++
		}
	}
	if cuts > 0 {
		key = append(key, passes)
	}
	if jumps > 0 {
		key = append(key, ". traverses")
	}
	if v.Rim > 0 {
		key = append(key, "o rim")
	}
	key = append(key, edge)
	if len(v.HoldDowns) > 0 {
		key = append(key, "@ hold-downs")
	}
	return append(key, "+ apex")
}

// planFrame frames the blank, the hold-downs, and the passes as far as they run
// out of the blank by a quarter of its size.
func planFrame(v PlanView, o Options) frame {
	hi := Point{v.Blank.Length / 2, v.Blank.Width / 2}
	if !(hi.X > 0) || !(hi.Y > 0) || !hi.finite() {
		panic("draw: a blank without size")
	}
	lo := Point{-hi.X, -hi.Y}
	most := Point{1.25 * hi.X, 1.25 * hi.Y}
	grow := func(p Point) {
		if p.finite() {
			lo = Point{max(-most.X, min(lo.X, p.X)), max(-most.Y, min(lo.Y, p.Y))}
			hi = Point{min(most.X, max(hi.X, p.X)), min(most.Y, max(hi.Y, p.Y))}
		}
	}
	for _, d := range v.HoldDowns {
		grow(Point{d.X - d.Radius, d.Y - d.Radius})
		grow(Point{d.X + d.Radius, d.Y + d.Radius})
	}
	for _, p := range v.Passes {
		for _, q := range p.Points {
			grow(q)
		}
	}
	return newFrame(lo, hi, o.width()-gutter)
}

// labelRows labels the first row, the last and the apex's with their Y.
func labelRows(f frame) map[int]string {
	_, zero := f.cellAt(Point{})
	labels := map[int]string{}
	for _, n := range []int{0, f.h - 1} {
		labels[n] = number(math.Round(f.top - (float64(n)+0.5)*f.perRow))
	}
	labels[zero] = "0"
	return labels
}

// dot is a mark of a pass in a cell, or in one of a cell's braille dots.
type dot struct {
	at int32
	w  way
}

// drawPasses draws every k-th pass, the least k of a short list that leaves
// about two thirds of the face bare, and returns how many it drew, k, and how
// many passes there are, traverses not counted.
func drawPasses(g *grid, f frame, v PlanView, o Options) (drawn, every, total int) {
	sx, sy := 1, 1
	if o.Blocks {
		sx, sy = 2, 4
	}
	var cuts, jumps [][]dot
	var after []int // how many passes come before each traverse
	for _, p := range v.Passes {
		dots := traced(f, p.Points, sx, sy)
		if p.Traverse {
			jumps, after = append(jumps, dots), append(after, len(cuts))
		} else {
			cuts = append(cuts, dots)
		}
	}
	every = 1
	area := float64(v.Blank.Length) * v.Blank.Width
	if v.Rim > 0 {
		area = math.Pi * v.Rim * v.Rim
	}
	area = min(area, covered(v.Passes))
	room := 0.45 * area / (f.perCol * f.perRow) * float64(sx*sy)
	for _, every = range []int{1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 300, 500, 1000} {
		if float64(inked(cuts, every, f.w*sx*f.h*sy)) <= room || every >= len(cuts) {
			break
		}
	}
	for i, jump := range jumps {
		// Of the traverses, those that follow a pass that is drawn.
		if every == 1 || after[i]%every == (first(len(cuts), every)+1)%every {
			for n, d := range jump {
				if n%2 == 0 { // dotted
					g.put(int(d.at)%(f.w*sx)/sx, int(d.at)/(f.w*sx)/sy, '.', rankTraverse, faint)
				}
			}
		}
	}
	ways := make([]way, f.w*sx*f.h*sy)
	for i := first(len(cuts), every); i < len(cuts); i += every {
		drawn++
		for _, d := range cuts[i] {
			ways[d.at] |= d.w
		}
	}
	if o.Blocks {
		putBraille(g, ways)
	} else {
		for at, w := range ways {
			if w != 0 {
				g.put(at%f.w, at/f.w, w.glyph(false), rankPass, 0)
			}
		}
	}
	return drawn, every, len(cuts)
}

// covered returns the area of the box round the cutting passes, mm².
func covered(passes []Pass) float64 {
	lo, hi := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, p := range passes {
		for _, q := range p.Points {
			if !p.Traverse && q.finite() {
				lo = Point{min(lo.X, q.X), min(lo.Y, q.Y)}
				hi = Point{max(hi.X, q.X), max(hi.Y, q.Y)}
			}
		}
	}
	return max(0, hi.X-lo.X) * max(0, hi.Y-lo.Y)
}

// first returns the first of n passes to draw, so that as many are left out
// before it as after the last.
func first(n, every int) int {
	if n == 0 {
		return 0
	}
	return (n - 1) % every / 2
}

// inked counts the dots that every k-th pass covers.
func inked(passes [][]dot, every, size int) int {
	seen := make([]uint64, (size+63)/64)
	for i := first(len(passes), every); i < len(passes); i += every {
		for _, d := range passes[i] {
			seen[d.at/64] |= 1 << (d.at % 64)
		}
	}
	n := 0
	for _, s := range seen {
		n += bits.OnesCount64(s)
	}
	return n
}

// traced returns the dots of a polyline, each once in a row.
func traced(f frame, points []Point, sx, sy int) []dot {
	var dots []dot
	for i := 1; i < len(points); i++ {
		f.trace(points[i-1], points[i], sx, sy, func(col, row int, w way) {
			d := dot{int32(row*f.w*sx + col), w}
			if n := len(dots); n == 0 || dots[n-1] != d {
				dots = append(dots, d)
			}
		})
	}
	return dots
}

// putBraille sets cells from dots, two by four to a cell: Unicode's block of
// braille patterns, dots numbered down the left column, then the right, the
// lowest pair last.
func putBraille(g *grid, ways []way) {
	bit := [4][2]rune{{0x01, 0x08}, {0x02, 0x10}, {0x04, 0x20}, {0x40, 0x80}}
	for row := range g.h {
		for col := range g.w {
			var r rune
			for y := range 4 {
				for x := range 2 {
					if ways[(row*4+y)*g.w*2+col*2+x] != 0 {
						r |= bit[y][x]
					}
				}
			}
			if r != 0 {
				g.put(col, row, 0x2800+r, rankPass, 0)
			}
		}
	}
}

func drawDiscs(g *grid, f frame, all []Disc) {
	var discs []Disc
	for _, d := range all {
		discs = append(discs, d.Round()...)
	}
	for _, d := range discs {
		// Every cell whose middle it covers, and the one its own middle is in.
		c0, r0 := f.cellAt(Point{d.X - d.Radius, d.Y + d.Radius})
		c1, r1 := f.cellAt(Point{d.X + d.Radius, d.Y - d.Radius})
		for row := max(0, r0); row <= min(r1, f.h-1); row++ {
			for col := max(0, c0); col <= min(c1, f.w-1); col++ {
				x := f.left + (float64(col)+0.5)*f.perCol
				y := f.top - (float64(row)+0.5)*f.perRow
				if math.Hypot(x-d.X, y-d.Y) <= d.Radius {
					g.put(col, row, '@', rankDisc, red)
				}
			}
		}
		col, row := f.cellAt(Point{d.X, d.Y})
		g.put(col, row, '@', rankDisc, red)
	}
}

// circle returns a closed polygon of many sides.
func circle(x, y, radius float64) []Point {
	const sides = 180
	points := make([]Point, sides+1)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
		points[i] = Point{x + radius*cos, y + radius*sin}
	}
	return points
}

// BlankOutline returns a closed line round a blank, its first point repeated at the
// end.
func BlankOutline(b dish.Blank) []Point {
	x, y := b.Length/2, b.Width/2
	switch b.Shape {
	case dish.Round:
		return circle(0, 0, x)
	case dish.Octagon:
		k := x * (math.Sqrt2 - 1)
		return []Point{{x, -k}, {x, k}, {k, x}, {-k, x}, {-x, k}, {-x, -k}, {-k, -x}, {k, -x}, {x, -k}}
	}
	return []Point{{x, -y}, {x, y}, {-x, y}, {-x, -y}, {x, -y}}
}

func outline(f frame, points []Point, visit func(col, row int, w way)) {
	for i := 1; i < len(points); i++ {
		f.trace(points[i-1], points[i], 1, 1, visit)
	}
}

// ordinal writes 2 as 2nd, 12 as 12th.
func ordinal(n int) string {
	end := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			end = "st"
		case 2:
			end = "nd"
		case 3:
			end = "rd"
		}
	}
	return fmt.Sprint(n) + end
}

package draw

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dishwright/dish/measure"
)

// StripView is a side unrolled: its two edges over the length from the tail.
type StripView struct {
	Title        string
	Upper, Lower []Point // from the left to the right, of the same length
	Marks        []Label // of places along it; only X counts
}

// Strip draws a side unrolled flat. Heights are drawn larger than they are, each
// edge at its own scale, and the first line says by how much: between the edges
// nothing is to be seen, so that part is left out. It panics where an edge has fewer
// than two points, one that is not finite, or where the edges have no length.
func Strip(v StripView, o Options) string {
	if len(v.Upper) < 2 || len(v.Lower) < 2 {
		panic("draw: a side without edges")
	}
	const rows = 7 // for each edge
	lo, hi := box(append(append([]Point(nil), v.Upper...), v.Lower...))
	if span := (Point{hi.X - lo.X, hi.Y - lo.Y}); !(span.X > 0) || !span.finite() {
		panic("draw: a side without edges")
	}
	columns := o.width() - gutter
	per := (hi.X - lo.X) / float64(columns)
	scale := func(edge []Point) float64 { // mm per row
		l, h := box(edge)
		return max((h.Y-l.Y)/rows, 0.01)
	}
	var b strings.Builder
	b.WriteString(Text(fmt.Sprintf("%s, unrolled, from the tail at the left; mm; heights x %s at the top's edge, x %s at the back's, the middle of the side left out",
		v.Title, number(2*per/scale(v.Upper)), number(2*per/scale(v.Lower))), o))
	for i, edge := range [...][]Point{v.Upper, v.Lower} {
		perRow := scale(edge)
		l, h := box(edge)
		f := frame{left: lo.X, top: (l.Y+h.Y)/2 + float64(perRow*(rows+1))/2, perCol: per, perRow: perRow, w: columns, h: rows + 1}
		g := newGrid(f.w, f.h)
		outline(f, edge, func(col, row int, w way) { g.put(col, row, w.glyph(o.Blocks), 1, 0) })
		labels := map[int]string{}
		for _, y := range [...]float64{h.Y, l.Y} {
			_, row := f.cellAt(Point{lo.X, y})
			labels[max(0, min(row, f.h-1))] = measure.FormatFixed(y, 1)
		}
		for n := range g.h {
			b.WriteString(strings.TrimRight(fmt.Sprintf("%*s %s", gutter-1, labels[n], g.row(n, o.Colour)), " ") + "\n")
		}
		if i == 0 {
			b.WriteString(strings.Repeat(" ", gutter) + strings.TrimRight(strings.Repeat("~ ", columns/2), " ") + "\n")
		}
	}
	b.WriteString(marksLine(v.Marks, lo.X, per, columns))
	return b.String()
}

// marksLine writes the names of places under them, those that find no room left
// out.
func marksLine(marks []Label, left, per float64, columns int) string {
	foot := []rune(strings.Repeat(" ", gutter+columns))
	free := 0
	for _, m := range marks {
		text := []rune(m.Text)
		col := edge((m.At.X-left)/per, columns)
		if col < 0 || col > columns || len(text) > len(foot) {
			continue
		}
		at := max(0, min(gutter+col-len(text)/2, len(foot)-len(text)))
		if at >= free {
			free = at + copy(foot[at:], text) + 1
		}
	}
	return strings.TrimRight(string(foot), " ") + "\n"
}

// SandingView is what is still to come off round a rim.
type SandingView struct {
	Left  []float64 // evenly round, from the tail over the right side to the head and back, mm
	Marks []Label   // X is the share of the lap
	Steps []SandingStep
}

// SandingStep is a state of sanding.
type SandingStep struct{ By, Touched float64 }

// levels are the characters of how much is still to come off, from nothing to the
// most.
const levels = ".123456789#"

// Sanding draws how much has to come off round the rim, and how the dish touches
// more and more of it: each column says what is left where it begins, or that
// something is missing in it. It panics where Left is empty or holds what is no
// finite number.
func Sanding(v SandingView, o Options) string {
	if len(v.Left) == 0 {
		panic("draw: nothing to sand")
	}
	most := 0.0
	for _, l := range v.Left {
		if math.IsNaN(l) || math.IsInf(l, 0) {
			panic("draw: what is left is no number")
		}
		most = max(most, l)
	}
	var b strings.Builder
	columns := o.width() - gutter
	b.WriteString(Text(fmt.Sprintf("to come off round the rim, from the tail over the right side to the head and back: # is %s mm, 5 half of it, v missing", measure.FormatFixed(most, 2)), o))
	b.WriteString(strings.Repeat(" ", gutter) + sandingLine(v.Left, most, columns) + "\n")
	b.WriteString(marksLine(v.Marks, 0, 1/float64(columns), columns))
	if len(v.Steps) == 0 {
		return b.String()
	}
	b.WriteString("touched as the rim comes down\n")
	bar := o.width() - 24
	for _, s := range v.Steps {
		n := int(math.Round(share(s.Touched) * float64(bar)))
		fmt.Fprintf(&b, "%8s mm |%s%s| %5s %%\n", measure.FormatFixed(s.By, 2), strings.Repeat("=", n), strings.Repeat(" ", bar-n), measure.FormatFixed(100*share(s.Touched), 1))
	}
	return b.String()
}

// share keeps a share between nothing and all, what is no number being nothing.
func share(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return max(0, min(v, 1))
}

// sandingLine writes a character for each column.
func sandingLine(left []float64, most float64, columns int) string {
	line := make([]byte, columns)
	for i := range line {
		from := i * len(left) / columns
		l := left[from]
		switch {
		case slices.Min(left[from:max(from+1, (i+1)*len(left)/columns)]) < 0:
			line[i] = 'v'
		case most == 0:
			line[i] = levels[0]
		default:
			line[i] = levels[int(math.Round(l/most*float64(len(levels)-1)))]
		}
	}
	return string(line)
}

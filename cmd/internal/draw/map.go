package draw

import (
	"fmt"
	"math"
	"strings"

	"dishwright/dish/measure"
)

// MapView is a map of what is left over a face.
type MapView struct {
	// Values[j][i] is what is left at the middle of the place in column i from
	// the left and row j from below; NaN where there is no face. All rows are of
	// one length.
	Values  [][]float64
	Lo, Hi  Point     // the box that the places fill, mm
	Levels  []float64 // where one band ends and the next begins, ascending, at most 8
	Allowed float64   // what may be left; 0 where nothing is said of that
	Unit    string    // of the values
	Title   string    // what the map shows
	Digits  int       // decimals of values in the key
}

// bands are the characters of the bands, lowest first, each with its paint. A
// band that lies below zero is drawn with 'v': what is missing is never to be
// taken for what is left.
var bands = []cell{
	{glyph: '.', paint: blue}, {glyph: ':', paint: cyan}, {glyph: '-', paint: green},
	{glyph: '=', paint: green}, {glyph: 'o', paint: yellow}, {glyph: '%', paint: yellow},
	{glyph: '#', paint: red}, {glyph: '@', paint: red}, {glyph: 'M', paint: purple},
}

// Map draws a map, each band with a character of its own. A character stands
// for the largest value in its cell, so that no peak is lost however small the
// drawing; the largest of all is marked X and written under it with its place.
//
// It panics where the view has no size, rows of unequal length, more than 8
// levels, or levels that do not ascend.
func Map(v MapView, o Options) string {
	v.check()
	f := newFrame(v.Lo, v.Hi, o.width()-gutter)
	g := newGrid(f.w, f.h)
	for n, m := range v.worst(f) {
		if !math.IsNaN(m) {
			c := v.cell(v.band(m))
			g.put(n%f.w, n/f.w, c.glyph, 1, c.paint)
		}
	}
	best, place, found := v.largest()
	if found {
		col, row := f.cellAt(place)
		g.put(col, row, 'X', 2, red)
	}
	var b strings.Builder
	wrap(&b, o.width(), v.Title+", in "+v.Unit+";", []string{f.size()})
	g.write(&b, f, o, labelRows(f), []float64{v.Lo.X, 0, v.Hi.X})
	wrap(&b, o.width(), "key:", v.key())
	if !found {
		b.WriteString("nothing on the face\n")
		return b.String()
	}
	fmt.Fprintf(&b, "X largest: %s %s at X %s Y %s\n", measure.FormatFixed(best, v.Digits+1), v.Unit, number(place.X), number(place.Y))
	return b.String()
}

func (v MapView) check() {
	size := Point{v.Hi.X - v.Lo.X, v.Hi.Y - v.Lo.Y}
	if len(v.Values) == 0 || len(v.Values[0]) == 0 || !(size.X > 0) || !(size.Y > 0) || !size.finite() {
		panic("draw: a map without size")
	}
	for _, row := range v.Values {
		if len(row) != len(v.Values[0]) {
			panic("draw: a map with rows of unequal length")
		}
	}
	if len(v.Levels) == 0 || len(v.Levels) >= len(bands) {
		panic("draw: a map needs 1 to 8 levels")
	}
	for i := 1; i < len(v.Levels); i++ {
		if !(v.Levels[i] > v.Levels[i-1]) {
			panic("draw: levels that do not ascend")
		}
	}
}

// band returns which band m is in: a level itself belongs to the band below it.
func (v MapView) band(m float64) int {
	n := 0
	for n < len(v.Levels) && m > v.Levels[n] {
		n++
	}
	return n
}

func (v MapView) cell(band int) cell {
	if band < len(v.Levels) && v.Levels[band] <= 0 {
		return cell{glyph: 'v', paint: purple}
	}
	below := 0 // bands under zero share one character
	for _, l := range v.Levels {
		if l <= 0 {
			below++
		}
	}
	return bands[band-below]
}

// key says what each character stands for. Bands under zero are one.
func (v MapView) key() []string {
	text := func(x float64) string { return measure.FormatFixed(x, v.Digits) }
	var key []string
	last := ""
	for n := 0; n <= len(v.Levels); n++ {
		glyph := string(v.cell(n).glyph)
		var item string
		switch {
		case n == len(v.Levels):
			item = glyph + " over " + text(v.Levels[n-1])
		case n == 0 || glyph == "v":
			item = glyph + " to " + text(v.Levels[n])
		default:
			item = glyph + " " + text(v.Levels[n-1]) + " to " + text(v.Levels[n])
		}
		if glyph == last {
			key = key[:len(key)-1]
		}
		key, last = append(key, item), glyph
	}
	return key
}

// middle returns the middle of the place in column i, row j.
func (v MapView) middle(i, j int) Point {
	return Point{
		v.Lo.X + (v.Hi.X-v.Lo.X)*(float64(i)+0.5)/float64(len(v.Values[0])),
		v.Lo.Y + (v.Hi.Y-v.Lo.Y)*(float64(j)+0.5)/float64(len(v.Values)),
	}
}

// worst returns the largest value of the places in each cell of the frame; a
// cell without a place takes that of the place that its middle is in.
func (v MapView) worst(f frame) []float64 {
	cells := make([]float64, f.w*f.h)
	had := make([]bool, f.w*f.h)
	for i := range cells {
		cells[i] = math.NaN()
	}
	for j, row := range v.Values {
		for i, m := range row {
			col, r := f.cellAt(v.middle(i, j))
			if col < 0 || col >= f.w || r < 0 || r >= f.h {
				continue
			}
			n := r*f.w + col
			had[n] = true
			if !math.IsNaN(m) && !(m <= cells[n]) {
				cells[n] = m
			}
		}
	}
	for n := range cells {
		if had[n] {
			continue
		}
		x := f.left + (float64(n%f.w)+0.5)*f.perCol
		y := f.top - (float64(n/f.w)+0.5)*f.perRow
		i := int(math.Floor((x - v.Lo.X) / (v.Hi.X - v.Lo.X) * float64(len(v.Values[0]))))
		j := int(math.Floor((y - v.Lo.Y) / (v.Hi.Y - v.Lo.Y) * float64(len(v.Values))))
		if i >= 0 && i < len(v.Values[0]) && j >= 0 && j < len(v.Values) {
			cells[n] = v.Values[j][i]
		}
	}
	return cells
}

// largest returns the largest value and its place; of equals the first, from
// below and from the left.
func (v MapView) largest() (best float64, place Point, found bool) {
	for j, row := range v.Values {
		for i, m := range row {
			if !math.IsNaN(m) && (!found || m > best) {
				best, place, found = m, v.middle(i, j), true
			}
		}
	}
	return best, place, found
}

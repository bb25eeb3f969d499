package picture

import "math"

// Shade is a field of values over a box of the paper, each shown by its tone: a dot that
// is the larger, or a character that is the denser, the larger the value is.
type Shade struct {
	Lo, Hi  Point       // the box's corners
	Values  [][]float64 // the uppermost row first, all of one length; NaN: nothing is there
	Levels  []float64   // where one tone ends and the next begins, ascending; a level belongs to the tone below
	Over    int         // the first tone above what is allowed: hollow squares; 0 for none
	Bare    bool        // is the lowest tone left white?
	Missing float64     // below it, where it is less than zero, something is missing: a small x, as a character v
}

// Tone returns the tone of a value, -1 for what is missing.
func (s Shade) Tone(v float64) int {
	if s.Missing < 0 && v < s.Missing {
		return -1
	}
	n := 0
	for n < len(s.Levels) && v > s.Levels[n] {
		n++
	}
	return n
}

// pitch is how far the dots of a shade stand apart, mm, so that those of seven sizes are
// told apart.
const pitch = 1.6

// Shade lays a field of values on the paper.
func (f *Figure) Shade(s Shade) {
	if len(s.Values) == 0 || len(s.Values[0]) == 0 || !(s.Hi.X > s.Lo.X) || !(s.Hi.Y > s.Lo.Y) || len(finite([]Point{s.Lo, s.Hi})) < 2 {
		return
	}
	m := mark{kind: shade, shade: &s}
	wide, high := s.Hi.X-s.Lo.X, s.Hi.Y-s.Lo.Y
	cols, rows := max(1, int(math.Round(wide/pitch))), max(1, int(math.Round(high/pitch)))
	bands := make([][]Point, len(s.Levels)+1)
	var missing [][]Point
	for j, row := range s.shrink(cols, rows) {
		for i, v := range row {
			p := Point{X: s.Lo.X + (float64(i)+0.5)*wide/float64(cols), Y: s.Lo.Y + (float64(j)+0.5)*high/float64(rows)}
			switch k := s.Tone(v); {
			case math.IsNaN(v):
			case k < 0:
				const d = 0.3 * pitch
				missing = append(missing, []Point{{X: p.X - d, Y: p.Y - d}, {X: p.X + d, Y: p.Y + d}}, []Point{{X: p.X - d, Y: p.Y + d}, {X: p.X + d, Y: p.Y - d}})
			default:
				bands[k] = append(bands[k], p)
			}
		}
	}
	for k, at := range bands {
		if len(at) > 0 && !(k == 0 && s.Bare) {
			m.parts = append(m.parts, s.band(k, at))
		}
	}
	if missing != nil {
		m.parts = append(m.parts, mark{kind: line, pen: Medium, points: missing})
	}
	f.marks = append(f.marks, m)
}

// band draws the places of one tone. The dots' areas grow evenly, and the widest nearly
// touch.
func (s Shade) band(k int, at []Point) mark {
	size := pitch * 0.95 * math.Sqrt((float64(k)+0.35)/(float64(len(s.Levels)+1)-0.65))
	if s.Over == 0 || k < s.Over {
		return mark{kind: dots, points: [][]Point{at}, size: size}
	}
	h := 0.42 * size
	m := mark{kind: line, pen: Pen{Width: 0.25}}
	for _, p := range at {
		m.points = append(m.points, []Point{{X: p.X - h, Y: p.Y - h}, {X: p.X + h, Y: p.Y - h}, {X: p.X + h, Y: p.Y + h}, {X: p.X - h, Y: p.Y + h}, {X: p.X - h, Y: p.Y - h}})
	}
	return m
}

// Counts returns how many places of the paper each tone has, and how many miss
// something.
func (s Shade) Counts() (tones []int, missing int) {
	tones = make([]int, len(s.Levels)+1)
	cols, rows := max(1, int(math.Round((s.Hi.X-s.Lo.X)/pitch))), max(1, int(math.Round((s.Hi.Y-s.Lo.Y)/pitch)))
	for _, row := range s.shrink(cols, rows) {
		for _, v := range row {
			if k := s.Tone(v); math.IsNaN(v) {
				continue
			} else if k < 0 {
				missing++
			} else {
				tones[k]++
			}
		}
	}
	return tones, missing
}

// KeyOfTone is the key of a tone of a shade, -1 for what is missing.
func (s Shade) KeyOfTone(k int, words string) Key {
	v := s.Missing - 1
	switch {
	case k >= 0 && k < len(s.Levels):
		v = s.Levels[k]
	case k >= 0:
		v = math.Inf(1)
	}
	return Key{words, func(f *Figure, at Point) {
		sign := s
		sign.Lo, sign.Hi = Point{X: at.X, Y: at.Y - pitch/2}, Point{X: at.X + 3*pitch, Y: at.Y + pitch/2}
		sign.Values = [][]float64{{v, v, v}}
		f.Shade(sign)
	}}
}

// shrink returns the largest values of the field in fewer places, or those nearest in
// more; what is missing goes before what is left. NaN where there is none.
func (s Shade) shrink(cols, rows int) [][]float64 {
	out := make([][]float64, rows)
	for r := range out {
		out[r] = make([]float64, cols)
		j0, j1 := part(r, rows, len(s.Values))
		for c := range out[r] {
			most := math.NaN()
			i0, i1 := part(c, cols, len(s.Values[0]))
			for _, row := range s.Values[j0:j1] {
				for _, v := range row[min(i0, len(row)):min(i1, len(row))] {
					switch lacks := s.Missing < 0 && most < s.Missing; {
					case math.IsNaN(v) || lacks && !(v < most):
					case s.Missing < 0 && v < s.Missing, !(v <= most):
						most = v
					}
				}
			}
			out[r][c] = most
		}
	}
	return out
}

// part returns which of n places fall into the k-th of some cells, at least one.
func part(k, cells, n int) (from, to int) {
	from = k * n / cells
	return from, max(from+1, (k+1)*n/cells)
}

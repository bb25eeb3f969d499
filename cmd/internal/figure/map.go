package figure

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/picture"
	"dishwright/dish/measure"
)

// Map draws what is left: a dot in each place, the larger the more, above what is allowed
// a hollow square; what is missing is a small x, and the largest of all is ringed. Of the
// values that fall into one place the largest counts.
func Map(v MapView, title string, size Size) *Figure {
	f := newPaper(size.Width, 0, title)
	v = v.cropped()
	keys := func(fr frame) []picture.Key { return v.keys(fr) }
	at := f.lay(v.Lo, v.Hi, size, keys)
	f.Height = at.bottom
	f.Shade(v.shade(at.frame))
	if !v.Silent {
		f.largest(at.frame, v)
	}
	if c := v.Cutter; c != nil {
		f.Circle(picture.Turning, at.p(Point{X: c.X, Y: c.Y}), c.Radius*at.sx)
	}
	tones, missing := v.shade(at.frame).Counts()
	f.About = "A map of the face from above, X to the right and Y up: "
	for k, n := range tones {
		f.About += fmt.Sprintf("%s in %s; ", v.name(k), measure.Count(n, "place"))
	}
	if missing > 0 {
		f.About += fmt.Sprintf("missing in %s; ", measure.Count(missing, "place"))
	}
	f.About += v.note() + "."
	return f.Figure
}

// lacking is what is taken for missing, mm: twice what the proof allows for the
// roundings of a program's numbers.
const lacking = 0.002

// shade is the map as a field of tones on the paper.
func (v MapView) shade(fr frame) picture.Shade {
	s := picture.Shade{Lo: fr.p(Point{X: v.Lo.X, Y: v.Hi.Y}), Hi: fr.p(Point{X: v.Hi.X, Y: v.Lo.Y}), Values: v.Values, Levels: v.Levels, Bare: v.Bare, Missing: -lacking}
	for s.Over < len(v.Levels) && (s.Over == 0 || v.Levels[s.Over-1] < v.Allowed*(1-1e-9)) {
		s.Over++
	}
	if !(v.Allowed > 0) {
		s.Over = 0
	}
	return s
}

// name says which values a tone stands for.
func (v MapView) name(k int) string {
	level := func(k int) string { return v.Ruler.Length(v.Levels[k], v.Digits) }
	switch {
	case k == 0:
		return "up to " + level(0)
	case k == len(v.Levels):
		return "over " + level(k-1)
	}
	return "to " + level(k)
}

// keys are what the tones stand for; of those above what is allowed only those that are
// met.
func (v MapView) keys(fr frame) (list []picture.Key) {
	s := v.shade(fr)
	tones, missing := s.Counts()
	if v.What != "" {
		list = append(list, picture.Key{Words: v.What})
	}
	for k, n := range tones {
		if s.Over > 0 && k >= s.Over && n == 0 || k == 0 && v.Bare {
			continue
		}
		words := v.name(k)
		if s.Over > 0 && k == s.Over-1 {
			words += ", allowed"
		}
		list = append(list, s.KeyOfTone(k, words))
	}
	if missing > 0 {
		list = append(list, s.KeyOfTone(-1, "wood is missing"))
	}
	if _, _, ok := v.most(); !ok || v.Silent {
		return list
	}
	return append(list, picture.Key{Words: v.note(), Draw: func(f *Figure, at Point) { f.Circle(picture.Ringed, Point{X: at.X + 2.5, Y: at.Y}, 1.5) }})
}

// note says what the most is and where.
func (v MapView) note() string {
	most, at, ok := v.most()
	if !ok {
		return "nothing on the face"
	}
	return fmt.Sprintf("most left: %s at X %s Y %s", v.Ruler.Length(most, v.Digits+1), v.Ruler.Length(at.X, 1), v.Ruler.Length(at.Y, 1))
}

// largest rings the largest value.
func (f paper) largest(fr frame, v MapView) {
	if _, at, ok := v.most(); ok {
		f.Circle(picture.Ringed, fr.p(at), 2.5)
	}
}

// most returns the largest value and its place; of equals the first, from above and from
// the left.
func (v MapView) most() (most float64, at Point, found bool) {
	for j, row := range v.Values {
		for i, m := range row {
			if !math.IsNaN(m) && (!found || m > most) {
				most, found = m, true
				at = Point{X: v.Lo.X + (v.Hi.X-v.Lo.X)*(float64(i)+0.5)/float64(len(row)), Y: v.Hi.Y - (v.Hi.Y-v.Lo.Y)*(float64(j)+0.5)/float64(len(v.Values))}
			}
		}
	}
	return most, at, found
}

// cropped leaves out what lies beside the face: a board is a strip of it.
func (v MapView) cropped() MapView {
	rows := len(v.Values)
	if rows == 0 || len(v.Values[0]) == 0 {
		return v
	}
	cols := len(v.Values[0])
	i0, i1, j0, j1 := cols, -1, rows, -1
	for j, row := range v.Values {
		for i, m := range row {
			if !math.IsNaN(m) {
				i0, i1, j0, j1 = min(i0, i), max(i1, i), min(j0, j), max(j1, j)
			}
		}
	}
	if i1 < i0 {
		return v
	}
	out := v
	out.Values = nil
	for _, row := range v.Values[j0 : j1+1] {
		out.Values = append(out.Values, row[i0:i1+1])
	}
	w, h := (v.Hi.X-v.Lo.X)/float64(cols), (v.Hi.Y-v.Lo.Y)/float64(rows)
	out.Lo = Point{X: v.Lo.X + w*float64(i0), Y: v.Hi.Y - h*float64(j1+1)}
	out.Hi = Point{X: v.Lo.X + w*float64(i1+1), Y: v.Hi.Y - h*float64(j0)}
	return out
}

package pattern

import (
	"fmt"
	"sort"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cmd/internal/picture"
	"dishwright/dish/measure"
)

// sheet is one page in the making.
type sheet struct {
	layout
	*picture.Figure
	c, r int
}

// sheet draws the sheet of a column and a row.
func (l layout) sheet(c, r int) []byte {
	n, total := r*l.columns+c+1, l.columns*l.rows
	number := fmt.Sprintf(", sheet %d of %d", n, total)
	s := &sheet{layout: l, Figure: picture.New(l.paper.Width, l.paper.Height, l.p.Name+number), c: c, r: r}
	pieces := "on one sheet"
	if total > 1 {
		pieces = fmt.Sprintf("in %d sheets that overlap by %s where the numbered crosses lie on each other", total, l.p.Ruler.Length(overlap, 1))
	}
	unit := "millimetres"
	if l.p.Ruler.Inches {
		unit = "inches"
	}
	s.Exact, s.About = true, "A side unrolled flat at true size, in "+unit+", "+pieces+". "+strings.Join(l.p.Notes, " ")
	s.heading(number + ": print at 100 %, without fitting to the page")
	s.bars()
	s.key()
	s.crosses()
	s.edges()
	s.ends()
	s.ticks()
	s.marks()
	return s.SVG("s", true)
}

// text writes texts at the first of the spots where they have room, if any.
func (s *sheet) text(texts []string, spots ...picture.Spot) { s.Place(margin, texts, spots...) }

// heading writes the side's name, as much of it as there is room for before the
// number of the sheet and what to print it at, and the notes.
func (s *sheet) heading(number string) {
	room := s.paper.Width - 2*margin
	name := picture.Shortened(s.p.Name, room-picture.TextWidth(number))
	s.text([]string{name + number}, picture.Spot{At: r2.Vec{X: margin, Y: margin + 4}})
	if notes := strings.Join(s.p.Notes, " "); notes != "" {
		s.text([]string{picture.Shortened(notes, room)}, picture.Spot{At: r2.Vec{X: margin, Y: margin + 9}})
	}
}

// corner returns the upper left corner of what the sheet shows.
func (s *sheet) corner() r2.Vec {
	return r2.Vec{X: s.left + float64(float64(s.c)*(s.wide-overlap)), Y: s.top - float64(float64(s.r)*(s.high-overlap))}
}

// on returns a place of the side on the sheet.
func (s *sheet) on(v r2.Vec) r2.Vec {
	c := s.corner()
	return r2.Vec{X: margin + v.X - c.X, Y: margin + heading + c.Y - v.Y}
}

// shows reports whether a place lies on the sheet.
func (s *sheet) shows(v r2.Vec) bool {
	c := s.corner()
	return v.X >= c.X && v.X <= c.X+s.wide && v.Y <= c.Y && v.Y >= c.Y-s.high
}

// line draws what of a run of points lies on the sheet.
func (s *sheet) line(pen picture.Pen, points []r2.Vec) {
	c := s.corner()
	box := r2.Box{Min: r2.Vec{X: c.X, Y: c.Y - s.high}, Max: r2.Vec{X: c.X + s.wide, Y: c.Y}}
	var run []r2.Vec
	flush := func() {
		s.Line(pen, run...)
		run = nil
	}
	for i := 1; i < len(points); i++ {
		a, b, ok := picture.Clip(points[i-1], points[i], box)
		if !ok {
			flush()
			continue
		}
		if a = s.on(a); len(run) == 0 || run[len(run)-1] != a {
			flush()
			run = append(run, a)
		}
		run = append(run, s.on(b))
	}
	flush()
}

// The pens: a finished line is drawn through, a line to cut to is dashed.
func finished(class string) picture.Pen { return picture.Pen{Width: 0.35, Class: class} }
func cutTo(class string) picture.Pen {
	return picture.Pen{Width: 0.25, Dash: []float64{4, 2}, Class: class}
}

var (
	register = picture.Pen{Width: 0.12, Class: "register"}
	tick     = picture.Pen{Width: 0.12, Class: "tick"}
	dotted   = picture.Pen{Width: 0.12, Dash: []float64{0.5, 1.5}, Class: "mark"}
)

// edges draws the two edges, and the lines to cut to.
func (s *sheet) edges() {
	upper, lower := s.part(s.p.Upper), s.part(s.p.Lower)
	s.line(finished("upper"), upper)
	s.line(finished("lower"), lower)
	if s.p.Allowance > 0 {
		s.line(cutTo("cut-upper"), raised(upper, s.p.Allowance))
		s.line(cutTo("cut-lower"), raised(lower, -s.p.Allowance))
	}
	for i, line := range s.p.Saw {
		if line != nil {
			s.line(cutTo([...]string{"saw-upper", "saw-lower"}[i]), s.part(line))
		}
	}
}

// key says what the lines along the side are, beside the measuring bars.
func (s *sheet) key() {
	cut := ""
	switch {
	case s.p.Saw[0] != nil || s.p.Saw[1] != nil:
		cut = "saw or plane to here, then sand"
	case s.p.Allowance > 0:
		cut = "cut to here, then sand"
	}
	x, y := margin+165, s.paper.Height-margin-3
	for i, words := range [...]string{"finished edge", cut} {
		if words == "" {
			continue
		}
		at := r2.Vec{X: x, Y: y - float64(float64(1-i)*1.5*picture.Line)}
		if at.X+14+picture.TextWidth(words) > s.paper.Width-margin {
			continue // a paper of one's own may be narrower than those that printers take
		}
		s.Line([...]picture.Pen{finished("key"), cutTo("key-cut")}[i], at, r2.Vec{X: at.X + 12, Y: at.Y})
		s.text([]string{words}, picture.Spot{At: r2.Vec{X: at.X + 14, Y: at.Y + 1}})
	}
}

// part returns the points of an edge that lie along the sheet, and one more at either
// end, so that many sheets take no longer than one.
func (s *sheet) part(edge []r2.Vec) []r2.Vec {
	left := s.corner().X
	from := sort.Search(len(edge), func(i int) bool { return edge[i].X >= left })
	to := sort.Search(len(edge), func(i int) bool { return edge[i].X > left+s.wide })
	return edge[max(0, from-1):min(len(edge), to+1)]
}

func raised(edge []r2.Vec, by float64) []r2.Vec {
	out := make([]r2.Vec, len(edge))
	for i, v := range edge {
		out[i] = r2.Vec{X: v.X, Y: v.Y + by}
	}
	return out
}

// ends draws the finished ends, and the lines to saw at.
func (s *sheet) ends() {
	for i, u := range [...]float64{s.first, s.last} {
		up, low := s.heights(u)
		s.line(finished("end"), []r2.Vec{{X: u, Y: up}, {X: u, Y: low}})
		trim, beyond := s.p.TrimTail, -s.p.TrimTail
		if i == 1 {
			trim, beyond = s.p.TrimHead, s.p.TrimHead
		}
		if trim > 0 {
			s.line(cutTo("cut-end"), []r2.Vec{{X: u + beyond, Y: up + s.p.Allowance}, {X: u + beyond, Y: low - s.p.Allowance}})
		}
	}
}

// heights returns the two edges' heights at u.
func (s *sheet) heights(u float64) (up, low float64) { return at(s.p.Upper, u), at(s.p.Lower, u) }

// at returns an edge's height at u; before its first point and behind its last one
// the height there.
func at(edge []r2.Vec, u float64) float64 {
	i := sort.Search(len(edge), func(i int) bool { return edge[i].X >= u })
	if i == len(edge) {
		return edge[i-1].Y
	}
	if i == 0 || edge[i].X == u {
		return edge[i].Y
	}
	a, b := edge[i-1], edge[i]
	return a.Y + float64((b.Y-a.Y)*((u-a.X)/(b.X-a.X)))
}

// tickEvery is how far the ticks stand apart, mm: a step of the builder's rule.
func tickEvery(u measure.Ruler) float64 {
	if u.Inches {
		return 2 * measure.Inch.MM()
	}
	return 50
}

// ticks draws a tick every 50 mm, or every 2 in, from the tail, with the width that the finished side has there.
func (s *sheet) ticks() {
	u := s.p.Ruler
	every := tickEvery(u)
	for k := 0; ; k++ {
		along := float64(float64(k) * every)
		if along > s.last-s.first {
			return
		}
		x := s.first + along
		if s.p.Mirrored {
			x = s.last - along
		}
		up, low := s.heights(x)
		s.line(tick, []r2.Vec{{X: x, Y: up}, {X: x, Y: up - 3}})
		s.line(tick, []r2.Vec{{X: x, Y: low}, {X: x, Y: low + 3}})
		s.under(r2.Vec{X: x, Y: up - 6}, u.Length(along, 3)+": "+s.width(x))
	}
}

// width is the width of the finished side at u, which a gauge is set to.
func (s *sheet) width(u float64) string {
	up, low := s.heights(u)
	return "side " + s.p.Ruler.Length(up-low, 2)
}

// under writes a text under the upper edge's tick; near an end of the side, where that line
// would run through it, and near the margins, beside it; and further inward, in steps,
// where a cross is.
func (s *sheet) under(v r2.Vec, text string) {
	if !s.shows(v) {
		return
	}
	half := picture.TextWidth(text) / 2
	clear := v.X-half > s.first && v.X+half < s.last
	var spots []picture.Spot
	for p, k := s.on(v), 0; k < 5; p.Y, k = p.Y+picture.Line, k+1 {
		if clear {
			spots = append(spots, picture.Spot{Anchor: picture.Middle, At: p})
		}
		spots = append(spots, beside(p)...)
	}
	s.text([]string{text}, spots...)
}

// beside returns the spots at the right and at the left of a place.
func beside(p r2.Vec) []picture.Spot {
	return []picture.Spot{{Anchor: picture.Start, At: r2.Vec{X: p.X + 1, Y: p.Y}}, {Anchor: picture.End, At: r2.Vec{X: p.X - 1, Y: p.Y}}}
}

// longestName of a place that is written out, mm.
const longestName = 60.0

// marks draws the named places, with their names and the side's width there half way down the side
// or, where other texts are, above and below that.
func (s *sheet) marks() {
	for _, m := range s.p.Marks {
		up, low := s.heights(m.U)
		s.line(dotted, []r2.Vec{{X: m.U, Y: up}, {X: m.U, Y: low}})
		var spots []picture.Spot
		for _, off := range [...]float64{0, 1, -1, 2, -2, 3, -3} {
			if v := (r2.Vec{X: m.U, Y: (up+low)/2 + 2 + float64(off*2.5*picture.Line)}); s.shows(v) {
				spots = append(spots, beside(s.on(v))...)
			}
		}
		s.text([]string{picture.Shortened(m.Name, longestName), s.p.Ruler.Length(s.along(m.U), 2), s.width(m.U)}, spots...)
	}
}

// crosses draws the register marks: the middle of each overlap, near both of its
// ends, with a number that is the same on the two sheets.
func (s *sheet) crosses() {
	c := s.corner()
	cross := func(v r2.Vec, name string) {
		const arm = 4.0
		s.line(register, []r2.Vec{{X: v.X - arm, Y: v.Y}, {X: v.X + arm, Y: v.Y}})
		s.line(register, []r2.Vec{{X: v.X, Y: v.Y - arm}, {X: v.X, Y: v.Y + arm}})
		p := s.on(v)
		s.Take(r2.Box{Min: r2.Vec{X: p.X - arm, Y: p.Y - arm}, Max: r2.Vec{X: p.X + arm, Y: p.Y + arm}})
		p.Y += 7
		// From 10.10a on a name is wider than the overlap.
		s.text([]string{name}, picture.Spot{Anchor: picture.Middle, At: p}, picture.Spot{Anchor: picture.Start, At: r2.Vec{X: p.X - arm, Y: p.Y}}, picture.Spot{Anchor: picture.End, At: r2.Vec{X: p.X + arm, Y: p.Y}})
	}
	for side := range 2 {
		if col := s.c - 1 + side; col >= 0 && col < s.columns-1 {
			u := s.left + float64(float64(col+1)*(s.wide-overlap)) + overlap/2
			for i, z := range [...]float64{c.Y - 8, c.Y - s.high + 8} {
				cross(r2.Vec{X: u, Y: z}, fmt.Sprintf("%d.%d%c", col+1, s.r+1, "ab"[i]))
			}
		}
		if row := s.r - 1 + side; row >= 0 && row < s.rows-1 {
			z := s.top - float64(float64(row+1)*(s.high-overlap)) - overlap/2
			for i, u := range [...]float64{c.X + 20, c.X + s.wide - 20} {
				cross(r2.Vec{X: u, Y: z}, fmt.Sprintf("%d.%d%c", s.c+1, row+1, "cd"[i]))
			}
		}
	}
}

// bars draws the measuring bars.
func (s *sheet) bars() {
	y := s.paper.Height - margin - 3
	for i, long := range [...]float64{50, 50.8} {
		x := margin + 10 + float64(float64(i)*90)
		s.Line(finished("bar"), r2.Vec{X: x, Y: y}, r2.Vec{X: x + long, Y: y})
		for _, end := range [...]float64{x, x + long} {
			s.Line(finished("bar-end"), r2.Vec{X: end, Y: y - 2}, r2.Vec{X: end, Y: y + 2})
		}
		s.text([]string{[...]string{"50 mm: measure it on the print", "2 in"}[i]}, picture.Spot{At: r2.Vec{X: x, Y: y - 3}})
	}
}

package pattern

import (
	"fmt"
	"sort"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish/measure"
)

// sheet is one page in the making.
type sheet struct {
	layout
	c, r  int
	b     strings.Builder
	taken []r2.Box // by texts and crosses
}

// sheet draws the sheet of a column and a row.
func (l layout) sheet(c, r int) []byte {
	s := &sheet{layout: l, c: c, r: r}
	n, total := r*l.columns+c+1, l.columns*l.rows
	pieces := "on one sheet"
	if total > 1 {
		pieces = fmt.Sprintf("in %d sheets that overlap by %s mm where the numbered crosses lie on each other", total, mm(overlap))
	}
	number := fmt.Sprintf(", sheet %d of %d", n, total)
	s.printf(`<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" font-family="sans-serif" font-size="%s" fill="none" stroke="black" stroke-width="0.25">`,
		mm(l.paper.Width), mm(l.paper.Height), mm(l.paper.Width), mm(l.paper.Height), mm(letter))
	s.printf(`<title>%s</title>`, escaped(l.p.Name+number))
	s.printf(`<desc>%s</desc>`, escaped("A side unrolled flat at true size, in millimetres, "+pieces+". "+strings.Join(l.p.Notes, " ")))
	s.heading(number + ": print at 100 %, without fitting to the page")
	s.bars()
	s.crosses()
	s.edges()
	s.ends()
	s.ticks()
	s.marks()
	s.printf(`</svg>`)
	return []byte(s.b.String())
}

func (s *sheet) printf(format string, args ...any) { fmt.Fprintf(&s.b, format+"\n", args...) }

// mm writes a number for a drawing: a micrometre is finer than any printer.
func mm(v float64) string { return measure.TrimZeros(measure.FormatFixed(v, 3)) }

// heading writes the side's name, as much of it as there is room for before the
// number of the sheet and what to print it at, and the notes.
func (s *sheet) heading(number string) {
	room := s.paper.Width - 2*margin
	name := shortened(s.p.Name, room-textWidth(number))
	s.text([]string{name + number}, spot{"start", r2.Vec{X: margin, Y: margin + 4}})
	if notes := strings.Join(s.p.Notes, " "); notes != "" {
		s.text([]string{shortened(notes, room)}, spot{"start", r2.Vec{X: margin, Y: margin + 9}})
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
func (s *sheet) line(class, style string, points []r2.Vec) {
	c := s.corner()
	box := r2.Box{Min: r2.Vec{X: c.X, Y: c.Y - s.high}, Max: r2.Vec{X: c.X + s.wide, Y: c.Y}}
	var run []r2.Vec
	flush := func() {
		if len(run) > 1 {
			var d strings.Builder
			for i, v := range run {
				p := s.on(v)
				fmt.Fprintf(&d, "%c%s %s", " M"[b2i(i == 0)], mm(p.X), mm(p.Y))
			}
			s.printf(`<path class="%s" d="%s"%s/>`, class, strings.TrimSpace(d.String()), style)
		}
		run = nil
	}
	for i := 1; i < len(points); i++ {
		a, b, ok := clip(points[i-1], points[i], box)
		if !ok {
			flush()
			continue
		}
		if len(run) == 0 || run[len(run)-1] != a {
			flush()
			run = append(run, a)
		}
		run = append(run, b)
	}
	flush()
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

// clip returns what of the line from a to b lies in the box (Liang and Barsky's
// way).
func clip(a, b r2.Vec, box r2.Box) (from, to r2.Vec, ok bool) {
	t0, t1 := 0.0, 1.0
	d := r2.Sub(b, a)
	for _, e := range [4][2]float64{{-d.X, a.X - box.Min.X}, {d.X, box.Max.X - a.X}, {-d.Y, a.Y - box.Min.Y}, {d.Y, box.Max.Y - a.Y}} {
		switch p, q := e[0], e[1]; {
		case p == 0 && q < 0:
			return a, b, false
		case p < 0:
			t0 = max(t0, q/p)
		case p > 0:
			t1 = min(t1, q/p)
		}
	}
	from, to = a, b
	if t0 > 0 {
		from = r2.Vec{X: a.X + float64(t0*d.X), Y: a.Y + float64(t0*d.Y)}
	}
	if t1 < 1 {
		to = r2.Vec{X: a.X + float64(t1*d.X), Y: a.Y + float64(t1*d.Y)}
	}
	return from, to, t0 < t1
}

// The styles of lines: a finished line is drawn through, a line to cut to is dashed.
const (
	finished = ` stroke-width="0.35"`
	cutTo    = ` stroke-width="0.25" stroke-dasharray="4 2"`
	thin     = ` stroke-width="0.12"`
	dotted   = ` stroke-width="0.12" stroke-dasharray="0.5 1.5"`
)

// edges draws the two edges, and the lines to cut to.
func (s *sheet) edges() {
	upper, lower := s.part(s.p.Upper), s.part(s.p.Lower)
	s.line("upper", finished, upper)
	s.line("lower", finished, lower)
	if s.p.Allowance > 0 {
		s.line("cut-upper", cutTo, raised(upper, s.p.Allowance))
		s.line("cut-lower", cutTo, raised(lower, -s.p.Allowance))
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
		s.line("end", finished, []r2.Vec{{X: u, Y: up}, {X: u, Y: low}})
		trim, beyond := s.p.TrimTail, -s.p.TrimTail
		if i == 1 {
			trim, beyond = s.p.TrimHead, s.p.TrimHead
		}
		if trim > 0 {
			s.line("cut-end", cutTo, []r2.Vec{{X: u + beyond, Y: up + s.p.Allowance}, {X: u + beyond, Y: low - s.p.Allowance}})
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

// tickEvery is how far the ticks stand apart, mm.
const tickEvery = 50.0

// ticks draws a tick every 50 mm from the tail, with the heights there.
func (s *sheet) ticks() {
	for k := 0; ; k++ {
		along := float64(float64(k) * tickEvery)
		if along > s.last-s.first {
			return
		}
		u := s.first + along
		if s.p.Mirrored {
			u = s.last - along
		}
		up, low := s.heights(u)
		s.line("tick", thin, []r2.Vec{{X: u, Y: up}, {X: u, Y: up - 3}})
		s.line("tick", thin, []r2.Vec{{X: u, Y: low}, {X: u, Y: low + 3}})
		s.height(r2.Vec{X: u, Y: up - 6}, fmt.Sprintf("%s: Z %s", mm(along), measure.FormatFixed(up, 2)), lineFeed)
		s.height(r2.Vec{X: u, Y: low + 4}, fmt.Sprintf("Z %s", measure.FormatFixed(low, 2)), -lineFeed)
	}
}

// height writes a height under its tick; near an end of the side, where that line
// would run through it, and near the margins, beside it; and further inward, in steps,
// where a cross is.
func (s *sheet) height(v r2.Vec, text string, step float64) {
	if !s.shows(v) {
		return
	}
	half := textWidth(text) / 2
	clear := v.X-half > s.first && v.X+half < s.last
	var spots []spot
	for p, k := s.on(v), 0; k < 5; p.Y, k = p.Y+step, k+1 {
		if clear {
			spots = append(spots, spot{"middle", p})
		}
		spots = append(spots, beside(p)...)
	}
	s.text([]string{text}, spots...)
}

// beside returns the spots at the right and at the left of a place.
func beside(p r2.Vec) []spot {
	return []spot{{"start", r2.Vec{X: p.X + 1, Y: p.Y}}, {"end", r2.Vec{X: p.X - 1, Y: p.Y}}}
}

// longestName of a place that is written out, mm.
const longestName = 60.0

// marks draws the named places, with their names half way down the side or, where
// other texts are, above and below that.
func (s *sheet) marks() {
	for _, m := range s.p.Marks {
		up, low := s.heights(m.U)
		s.line("mark", dotted, []r2.Vec{{X: m.U, Y: up}, {X: m.U, Y: low}})
		var spots []spot
		for _, off := range [...]float64{0, 1, -1, 2, -2, 3, -3} {
			if v := (r2.Vec{X: m.U, Y: (up+low)/2 + 2 + float64(off*2.5*lineFeed)}); s.shows(v) {
				spots = append(spots, beside(s.on(v))...)
			}
		}
		s.text([]string{shortened(m.Name, longestName), measure.TrimZeros(measure.FormatFixed(s.along(m.U), 2)) + " mm"}, spots...)
	}
}

// crosses draws the register marks: the middle of each overlap, near both of its
// ends, with a number that is the same on the two sheets.
func (s *sheet) crosses() {
	c := s.corner()
	cross := func(v r2.Vec, name string) {
		const arm = 4.0
		s.line("register", thin, []r2.Vec{{X: v.X - arm, Y: v.Y}, {X: v.X + arm, Y: v.Y}})
		s.line("register", thin, []r2.Vec{{X: v.X, Y: v.Y - arm}, {X: v.X, Y: v.Y + arm}})
		p := s.on(v)
		s.taken = append(s.taken, r2.Box{Min: r2.Vec{X: p.X - arm, Y: p.Y - arm}, Max: r2.Vec{X: p.X + arm, Y: p.Y + arm}})
		p.Y += 7
		// From 10.10a on a name is wider than the overlap.
		s.text([]string{name}, spot{"middle", p}, spot{"start", r2.Vec{X: p.X - arm, Y: p.Y}}, spot{"end", r2.Vec{X: p.X + arm, Y: p.Y}})
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
		s.printf(`<path class="bar" d="M%s %s L%s %s"%s/>`, mm(x), mm(y), mm(x+long), mm(y), finished)
		for _, end := range [...]float64{x, x + long} {
			s.printf(`<path class="bar-end" d="M%s %s L%s %s"%s/>`, mm(end), mm(y-2), mm(end), mm(y+2), finished)
		}
		s.text([]string{[...]string{"50 mm: measure it on the print", "2 in"}[i]}, spot{"start", r2.Vec{X: x, Y: y - 3}})
	}
}

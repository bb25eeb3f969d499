package pattern

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish/measure"
)

// sheet is one page in the making.
type sheet struct {
	layout
	c, r int
	b    strings.Builder
}

// sheet draws the sheet of a column and a row.
func (l layout) sheet(c, r int) []byte {
	s := &sheet{layout: l, c: c, r: r}
	n, total := r*l.columns+c+1, l.columns*l.rows
	title := fmt.Sprintf("%s, sheet %d of %d", l.p.Name, n, total)
	s.printf(`<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="0 0 %s %s" font-family="sans-serif" font-size="3.2" fill="none" stroke="black" stroke-width="0.25">`,
		mm(l.paper.Width), mm(l.paper.Height), mm(l.paper.Width), mm(l.paper.Height))
	s.printf(`<title>%s</title>`, escaped(title))
	s.printf(`<desc>%s</desc>`, escaped("A side unrolled flat at true size, in millimetres, in "+fmt.Sprint(total)+" sheets that overlap by 10 mm where the numbered crosses lie on each other. "+strings.Join(l.p.Notes, " ")))
	s.text(margin, margin+4, "start", title+": print at 100 %, without fitting to the page")
	s.text(margin, margin+9, "start", strings.Join(l.p.Notes, " "))
	s.edges()
	s.ends()
	s.ticks()
	s.marks()
	s.crosses()
	s.bars()
	s.printf(`</svg>`)
	return []byte(s.b.String())
}

func (s *sheet) printf(format string, args ...any) { fmt.Fprintf(&s.b, format+"\n", args...) }

// mm writes a number for a drawing: a micrometre is finer than any printer.
func mm(v float64) string { return measure.Trim(measure.FormatMM(v, 3)) }

func escaped(text string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(text)) // a buffer takes everything
	return b.String()
}

// corner returns the upper left corner of what the sheet shows.
func (s *sheet) corner() r2.Vec {
	return r2.Vec{X: s.left + float64(s.c)*(s.wide-overlap), Y: s.top - float64(s.r)*(s.high-overlap)}
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

// text writes a text; it is left out where it would begin outside the margins.
func (s *sheet) text(x, y float64, anchor, text string) {
	if text == "" || x < margin || x > s.paper.Width-margin || y < margin+2 || y > s.paper.Height-margin {
		return
	}
	// 2 mm a letter is wider than any of this size.
	room := s.paper.Width - margin - x
	if anchor == "middle" {
		room = 2 * math.Min(room, x-margin)
	}
	if most := int(room / 2); len([]rune(text)) > most {
		text = string([]rune(text)[:max(most, 0)])
	}
	s.printf(`<text x="%s" y="%s" text-anchor="%s" fill="black" stroke="none">%s</text>`, mm(x), mm(y), anchor, escaped(text))
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
			t0 = math.Max(t0, q/p)
		case p > 0:
			t1 = math.Min(t1, q/p)
		}
	}
	from, to = a, b
	if t0 > 0 {
		from = r2.Add(a, r2.Scale(t0, d))
	}
	if t1 < 1 {
		to = r2.Add(a, r2.Scale(t1, d))
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
	s.line("upper", finished, s.p.Upper)
	s.line("lower", finished, s.p.Lower)
	if s.p.Allowance > 0 {
		s.line("cut-upper", cutTo, raised(s.p.Upper, s.p.Allowance))
		s.line("cut-lower", cutTo, raised(s.p.Lower, -s.p.Allowance))
	}
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

// at returns an edge's height at u.
func at(edge []r2.Vec, u float64) float64 {
	for i := 1; i < len(edge); i++ {
		if a, b := edge[i-1], edge[i]; u <= b.X {
			if b.X == a.X {
				return b.Y
			}
			return a.Y + (b.Y-a.Y)*math.Max(0, (u-a.X)/(b.X-a.X))
		}
	}
	return edge[len(edge)-1].Y
}

// tickEvery is how far the ticks stand apart, mm.
const tickEvery = 50.0

// ticks draws a tick every 50 mm from the tail, with the heights there.
func (s *sheet) ticks() {
	for k := 0; ; k++ {
		along := float64(k) * tickEvery
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
		if v := (r2.Vec{X: u, Y: up - 6}); s.shows(v) {
			p := s.on(v)
			s.text(p.X, p.Y, "middle", fmt.Sprintf("%s: Z %s", mm(along), measure.FormatMM(up, 2)))
		}
		if v := (r2.Vec{X: u, Y: low + 4}); s.shows(v) {
			p := s.on(v)
			s.text(p.X, p.Y, "middle", fmt.Sprintf("Z %s", measure.FormatMM(low, 2)))
		}
	}
}

// marks draws the named places.
func (s *sheet) marks() {
	for _, m := range s.p.Marks {
		up, low := s.heights(m.U)
		s.line("mark", dotted, []r2.Vec{{X: m.U, Y: up}, {X: m.U, Y: low}})
		if v := (r2.Vec{X: m.U, Y: (up+low)/2 + 2}); s.shows(v) {
			p := s.on(v)
			s.text(p.X+1, p.Y, "start", m.Name)
		}
		if v := (r2.Vec{X: m.U, Y: (up+low)/2 - 2}); s.shows(v) {
			p := s.on(v)
			s.text(p.X+1, p.Y, "start", mm(math.Round(100*s.along(m.U))/100)+" mm")
		}
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
		s.text(p.X, p.Y+7, "middle", name)
	}
	for side := range 2 {
		if col := s.c - 1 + side; col >= 0 && col < s.columns-1 {
			u := s.left + float64(col+1)*(s.wide-overlap) + overlap/2
			for i, z := range [...]float64{c.Y - 8, c.Y - s.high + 8} {
				cross(r2.Vec{X: u, Y: z}, fmt.Sprintf("%d.%d%c", col+1, s.r+1, "ab"[i]))
			}
		}
		if row := s.r - 1 + side; row >= 0 && row < s.rows-1 {
			z := s.top - float64(row+1)*(s.high-overlap) - overlap/2
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
		x := margin + 10 + float64(i)*90
		s.printf(`<path class="bar" d="M%s %s L%s %s"%s/>`, mm(x), mm(y), mm(x+long), mm(y), finished)
		for _, end := range [...]float64{x, x + long} {
			s.printf(`<path class="bar-end" d="M%s %s L%s %s"%s/>`, mm(end), mm(y-2), mm(end), mm(y+2), finished)
		}
		s.text(x, y-3, "start", [...]string{"50 mm: measure it on the print", "2 in"}[i])
	}
}

package sketch

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// PathError is what is wrong with a path's data, at a byte of it.
type PathError struct {
	Offset        int
	Message, Hint string
}

func (e *PathError) Error() string { return fmt.Sprintf("at %d: %s", e.Offset, e.Message) }

// Subpath is one line of a path.
type Subpath struct {
	Closed bool
	start  r2.Vec
	pieces []curve
}

// parser reads path data by the grammar of [SVG].
type parser struct {
	text     string
	at       int
	out      []Subpath
	now      r2.Vec
	control  r2.Vec // the last control point, for S and T
	lastKind byte   // of the command before: C for C and S, Q for Q and T
	count    int
}

// Path reads the data of a path. Every path begins with M or m; what follows an
// error is not read, as [SVG] asks, and nothing is returned. The error is a
// *PathError.
func Path(d string) ([]Subpath, error) {
	p := &parser{text: d}
	for {
		p.blanks()
		if p.at == len(p.text) {
			break
		}
		if err := p.command(); err != nil {
			return nil, err
		}
	}
	var out []Subpath
	for _, s := range p.out {
		if len(s.pieces) > 0 {
			out = append(out, s)
		}
	}
	if len(out) == 0 {
		return nil, &PathError{0, "the path draws nothing", "such as M 0 0 L 100 0 L 100 50 Z"}
	}
	return out, nil
}

// blanks skips white space.
func (p *parser) blanks() {
	for p.at < len(p.text) && strings.IndexByte(" \t\n\f\r", p.text[p.at]) >= 0 {
		p.at++
	}
}

// comma skips white space with at most one comma in it.
func (p *parser) comma() {
	p.blanks()
	if p.at < len(p.text) && p.text[p.at] == ',' {
		p.at++
		p.blanks()
	}
}

func (p *parser) fail(hint, format string, args ...any) error {
	return &PathError{p.at, fmt.Sprintf(format, args...), hint}
}

// number reads a number: a sign, digits with a point, an exponent.
func (p *parser) number() (float64, error) {
	begin, digits := p.at, 0
	more := func() {
		for p.at < len(p.text) && p.text[p.at] >= '0' && p.text[p.at] <= '9' {
			p.at++
			digits++
		}
	}
	if p.at < len(p.text) && strings.IndexByte("+-", p.text[p.at]) >= 0 {
		p.at++
	}
	more()
	if p.at < len(p.text) && p.text[p.at] == '.' {
		p.at++
		more()
	}
	if digits == 0 {
		p.at = begin
		return 0, p.fail("numbers such as 12.5 or -3", "a number is missing")
	}
	if p.at < len(p.text) && strings.IndexByte("eE", p.text[p.at]) >= 0 {
		mark := p.at
		p.at++
		if p.at < len(p.text) && strings.IndexByte("+-", p.text[p.at]) >= 0 {
			p.at++
		}
		digits = 0
		if more(); digits == 0 {
			p.at = mark // an e that begins no exponent is no part of the number
		}
	}
	v, err := strconv.ParseFloat(p.text[begin:p.at], 64)
	// A thousand metres in micrometres is far more than any drawing has.
	if err != nil || math.Abs(v) > 1e9 {
		p.at = begin
		return 0, p.fail("numbers within a thousand million", "the number is too large")
	}
	return v, nil
}

// flag reads one digit, 0 or 1: it needs no separator.
func (p *parser) flag() (float64, error) {
	if p.at < len(p.text) && (p.text[p.at] == '0' || p.text[p.at] == '1') {
		p.at++
		return float64(p.text[p.at-1] - '0'), nil
	}
	return 0, p.fail("an arc is A rx ry turn large sweep x y; large and sweep are 0 or 1", "a flag of an arc is neither 0 nor 1")
}

// arguments are how many numbers each command takes.
var arguments = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

// command reads one command with all of its sets of numbers.
func (p *parser) command() error {
	letter := p.text[p.at]
	kind := letter &^ 0x20
	n, ok := arguments[kind]
	if !ok || letter < 'A' || letter > 'z' {
		return p.fail("the commands are M L H V C S Q T A Z, and in small letters for distances", "%q is no command of a path", rune(letter))
	}
	if len(p.out) == 0 && kind != 'M' {
		return p.fail("a path begins with M", "a path that does not begin with M")
	}
	p.at++
	if kind == 'Z' {
		p.close()
		return nil
	}
	relative := letter >= 'a'
	for set := 0; ; set++ {
		p.blanks()
		if set > 0 {
			p.comma()
		}
		if set > 0 && !p.numberAhead() {
			return nil
		}
		var v [7]float64
		for i := range n {
			if i > 0 {
				p.comma()
			}
			var err error
			if kind == 'A' && (i == 3 || i == 4) {
				v[i], err = p.flag()
			} else {
				v[i], err = p.number()
			}
			if err != nil {
				return err
			}
		}
		if p.count++; p.count > MostRows {
			return p.fail(fmt.Sprintf("at most %d pieces", MostRows), "the path is too long")
		}
		p.draw(kind, relative, v)
		if kind == 'M' {
			kind = 'L' // further pairs of a move are lines
		}
	}
}

// numberAhead reports whether a number may begin here.
func (p *parser) numberAhead() bool {
	return p.at < len(p.text) && strings.IndexByte("+-.0123456789", p.text[p.at]) >= 0
}

// last returns the subpath that is being drawn, a new one after a Z.
func (p *parser) last() *Subpath {
	s := &p.out[len(p.out)-1]
	if s.Closed {
		p.out = append(p.out, Subpath{start: p.now})
		s = &p.out[len(p.out)-1]
	}
	return s
}

// close ends the subpath with a line to its start.
func (p *parser) close() {
	s := p.last()
	if p.now != s.start {
		s.pieces = append(s.pieces, line(p.now, s.start))
	}
	s.Closed, p.now, p.lastKind = true, s.start, 'Z'
}

// draw carries out one set of numbers.
func (p *parser) draw(kind byte, relative bool, v [7]float64) {
	var from r2.Vec
	if relative {
		from = p.now
	}
	point := func(i int) r2.Vec { return r2.Add(from, r2.Vec{X: v[i], Y: v[i+1]}) }
	mirrored := func(of byte) r2.Vec { // the control point before, on the other side
		if p.lastKind == of {
			return r2.Sub(r2.Scale(2, p.now), p.control)
		}
		return p.now
	}
	add := func(to r2.Vec, c curve) {
		s := p.last()
		s.pieces = append(s.pieces, c)
		p.now = to
	}
	last := byte('L')
	switch kind {
	case 'M':
		p.now = point(0)
		p.out = append(p.out, Subpath{start: p.now})
	case 'L':
		add(point(0), line(p.now, point(0)))
	case 'H':
		to := r2.Vec{X: from.X + v[0], Y: p.now.Y}
		add(to, line(p.now, to))
	case 'V':
		to := r2.Vec{X: p.now.X, Y: from.Y + v[0]}
		add(to, line(p.now, to))
	case 'C':
		last, p.control = 'C', point(2)
		add(point(4), cubic(p.now, point(0), point(2), point(4)))
	case 'S':
		first := mirrored('C')
		last, p.control = 'C', point(0)
		add(point(2), cubic(p.now, first, point(0), point(2)))
	case 'Q':
		last, p.control = 'Q', point(0)
		add(point(2), quadratic(p.now, point(0), point(2)))
	case 'T':
		last, p.control = 'Q', mirrored('Q')
		add(point(0), quadratic(p.now, p.control, point(0)))
	case 'A':
		to := point(5)
		if c, ok := arc(p.now, to, v[0], v[1], v[2], v[3] == 1, v[4] == 1); ok {
			add(to, c)
		} else {
			add(to, line(p.now, to))
		}
	}
	p.lastKind = last
}

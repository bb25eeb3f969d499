package shop_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// point is X, Y, Z in mm in the face frame; NaN where a coordinate is not known yet.
type point [3]float64

// motion is one G0 to G3 as the text states it.
type motion struct {
	g        int // 0, 1, 2 or 3
	from, to point
	centre   point   // of an arc
	plane    int     // index of the axis normal to the arc
	feed     float64 // mm/min, 0 where none was ever given
}

// step is one thing that the machine does.
type step struct {
	what  string  // move, stop, spindle, speed, off, dwell, end, message
	value float64 // of speed and dwell
	text  string  // of a message
	line  int
	motion
}

// script is a program's text taken apart.
type script struct {
	steps  []step
	cutter string // named by the text's own line
}

// reader is the modal state of a machine that knows only what the project's
// own programs say. Whatever else stands in a text is an error.
type reader struct {
	script
	unit     float64
	rise     float64 // height of the program's zero in the face frame
	at       point
	mode     int
	plane    int
	feed     float64
	absolute bool
	line     int
}

// readScript takes the text of a program apart. rise is the height of its zero
// in the face frame, mm.
func readScript(text []byte, rise float64) (script, error) {
	r := reader{rise: rise, mode: -1, plane: -1, at: point{math.NaN(), math.NaN(), math.NaN()}}
	for i, line := range strings.Split(strings.TrimSuffix(string(text), "\n"), "\n") {
		r.line = i + 1
		if err := r.read(line); err != nil {
			return r.script, fmt.Errorf("line %d, %q: %w", r.line, line, err)
		}
	}
	return r.script, nil
}

// read carries out one line.
func (r *reader) read(line string) error {
	if strings.HasPrefix(line, "(") {
		note := strings.TrimSuffix(strings.TrimPrefix(line, "("), ")")
		if strings.ContainsAny(note, "()") || !strings.HasSuffix(line, ")") {
			return fmt.Errorf("not one comment")
		}
		if name, ok := strings.CutPrefix(note, "cutter: "); ok {
			r.cutter = name
		}
		if text, ok := strings.CutPrefix(note, "MSG,"); ok {
			r.add(step{what: "message", text: strings.TrimSpace(text)})
		}
		return nil
	}
	words := map[byte]float64{}
	var codes []string
	for _, w := range strings.Fields(line) {
		v, err := strconv.ParseFloat(w[1:], 64)
		if err != nil || strings.ContainsAny(w[1:], "eExXpPiInN_+") {
			return fmt.Errorf("%q is no number", w[1:])
		}
		if w[0] == 'G' || w[0] == 'M' {
			codes = append(codes, w)
			continue
		}
		if _, twice := words[w[0]]; twice || !strings.Contains("XYZIJKFSPQ", w[:1]) {
			return fmt.Errorf("the word %q", w)
		}
		words[w[0]] = v
	}
	return r.obey(codes, words)
}

func (r *reader) add(s step) {
	s.line = r.line
	r.steps = append(r.steps, s)
}

// obey carries out the codes and words of a line.
func (r *reader) obey(codes []string, words map[byte]float64) error {
	if f, ok := words['F']; ok {
		r.feed = f * r.unit
	}
	if s, ok := words['S']; ok {
		r.add(step{what: "speed", value: s})
	}
	p, hasP := words['P']
	_, hasQ := words['Q']
	for _, c := range codes {
		switch c {
		case "G0", "G1", "G2", "G3":
			r.mode = int(c[1] - '0')
		case "G4":
			r.add(step{what: "dwell", value: p})
			hasP = false
		case "G17":
			r.plane = 2
		case "G18":
			r.plane = 1
		case "G19":
			r.plane = 0
		case "G20":
			r.unit = 25.4
		case "G21":
			r.unit = 1
		case "G90":
			r.absolute = true
		case "G61", "G61.1", "G64":
			hasP, hasQ = false, false
		case "G40", "G94":
		case "M0":
			r.add(step{what: "stop"})
		case "M2":
			r.add(step{what: "end"})
		case "M3":
			r.add(step{what: "spindle"})
		case "M5":
			r.add(step{what: "off"})
		default:
			return fmt.Errorf("the code %s", c)
		}
	}
	if hasP || hasQ {
		return fmt.Errorf("a P or a Q that belongs to nothing")
	}
	return r.move(words)
}

// move makes the motion that the axis words ask for.
func (r *reader) move(words map[byte]float64) error {
	to, any := r.at, false
	for i, axis := range [...]byte{'X', 'Y', 'Z'} {
		if v, ok := words[axis]; ok {
			to[i], any = v*r.unit, true
			if axis == 'Z' {
				to[i] += r.rise
			}
		}
	}
	if !any {
		return nil
	}
	if r.mode < 0 || r.unit == 0 || !r.absolute || r.mode >= 2 && r.plane < 0 {
		return fmt.Errorf("a motion before its mode, unit, plane or distance mode is set")
	}
	m := motion{g: r.mode, from: r.at, to: to, plane: r.plane, feed: r.feed}
	if r.mode >= 2 {
		m.centre = r.at
		for i, axis := range [...]byte{'I', 'J', 'K'} {
			if v, ok := words[axis]; ok {
				if i == r.plane {
					return fmt.Errorf("%c lies outside the plane", axis)
				}
				m.centre[i] += v * r.unit
			}
		}
	}
	r.add(step{what: "move", motion: m})
	r.at = to
	return nil
}

// turned returns the signed angle of an arc, counter-clockwise positive as seen
// from the positive end of the normal, and its radii at both ends. The plane's
// axes are the two that follow its normal in the cycle X, Y, Z.
func (m motion) turned() (angle, r0, r1 float64) {
	a, b := (m.plane+1)%3, (m.plane+2)%3
	p, q := m.from[a]-m.centre[a], m.from[b]-m.centre[b]
	s, t := m.to[a]-m.centre[a], m.to[b]-m.centre[b]
	angle = math.Mod(math.Atan2(t, s)-math.Atan2(q, p)+4*math.Pi, 2*math.Pi) // counter-clockwise, 0 to a turn
	if angle == 0 {
		angle = 2 * math.Pi
	}
	if m.g == 2 {
		angle -= 2 * math.Pi
		if angle == 0 {
			angle = -2 * math.Pi
		}
	}
	return angle, math.Hypot(p, q), math.Hypot(s, t)
}

// place returns where the tip is after the share t of the motion.
func (m motion) place(t float64) point {
	var p point
	for i := range p {
		p[i] = m.from[i]*(1-t) + m.to[i]*t
	}
	if m.g < 2 || t == 0 || t == 1 {
		return p
	}
	angle, r0, r1 := m.turned()
	a, b := (m.plane+1)%3, (m.plane+2)%3
	start := math.Atan2(m.from[b]-m.centre[b], m.from[a]-m.centre[a])
	sin, cos := math.Sincos(start + angle*t)
	r := r0*(1-t) + r1*t
	p[a], p[b] = m.centre[a]+r*cos, m.centre[b]+r*sin
	return p
}

// long returns about how far the tip travels, mm.
func (m motion) long() float64 {
	straight := math.Sqrt(sqr(m.to[0]-m.from[0]) + sqr(m.to[1]-m.from[1]) + sqr(m.to[2]-m.from[2]))
	if m.g < 2 {
		return straight
	}
	angle, r0, _ := m.turned()
	return math.Max(straight, math.Abs(angle)*r0)
}

func sqr(x float64) float64 { return x * x }

// number reads a number that is known to be one.
func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic("number: " + s)
	}
	return v
}

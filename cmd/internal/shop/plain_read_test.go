package shop_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// plainly is the state of a controller that knows the smallest common language and
// nothing more: one thing a line, each in one way of writing it. It is written from the
// language's rules alone.
type plainly struct {
	says   spoken
	faults []string
	lines  []plainLine
	words  map[string]bool // that were met: G1, X, the line of the path mode

	at    [3]float64 // mm; NaN where not known
	feed  float64    // mm/min
	plane string     // as it was last selected
	idle  int        // the line of a plane word that no arc has used yet

	fastestCut float64 // mm/min
}

// plainLine is one line.
type plainLine struct {
	number  int
	comment string // what stands between the parentheses
	message string // what follows MSG,
	code    string // G0, M3, S, or the line of a path mode; empty for a comment
	value   float64
	moves   bool
	lost    bool // from a place that is not known
	from    [3]float64
	axes    string  // the axes that are named
	seconds float64 // that a cutting move takes at least
}

var (
	plainWord    = regexp.MustCompile(`^([A-Z])(-?(?:0|[1-9][0-9]{0,8})(?:\.([0-9]{1,6}))?)$`)
	plainComment = regexp.MustCompile(`^\(([^()]+)\)$`)
	plainSetting = []string{"G20", "G21", "G90", "G94"}
	// commands are what controllers are known to take for more than a remark, followed by
	// a comma or alone; from memory, and each told of by more than one maker.
	commands = regexp.MustCompile(`(?i)^\s*(?:(?:active|debug|print|log|msg|py|abort)\s*,|(?:logopen|logappend|logclose|probeopen|probeclose)\b)`)
)

// readPlainly reads a program in the words that a profile allows.
func readPlainly(text string, says spoken) *plainly {
	p := &plainly{says: says, words: map[string]bool{}, at: [3]float64{math.NaN(), math.NaN(), math.NaN()}}
	if !strings.HasSuffix(text, "\n") {
		p.fault(0, "the last line does not end")
	}
	for i, line := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		p.line(i+1, line)
	}
	if p.idle > 0 {
		p.fault(p.idle, "a plane without an arc")
	}
	return p
}

func (p *plainly) fault(line int, format string, args ...any) {
	p.faults = append(p.faults, fmt.Sprintf("line %d: ", line)+fmt.Sprintf(format, args...))
}

// line reads one line.
func (p *plainly) line(n int, line string) {
	l := plainLine{number: n}
	if len(line) > p.says.longest {
		p.fault(n, "%d characters, over %d", len(line), p.says.longest)
	}
	if strings.ContainsFunc(line, func(r rune) bool { return r < ' ' || r > '~' }) {
		p.fault(n, "not printable ASCII")
	}
	if strings.ContainsAny(line, ";%") && !strings.HasPrefix(line, "(") || strings.Contains(line, ";") {
		p.fault(n, "a semicolon or a percent sign")
	}
	switch {
	case strings.HasPrefix(line, "("):
		p.comment(&l, line)
	case p.says.mode != "" && line == p.says.mode:
		l.code = line
		p.words[line] = true
	default:
		p.block(&l, line)
	}
	p.lines = append(p.lines, l)
}

// comment reads a comment, which stands alone on its line.
func (p *plainly) comment(l *plainLine, line string) {
	m := plainComment.FindStringSubmatch(line)
	if m == nil || strings.TrimSpace(m[1]) != m[1] {
		p.fault(l.number, "not one comment: %s", line)
		return
	}
	l.comment = m[1]
	if text, ok := strings.CutPrefix(m[1], "MSG, "); ok {
		if l.message = text; strings.TrimSpace(text) != text || text == "" {
			p.fault(l.number, "an empty message")
		}
	} else if commands.MatchString(m[1]) {
		p.fault(l.number, "a comment that is a command: %s", line)
	}
}

// block reads a line of words.
func (p *plainly) block(l *plainLine, line string) {
	words := map[byte]float64{}
	var letters string
	for _, w := range strings.Split(line, " ") {
		m := plainWord.FindStringSubmatch(w)
		if m == nil || strings.HasPrefix(m[2], "-0") && !strings.ContainsAny(m[2], "123456789") {
			p.fault(l.number, "not a word: %q", w)
			return
		}
		letter := m[1]
		v, _ := strconv.ParseFloat(m[2], 64)
		if letter == "G" || letter == "M" {
			if l.code != "" {
				p.fault(l.number, "two codes on a line: %s", line)
			}
			l.code = w
			p.words[w] = true
			continue
		}
		if strings.Contains("XYZIJK", letter) && len(m[3]) > p.says.decimals {
			p.fault(l.number, "more than %d decimals: %s", p.says.decimals, w)
		}
		if strings.Contains(letters, letter) || !strings.Contains("XYZFSPIJK", letter) {
			p.fault(l.number, "the word %s", w)
		}
		letters += letter
		words[letter[0]] = v
		p.words[letter] = true
	}
	if l.code == "" && letters == "S" {
		l.code = "S"
	}
	p.obey(l, letters, words, line)
}

// obey carries out a line of words; letters are those besides its code.
func (p *plainly) obey(l *plainLine, letters string, words map[byte]float64, line string) {
	only := func(allowed string) {
		if strings.Trim(letters, allowed) != "" {
			p.fault(l.number, "words that do not belong to %s: %s", l.code, line)
		}
	}
	switch c := l.code; {
	case slices.Contains(plainSetting, c), slices.Contains([]string{"M0", "M2", "M3", "M5"}, c):
		only("")
	case slices.Contains([]string{"G17", "G18", "G19"}, c):
		only("")
		switch {
		case !p.says.arcs:
			p.fault(l.number, "a plane on a machine without arcs")
		case c == p.plane:
			p.fault(l.number, "the plane that is selected already")
		case p.idle > 0:
			p.fault(p.idle, "a plane without an arc")
		}
		p.plane, p.idle = c, l.number
	case c == "S":
		l.value = words['S']
		if v := l.value; v != math.Trunc(v) || v < p.says.slowest || v > p.says.fastest || p.says.byHand {
			p.fault(l.number, "a speed of %g", v)
		}
	case c == "G4":
		l.value = words['P']
		if only("P"); letters != "P" || p.says.dwell == "none" {
			p.fault(l.number, "a dwell: %s", line)
		}
		p.waits(l)
	case c == "G0" || c == "G1":
		only("XYZ" + map[string]string{"G1": "F"}[c])
		p.move(l, letters, words)
	case c == "G2" || c == "G3":
		if !p.says.arcs {
			p.fault(l.number, "an arc")
		}
		only("XYZIJKF")
		p.move(l, letters, words)
		p.arc(l, letters, words)
	default:
		p.fault(l.number, "not of the language: %s", line)
	}
}

// waits holds a dwell against the time that the spindle needs.
func (p *plainly) waits(l *plainLine) {
	s := l.value
	if p.says.dwell == "milliseconds" {
		if s /= 1000; l.value != math.Trunc(l.value) {
			p.fault(l.number, "a part of a millisecond")
		}
	}
	if !(s > 0) || !(s >= p.says.start-1e-9) || s > p.says.start+0.11 {
		p.fault(l.number, "a dwell of %g s where the spindle takes %g s", s, p.says.start)
	}
}

// move goes where a line tells.
func (p *plainly) move(l *plainLine, letters string, words map[byte]float64) {
	l.moves, l.from = true, p.at
	for i, axis := range "XYZ" {
		if v, ok := words[byte(axis)]; ok {
			p.at[i] = v * p.says.unit()
			l.axes += string(axis)
		}
	}
	if l.axes == "" {
		p.fault(l.number, "a move to nowhere")
	}
	if f, ok := words['F']; ok {
		if p.feed = f * p.says.unit(); f <= 0 {
			p.fault(l.number, "a feed of %g", f)
		}
	}
	if l.code == "G0" {
		if strings.Contains(l.axes, "Z") && l.axes != "Z" {
			p.fault(l.number, "a traverse along Z and sideways at once")
		}
		return
	}
	if p.fastestCut = math.Max(p.fastestCut, p.feed); p.feed == 0 {
		p.fault(l.number, "no feed")
		return
	}
	var d [3]float64
	long := 0.0
	for i := range d {
		if d[i] = p.at[i] - l.from[i]; math.IsNaN(d[i]) {
			p.lost(l)
			return
		}
		long += d[i] * d[i]
	}
	long = math.Sqrt(long)
	l.seconds = long / p.feed * 60
	for i := range d {
		// The share of a move along an axis is known to a step of its coordinates.
		if l.code == "G1" && p.feed*math.Max(0, math.Abs(d[i])-p.says.step()) > p.says.feed[i]*long*(1+1e-6) {
			p.fault(l.number, "%c at %g mm/min, over %g", "XYZ"[i], p.feed*math.Abs(d[i])/long, p.says.feed[i])
		}
	}
}

// lost: a feed move from a place that is not known is no cut, and no axis may be too slow
// for it.
func (p *plainly) lost(l *plainLine) {
	l.lost = true
	if p.feed > math.Min(p.says.feed[0], p.says.feed[1]) {
		p.fault(l.number, "%g mm/min in a direction that is not known", p.feed)
	}
}

// arc holds an arc against its plane and its two radii.
func (p *plainly) arc(l *plainLine, letters string, words map[byte]float64) {
	a := map[string][2]int{"G17": {0, 1}, "G18": {0, 2}, "G19": {1, 2}}
	axes, ok := a[p.plane]
	if !ok {
		p.fault(l.number, "an arc before its plane")
		return
	}
	p.idle = 0
	var from, to float64
	for i, axis := range "IJK" {
		v, stands := words[byte(axis)]
		if stands != (i == axes[0] || i == axes[1]) {
			p.fault(l.number, "%c in an arc of %s", axis, p.plane)
			return
		}
		v *= p.says.unit()
		from += v * v
		if stands {
			d := l.from[i] + v - p.at[i]
			to += d * d
		}
	}
	for _, i := range axes {
		if !strings.Contains(letters, "XYZ"[i:i+1]) {
			p.fault(l.number, "an arc without %c", "XYZ"[i])
		}
	}
	// NISTIR 6556, 3.5.3.2: 0.002 mm, 0.0002 in.
	if most := map[bool]float64{false: 0.002, true: 0.0002 * 25.4}[p.says.inches]; !(math.Abs(math.Sqrt(from)-math.Sqrt(to)) <= most) {
		p.fault(l.number, "an arc of two radii, %g and %g mm", math.Sqrt(from), math.Sqrt(to))
	}
}

package machines

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// pathModeLine is what a path mode line may hold: the word that selects how corners
// are taken and, for controllers that take them, tolerances. Nothing in it can
// move an axis, turn a spindle or leave a comment open.
var pathModeLine = regexp.MustCompile(`^(G61|G61\.1|G64)(?: P([0-9]{1,3}(?:\.[0-9]{1,6})?))?(?: Q([0-9]{1,3}(?:\.[0-9]{1,6})?))?$`)

// Fewest decimals of coordinates where arcs are written, so that rounding cannot
// bring an arc's two radii further apart than the language allows (NISTIR 6556,
// 3.5.3.2: 0.002 mm, 0.0002 in): the mismatch is at most 2√2 steps, which is
// 0.00028 mm with 4 decimals, and 0.000028 in with 5 (0.00028 in with 4).
var minDecimalsForArcs = [...]int{Millimetres: 4, Inches: 5}

// controller reads how the controller runs a program and how it is written.
func (r *reader) controller() {
	var rounding *measure.Length // nil where it has a fault of its own
	if r.top.Require("corner rounding", "0.02 mm") {
		if l, ok := r.top.Length("corner rounding"); ok && r.requireRange(r.top.Pos("corner rounding"), "corner rounding", l.MM, 0, maxRounding, "mm") {
			r.m.CornerRounding, rounding = l.MM, &l
		}
	}
	r.pathMode(rounding)
	if word, ok := r.top.Word("dwell", dwellWords[:]...); ok {
		r.m.Dwell = Dwell(slices.Index(dwellWords[:], word))
	}
	if r.top.Require("arcs", "no") {
		r.m.Arcs, _ = r.top.YesNo("arcs")
	}
	r.longestLine()
	if !r.top.Require("decimals", strconv.Itoa(minDecimalsForArcs[r.m.Unit])) {
		return
	}
	n, ok := r.top.Int("decimals")
	if !ok || !r.requireRange(r.top.Pos("decimals"), "decimals", float64(n), 3, 6, "") {
		return
	}
	r.m.Decimals = n
	if minDecimals := minDecimalsForArcs[r.m.Unit]; r.m.Arcs && n < minDecimals {
		r.doc.Fault(r.top.Pos("decimals"), fmt.Sprintf("arcs in %s need at least %d decimals, or a controller may refuse them", [...]string{"millimetres", "inches"}[r.m.Unit], minDecimals),
			fmt.Sprintf("write decimals: %d, or arcs: no", minDecimals))
	}
}

// How long the lines of a program may be. The shortest hold every line of coordinates;
// arcs have more words. The longest is that of the language (NISTIR 6556, 3.3).
const (
	shortestLine, shortestWithArcs = 64, 80
	defaultLine, maxLine           = 80, 256
)

// longestLine reads how long the lines of a program may be.
func (r *reader) longestLine() {
	const key = "longest line"
	r.m.LongestLine = defaultLine
	if !r.top.Has(key) {
		return
	}
	n, ok := r.top.Int(key)
	if !ok || !r.requireRange(r.top.Pos(key), key, float64(n), shortestLine, maxLine, "characters") {
		return
	}
	r.m.LongestLine = n
	if r.m.Arcs && n < shortestWithArcs {
		r.doc.Fault(r.top.Pos(key), fmt.Sprintf("arcs need lines of at least %d characters", shortestWithArcs),
			fmt.Sprintf("write longest line: %d, or arcs: no", shortestWithArcs))
	}
}

// pathMode reads the line that selects how corners are taken, if one is written. A
// tolerance in it may not exceed the corner rounding, or the proof would promise too much.
func (r *reader) pathMode(rounding *measure.Length) {
	text, ok := r.top.Text("path mode")
	if !ok || text == "none" {
		return
	}
	words := pathModeLine.FindStringSubmatch(text)
	if words == nil {
		r.doc.Fault(r.top.Pos("path mode"), "path mode cannot be "+measure.Quote(text),
			"write none, or one of G61, G61.1 and G64, and after it at most a word P and a word Q with a number")
		return
	}
	r.m.PathMode = text
	// A millionth covers the rounding of inches to mm.
	if p, err := strconv.ParseFloat(words[2], 64); err == nil && words[1] == "G64" && rounding != nil && float64(p*r.m.Unit.MM()) > rounding.MM*(1+1e-6) {
		r.doc.Fault(r.top.Pos("path mode"), "path mode "+measure.Quote(text)+" lets the controller round corners by more than the corner rounding, "+rounding.String(),
			"raise the corner rounding or lower the number after P")
	}
}

// spindle reads what turns the cutter.
func (r *reader) spindle() {
	const example = "{slowest: 8000, fastest: 24000, start: 5 s}"
	if !r.top.Require("spindle", example) {
		return
	}
	m, ok := r.top.Map("spindle")
	if !ok {
		return
	}
	if m.Require("start", "5 s") {
		if v, ok := m.Seconds("start"); ok && r.requireRange(m.Pos("start"), "spindle start", v, 0, maxStart, "s") {
			r.m.Spindle.StartTime = v
		}
	}
	if m.Has("hand router") {
		m.Allow("hand router", "start")
		r.dial(m)
		return
	}
	m.Allow("slowest", "fastest", "start", "hand router")
	slow := r.speed(m, "slowest", "8000")
	fast := r.speed(m, "fastest", "24000")
	if slow > 0 && fast > 0 && slow > fast {
		r.doc.Fault(m.Pos("slowest"), "the slowest speed of the spindle is above its fastest", "exchange the two")
	}
	r.m.Spindle.Slowest, r.m.Spindle.Fastest = slow, fast
}

// speed reads a spindle speed, or 0 where it is at fault.
func (r *reader) speed(m *strict.Map, key, example string) float64 {
	if !m.Require(key, example) {
		return 0
	}
	v, ok := m.Number(key)
	if !ok || !r.requireRange(m.Pos(key), "the speed under "+measure.Quote(key), v, minSpeed, maxSpeed, "rpm") {
		return 0
	}
	return v
}

// dial reads the settings of a hand router, from slow to fast.
func (r *reader) dial(spindle *strict.Map) {
	m, ok := spindle.Map("hand router")
	if !ok {
		return
	}
	keys := m.Keys()
	if len(keys) == 0 || len(keys) > maxEntries {
		r.doc.Fault(spindle.Pos("hand router"), fmt.Sprintf("a hand router must list 1 to %d settings of its dial", maxEntries), "write hand router: {1: 10000, 2: 14000}")
		return
	}
	last := 0.0
	for _, key := range keys {
		if !isDialMark(key) {
			r.doc.Fault(m.KeyPos(key), "the dial setting "+measure.Quote(key)+" cannot be written in a program",
				fmt.Sprintf("use at most %d letters, digits, points and hyphens", maxMark))
			continue
		}
		v := r.speed(m, key, "10000")
		if v == 0 {
			continue
		}
		if v <= last {
			r.doc.Fault(m.Pos(key), "the dial setting "+measure.Quote(key)+" is not faster than the one before it", "list the settings from slow to fast")
		}
		last = v
		r.m.Spindle.Dial = append(r.m.Spindle.Dial, DialSetting{Mark: key, Speed: v})
	}
	if n := len(r.m.Spindle.Dial); n > 0 {
		r.m.Spindle.Slowest, r.m.Spindle.Fastest = r.m.Spindle.Dial[0].Speed, r.m.Spindle.Dial[n-1].Speed
	}
}

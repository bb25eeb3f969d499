package machines

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"dishwright/dish/measure"
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
	r.corners()
	r.dwell()
	if r.top.Has("arcs") {
		r.m.Arcs, _ = r.top.YesNo("arcs")
	} else {
		r.tookKey("arcs", "no")
	}
	r.longestLine()
	r.decimals()
}

// maxStartWithoutDwell is the longest start of a spindle, in s, to which the first way
// down can give its time: 4 mm down then take a tenth of an inch a minute, the slowest
// feed that is written in inches.
const maxStartWithoutDwell = 60

// dwell reads what G4 counts; the spindle is known.
func (r *reader) dwell() {
	if !r.top.Has("dwell") {
		r.tookKey("dwell", r.m.Dwell.String())
		return
	}
	if word, ok := r.top.Word("dwell", dwellWords[:]...); ok {
		r.m.Dwell = Dwell(slices.Index(dwellWords[:], word))
	}
	if r.m.Dwell == NoDwell && r.m.Spindle.StartTime > maxStartWithoutDwell {
		r.doc.Fault(r.top.Pos("dwell"), "without a dwell the spindle comes up to speed on the first way down, which can last "+measure.Count(maxStartWithoutDwell, "second"),
			"a shorter start of the spindle, or dwell: seconds or milliseconds where the controller takes one")
	}
}

// decimals reads how finely coordinates are written.
func (r *reader) decimals() {
	enough := minDecimalsForArcs[r.m.Unit]
	if !r.top.Has("decimals") {
		r.m.Decimals = enough
		r.tookKey("decimals", strconv.Itoa(enough))
		return
	}
	n, ok := r.quantity(r.top, "decimals")
	if !ok {
		return
	}
	r.m.Decimals = int(n)
	if r.m.Arcs && r.m.Decimals < enough {
		r.doc.Fault(r.top.Pos("decimals"), fmt.Sprintf("arcs in %s need at least %d decimals, or a controller may refuse them", [...]string{"millimetres", "inches"}[r.m.Unit], enough),
			fmt.Sprintf("write decimals: %d, or arcs: no", enough))
	}
}

// How long the lines of a program may be. The shortest of the catalogue hold every line of
// coordinates; arcs have more words. The longest is that of the language (NISTIR 6556, 3.3).
const shortestWithArcs, defaultLine = 80, 80

// longestLine reads how long the lines of a program may be.
func (r *reader) longestLine() {
	const key = "longest line"
	if !r.top.Has(key) {
		r.m.LongestLine = defaultLine
		r.tookKey(key, strconv.Itoa(defaultLine))
		return
	}
	n, ok := r.quantity(r.top, key)
	if !ok {
		return
	}
	r.m.LongestLine = int(n)
	if r.m.Arcs && n < shortestWithArcs {
		r.doc.Fault(r.top.Pos(key), fmt.Sprintf("arcs need lines of at least %d characters", shortestWithArcs),
			fmt.Sprintf("write longest line: %d, or arcs: no", shortestWithArcs))
	}
}

// corners reads how far the controller rounds corners, and the line that selects how they
// are taken. A tolerance in it may not exceed a rounding that is stated, or the report would
// promise too much; where none is stated it is the rounding.
func (r *reader) corners() {
	const at = "corner rounding"
	u, k := r.m.Unit, key(at)
	asked := r.pathMode()
	switch {
	case r.top.Has(at):
		l, ok := r.top.Length(at)
		if !ok || !r.within(r.top.Pos(at), at, k, l.MM) {
			return
		}
		r.m.CornerRounding = l.MM
		if asked > l.MM*(1+1e-6) { // a millionth covers the rounding of inches to mm
			r.doc.Fault(r.top.Pos("path mode"), "path mode "+measure.Quote(r.m.PathMode)+" lets the controller round corners by more than the corner rounding, "+l.String(),
				"raise the corner rounding or lower the number after P")
		}
	case asked > 0:
		if r.within(r.top.Pos("path mode"), "the number after P in path mode", k, asked) {
			r.m.CornerRounding = asked
			r.took(at, u.exact(k, asked), "as the path mode asks")
		}
	default:
		r.m.CornerRounding = u.usualRounding()
		r.tookKey(at, u.exact(k, r.m.CornerRounding))
	}
}

// pathMode reads the line that selects how corners are taken, if one is written, and
// returns the tolerance that it gives the controller in mm, or 0.
func (r *reader) pathMode() (tolerance float64) {
	if !r.top.Has("path mode") {
		r.tookKey("path mode", "none")
		return 0
	}
	text, ok := r.top.Text("path mode")
	if !ok || text == "none" {
		return 0
	}
	words := pathModeLine.FindStringSubmatch(text)
	if words == nil {
		r.doc.Fault(r.top.Pos("path mode"), "path mode cannot be "+measure.Quote(text),
			"write none, or one of G61, G61.1 and G64, and after it at most a word P and a word Q with a number")
		return 0
	}
	r.m.PathMode = text
	if p, err := strconv.ParseFloat(words[2], 64); err == nil && words[1] == "G64" {
		return float64(p * r.m.Unit.MM())
	}
	return 0
}

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
	r.m.Arcs = r.top.YesNo("arcs")
	r.longestLine()
	r.decimals()
}

// maxStartWithoutDwell is the longest start of a spindle, in s, to which the first way
// down can give its time: 4 mm down then take a tenth of an inch a minute, the slowest
// feed that is written in inches.
const maxStartWithoutDwell = 60

// dwell reads what G4 counts; the spindle is known.
func (r *reader) dwell() {
	if word := r.top.Word("dwell"); word != "" {
		r.m.Dwell = Dwell(slices.Index(dwellWords[:], word))
	}
	if r.m.Dwell == NoDwell && r.m.Spindle.StartTime > maxStartWithoutDwell {
		r.top.Fault("dwell", "without a dwell the spindle comes up to speed on the first way down, which can last "+measure.Count(maxStartWithoutDwell, "second"),
			"a shorter start of the spindle, or dwell: seconds or milliseconds where the controller takes one")
	}
}

// decimals reads how finely coordinates are written.
func (r *reader) decimals() {
	enough := minDecimalsForArcs[r.m.Unit]
	if !r.top.Has("decimals") {
		r.m.Decimals = enough
		r.top.Took("decimals", strconv.Itoa(enough))
		return
	}
	n, ok := r.top.Count("decimals")
	if !ok {
		return
	}
	r.m.Decimals = n
	if r.m.Arcs && r.m.Decimals < enough {
		r.top.Fault("decimals", fmt.Sprintf("arcs in %s need at least %d decimals, or a controller may refuse them", [...]string{"millimetres", "inches"}[r.m.Unit], enough),
			fmt.Sprintf("write decimals: %d, or arcs: no", enough))
	}
}

// shortestWithArcs is how long the lines of a program must be with arcs, which have more words
// than the lines of coordinates that the shortest of the catalogue hold. The longest of the
// catalogue is that of the language (NISTIR 6556, 3.3).
const shortestWithArcs = 80

// longestLine reads how long the lines of a program may be.
func (r *reader) longestLine() {
	n, ok := r.top.Count("longest line")
	if !ok {
		return
	}
	r.m.LongestLine = n
	if r.m.Arcs && n < shortestWithArcs {
		r.top.Fault("longest line", fmt.Sprintf("arcs need lines of at least %d characters", shortestWithArcs),
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
		if !ok {
			return
		}
		r.m.CornerRounding = l.MM
		if asked > l.MM*(1+1e-6) { // a millionth covers the rounding of inches to mm
			r.top.Fault("path mode", "path mode "+measure.Quote(r.m.PathMode)+" lets the controller round corners by more than the corner rounding, "+l.String(),
				"raise the corner rounding or lower the number after P")
		}
	case asked > 0:
		if !k.Range().Holds(asked) {
			r.top.Fault("path mode", "the number after P in path mode is out of range", r.bounds(k))
			return
		}
		r.m.CornerRounding = asked
		r.Take(at, u.exact(k, asked), "as the path mode asks")
	default:
		r.m.CornerRounding = u.usualRounding()
		r.top.Took(at, u.exact(k, r.m.CornerRounding))
	}
}

// pathMode reads the line that selects how corners are taken, if one is written, and
// returns the tolerance that it gives the controller in mm, or 0.
func (r *reader) pathMode() (tolerance float64) {
	text := r.top.TextOr("path mode")
	if text == "" || text == "none" {
		return 0
	}
	words := pathModeLine.FindStringSubmatch(text)
	if words == nil {
		r.top.Fault("path mode", "path mode cannot be "+measure.Quote(text),
			"write none, or one of G61, G61.1 and G64, and after it at most a word P and a word Q with a number")
		return 0
	}
	r.m.PathMode = text
	if p, err := strconv.ParseFloat(words[2], 64); err == nil && words[1] == "G64" {
		return float64(p * r.m.Unit.MM())
	}
	return 0
}

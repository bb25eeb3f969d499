package proof

import (
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/dish/measure"
)

// Kind says what a finding is about. The list is closed.
type Kind string

// The kinds of finding.
const (
	KindText     Kind = "text"      // the text cannot be read as a machine would read it
	KindCutter   Kind = "cutter"    // the program names no cutter, or one that is not on the shelf
	KindOrder    Kind = "order"     // stop, lift, spindle and work in the wrong order
	KindSpindle  Kind = "spindle"   // it stands still where it must turn, turns where it burns, or outside its limits
	KindFeed     Kind = "feed"      // an axis moves faster than it may, a chip is too thick, or the cutter crawls
	KindTravel   Kind = "travel"    // beyond the machine's travel
	KindArc      Kind = "arc"       // an arc for a machine that has none
	KindPathMode Kind = "path mode" // corners are rounded in a way that the profile does not state
	KindTraverse Kind = "traverse"  // slanting, below clearance, or through stock
	KindObstacle Kind = "obstacle"  // near a hold-down
	KindFloor    Kind = "floor"     // into the wood that must stay
	KindGouge    Kind = "gouge"
	KindBite     Kind = "bite"    // deeper than the cutter may
	KindRamp     Kind = "ramp"    // down into stock too steeply
	KindContact  Kind = "contact" // shank, holder or hood against standing wood
	KindExtra    Kind = "extra"   // a hole, line or cut-out is not made as it should be
	KindScallop  Kind = "scallop"
)

// Kinds lists every kind of finding.
func Kinds() []Kind {
	return []Kind{KindText, KindCutter, KindOrder, KindSpindle, KindFeed, KindTravel, KindArc, KindPathMode, KindTraverse,
		KindObstacle, KindFloor, KindGouge, KindBite, KindRamp, KindContact, KindExtra, KindScallop}
}

// Finding is a breach of a rule by a program. Amount is how far it goes beyond the
// bound, in mm, mm/min, 1/min, degrees or seconds; 0 where there is no measure.
type Finding struct {
	Program      string
	Line, Column int
	Kind         Kind
	X, Y         float64 // place on the blank, mm
	Amount       float64
	Message      measure.Said
}

// place puts a finding that no line is to blame for, as of what was never cut, at the beginning
// of its program, or of the last.
func (f *Finding) place(programs []Program) {
	if n := len(programs); f.Program == "" && n > 0 {
		f.Program = programs[n-1].Name
	}
	f.Line, f.Column = max(f.Line, 1), max(f.Column, 1)
}

// maxPerKind is how many findings of a kind are listed for a program, so that
// memory stays bounded.
const maxPerKind = 20

// breaks reports whether a value is beyond a limit. The proof compares by it alone what it
// found with what is allowed: of a value that is not a number nothing is proven, so it
// breaks every limit.
func breaks(value, limit float64) bool { return !(value <= limit) }

// numberOr returns v, and the worst that it could be where it is not a number: so it is
// not lost in a search for the greatest.
func numberOr(v, worst float64) float64 {
	if math.IsNaN(v) {
		return worst
	}
	return v
}

// report adds a finding at a place of the text.
func (j *checker) report(k Kind, at path.Source, x, y, amount float64, format string, args ...any) {
	if j.counts[k]++; j.counts[k] > maxPerKind {
		return
	}
	if math.IsNaN(x) || math.IsNaN(y) {
		x, y = 0, 0
	}
	if math.IsNaN(amount) {
		amount = 0
	}
	j.findings = append(j.findings, Finding{j.program.Name, at.Line, at.Column, k, x, y, amount, measure.Say(format, args...)})
}

// sorted returns the findings in the order of lines, those of one line in the
// order in which they were made.
func (j *checker) sorted() []Finding {
	slices.SortStableFunc(j.findings, func(a, b Finding) int { return a.Line - b.Line })
	return j.findings
}

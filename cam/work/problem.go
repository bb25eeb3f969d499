package work

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"dishwright/dish/measure"
)

// Kind says what stands in the way of a work. What is decided about a problem is
// decided by it; the message is for readers.
type Kind string

// The kinds. The zero value is that of an error that is no Problem of this package.
const (
	KindTravel    Kind = "travel"    // what is run over is more than the travel: divided otherwise it may fit
	KindRoom      Kind = "room"      // the machine has no room for the blank, for what stands on it or for its hood
	KindLand      Kind = "land"      // nowhere is the blank's top free to be touched
	KindSize      Kind = "size"      // what is to be cut does not lie within the blank, or is no such face
	KindThickness Kind = "thickness" // too little wood is left
	KindHoldDown  Kind = "hold-down" // a hold-down or an obstacle is in the way, or holds nothing
	KindCutter    Kind = "cutter"    // the cutter does not suit the machine, the face or the extra, or there is none
	KindBite      Kind = "bite"      // a cutter would have to bite deeper than it may
	KindRamp      Kind = "ramp"      // a cutter would go down into stock more steeply than it may
	KindScallop   Kind = "scallop"   // the scallop cannot be kept
	KindMoves     Kind = "moves"     // too many moves, layers or ways to be planned
	KindEffort    Kind = "effort"    // to certify it takes too long
	KindPattern   Kind = "pattern"   // the pattern or its direction is none for this work
	KindExtra     Kind = "extra"     // what is cut beside the face cannot be made so
	KindSetups    Kind = "setups"    // how the blank lies in several setups is not known
)

// In reports whether err is of Problems one of which is of the kind.
func (k Kind) In(err error) bool {
	var ps Problems
	return errors.As(err, &ps) && slices.ContainsFunc(ps, func(p Problem) bool { return p.Kind == k })
}

// Problem is one reason why a work cannot be planned. Its hint tells what would do, the cheapest
// first: another number of the job, a cutter, another blank, a smaller dish, another machine.
type Problem struct {
	Kind          Kind
	Key           Key // what of the job it is about
	Message, Hint measure.Said
	Instead       []Instead // told before Hint
}

// Instead is a value, mm, with which a key would do.
type Instead struct {
	Key  Key
	MM   float64
	Said measure.Said
}

// Would tells what would do, without the values that their keys do not take.
func (p Problem) Would(takes func(Key, float64) bool) measure.Said {
	said := p.Hint
	for _, i := range slices.Backward(p.Instead) {
		switch {
		case !takes(i.Key, i.MM):
		case said.Empty():
			said = i.Said
		default:
			said = measure.Say("%v, or %v", i.Said, said)
		}
	}
	return said
}

// Problems is every reason at once.
type Problems []Problem

// Error lists the problems, one a line, each with its hint.
func (p Problems) Error() string {
	lines := make([]string, 0, len(p))
	for _, one := range p {
		lines = append(lines, fmt.Sprintf("%s: %s", one.Key, one.Message))
		if hint := one.Would(func(Key, float64) bool { return true }); !hint.Empty() {
			lines = append(lines, "  hint: "+hint.String())
		}
	}
	return strings.Join(lines, "\n")
}

// Add adds a problem.
func (p *Problems) Add(kind Kind, key Key, message, hint measure.Said) {
	*p = append(*p, Problem{Kind: kind, Key: key, Message: message, Hint: hint})
}

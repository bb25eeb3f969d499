package strict

import (
	"fmt"
	"slices"
	"strings"
)

// Pos is a place in a file: a line and a column, both counted from 1, the
// column in characters. The zero value stands for the file as a whole. File is empty
// for the document's own file; it names the call where a value was given with that.
type Pos struct {
	Line, Column int
	File         string
}

// Fault returns a fault at the place, in the file where the place names no other.
func (p Pos) Fault(file, message, hint string) Fault {
	if p.File != "" {
		file = p.File
	}
	return Fault{File: file, Line: p.Line, Column: p.Column, Message: message, Hint: hint}
}

// Fault is one thing that is wrong with a file. Line and Column are 0 where it
// is wrong as a whole; Hint may be empty.
type Fault struct {
	File         string
	Line, Column int
	Message      string
	Hint         string
}

// Error returns `file:line:column: message` and, on a line of its own, the hint.
func (f Fault) Error() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", f.Line, f.Column)
	}
	b.WriteString(": " + f.Message)
	if f.Hint != "" {
		b.WriteString("\n  hint: " + f.Hint)
	}
	return b.String()
}

// Faults is everything that is wrong with a file, in the order of its lines.
type Faults []Fault

// Error returns one fault after another, each beginning a line.
func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, one := range f {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

const (
	// maxReported is the most faults that are reported: a longer list helps nobody.
	maxReported = 50
	// maxKept bounds what a file of nothing but faults can hold in memory. Faults are
	// recorded nearly in the order of the file, so that the first ones are among these.
	maxKept = 5000
)

// collector gathers the faults of one file.
type collector struct {
	file    string
	faults  Faults
	omitted int // beyond kept
}

func (c *collector) add(at Pos, message, hint string) {
	if len(c.faults) >= maxKept {
		c.omitted++
		return
	}
	c.faults = append(c.faults, at.Fault(c.file, message, hint))
}

// err returns what was gathered, sorted by place, or nil.
func (c *collector) err() error {
	if len(c.faults) == 0 {
		return nil
	}
	all := slices.Clone(c.faults)
	slices.SortStableFunc(all, func(a, b Fault) int {
		switch own, other := a.File == c.file, b.File == c.file; {
		case own != other: // those of the call come last
			if own {
				return -1
			}
			return 1
		case a.File != b.File:
			return strings.Compare(a.File, b.File)
		case a.Line != b.Line:
			return a.Line - b.Line
		}
		return a.Column - b.Column
	})
	if rest := len(all) - maxReported + c.omitted; rest > 0 {
		all = append(all[:maxReported], Fault{File: c.file, Message: fmt.Sprintf("and %d more", rest)})
		if rest > 1 {
			all[maxReported].Message += " faults"
		} else {
			all[maxReported].Message += " fault"
		}
	}
	return all
}

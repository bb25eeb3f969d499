// Package form says what is particular to each thing that a job makes, one file a form: what
// it is called, its sizes, and what is worth saying of it in programs, reports and sheets.
package form

import (
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// Form is one thing that a job makes.
type Form interface {
	// Product describes it in a few words, Depth says how deep it is cut, empty of what has
	// no face, and Heading is a heading for both.
	Product() string
	Depth() string
	Heading() string
	// Sizes are those that a report tells.
	Sizes() Sizes
	// Warnings are what the builder should know of it before cutting.
	Warnings() []work.Warning
	// Head are more sentences for the head of each of its programs.
	Head() []string
	// Caution is what is said of it wherever hands come near; empty for most.
	Caution() string
	// Lies says how its blank is called and how that lies on the bed, beside what its
	// shape says; along is empty where the shape says all.
	Lies() (name, along string)
	// Apex is what X0 Y0 is found by on its blank, empty for the blank's own middle.
	Apex() string
	// Checks are how it is checked when it is cut; empty where the depths of its face are
	// measured.
	Checks() []string
	// Use is what is done with it, under a title; the title is empty where a rim is sanded
	// with it.
	Use() (title string, practice bool, list []string)
	// Sanding says what is moved by hand while a rim is sanded with it, and how.
	Sanding(own func(mm float64) string) (moved, how string)
}

// Sizes are the sizes that only some forms have, mm; 0 where one has none.
type Sizes struct {
	Length, Width, Diameter float64
	Radius                  float64 // that the wood is cut to
	Band                    float64 // width of a mould's edge
	Spans, Bends            float64 // of a board: see job.Job
	OffSphere               float64 // of a cylinder, across its width
	Radii                   []float64
}

// Of returns the form of a job; own writes a length in the unit of its programs.
func Of(j job.Job, own func(mm float64) string) Form {
	d := dish{j, own}
	switch j.Form {
	case key.Caul:
		return caul{d}
	case key.Board:
		return board{d}
	case key.Gauge:
		return gauge{d}
	case key.Rim:
		return mould{d}
	}
	return d
}

// MouldCaution is said wherever a mould's edge is cut.
const MouldCaution = "This is for a solid mould alone. Bare sides and kerfed linings break and fly under a cutter: sides are sanded."

// length writes a length in millimetres.
func length(v float64) string { return measure.TrimZeros(measure.FormatFixed(v, 3)) + " mm" }

// lower writes the first letter small.
func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

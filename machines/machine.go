// Package machines describes hobby routers: their travel, feeds, accelerations,
// spindle and collets, as profiles in YAML, some of them built in (all of these
// invented), others the user's own.
//
// In come the bytes of a profile, out goes a Machine in mm, mm/min, mm/s² and
// rpm, or every fault of the profile with its line and column.
package machines

import (
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"

	"gonum.org/v1/gonum/spatial/r3"
)

// Unit is the length unit that a machine's programs are written in.
type Unit uint8

// The units of programs.
const (
	Millimetres Unit = iota // G21
	Inches                  // G20
)

// MM returns one unit in mm.
func (u Unit) MM() float64 { return [...]float64{1, 25.4}[u] }

func (u Unit) String() string { return [...]string{"mm", "in"}[u] }

// Ruler writes lengths in the unit.
func (u Unit) Ruler() measure.Ruler { return measure.Ruler{Inches: u == Inches} }

// Dwell is what the number after G4 P counts.
type Dwell uint8

// The dwells.
const (
	Seconds      Dwell = iota // as the standard has it (NISTIR 6556, 3.5.4)
	Milliseconds              // whole ones
	NoDwell                   // the controller takes no G4
)

// dwellWords are the words for them in a profile.
var dwellWords = [...]string{"seconds", "milliseconds", "none"}

func (d Dwell) String() string { return dwellWords[d] }

// Seconds returns how long a dwell of P lasts, in s.
func (d Dwell) Seconds(p float64) float64 {
	if d == Milliseconds {
		return p / 1000
	}
	return p
}

// Machine is a router and its limits.
type Machine struct {
	Name            string
	About           string // a sentence on what it is, may be empty
	Unit            Unit
	Travel          r3.Vec  // mm
	Feed            r3.Vec  // highest of each axis while cutting, mm/min
	Rapid           r3.Vec  // of each axis in a traverse, mm/min
	Acceleration    r3.Vec  // of each axis, mm/s²
	CornerRounding  float64 // how far the controller may round a corner, mm
	PathMode        string  // the line that selects how corners are taken, as it stands in a program; empty where none is written
	Dwell           Dwell   // what G4 P counts
	LongestLine     int     // of a program, in characters
	Arcs            bool    // are G2 and G3 written?
	Decimals        int     // of coordinates, in Unit
	Spindle         Spindle
	Collets         []float64 // shank diameters that it takes, mm, ascending
	Holder          Holder
	Hood            *Hood // nil where there is none
	Errors          GeometryErrors
	Bed             []r3.Vec       // places of the bed as the machine sees it, X0 Y0 in the middle of its travel, heights to one another, mm; nil where it was not read
	UnderGantry     float64        // from the bed to the lowest part of the gantry, mm; 0 where not stated
	BetweenUprights float64        // how wide a blank may be, along X, mm; 0 where not stated
	Defaults        []keys.Default // what the profile leaves out and what was taken for it
}

// Spindle is what turns the cutter.
type Spindle struct {
	Slowest, Fastest float64       // rpm
	StartTime        float64       // time to come up to speed, s
	Dial             []DialSetting // of a hand router, slowest first; empty where S and M3 set the speed
}

// DialSetting is one setting of a hand router's speed dial.
type DialSetting struct {
	Mark  string
	Speed float64 // rpm
}

// Holder is the collet nut and spindle nose above the cutter; of no diameter where it is not stated.
type Holder struct{ Diameter, Length float64 }

// Hood is a dust hood that moves with the spindle.
type Hood struct{ Diameter, AboveTip float64 }

// HandRouter reports whether the spindle is a hand router: switched and set by hand.
func (m Machine) HandRouter() bool { return len(m.Spindle.Dial) > 0 }

// Took reports whether the profile leaves a key out, for which something was taken.
func (m Machine) Took(key string) bool { return m.why(key) != "" }

// why returns why that was taken; nothing where the profile states the key.
func (m Machine) why(key string) string {
	for _, d := range m.Defaults {
		if d.Key == key {
			return d.Why
		}
	}
	return ""
}

// LongestName returns how many characters of a cutter's name fit the line of a program
// that names it, (cutter: NAME).
func (m Machine) LongestName() int { return m.LongestLine - len("(cutter: )") }

// Step returns the smallest step of a written coordinate, in mm.
func (m Machine) Step() float64 {
	s := m.Unit.MM()
	for range m.Decimals {
		s /= 10
	}
	return s
}

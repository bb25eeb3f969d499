package work

import (
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r3"
)

// Purpose says what a program, or a part of it, is for.
type Purpose string

// The purposes.
const (
	Roughing  Purpose = "rough"
	Finishing Purpose = "finish"
	Extra     Purpose = "extras"
	AirLap    Purpose = "air lap"
	Skim      Purpose = "skim"
	Readings  Purpose = "readings" // of a dial gauge, with the spindle off: the one kind that stops often
)

// Section is a run of moves of one purpose. It starts and ends at clearance.
type Section struct {
	Purpose Purpose
	Pattern Origin
	Passes  int // or layers
	Widest  float64
	Over    float64 // of a tile: how far beyond its bare sector the axis runs, mm
	Deep    float64 // how deep its flutes go along a wall that they leave, mm
	Feeds   Feeds
	Moves   []path.Move
}

// Program is what one cutter does in one setup.
type Program struct {
	Cutter   path.Cutter
	Setup    path.Setup // how the blank lies; the moves are those of the machine
	Speed    float64    // of the spindle, rpm
	Dial     string     // mark on a hand router's dial, empty where S sets the speed
	Sections []Section
}

// Then returns programs with what a cutter does after them: in the last of them where that is
// its own.
func Then(programs []Program, c path.Cutter, s Section) []Program {
	if n := len(programs); n > 0 && programs[n-1].Cutter.Name == c.Name {
		programs[n-1].Sections = append(programs[n-1].Sections, s)
		return programs
	}
	return append(programs, Program{Cutter: c, Speed: s.Feeds.Speed, Dial: s.Feeds.Dial, Sections: []Section{s}})
}

// In returns the program as it runs in a setup: moved by its shift, and back onto the
// lattice of coordinates. A turned setup brings the blank to where the moves are.
func (p Program) In(w *Work, s path.Setup) Program {
	p.Setup = s
	if s.X == 0 && s.Y == 0 {
		return p
	}
	g := w.Grid()
	p.Sections = slices.Clone(p.Sections)
	for i, sec := range p.Sections {
		p.Sections[i].Moves = placed(sec.Moves, func(v r3.Vec) r3.Vec {
			return r3.Vec{X: g.Near(v.X + s.X), Y: g.Near(v.Y + s.Y), Z: v.Z}
		})
	}
	return p
}

// placed returns moves with their ends at other places.
func placed(moves []path.Move, place func(r3.Vec) r3.Vec) []path.Move {
	out := slices.Clone(moves)
	for i, m := range moves {
		out[i].From, out[i].To = place(m.From), place(m.To)
	}
	return out
}

// OnMachine returns moves over the blank as the machine makes them in a setup, on the
// lattice of coordinates: straight ones, and arcs where the setup turns nothing.
func OnMachine(w *Work, s path.Setup, moves []path.Move) []path.Move {
	if s.Still() {
		return moves
	}
	g := w.Grid()
	return placed(moves, func(v r3.Vec) r3.Vec {
		p := s.Machine(v)
		return r3.Vec{X: g.Near(p.X), Y: g.Near(p.Y), Z: p.Z}
	})
}

// Purpose returns what the program ends with.
func (p Program) Purpose() Purpose { return p.Sections[len(p.Sections)-1].Purpose }

// Pattern returns the names of the program's patterns, in order.
func (p Program) Pattern() (s measure.Said) {
	for i, sec := range p.Sections {
		if i == 0 {
			s = sec.Pattern.Said()
		} else {
			s = measure.Say("%v, then %v", s, sec.Pattern.Said())
		}
	}
	return s
}

// Extents returns the least and greatest coordinates of the program's moves.
func (p Program) Extents() r3.Box {
	b := r3.Box{Min: r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, Max: r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}}
	for _, s := range p.Sections {
		for _, m := range s.Moves {
			b = grow(b, m.To)
			if m.Kind == path.Arc { // the passes' arcs are lowest or highest at their middle
				b = grow(b, m.At(0.5))
			}
		}
	}
	return b
}

func grow(b r3.Box, v r3.Vec) r3.Box {
	b.Min = r3.Vec{X: min(b.Min.X, v.X), Y: min(b.Min.Y, v.Y), Z: min(b.Min.Z, v.Z)}
	b.Max = r3.Vec{X: max(b.Max.X, v.X), Y: max(b.Max.Y, v.Y), Z: max(b.Max.Z, v.Z)}
	return b
}

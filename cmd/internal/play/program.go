package play

import (
	"math"
	"sort"
	"time"

	"dishwright/cam/motion"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cmd/internal/figure"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/machines"
)

// Piece is a blank that programs cut.
type Piece struct {
	Blank dish.Blank
	Cell  float64 // of its field of heights, mm
	Ruler measure.Ruler
}

// Stage is a part of a program that has a look of its own.
type Stage struct {
	From   int    // its first move
	Number int    // among the stages that cut, from 1; 0 of one that does not
	Name   string // what is done, with which cutter
	// View is the wood seen from above as it stands, and Title says what is shown of it.
	View  func(*proof.Heights) figure.MapView
	Title string
}

// Program is one program as a machine carries it out.
type Program struct {
	File   string
	Piece  *Piece // of the programs of one piece, one after another, it is the same
	Cutter path.Cutter
	Moves  []path.Move // as the blank sees them
	Text   []string    // its lines; they are written beside the moves
	Stages []Stage     // in the order of their moves; at least one

	begins, ends []float64 // of each move, seconds from the program's start; it rests between
	whole        float64   // seconds
}

// NewProgram times a program that runs on a machine with the blank laid as s says. Stops
// for the operator take no time.
func NewProgram(m machines.Machine, s path.Setup, p path.Path) Program {
	run := p
	if !s.Still() {
		run.Moves = make([]path.Move, len(p.Moves))
		for i, one := range p.Moves {
			run.Moves[i], _ = s.OnMachine(one)
		}
	}
	all := Program{Moves: p.Moves, begins: make([]float64, len(p.Moves)), ends: make([]float64, len(p.Moves))}
	next := 0
	rest := func(until int) {
		for ; next < len(p.Events) && p.Events[next].Before <= until; next++ {
			if e := p.Events[next]; e.Kind == path.Dwell && e.Value > 0 && !math.IsInf(e.Value, 0) {
				all.whole += e.Value
			}
		}
	}
	for i, d := range motion.Durations(m, run) {
		rest(i)
		all.begins[i] = all.whole
		all.whole += d
		all.ends[i] = all.whole
	}
	rest(len(p.Moves))
	return all
}

// at returns how many moves are carried out after so many seconds, and the share of the
// next one.
func (p *Program) at(seconds float64) (done int, share float64) {
	done = sort.Search(len(p.ends), func(i int) bool { return p.ends[i] > seconds })
	if done < len(p.ends) && seconds > p.begins[done] {
		share = (seconds - p.begins[done]) / (p.ends[done] - p.begins[done])
	}
	return done, share
}

// stage returns the stage that a move belongs to.
func (p *Program) stage(move int) Stage {
	n := sort.Search(len(p.Stages), func(i int) bool { return p.Stages[i].From > move })
	return p.Stages[max(0, n-1)]
}

// part returns the first share of a move; ok is false where that is no move.
func part(m path.Move, share float64) (path.Move, bool) {
	m.To = m.At(share)
	return m, m.To != m.From && !math.IsNaN(m.To.X+m.To.Y+m.To.Z)
}

// duration of seconds, to the microsecond.
func duration(s float64) time.Duration {
	return time.Duration(math.Round(s*1e6)) * time.Microsecond
}

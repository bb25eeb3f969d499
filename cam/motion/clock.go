package motion

import (
	"math"

	"dishwright/cam/path"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

// Time is what a path takes, and how far it goes.
type Time struct {
	Total          float64 // from rest to rest, dwells included, s; stops for the operator take none
	CutLength      float64 // of lines and arcs, links among them, mm
	TraverseLength float64 // of traverses, mm
}

// Estimate returns what a machine takes over a path, from rest to rest.
func Estimate(m machines.Machine, p path.Path) Time {
	c := NewClock(m)
	c.carryOut(p)
	return c.Time()
}

// Durations returns the seconds that each move of a path takes, as long as
// p.Moves. Half of the time over the rounding of a corner belongs to each of the
// moves that meet there. With the dwells they sum to the Total of Estimate.
func Durations(m machines.Machine, p path.Path) []float64 {
	c := NewClock(m)
	c.durations = make([]float64, len(p.Moves))
	c.carryOut(p)
	c.comeToRest()
	return c.durations
}

// carryOut carries out a path.
func (c *Clock) carryOut(p path.Path) {
	next := 0
	for i, m := range p.Moves {
		for ; next < len(p.Events) && p.Events[next].Before <= i; next++ {
			c.Event(p.Events[next])
		}
		c.Move(m)
	}
	for ; next < len(p.Events); next++ {
		c.Event(p.Events[next])
	}
}

// Clock times a path move by move as it is read or made, in bounded memory.
// Make one with NewClock.
//
// It holds the moves since the last rest, at most maxSegments of them. When it is
// full it settles those whose speed no later move can change. Where half of it is
// too short to brake in, it settles half as if the machine had to come to rest
// after the last move: the time is then a little long, never short.
type Clock struct {
	rules     rules
	time      Time
	plan      plan
	durations []float64 // seconds of each move; nil where they are not wanted

	index int // of the next move
}

// NewClock returns a clock for a machine at rest. A limit of the machine that is
// not a positive number does not bind.
func NewClock(m machines.Machine) *Clock {
	return &Clock{rules: newRules(m)}
}

// Move carries out a move, which is assumed to start where the one before ended.
// An axis whose start or end is not a finite number stands still; an arc that has
// such an axis takes no time; a move without a positive feed runs at the highest
// feed of its axes.
func (c *Clock) Move(m path.Move) {
	s := c.rules.segment(m)
	s.index, s.run = c.index, s.length
	c.index++
	if s.length == 0 {
		return
	}
	if s.traverse {
		c.time.TraverseLength += s.length
	} else {
		c.time.CutLength += s.length
	}
	if n := len(c.plan.segments); n > 0 {
		before := &c.plan.segments[n-1]
		if before.traverse != s.traverse {
			c.comeToRest()
		} else if c.rules.mode != exactStop {
			turn := norm(r3.Sub(s.first, before.last))
			straight := turn <= maxStraightTurn || turn*min(s.length, before.length) <= coordinateRounding
			if straight && !s.curved && !before.curved && s.feed == before.feed {
				s.straight = true
				s.run += before.run
			}
		}
	}
	c.plan.segments = append(c.plan.segments, s)
	if len(c.plan.segments) == maxSegments {
		c.settle(c.plan.planWindow(&c.rules))
	}
}

// Event carries out an event; Before is ignored. A comment or a message takes
// no time, at anything else the machine comes to rest. An optional stop is assumed
// to be switched off, but the machine comes to rest there.
func (c *Clock) Event(e path.Event) {
	if e.Kind == path.Comment || e.Kind == path.Message {
		return
	}
	c.comeToRest()
	if e.Kind == path.Dwell && e.Value > 0 && !math.IsInf(e.Value, 0) {
		c.time.Total += e.Value
	}
}

// Time brings the machine to rest and returns what it took so far.
func (c *Clock) Time() Time {
	c.comeToRest()
	return c.time
}

// comeToRest settles all moves of the plan, the last of which ends at rest.
func (c *Clock) comeToRest() {
	if len(c.plan.segments) > 0 {
		c.settle(c.plan.planAll(&c.rules))
	}
}

// settle counts the first n moves of the plan and drops them.
func (c *Clock) settle(n int) {
	p := &c.plan
	for i := range p.pieces[:p.firstPiece[n]] {
		pc := &p.pieces[i]
		all := pc.seconds(p.speedSquared[i], p.speedSquared[i+1])
		if math.IsNaN(all) || math.IsInf(all, 0) {
			continue // limits or lengths near the largest float64
		}
		c.time.Total += all
		if c.durations != nil {
			c.durations[p.segments[pc.segment].index] += all
		}
	}
	p.drop(n)
}

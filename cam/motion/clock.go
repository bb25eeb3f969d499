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
	c := carryOut(m, p)
	return c.time
}

// Durations returns the seconds that each move of a path takes, as long as
// p.Moves. Half of the time over the rounding of a corner belongs to each of the
// moves that meet there. With the dwells they sum to the Total of Estimate.
func Durations(m machines.Machine, p path.Path) []float64 {
	c := carryOut(m, p)
	return c.durations
}

// maxSegments is how many moves a plan holds, in under 10 MB. A needless rest adds v/a, under
// half a second on a light router, to the many minutes that so many moves take.
const maxSegments = 1 << 15

// clock times a path move by move, in bounded memory. It holds the moves since the last
// rest, at most maxSegments of them. When it is full it takes the machine for at rest: the
// time is then a little long, never short.
type clock struct {
	rules     rules
	plan      plan
	time      Time
	durations []float64 // seconds of each move
}

// carryOut carries out a path.
func carryOut(m machines.Machine, p path.Path) clock {
	c, next := clock{rules: newRules(m), durations: make([]float64, len(p.Moves))}, 0
	for i, move := range p.Moves {
		for ; next < len(p.Events) && p.Events[next].Before <= i; next++ {
			c.event(p.Events[next])
		}
		c.move(i, move)
	}
	for ; next < len(p.Events); next++ {
		c.event(p.Events[next])
	}
	c.comeToRest()
	return c
}

// move carries out the move of an index, which is assumed to start where the one before ended.
// An axis whose start or end is not a finite number stands still; an arc that has
// such an axis takes no time; a move without a positive feed runs at the highest
// feed of its axes.
func (c *clock) move(index int, m path.Move) {
	s := c.rules.segment(m)
	s.index, s.run = index, s.length
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
		c.comeToRest()
	}
}

// event carries out an event. A comment or a message takes
// no time, at anything else the machine comes to rest. An optional stop is assumed
// to be switched off, but the machine comes to rest there.
func (c *clock) event(e path.Event) {
	if e.Kind == path.Comment || e.Kind == path.Message {
		return
	}
	c.comeToRest()
	if e.Kind == path.Dwell && e.Value > 0 && !math.IsInf(e.Value, 0) {
		c.time.Total += e.Value
	}
}

// comeToRest counts all moves of the plan, the last of which ends at rest.
func (c *clock) comeToRest() {
	p := &c.plan
	p.setMeetings(&c.rules)
	p.makePieces()
	p.setSpeeds()
	for i := range p.pieces {
		pc := &p.pieces[i]
		all := pc.seconds(p.speedSquared[i], p.speedSquared[i+1])
		if math.IsNaN(all) || math.IsInf(all, 0) {
			continue // limits or lengths near the largest float64
		}
		c.time.Total += all
		c.durations[p.segments[pc.segment].index] += all
	}
	p.segments = p.segments[:0]
}

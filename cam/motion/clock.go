package motion

import (
	"math"

	"dishwright/cam/path"
	"dishwright/machines"
	"gonum.org/v1/gonum/spatial/r3"
)

// Estimate returns what a machine takes over a path, from rest to rest.
func Estimate(m machines.Machine, p path.Path) Time {
	c := NewClock(m)
	c.walk(p)
	return c.Time()
}

// Durations returns the seconds that each move of a path takes, as long as
// p.Moves: whoever knows which moves cut and which link can add them up. The
// rounding of a corner belongs by halves to the moves that meet there. With the
// dwells they sum to the Total of Estimate.
func Durations(m machines.Machine, p path.Path) []float64 {
	c := NewClock(m)
	c.each = make([]float64, len(p.Moves))
	c.walk(p)
	c.rest()
	return c.each
}

// walk carries out a path.
func (c *Clock) walk(p path.Path) {
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
// It holds the moves since the last rest, at most window of them. Past that it
// settles those whose speed no later move can change. Where half a window is
// too short to brake in, it settles half of it as if the machine had to come to
// rest at the window's end: the time is then a little long, never short.
type Clock struct {
	rules rules
	time  Time
	plan  plan
	each  []float64 // seconds of each move, where asked for

	index    int  // of the next move
	starting bool // SpindleOn, and no move since
}

// NewClock returns a clock for a machine at rest. A limit of the machine that is
// not a positive number does not bind.
func NewClock(m machines.Machine) *Clock {
	return &Clock{rules: newRules(m)}
}

// Move carries out a move. It is taken to start where the one before ended. An
// axis whose start or end is not a finite number stands still; an arc with one
// takes no time; a move without a positive feed runs at the axes' highest. Each
// is counted in Time.Unknown.
func (c *Clock) Move(m path.Move) {
	index := c.index
	c.index++
	c.starting = false
	s, complete := c.rules.segment(m)
	if !complete {
		c.time.Unknown++
	}
	if s.length == 0 {
		return
	}
	s.index = index
	s.run = s.length
	if s.traverse {
		c.time.TraverseLength += s.length
	} else {
		c.time.CutLength += s.length
	}
	if n := len(c.plan.segments); n > 0 {
		before := &c.plan.segments[n-1]
		if before.traverse != s.traverse {
			c.rest()
		} else if c.rules.mode != exactStop {
			bend := norm(r3.Sub(s.first, before.last))
			none := bend <= unbent || bend*min(s.length, before.length) <= rounding
			if none && !s.curved && !before.curved && s.feed == before.feed {
				s.straight = true
				s.run += before.run
			}
		}
	}
	c.plan.segments = append(c.plan.segments, s)
	if len(c.plan.segments) == window {
		c.settle(c.plan.spill(&c.rules))
	}
}

// Event carries out an event; Before is ignored. A comment or a message takes
// no time, at anything else the machine comes to rest. An optional stop is taken
// to be switched off, but the machine rests to look.
func (c *Clock) Event(e path.Event) {
	if e.Kind == path.Comment || e.Kind == path.Message {
		return
	}
	c.rest()
	switch e.Kind {
	case path.Stop:
		c.time.Stops++
	case path.SpindleOn:
		c.starting = true
	case path.SpindleOff:
		c.starting = false
	case path.Dwell:
		if !(e.Value > 0) || math.IsInf(e.Value, 0) {
			return
		}
		if c.starting {
			c.time.SpindleStart += e.Value
		} else {
			c.time.Dwelling += e.Value
		}
		c.time.Limited[Waiting] += e.Value
	}
}

// Time brings the machine to rest and returns what it took so far.
func (c *Clock) Time() Time {
	c.rest()
	t := c.time
	t.Total = t.Feeding + t.Traversing + t.Dwelling + t.SpindleStart
	return t
}

// rest brings the machine to rest after the moves at hand.
func (c *Clock) rest() {
	if len(c.plan.segments) > 0 {
		c.settle(c.plan.whole(&c.rules))
	}
}

// settle counts the first n moves of the plan and drops them.
func (c *Clock) settle(n int) {
	p := &c.plan
	for i := range p.pieces[:p.begin[n]] {
		part := &p.pieces[i]
		s := &p.segments[part.of]
		up, level, down := part.seconds(p.speed[i], p.speed[i+1])
		all := up + level + down
		if math.IsNaN(all) || math.IsInf(all, 0) {
			c.time.Unknown++ // only where limits or lengths are near the largest numbers
			continue
		}
		if s.traverse {
			c.time.Traversing += all
		} else {
			c.time.Feeding += all
		}
		if s.vertical {
			c.time.Vertical += all
		}
		c.time.Accelerating += up + down
		c.time.Limited[p.why[i]] += up
		c.time.Limited[part.limit] += level
		c.time.Limited[p.why[i+1]] += down
		if c.each != nil {
			c.each[s.index] += all
		}
	}
	p.drop(n)
}

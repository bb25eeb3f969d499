package proof

import (
	"math"

	"dishwright/cam/path"
)

const (
	// sideRoom and roomAbove are how close, in mm, anything that moves may come
	// to a hold-down from the side and from above.
	sideRoom, roomAbove = 2.0, 2.0
	// airAbove is the least height in mm over the blank's top and every hold-down
	// at which the cutter may go sideways in a traverse: more than any error of
	// touching off.
	airAbove = 2.0
)

// safe returns the height over which everything is passed.
func (c Case) safe() float64 {
	top := 0.0
	for _, h := range c.HoldDowns {
		top = math.Max(top, h.Height)
	}
	return top + airAbove
}

// progress is how far a program has come.
type progress struct {
	stopped bool // a stop has let the operator read
	lifted  bool // the tip stands clear of everything
	turning bool
	told    [3]bool // what has been accused once already
	ended   bool
}

// order follows stop, lift, spindle, work, lift, end.
func (j *judge) order() {
	var g progress
	hand, e := j.c.Machine.Hand(), 0
	events, moves := j.p.Path.Events, j.p.Path.Moves
	for i := 0; i <= len(moves); i++ {
		for ; e < len(events) && events[e].Before <= i; e++ {
			j.event(&g, events[e], hand)
		}
		if i < len(moves) {
			j.step(&g, moves[i])
		}
	}
	var last path.Source
	if n := len(events); n > 0 {
		last = events[n-1].Source
	}
	if !g.ended {
		j.find(KindOrder, last, 0, 0, 0, "the program does not end with M2 or M30")
	}
	if g.turning {
		j.find(KindSpindle, last, 0, 0, 0, "the spindle still turns when the program ends")
	}
	if j.c.Machine.PathMode != "" && j.p.PathMode != j.c.Machine.PathMode {
		j.find(KindPathMode, path.Source{Line: 1, Column: 1}, 0, 0, 0, "the path mode is %q; the machine's profile says %q", j.p.PathMode, j.c.Machine.PathMode)
	}
}

// once reports the first time only.
func once(told *bool) bool {
	first := !*told
	*told = true
	return first
}

// event carries out an event of the order.
func (j *judge) event(g *progress, e path.Event, hand bool) {
	m, c := j.c.Machine, j.p.Cutter
	switch e.Kind {
	case path.Stop:
		if hand && g.stopped && g.lifted { // the router is switched on, or off at the end
			g.turning = !g.turning
		}
		g.stopped = true
	case path.SpindleOn:
		if !g.stopped && once(&g.told[0]) {
			j.find(KindOrder, e.Source, 0, 0, 0, "the spindle starts before the first stop (M0)")
		}
		if !g.lifted && once(&g.told[1]) {
			j.find(KindOrder, e.Source, 0, 0, 0, "the spindle starts before the cutter is lifted")
		}
		if hand {
			j.find(KindSpindle, e.Source, 0, 0, 0, "M3 on a machine whose router is switched by hand")
			return
		}
		g.turning = true
		over := math.Max(e.Value-math.Min(m.Spindle.Fastest, c.FastestSpeed), m.Spindle.Slowest-e.Value)
		if !(over <= 0) {
			j.find(KindSpindle, e.Source, 0, 0, over, "a spindle speed of %g; from %g to %g are allowed", e.Value, m.Spindle.Slowest, math.Min(m.Spindle.Fastest, c.FastestSpeed))
		}
	case path.SpindleOff:
		g.turning = false
	case path.CutterCall:
		if g.lifted {
			j.find(KindCutter, e.Source, 0, 0, 0, "the cutter is changed in the middle of the program")
		}
	case path.End:
		g.ended = true
		if hand && g.turning {
			j.find(KindOrder, e.Source, 0, 0, 0, "the program ends without a stop that says to switch the router off")
		}
		g.turning = false // M2 and M30 stop it
	}
}

// step carries out a move of the order.
func (j *judge) step(g *progress, m path.Move) {
	if !g.stopped && once(&g.told[0]) {
		j.find(KindOrder, m.Source, m.To.X, m.To.Y, 0, "something moves before the first stop (M0)")
	}
	sideways := (m.From.X != m.To.X && !math.IsNaN(m.To.X)) || (m.From.Y != m.To.Y && !math.IsNaN(m.To.Y)) || m.Kind == path.Arc
	if m.To.Z >= j.c.safe() && !sideways {
		g.lifted = true
	}
	if sideways && !g.lifted && once(&g.told[1]) {
		j.find(KindOrder, m.Source, m.To.X, m.To.Y, 0, "the cutter moves sideways before it is lifted clear of everything")
	}
	if m.Kind != path.Traverse && !g.turning && !(m.To.Z >= j.c.safe()) && once(&g.told[2]) {
		j.find(KindSpindle, m.Source, m.To.X, m.To.Y, 0, "the cutter feeds into the work while the spindle stands still")
	}
	if g.turning {
		g.told[2] = false
	}
}

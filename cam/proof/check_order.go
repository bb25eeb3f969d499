package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish/measure"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// sideClearance and topClearance are how close, in mm, anything that moves may come
	// to an obstacle from the side and from above.
	sideClearance, topClearance = 2.0, 2.0
	// traverseClearance is the least height in mm over the blank's top and every
	// obstacle at which the cutter may traverse sideways: more than any error of
	// touching off.
	traverseClearance = 2.0
)

// clearHeight returns the height from which on the cutter is clear of everything.
func (c Case) clearHeight() float64 {
	top := c.SkimDepth
	for _, h := range c.Obstacles {
		top = max(top, h.Height)
	}
	return top + traverseClearance
}

// clear reports whether a height counts as clear of everything: it may be short by as much as
// the depth of a gouge, for one that is written in another unit is rounded.
func (c Case) clear(z float64) bool { return z >= c.clearHeight()-GougeTolerance }

// programState is how far a program has come.
type programState struct {
	stopped         bool    // there was a stop at which the operator can read
	lifted          bool    // the tip has been lifted clear of everything
	z               float64 // of the tip now; NaN where not known
	turning         bool    // for a hand router: it has been switched on
	speed           float64 // at which it turns, 1/min; while it stands still, the last one
	rested          float64 // for how long the cutter has hardly moved on, s
	spinTime        float64 // least time since it began to turn, or to turn faster, s
	reached         float64 // the speed that it surely turns at, 1/min; 0 until it had the time that it needs
	stillReported   bool    // cutting while the spindle stands still
	earlyReported   bool    // moving, turning or flowing before the first stop
	unclearReported bool    // moving or turning before the cutter is lifted

	cutSinceStop      bool        // something was cut since the last stop
	sidewaysSinceStop path.Source // the first move sideways since the last stop
}

// checkOrder checks the order of stop, lift, spindle, work, lift and end.
func (j *checker) checkOrder() {
	g := programState{z: math.NaN()}
	events, moves := j.program.Path.Events, j.program.Path.Moves
	e := 0
	for i := 0; i <= len(moves); i++ {
		for ; e < len(events) && events[e].Before <= i; e++ {
			j.event(&g, events[e])
		}
		if i < len(moves) {
			j.step(&g, i, moves[i])
		}
	}
	var last path.Source
	if n := len(events); n > 0 {
		last = events[n-1].Source
	}
	if !j.program.Interrupted {
		j.end(&g, last)
	}
}

// end checks how the program ends. A text between percent lines needs no M2.
func (j *checker) end(g *programState, at path.Source) {
	hand := j.limits.Machine.HandRouter()
	switch {
	case !g.turning:
	case !hand:
		j.report(KindSpindle, at, 0, 0, 0, "the spindle still turns when the program ends")
	case g.cutSinceStop:
		j.report(KindOrder, at, 0, 0, 0, "the program ends without a stop that lets the router be switched off")
	case g.sidewaysSinceStop != path.Source{}:
		j.report(KindOrder, g.sidewaysSinceStop, 0, 0, 0, "the cutter moves sideways after the stop at which the router is switched off")
	case g.z < j.top:
		j.report(KindOrder, at, 0, 0, -g.z, "the program ends while the cutter stands in the blank")
	}
	g.turning = false
}

// firstTime sets what was reported, and returns whether it was not yet.
func firstTime(reported *bool) bool {
	first := !*reported
	*reported = true
	return first
}

// event checks an event and updates the state.
func (j *checker) event(g *programState, e path.Event) {
	hand := j.limits.Machine.HandRouter()
	switch e.Kind {
	case path.OptionalStop:
		j.rest(g, e, math.Inf(1))
	case path.Stop:
		j.rest(g, e, math.Inf(1))
		// A hand router is switched on at the first stop where the cutter is clear.
		// What the operator does at a later one is not in the text: it goes on turning,
		// as fast as the job says that the cutter runs.
		if hand && g.stopped && g.lifted && j.limits.clear(g.z) {
			g.turning = true
			g.speed, _, _ = j.limits.Machine.SpindleSpeed(min(j.program.Cutter.Speed, j.program.Cutter.FastestSpeed))
		}
		g.stopped, g.cutSinceStop, g.sidewaysSinceStop = true, false, path.Source{}
	case path.SpindleOn:
		j.spindleOn(g, e, hand)
	case path.SpindleOff:
		if hand {
			return // M5 turns nothing off there
		}
		if g.turning && g.z < j.top {
			j.report(KindOrder, e.Source, 0, 0, -g.z, "the spindle stops while the cutter stands in the blank")
		}
		g.turning = false
	case path.Dwell:
		g.spinTime += e.Value
		j.rest(g, e, e.Value)
	case path.CoolantOn:
		if !g.stopped && firstTime(&g.earlyReported) {
			j.report(KindOrder, e.Source, 0, 0, 0, "coolant or air is switched on before the first stop (M0)")
		}
	case path.CutterCall:
		j.change(g, e)
	}
}

// change finds fault with M6 wherever it stands: a change may include axis motion (NISTIR
// 6556, 3.6.3, from memory), and nothing in the text says which, nor how long the next cutter
// is. T alone moves nothing.
func (j *checker) change(g *programState, e path.Event) {
	switch {
	case !g.stopped:
		if firstTime(&g.earlyReported) {
			j.report(KindOrder, e.Source, 0, 0, 0, "the cutter is changed before the first stop (M0), and a change may move axes")
		}
	case !g.lifted:
		if firstTime(&g.unclearReported) {
			j.report(KindOrder, e.Source, 0, 0, 0, "the cutter is changed before it is lifted clear of everything, and a change may move axes")
		}
	default:
		j.report(KindCutter, e.Source, 0, 0, 0, "the cutter is changed in the middle of the program")
	}
}

// spindleOn carries out M3, or another S while the spindle turns.
func (j *checker) spindleOn(g *programState, e path.Event, hand bool) {
	if hand {
		j.report(KindSpindle, e.Source, 0, 0, 0, "M3 on a machine whose router is switched by hand")
		return
	}
	if !g.stopped && firstTime(&g.earlyReported) {
		j.report(KindOrder, e.Source, 0, 0, 0, "the spindle starts before the first stop (M0)")
	}
	if !g.turning {
		if !(g.lifted && j.limits.clear(g.z)) && firstTime(&g.unclearReported) {
			j.report(KindOrder, e.Source, 0, 0, 0, "the spindle starts before the cutter is lifted clear of everything")
		}
		g.turning, g.stillReported, g.speed, g.reached = true, false, 0, 0
	}
	if e.Value > g.speed {
		j.spinUp(g)
		g.spinTime = 0
	}
	g.speed, g.reached = e.Value, min(g.reached, e.Value)
	fastest := j.limits.Machine.Spindle.Fastest
	if f := j.program.Cutter.FastestSpeed; f > 0 {
		fastest = min(fastest, f)
	}
	slowest := j.limits.Machine.Spindle.Slowest
	if over := max(e.Value-fastest, slowest-e.Value); breaks(over, 0) {
		j.report(KindSpindle, e.Source, 0, 0, over, "a spindle speed of %g; from %g to %g are allowed", e.Value, slowest, fastest)
	}
}

// step checks a move and updates the state.
func (j *checker) step(g *programState, i int, m path.Move) {
	if !g.stopped && firstTime(&g.earlyReported) {
		j.report(KindOrder, m.Source, m.To.X, m.To.Y, 0, "something moves before the first stop (M0)")
	}
	if m.Sideways() {
		if !g.lifted && firstTime(&g.unclearReported) {
			j.report(KindOrder, m.Source, m.To.X, m.To.Y, 0, "the cutter moves sideways before it is lifted clear of everything")
		}
		if (g.sidewaysSinceStop == path.Source{}) {
			g.sidewaysSinceStop = m.Source
		}
	} else if j.limits.clear(m.To.Z) {
		g.lifted = true
	}
	g.z = m.To.Z
	if m.Kind != path.Traverse {
		g.cutSinceStop = true
		j.checkSpinning(g, m)
	}
	if g.turning {
		j.checkChips(g, i, m)
	}
	if g.reached < g.speed {
		g.spinTime += minTime(j.limits.Machine, j.onMachine(m))
	}
}

// spinUp takes note that the spindle is at its speed, where it had the time for that.
func (j *checker) spinUp(g *programState) {
	if !breaks(j.limits.Machine.Spindle.StartTime, float64(g.spinTime*(1+rateTolerance))) {
		g.reached = g.speed
	}
}

// checkSpinning finds a feed move into the blank while the spindle does not turn, or
// not yet at full speed.
func (j *checker) checkSpinning(g *programState, m path.Move) {
	if g.turning && g.reached == g.speed {
		return
	}
	if lo, _ := m.Box(); lo.Z >= j.top {
		return
	}
	if !g.turning {
		if firstTime(&g.stillReported) {
			j.report(KindSpindle, m.Source, m.To.X, m.To.Y, 0, "the cutter feeds into the work while the spindle stands still")
		}
		return
	}
	if j.spinUp(g); g.reached == 0 {
		start := j.limits.Machine.Spindle.StartTime
		j.report(KindSpindle, m.Source, m.To.X, m.To.Y, start-g.spinTime, "the cutter feeds into the work maybe %v s after the spindle starts; %s needs %v s to full speed", measure.Number(g.spinTime, 1).Against(start), j.limits.Machine.Name, measure.Number(start, 1).Against(g.spinTime))
		g.reached = g.speed
	}
}

// minTime returns the least time in seconds that a move takes: that of its length at
// its feed or at the machine's rapid, without speeding up and slowing down; 0 where
// its length is not known.
func minTime(m machines.Machine, v path.Move) float64 {
	if v.Kind != path.Traverse {
		if t := float64(v.Length() / v.Feed * 60); t > 0 && !math.IsInf(t, 1) {
			return t
		}
		return 0
	}
	d := r3.Sub(v.To, v.From)
	longest := 0.0
	for _, a := range [...][2]float64{{d.X, m.Rapid.X}, {d.Y, m.Rapid.Y}, {d.Z, m.Rapid.Z}} {
		if t := float64(math.Abs(a[0]) / a[1] * 60); t > longest && !math.IsInf(t, 1) {
			longest = t
		}
	}
	return longest
}

// checkPathModes checks that corners are taken as the profile says: in the mode that it
// names, or with no word of that group. The two modes that round no corner are allowed
// with every profile (NISTIR 6556, 3.5.14). The mode at the end is the next program's too:
// no end of a program resets it (3.6.1).
func (j *checker) checkPathModes() {
	want := j.limits.Machine.PathMode
	said := fmt.Sprintf("the profile of %s says %q", j.limits.Machine.Name, want)
	if want == "" {
		said = "the profile of " + j.limits.Machine.Name + " names none"
	}
	modes, moves, next, reported := j.program.PathModes, j.program.Path.Moves, 0, false
	text, at := "", path.Source{}
	for i := range len(moves) + 1 {
		for ; next < len(modes) && modes[next].Before <= i; next++ {
			text, at, reported = modes[next].Text, modes[next].Source, false
		}
		if reported || text == want || ExactPathMode(text) {
			continue
		}
		if i == len(moves) {
			if text != "" {
				j.report(KindPathMode, at, 0, 0, 0, "the program leaves the path mode %q on, in which the next one would run; %s", text, said)
			}
			return
		}
		m := moves[i]
		if m.Kind == path.Traverse {
			continue
		}
		reported = true
		if text == "" {
			j.report(KindPathMode, m.Source, m.To.X, m.To.Y, 0, "no path mode is selected before the first cut, so how far corners are rounded is not known; %s", said)
			continue
		}
		j.report(KindPathMode, at, m.To.X, m.To.Y, 0, "the path mode is %q; %s", text, said)
	}
}

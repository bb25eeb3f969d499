package sides

import (
	"math"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/rim"
)

// left returns the least and the most that is left where the zone that is being sanded was read
// last, and whether every place that was measured is done.
func (l *Log) left() (least, most float64, done bool) {
	least, most, done = math.Inf(1), math.Inf(-1), true
	for _, p := range l.Places {
		if done = done && !l.pace.More(p.LeftMM); p.now {
			least, most = min(least, p.LeftMM), max(most, p.LeftMM)
		}
	}
	if least > most { // none was: then by what is known
		for _, p := range l.Places {
			least, most = min(least, p.LeftMM), max(most, p.LeftMM)
		}
	}
	return max(0, least), most, done
}

// slowest is the forecast of the place that comes to its width last, or of the mean where that
// is later.
func (l *Log) slowest() Trend {
	for _, p := range l.Places {
		if p.Name == l.Slowest && p.Rounds != nil && (l.Mean.Rounds == nil || *p.Rounds > *l.Mean.Rounds) {
			return p.Trend
		}
	}
	return l.Mean
}

// stop says when the sanding stops.
func (l *Log) stop() measure.Said {
	stop := measure.Say("stop when every width is within %v", mm(min(l.ToleranceMM, rim.HandTolerance)))
	if l.Next != "" {
		stop = measure.Say("it is done when every width there is within %v; then the %s", mm(min(l.ToleranceMM, rim.HandTolerance)), l.Next)
	}
	if l.pace.Coarse {
		stop = measure.Say("%v, which readings to %v do not tell: read finer", stop, mm(l.StepMM))
	}
	return stop
}

// judge says in a sentence how it stands.
func (l *Log) judge() {
	least, most, done := l.left()
	if !l.pace.More(most) || len(l.Again) > 0 { // nothing is left to press for, or nobody knows
		l.Press, l.PressMM = even, 0
	}
	press := measure.Say("pressed evenly")
	if l.Press != even {
		press = measure.Say("pressing the %s", l.Press)
	}
	of := ""
	if l.Next != "" {
		of = "the " + l.Zone + ": "
	}
	m := l.Mean
	switch {
	case l.Gone != nil:
		l.State = stateGone
		l.Verdict = measure.Say("too much is gone at the %s, up to %v below its width: stop there", strings.Join(l.Gone.Places, ", "), mm(l.Gone.MissingMM))
	case len(l.Again) > 0:
		l.State = stateAgain
		l.Verdict = measure.Say("measure the %s again before another stroke: as read, too much is gone there, but that does not fit what was read before", strings.Join(l.Again, ", "))
	case done && l.pace.Coarse:
		l.State = stateFiner
		l.Verdict = measure.Say("read to %v or finer before another stroke: every place that was measured is within %v of its width, and readings to %v tell no more", mm(rim.HandTolerance), mm(l.ToleranceMM), mm(l.StepMM))
	case done:
		l.State, l.Verdict = stateDone, measure.Say("stop: every place that was measured is within %v of its width", mm(l.ToleranceMM))
	case m.PerRound == nil:
		l.State, l.Verdict = stateNoPace, measure.Say("%s%v to %v are left to come off, %v; one round tells no pace, a second one does; %v", of, mm(least), mm(most), press, l.stop())
	case -*m.PerRound > l.ToleranceMM:
		l.State, l.Verdict = stateUnresolved, measure.Say("the widths grew, by %v a round on the mean, and no sanding does that: are the rounds in reverse, or misread? measure again; %v", mm(-*m.PerRound), l.stop())
	case !m.Resolved:
		l.State, l.Verdict = stateUnresolved, measure.Say("%s%v to %v are left to come off, %v; in how many rounds is not resolved: what comes off in one is no more than the readings' noise; %v", of, mm(least), mm(most), press, l.stop())
	default:
		l.State, l.Verdict = stateSanding, measure.Say("%sabout %s, %v; %v", of, l.slowest().more(), press, l.stop())
	}
}

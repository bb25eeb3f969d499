package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// mostRaised is how many times the chip load a feed may make at most, however little
	// it bites.
	mostRaised = 1.5
	// crawlShare is the share of the feed of the full chip load below which a cutter rubs
	// and burns rather than cuts.
	crawlShare = 0.01
)

// checkChips holds a move that can cut against the chip load at the speed that the spindle
// has surely reached, and counts how long the cutter hardly moves on. A feed in the air
// above the blank cuts no chips.
func (j *checker) checkChips(g *programState, i int, m path.Move) {
	c := j.program.Cutter
	a := float64(float64(c.Flutes) * c.ChipLoad)
	j.crawl(g, i, m, float64(a*g.speed))
	full := float64(a * g.reached)
	if lo, _ := m.Box(); m.Kind == path.Traverse || !(lo.Z < j.top) || !(full > 0) || m.Feed <= full*(1+rateTolerance) {
		return
	}
	if most := float64(full * mostRaised); breaks(m.Feed, float64(most*(1+rateTolerance))) {
		still := ""
		if g.reached < g.speed {
			still = "that it may still turn at, "
		}
		j.report(KindFeed, m.Source, m.To.X, m.To.Y, m.Feed-most, "a feed of %v is over %.1f times the chip load of %s at the %.0f rpm %s(%v)", measure.Rate(m.Feed).Against(most), mostRaised, c.Name, g.reached, still, measure.Rate(most).Against(m.Feed))
		return
	}
	if j.raised == nil {
		j.raised = make([]float64, len(j.program.Path.Moves))
	}
	j.raised[i] = m.Feed / full
}

// mostBite returns how deep a move may bite that makes k times the chip load: what a tooth
// cuts off, its chip's thickness times the bite, is then no more than at the chip load and
// the depth of cut that the cutter states.
func (j *checker) mostBite(k float64) float64 {
	return j.program.Cutter.DepthOfCut / max(1, k)
}

// checkThickChips finds moves with a raised feed among those that bite deep. A bite may be
// overstated by the field's slack.
func (j *checker) checkThickChips(s *Stock, deep []MoveBite) {
	if j.raised == nil {
		return
	}
	for _, b := range deep {
		k, m := j.raised[b.Index], j.program.Path.Moves[b.Index]
		if k > 1 && breaks(b.Depth-s.Slack(s.Slope), j.mostBite(k)) {
			j.report(KindFeed, m.Source, b.X, b.Y, float64(m.Feed*(1-1/k)), "a feed of %v makes %.2f times the chip load of %s with a bite of %v; that much is for bites of up to %v", measure.Rate(m.Feed), k, j.program.Cutter.Name, measure.MM(b.Depth).Against(j.mostBite(k)), measure.MM(j.mostBite(k)).Against(b.Depth))
		}
	}
}

// rest is a place in the program where the cutter turns and hardly moves on, where it may
// stand in wood.
type rest struct {
	moves   int // that come before it, with one that crawls
	seconds float64
	crawls  bool
	at      path.Source
}

// rest takes note that the cutter rests for a time where it is, for ever at a stop. Less
// than a turn brings no tooth to the same place twice.
func (j *checker) rest(g *programState, e path.Event, seconds float64) {
	if !g.turning || !(g.z < j.top) {
		return
	}
	if rested := g.rested + seconds; j.turns(g, rested) {
		j.rests = append(j.rests, rest{e.Before, rested, false, e.Source})
	}
	if !math.IsInf(seconds, 1) {
		g.rested += seconds
	}
}

// turns reports whether the cutter turns round in a time.
func (j *checker) turns(g *programState, seconds float64) bool { return seconds*g.speed >= 60 }

// crawl counts how long a move takes beyond its time at crawlShare of the feed of the full
// chip load. Quicker ones win that back, so that many short rests with short ways between
// count like a long one. Where a machine cannot feed faster its own limit counts.
func (j *checker) crawl(g *programState, i int, m path.Move, full float64) {
	least := float64(full * crawlShare)
	if g.rested == 0 && (m.Kind == path.Traverse || m.Feed >= least) {
		return // as nearly always
	}
	if m.Kind != path.Traverse && m.Feed < least {
		limit, cosine := j.limits.Machine.Feed, cosines(j.onMachine(m))
		for k, most := range [...]float64{limit.X, limit.Y, limit.Z} {
			least = min(least, most/cosine[k]*crawlShare)
		}
	}
	lo, _ := m.Box()
	length, time := m.Length(), minTime(j.limits.Machine, m)
	switch {
	case !(lo.Z < j.top):
		g.rested = 0
		return
	case !(length > 0): // not known, or none
	case !(least > 0):
		g.rested = 0
	default:
		g.rested = max(0, g.rested+time-float64(60*length/least))
	}
	if m.Kind != path.Traverse && m.Feed < least && j.turns(g, g.rested) {
		j.rests = append(j.rests, rest{i + 1, g.rested, true, m.Source})
	}
}

// checkRests finds the rests at which the cutter is in wood: where it stands, or where a
// crawl begins or ends, something within its disc is as high as its tip; or the crawl cuts.
func (j *checker) checkRests(s *Stock) {
	if len(j.rests) == 0 {
		return
	}
	c, moves, done, found := j.program.Cutter, j.program.Path.Moves, 0, 0
	s = s.Clone()
	s.tally.of = j.limits.budget
	defer s.tally.flush()
	s.cutAll(Cut{Cutter: c})
	across := 2*c.Radius()/s.cellSize + 2
	looks := 1 + int(across*across)/cellsPerLook
	inWood := func(tip r3.Vec) bool {
		return s.HighestInDisc(tip.X, tip.Y, c.Radius()) > tip.Z-coordinateGuard
	}
	for _, r := range j.rests {
		if s.tally.add(3 * looks) {
			return
		}
		before := r.moves
		if r.crawls {
			before--
		}
		if before > done {
			s.cutOn(c, moves[done:before])
			done = before
		}
		m := moves[r.moves-1]
		wood := false
		if r.crawls {
			wood = inWood(m.From)
			wood = s.Cut(c, m).Depth > 0 || wood
			done = r.moves
		}
		if !wood && !inWood(m.To) {
			continue
		}
		switch {
		case r.crawls:
			j.report(KindFeed, r.at, m.To.X, m.To.Y, 0, "a feed of %v is a crawl in the wood: it burns", measure.SlowRate(m.Feed))
		case math.IsInf(r.seconds, 1):
			j.report(KindSpindle, r.at, m.To.X, m.To.Y, 0, "a stop while the cutter turns in the wood: it burns")
		default:
			j.report(KindSpindle, r.at, m.To.X, m.To.Y, r.seconds, "the cutter turns in the wood for %.3g s and hardly moves on: it burns", r.seconds)
		}
		if found++; found >= maxPerKind {
			return
		}
	}
}

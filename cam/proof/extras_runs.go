package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"
	"dishwright/dish/extra"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// leastAside is how long, in mm, the last way in the air is at least where a run asks for one:
// more than the play of a hobby router's screws and belts (common practice).
const leastAside = 0.9

// Runs leave marks that are measured, so they are held more strictly than what only has to be
// cut away: each is one way down and along its line, to half a step of the coordinates,
// nothing beside it and nothing below it; the axis square to it last moves in the air, the way
// that is asked for; and they come in their order.

// dip is how a tip goes down below the blank's top once, and comes up again.
type dip struct {
	program string
	moves   []path.Move // that reach below the top, in the order of the text
	before  []path.Move // of the same program
}

// dips are those of all programs.
func dips(programs []Program, t *tally) (list []dip) {
	for _, p := range programs {
		down := false
		for i, m := range p.Path.Moves {
			if t.add(1) {
				return list
			}
			lo, _ := m.Box()
			if lo.Z >= 0 { // one that is not known is below
				down = false
				continue
			}
			if !down {
				list = append(list, dip{program: p.Name, before: p.Path.Moves[:i]})
				down = true
			}
			d := &list[len(list)-1]
			d.moves = append(d.moves, m)
			if m.Kind == path.Traverse && !m.Sideways() && m.To.Z >= 0 {
				down = false
			}
		}
	}
	return list
}

// wrongRuns lists the runs that are not cut, or not as they should be, and whatever is cut
// besides.
func (c Case) wrongRuns(programs []Program, t *tally) (list []Finding) {
	find := func(d dip, at path.Move, kind Kind, amount float64, message measure.Said) {
		if len(list) < maxPerKind {
			list = append(list, Finding{Program: d.program, Line: at.Source.Line, Column: at.Source.Column, Kind: kind, X: numberOr(at.To.X, 0), Y: numberOr(at.To.Y, 0), Amount: finiteOr(amount, 0), Message: message})
		}
	}
	tol := c.Machine.Step() / 2
	all := dips(programs, t)
	of, done := make([]int, len(all)), make([]bool, len(c.Extras.Runs)) // the run that each is
	for i, d := range all {
		of[i] = -1
		for k, r := range c.Extras.Runs {
			if t.add(len(d.moves)) {
				return list
			}
			if !done[k] && d.strays(r, tol) == nil {
				of[i], done[k] = k, true
				break
			}
		}
	}
	last := -1
	for i, d := range all {
		k := of[i]
		if k < 0 {
			f, near := d.wrong(c.Extras.Runs, done, tol)
			if near >= 0 {
				done[near] = true // it has been told
			}
			find(d, f.at, KindExtra, f.amount, f.message)
			continue
		}
		r := c.Extras.Runs[k]
		if k < last {
			find(d, d.moves[0], KindOrder, 0, measure.Say("%s is cut after %s, which comes later", r.Name, c.Extras.Runs[last].Name))
		}
		last = max(last, k)
		if at, ok := d.fromAside(r, tol); !ok {
			find(d, at, KindExtra, 0, measure.Say("before %s the tip does not come in the air from the side that its mark rests on: last at least %s %s", r.Name, measure.MM(leastAside), towards(r.Aside)))
		}
	}
	for k, r := range c.Extras.Runs {
		if !done[k] && len(list) < maxPerKind {
			f := Finding{Line: 1, Column: 1, Kind: KindExtra, X: r.From.X, Y: r.From.Y, Message: measure.Say("%s is not cut as it should be: from %v to %v, %v deep at its end", r.Name, measure.At(r.From.X, r.From.Y), measure.At(r.To.X, r.To.Y), measure.MM(-r.To.Z))}
			if n := len(programs); n > 0 {
				f.Program = programs[n-1].Name
			}
			list = append(list, f)
		}
	}
	return list
}

// towards says which way a unit vector along an axis points.
func towards(v r2.Vec) string {
	switch {
	case v.X > 0:
		return "towards +X"
	case v.X < 0:
		return "towards -X"
	case v.Y > 0:
		return "towards +Y"
	}
	return "towards -Y"
}

// stray is where a dip is not the run that it should be.
type stray struct {
	at      path.Move
	amount  float64
	message measure.Said
}

// wrong says what is wrong with a dip that is no run: what keeps it from being the nearest of
// those that are not cut, where that is near; or that it is none, and then no index of a run.
func (d dip) wrong(runs []extra.Run, done []bool, tol float64) (s stray, best int) {
	best, least := -1, math.Inf(1)
	for k, r := range runs {
		if off, _ := r.Off(d.moves[0].To); !done[k] && off < least && off < r.Radius {
			best, least = k, off
		}
	}
	if best >= 0 {
		return *d.strays(runs[best], tol), best
	}
	return stray{at: d.moves[0], message: measure.Say("this cuts where no mark is, or a second time")}, -1
}

// overRun reports whether a move keeps to a run's line and above it.
func overRun(r extra.Run, m path.Move, tol float64) bool {
	if m.Kind == path.Arc {
		return false
	}
	for _, p := range [2]r3.Vec{m.From, m.To} {
		if off, above := r.Off(p); !(off <= tol && above >= -tol) {
			return false
		}
	}
	return true // the distance from a straight line is convex along a move, the height over it linear
}

// strays returns what keeps a dip from being a run; nil where it is.
func (d dip) strays(r extra.Run, tol float64) *stray {
	n := len(d.moves)
	if up := d.moves[n-1]; up.Kind == path.Traverse && !up.Sideways() {
		n--
	}
	for _, m := range d.moves[:n] {
		off, above := r.Off(m.To)
		switch {
		case m.Kind == path.Traverse:
			return &stray{m, 0, measure.Say("%s: a traverse below the top", r.Name)}
		case !overRun(r, m, tol) && !(off <= tol):
			return &stray{m, off, measure.Say("%s: the tip leaves its line by %v", r.Name, measure.To(finiteOr(off, 0), 4))}
		case !overRun(r, m, tol):
			return &stray{m, max(0, -above), measure.Say("%s: the tip goes %v below it", r.Name, measure.To(max(0, -above), 4))}
		case !(m.To.Z <= m.From.Z+tol):
			return &stray{m, m.To.Z - m.From.Z, measure.Say("%s: the tip rises before its end: Z comes down all the way", r.Name)}
		}
	}
	if n == 0 {
		return &stray{d.moves[0], 0, measure.Say("%s: nothing is cut", r.Name)}
	}
	// Backward along the run, as far as the tip is on it.
	end := d.moves[n-1]
	if off := exact.Dist(exact.Dist(end.To.X-r.To.X, end.To.Y-r.To.Y), end.To.Z-r.To.Z); !(off <= tol) {
		return &stray{end, off, measure.Say("%s: it ends %v from its end", r.Name, measure.To(finiteOr(off, 0), 4))}
	}
	start := r.To
	for i := n - 1; i >= 0; i-- {
		m := d.moves[i]
		along := float64((m.To.X-m.From.X)*(r.To.X-r.From.X)) + float64((m.To.Y-m.From.Y)*(r.To.Y-r.From.Y))
		if _, above := r.Off(m.From); !(along > 0 && above <= tol) {
			break
		}
		start = m.From
	}
	if off := exact.Dist(start.X-r.From.X, start.Y-r.From.Y); !(off <= tol) {
		return &stray{end, off, measure.Say("%s: the last pass is %v short of its beginning, or stays above it", r.Name, measure.To(finiteOr(off, 0), 4))}
	}
	return nil
}

// fromAside reports whether the axis square to a run moved last in the air, far enough and the
// way that is asked for, and else the move that does not.
func (d dip) fromAside(r extra.Run, tol float64) (path.Move, bool) {
	if r.Aside == (r2.Vec{}) {
		return path.Move{}, true
	}
	for i := len(d.before) - 1; i >= 0; i-- {
		m := d.before[i]
		way := float64((m.To.X-m.From.X)*r.Aside.X) + float64((m.To.Y-m.From.Y)*r.Aside.Y)
		if way >= -tol && way <= tol {
			continue
		}
		lo, _ := m.Box()
		return m, way >= leastAside && lo.Z >= 0 // NaN is neither
	}
	return d.moves[0], false
}

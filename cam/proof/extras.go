package proof

import (
	"cmp"
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/dish/exact"
	"dishwright/dish/extra"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// volumeTolerance is how far, in mm, a cutter may leave an extra's volume: more than
	// the chords of a round wall and the steps of the coordinates, and below the accuracy
	// of a hobby router.
	volumeTolerance = 0.02
	// widthTolerance is by how much, in mm, a groove may be wider than stated: on a slope
	// one side of the cutter's end meets the wood a little higher.
	widthTolerance = 0.1
	// minPiece is the length in mm at which the search along a move stops.
	minPiece = volumeTolerance
)

// volume tells whether a move stays inside the volume of an extra, where the bottom of that
// volume is, and whether it may be a cut-out's. Of a hole or a cut-out it is inside, too, that
// goes below the bottom: then that is what is wrong with it.
type volume struct {
	inside bool
	bottom float64
	slot   string  // the cut-out that holds it in its slot; empty where none does
	hole   bool    // a hole holds it, maybe beside a slot that it crosses
	over   float64 // how far it goes below the bottom, mm
	name   string
}

// below is a volume that a move keeps to in plan.
func below(name string, bottom, low float64) volume {
	v := volume{inside: true, bottom: bottom, name: name}
	if breaks(bottom-low, GougeTolerance) {
		v.over = bottom - low
	}
	return v
}

// volumeOf finds the volume of an extra that holds the whole of a move.
func (c Case) volumeOf(cutter path.Cutter, m path.Move, t *tally) volume {
	lo, _ := m.Box()
	if c.Extras.Empty() || !known(m) {
		return volume{}
	}
	r := cutter.Radius()
	var found []volume
	var slot string
	for _, h := range c.Extras.Holes {
		if nowhereAbove(m, t, func(x, y float64) float64 { return h.DiscOutside(x, y, r) }) {
			found = append(found, below(h.Name, h.Bottom, lo.Z))
		}
	}
	hole := len(found) > 0
	if c.inSomeGroove(cutter, m, t) {
		return volume{inside: true, bottom: lo.Z}
	}
	for _, o := range c.Extras.CutOuts {
		if nowhereAbove(m, t, func(x, y float64) float64 { return o.DiscOutside(x, y, r) }) && leavesTabs(o, lo.Z, r, m, t) {
			found, slot = append(found, below(o.Name, o.Bottom, lo.Z)), o.Name
		}
	}
	for _, run := range c.Extras.Runs {
		if t.add(1); r <= run.Radius+GougeTolerance && overRun(run, m, c.Machine.Step()/2) {
			return volume{inside: true, bottom: lo.Z}
		}
	}
	if len(found) == 0 {
		return volume{}
	}
	v := slices.MinFunc(found, func(a, b volume) int { return cmp.Compare(a.over, b.over) })
	v.slot, v.hole = slot, hole
	return v
}

// inSomeGroove reports whether a move keeps to one of the grooves.
func (c Case) inSomeGroove(cutter path.Cutter, m path.Move, t *tally) bool {
	for _, g := range c.Extras.Grooves {
		t.add(1 + len(g.Path))
		if cutter.Body().Width(g.Depth) <= g.Width+widthTolerance && inGroove(g, m, t) {
			return true
		}
	}
	return false
}

// leavesTabs reports whether a move leaves a cut-out's tabs whole.
func leavesTabs(o extra.CutOut, low, r float64, m path.Move, t *tally) bool {
	for _, tab := range o.Tabs {
		if low < tab.Top-GougeTolerance {
			return nowhereAbove(m, t, func(x, y float64) float64 { return r - o.TabClearance(x, y) })
		}
	}
	return true
}

// inGroove reports whether a move keeps over the groove's way and no deeper, all along it: an
// arc by its chords, within what they leave of the tolerance.
func inGroove(g extra.Groove, m path.Move, t *tally) bool {
	if m.Kind != path.Arc {
		return overWay(g.Path, m.From, m.To, volumeTolerance, t)
	}
	n, miss := 2*arcChords(m), chordTolerance/4 // chords of half the length miss a quarter
	for k, a := 0, m.From; k < n; k++ {
		b := m.At(float64(k+1) / float64(n))
		if !overWay(g.Path, a, b, volumeTolerance-miss, t) {
			return false
		}
		a = b
	}
	return true
}

// overWay reports whether all of the line from p to q lies over a way, to a tolerance. It is
// looked at in the parts between the way's corners: each must lie over one piece of the way.
func overWay(way []r3.Vec, p, q r3.Vec, tolerance float64, t *tally) bool {
	stations := []float64{0, 1}
	for _, v := range way {
		// A line that passes a corner of less than 120° of turn within the tolerance
		// passes its place within twice that.
		if off, at := segmentDistance(p.X, p.Y, q.X, q.Y, v.X, v.Y); off <= 2*tolerance && at > 0 && at < 1 {
			stations = append(stations, at)
		}
	}
	slices.Sort(stations)
	a := p
	for _, at := range stations[1:] {
		b := q
		if at < 1 {
			b = exact.AddScaled3(p, r3.Sub(q, p), at)
		}
		if t.add(len(way)) || !overPiece(way, a, b, tolerance) {
			return false
		}
		a = b
	}
	return true
}

// overPiece reports whether the line from p to q lies over one piece of a way: the distance
// from a straight line is convex along it, so that the ends decide.
func overPiece(way []r3.Vec, p, q r3.Vec, tolerance float64) bool {
	for i := 1; i < len(way); i++ {
		one := extra.Groove{Path: way[i-1 : i+1]}
		over := func(v r3.Vec) bool {
			off, bottom := one.NearestBottom(v.X, v.Y)
			return off <= tolerance && v.Z >= bottom-tolerance
		}
		if over(p) && over(q) {
			return true
		}
	}
	return false
}

// nowhereAbove reports whether f exceeds volumeTolerance nowhere along a move. f must
// change no faster than the place: over a piece of the move it is then at most the mean
// of its values at the ends plus half of the piece's length.
func nowhereAbove(m path.Move, t *tally, f func(x, y float64) float64) bool {
	at := func(t float64) (x, y float64) { v := m.At(t); return v.X, v.Y }
	length := m.Length() // of an arc or a slope more than in plan
	value := func(t float64) float64 { return f(at(t)) }
	var piece func(a, b, fa, fb float64) bool
	piece = func(a, b, fa, fb float64) bool {
		l := float64(length * (b - a))
		if fa > volumeTolerance || fb > volumeTolerance || t.add(8) {
			return false
		}
		if (fa+fb+l)/2 <= volumeTolerance || l <= minPiece {
			return true
		}
		mid := (a + b) / 2
		fm := value(mid)
		return piece(a, mid, fa, fm) && piece(mid, b, fm, fb)
	}
	if math.IsNaN(length) || length > maxCoordinate {
		return false
	}
	return piece(0, 1, value(0), value(1))
}

// programExtras finds which moves of a program lie inside extras, each when it is
// first asked for: only those that come below the blank's top are.
type programExtras struct {
	limits  Case
	program Program
	known   map[int]volume
	only    *bool // what cutsOnlyExtras says, once it has been asked
	tally   *tally
}

func (v *programExtras) volume(i int) volume {
	if v.limits.Extras.Empty() {
		return volume{}
	}
	if k, ok := v.known[i]; ok {
		return k
	}
	k := v.limits.volumeOf(v.program.Cutter, v.program.Path.Moves[i], v.tally)
	if v.known == nil {
		v.known = map[int]volume{}
	}
	v.known[i] = k
	return k
}

// cutsOnlyExtras reports whether the program cuts, and nothing but extras.
func (v *programExtras) cutsOnlyExtras() bool {
	if v.only != nil {
		return *v.only
	}
	cuts, only := false, true
	for i, m := range v.program.Path.Moves {
		if lo, _ := m.Box(); m.Kind == path.Traverse || lo.Z >= 0 {
			continue
		}
		if cuts, only = true, v.volume(i).inside; !only {
			break
		}
	}
	only = only && cuts
	v.only = &only
	return only
}

// cutsNothing reports whether the program cuts nothing at all.
func (p Program) cutsNothing() bool {
	for _, m := range p.Path.Moves {
		if lo, _ := m.Box(); m.Kind != path.Traverse && !(lo.Z >= 0) {
			return false
		}
	}
	return true
}

// withHoodOf returns the case with the hood hung as high as the program says before anything
// moves. Where it says nothing the hood hangs as the profile states.
func (c Case) withHoodOf(p Program) Case {
	if h := c.Machine.Hood; h != nil && p.HoodAbove > 0 {
		up := *h
		up.AboveTip = p.HoodAbove
		c.Machine.Hood = &up
	}
	return c
}

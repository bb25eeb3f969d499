package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r3"
)

// rateTolerance is the share by which a rate may exceed its limit: the rounding of
// float64 and of a feed written in tenths, far below what a machine resolves.
const rateTolerance = 1e-6

// checkMoves checks each move against the limits of machine, blank and obstacles.
func (j *checker) checkMoves() {
	lowest := j.limits.MinWood - j.limits.Blank.Thickness
	for i, m := range j.program.Path.Moves {
		if j.tally.add(8 + len(j.limits.Obstacles)) {
			break
		}
		onMachine := j.onMachine(m)
		if m.Kind == path.Arc && !j.limits.Machine.Arcs {
			j.report(KindArc, m.Source, m.To.X, m.To.Y, 0, "%s takes no arcs", j.limits.Machine.Name)
		}
		if j.fromUnknown(m) {
			continue
		}
		if m.Kind == path.Traverse {
			j.checkTraverse(m)
		} else {
			j.checkFeed(onMachine)
		}
		lo, hi := m.Box()
		extra := volume{}
		if lo.Z < lowest { // by however little: the travel is checked to the same depth
			extra = j.extras.volume(i)
		}
		j.checkTravel(onMachine, j.limits.Warp.LowestCompensated(min(-j.limits.Blank.Thickness, extra.bottom-extra.over), j.limits.Blank.OuterRadius()))
		if breaks(lowest-lo.Z, GougeTolerance) && !extra.inside {
			j.report(KindFloor, m.Source, m.To.X, m.To.Y, lowest-lo.Z, "the tip goes to %v below the blank's top; %v of wood must stay", measure.MM(-lo.Z), measure.MM(j.limits.MinWood))
		}
		j.checkObstacles(m, lo, hi)
	}
}

// onMachine returns a move as the machine is told it.
func (j *checker) onMachine(m path.Move) path.Move {
	told, _ := j.program.Setup.OnMachine(m)
	return j.limits.Warp.CompensatedMove(told)
}

// fromUnknown finds a move that is not known and may meet something: all but one that
// goes straight to clearance or above, and one that stays there. What it lets pass is in
// the air, wherever it began; of another nothing can be said, and so it is a finding.
func (j *checker) fromUnknown(m path.Move) bool {
	if known(m) {
		return false
	}
	if m.Kind != path.Arc && j.limits.clear(m.To.Z) && (!m.Sideways() || j.limits.clear(m.From.Z)) {
		return false
	}
	kind := KindOrder
	if m.Kind == path.Traverse {
		kind = KindTraverse
	}
	low, _ := m.Box()
	clear := j.limits.clearHeight()
	j.report(kind, m.Source, m.To.X, m.To.Y, max(0, clear-low.Z), "where this begins is not known in X, Y and Z; from there only straight to Z %v or above is good, and what follows up there", measure.MM(clear))
	return true
}

// checkTraverse checks a G0: never slanting, never sideways below clearance over the
// blank or an obstacle.
func (j *checker) checkTraverse(m path.Move) {
	if !m.Sideways() {
		return
	}
	if path.Changes(m.From.Z, m.To.Z) {
		j.report(KindTraverse, m.Source, m.To.X, m.To.Y, math.Abs(m.From.Z-m.To.Z), "a traverse changes Z together with X or Y")
	}
	z := min(m.From.Z, m.To.Z)
	if low := j.limits.clearHeight() - z; breaks(low, GougeTolerance) && j.overBlank(m) {
		j.report(KindTraverse, m.Source, m.To.X, m.To.Y, low, "a traverse sideways at Z %v is not clear of the blank and the hold-downs", measure.MM(z))
	}
}

// overBlank reports whether the cutter passes over the blank or an obstacle in a
// straight move; true where the move is not known.
func (j *checker) overBlank(m path.Move) bool {
	r := j.program.Cutter.Radius()
	for _, h := range j.limits.Obstacles {
		j.tally.add(obstacleLooks)
		if distanceBelow(m, math.Inf(1), h) < r+h.Radius+sideClearance {
			return true
		}
	}
	inside := func(t float64) float64 { v := m.At(t); return j.limits.Blank.Inside(v.X, v.Y) }
	// How far inside a convex outline a place lies is concave along a line.
	return !(maxOfConcave(inside) < -r)
}

// maxOfConcave returns the greatest value, for t from 0 to 1, of a function that is
// concave there: of two values at the thirds the maximum lies on the side of the
// greater, so that the third beyond the other is dropped.
func maxOfConcave(f func(t float64) float64) float64 {
	a, b := 0.0, 1.0
	for range 60 {
		p, q := a+(b-a)/3, b-(b-a)/3
		if f(p) < f(q) {
			a = p
		} else {
			b = q
		}
	}
	return max(f(a), max(f(0), f(1)))
}

// checkFeed checks each axis against its own limit, at the steepest place of an arc.
func (j *checker) checkFeed(m path.Move) {
	if !(m.Feed > 0) {
		j.report(KindFeed, m.Source, m.To.X, m.To.Y, 0, "a feed move without a feed")
		return
	}
	limit, cosine, turned := j.limits.Machine.Feed, cosines(m), j.turned(m)
	for k, most := range [...]float64{limit.X, limit.Y, limit.Z} {
		v := float64(m.Feed * cosine[k])
		meant := v - float64(m.Feed*turned*math.Sqrt(max(0, 1-float64(cosine[k]*cosine[k]))))
		if breaks(meant, float64(most*(1+rateTolerance))) {
			j.report(KindFeed, m.Source, m.To.X, m.To.Y, v-most, "%c moves at %v; %s may feed it at %v", "XYZ"[k], measure.Rate(v).Against(most), j.limits.Machine.Name, measure.Rate(most).Against(v))
			return
		}
	}
}

// mostTurned is how much of the feed, at most, is put down to the rounding of coordinates:
// a way may be written in ever so short moves.
const mostTurned = 0.01

// turned returns by how much a line may be turned, radians, whose ends are each rounded by half
// a step of the machine's coordinates: so much of the feed, times the sine of its angle to an
// axis, that axis may take more than was meant.
func (j *checker) turned(m path.Move) float64 {
	if long := m.Length(); m.Kind == path.Line && j.limits.Machine.Decimals > 0 && long > 0 {
		return min(j.limits.Machine.Step()/long, mostTurned)
	}
	return 0
}

// cosines returns the greatest share of the feed that each axis takes.
func cosines(m path.Move) [3]float64 {
	if m.Kind == path.Arc {
		return arcCosines(m)
	}
	return lineCosines(m)
}

// lineCosines returns the absolute direction cosines of a straight move: the share of
// the feed that each axis takes. It is 1 for an axis whose start is not known.
func lineCosines(m path.Move) (cosine [3]float64) {
	d := r3.Sub(m.To, m.From)
	n := r3.Norm(d)
	for k, v := range [...]float64{d.X, d.Y, d.Z} {
		switch {
		case n > 0:
			cosine[k] = math.Abs(v) / n
		case math.IsNaN(v) && path.Changes([...]float64{m.From.X, m.From.Y, m.From.Z}[k], [...]float64{m.To.X, m.To.Y, m.To.Z}[k]):
			cosine[k] = 1
		case math.IsNaN(n) && math.Abs(v) > 0:
			cosine[k] = 1
		}
	}
	return cosine
}

// arcCosines returns the greatest absolute direction cosine of each axis on an arc: at
// its ends, or where its tangent runs along the axis.
func arcCosines(m path.Move) (cosine [3]float64) {
	first, second, normal := m.Plane.Axes()
	get := func(v r3.Vec, k int) float64 { return [...]float64{v.X, v.Y, v.Z}[k] }
	rise := get(m.To, normal) - get(m.From, normal)
	n := m.Length()
	if !(n > 0) {
		return cosine
	}
	cosine[normal] = math.Abs(rise) / n
	flat := math.Sqrt(max(0, 1-float64(cosine[normal]*cosine[normal])))
	at := func(t float64) {
		v := m.At(t)
		a, b := get(v, first)-get(m.Centre, first), get(v, second)-get(m.Centre, second)
		r := math.Hypot(a, b)
		if r > 0 {
			cosine[first] = max(cosine[first], flat*math.Abs(b)/r)
			cosine[second] = max(cosine[second], flat*math.Abs(a)/r)
		}
	}
	at(0)
	at(1)
	for _, t := range m.AxisCrossings() {
		at(t)
	}
	return cosine
}

// checkTravel checks a move against the machine's travel. The blank lies in the middle
// of X and Y, on the bed, or on a waste board where an extra goes below it, to deepest.
// Where it is turned or slid between programs it lies wherever its zero was first set,
// and all programs together must fit. A coordinate that is not known is left out.
func (j *checker) checkTravel(m path.Move, deepest float64) {
	t, thick := j.limits.Machine.Travel, j.limits.Blank.Thickness
	lo, hi := m.Box()
	if len(j.limits.Setups.Parts) > 0 {
		if over := j.travelled.excess(lo, hi, t); breaks(over, GougeTolerance) {
			j.report(KindTravel, m.Source, m.To.X, m.To.Y, over, "with this the programs of all setups run over %v more than the travel of %s", measure.MM(over), j.limits.Machine.Name)
		}
		t.X, t.Y = math.Inf(1), math.Inf(1)
	}
	for _, a := range [...]struct {
		name                    byte
		least, most, low, above float64
	}{
		{'X', -t.X / 2, t.X / 2, lo.X, hi.X},
		{'Y', -t.Y / 2, t.Y / 2, lo.Y, hi.Y},
		{'Z', deepest, t.Z - thick, lo.Z, hi.Z},
	} {
		if over := max(a.above-a.most, a.least-a.low); breaks(over, GougeTolerance) && !(math.IsNaN(a.low) && !known(m)) {
			j.report(KindTravel, m.Source, m.To.X, m.To.Y, over, "%v beyond the travel of %s in %c, with the blank on the middle of its bed", measure.MM(over), j.limits.Machine.Name, a.name)
		}
	}
}

// checkObstacles checks cutter, shank, holder and hood against the obstacles.
func (j *checker) checkObstacles(m path.Move, lo, hi r3.Vec) {
	c, machine := j.program.Cutter, j.limits.Machine
	parts := [...]struct {
		name            string
		diameter, above float64
	}{{"cutter", c.Diameter, 0}, {"shank", c.Shank, c.FluteLength}, {"holder", machine.Holder.Diameter, c.StickOut}, {"hood", 0, 0}}
	if h := machine.Hood; h != nil {
		parts[3].diameter, parts[3].above = h.Diameter, h.AboveTip
	}
	for _, h := range j.limits.Obstacles {
		for _, part := range parts {
			room := part.diameter/2 + h.Radius + sideClearance
			top := h.Height + topClearance - part.above // the tip's height at which the part passes over it
			if !(part.diameter > 0) || lo.Z >= top-GougeTolerance || lo.X > max(h.X, h.X+h.DX)+room || hi.X < min(h.X, h.X+h.DX)-room ||
				lo.Y > max(h.Y, h.Y+h.DY)+room || hi.Y < min(h.Y, h.Y+h.DY)-room {
				continue
			}
			j.tally.add(obstacleLooks * movePieces(m))
			if short := room - distanceBelow(m, top, h); breaks(short, GougeTolerance) {
				j.report(KindObstacle, m.Source, h.X, h.Y, short, "the %s comes within %v of what stands at %v, a hold-down or an obstacle", part.name, measure.To(max(0, sideClearance-short), 2), measure.At(h.X, h.Y))
				break
			}
		}
	}
}

// obstacleLooks is what the distance of a straight piece from an obstacle counts in a
// budget, about.
const obstacleLooks = 16

// distanceBelow returns the distance in plan from an obstacle's middle line to the part
// of a move whose tip is below top; +Inf where there is none or it is not known. Arcs
// count as chords, which may stand chordTolerance too high.
func distanceBelow(m path.Move, top float64, o path.Obstacle) float64 {
	n := 1
	if m.Kind == path.Arc {
		n, top = arcChords(m), top+chordTolerance
	}
	least, a := math.Inf(1), m.From
	for k := range n {
		b := m.At(float64(k+1) / float64(n))
		p, q := a, b
		switch down := b.Z - a.Z; {
		case a.Z >= top && b.Z >= top:
			a = b
			continue
		case a.Z >= top:
			p = exact.AddScaled3(a, r3.Sub(b, a), (top-a.Z)/down)
		case b.Z >= top:
			q = exact.AddScaled3(a, r3.Sub(b, a), (top-a.Z)/down)
		}
		least = min(least, obstacleDistance(p, q, o))
		a = b
	}
	return least
}

// obstacleDistance returns the distance in plan between the segment from p to q and an
// obstacle's middle line. Along that line the distance to a straight segment is convex.
func obstacleDistance(p, q r3.Vec, o path.Obstacle) float64 {
	nearer := func(t float64) float64 {
		d, _ := segmentDistance(p.X, p.Y, q.X, q.Y, o.X+float64(t*o.DX), o.Y+float64(t*o.DY))
		return -d
	}
	if o.DX == 0 && o.DY == 0 {
		return -nearer(0)
	}
	return -maxOfConcave(nearer)
}

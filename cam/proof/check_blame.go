package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r3"
)

// scallopFinding is the finding that a scallop exceeds its bound, at the line of the
// move that most likely leaves it.
func scallopFinding(c Case, scallop Scallop, programs []Program) Finding {
	stands := "stands"
	if scallop.Found <= c.MaxScallop { // none that high is found
		stands = "may stand"
	}
	f := Finding{Kind: KindScallop, X: scallop.X, Y: scallop.Y, Amount: scallop.Certified - c.MaxScallop,
		Message: measure.Say("a scallop of up to %v %v%v; %v are allowed", measure.To(scallop.Certified, 4).Against(c.MaxScallop), stands, c.indexErrorText(scallop), measure.To(c.MaxScallop, 4).Against(scallop.Certified))}
	last, ok := c.lastProgramAt(scallop, programs)
	if !ok {
		return f
	}
	f.Program = last.Name
	if m, ok := blamedMove(c.Face, last, scallop.X, scallop.Y, f.Amount, &tally{of: c.budget}); ok {
		f.Line, f.Column = m.Source.Line, m.Source.Column
	}
	return f
}

// lastProgramAt returns the last program; with setups, the last one of the setup in
// whose region a scallop stands.
func (c Case) lastProgramAt(scallop Scallop, programs []Program) (last Program, ok bool) {
	for _, p := range programs {
		if i := c.Setups.partOf(p.Setup); i >= 0 {
			if by, _ := c.Setups.Parts[i].Region.Off(scallop.X, scallop.Y); by > 0 {
				continue
			}
		}
		last, ok = p, true
	}
	return last, ok
}

// blamedMove returns the cutting move that most likely left a scallop by the given
// amount over the bound.
//
// A move at the lowest allowed height would leave less than the bound within its
// radius, so one that left the scallop passes it at least that much higher. Roughing
// does so too, but before finishing: of the last such moves nearby that come after a
// low one the first is taken. Where there is none a pass is missing, and the nearest
// low move is taken, or else the nearest of all.
func blamedMove(face dish.Face, p Program, x, y, over float64, work *tally) (best path.Move, ok bool) {
	g, reach := newTipLimit(face, p.Cutter), p.Cutter.Radius()
	least := max(minBlamedHeight, over*0.9) // a tenth for what its neighbours took
	nearest, nearestLow := math.Inf(1), math.Inf(1)
	var any, low, high path.Move
	found, before := false, -2
	for i, m := range p.Path.Moves {
		if m.Kind == path.Traverse {
			continue
		}
		if work.add(movePieces(m)) {
			break
		}
		d, at := nearestPlace(m, x, y)
		above := at.Z - g.allowed(face.Distance(at.X, at.Y))
		if d < nearest {
			nearest, any, ok = d, m, true
		}
		switch {
		case above <= least && d < nearestLow:
			nearestLow, low = d, m
		case above > least && d <= reach && nearestLow <= 2*reach:
			if i != before+1 {
				high = m
			}
			found, before = true, i
		}
	}
	switch {
	case found:
		return high, true
	case nearestLow <= 2*reach:
		return low, true
	}
	return any, ok
}

// minBlamedHeight is how far above its lowest allowed height, in mm, a move must be to
// be blamed for a scallop: more than rounding and the lift of chords, less than the
// least scallop that a job may ask for.
const minBlamedHeight = 0.003

// planDistance returns the distance in plan from (x, y) to a move, +Inf where it
// is not known.
func planDistance(m path.Move, x, y float64) float64 {
	d, _ := nearestPlace(m, x, y)
	return d
}

// nearestPlace returns the place of a move that is nearest in plan to (x, y), and
// its distance, +Inf where it is not known. An arc counts as chords that leave it
// by at most chordTolerance.
func nearestPlace(m path.Move, x, y float64) (least float64, at r3.Vec) {
	least, at = math.Inf(1), m.To
	n, a := 1, m.From
	if m.Kind == path.Arc {
		n = arcChords(m)
	}
	for k := range n {
		b := m.At(float64(k+1) / float64(n))
		d, t := segmentDistance(a.X, a.Y, b.X, b.Y, x, y)
		if d < least {
			least, at = d, exact.AddScaled3(a, r3.Sub(b, a), t)
			if t == 1 {
				at = b // even where a is not known
			}
		}
		a = b
	}
	return least, at
}

// chordTolerance is how far the chords that replace an arc may leave it, in mm: a
// hundredth of the clearance round a hold-down.
const chordTolerance = 0.02

// maxArcChords is the most chords of one arc: enough for chordTolerance on a full circle
// of 40 km radius.
const maxArcChords = 100_000

// arcChords returns how many chords stay within chordTolerance of an arc: a chord over
// the angle a leaves a circle of radius r by at most r·a²/8.
func arcChords(m path.Move) int {
	angle, r0, r1 := m.Sweep()
	n := math.Ceil(math.Abs(angle) * math.Sqrt(max(r0, r1)/(8*chordTolerance)))
	return int(min(maxArcChords, max(1, n)))
}

// movePieces returns how many straight pieces a move counts as.
func movePieces(m path.Move) int {
	if m.Kind == path.Arc {
		return arcChords(m)
	}
	return 1
}

// segmentDistance returns the distance from (x, y) to a straight segment, and the
// share of the segment at which it is reached. Of a segment from an unknown place
// only the end counts.
func segmentDistance(ax, ay, bx, by, x, y float64) (distance, share float64) {
	if math.IsNaN(ax + ay) {
		ax, ay = bx, by
	}
	if math.IsNaN(bx + by) {
		return math.Inf(1), 1
	}
	dx, dy := bx-ax, by-ay
	t, n := 1.0, float64(dx*dx)+float64(dy*dy)
	if n > 0 {
		t = min(1, max(0, (float64((x-ax)*dx)+float64((y-ay)*dy))/n))
	}
	return math.Hypot(x-ax-float64(t*dx), y-ay-float64(t*dy)), t
}

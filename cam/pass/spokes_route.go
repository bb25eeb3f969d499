package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/work"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// knotMiss is by how much, in mm, the rounding of a knot may miss it: all
	// passes beside each other miss it to the same side, but those that close a
	// gap, and steps are a hundred times as wide.
	knotMiss = 0.05
	// rimTurn is how far a turn at the rim reaches beyond the ends of its passes, as a share
	// of the step, where the travel does not end before that: so far the way and its time are
	// about the least, for a half circle (at a half) is longer by more than it is quicker.
	rimTurn = 0.1
	// moatTurn is how much of a pass, in mm, a turn in a crown's moat may take: it
	// begins inside the rim, where the pass is still needed.
	moatTurn = 1.0
)

// route draws the way from pass to pass, its corners not yet rounded.
type route struct {
	spokes
	bends  []link.Bend
	gentle float64 // of a steep face: distance from the apex within which it is not
}

// put adds a vertex at d from the apex, by an angle in turns.
func (r *route) put(d, turns, reach, miss float64) {
	x, y := work.Unit(turns)
	r.bends = append(r.bends, link.Bend{At: r2.Vec{X: float64(d * x), Y: float64(d * y)}, Reach: reach, Miss: miss})
}

// inPairs draws the pairs of one half of the face, the pass across the apex, and
// the pairs of the other half: each pair in on one and out on the other.
func (r *route) inPairs() {
	mid, n := r.belts[0].pairs()/2*2+1, len(r.lines) // mid lies opposite to pass 0
	for i := 1; i < mid; i += 2 {
		r.in(i)
		r.nose(i, i+1)
		r.out(i + 1)
		r.along(i+1, i+2)
	}
	r.in(mid)
	r.put(0, 0, math.Inf(1), knotMiss)
	r.out(0)
	for i := n - 1; i > mid; i -= 2 {
		r.along((i+1)%n, i)
		r.in(i)
		r.nose(i, i-1)
		r.out(i - 1)
	}
}

// in draws pass i from its end at the rim to just before its inner end.
func (r *route) in(i int) {
	r.rim(i)
	r.knots(i, false)
}

// out draws pass i from just after its inner end to the rim.
func (r *route) out(i int) {
	r.knots(i, true)
	r.rim(i)
}

// rim adds the vertex in which a turn at the rim leaves pass i.
func (r *route) rim(i int) {
	turns, reach := r.lines[i][0].turns, moatTurn
	d := r.end
	if r.moat == 0 {
		_, y := work.Unit(1 / float64(r.Count()))
		reach = min(float64(float64(r.end*y)*rimTurn), r.piece.TurnRoom(r.end, r.Widest()))
		d += reach
	}
	r.put(d, turns, reach, math.Inf(1))
}

// along keeps to the moat of a crown between the ends of two passes: a straight
// line between passes far apart would cut its corner.
func (r *route) along(i, j int) {
	if r.moat == 0 {
		return
	}
	a, b := r.lines[i][0].turns, r.lines[j][0].turns
	if b-a > 0.5 {
		a++
	} else if a-b > 0.5 {
		b++
	}
	// A chord over the angle 2δ lies δ²/2 of the radius inside its circle.
	n := math.Ceil(math.Abs(b-a) * math.Pi / math.Sqrt(2*link.RoundChord/r.end))
	for k := 1.0; k < n; k++ {
		r.put(r.end, a+float64((b-a)*(k/n)), math.Inf(1), link.RoundChord)
	}
}

// knots adds the vertices of pass i between its end at the rim and its inner one.
func (r *route) knots(i int, outwards bool) {
	list := r.lines[i][:len(r.lines[i])-1]
	for k := range list {
		at := list[k]
		if outwards {
			at = list[len(list)-1-k]
		}
		r.put(work.Axis(r.tool, at.D), at.turns, math.Inf(1), knotMiss)
	}
}

// nose adds the turn from the inner end of pass i to that of pass j.
func (r *route) nose(i, j int) {
	r.turn(i, math.Inf(1))
	r.turn(j, math.Inf(1))
}

// turn adds the inner end of pass i.
func (r *route) turn(i int, miss float64) {
	tip := r.tip(i)
	r.put(max(0, work.Axis(r.tool, nose(r.tool, tip.D, r.budget.Ridge))), tip.turns, math.Inf(1), miss)
}

package pass

import (
	"math"

	"dishwright/cam/work"
	"dishwright/dish/exact"
)

// Where a hollow is too steep to go down into stock, a pass may go down only
// between two that have been cut already: nothing stands under the middle of the
// cutter then. So of every pair the further pass is cut first, up the slope, and
// the nearer one after it, down again, between it and the pair before. A pair
// that ends on the steep part is cut on the way down the nearest pass before it
// that goes further in: aside from that, along the pair, and back to go on down.
// Within the gentle part the cutter goes where it likes.

// climbing draws the way for a steep face.
func (r *route) climbing() {
	// Only the pass across goes on from where the innermost pairs end.
	r.gentle = max(gentle(r.tool, work.Steep(r.cutter)), r.tip(0).D)
	all := groups(r.belts[0].pairs())
	hang := r.hanging(all)
	r.put(0, 0, 0, 0)
	r.out(0)
	r.descend(0, r.gentle, hang[0], hang)
	for _, g := range all[1:] {
		if r.tip(g.first).D > r.gentle {
			continue // it hangs on another
		}
		last := g.first + g.size - 1
		r.inner(g.first)
		if g.size == 1 {
			r.put(0, 0, math.Inf(1), knotMiss)
		} else {
			r.nose(g.first, last)
		}
		r.out(last)
		r.descend(g.first, r.gentle, hang[g.first], hang)
	}
}

// hanging returns, by the number of a group's first pass, the pairs that are cut
// on the way down it: all after it that end on the steep part, up to the next
// group that ends no further out than they do.
func (r *route) hanging(all []group) map[int][]int {
	hang := map[int][]int{}
	var open []group // each ends further out than the one before it
	for _, g := range all {
		D := r.tip(g.first).D
		for len(open) > 0 && max(r.tip(open[len(open)-1].first).D, r.gentle) >= max(D, r.gentle) {
			open = open[:len(open)-1]
		}
		if D > r.gentle {
			on := open[len(open)-1].first
			hang[on] = append(hang[on], g.first)
		}
		open = append(open, g)
	}
	return hang
}

// tip returns the inner end of pass i.
func (r *route) tip(i int) spot { return r.lines[i][len(r.lines[i])-1] }

// on returns the angle of pass i, in turns, where it touches the face at D.
func (r *route) on(i int, D float64) float64 {
	list := r.lines[i]
	for k := 1; k < len(list); k++ {
		if a, b := list[k-1], list[k]; b.D < D {
			return a.turns + float64((b.turns-a.turns)*((a.D-min(D, a.D))/(a.D-b.D)))
		}
	}
	return r.tip(i).turns
}

// inner draws pass i down over the gentle part of the face.
func (r *route) inner(i int) {
	r.place(i, r.gentle, tipMiss)
	r.between(i, r.gentle, r.tip(i).D)
}

// place adds the place of pass i at D as a vertex.
func (r *route) place(i int, D, miss float64) {
	r.put(work.Axis(r.tool, D), r.on(i, D), math.Inf(1), miss)
}

// between adds the knots of pass i from the distance D down to the distance low,
// these two left out.
func (r *route) between(i int, D, low float64) {
	for _, at := range r.lines[i] {
		if at.D < D && at.D > low {
			r.put(work.Axis(r.tool, at.D), at.turns, math.Inf(1), knotMiss)
		}
	}
}

// tipMiss is by how much, in mm, a turn aside may miss the corner in which it
// leaves a pass: a fifth of what the half circle at the end of a pair does.
const tipMiss = 0.5

// overlap is how far, in mm, a pass runs beyond the place where it goes on later:
// what the rounding of a right corner takes, T = tipMiss / tan(π/8), and a little.
const overlap = 1.3

// descend draws pass i from the rim down to the distance low, and the pairs that
// hang on it, the outermost first.
func (r *route) descend(i int, low float64, pairs []int, hang map[int][]int) {
	r.rim(i)
	at := math.Inf(1) // drawn down to here
	for k, first := range pairs {
		D := r.tip(first).D
		if k == 0 || r.tip(pairs[k-1]).D > D { // else straight on from the pair before
			r.between(i, at, D-overlap)
			r.place(i, D-overlap, tipMiss)
		}
		r.nose(first, first+1)
		r.out(first + 1)
		r.descend(first, D, hang[first], hang)
		if k+1 == len(pairs) || r.tip(pairs[k+1]).D < D {
			at = D + overlap
			r.place(i, at, tipMiss)
		}
	}
	if tip := r.tip(i); tip.D >= low {
		r.between(i, at, tip.D)
		r.turn(i, tipMiss)
		return
	}
	r.between(i, at, low-overlap)
	r.place(i, low-overlap, tipMiss)
}

// gentle returns how far from the apex a hollow may be touched that is not
// steeper there than most.
func gentle(t work.Tool, most float64) float64 {
	d, _ := exact.Bisect(0, t.Face.Rim, 50, func(D float64) bool { return t.Rise(max(0, work.Axis(t, D)), 0) <= most })
	return d
}

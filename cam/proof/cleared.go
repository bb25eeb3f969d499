package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// capsule is what a straight piece of a move clears in plan, in two widths: within floor
// of its middle line the level end of the cutter surely passes, and beyond reach nothing of
// the cutter comes. Both are convex.
type capsule struct {
	from, to     r3.Vec
	floor, reach float64
}

// distance returns how far a place lies in plan from the middle line.
func (k *capsule) distance(p r2.Vec) float64 {
	d, _ := segmentDistance(k.from.X, k.from.Y, k.to.X, k.to.Y, p.X, p.Y)
	return d
}

// chordMiss is how far, in mm, the chords of an arc may lie from it where its edge counts:
// less than the finest step of written coordinates in mm. A capsule's widths allow for it.
const chordMiss = 0.5e-3

// capsuleLooks is what a capsule counts in a budget, about, and keptCapsule how many bytes
// it takes.
const capsuleLooks, keptCapsule = 16, 64

// maxCapsules is the most capsules of one arc; beyond it they miss the arc by more, and
// allow for that.
const maxCapsules = 4096

// capsules appends what a move of a cutter clears. Half of the greatest second derivative,
// by a quarter of the square of a step, bounds how far an arc leaves a chord: see arcChain.
func capsules(list []capsule, c path.Cutter, m path.Move) []capsule {
	if m.Kind != path.Arc {
		return append(list, capsule{m.From, m.To, c.Body().Flat, c.Radius()})
	}
	sweep, r0, r1 := m.Sweep()
	whole := math.Abs(sweep)
	bend := max(r0, r1) + 2*math.Abs(r1-r0)/max(whole, 1e-9)
	n := max(1, min(maxCapsules, math.Ceil(whole*math.Sqrt(bend/(8*chordMiss)))))
	step := whole / n
	miss := bend * step * step / 8
	a := m.From
	for k := 1.0; k <= n; k++ {
		b := m.At(k / n)
		list = append(list, capsule{a, b, c.Body().Flat - miss, c.Radius() + miss})
		a = b
	}
	return list
}

// cleared holds capsules by the cells of a grid in plan: in the list of a cell is each
// that reaches a place of it.
type cleared struct {
	list    []capsule
	x0, y0  float64
	cell    float64
	columns int
	cells   [][]int32
	tally   *tally
}

// keptInCell is how many bytes a capsule takes in the list of a cell, about.
const keptInCell = 8

// mostColumns is how many cells lie across the wider side of a grid at most; none is
// smaller than half of what the widest capsule reaches.
const mostColumns = 256

// layOut puts the capsules, each grown by beyond, into a grid over a box.
func layOut(list []capsule, lo, hi r2.Vec, beyond float64, t *tally) *cleared {
	wide, widest := max(hi.X-lo.X, hi.Y-lo.Y), 1e-3
	for i := range list {
		widest = max(widest, list[i].reach)
	}
	x := &cleared{list: list, tally: t, x0: lo.X, y0: lo.Y, cell: max(wide/mostColumns, widest/2)}
	x.columns = int(wide/x.cell) + 1
	x.cells = make([][]int32, x.columns*x.columns)
	for i := range list {
		k := &list[i]
		x.rows(r2.Vec{X: k.from.X, Y: k.from.Y}, r2.Vec{X: k.to.X, Y: k.to.Y}, k.reach+beyond, func(cell int) bool {
			x.cells[cell] = append(x.cells[cell], int32(i))
			t.keep(keptInCell)
			return !t.add(8)
		})
		if t.add(8) {
			break
		}
	}
	return x
}

// rows calls do for the cells that may come within a radius of a line, until it says no.
func (x *cleared) rows(a, b r2.Vec, radius float64, do func(cell int) bool) {
	if a.Y > b.Y {
		a, b = b, a
	}
	last := float64(x.columns - 1)
	column := func(v float64) int { return int(clamp(math.Floor(v/x.cell), 0, last)) }
	if b.Y+radius < x.y0 || max(a.X, b.X)+radius < x.x0 || a.Y-radius > x.y0+float64(x.cell*(last+1)) || min(a.X, b.X)-radius > x.x0+float64(x.cell*(last+1)) {
		return
	}
	for j := column(a.Y - radius - x.y0); j <= column(b.Y+radius-x.y0); j++ {
		// the part of the line that comes within the radius of the row
		p, q := a, b
		if up := b.Y - a.Y; up > 0 {
			low, high := x.y0+float64(float64(j)*x.cell)-radius, x.y0+float64(float64(j+1)*x.cell)+radius
			p = exact.AddScaled2(a, r2.Sub(b, a), clamp((low-a.Y)/up, 0, 1))
			q = exact.AddScaled2(a, r2.Sub(b, a), clamp((high-a.Y)/up, 0, 1))
		}
		for i := column(min(p.X, q.X) - radius - coordinateGuard - x.x0); i <= column(max(p.X, q.X)+radius+coordinateGuard-x.x0); i++ {
			if !do(j*x.columns + i) {
				return
			}
		}
	}
}

// at returns the capsules that may reach a place of the box.
func (x *cleared) at(p r2.Vec) []int32 {
	last := float64(x.columns - 1)
	i, j := clamp(math.Floor((p.X-x.x0)/x.cell), 0, last), clamp(math.Floor((p.Y-x.y0)/x.cell), 0, last)
	l := x.cells[int(j)*x.columns+int(i)]
	x.tally.add(1 + len(l))
	return l
}

// shortfall returns how far a place lies outside what is cleared; negative inside. What
// lies farther than the capsules were grown by is +Inf away.
func (x *cleared) shortfall(p r2.Vec) float64 {
	least := math.Inf(1)
	for _, i := range x.at(p) {
		k := &x.list[i]
		least = min(least, k.distance(p)-k.floor)
	}
	return least
}

// covers reports whether every place of the line from a to b is cleared, by halving it
// until one capsule, which is convex, holds both ends of a part. Where that takes parts
// shorter than leastPart it reports false.
func (x *cleared) covers(a, b r2.Vec) bool {
	inA := false
	for _, i := range x.at(a) {
		if k := &x.list[i]; k.distance(a) <= k.floor {
			if inA = true; k.distance(b) <= k.floor {
				return true
			}
		}
	}
	length := r2.Norm(r2.Sub(b, a))
	if !inA || !(length > leastPart) || x.tally.over {
		return false
	}
	mid := exact.AddScaled2(a, r2.Sub(b, a), 0.5)
	return x.covers(a, mid) && x.covers(mid, b)
}

// leastPart is the shortest part, in mm, of a line that is tried: below the step
// of written coordinates two capsules that share less of the line do not count as
// meeting.
const leastPart = 1e-5

// apart returns the distance between two lines in plan.
func apart(a, b, c, d r2.Vec) float64 {
	side := func(a, b, p r2.Vec) float64 { return exact.Cross2(r2.Sub(b, a), r2.Sub(p, a)) }
	if side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0 {
		return 0
	}
	least := math.Inf(1)
	for _, v := range [...][3]r2.Vec{{a, b, c}, {a, b, d}, {c, d, a}, {c, d, b}} {
		k, _ := segmentDistance(v[0].X, v[0].Y, v[1].X, v[1].Y, v[2].X, v[2].Y)
		least = min(least, k)
	}
	return least
}

package proof

import (
	"math"

	"dishwright/cam/path"
)

// cut finds what the move cuts and leaves it in the scratch memory for apply. A bite no
// deeper than known is not examined further and is returned as known.
func (s *Stock) cut(c path.Cutter, m path.Move, known float64) Bite {
	w := &s.scratch.cutter
	s.sweep(w, c, m, 0)
	var b Bite
	b.Depth, b.X, b.Y = s.deepest(w, s.EdgeMargin(), known, true)
	return b
}

// coreDepth returns how deep the cutter bites within its core along the move: what
// stands there above the cutter's underside. What is further out than the core does not
// count.
func (s *Stock) coreDepth(c path.Cutter, m path.Move) float64 {
	s.sweep(&s.scratch.other, c, m, 0)
	d, _, _ := s.deepest(&s.scratch.other, (c.Diameter-min(c.Core, c.Diameter))/2, 0, false)
	return d
}

// deepestPlain returns the deepest bite that a cutter, raised by lift, would take,
// without a margin and without cutting.
func (s *Stock) deepestPlain(c path.Cutter, m path.Move, lift float64) (depth, x, y float64) {
	if !(c.Diameter > 0) {
		return 0, 0, 0
	}
	s.sweep(&s.scratch.other, c, m, lift)
	return s.deepest(&s.scratch.other, 0, 0, false)
}

// deepest returns an upper bound of the deepest bite of a move more than margin inside
// the cutter's edge, and where it is. The bite at the cells' middles is known; only cells
// that could hold a deeper one are searched, the one with the highest bound first. A bite
// no deeper than known is returned as known. With edge, the cells that the cutter's edge
// stands over count as they were before it came.
func (s *Stock) deepest(w *sweptMove, margin, known float64, edge bool) (depth, x, y float64) {
	first, most, look := -1, known, biteSearch{stock: s, margin: margin, best: known}
	for i := range w.touched {
		t := &w.touched[i]
		if d := t.before - t.low; d > most {
			first, most = i, d
		}
		if d := s.middleHeight[t.cell] - t.middle; d > look.certain {
			x, y := s.middle(t.cell%s.nx, t.cell/s.nx)
			if k := &w.outer[t.run]; k.distance(k.place(x, y)) <= k.Radius()-margin {
				look.certain = d
			}
		}
	}
	if first >= 0 {
		look.searchCell(w, first)
	}
	for i := range w.touched {
		if t := &w.touched[i]; i != first && t.before-t.low > look.best {
			look.searchCell(w, i)
		}
	}
	if edge {
		look.searchEdge(w)
	}
	return look.best, look.x, look.y
}

// biteSearch is the search for the deepest bite of a move.
type biteSearch struct {
	stock      *Stock
	run        *straightRun // encloses the true cutter; what it leaves counts
	within     *straightRun // whose edge bounds where the search goes
	remembered []int32      // numbers of runs
	before     float64
	margin     float64
	certain    float64 // a bite that exists: a bound within biteTolerance of it is close enough
	best, x, y float64 // the greatest bound accepted so far
}

// searchCell searches a touched cell.
func (l *biteSearch) searchCell(w *sweptMove, i int) {
	t := &w.touched[i]
	l.run, l.before, l.remembered = &w.outer[t.run], t.before, l.stock.memory.of(t.cell)
	l.within = l.run
	x, y := l.stock.middle(t.cell%l.stock.nx, t.cell/l.stock.nx)
	if bound := t.before - t.low; bound <= l.certain+biteTolerance {
		l.accept(bound, x, y)
		return
	}
	l.bound(x, y, l.stock.cellSize/2, maxSplits)
}

// accept takes a bound into account.
func (l *biteSearch) accept(bound, x, y float64) {
	if breaks(bound, l.best) {
		l.best, l.x, l.y = bound, x, y
	}
}

// bound bounds the bite within a square of the given half side. What stood there, a
// convex surface or the cell's bound, minus a plane below the surface that the move
// leaves, is greatest at a corner. Where that is too loose the square is divided.
func (l *biteSearch) bound(x, y, half float64, splits int) {
	reach := float64(half * math.Sqrt2)
	l.stock.tally.add(4 + 2*len(l.remembered))
	s, v := l.within.place(x, y)
	beside := l.within.distance(s, v)
	if beside-reach > l.within.Radius()-l.margin {
		return
	}
	if l.run != l.within {
		s, v = l.run.place(x, y)
	}
	// Two lower bounds of what the move leaves: a plane, and a level for where it is steep.
	p := lowerPlane{level: math.Inf(-1)}
	var gs, gv float64
	p.z, gs, gv, p.ok = l.run.tangent(s, v, reach)
	p.dx = float64(half * (float64(gs*l.run.ux) - float64(gv*l.run.uy)))
	p.dy = float64(half * (float64(gs*l.run.uy) + float64(gv*l.run.ux)))
	p.level = l.run.lowerBoundWithin(s, v, reach)
	if p.ok {
		p.level = fastMax(p.level, p.z-math.Abs(p.dx)-math.Abs(p.dy))
	}
	p.before = l.before
	acceptable := fastMax(l.best, l.certain+biteTolerance)
	bound, stood := p.start(), l.before
	for _, id := range l.remembered {
		if bound <= acceptable {
			break
		}
		k := l.stock.runs.at(id)
		bound = p.heightOver(k, x, y, half, bound)
		if splits > 0 {
			stood = fastMin(stood, k.height(x, y))
		}
	}
	if bound > acceptable {
		bound = p.meanBound(bound)
	}
	// The bite at the middle shows how loose the bound is at most.
	if splits == 0 || bound <= acceptable || (p.ok && beside <= l.within.Radius()-l.margin && bound-(stood-p.z) <= biteTolerance) {
		l.accept(bound, x, y)
		return
	}
	for c := range 4 {
		l.bound(x+float64(half/2*float64(c&1*2-1)), y+float64(half/2*float64(c&2-1)), half/2, splits-1)
	}
}

// lowerPlane bounds from below what a move leaves over a square: a plane through z at the
// middle, with its rise from there to the square's sides, and a level; ok is false where
// only the level is a bound. heights are those over the plane, at the square's corners, of
// the surfaces that stood before.
type lowerPlane struct {
	z, dx, dy, level float64
	ok               bool
	before           float64
	count            int
	heights          [maxRunsKept + 1][4]float64
}

// start takes the cell's bound of what stood before and returns its height over the plane.
func (p *lowerPlane) start() float64 {
	p.count = 0
	bound := p.before - p.level
	if p.ok {
		q := &p.heights[0]
		p.count = 1
		for c := range 4 {
			sx, sy := float64(c&1*2-1), float64(c&2-1)
			q[c] = p.before - p.z - float64(sx*p.dx) - float64(sy*p.dy)
		}
		bound = fastMin(bound, fastMax(fastMax(q[0], q[1]), fastMax(q[2], q[3])))
	}
	return bound
}

// heightOver returns the most by which the run's surface may lie above the plane or the
// level, whichever is less, over the square of the given half side; bound where that is
// less.
func (p *lowerPlane) heightOver(k *straightRun, x, y, half, bound float64) float64 {
	level, tilted := math.Inf(-1), math.Inf(-1)
	q := &p.heights[p.count]
	for c := range 4 {
		sx, sy := float64(c&1*2-1), float64(c&2-1)
		h := k.height(x+float64(half*sx), y+float64(half*sy))
		if math.IsInf(h, 1) {
			return bound
		}
		q[c] = h - p.z - float64(sx*p.dx) - float64(sy*p.dy)
		level, tilted = fastMax(level, h-p.level), fastMax(tilted, q[c])
	}
	if p.ok {
		p.count++
		level = fastMin(level, tilted)
	}
	return fastMin(bound, level)
}

// meanBound improves the bound where two surfaces meet in the square: the lower of
// two is nowhere above their mean with any weights, which is convex again. The
// best weight lies where the means at two corners are equal.
func (p *lowerPlane) meanBound(bound float64) float64 {
	for i := 1; i < p.count; i++ {
		for j := range i {
			a, b := &p.heights[i], &p.heights[j]
			for c := range 4 {
				for d := range c {
					da, db := a[c]-a[d], b[c]-b[d]
					if da*db >= 0 {
						continue
					}
					w := db / (db - da) // of a
					m := math.Inf(-1)
					for e := range 4 {
						m = fastMax(m, float64(w*a[e])+float64((1-w)*b[e]))
					}
					bound = fastMin(bound, m)
				}
			}
		}
	}
	return bound
}

// apply removes what the move in the scratch memory cuts, and calls post for each cell that
// a run spares.
func (s *Stock) apply(b *Bite, how cutting, post func(cell int, k *straightRun)) {
	w := &s.scratch.cutter
	if len(w.outer) == 0 { // far from the blank
		s.edge.clear()
	}
	next := 0
	for run := range w.outer {
		first := next
		for next < len(w.touched) && w.touched[next].run == run {
			next++
		}
		s.hold(&w.outer[run], w.touched[first:next], how.known)
		if first < next {
			s.applyRun(b, run, w.touched[first:next], how, post)
		}
		s.follow(&w.outer[run], first < next)
	}
}

// applyRun removes what a run of the move in the scratch memory cuts.
func (s *Stock) applyRun(b *Bite, run int, touched []touchedCell, how cutting, post func(cell int, k *straightRun)) {
	w, id := &s.scratch.cutter, s.runs.count
	k, whole := &w.outer[run], false
	if how.stay || len(s.posts) > 0 { // of a line some parts may spare a cell
		s.line.begin(&w.runs[run], id)
		s.runs.add(w.inner[run])
	} else {
		s.runs.add(s.line.join(&w.runs[run], id).narrowed(1))
		if whole = s.line.first < id; whole {
			k = s.runs.at(id)
		}
	}
	s.tally.keep(keptRun)
	for i := range touched {
		t := &touched[i]
		if d := s.middleHeight[t.cell] - t.middle; d > 0 {
			b.Volume += float64(d * s.cellSize * s.cellSize)
			s.middleHeight[t.cell] = t.middle
		}
		if how.spares(s, &w.runs[run], t.cell) {
			post(t.cell, &w.runs[run])
			continue
		}
		if whole {
			s.memory.keepOnly(t.cell, func(id int32) bool { return id < s.line.first })
			s.leftBy(t, k)
		}
		if t.high < s.upper[t.cell] {
			s.upper[t.cell] = t.high
			if t.high-t.low <= tightBound { // only runs that lie lower in part of the cell say more
				s.memory.keepOnly(t.cell, func(id int32) bool { return s.runs.at(id).lowest() < t.high-tightBound })
				continue
			}
		}
		if !s.rememberedPath(t.cell, id) {
			if len(s.memory.of(t.cell)) == maxRunsKept {
				s.memory.keepOnly(t.cell, func(id int32) bool { return s.tells(t.cell, s.runs.at(id)) })
			}
			s.memory.keep(t.cell, id, func(kept []int32) int { return s.leastMissed(t.cell, kept, id) })
		}
	}
}

// leftBy bounds what a run leaves of a touched cell.
func (s *Stock) leftBy(t *touchedCell, k *straightRun) {
	x, y := s.middle(t.cell%s.nx, t.cell/s.nx)
	half := s.cellSize / 2
	a, v := k.place(x, y)
	t.low, t.middle = k.lowerBoundOver(a, v, half)
	t.high = fastMax(fastMax(k.height(x-half, y-half), k.height(x+half, y-half)), fastMax(k.height(x-half, y+half), k.height(x+half, y+half)))
}

// rememberedPath reports whether a cell remembers a run over the same path in plan, such as
// that of the lap before: of the two only the lower one is kept.
func (s *Stock) rememberedPath(cell int, id int32) bool {
	kept, c := s.memory.of(cell), s.runs.at(id)
	for i := range kept {
		if k := s.runs.at(kept[i]); k.samePath(c) {
			x, y := s.middle(cell%s.nx, cell/s.nx)
			if c.tipBeside(x, y) <= k.tipBeside(x, y) {
				kept[i] = id
			}
			return true
		}
	}
	return false
}

// tipBeside returns the tip's height where the run passes a place most closely.
func (k *straightRun) tipBeside(x, y float64) float64 {
	s, _ := k.place(x, y)
	return k.z + float64(k.slope*k.clampStation(s))
}

// samePath reports whether two runs have the same straight path in plan, in either sense
// and but for rounding, and only one of them is worth remembering: with flat ends the
// lower one; with others, one that lies nowhere above the earlier, so that its flanks do
// not either.
func (k *straightRun) samePath(o *straightRun) bool {
	const near = 1e-9
	if k.Corner != o.Corner || k.Radius() != o.Radius() || differBy(k.length, o.length, near) {
		return false
	}
	x, y := o.x+float64(o.length*o.ux), o.y+float64(o.length*o.uy)
	if k.Corner != 0 {
		a, b := o.z, o.z+float64(o.slope*o.length) // where k begins and ends
		if differBy(k.x, o.x, near) || differBy(k.y, o.y, near) {
			a, b = b, a
		}
		if a > k.z || b > k.z+float64(k.slope*k.length) {
			return false
		}
	}
	return !differBy(k.x, o.x, near) && !differBy(k.y, o.y, near) && !differBy(k.ux, o.ux, near) && !differBy(k.uy, o.uy, near) ||
		!differBy(k.x, x, near) && !differBy(k.y, y, near) && !differBy(k.ux, -o.ux, near) && !differBy(k.uy, -o.uy, near)
}

func differBy(a, b, by float64) bool { return a-b > by || b-a > by }

// tightBound is the variation of a run's surface over a cell, in mm, up to which the
// cell's bound alone is enough: half of biteTolerance.
const tightBound = biteTolerance / 2

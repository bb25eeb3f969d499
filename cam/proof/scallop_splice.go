package proof

import (
	"iter"
	"math"
	"slices"
)

// splice is one straight run over the part of a pass that serves a cell. A pass that bends in
// plan is several runs, and over a cell that lies across the end of one the bound of either is
// loose: past the arc that a flat's edge leaves where a run ends that run stays level, and the
// next does not come there. The splice is raised and narrowed by what the pass leaves of it: the
// shorter the part, the less. Its lists are used again.
type splice struct {
	run
	from, to stop
	points   []point
	hull     hull
	list     []surface
}

const (
	// mostSpliced is how many passes are spliced over a cell: a scallop lies between two.
	mostSpliced = 2
	// mostSteps is how many runs along its pass a candidate is followed.
	mostSteps = 6
	// spliceLooks is what a splice counts in a budget for each place: to find what serves it, and
	// to look.
	spliceLooks = 4
)

// stop is a place of a pass: a station of one of its runs.
type stop struct {
	run *run
	s   float64
}

func (s stop) before(o stop) bool {
	if s.run != o.run {
		return s.run.order < o.run.order
	}
	return s.s < o.s
}

// splices lays the worker's splice over the passes that are lowest at the middle of a cell, one
// after the other, each where the given places of the cell need it.
func (w *worker) splices(list []candidate, places []planPoint) iter.Seq[surface] {
	return func(yield func(surface) bool) {
		var spliced [mostSpliced]int
		n := 0
		for k := range list {
			r := list[k].run
			if n == mostSpliced || math.IsInf(list[k].middle, 1) || w.tally.over {
				return
			}
			if !r.bends() || slices.ContainsFunc(spliced[:n], func(o int) bool { return max(o-r.order, r.order-o) <= mostSteps }) {
				continue // or it is of the same pass
			}
			spliced[n] = r.order
			n++
			w.tally.add(spliceLooks * len(places))
			if w.splice.over(r, places) && !yield(surface{&w.splice.run, -1}) {
				return
			}
		}
	}
}

// bends reports whether a run is one of several of a flat's pass. A corner leaves no such arc.
func (r *run) bends() bool { return r.end.Corner == 0 && (r.last != nil || r.next != nil) }

// over lays the splice over the part of the run's pass that the places need, and reports
// whether that is more than one run, and comes to all of them.
func (b *splice) over(r *run, places []planPoint) bool {
	for i, p := range places {
		s, ok := b.stopAt(r, p)
		if !ok {
			return false
		}
		if i == 0 || s.before(b.from) {
			b.from = s
		}
		if i == 0 || b.to.before(s) {
			b.to = s
		}
	}
	if b.from.run == b.to.run {
		return false
	}
	margin := spliceMargin * b.from.to(b.to)
	b.from, b.to = b.from.moved(-margin), b.to.moved(margin)
	return b.lay()
}

// spliceMargin is how far a splice goes on at either end, as a share of its length: it is
// narrower than the pass, and its edge comes to a place that much earlier or later.
const spliceMargin = 0.25

// to returns how far along the pass another stop lies behind s.
func (s stop) to(o stop) float64 {
	d := o.s - s.s
	for r := s.run; r != o.run; r = r.next {
		d += r.length()
	}
	return d
}

// moved returns the stop d further along the pass, or where that ends.
func (s stop) moved(d float64) stop {
	for s.s += d; s.s < 0 && s.run.last != nil; s.s += s.run.length() {
		s.run = s.run.last
	}
	for s.s > s.run.length() && s.run.next != nil {
		s.s -= s.run.length()
		s.run = s.run.next
	}
	s.s = clamp(s.s, 0, s.run.length())
	return s
}

// stopAt returns where along its pass the cutter leaves least at a place, looked for from r on;
// ok is false where none is found.
func (b *splice) stopAt(r *run, p planPoint) (best stop, ok bool) {
	z, s := b.lowestAt(r, p)
	for range mostSteps {
		n := r.towards(p, z, s)
		if n == nil {
			break
		}
		zn, sn := b.lowestAt(n, p)
		if zn >= z && !math.IsInf(z, 1) {
			break
		}
		r, z, s = n, zn, sn
	}
	return stop{r, s}, !math.IsInf(z, 1)
}

// lowestAt returns the least height of a run's surfaces at a place, and its station.
func (b *splice) lowestAt(r *run, p planPoint) (z, s float64) {
	z = math.Inf(1)
	b.list = r.surfaces(b.list[:0], p.x, p.y)
	for _, l := range b.list {
		if v, at := l.upperBound(p.x, p.y); v < z {
			z, s = v, at
		}
	}
	return z, s
}

// towards returns the run of the pass, beside r, in which a place may be served better than by
// r, which leaves z there from its station s; nil for none.
func (r *run) towards(p planPoint, z, s float64) *run {
	if math.IsInf(z, 1) {
		s, _ = r.frame(p.x, p.y)
	}
	switch {
	case s <= 0:
		return r.last
	case s >= r.length():
		return r.next
	}
	return nil
}

// lay lays the splice from its first stop to its last.
func (b *splice) lay() bool {
	b.points = b.points[:0]
	beside := 0.0
	for r := b.from.run; ; r = r.next {
		from, to := 0.0, r.length()
		if r == b.from.run {
			from = b.from.s
		}
		if r == b.to.run {
			to = b.to.s
		}
		beside = max(beside, r.lineError)
		b.add(r, from, r.height(from))
		for i, s := range r.stations {
			if s > from && s < to {
				b.add(r, s, r.heights[i])
			}
		}
		b.add(r, to, r.height(to))
		if r == b.to.run {
			break
		}
	}
	b.end = b.from.run.end
	return b.run.lay(b.points, &b.hull, chain{planError: beside})
}

// add adds the point of a run at its station s, at height z.
func (b *splice) add(r *run, s, z float64) {
	p := point{r.startX + float64(s*r.ux), r.startY + float64(s*r.uy), z}
	n := len(b.points)
	if n > 0 && math.Hypot(p.x-b.points[n-1].x, p.y-b.points[n-1].y) <= coordinateGuard {
		b.points[n-1].z = max(z, b.points[n-1].z)
		return
	}
	b.points = append(b.points, p)
}

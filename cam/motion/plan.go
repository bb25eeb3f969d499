package motion

// window is how many moves a plan holds. Half of it has to be long enough to
// brake in: 4096 moves of 0.01 mm are 40 mm, and a router at 12 m/min with
// 500 mm/s² brakes in 40 mm.
const window = 8192

// plan is the moves since the last rest, or since the last that were settled,
// and the speeds between their pieces.
type plan struct {
	segments []segment
	entry    float64 // square of the speed at the start of the first segment, (mm/s)²
	entryWhy Limit   // what it stands for
	moving   bool    // the first segment starts where settled ones ended; false after a rest

	pieces []piece
	begin  []int     // the first piece of each segment
	speed  []float64 // square of the speed at the start of each piece, and at the end of the last
	why    []Limit   // what the speed there stands for
}

// piece is a part of a segment that has one highest speed: what the roundings
// at its ends leave of it, or the half of a rounding.
type piece struct {
	length, top, acceleration float64
	of                        int   // the segment
	limit                     Limit // what top stands for
	stop                      bool  // a sharp corner at its start: the machine stands still there
}

// whole plans all segments to a rest and returns their number.
func (p *plan) whole(r *rules) int {
	n := len(p.segments)
	p.corners(r)
	p.cut(n)
	p.pass(0, Rest)
	return n
}

// spill plans a full window, more segments to come, and returns how many of
// them may be settled: those whose speed is the same whether the machine must
// rest at the last known corner or may run through it.
func (p *plan) spill(r *rules) int {
	n := len(p.segments)
	p.corners(r)
	// The last run may go on, and with it the room of the corner that it starts
	// with: all is known up to the start of the run before.
	known, runs := n-1, 0
	for ; known > 0; known-- {
		if p.segments[known].straight {
			continue
		}
		if runs++; runs == 2 {
			break
		}
	}
	if known > 0 {
		p.cut(known)
		// What follows the last piece may hold it to any speed from 0 to its own.
		last := p.pieces[len(p.pieces)-1]
		same, settled := p.pass(last.top, last.limit), 0
		for settled < known && p.begin[settled+1] <= same {
			settled++
		}
		if settled >= n/2 {
			return settled
		}
	}
	p.cut(n)
	p.pass(0, Rest)
	return n / 2
}

// drop forgets the first n segments; the next starts at the speed that the
// last of them ended with, or from rest where none is left.
func (p *plan) drop(n int) {
	at := p.begin[n]
	p.entry, p.entryWhy = p.speed[at], p.why[at]
	p.segments = p.segments[:copy(p.segments, p.segments[n:])]
	p.moving = len(p.segments) > 0
}

// corners sets the corner at the start of each straight run but the first. Its
// room is that of the runs on either side.
func (p *plan) corners(r *rules) {
	ahead := 0.0
	for i := len(p.segments) - 1; i > 0; i-- {
		s := &p.segments[i]
		ahead += s.length
		if s.straight {
			continue
		}
		before := &p.segments[i-1]
		s.entry = r.corner(before.last, s.first, min(before.run, ahead))
		ahead = 0
	}
	for i := 1; i < len(p.segments); i++ {
		if s := &p.segments[i]; s.straight {
			s.entry = p.segments[i-1].entry
		}
	}
}

// cut makes the pieces of the first n segments, the last of which ends a run.
func (p *plan) cut(n int) {
	p.pieces, p.begin = p.pieces[:0], p.begin[:0]
	for from, to := 0, 0; from < n; from = to {
		for to = from + 1; to < n && p.segments[to].straight; to++ {
		}
		entry, exit := p.segments[from].entry, corner{}
		if to < len(p.segments) {
			exit = p.segments[to].entry
		}
		end := p.segments[to-1].run - exit.used
		for i := from; i < to; i++ {
			s := &p.segments[i]
			p.begin = append(p.begin, len(p.pieces))
			if i == from && !s.straight {
				p.half(i, entry)
			}
			length := min(s.run, end) - max(s.run-s.length, entry.used)
			if length > nothing {
				p.pieces = append(p.pieces, piece{length: length, top: s.top, acceleration: s.acceleration, of: i, limit: s.limit})
			}
		}
		p.half(to-1, exit)
		if at := p.begin[from]; at < len(p.pieces) && !p.segments[from].straight {
			p.pieces[at].stop = entry.speed == 0
		}
	}
	p.begin = append(p.begin, len(p.pieces))
}

// half adds the half of a corner's rounding that belongs to segment i.
func (p *plan) half(i int, c corner) {
	if !(c.length > 0) {
		return
	}
	s := &p.segments[i]
	h := piece{length: c.length / 2, top: c.speed, acceleration: s.acceleration, of: i, limit: c.limit}
	if s.top < h.top {
		h.top, h.limit = s.top, s.limit
	}
	p.pieces = append(p.pieces, h)
}

// junction returns the square of the highest speed at the start of piece i > 0
// and what it stands for.
func (p *plan) junction(i int) (float64, Limit) {
	a, b := &p.pieces[i-1], &p.pieces[i]
	switch {
	case b.stop:
		return 0, Corner
	case a.top <= b.top:
		return a.top, a.limit
	}
	return b.top, b.limit
}

// pass sets the speeds between the pieces, the last at most end: backward for
// braking, forward for speeding up. It returns the last place where, with a
// rest at the end, the speed would be the same.
func (p *plan) pass(end float64, why Limit) (same int) {
	n := len(p.pieces)
	for len(p.speed) <= n {
		p.speed, p.why = append(p.speed, 0), append(p.why, Rest)
	}
	p.speed[n], p.why[n] = end, why
	rest := 0.0
	for i := n - 1; i > 0; i-- {
		reach := 2 * float64(p.pieces[i].acceleration*p.pieces[i].length)
		top, cause := p.junction(i)
		rest += reach // for braking from the end, up to the first place where it does not bind
		if top <= rest && same == 0 {
			same = i
		}
		if w := p.speed[i+1] + reach; w < top {
			top, cause = w, p.why[i+1]
		}
		p.speed[i], p.why[i] = top, cause
	}
	p.speed[0], p.why[0] = 0, Rest
	if p.moving {
		p.speed[0], p.why[0] = p.entry, p.entryWhy
	}
	for i := range n {
		w := p.speed[i] + 2*float64(p.pieces[i].acceleration*p.pieces[i].length)
		if w < p.speed[i+1] {
			p.speed[i+1], p.why[i+1] = w, p.why[i]
		}
	}
	return same
}

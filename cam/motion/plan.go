package motion

// maxSegments is how many moves a plan holds. Half of them must be long enough to
// brake in: 4096 moves of 0.01 mm are 40 mm, and a router at 12 m/min with
// 500 mm/s² brakes in 40 mm.
const maxSegments = 8192

// plan holds the moves since the last rest, or since the last settled one, and the
// speeds between their pieces.
type plan struct {
	segments     []segment
	entrySquared float64 // square of the speed at the start of the first segment, (mm/s)²
	continues    bool    // the first segment starts where settled ones ended; false after a rest

	pieces       []piece
	firstPiece   []int     // the first piece of each segment
	speedSquared []float64 // square of the speed at the start of each piece, and at the end of the last
}

// piece is a part of a segment that has one highest speed: what the roundings at
// its ends leave of it, or half of a rounding.
type piece struct {
	length       float64 // mm
	speedSquared float64 // square of its highest speed, (mm/s)²
	acceleration float64 // along the path, mm/s²
	segment      int     // index of its segment
	stopBefore   bool    // a sharp corner at its start, where the machine stops
}

// planAll plans all segments to a rest and returns their number.
func (p *plan) planAll(r *rules) int {
	n := len(p.segments)
	p.setMeetings(r)
	p.makePieces(n)
	p.setSpeeds(0)
	return n
}

// planWindow plans maxSegments segments, with more to come, and returns how many of
// them may be settled: those whose speed is the same whether the machine must
// rest at the last known corner or may run through it.
func (p *plan) planWindow(r *rules) int {
	n := len(p.segments)
	p.setMeetings(r)
	// The last run may go on, and with it the room of the corner at its start:
	// everything is known up to the start of the run before.
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
		p.makePieces(known)
		// What follows may limit the end of the last piece to any speed from 0 to its own.
		same, settled := p.setSpeeds(p.pieces[len(p.pieces)-1].speedSquared), 0
		for settled < known && p.firstPiece[settled+1] <= same {
			settled++
		}
		if settled >= n/2 {
			return settled
		}
	}
	p.makePieces(n)
	p.setSpeeds(0)
	return n / 2
}

// drop removes the first n segments; the next one starts at the speed at which the
// last of them ended, or from rest where none is left.
func (p *plan) drop(n int) {
	at := p.firstPiece[n]
	p.entrySquared = p.speedSquared[at]
	p.segments = p.segments[:copy(p.segments, p.segments[n:])]
	p.continues = len(p.segments) > 0
}

// setMeetings sets the meeting at the start of each straight run but the first. Its
// room is the shorter of the runs on either side.
func (p *plan) setMeetings(r *rules) {
	ahead := 0.0
	for i := len(p.segments) - 1; i > 0; i-- {
		s := &p.segments[i]
		ahead += s.length
		if s.straight {
			continue
		}
		before := &p.segments[i-1]
		s.meeting = r.meeting(before.last, s.first, min(before.run, ahead))
		ahead = 0
	}
	for i := 1; i < len(p.segments); i++ {
		if s := &p.segments[i]; s.straight {
			s.meeting = p.segments[i-1].meeting
		}
	}
}

// makePieces makes the pieces of the first n segments, the last of which ends a run.
func (p *plan) makePieces(n int) {
	p.pieces, p.firstPiece = p.pieces[:0], p.firstPiece[:0]
	for from, to := 0, 0; from < n; from = to {
		for to = from + 1; to < n && p.segments[to].straight; to++ {
		}
		entry, exit := p.segments[from].meeting, meeting{}
		if to < len(p.segments) {
			exit = p.segments[to].meeting
		}
		end := p.segments[to-1].run - exit.taken
		for i := from; i < to; i++ {
			s := &p.segments[i]
			p.firstPiece = append(p.firstPiece, len(p.pieces))
			if i == from && !s.straight {
				p.addHalfRounding(i, entry)
			}
			length := min(s.run, end) - max(s.run-s.length, entry.taken)
			if length > minLength {
				p.pieces = append(p.pieces, piece{length: length, speedSquared: s.speedSquared, acceleration: s.acceleration, segment: i})
			}
		}
		p.addHalfRounding(to-1, exit)
		if at := p.firstPiece[from]; at < len(p.pieces) && !p.segments[from].straight {
			p.pieces[at].stopBefore = entry.speedSquared == 0
		}
	}
	p.firstPiece = append(p.firstPiece, len(p.pieces))
}

// addHalfRounding adds the half of a rounding that belongs to segment i.
func (p *plan) addHalfRounding(i int, c meeting) {
	if !(c.length > 0) {
		return
	}
	s := &p.segments[i]
	p.pieces = append(p.pieces, piece{length: c.length / 2, speedSquared: min(c.speedSquared, s.speedSquared), acceleration: s.acceleration, segment: i})
}

// speedBetween returns the square of the highest speed at the start of piece i > 0.
func (p *plan) speedBetween(i int) float64 {
	if p.pieces[i].stopBefore {
		return 0
	}
	return min(p.pieces[i-1].speedSquared, p.pieces[i].speedSquared)
}

// setSpeeds sets the speeds between the pieces, the last at most end (a square):
// backward for braking, forward for speeding up. It returns the last place where
// the speed would be the same with a rest at the end.
func (p *plan) setSpeeds(end float64) (same int) {
	n := len(p.pieces)
	for len(p.speedSquared) <= n {
		p.speedSquared = append(p.speedSquared, 0)
	}
	p.speedSquared[n] = end
	fromRest := 0.0
	for i := n - 1; i > 0; i-- {
		gain := 2 * float64(p.pieces[i].acceleration*p.pieces[i].length)
		limit := p.speedBetween(i)
		fromRest += gain // the square of the speed from which the machine can brake to a rest at the end
		if limit <= fromRest && same == 0 {
			same = i
		}
		p.speedSquared[i] = min(limit, p.speedSquared[i+1]+gain)
	}
	p.speedSquared[0] = 0
	if p.continues {
		p.speedSquared[0] = p.entrySquared
	}
	for i := range n {
		p.speedSquared[i+1] = min(p.speedSquared[i+1], p.speedSquared[i]+2*float64(p.pieces[i].acceleration*p.pieces[i].length))
	}
	return same
}

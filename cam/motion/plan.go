package motion

// plan holds the moves since the last rest, and the speeds between their pieces.
type plan struct {
	segments     []segment
	pieces       []piece
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
}

// makePieces makes the pieces of the segments, run by run.
func (p *plan) makePieces() {
	p.pieces = p.pieces[:0]
	n := len(p.segments)
	for from, to := 0, 0; from < n; from = to {
		for to = from + 1; to < n && p.segments[to].straight; to++ {
		}
		entry, exit, first := p.segments[from].meeting, meeting{}, len(p.pieces)
		if to < n {
			exit = p.segments[to].meeting
		}
		end := p.segments[to-1].run - exit.taken
		p.addHalfRounding(from, entry)
		for i := from; i < to; i++ {
			s := &p.segments[i]
			length := min(s.run, end) - max(s.run-s.length, entry.taken)
			if length > minLength {
				p.pieces = append(p.pieces, piece{length: length, speedSquared: s.speedSquared, acceleration: s.acceleration, segment: i})
			}
		}
		p.addHalfRounding(to-1, exit)
		if first < len(p.pieces) {
			p.pieces[first].stopBefore = entry.speedSquared == 0
		}
	}
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

// setSpeeds sets the speeds between the pieces, from rest to rest: backward for braking,
// forward for speeding up.
func (p *plan) setSpeeds() {
	n := len(p.pieces)
	gain := func(i int) float64 { return 2 * float64(p.pieces[i].acceleration*p.pieces[i].length) }
	p.speedSquared = append(p.speedSquared[:0], make([]float64, n+1)...)
	for i := n - 1; i > 0; i-- {
		p.speedSquared[i] = min(p.speedBetween(i), p.speedSquared[i+1]+gain(i))
	}
	for i := range n {
		p.speedSquared[i+1] = min(p.speedSquared[i+1], p.speedSquared[i]+gain(i))
	}
}

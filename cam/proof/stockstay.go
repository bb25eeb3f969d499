package proof

import (
	"math"
	"slices"

	"dishwright/cam/path"

	"gonum.org/v1/gonum/spatial/r3"
)

// stays searches moves for stays: stretches of a cutter's way that keep so close together that
// the core may stand over one place all the time. What stands there is not cut meanwhile, in
// however many moves, laps or pecks the cutter goes down. Stays count in which the tip goes
// down by more than half of what the core may press: where it goes down by less, lifts off and
// comes back, it adds up to no more than as much again.
type stays struct {
	core    float64 // the core's radius
	pressed func(ramps float64) float64
	tally   *tally
	places  []stayPlace // of the stretch at hand
	around  octagon     // about those
	in      []bool      // for each move whether it is of a stay
}

// stayPlace is a place of the tip on its way.
type stayPlace struct {
	r3.Vec
	index int
	ramps float64 // length of the ways down up to here, in plan
}

// octagon is the octagon about places in plan: how far they reach along four directions.
type octagon struct{ low, high [4]float64 }

// noPlaces is the octagon about no place.
var noPlaces = octagon{
	low:  [4]float64{math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(1)},
	high: [4]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1), math.Inf(-1)},
}

// with returns the octagon about one place more.
func (h octagon) with(p r3.Vec) octagon {
	for i, v := range [4]float64{p.X, p.Y, (p.X + p.Y) / math.Sqrt2, (p.X - p.Y) / math.Sqrt2} {
		h.low[i], h.high[i] = fastMin(h.low[i], v), fastMax(h.high[i], v)
	}
	return h
}

// half returns half of the furthest that the octagon reaches along its directions, mm: no
// circle about it is smaller.
func (h octagon) half() (most float64) {
	for i := range h.low {
		most = fastMax(most, (h.high[i]-h.low[i])/2)
	}
	return most
}

// stayChords is how many chords of an arc are as long as the core's radius: the arc then
// lies within a hundredth of that radius.
const stayChords = 4

// follow takes a move into account.
func (s *stays) follow(i int, m path.Move) {
	m, ok := knownMove(m)
	if !ok {
		return
	}
	if len(s.places) == 0 {
		s.add(stayPlace{Vec: m.From, index: i - 1})
	}
	n := 1.0
	if m.Kind == path.Arc {
		n = min(max(stayChords, math.Ceil(stayChords*m.Length()/s.core)), maxStockChords)
	}
	for k := 1.0; k <= n; k++ {
		from := s.places[len(s.places)-1]
		p := stayPlace{Vec: m.At(k / n), index: i, ramps: from.ramps}
		if m.Kind != path.Traverse && p.Z < from.Z {
			p.ramps += math.Hypot(p.X-from.X, p.Y-from.Y)
		}
		s.add(p)
	}
}

// add goes on to a place: where it is too far off, what went before is a stay, and the
// longest stretch that leads here without it begins another.
func (s *stays) add(p stayPlace) {
	h := s.around.with(p.Vec)
	if !(h.half() < s.core) {
		s.end()
		h = noPlaces.with(p.Vec)
		first := len(s.places)
		for ; first > 0; first-- {
			longer := h.with(s.places[first-1].Vec)
			if !(longer.half() < s.core) {
				break
			}
			h = longer
		}
		s.tally.add(len(s.places) - first)
		s.places = append(s.places[:0], s.places[first:]...)
	}
	s.places, s.around = append(s.places, p), h
}

// end looks at the stretch at hand.
func (s *stays) end() {
	if len(s.places) == 0 {
		return
	}
	s.tally.add(len(s.places) / cellsPerLook)
	first, last := s.places[0], s.places[len(s.places)-1]
	fall, top := 0.0, first.Z
	for _, p := range s.places {
		top = fastMax(top, p.Z)
		fall = fastMax(fall, top-p.Z)
	}
	if fall > s.pressed(last.ramps-first.ramps)/2 {
		for i := first.index + 1; i <= last.index; i++ {
			s.in[i] = true
		}
	}
}

// pressed returns how deep the core may press wood that it stays over, mm, while the cutter
// goes down ways of the given length in plan: as deep as a ramp of the cutter's angle goes in
// that length, but no longer than twice the core's width, in which a ramp that turns back has
// left every place; and what the field may overstate.
func (r *runner) pressed(ramps float64) float64 {
	return float64(math.Tan(r.cutter.Ramp)*min(ramps, 2*r.cutter.Core)) + coreSlackFactor*r.slack
}

// findStays finds out which moves are of stays.
func (r *runner) findStays() {
	core := min(r.cutter.Core, r.cutter.Diameter) / 2
	if !(core > 0) {
		return
	}
	s := stays{core: core, pressed: r.pressed, tally: &r.stock.tally, around: noPlaces, in: make([]bool, len(r.moves))}
	for i, m := range r.moves {
		s.follow(i, m)
	}
	s.end()
	r.stays = s.in
}

// cutting says how much of a move cuts.
type cutting struct {
	known float64 // only where a deeper bite is possible the cells under the edge are held
	core  float64 // radius of what does not cut; 0 where all does
	stay  bool    // it is of a stay: what it goes down on under the core is a post
}

// spares reports whether a run leaves a cell as it is: one whose middle comes under the core
// in a stay on the way down, and from then on until what is outside the core passes over it.
func (h cutting) spares(s *Stock, k *straightRun, cell int) bool {
	if !(h.core > 0) || !h.stay && len(s.posts) == 0 {
		return false
	}
	x, y := s.middle(cell%s.nx, cell/s.nx)
	ramps, was := s.posts[cell]
	if fastMax(fastHypot(x-k.x, y-k.y), math.Sqrt(k.fromEnd(x, y))) >= h.core {
		delete(s.posts, cell)
		return false
	}
	down := k.length == 0 || k.slope < 0
	if !was && !(h.stay && down) {
		return false
	}
	if s.posts == nil {
		s.posts = map[int]float64{}
	}
	if down {
		ramps += k.length
	}
	s.posts[cell] = ramps
	return true
}

// checkPost looks at a cell of which a run leaves a post, for how far that stands above the
// tip. Of a post that is reported the rest is not.
func (r *runner) checkPost(i, cell int, k *straightRun) {
	s, low := r.stock, k.lowest()
	may := r.pressed(s.posts[cell])
	x, y := s.middle(cell%s.nx, cell/s.nx)
	if !breaks(s.upper[cell]-low, may) || slices.ContainsFunc(r.report.Posts, func(p Post) bool { return fastHypot(p.X-x, p.Y-y) < r.cutter.Core }) {
		return
	}
	c := r.cutter
	c.Core = s.cellSize / 4
	at := r3.Vec{X: x, Y: y, Z: low}
	if d := s.coreDepth(c, path.Move{Kind: path.Line, From: at, To: at}); breaks(d, may) {
		r.report.Posts = append(r.report.Posts, Post{MoveBite{i, d, x, y}, may})
	}
}

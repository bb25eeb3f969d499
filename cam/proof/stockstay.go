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
	places  window // of the stretch at hand
	in      []bool // for each move whether it is of a stay
	marked  int    // moves before this one are marked as far as they are of stays
}

// stayPlace is a place of the tip on its way, in a move.
type stayPlace struct {
	r3.Vec
	index int
	ramp  float64 // how long the way to it is in plan, if that goes down
}

// stretch is what counts of places that follow each other: how far they reach along four
// directions in plan, how high and low they lie, and how far and how long the ways lead down.
type stretch struct {
	from, to       [4]float64
	top, low, fall float64
	ramps          float64
}

// noPlaces is the stretch of no place.
var noPlaces = stretch{
	from: [4]float64{math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(1)},
	to:   [4]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1), math.Inf(-1)},
	top:  math.Inf(-1), low: math.Inf(1),
}

// stretch returns that of one place.
func (p *stayPlace) stretch() stretch {
	along := [4]float64{p.X, p.Y, (p.X + p.Y) / math.Sqrt2, (p.X - p.Y) / math.Sqrt2}
	return stretch{from: along, to: along, top: p.Z, low: p.Z, ramps: p.ramp}
}

// then returns the stretch that goes on with another.
func (a stretch) then(b stretch) stretch {
	for i := range a.from {
		a.from[i], a.to[i] = fastMin(a.from[i], b.from[i]), fastMax(a.to[i], b.to[i])
	}
	a.fall = fastMax(fastMax(a.fall, b.fall), a.top-b.low)
	a.top, a.low = fastMax(a.top, b.top), fastMin(a.low, b.low)
	a.ramps += b.ramps
	return a
}

// half returns half of the furthest that the places reach, mm: no circle about them is
// smaller.
func (a stretch) half() (most float64) {
	for i := range a.from {
		most = fastMax(most, (a.to[i]-a.from[i])/2)
	}
	return most
}

// window is places that follow each other, to which one is added at the end and from which
// one is taken at the beginning, each in the same time however many they are: those at the
// beginning are kept in the other order, each with the stretch from there to their end.
type window struct {
	begin   []stayPlace
	from    []stretch
	end     []stayPlace
	through stretch // all of end
}

// all returns the stretch of all places.
func (w *window) all() stretch {
	if n := len(w.from); n > 0 {
		return w.from[n-1].then(w.through)
	}
	return w.through
}

// ends returns the first place and the last; nil where there is none.
func (w *window) ends() (first, last *stayPlace) {
	b, e := len(w.begin), len(w.end)
	switch {
	case b+e == 0:
		return nil, nil
	case b == 0:
		return &w.end[0], &w.end[e-1]
	case e == 0:
		return &w.begin[b-1], &w.begin[0]
	}
	return &w.begin[b-1], &w.end[e-1]
}

// add adds a place at the end.
func (w *window) add(p stayPlace) {
	w.end, w.through = append(w.end, p), w.through.then(p.stretch())
}

// drop takes the first place away.
func (w *window) drop() {
	if len(w.begin) == 0 {
		sum := noPlaces
		for i := len(w.end) - 1; i >= 0; i-- {
			sum = w.end[i].stretch().then(sum)
			w.begin, w.from = append(w.begin, w.end[i]), append(w.from, sum)
		}
		w.end, w.through = w.end[:0], noPlaces
	}
	w.begin, w.from = w.begin[:len(w.begin)-1], w.from[:len(w.from)-1]
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
	_, last := s.places.ends()
	if last == nil {
		s.add(stayPlace{Vec: m.From, index: i - 1})
		_, last = s.places.ends()
	}
	n, from := 1.0, last.Vec
	if m.Kind == path.Arc {
		n = min(max(stayChords, math.Ceil(stayChords*m.Length()/s.core)), maxStockChords)
	}
	for k := 1.0; k <= n; k++ {
		p := stayPlace{Vec: m.At(k / n), index: i}
		if m.Kind != path.Traverse && p.Z < from.Z {
			p.ramp = math.Hypot(p.X-from.X, p.Y-from.Y)
		}
		s.add(p)
		from = p.Vec
	}
}

// add goes on to a place: where it is too far off, what went before is a stay, and the
// longest stretch that leads here without it begins another.
func (s *stays) add(p stayPlace) {
	one := p.stretch()
	if s.places.all().then(one).half() >= s.core {
		s.end()
		for first, _ := s.places.ends(); first != nil && s.places.all().then(one).half() >= s.core; first, _ = s.places.ends() {
			s.places.drop()
		}
	}
	s.places.add(p)
}

// end looks at the stretch at hand.
func (s *stays) end() {
	first, last := s.places.ends()
	if first == nil {
		return
	}
	all := s.places.all()
	if all.fall > s.pressed(all.ramps-first.ramp)/2 {
		for s.marked = max(s.marked, first.index+1); s.marked <= last.index; s.marked++ {
			s.in[s.marked] = true
		}
	}
}

// pressed returns how deep the core may press wood that it stays over, mm, while the cutter
// goes down ways of the given length in plan: as deep as a ramp of the cutter's angle goes in
// that length, but no longer than twice the core's width, in which a ramp that turns back has
// left every place; and what the field may overstate.
func (r *runner) pressed(ramps float64) float64 {
	return float64(math.Tan(r.cutter.Ramp)*min(ramps, 2*r.cutter.Core)) + float64(coreSlackFactor*r.slack)
}

// findStays finds out which moves are of stays.
func (r *runner) findStays() {
	core := min(r.cutter.Core, r.cutter.Diameter) / 2
	if !(core > 0) {
		return
	}
	s := stays{core: core, pressed: r.pressed, places: window{through: noPlaces}, in: make([]bool, len(r.moves))}
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

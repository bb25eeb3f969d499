package proof

import (
	"math"

	"dishwright/cam/path"

	"gonum.org/v1/gonum/spatial/r3"
)

// stay is a stretch of a cutter's way that keeps so close to one place that the core stands
// over it all the time: what stands there is not cut meanwhile, in however many moves, laps
// or pecks the cutter goes down.
type stay struct {
	after int     // it begins where this move ends, or on its way
	x, y  float64 // the place
	core  float64 // diameter about it that the core always covers
	fall  float64 // the furthest that the tip goes down meanwhile
	low   float64 // height of the tip there
	index int     // of the move that goes there
	ramps float64 // how long its ways down are in plan
}

// stays searches the moves for stays in which the tip goes further down than the core may
// press wood: those of which nothing larger is one.
type stays struct {
	limit   float64 // how far the axis may be from the place
	core    float64 // the core's radius
	allowed func(ramps float64) float64
	tally   *tally
	places  []stayPlace // of the stretch at hand
	around  octagon     // about those
	found   []stay
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

// circle returns a circle about the octagon, at most a twelfth larger than the least: a
// corner is at most 1/cos(22.5°) further from the middle than the sides beside it.
func (h octagon) circle() (x, y, radius float64) {
	x, y = (h.low[0]+h.high[0])/2, (h.low[1]+h.high[1])/2
	for i, v := range [4]float64{x, y, (x + y) / math.Sqrt2, (x - y) / math.Sqrt2} {
		radius = fastMax(radius, fastMax(h.high[i]-v, v-h.low[i]))
	}
	return x, y, radius / math.Cos(math.Pi/8)
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
	if _, _, radius := h.circle(); !(radius < s.limit) {
		s.end()
		h = noPlaces.with(p.Vec)
		first := len(s.places)
		for ; first > 0; first-- {
			longer := h.with(s.places[first-1].Vec)
			if _, _, radius := longer.circle(); !(radius < s.limit) {
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
	if len(s.places) < 2 {
		return
	}
	s.tally.add(len(s.places) / cellsPerLook)
	first, last := s.places[0], s.places[len(s.places)-1]
	w, top := stay{after: first.index, ramps: last.ramps - first.ramps}, first.Z
	for _, p := range s.places {
		if top = fastMax(top, p.Z); top-p.Z > w.fall {
			w.fall, w.low, w.index = top-p.Z, p.Z, p.index
		}
	}
	if breaks(w.fall, s.allowed(w.ramps)) {
		var radius float64
		w.x, w.y, radius = s.around.circle()
		w.core = 2 * (s.core - radius)
		s.found = append(s.found, w)
	}
}

// pressed returns how deep the core may press wood that it stays over, mm, while the cutter
// goes down ways of the given length in plan: as deep as a ramp of the cutter's angle goes in
// that length, but no longer than twice the core's width, in which a ramp that turns back has
// left every place; and what the field may overstate.
func (r *runner) pressed(ramps float64) float64 {
	return float64(math.Tan(r.cutter.Ramp)*min(ramps, 2*r.cutter.Core)) + coreSlackFactor*r.slack
}

// findStays lists the stays of the moves.
func (r *runner) findStays() {
	core := min(r.cutter.Core, r.cutter.Diameter) / 2
	limit := core - r.stock.EdgeMargin()
	if !(limit > 0) {
		return
	}
	s := stays{limit: limit, core: core, allowed: r.pressed, tally: &r.stock.tally, around: noPlaces}
	for i, m := range r.moves {
		s.follow(i, m)
	}
	s.end()
	r.stays = s.found
}

// checkStays looks at what stands where stays begin that begin before a move.
func (r *runner) checkStays(i int) {
	for ; len(r.stays) > 0 && r.stays[0].after < i; r.stays = r.stays[1:] {
		w := r.stays[0]
		if n := len(r.report.Posts); n > 0 && w.after < r.report.Posts[n-1].Index {
			continue // what stands there is known
		}
		c := r.cutter
		c.Core = w.core
		low := r3.Vec{X: w.x, Y: w.y, Z: w.low}
		if d := min(w.fall, r.stock.coreDepth(c, path.Move{Kind: path.Line, From: low, To: low})); breaks(d, r.pressed(w.ramps)) {
			r.report.Posts = append(r.report.Posts, Post{MoveBite{w.index, d, w.x, w.y}, r.pressed(w.ramps)})
		}
	}
}

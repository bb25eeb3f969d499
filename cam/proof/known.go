package proof

import (
	"crypto/sha256"
	"encoding/binary"
	"math"
	"reflect"

	"dishwright/dish"
)

// Known holds what was certified before, by all that a certificate depends on: the runs that
// the moves come to, the face and the options. Moves that come to the same runs leave the same,
// whether they were planned or read from a program. The zero value knows nothing. It is not
// for use from several goroutines at once.
type Known struct {
	found map[[sha256.Size]byte]knownSearch
}

// knownSearch is a search that came to its end.
type knownSearch struct {
	region   dish.Region
	maxCells int     // that it might have taken
	above    float64 // where it would have stopped; 0 for nowhere
	looks    int64   // that it took
	best     Scallop
}

// run returns what the search comes to: from what is known, or by running it. A search whose
// cells ran out or that was stopped depends on more, and is not kept.
func (k *Known) run(s *search, runs []*run) Scallop {
	if k == nil || s.region != nil && !reflect.ValueOf(s.region).Comparable() {
		s.run()
		return s.best
	}
	key := keyOf(s, runs)
	if was, ok := k.found[key]; ok && was.region == s.region && was.maxCells <= s.cellsLeft && (s.stopAbove == 0 || s.stopAbove == was.above) {
		s.budget.spent.Add(was.looks)
		s.budget.known.Add(was.looks)
		return was.best
	}
	maxCells, before := s.cellsLeft, s.budget.spent.Load()
	s.run()
	if len(s.unsettled) == 0 && !math.IsInf(s.best.Certified, 1) && s.budget.err() == nil {
		if k.found == nil {
			k.found = map[[sha256.Size]byte]knownSearch{}
		}
		k.found[key] = knownSearch{region: s.region, maxCells: maxCells, above: s.stopAbove, looks: s.budget.spent.Load() - before, best: s.best}
	}
	return s.best
}

// keyOf tells searches apart but for their region, and for when they end early.
func keyOf(s *search, runs []*run) (key [sha256.Size]byte) {
	h := sha256.New()
	var data []byte
	add := func(values ...float64) {
		for _, v := range values {
			data = binary.LittleEndian.AppendUint64(data, math.Float64bits(v))
		}
	}
	list := func(values []float64) {
		add(float64(len(values)))
		add(values...)
	}
	flag := func(is bool) {
		add(map[bool]float64{true: 1}[is])
	}
	add(float64(s.face.Kind), s.face.Radius, s.face.Rim, s.top, s.slack, s.limit)
	flag(s.face.Cylinder)
	for _, r := range runs {
		add(r.end.Flat, r.end.Corner, r.end.tilt, r.startX, r.startY, r.ux, r.uy)
		list(r.stations)
		list(r.heights)
		list(r.slopes)
		list(r.roots)
		flag(r.concave)
		flag(r.last != nil)
		add(r.lowestStation, r.lowest, r.lineError, float64(len(r.points)))
		for _, p := range r.points {
			add(p.x, p.y, p.z)
		}
		list(r.pointStations)
		if g := r.ring; g != nil {
			add(g.x, g.y, g.radius, g.start, g.sweep, g.z, g.rise, g.ax, g.ay, g.bx, g.by)
		}
		flag(r.ring != nil)
		add(r.planError, r.errorBelow, float64(r.order))
		h.Write(data)
		data = data[:0]
	}
	h.Write(data)
	h.Sum(key[:0])
	return key
}

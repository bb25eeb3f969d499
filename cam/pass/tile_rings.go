package pass

import (
	"math"

	"dishwright/cam/work"
	"dishwright/dish/exact"
)

// ring is a round of a layer, from border to border, and how far beyond the bare sector
// it ends.
type ring struct{ d, by float64 }

// layerRings are the rounds of one layer: inner ones that are whole, and the rest.
type layerRings struct {
	inner []float64
	whole float64 // so far from the apex the whole ones reach
	rest  []ring
}

// fewLayers is up to how many layers are cut without a way along the borders: each takes
// a little more than the notches of all below it.
const fewLayers = 3

// along reports whether each layer first goes out along both borders.
func (t tileRough) along() bool { return t.piece.Tile.Narrow || t.count > fewLayers }

// rings returns the rounds of every layer, the uppermost first. The whole ones reach so
// far that every other lies farther from the apex than it runs beyond the sector, and
// so has ends.
func (t tileRough) rings() (layers []layerRings) {
	lowest := max(0, t.over+t.more) + t.inset()
	if !t.along() {
		lowest += t.notch(t.levelStep())
	}
	if t.piece.Face.Rises() { // no entry on a wider round than a whole one
		for k := 1; k <= t.count; k++ {
			lowest = max(lowest, t.laps(k)[0])
		}
	}
	for range mostWidened {
		layers = t.ringsFrom(lowest)
		near := 0.0
		for _, l := range layers {
			for _, r := range l.rest {
				if r.d <= r.by {
					near = max(near, r.by-l.whole)
				}
			}
		}
		if near == 0 {
			break
		}
		lowest += near + t.inset()
	}
	return layers
}

// mostWidened bounds how often the whole rounds reach further; a few times are enough.
const mostWidened = 12

// ringsFrom returns the rounds of every layer where the whole ones of the lowest reach
// so far.
func (t tileRough) ringsFrom(lowest float64) []layerRings {
	beyond, highest := max(0, t.over+t.more)+t.inset(), lowest+float64(t.inset()*float64(t.count-1))
	layers := make([]layerRings, t.count)
	for k := t.count; k >= 1; k-- {
		l := &layers[k-1]
		l.whole = lowest + float64(t.inset()*float64(t.count-k))
		split := highest
		if t.along() {
			split = l.whole
		}
		var laps []float64
		l.inner, laps = t.inside(t.laps(k), l.whole, split)
		switch {
		case len(laps) == 0:
		case t.along():
			for _, d := range laps {
				l.rest = append(l.rest, ring{d, l.whole})
			}
		default:
			l.rest = t.meet(goOnFrom(l.inner, laps), laps, highest, beyond)
			if k < t.count {
				l.reach(layers[k].rest, t.notch(t.levelStep()), t.inset())
			}
		}
	}
	return layers
}

// goOnFrom returns the radius from which a layer's rounds go on: that of the last whole one,
// or of the first.
func goOnFrom(inner, rest []float64) float64 {
	if n := len(inner); n > 0 {
		return inner[n-1]
	}
	return rest[0]
}

// inside parts the rounds of a layer into those that are laid first and the rest: of a
// hollow the whole rounds about the apex, the last of them of radius whole; a crown has
// none. The rest lie farther from the apex than split.
func (t tileRough) inside(laps []float64, whole, split float64) (inner, rest []float64) {
	if !t.piece.Face.Rises() {
		return nil, laps
	}
	edge := laps[len(laps)-1]
	for i, d := range laps {
		// The way in may lead over a wider round to the innermost.
		if i == 0 || d <= whole {
			inner = append(inner, d)
		} else if d > split {
			rest = append(rest, d)
		}
	}
	if last := inner[len(inner)-1]; last < whole && whole < edge {
		inner = append(inner, whole)
	}
	return inner, rest
}

// meet returns the rounds that come after one of radius from, with as many more as it
// takes to meet a border no farther apart than widest allows. Each ends beyond by the
// deeper of the notches beside it.
func (t tileRough) meet(from float64, laps []float64, by, beyond float64) (list []ring) {
	at := func(d float64) float64 { return math.Sqrt(max(0, exact.Square(d)-exact.Square(by))) }
	before := 0.0
	for _, d := range laps {
		a, b := at(from), at(d)
		n := max(1, math.Ceil(math.Abs(b-a)/(widest*t.levelStep())-work.Fuzz))
		deep := t.notch(math.Abs(b-a) / n)
		for k := 1.0; k <= n; k++ {
			if m := len(list); m > 0 {
				list[m-1].by = beyond + max(before, deep)
			}
			l := a + float64((b-a)*(k/n))
			list, before = append(list, ring{math.Sqrt(float64(l*l) + exact.Square(by)), beyond + deep}), deep
		}
		list[len(list)-1].d, from = d, d
	}
	return list
}

// reach lets a layer's rounds end further out by inset than those of the layer below. As
// far as both begin with the same rounds they run one above the other, ways over
// included; after that they reach further by the notches too.
func (l *layerRings) reach(below []ring, notch, inset float64) {
	same := 0
	for same < len(below) && same < len(l.rest) && below[same].d == l.rest[same].d {
		l.rest[same].by = max(l.rest[same].by, below[same].by+inset)
		same++
	}
	for _, b := range below[same:] {
		for i, r := range l.rest { // the two rounds between which it lies
			before, after := r.d, r.d
			if i > 0 {
				before = l.rest[i-1].d
			} else if len(l.inner) > 0 {
				before = 0
			}
			if i+1 < len(l.rest) {
				after = l.rest[i+1].d
			}
			if b.d >= min(before, after) && b.d <= max(before, after) {
				l.rest[i].by = max(r.by, b.by+notch+inset)
			}
		}
	}
}

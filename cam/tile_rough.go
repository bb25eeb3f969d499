package cam

import (
	"math"

	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// tileRough removes what stands above the allowance in a tile, in the same layers and
// on the same rounds as a whole face, to and fro from border to border.
//
// Every layer ends further in than the one before, so that none finds a wall of two.
// Rounds that end at a border leave notches between them. Few layers run on by their
// depth wherever finishing, or a layer below with rounds of its own, would else meet more
// than one layer there. Many, or where that would reach too far, first go out along both
// borders, which leaves no notch.
type tileRough struct {
	rough
	over float64 // of the finishing cutter's axis beyond the bare sector
	more float64 // by how much that cutter is wider than what the roughing one clears
}

// inset is how much further in than what is cleared anything must stay that does not end
// at the very same place, mm: more than the diagonal of a cell of the field of heights in
// which bites are found, a six-hundredth of the blank or less.
func (t tileRough) inset() float64 {
	return math.Max(0.5, math.Max(t.work.Blank.Length, t.work.Blank.Width)/400)
}

// clears returns the distance from the axis within which a cutter clears a layer but for
// the ridges that roughing may leave.
func (r rough) clears() float64 {
	h := math.Min(r.left, r.tool.ball)
	return r.tool.flat + math.Sqrt(float64(h*(2*r.tool.ball-h)))
}

const (
	// widest is how many steps apart two rounds may meet a border, which near the apex
	// runs slantwise over them.
	widest = 1.25
)

// notch returns how far the notches between two rounds reach in from a border that they
// meet so far apart: the cutter's radius less half the chord that the rounds leave of it.
func (t tileRough) notch(apart float64) float64 {
	r := t.clears()
	return r - math.Sqrt(math.Max(0, sq(r)-sq(apart/2)))
}

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
func (t tileRough) along() bool { return t.work.Tile.Narrow || t.layers > fewLayers }

// rings returns the rounds of every layer, the uppermost first. The whole ones reach so
// far that every other lies farther from the apex than it runs beyond the sector, and
// so has ends.
func (t tileRough) rings() (layers []layerRings) {
	lowest := math.Max(0, t.over+t.more) + t.inset()
	if !t.along() {
		lowest += t.notch(t.levelStep())
	}
	if t.work.Face.Kind == dish.Hollow { // no entry on a wider round than a whole one
		for k := 1; k <= t.layers; k++ {
			lowest = math.Max(lowest, t.laps(k)[0])
		}
	}
	for range mostWidened {
		layers = t.ringsFrom(lowest)
		near := 0.0
		for _, l := range layers {
			for _, r := range l.rest {
				if r.d <= r.by {
					near = math.Max(near, r.by-l.whole)
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
	beyond, highest := math.Max(0, t.over+t.more)+t.inset(), lowest+t.inset()*float64(t.layers-1)
	layers := make([]layerRings, t.layers)
	for k := t.layers; k >= 1; k-- {
		l := &layers[k-1]
		l.whole = lowest + t.inset()*float64(t.layers-k)
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
			l.rest = t.meet(laps0(l.inner, laps), laps, highest, beyond)
			if k < t.layers {
				l.reach(layers[k].rest, t.notch(t.levelStep()), t.inset())
			}
		}
	}
	return layers
}

// laps0 returns the radius from which a layer's rounds go on: that of the last whole one,
// or of the first.
func laps0(inner, rest []float64) float64 {
	if n := len(inner); n > 0 {
		return inner[n-1]
	}
	return rest[0]
}

// inside parts the rounds of a layer into those that are laid first and the rest: of a
// hollow the whole rounds about the apex, the last of them of radius whole; a crown has
// none. The rest lie farther from the apex than split.
func (t tileRough) inside(laps []float64, whole, split float64) (inner, rest []float64) {
	if t.work.Face.Kind != dish.Hollow {
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
	at := func(d float64) float64 { return math.Sqrt(math.Max(0, sq(d)-sq(by))) }
	before := 0.0
	for _, d := range laps {
		a, b := at(from), at(d)
		n := math.Max(1, math.Ceil(math.Abs(b-a)/(widest*t.levelStep())-fuzz))
		deep := t.notch(math.Abs(b-a) / n)
		for k := 1.0; k <= n; k++ {
			if m := len(list); m > 0 {
				list[m-1].by = beyond + math.Max(before, deep)
			}
			l := a + float64((b-a)*(k/n))
			list, before = append(list, ring{math.Sqrt(float64(l*l) + sq(by)), beyond + deep}), deep
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
		l.rest[same].by = math.Max(l.rest[same].by, below[same].by+inset)
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
			if b.d >= math.Min(before, after) && b.d <= math.Max(before, after) {
				l.rest[i].by = math.Max(r.by, b.by+notch+inset)
			}
		}
	}
}

// lay lays the layers down.
func (t tileRough) lay(b *builder) {
	inward := false
	for k, l := range t.rings() {
		if len(l.inner) == 0 || l.inner[0] >= roomToRamp {
			if inward && t.inwardToo(l) {
				t.inward(b, k+1, l)
			} else {
				t.layer(b, k+1, l)
			}
			inward = !inward
			b.lift()
		}
	}
}

// inwardToo reports whether a layer may be laid from its outermost round to the apex, which
// saves the way back from the layer before: only where the face is nowhere steeper than
// the cutter may go down into stock.
func (t tileRough) inwardToo(l layerRings) bool {
	return t.work.Face.Kind == dish.Hollow && !t.along() && len(l.rest) > 0 && !mustClimb(t.tool, t.cutter)
}

// inward lays one layer of a hollow from its outermost round to the apex. Its ways over
// lie on the same sides as those of a layer that is laid outward.
func (t tileRough) inward(b *builder, k int, l layerRings) {
	above := -float64(k-1) * t.depth
	way := tileWay{rough: t.rough, sector: t.work.Tile.Sector, level: -float64(k) * t.depth, b: b}
	side := 1.0
	if len(l.rest)%2 == 0 {
		side = -1
	}
	for i := len(l.rest) - 1; i >= 0; i-- {
		arc := way.round(l.rest[i], side)
		if i == len(l.rest)-1 {
			e := entry{b: b, cutter: t.cutter, tool: t.tool, down: steep(t.cutter), stands: above - arc[0].Z}
			e.enter(way.stretch(arc))
		} else {
			arc = way.join(b.at, arc)
		}
		way.feed(arc)
		side = -side
	}
	for i := len(l.inner) - 1; i >= 0; i-- {
		way.feed(way.join(b.at, way.whole(l.inner[i])))
	}
}

// layer lays one layer outward from the apex, of a crown inward from its moat.
func (t tileRough) layer(b *builder, k int, l layerRings) {
	level, above := -float64(k)*t.depth, -float64(k-1)*t.depth
	way := tileWay{rough: t.rough, sector: t.work.Tile.Sector, level: level, b: b}
	down := func(p r3.Vec) { // where this layer has cleared already
		b.over(p, math.Max(p.Z, above))
		b.line(p, b.feeds.Plunge)
	}
	side, rest := -1.0, l.rest
	var first []r3.Vec
	if len(l.inner) > 0 {
		h := helix{turn: newTurn(l.inner[0], roundChord), radius: l.inner[0], cos: 1}
		h.sink(b, t.cutter, above, math.Max(t.height(l.inner[0]), level))
		for _, d := range l.inner[1:] {
			way.feed(way.join(b.at, way.whole(d)))
		}
	} else {
		first = way.round(rest[0], -side)
		rest = rest[1:]
		e := entry{b: b, cutter: t.cutter, tool: t.tool, down: steep(t.cutter), stands: above - first[0].Z}
		e.enter(way.stretch(first))
		way.feed(first)
	}
	along := t.along() && len(rest) > 0
	if along {
		for _, s := range [...]float64{-1, 1} {
			line := way.border(rest[0].by, t.cleared(l), t.boundary(k), s)
			if n := len(first); n > 1 { // from a corner of the round, which it has cleared
				line = append([]r3.Vec{first[1], first[0]}, line...)
				if s == -side {
					line[0], line[1] = first[n-2], first[n-1]
				}
			}
			if len(line) > 1 {
				down(line[0])
				way.feed(line)
			}
		}
		b.lift()
	}
	for i, r := range rest {
		arc := way.round(r, side)
		if i == 0 && along {
			down(arc[0])
		} else {
			arc = way.join(b.at, arc)
		}
		way.feed(arc)
		side = -side
	}
}

// cleared returns the distance from the apex from which a layer's borders begin.
func (t tileRough) cleared(l layerRings) float64 {
	if len(l.inner) == 0 {
		return l.rest[0].d
	}
	return math.Min(l.whole, l.inner[len(l.inner)-1])
}

// tileWay makes the ways of one layer of a tile's roughing.
type tileWay struct {
	rough
	sector dish.Sector
	level  float64
	b      *builder
}

// place returns the place of the tip at (x, y), lifted over a crown by what chords of
// piece mm run below it.
func (w tileWay) place(x, y, piece float64) r3.Vec {
	return w.b.place(x, y, func(u, v float64) float64 {
		d := dist(u, v)
		h := w.height(d)
		if w.work.Face.Kind == dish.Crown && d < w.tool.foot {
			h += sq(piece)/(8*w.work.Face.Radius)*1.01 + float64(roundChord*2*math.Abs(w.tool.rise(d, 0)))
		}
		return math.Max(h, w.level)
	})
}

// round returns a round from border to border; side is 1 where it goes
// counter-clockwise, else -1. To either side of the sector's middle it takes the angle
// of the sector and, where the borders lie by beyond it, asin(by/d) more.
//
// Its corners lie at the same fractions of every TurnStep, and its ends on the chords
// between them: turned setups then run over the same places, and leave no slivers
// between their chords.
func (w tileWay) round(r ring, side float64) (way []r3.Vec) {
	d, a := r.d, math.Pi
	if d > r.by {
		a = float64(w.sector.Half)*math.Pi/180 + math.Asin(r.by/d)
	}
	const turnStep = dish.TurnStep * math.Pi / 180
	part := turnStep / math.Ceil(turnStep/math.Sqrt(8*roundChord/math.Max(d, roundChord)))
	corner := func(k float64) r3.Vec {
		x, y := w.direction(side * k * part)
		return r3.Vec{X: float64(d * x), Y: float64(d * y)}
	}
	put := func(p r3.Vec) { way = append(way, w.place(p.X, p.Y, d*part)) }
	last := math.Floor(a/part - 1e-9)
	share := math.Sin(a-last*part) / (math.Sin(a-last*part) + math.Sin((last+1)*part-a)) // of the chord to the next corner
	end := func(k, next float64) r3.Vec {
		return r3.Add(corner(k), r3.Scale(share, r3.Sub(corner(next), corner(k))))
	}
	put(end(-last, -last-1))
	for k := -last; k <= last; k++ {
		put(corner(k))
	}
	put(end(last, last+1))
	return way
}

// whole returns a whole round of radius d, from the sector's middle.
func (w tileWay) whole(d float64) (way []r3.Vec) {
	n := math.Max(8, math.Ceil(2*math.Pi/math.Sqrt(8*roundChord/math.Max(d, roundChord))))
	for k := 0.0; k <= n; k++ {
		x, y := w.direction(2 * math.Pi * k / n)
		way = append(way, w.place(float64(d*x), float64(d*y), 2*math.Pi*d/n))
	}
	return way
}

// direction returns the unit vector at an angle from the sector's middle. Rounded to
// twelve digits it is the same on every machine.
func (w tileWay) direction(a float64) (x, y float64) {
	mx, my := dish.Direction(w.sector.Middle)
	sin, cos := math.Sincos(a)
	sin, cos = math.Round(sin*1e12)/1e12, math.Round(cos*1e12)/1e12
	return float64(cos*mx) - float64(sin*my), float64(cos*my) + float64(sin*mx)
}

// border returns the way along a border that lies by beyond the bare sector, from the
// distance from to the distance to from the apex, or as near to it as the border comes;
// side is 1 for the one that lies counter-clockwise from the middle.
func (w tileWay) border(by, from, to, side float64) (way []r3.Vec) {
	along := func(d float64) float64 { return math.Sqrt(math.Max(0, sq(d)-sq(by))) }
	a, z := along(from), along(to)
	ux, uy := dish.Direction(w.sector.Middle + int(side)*w.sector.Half)
	nx, ny := float64(-side*uy), float64(side*ux)
	n := math.Ceil(math.Abs(z-a) / linkPiece)
	for k := 0.0; k <= n && n > 0; k++ {
		l := a + float64((z-a)*(k/n))
		way = append(way, w.place(float64(l*ux)+float64(by*nx), float64(l*uy)+float64(by*ny), linkPiece))
	}
	return way
}

// join puts the way over from a place before a way.
func (w tileWay) join(from r3.Vec, way []r3.Vec) []r3.Vec {
	n := math.Ceil(apart2(from, way[0]) / linkPiece)
	var over []r3.Vec
	for k := 1.0; k < n; k++ {
		q := r3.Add(from, r3.Scale(k/n, r3.Sub(way[0], from)))
		over = append(over, w.place(q.X, q.Y, linkPiece))
	}
	return append(over, way...)
}

// feed goes along a way.
func (w tileWay) feed(way []r3.Vec) {
	for _, p := range way {
		w.b.line(p, w.b.feeds.Feed)
	}
}

// stretch makes a stretch of a way.
func (w tileWay) stretch(way []r3.Vec) stretch {
	s := stretch{places: way}
	for range way[1:] {
		s.feeds = append(s.feeds, w.b.feeds.Feed)
	}
	return s
}

package cam

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// stretch is a way that a cutter feeds along, from place to place; feeds[i] leads to
// places[i+1].
type stretch struct {
	places []r3.Vec
	feeds  []float64
	round  []r3.Vec // a closed way that leads to its first place, from there to the last before it; nil for an open one
}

// closed returns a stretch that ends where it begins.
func closed(s stretch) stretch {
	s.round = s.places[:len(s.places)-1]
	return s
}

// along returns a stretch at the usual feed.
func (b *builder) along(places []r3.Vec) stretch {
	s := stretch{places: places}
	for range len(places) - 1 {
		s.feeds = append(s.feeds, b.feeds.Feed)
	}
	return s
}

// on returns the stretch led on to a place.
func (s stretch) on(p r3.Vec, feed float64) stretch {
	s.places, s.feeds = append(s.places, p), append(s.feeds, feed)
	return s
}

// length returns how long a stretch is in plan.
func (s stretch) length() (l float64) {
	for i := range s.feeds {
		l += inPlan(s.places[i], s.places[i+1])
	}
	return l
}

// back returns an open stretch from its end to its start.
func (s stretch) back() stretch {
	n := len(s.feeds)
	out := stretch{places: make([]r3.Vec, n+1), feeds: make([]float64, n)}
	for i, p := range s.places {
		out.places[n-i] = p
	}
	for i, f := range s.feeds {
		out.feeds[n-1-i] = f
	}
	return out
}

// fallsBy reports whether a piece of a stretch goes down more steeply than a tangent.
func (s stretch) fallsBy(down float64) bool {
	for i, p := range s.places[1:] {
		if tooSteep(s.places[i], p, down) {
			return true
		}
	}
	return false
}

// inPlan is the distance of two places in plan.
func inPlan(a, b r3.Vec) float64 { return exact.Dist(a.X-b.X, a.Y-b.Y) }

// tooSteep reports whether a piece goes down more steeply than a tangent.
func tooSteep(a, b r3.Vec, down float64) bool {
	return a.Z-b.Z > float64(down*inPlan(a, b))+1e-9
}

// linker makes one path of stretches: it comes to each from where the one before ended, over
// the face, or from the air, as is quicker, and in stock goes down no more steeply than the
// cutter may.
type linker struct {
	b      *builder
	cutter path.Cutter
	// stands returns how high stock may stand where the tip goes at p, z in mm, never too
	// low; up to enough above p nothing has to be cut on the way down.
	stands func(p r3.Vec) float64
	beside func(p r3.Vec) float64 // how high stock may stand beside p, in the way of a traverse; nil where no higher
	bite   float64                // most that a round, or a way out and back, of level stretches may go down, mm; 0 where no more stands
	near   float64                // how far a stretch may begin from where the one before ended to be linked to it straight, mm
	face   *tool                  // that a link keeps off; nil where there is none
	last   []r3.Vec               // of the stretch before
}

// flatTop is stock that stands up to one level all over.
func flatTop(z float64) func(r3.Vec) float64 { return func(r3.Vec) float64 { return z } }

const (
	// nearLink is how far a stretch may begin from where the one before ended to be
	// joined to it through stock, mm: lifting, crossing and going down on a ramp again
	// takes longer than that.
	nearLink = 100.0
	// linkPiece is how long the pieces of such a way over a crown are at most, mm.
	linkPiece = 5.0
	// linkSag is how far a piece over a crown may run below what its ends lie on, mm: less
	// than half of a gouge that counts.
	linkSag = 0.0004
	// enough is how little may be left to go down, mm, for a cutter to go straight down.
	enough = 0.0005
)

// cut goes to a stretch, and along it.
func (l *linker) cut(s stretch) {
	in, air := l.fromAir(s), true
	least := l.takesFromAir(in)
	for _, link := range l.links(s) {
		if t := l.takes(link); t <= least {
			in, air, least = link, false, t
		}
	}
	if air {
		l.comeIn(in)
	} else {
		l.feed(in)
	}
	// No more steeply than into stock: something may be left standing at the start, and the
	// piece that a border cuts off a chord may be shorter than heights are rounded.
	for i, p := range s.places[1:] {
		l.b.pass(l.cutter, p, s.feeds[i])
	}
	l.last = s.places
}

// cutNearer cuts a stretch from its nearer end.
func (l *linker) cutNearer(s stretch) {
	if n := len(s.places); inPlan(l.b.at, s.places[n-1]) < inPlan(l.b.at, s.places[0]) {
		s = s.back()
	}
	l.cut(s)
}

// enter comes down from the air to the beginning of a stretch.
func (l *linker) enter(s stretch) { l.comeIn(l.fromAir(s)) }

// links returns the ways to a stretch from where the cutter stands that are free: straight
// over the face; back along the stretch before, where nothing stands any more, and straight
// from there; and where nothing stands at this height along the approach to the stretch.
func (l *linker) links(s stretch) (ways []stretch) {
	if len(l.b.moves) == 0 || l.b.at.Z >= l.b.piece.Clearance() {
		return nil
	}
	start, from := s.places[0], []r3.Vec{l.b.at}
	if way, ok := l.straight(l.b.at, start); ok {
		return []stretch{l.b.along(append(from, way...))}
	}
	if l.cutter.Core <= 0 {
		return nil
	}
	if back, ok := l.retraced(start); ok {
		ways = append(ways, l.b.along(append(from, back...)))
	}
	if a, ok := l.approach(s); ok {
		if down := turned(l.downFrom(a)); len(down) > 0 {
			if way, ok := l.straight(l.b.at, down[0]); ok {
				in := l.b.along(append(from, way...))
				for _, p := range down[1:] {
					in = in.on(p, l.downFeed(in.places[len(in.places)-1], p))
				}
				ways = append(ways, in)
			}
		}
	}
	return ways
}

// retraced returns the way to a place back along the stretch before, as little as it takes to
// go on straight.
func (l *linker) retraced(to r3.Vec) (way []r3.Vec, ok bool) {
	if n := len(l.last); n == 0 || l.last[n-1] != l.b.at {
		return nil, false
	}
	for i := len(l.last) - 2; i >= 0; i-- {
		way = append(way, l.last[i])
		if on, ok := l.straight(l.last[i], to); ok {
			return append(way, on...), true
		}
	}
	return nil, false
}

// straight returns the way from one place to another that is straight in plan, over the face;
// ok is false where it is too far, or goes down into stock too steeply.
func (l *linker) straight(from, to r3.Vec) (way []r3.Vec, ok bool) {
	far := inPlan(from, to)
	if far > l.near {
		return nil, false
	}
	n, lift := 1.0, 0.0
	if l.face != nil {
		if bend := l.face.face.Bend(); bend > 0 {
			n = max(1, max(math.Ceil(far/linkPiece), math.Ceil(far*math.Sqrt(bend/(8*linkSag)))))
			lift = 2 * bend * exact.Square(far/n) / 8 // the first piece and the last begin and end on the face
		}
	}
	at := from
	for k := 1.0; k <= n; k++ {
		p := to
		if k < n {
			p = l.b.above(*l.face, exact.AddScaled3(from, r3.Sub(to, from), k/n), lift)
		}
		if l.cutter.Core > 0 && tooSteep(at, p, steep(l.cutter)) {
			return nil, false
		}
		way, at = append(way, p), p
	}
	return way, true
}

// fromAir returns the way down to the beginning of a stretch, from a place in the air. A
// cutter that cuts to its middle goes straight down where no round leads there, and every other
// where nothing stands.
func (l *linker) fromAir(s stretch) (in stretch) {
	start := s.places[0]
	way := []r3.Vec{start}
	if (l.cutter.Core > 0 || s.round != nil) && l.stands(start)-start.Z > enough {
		if a, ok := l.approach(s); ok {
			if down := l.down(a, func(p r3.Vec) float64 { return l.stands(p) + airGap/2 }); down != nil {
				way = turned(down)
			}
		}
	}
	in.places = way[:1:1]
	for i, p := range way[1:] {
		in = in.on(p, l.downFeed(way[i], p))
	}
	return in
}

// downFeed returns the feed of a piece of a way down: the steeper, the nearer to a plunge's.
func (l *linker) downFeed(from, to r3.Vec) float64 {
	f, fall := l.b.feeds, from.Z-to.Z
	if fall <= 0 {
		return f.Feed
	}
	return f.Feed - float64((f.Feed-f.Plunge)*min(1, fall/float64(steep(l.cutter)*inPlan(from, to))))
}

// comeIn comes down from the air along a way: to airGap above what stands at its beginning in
// a traverse, and on at the plunge's feed.
func (l *linker) comeIn(in stretch) {
	p := in.places[0]
	stands := l.stands(p)
	if l.beside != nil {
		stands = max(stands, l.beside(p))
	}
	l.b.over(r3.Vec{X: p.X, Y: p.Y, Z: p.Z - airGap}, stands)
	l.b.line(p, l.b.feeds.Plunge)
	l.feed(in)
}

// feed goes along a way from its first place, where the cutter stands.
func (l *linker) feed(s stretch) {
	for i, p := range s.places[1:] {
		l.b.line(p, s.feeds[i])
	}
}

// takes returns about how many minutes feeding along a way takes, from rest to rest and at
// rest wherever it turns back.
func (l *linker) takes(s stretch) (t float64) {
	m, run, freely := l.b.piece.Machine, 0.0, 0.0
	for i, feed := range s.feeds {
		a, b := s.places[i], s.places[i+1]
		long := exact.Dist(inPlan(a, b), a.Z-b.Z)
		run, freely = run+long, freely+long/feed
		if i+1 < len(s.feeds) {
			if c := s.places[i+2]; float64((b.X-a.X)*(c.X-b.X))+float64((b.Y-a.Y)*(c.Y-b.Y)) >= 0 {
				continue
			}
		}
		if run > 0 {
			t += restToRest(run, run/freely, min(m.Acceleration.X, m.Acceleration.Y))
		}
		run, freely = 0, 0
	}
	return t
}

// takesFromAir returns about how many minutes it takes to lift, to cross, and to come down
// along a way from the air.
func (l *linker) takesFromAir(in stretch) float64 {
	m, at, up, p := l.b.piece.Machine, l.b.at, l.b.piece.Clearance(), in.places[0]
	t := restToRest(up-at.Z, m.Rapid.Z, m.Acceleration.Z) + restToRest(up-p.Z, m.Rapid.Z, m.Acceleration.Z)
	t += restToRest(inPlan(at, p), min(m.Rapid.X, m.Rapid.Y), min(m.Acceleration.X, m.Acceleration.Y))
	return t + airGap/2/l.b.feeds.Plunge + l.takes(in)
}

// restToRest returns the minutes that a machine takes over long mm from rest to rest, mm/min
// at most and gathering speed by so many mm/s².
func restToRest(long, most, perSecond float64) float64 {
	a := float64(perSecond * 3600)
	v := min(most, math.Sqrt(float64(long*a)))
	if !(v > 0) {
		return 0
	}
	return long/v + v/a
}

package link

import (
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Stretch is a way that a cutter feeds along, from place to place; Feeds[i] leads to
// Places[i+1].
type Stretch struct {
	Places []r3.Vec
	Feeds  []float64
	Lead   Approach // what leads to its first place; its own beginning where that is empty
	Clear  bool     // is nothing left under the cutter's middle wherever it goes down?
}

// Closed returns a stretch that ends where it begins.
func Closed(s Stretch) Stretch {
	s.Lead = Approach{Places: s.Places[:len(s.Places)-1], Closed: true}
	return s
}

// Along returns a stretch at the usual feed.
func (b *Builder) Along(places []r3.Vec) Stretch {
	s := Stretch{Places: places}
	for range len(places) - 1 {
		s.Feeds = append(s.Feeds, b.Feeds.Feed)
	}
	return s
}

// leastRound is the shortest way round, mm, that a cutter comes down on: a circle of half a
// millimetre's radius.
const leastRound = 3.0

// round returns the approach by the round with which a stretch begins; an empty one where
// it does not come back to its first place.
func (s Stretch) round() Approach {
	long := 0.0
	for i, p := range s.Places[1:] {
		if long += InPlan(s.Places[i], p); p == s.Places[0] {
			if i < 2 || long < leastRound {
				break
			}
			return Approach{Places: s.Places[:i+1], Closed: true}
		}
	}
	return Approach{}
}

// on returns the stretch led on to a place.
func (s Stretch) on(p r3.Vec, feed float64) Stretch {
	s.Places, s.Feeds = append(s.Places, p), append(s.Feeds, feed)
	return s
}

// back returns an open stretch from its end to its start.
func (s Stretch) back() Stretch {
	s.Places, s.Feeds, s.Lead = Turned(s.Places), Turned(s.Feeds), Approach{}
	return s
}

// fallsBy reports whether a piece of a stretch goes down more steeply than a tangent.
func (s Stretch) fallsBy(down float64) bool {
	for i, p := range s.Places[1:] {
		if TooSteep(s.Places[i], p, down) {
			return true
		}
	}
	return false
}

// InPlan is the distance of two places in plan.
func InPlan(a, b r3.Vec) float64 { return exact.Dist(a.X-b.X, a.Y-b.Y) }

// TooSteep reports whether a piece goes down more steeply than a tangent.
func TooSteep(a, b r3.Vec, down float64) bool {
	return a.Z-b.Z > float64(down*InPlan(a, b))+1e-9
}

// Linker makes one path of stretches: it comes to each from where the one before ended, over
// the face, or from the air, as is quicker, and in stock goes down no more steeply than the
// cutter may.
type Linker struct {
	Builder *Builder
	Cutter  path.Cutter
	// Stands returns how high stock may stand where the tip goes at p, z in mm, never too
	// low; up to Enough above p nothing has to be cut on the way down.
	Stands func(p r3.Vec) float64
	Beside func(p r3.Vec) float64 // how high stock may stand beside p, in the way of a traverse; nil where no higher
	Bite   float64                // most that a round, or a way out and back, of level stretches may go down, mm; 0 where no more stands
	Near   float64                // how far a stretch may begin from where the one before ended to be linked to it straight, mm; no link at all where negative
	Moat   float64                // radius of a circle round a crown that links from place to place of it keep to; 0 where there is none
	Over   dish.Region            // that links keep in, nearly (LeastOver); nil where they go anywhere
	Aside  r2.Vec                 // a unit vector: the last way in the air before the cutter comes down; zero for any
	Face   *work.Tool             // that a link keeps off; nil where there is none
	last   []r3.Vec               // of the stretch before
}

// OverFace returns how high stock may stand where a finishing cutter goes, so high above the
// face: nothing stands above the blank's top.
func OverFace(stands float64) func(p r3.Vec) float64 {
	return func(p r3.Vec) float64 { return min(0, p.Z+stands) }
}

// FlatTop is stock that stands up to one level all over.
func FlatTop(z float64) func(r3.Vec) float64 { return func(r3.Vec) float64 { return z } }

const (
	// NearLink is how far a stretch may begin from where the one before ended to be
	// joined to it through stock, mm: lifting, crossing and going down on a ramp again
	// takes longer than that.
	NearLink = 100.0
	// LinkPiece is how long the pieces of such a way over a crown are at most, mm.
	LinkPiece = 5.0
	// linkSag is how far a piece over a crown may run below what its ends lie on, mm: less
	// than half of a gouge that counts.
	linkSag = 0.0004
	// Enough is how little may be left to go down, mm, for a cutter to go straight down.
	Enough = 0.0005
)

// Cut goes to a stretch, and along it.
func (l *Linker) Cut(s Stretch) {
	l.GoTo(s)
	// No more steeply than into stock: something may be left standing at the start, and a
	// piece may be shorter than heights are rounded. The next ones go on down.
	for i, p := range s.Places[1:] {
		if b := l.Builder; l.Cutter.Core > 0 && !s.Clear {
			p.Z = max(p.Z, b.Grid.Raise(b.At.Z-l.fall(InPlan(b.At, p), 0)))
		}
		l.Builder.Line(p, s.Feeds[i])
	}
	l.last = s.Places
}

// mustRamp reports whether the cutter may not go straight down so deep: it has a core, or that
// is more than a bite.
func (l *Linker) mustRamp(deep float64) bool {
	return l.Cutter.Core > 0 || l.Bite > 0 && deep > l.Bite
}

// GoTo goes to the beginning of a stretch.
func (l *Linker) GoTo(s Stretch) {
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
		l.Feed(in)
	}
	l.last = nil
}

// CutNearer cuts a stretch from its nearer end, or from its start where it would go down from
// there too steeply.
func (l *Linker) CutNearer(s Stretch) {
	s, _ = l.nearer(s)
	l.Cut(s)
}

// nearer returns a stretch from its nearer end, or as it is where it would go down from there
// too steeply, and not from its start.
func (l *Linker) nearer(s Stretch) (_ Stretch, turned bool) {
	if InPlan(l.Builder.At, s.Places[len(s.Places)-1]) < InPlan(l.Builder.At, s.Places[0]) {
		back, steep := s.back(), work.Steep(l.Cutter)
		if l.Cutter.Core == 0 || !back.fallsBy(steep) || s.fallsBy(steep) {
			return back, true
		}
	}
	return s, false
}

// links returns the ways to a stretch from where the cutter stands that are free: straight
// over the face; back along the stretch before, where nothing stands any more, and straight
// from there; and where nothing stands at this height along the approach to the stretch.
func (l *Linker) links(s Stretch) (ways []Stretch) {
	if len(l.Builder.Moves) == 0 || l.Builder.At.Z >= l.Builder.Piece.Clearance() {
		return nil
	}
	start, from := s.Places[0], []r3.Vec{l.Builder.At}
	if way, ok := l.straight(l.Builder.At, start); ok {
		return []Stretch{l.Builder.Along(append(from, way...))}
	}
	if !l.mustRamp(l.Builder.At.Z - start.Z) {
		return nil
	}
	if back, ok := l.retraced(start); ok {
		ways = append(ways, l.Builder.Along(append(from, back...)))
	}
	if a, ok := l.approach(s); ok {
		if down := Turned(l.downFrom(a)); len(down) > 0 {
			if way, ok := l.straight(l.Builder.At, down[0]); ok {
				in := l.Builder.Along(append(from, way...))
				for _, p := range down[1:] {
					in = in.on(p, l.downFeed(in.Places[len(in.Places)-1], p))
				}
				ways = append(ways, in)
			}
		}
	}
	return ways
}

// retraced returns the way to a place back along the stretch before, as little as it takes to
// go on straight.
func (l *Linker) retraced(to r3.Vec) (way []r3.Vec, ok bool) {
	if n := len(l.last); n == 0 || l.last[n-1] != l.Builder.At {
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
func (l *Linker) straight(from, to r3.Vec) (way []r3.Vec, ok bool) {
	far := InPlan(from, to)
	if far > l.Near || !l.keepsIn(from, to) {
		return nil, false
	}
	if l.inMoat(from) && l.inMoat(to) {
		return l.around(from, to), true
	}
	n, lift := 1.0, 0.0
	if l.Face != nil {
		if bend := l.Face.Face.Bend(); bend > 0 {
			n = max(1, max(math.Ceil(far/LinkPiece), math.Ceil(far*math.Sqrt(bend/(8*linkSag)))))
			lift = 2 * bend * exact.Square(far/n) / 8 // the first piece and the last begin and end on the face
		}
	}
	at := from
	for k := 1.0; k <= n; k++ {
		p := to
		if k < n {
			p = l.Builder.above(*l.Face, exact.AddScaled3(from, r3.Sub(to, from), k/n), lift)
		}
		if l.mustRamp(at.Z-p.Z) && TooSteep(at, p, work.Steep(l.Cutter)) {
			return nil, false
		}
		way, at = append(way, p), p
	}
	return way, true
}

// LeastOver bounds how far out of the region that they keep in links may lead, mm: a tenth of
// it, as chords of ways along its edge do, where they are looked at, and that is so often that
// no more than half of it is added between.
const LeastOver = 0.1

// keepsIn reports whether a straight way stays in the region that links keep in.
func (l *Linker) keepsIn(from, to r3.Vec) bool {
	if l.Over == nil {
		return true
	}
	far := InPlan(from, to)
	for along := 0.0; along < far; {
		p := exact.AddScaled3(from, r3.Sub(to, from), along/far)
		out, _ := l.Over.Off(p.X, p.Y)
		if out > LeastOver/10 {
			return false
		}
		along += max(LeastOver, -out)
	}
	return true
}

// inMoat reports whether a place lies on the moat's circle, or farther out.
func (l *Linker) inMoat(p r3.Vec) bool {
	return l.Moat > 0 && exact.Dist(p.X, p.Y) > l.Moat-2*RoundChord
}

// around returns the way from one place of the moat to another, by a chain of places on its
// circle wherever one straight line would cut the corner: wide steps between passes round a
// small crown would bring the cutter's side over the face.
func (l *Linker) around(from, to r3.Vec) []r3.Vec {
	x, y := (from.X+to.X)/2, (from.Y+to.Y)/2
	d := exact.Dist(x, y)
	if d == 0 { // half way round
		x, y, d = -from.Y, from.X, exact.Dist(from.X, from.Y)
	} else if l.Moat-d <= MoatGap/2 {
		return []r3.Vec{to}
	}
	mid := l.Builder.above(*l.Face, r3.Vec{X: float64(x / d * l.Moat), Y: float64(y / d * l.Moat), Z: max(from.Z, to.Z)}, 0)
	return append(l.around(from, mid), l.around(mid, to)...)
}

// fromAir returns the way down to the beginning of a stretch, from a place in the air. A
// cutter that cuts to its middle goes straight down where no round leads there, and every other
// where nothing stands.
func (l *Linker) fromAir(s Stretch) (in Stretch) {
	start := s.Places[0]
	way := []r3.Vec{start}
	if deep := l.Stands(start) - start.Z; (l.mustRamp(deep) || s.Lead.Closed) && deep > Enough {
		if a, ok := l.approach(s); ok {
			if down := l.down(a, func(p r3.Vec) float64 { return l.Stands(p) + AirGap/2 }); down != nil {
				if way = Turned(down); way[len(way)-1] != start {
					way = append(way, start)
				}
			}
		}
	}
	in.Places = way[:1:1]
	for i, p := range way[1:] {
		in = in.on(p, l.downFeed(way[i], p))
	}
	return in
}

// downFeed returns the feed of a piece of a way down: the steeper, the nearer to a plunge's.
func (l *Linker) downFeed(from, to r3.Vec) float64 {
	f, fall := l.Builder.Feeds, from.Z-to.Z
	if fall <= 0 {
		return f.Feed
	}
	return f.Feed - float64((f.Feed-f.Plunge)*min(1, fall/float64(work.Steep(l.Cutter)*InPlan(from, to))))
}

// comeIn comes down from the air along a way: to AirGap above what stands at its beginning in
// a traverse, and on at the plunge's feed.
func (l *Linker) comeIn(in Stretch) {
	p := in.Places[0]
	stands := l.Stands(p)
	if len(in.Places) == 1 && l.mustRamp(stands-p.Z) && stands-p.Z > Enough && l.Builder.stuck == nil {
		l.Builder.stuck = cannotRamp(l.Cutter)
	}
	if l.Beside != nil {
		stands = max(stands, l.Beside(p))
	}
	if l.Aside != (r2.Vec{}) {
		g := l.Builder.Grid
		l.Builder.across(g.Near(p.X-float64(AsideWay*l.Aside.X)), g.Near(p.Y-float64(AsideWay*l.Aside.Y)))
	}
	l.Builder.Over(r3.Vec{X: p.X, Y: p.Y, Z: p.Z - AirGap}, stands)
	l.Builder.Line(p, l.Builder.Feeds.Plunge)
	l.Feed(in)
}

// Feed goes along a way from its first place, where the cutter stands.
func (l *Linker) Feed(s Stretch) {
	for i, p := range s.Places[1:] {
		l.Builder.Line(p, s.Feeds[i])
	}
}

// takes returns about how many minutes feeding along a way takes, from rest to rest and at
// rest wherever it turns back.
func (l *Linker) takes(s Stretch) (t float64) {
	m, run, freely := l.Builder.Piece.Machine, 0.0, 0.0
	for i, feed := range s.Feeds {
		a, b := s.Places[i], s.Places[i+1]
		long := exact.Dist(InPlan(a, b), a.Z-b.Z)
		run, freely = run+long, freely+long/feed
		if i+1 < len(s.Feeds) {
			if c := s.Places[i+2]; float64((b.X-a.X)*(c.X-b.X))+float64((b.Y-a.Y)*(c.Y-b.Y)) >= 0 {
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
func (l *Linker) takesFromAir(in Stretch) float64 {
	m, at, up, p := l.Builder.Piece.Machine, l.Builder.At, l.Builder.Piece.Clearance(), in.Places[0]
	t := restToRest(up-at.Z, m.Rapid.Z, m.Acceleration.Z) + restToRest(up-p.Z, m.Rapid.Z, m.Acceleration.Z)
	t += restToRest(InPlan(at, p), min(m.Rapid.X, m.Rapid.Y), min(m.Acceleration.X, m.Acceleration.Y))
	return t + AirGap/2/l.Builder.Feeds.Plunge + l.takes(in)
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

// cannotRamp is the refusal of a cutter for which there is no way down.
func cannotRamp(c path.Cutter) error {
	hint := measure.Say("a greater depth of cut, or another cutter")
	if c.Core > 0 {
		hint = measure.Say("a ball cutter; or write core: %s, for one whose edges meet in the middle", measure.MM(0))
	}
	return work.Problems{{Kind: work.KindRamp, Key: work.RampKey(c),
		Message: measure.Say("%s would come straight down into stock: nothing leads to where it begins down which it may go", c.Name),
		Hint:    hint}}
}

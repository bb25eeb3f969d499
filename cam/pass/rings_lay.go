package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// ringPieces says into how many chords or arcs a turn is divided. Turns with the same
// number of chords have them side by side, so that the gap between them is the
// same all along; therefore the number stays while it can, and where it changes
// the step is smaller by what a chord may leave its circle.
type ringPieces struct {
	arcs   bool
	bands  []ringBand // from the middle out
	beyond int        // pieces of a turn outside the last of them
}

// ringBand is what lies inside out: so many pieces a turn, the chords of which leave
// their circle by sag at most.
type ringBand struct {
	out   float64
	count int
	sag   float64
}

const (
	fewestPieces = 16
	bandGrows    = 1.2 // from one band to the next: a tenth more chords than without bands
)

// newRingPieces divides the turns of r, chords from the middle out as the rim needs them.
func newRingPieces(r rings) ringPieces {
	if r.piece.Machine.Arcs {
		return ringPieces{arcs: true, beyond: r.quarters()}
	}
	far := max(r.outer, r.moat)
	sag := func(d float64) float64 { return r.sag(min(d, r.outer)) }
	p := ringPieces{}
	for n := fewestPieces; ; n = int(math.Ceil(float64(n)*bandGrows/4)) * 4 {
		// A chord over the angle 2δ leaves a circle by d(1 − cos δ), about dδ²/2.
		keeps := func(d float64) bool { return d*exact.Square(math.Pi/float64(n))/2 <= sag(d) }
		if keeps(far) || n > work.MostMoves {
			p.beyond = n
			return p
		}
		lo, _ := exact.Bisect(0, far, 50, keeps)
		p.bands = append(p.bands, ringBand{lo, n, sag(lo)})
	}
}

// quarters returns into how many arcs a turn is divided: four, or eight, or more
// where the distance from the apex would stray too far from the spiral's. An arc
// that takes δ of it, over the angle 2a, strays by about 0.033 a² δ.
func (r rings) quarters() int {
	slope := math.Abs(r.tool.Rise(r.outer, 0))
	s := math.Sqrt(float64(8 * r.target * r.tool.Corner))
	if slope > 0 && r.tool.Flat > 0 {
		s += min(2*r.tool.Flat, r.target/slope)
	}
	for n := 4; ; n *= 2 {
		a := math.Pi / float64(n)
		if 0.033*exact.Square(a)*s/float64(n)*slope <= r.tol || n >= 128 {
			return n
		}
	}
}

// at returns how many pieces make up a turn that begins at d.
func (p ringPieces) at(d float64) int {
	for _, b := range p.bands {
		if d <= b.out {
			return b.count
		}
	}
	return p.beyond
}

// beside returns what a step s inward from d is made smaller by: the sag of the
// inner of two turns that are divided differently, and gently less around them.
func (p ringPieces) beside(d, s float64) float64 {
	most := 0.0
	for _, b := range p.bands {
		off := math.Abs(d-b.out) / s
		most = max(most, b.sag*min(1, max(0, 3-2*off)))
	}
	return min(most, s/2)
}

// wind lays out the spiral from the rim in, or from the moat.
func (r *rings) wind() error {
	last := []float64{r.outer, r.outer} // distances on the turn before, evenly round
	t := 0.0
	r.spots = r.transit()
	r.spots = r.round(r.spots, r.outer, 0)
	r.least = math.Inf(1)
	met := math.Inf(1) // when it comes to the innermost
	if r.outer <= r.inner {
		met = -1
	}
	for first := true; met > t+1e-9; first = false {
		t++
		from := last[len(last)-1]
		n := r.pieces.at(from)
		now := []float64{from}
		for i := 1; i <= n; i++ {
			share := float64(i) / float64(n)
			d := ringBetween(last, share)
			s := r.step(d)
			if first { // from the round to the first place a step inside
				s = float64(s * share)
			}
			d -= s
			if d <= r.inner {
				d, met = r.inner, min(met, t+share)
			} else if !first {
				r.least, r.most = min(r.least, s), max(r.most, s)
			}
			now = append(now, d)
			r.spots = append(r.spots, ringSpot{d, t + share})
			if t+share >= met+1-1e-9 {
				break
			}
		}
		if len(r.spots) > work.MostMoves {
			return tooLong(float64(len(r.spots)) * exact.Square(r.outer/now[len(now)-1]))
		}
		last = now
	}
	r.turns = int(math.Ceil(r.spots[len(r.spots)-1].turns - 1e-9))
	if r.most == 0 { // a spiral of hardly a turn, or none
		r.most = max(0, r.outer-r.inner)
		r.least = r.most
	}
	return nil
}

// ringBetween returns the value at a share of evenly spaced ones.
func ringBetween(v []float64, share float64) float64 {
	x := float64(share * float64(len(v)-1))
	i := min(int(x), len(v)-2)
	return v[i] + float64((v[i+1]-v[i])*(x-float64(i)))
}

// round adds a full turn at d.
func (r rings) round(spots []ringSpot, d, turns float64) []ringSpot {
	n := r.pieces.at(d)
	for i := range n + 1 {
		if i > 0 || len(spots) == 0 {
			spots = append(spots, ringSpot{d, turns + float64(i)/float64(n)})
		}
	}
	return spots
}

// transit leads from the moat to the round at the rim, in turns that take no more
// than half the cutter's width at a time.
func (r rings) transit() (spots []ringSpot) {
	if r.moat == 0 {
		return nil
	}
	turns := int(math.Ceil((r.moat - r.outer) / r.tool.Radius()))
	n := turns * r.pieces.at(r.moat)
	for i := range n + 1 {
		share := float64(i) / float64(n)
		spots = append(spots, ringSpot{r.moat + float64((r.outer-r.moat)*share), float64(float64(turns) * (share - 1))})
	}
	return spots
}

// height returns the tip's height at a place, lifted for the chords.
func (r rings) height(u, v float64) float64 { return r.tool.Tip(exact.Dist(u, v), 0) + r.lift }

// lay lays the spiral down. stands is how high stock may stand above the face.
func (r rings) lay(b *link.Builder, stands float64) error {
	way := r.spots
	if r.outward { // mirrored, so that it goes round the same way as everything else
		n := len(way)
		way = make([]ringSpot, n)
		for i, s := range r.spots {
			way[n-1-i] = ringSpot{s.d, -s.turns}
		}
	}
	lifts := r.lifts(way)
	at := func(i int) r3.Vec { return r.point(b, way[i], lifts[i]) }
	r.enter(b, way[0], at(0), stands)
	b.Line(at(0), b.Feeds.Plunge)
	for i := 1; i < len(way); i++ {
		if r.pieces.arcs {
			r.arc(b, way[i-1], way[i], at(i))
			continue
		}
		b.Line(at(i), b.Feeds.Feed)
	}
	b.Lift()
	return nil
}

// point returns a place of the spiral on the grid, so much higher than the face lets it.
func (r rings) point(b *link.Builder, s ringSpot, lift float64) r3.Vec {
	x, y := work.Unit(s.turns)
	return b.Place(float64(s.d*x), float64(s.d*y), func(u, v float64) float64 { return r.tool.Tip(exact.Dist(u, v), 0) + lift })
}

// enter comes to the beginning of the spiral.
func (r rings) enter(b *link.Builder, first ringSpot, p r3.Vec, stands float64) {
	cos, sin := work.Unit(first.turns)
	l := link.Linker{Builder: b, Cutter: r.cutter, Stands: link.FlatTop(0)}
	s := link.Stretch{Places: []r3.Vec{p}}
	if first.d >= roomToRamp {
		s.Lead = b.Circle(first.d, cos, sin, p.Z).Lead
	}
	switch {
	case r.moat > 0:
		l.Stands = link.FlatTop(min(0, p.Z+stands))
		l.Cut(b.Circle(first.d, cos, sin, p.Z))
		return
	case r.outward || first.d < roomToRamp:
		// What stands under the cutter, by the highest of the face there and the blank's top.
		if top := max(p.Z, min(0, r.piece.Face.Height(first.d+r.tool.Radius())+stands)); !math.IsNaN(top) {
			l.Stands = link.FlatTop(top)
		}
	}
	if r.cutter.Core <= 0 && (r.outward || first.d < roomToRamp) {
		s.Lead = link.Approach{}
	}
	if r.cutter.Core <= 0 || first.d >= roomToRamp {
		l.Enter(s)
		return
	}
	// Down on a wider circle, once round there, and in from it.
	z := b.Grid.Raise(r.height(roomToRamp, 0))
	l.Cut(b.Circle(roomToRamp, cos, sin, z))
	for _, s := range r.inTo(first, max(0, z-p.Z)) {
		b.Line(r.point(b, s, r.lift), b.Feeds.Plunge)
	}
}

// inTo returns the places of the way in from roomToRamp to the first place of a spiral
// that is laid outward, that one left out, on which it goes down by fall altogether.
// Where the face is steeper round its apex than the cutter may go down, the way shrinks in
// proportion, so that all its legs are equally steep.
func (r rings) inTo(first ringSpot, fall float64) (spots []ringSpot) {
	long := float64(math.Pi * (roomToRamp + first.d))
	n := int(min(math.Ceil(max(1, fall/float64(long*work.Steep(r.cutter)))), mostLegs)) * fewestPieces
	leg := func(i int) float64 {
		return roomToRamp + float64((first.d-roomToRamp)*(float64(i)/float64(n)))
	}
	if rise := r.tool.Rise(roomToRamp, 0); rise > work.Steep(r.cutter) {
		var list []float64
		shrink := 1 - float64(evenLegs*work.Steep(r.cutter)*(2*math.Pi/fewestPieces))/rise
		for d := roomToRamp; d > max(first.d, leastLeg) && len(list) < mostLegs*fewestPieces; d = float64(d * shrink) {
			list = append(list, d)
		}
		n = (len(list)/fewestPieces + 1) * fewestPieces // whole turns
		leg = func(i int) float64 {
			if i < len(list) {
				return list[i]
			}
			return max(first.d, leastLeg)
		}
	}
	for i := 1; i < n; i++ {
		spots = append(spots, ringSpot{leg(i), first.turns + float64(i)/fewestPieces})
	}
	return spots
}

const (
	// mostLegs is how many turns a way in takes at most, and legs of it over fewestPieces.
	mostLegs = 100
	// evenLegs is the share of a slope that is kept to, for legs that are straight.
	evenLegs = 0.8
	// leastLeg is the radius in mm below which going round is worth nothing.
	leastLeg = 0.01
)

// lifts returns how much higher than the face lets it each place of the way is:
// for chords the same everywhere, for arcs what the one before and the one after
// it need, whose heights change evenly while their distance from the apex does not.
func (r rings) lifts(way []ringSpot) []float64 {
	lifts := make([]float64, len(way))
	for i := range lifts {
		lifts[i] = r.lift
	}
	if !r.pieces.arcs {
		return lifts
	}
	clear(lifts)
	for i := 1; i < len(way); i++ {
		need := r.need(way[i-1], way[i])
		lifts[i-1], lifts[i] = max(lifts[i-1], need), max(lifts[i], need)
	}
	return lifts
}

// need returns by how much an arc has to be lifted.
func (r rings) need(a, b ringSpot) (most float64) {
	if r.piece.Face.Kind == dish.Flat {
		return 0
	}
	o := newRingArc(a, b)
	za, zb := r.tool.Tip(a.d, 0), r.tool.Tip(b.d, 0)
	o.halves(o.u, o.v, 0, 1, ringLooks, func(share, d float64) {
		most = max(most, r.tool.Tip(d, 0)-za-float64(share*(zb-za)))
	})
	return float64(most * ringOver)
}

// The height of an arc is looked at where it is halved ringLooks times; between
// these places it may be a little too low still.
const (
	ringLooks = 4
	ringOver  = 1.02
)

// ringArc is an arc from one place of the spiral to the next, about a centre off
// the apex: with unit vectors u and v to the two, it is κ(u − v), with
// κ = (d₁ − d₂) / (2 − 2 u·v). Then both are equally far from it, and two arcs
// that take as much of the distance as each other touch without a bend.
type ringArc struct {
	x, y, radius float64
	u, v         r2.Vec // unit vectors from the centre to its ends
}

func newRingArc(a, b ringSpot) ringArc {
	ux, uy := work.Unit(a.turns)
	vx, vy := work.Unit(b.turns)
	k := (a.d - b.d) / (2 - 2*(float64(ux*vx)+float64(uy*vy)))
	o := ringArc{x: float64(k * (ux - vx)), y: float64(k * (uy - vy))}
	px, py := float64(a.d*ux)-o.x, float64(a.d*uy)-o.y
	qx, qy := float64(b.d*vx)-o.x, float64(b.d*vy)-o.y
	o.radius = exact.Dist(px, py)
	o.u, o.v = exact.Scale2(1/o.radius, r2.Vec{X: px, Y: py}), exact.Scale2(1/exact.Dist(qx, qy), r2.Vec{X: qx, Y: qy})
	return o
}

// halves calls look with shares of the arc and how far from the apex it is there:
// its middle, the middles of its halves, and so on.
func (o ringArc) halves(u, v r2.Vec, from, to float64, depth int, look func(share, d float64)) {
	m := r2.Add(u, v)
	m = exact.Scale2(1/exact.Dist(m.X, m.Y), m)
	mid := (from + to) / 2
	look(mid, exact.Dist(o.x+float64(o.radius*m.X), o.y+float64(o.radius*m.Y)))
	if depth > 1 {
		o.halves(u, m, from, mid, depth-1, look)
		o.halves(m, v, mid, to, depth-1, look)
	}
}

// arc adds the arc to the place p.
func (r rings) arc(b *link.Builder, from, to ringSpot, p r3.Vec) {
	o := newRingArc(from, to)
	m := path.Move{Kind: path.Arc, From: b.At, To: p, Plane: path.XY}
	// Written as an increment from the start; of the places around it the one from
	// which both ends are most nearly as far.
	least := math.Inf(1)
	for i := -1.0; i <= 1; i++ {
		for j := -1.0; j <= 1; j++ {
			c := r3.Vec{X: b.At.X + b.Grid.Near(o.x-b.At.X+float64(i*b.Grid.Step)), Y: b.At.Y + b.Grid.Near(o.y-b.At.Y+float64(j*b.Grid.Step)), Z: b.At.Z}
			off := math.Abs(exact.Dist(b.At.X-c.X, b.At.Y-c.Y) - exact.Dist(p.X-c.X, p.Y-c.Y))
			if i == 0 && j == 0 {
				off -= b.Grid.Step / 4
			}
			if off < least {
				least, m.Centre = off, c
			}
		}
	}
	long := exact.Dist(p.X-b.At.X, p.Y-b.At.Y)
	if long < 4*b.Grid.Step {
		b.Line(p, b.Feeds.Feed)
		return
	}
	slope := (p.Z - b.At.Z) / long
	f := min(b.Piece.Machine.FeedAlong(r3.Vec{X: 1, Z: slope}, b.Feeds.Feed), b.Piece.Machine.FeedAlong(r3.Vec{Y: 1, Z: slope}, b.Feeds.Feed))
	m.Feed = work.FloorFeed(b.Piece.Machine, f)
	b.Add(m)
}

package cam

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Tile is the part of a round face that is cut in one setup, or in each of several
// between which the blank is turned.
type Tile struct {
	Sector dish.Sector  // as it lies when it is planned; Beyond is how far an index error may move it
	Narrow bool         // must roughing keep as near to the sector as it can?
	Setups []path.Setup // in running order; turned, so that each brings another part of the blank there
}

// overSteps is how many steps beyond what counts finishing passes run on at first.
const overSteps = 0.3

// runsOn returns how far beyond its bare sector a tile's finishing passes run, of which the
// widest step is known.
func (w Piece) runsOn(step float64) float64 {
	if w.Over > 0 {
		return w.Over
	}
	return w.Tile.Sector.Margin + float64(overSteps*step)
}

// region is a tile widened by some millimetres, as the straight lines that bound it.
type region struct {
	normals []r2.Vec
	by      float64
}

// within returns the region of the tile and whatever lies no farther than by from it.
func (t Tile) within(by float64) region { return region{t.Sector.Normals(), by} }

// span returns the shares of a straight move between which it lies in the region;
// last is below first where it does not.
func (g region) span(m path.Move) (first, last float64) {
	first, last = 0, 1
	for _, n := range g.normals {
		a := float64(n.X*m.From.X) + float64(n.Y*m.From.Y) - g.by
		b := float64(n.X*m.To.X) + float64(n.Y*m.To.Y) - g.by
		switch {
		case a <= 0 && b <= 0:
		case a > 0 && b > 0:
			return 1, 0
		case a > 0:
			first = max(first, a/(a-b))
		default:
			last = min(last, a/(a-b))
		}
	}
	return first, last
}

// stretch is a way that a cutter feeds along, from place to place; feeds[i] leads to
// places[i+1].
type stretch struct {
	places []r3.Vec
	feeds  []float64
}

// length returns how long a stretch is in plan.
func (s stretch) length() (l float64) {
	for i := range s.feeds {
		l += exact.Dist(s.places[i+1].X-s.places[i].X, s.places[i+1].Y-s.places[i].Y)
	}
	return l
}

// back returns the stretch from its end to its start.
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

// shortest is the length in mm below which a stretch is not worth its way there; what
// is left with it is found by the certificate.
const shortest = 0.3

// offFace is how far above its lowest height a place may lie to be one of a pass, mm:
// more than chords and rounding lift it by, less than any way in or over stays up.
const offFace = 0.02

// stretches returns what of a path's passes lies in the region, without the ways to and
// between them: those are laid again.
func (g region) stretches(b *builder, t tool, moves []path.Move) (list []stretch) {
	var now stretch
	flush := func() {
		if now.length() > shortest {
			list = append(list, now)
		}
		now = stretch{}
	}
	at := func(m path.Move, share float64) r3.Vec {
		if share == 0 {
			return m.From
		}
		if share == 1 {
			return m.To
		}
		return b.above(t, m.At(share), 0)
	}
	high := offFace + float64(0.05*b.piece.Scallop)
	on := func(p r3.Vec) bool { return p.Z <= t.tip(p.X, p.Y)+high }
	for _, m := range moves {
		first, last := g.span(m)
		if m.Kind == path.Traverse || last <= first || !on(m.From) || !on(m.To) {
			flush()
			continue
		}
		if first > 0 || len(now.places) == 0 {
			flush()
			now.places = []r3.Vec{at(m, first)}
		}
		if p := at(m, last); p != now.places[len(now.places)-1] {
			now.places, now.feeds = append(now.places, p), append(now.feeds, m.Feed)
		}
		if last < 1 {
			flush()
		}
	}
	flush()
	return list
}

// tooSteep reports whether a piece goes down more steeply than a tangent.
func tooSteep(a, b r3.Vec, down float64) bool {
	return a.Z-b.Z > float64(down*exact.Dist(b.X-a.X, b.Y-a.Y))+1e-9
}

// tiled lays down what of the finishing moves of a whole face lies in a tile, over
// beyond its bare sector: in their order, each stretch from its nearer end where it
// may be cut both ways, and joined to the one before where that is near. stands is how
// high stock may stand above the face.
func tiled(w Piece, c path.Cutter, f Feeds, over, stands float64, moves []path.Move) []path.Move {
	t, b := newTool(w.Face, c), newBuilder(w, f)
	e := entry{b: b, cutter: c, tool: t, down: steep(c), stands: stands}
	both := w.Direction != Uphill && !mustClimb(t, c)
	for _, s := range w.Tile.within(over).stretches(b, t, moves) {
		if last := len(s.places) - 1; both && len(b.moves) > 0 && inPlan(b.at, s.places[last]) < inPlan(b.at, s.places[0]) {
			if back := s.back(); c.Core == 0 || !back.fallsBy(e.down) {
				s = back
			}
		}
		e.cut(s)
	}
	b.lift()
	return b.moves
}

// inPlan is the distance of two places in plan.
func inPlan(a, b r3.Vec) float64 { return exact.Dist(a.X-b.X, a.Y-b.Y) }

// entry lays stretches down, each with its way there.
type entry struct {
	b      *builder
	cutter path.Cutter
	tool   tool
	down   float64 // steepest way down into stock, a tangent
	stands float64 // how high stock may stand above the stretches, mm
	top    float64 // nothing stands higher, mm
}

const (
	// nearLink is how far a stretch may begin from where the one before ended to be
	// joined to it through stock, mm: lifting, crossing and going down on a ramp again
	// takes longer than that.
	nearLink = 100.0
	// linkPiece is how long the pieces of such a way are at most, mm.
	linkPiece = 5.0
	// linkSag is how far a piece over a crown may run below what its ends lie on, mm: less
	// than half of a gouge that counts.
	linkSag = 0.0004
)

// cut goes to a stretch and along it.
func (e entry) cut(s stretch) {
	if way, ok := e.link(s.places[0]); ok {
		for _, p := range way {
			e.b.line(p, e.b.feeds.Feed)
		}
	} else {
		e.enter(s)
	}
	// No more steeply than into stock: something may be left standing at the start, and the
	// piece that the tile's border cuts off a chord may be shorter than heights are rounded.
	for i, p := range s.places[1:] {
		e.b.pass(e.cutter, p, s.feeds[i])
	}
}

// link returns the way from where the cutter stands to a place, over the face; ok is
// false where it is too far, or goes down into stock too steeply.
func (e entry) link(to r3.Vec) (way []r3.Vec, ok bool) {
	from := e.b.at
	far := inPlan(from, to)
	if len(e.b.moves) == 0 || far > nearLink {
		return nil, false
	}
	n, lift := max(1, math.Ceil(far/linkPiece)), 0.0
	if bend := e.tool.face.Bend(); bend > 0 {
		n = max(n, math.Ceil(far*math.Sqrt(bend/(8*linkSag))))
		lift = 2 * bend * exact.Square(far/n) / 8 // the first piece and the last begin and end on the face
	}
	at := from
	for k := 1.0; k <= n; k++ {
		p := to
		if k < n {
			q := exact.AddScaled3(from, r3.Sub(to, from), k/n)
			p = e.b.above(e.tool, q, lift)
		}
		if e.cutter.Core > 0 && tooSteep(at, p, e.down) {
			return nil, false
		}
		way, at = append(way, p), p
	}
	return way, true
}

const (
	// mostZigzags bounds the ways back and forth of an entry; a stretch too short for a ramp
	// takes several.
	mostZigzags = 400
	// enough is how little may be left of a ramp, mm: where a stretch climbs more steeply
	// than the cutter may go down there is always some, and it is left standing.
	enough = 0.0005
	// mostAcross is how far a way goes aside of a stretch at most, mm: less than a usual
	// tile is wide.
	mostAcross = 3.0
	// overRamp is how much further than it needs a ramp runs along a stretch, mm.
	overRamp = 0.5
)

// enter comes down from above and goes back and forth along the beginning of a stretch, no
// more steeply than the cutter may, until its start is reached.
func (e entry) enter(s stretch) {
	start := s.places[0]
	top := max(start.Z, min(e.top, start.Z+e.stands))
	e.b.over(start, top)
	if e.cutter.Core > 0 && top-start.Z > enough {
		e.b.line(r3.Vec{X: start.X, Y: start.Y, Z: e.b.grid.raise(top + airGap/2)}, e.b.feeds.Plunge)
		last, aside := math.Inf(1), false
		for range mostZigzags {
			left := e.b.at.Z - start.Z
			stuck := left > last-enough
			if left <= enough || stuck && (aside || left <= offFace) {
				return // what is left, the stretch goes down no more steeply than it may
			}
			aside = aside || stuck // it climbs more steeply than the cutter may go down
			last = left
			// Half of what is left on the way out, half on the way back.
			if far := left/(2*e.down) + overRamp; aside {
				e.zigzag(e.across(start, far))
			} else {
				e.zigzag(e.beginning(s, far))
			}
		}
	}
	e.b.line(start, e.b.feeds.Plunge)
}

// comeIn comes down to the first of a pass's places, where stock may stand so high above
// it; beyond the rim of a hollow, where nothing is roughed, up to the blank's top. A pass
// that begins a hair below that is entered down a ramp along its places.
func comeIn(b *builder, c path.Cutter, t tool, stands float64, places []r3.Vec) {
	e := entry{b: b, cutter: c, tool: t, down: steep(c), stands: stands}
	e.enter(stretch{places: places})
}

// beginning returns the places along a stretch to a distance from its start.
func (e entry) beginning(s stretch, far float64) []r3.Vec {
	legs, reach := []r3.Vec{s.places[0]}, 0.0
	for i, p := range s.places[1:] {
		a := s.places[i]
		l := inPlan(a, p)
		if reach+l >= far {
			if l > 0 {
				q := exact.AddScaled3(a, r3.Sub(p, a), (far-reach)/l)
				legs = append(legs, e.b.above(e.tool, q, 0))
			}
			break
		}
		legs, reach = append(legs, p), reach+l
	}
	return legs
}

// across returns a way back and forth at a place: along the contour of the face, no longer
// than far, towards the tile's middle. A straight line that touches the contour goes on
// where a crown lies lower, so that its height is that of the place.
func (e entry) across(at r3.Vec, far float64) []r3.Vec {
	d := exact.Dist(at.X, at.Y)
	if d == 0 {
		return []r3.Vec{at}
	}
	far = min(far, mostAcross)
	ux, uy := -at.Y/d, at.X/d
	if t := e.b.piece.Tile; t != nil {
		if mx, my := dish.UnitVector(t.Sector.Middle); float64(ux*mx)+float64(uy*my) < 0 {
			ux, uy = -ux, -uy
		}
	}
	return []r3.Vec{at, e.b.above(e.tool, r3.Vec{X: at.X + float64(far*ux), Y: at.Y + float64(far*uy), Z: at.Z}, 0)}
}

// zigzag goes out along places and back to the first of them, as far down as may be.
func (e entry) zigzag(legs []r3.Vec) {
	down := func(from, p r3.Vec) {
		z := e.b.grid.raise(max(p.Z, e.b.at.Z-float64(e.down*inPlan(from, p))))
		e.b.line(r3.Vec{X: p.X, Y: p.Y, Z: z}, e.b.feeds.Plunge)
	}
	for i := 1; i < len(legs); i++ {
		down(legs[i-1], legs[i])
	}
	for i := len(legs) - 2; i >= 0; i-- {
		down(legs[i+1], legs[i])
	}
}

package cam

import (
	"dishwright/cam/path"
	"dishwright/dish"

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

// overFace returns how high stock may stand where a finishing cutter goes, so high above the
// face: nothing stands above the blank's top.
func overFace(stands float64) func(p r3.Vec) float64 {
	return func(p r3.Vec) float64 { return min(0, p.Z+stands) }
}

// tiled lays down what of the finishing moves of a whole face lies in a tile, over
// beyond its bare sector: in their order, each stretch from its nearer end where it
// may be cut both ways, and joined to the one before where that is near. stands is how
// high stock may stand above the face.
func tiled(w Piece, c path.Cutter, f Feeds, over, stands float64, moves []path.Move) []path.Move {
	t, b := newTool(w.Face, c), newBuilder(w, f)
	l := linker{b: b, cutter: c, stands: overFace(stands), near: nearLink, face: &t}
	both := w.Direction != Uphill && !mustClimb(t, c)
	for _, s := range w.Tile.within(over).stretches(b, t, moves) {
		if last := len(s.places) - 1; both && len(b.moves) > 0 && inPlan(b.at, s.places[last]) < inPlan(b.at, s.places[0]) {
			if back := s.back(); c.Core == 0 || !back.fallsBy(steep(c)) {
				s = back
			}
		}
		l.cut(s)
	}
	b.lift()
	return b.moves
}

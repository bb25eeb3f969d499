package link

import (
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// shortest is the length in mm below which a stretch is not worth its way there; what
// is left with it is found by the certificate.
const shortest = 0.3

// offFace is how far above its lowest height a place may lie to be one of a pass, mm:
// more than chords and rounding lift it by, less than any way in or over stays up.
const offFace = 0.02

// stretches returns what of a path's passes lies in the sector, without the ways to and
// between them: those are laid again.
func stretches(sector dish.Sector, b *Builder, t work.Tool, moves []path.Move) (list []Stretch) {
	var now Stretch
	flush := func() {
		if now.length() > shortest {
			list = append(list, now)
		}
		now = Stretch{}
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
	high := offFace + float64(0.05*b.Piece.Scallop)
	on := func(p r3.Vec) bool { return p.Z <= t.Tip(p.X, p.Y)+high }
	for _, m := range moves {
		in := sector.Clip(r2.Vec{X: m.From.X, Y: m.From.Y}, r2.Vec{X: m.To.X, Y: m.To.Y})
		if m.Kind == path.Traverse || len(in) == 0 || !on(m.From) || !on(m.To) {
			flush()
			continue
		}
		first, last := in[0].From, in[0].To
		if first > 0 || len(now.Places) == 0 {
			flush()
			now.Places = []r3.Vec{at(m, first)}
		}
		if p := at(m, last); p != now.Places[len(now.Places)-1] {
			now.Places, now.Feeds = append(now.Places, p), append(now.Feeds, m.Feed)
		}
		if last < 1 {
			flush()
		}
	}
	flush()
	return list
}

// OverFace returns how high stock may stand where a finishing cutter goes, so high above the
// face: nothing stands above the blank's top.
func OverFace(stands float64) func(p r3.Vec) float64 {
	return func(p r3.Vec) float64 { return min(0, p.Z+stands) }
}

// Tiled lays down what of the finishing moves of a whole face lies in a tile, over
// beyond its bare sector: in their order, each stretch from its nearer end where it
// may be cut both ways, and joined to the one before where that is near. stands is how
// high stock may stand above the face.
func Tiled(w work.Piece, c path.Cutter, f work.Feeds, over, stands float64, moves []path.Move) []path.Move {
	t, b := work.NewTool(w.Face, c), NewBuilder(w, f)
	l := Linker{Builder: b, Cutter: c, Stands: OverFace(stands), Near: NearLink, Face: &t}
	sector := w.Tile.Sector
	sector.Margin = over
	both := w.Direction != work.Uphill && !work.MustClimbWith(t, c)
	for _, s := range stretches(sector, b, t, moves) {
		if last := len(s.Places) - 1; both && len(b.Moves) > 0 && InPlan(b.At, s.Places[last]) < InPlan(b.At, s.Places[0]) {
			if back := s.back(); c.Core == 0 || !back.fallsBy(work.Steep(c)) {
				s = back
			}
		}
		l.Cut(s)
	}
	b.Lift()
	return b.Moves
}

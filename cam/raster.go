package cam

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// mostMoves is the longest plan made: far beyond any sensible program, and
// small enough for the memory of a small computer.
const mostMoves = 400_000

// budget shares the scallop that is allowed between what passes leave, the chords that
// stand in for curves, and the rounding of coordinates.
type budget struct {
	ridge float64 // what the scallops may have
	chord float64 // how far a chord may leave its curve
	lift  float64 // added to every height, so that no chord gouges
}

// newBudget gives the chords a hundredth of the scallop, but at least 0.2 µm,
// twice: once for the chord itself and once for a controller that rounds its
// corners. Over a crown a chord runs below its curve, so all heights are lifted
// by twice its deviation. Rounding takes one step in Z and, in X and Y, at most
// a tenth of one (the steepest slope times the half step, doubled). The last
// 0.2 % cover the search for the spacing.
//
// A certified bound stands up to boundSlack above the truth, and it is the bound
// that has to keep the scallop. On a hollow the chord kept for the controller is
// not in the program, so that only what boundSlack exceeds it by is set aside.
//
// What a spindle out of square and missing diameters take is set aside first (see
// tiltTakes and wornRidge), so that the passes keep the scallop with them.
//
// However much is allowed, a ball leaves no scallop above a third of its radius:
// between higher ones its steep sides would hardly overlap on a slope.
func newBudget(w *Work, c path.Cutter, share float64) budget {
	b := budget{chord: max(0.01*w.Scallop, 0.0002)}
	slack := max(0, boundSlack-b.chord)
	if w.Face.Falls() {
		b.lift = 2 * b.chord
		slack = boundSlack
	}
	b.ridge = float64(0.998 * (w.Scallop - 2*b.chord - float64(1.2*w.Machine.Step()) - slack))
	b.ridge = float64(wornRidge(w, c, b.ridge-tiltTakes(w, c, b.ridge)) * share)
	if c.Body().Flat == 0 {
		b.ridge = min(b.ridge, c.Body().Corner/3)
	}
	return b
}

// boundSlack is how far, in mm, a certified scallop may stand above the true
// one: a micrometre is what a proof of a whole face takes a moment for.
const boundSlack = 0.001

// row is one pass of a raster: its place across and how far it runs on either
// side of its middle.
type row struct{ v, end float64 }

// raster is the finishing by parallel passes, worked out but not yet laid down.
type raster struct {
	piece  Piece
	cutter path.Cutter
	tool   tool
	budget budget
	rows   []row   // from the middle out, v ≥ 0; each but the first has its mirror
	step   float64 // widest between passes
	uphill bool
	alongY bool    // do they run along Y?
	moat   float64 // of a crown: radius on which the cutter's axis runs round it
	above  bool    // is the first pass entered from above all that stands, whatever roughing left?
}

// planRaster is newRaster for the list of patterns.
func planRaster(w Piece, c path.Cutter, b budget) (passes, error) {
	r, err := newRaster(w, c, b)
	if err != nil {
		return nil, err
	}
	return r, nil
}

// newRaster spaces the passes. The spacing follows the shape of the cutter and
// the slope: each step is the widest that keeps the exact scallop between the two
// passes within the budget, all along them.
func newRaster(w Piece, c path.Cutter, b budget) (raster, error) {
	r := raster{piece: w, cutter: c, tool: newTool(w.Face, c), budget: b, above: true, alongY: w.Direction == AlongY || (w.Direction != AlongX && quickerAlongY(w.Machine))}
	if err := apexOver(w.Work, c, r.tool, r.budget); err != nil {
		return r, err
	}
	limit := mostMoves / 2
	vs, ok := r.tool.rows(r.budget.ridge, 2*c.Radius(), limit)
	if !ok {
		return r, tooLong(2 * limit)
	}
	r.moat = moatRadius(w.Face, c)
	for i, v := range vs {
		in, out := 0.0, 0.0
		if i > 0 {
			in = v - vs[i-1]
			r.step = max(r.step, in)
		}
		if i+1 < len(vs) {
			out = vs[i+1] - v
		}
		end := exact.HalfChord(r.moat, v)
		if r.moat == 0 {
			end = r.tool.runOn(v, in, out) + r.tool.runsOver(w.Machine.Step())
		}
		r.rows = append(r.rows, row{v, end})
	}
	if n := r.estimate(); n > mostMoves {
		return r, tooLong(n)
	}
	r.uphill = w.Direction == Uphill || r.mustClimb()
	return r, nil
}

// mustClimb is mustClimb for as far as the passes run: beyond the rim of a hollow it goes on
// to rise.
func (r raster) mustClimb() bool {
	for _, row := range r.rows {
		if r.cutter.Core > 0 && math.Abs(r.tool.rise(exact.Dist(row.end, row.v), 0)) > steep(r.cutter) {
			return true
		}
	}
	return mustClimb(r.tool, r.cutter)
}

// apexOver is the refusal of a cutter whose level end bridges the apex of a
// hollow so far above it that no pass ever keeps the scallop there.
func apexOver(w *Work, c path.Cutter, t tool, b budget) error {
	over := w.Face.Over(0, t.tip(0, 0))
	if over <= b.ridge {
		return nil
	}
	// What the budget sets aside grows by at most 2 % of the scallop, or 3 of its chords.
	enough := math.Ceil((over+w.Scallop-b.ridge)*1.03*1000) / 1000
	return Problems{{KindScallop, KeyScallop,
		fmt.Sprintf("the level end of %s cannot go lower than %s above the apex of this hollow; the scallop is %s", c.Name, mm(over), mm(w.Scallop)),
		fmt.Sprintf("a ball, a cutter with a smaller level end, or a scallop of at least %s with this one", mm(enough))}}
}

// estimate returns about how many moves the passes take: a chord over a curve
// of radius R leaves it by L²/8R.
func (r raster) estimate() float64 {
	piece := math.Sqrt(8 * min(r.piece.Face.Radius, 1e6) * r.budget.chord)
	n := 0.0
	for _, row := range r.rows {
		n += 2 * (2*row.end/piece + 3)
	}
	return n
}

// MustClimb reports whether a pass down the slope of a face would be steeper at
// its rim than the cutter may go down into stock.
func MustClimb(f dish.Face, c path.Cutter) bool { return mustClimb(newTool(f, c), c) }

// mustClimb reports whether a pass down the slope would be steeper than the
// cutter may go down into stock: then passes have to climb.
func mustClimb(t tool, c path.Cutter) bool {
	return c.Core > 0 && math.Abs(t.rise(t.rimReach(), 0)) > steep(c)
}

// name says what the pattern is, with its parameters.
func (r raster) origin() Origin {
	way := "back and forth"
	if r.uphill {
		way = "uphill"
	}
	return Origin{Way: WayRaster, Figures: fmt.Sprintf("%s, steps %.3f to %.3f mm", way, r.narrowest(), r.step)}
}

func (r raster) count() int { return 2*len(r.rows) - 1 }

func (r raster) widest() float64 { return r.step }

func (r raster) narrowest() float64 {
	least := r.step
	for i := 1; i < len(r.rows)-1; i++ { // the last step is what remained
		least = min(least, r.rows[i].v-r.rows[i-1].v)
	}
	return least
}

// height returns the tip's height at a place, lifted for the chords.
func (r raster) height(u, v float64) float64 { return r.tool.tip(u, v) + r.budget.lift }

// side returns the points of a pass from its middle to its end, towards +u.
func (r raster) side(row row) []float64 {
	curve := func(u float64) float64 { return r.height(u, row.v) }
	end := row.end
	if r.moat == 0 {
		return chords(curve, 0, end, r.budget.chord)
	}
	// Where the pass leaves the face for the level of the moat it has a kink.
	kink := exact.HalfChord(r.tool.foot, row.v)
	if kink <= 0 || kink >= end {
		return chords(curve, 0, end, r.budget.chord)
	}
	us := chords(curve, 0, kink, r.budget.chord)
	return append(us, end)
}

// all returns the passes in running order, from −v to +v.
func (r raster) all() []row {
	n := len(r.rows)
	all := make([]row, 0, 2*n-1)
	for i := n - 1; i > 0; i-- {
		all = append(all, row{-r.rows[i].v, r.rows[i].end})
	}
	return append(all, r.rows...)
}

// lay lays the passes down. stands is how high stock may stand above the tip's
// own height before finishing.
func (r raster) lay(b *builder, stands float64) error {
	b.swap = r.alongY
	if r.moat > 0 {
		r.clearMoat(b, stands)
	}
	for i, row := range r.all() {
		us := r.side(row)
		var err error
		switch {
		case !r.uphill:
			r.through(b, row, us, i, stands)
		case r.moat > 0:
			r.climbCrown(b, row, us)
		default:
			err = r.climbHollow(b, row, us, stands)
		}
		if err != nil {
			return err
		}
	}
	b.lift()
	return nil
}

// through cuts a whole pass, every other one backwards, and comes to its start
// along the way that is free: over a hollow straight (the lowest height there
// is convex, so a straight line between two of its points never gouges), round
// a crown in its moat.
func (r raster) through(b *builder, row row, us []float64, i int, stands float64) {
	dir := 1.0
	if i%2 == 1 {
		dir = -1
	}
	at := func(k int, side float64) r3.Vec { return b.place(float64(side*us[k]), row.v, r.height) }
	start := at(len(us)-1, -dir)
	if i == 0 && r.moat == 0 { // the round of a moat ends where the first pass begins
		var places []r3.Vec
		for k := len(us) - 1; k >= 0; k-- {
			places = append(places, at(k, -dir))
		}
		in := linker{b: b, cutter: r.cutter, stands: flatTop(0), face: &r.tool}
		if !r.above {
			in.stands = overFace(stands)
		}
		in.enter(b.along(places))
	} else {
		r.along(b, start)
		b.line(start, b.feeds.Feed)
	}
	if r.arcs() {
		r.arc(b, row, us, dir)
		return
	}
	for k := len(us) - 2; k > 0; k-- {
		b.pass(r.cutter, at(k, -dir), b.feeds.Feed)
	}
	for k := range us {
		b.pass(r.cutter, at(k, dir), b.feeds.Feed)
	}
}

// arcs reports whether the passes are written as arcs: a ball at constant v
// runs on an exact one, if the machine takes arcs.
func (r raster) arcs() bool {
	return r.piece.Machine.Arcs && r.tool.Flat == 0 && !r.piece.Face.Level()
}

// arc cuts a pass of a ball from its start at −dir·end to its other end: one arc
// about the sphere's centre, on a crown with a level piece at either end.
func (r raster) arc(b *builder, row row, us []float64, dir float64) {
	edge := us[len(us)-1]
	if r.moat > 0 && len(us) > 1 {
		edge = us[len(us)-2] // the kink
	}
	b.line(b.place(float64(-dir*edge), row.v, r.height), b.feeds.Feed)
	to := b.place(float64(dir*edge), row.v, r.height)
	mid := r3.Vec{X: 0, Y: b.grid.near(row.v)}
	m := path.Move{Kind: path.Arc, From: b.at, To: to, Plane: path.ZX, Clockwise: (dir > 0) == r.piece.Face.Rises()}
	centre := r.piece.Face.Centre() - r.tool.Corner + r.budget.lift
	if b.swap { // seen from +X the sense along Y is the other one
		mid.X, mid.Y = mid.Y, mid.X
		m.Plane, m.Clockwise = path.YZ, !m.Clockwise
	}
	// The centre is written as an increment from the start.
	mid.Z = b.at.Z + b.grid.near(centre-b.at.Z)
	m.Centre = mid
	// Steepest at its ends, where the limit of Z bites first.
	slope := math.Abs(r.tool.rise(edge, row.v))
	d := r3.Vec{X: 1, Z: slope}
	if b.swap {
		d = r3.Vec{Y: 1, Z: slope}
	}
	f := min(b.piece.Machine.FeedAlong(d, b.feeds.Feed), b.piece.Machine.FeedAlong(r3.Vec{X: d.X, Y: d.Y}, b.feeds.Feed))
	m.Feed = floorFeed(b.piece.Machine, f)
	if exact.Dist(to.X-m.From.X, to.Y-m.From.Y) > 0 {
		b.add(m)
	}
	b.line(b.place(float64(dir*us[len(us)-1]), row.v, r.height), b.feeds.Feed)
}

// length returns how far the passes and the steps between them run, in plan.
func (r raster) length() float64 {
	n := 0.0
	for i, row := range r.all() {
		n += 2 * row.end
		if i > 0 {
			n += r.step
		}
	}
	return n
}

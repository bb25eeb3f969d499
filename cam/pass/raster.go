package pass

import (
	"fmt"
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

// quickerAlongY reports whether long passes are quicker along Y than along X.
func quickerAlongY(m machines.Machine) bool {
	if m.Feed.Y != m.Feed.X {
		return m.Feed.Y > m.Feed.X
	}
	return m.Acceleration.Y > m.Acceleration.X
}

// Row is one pass of a raster: its place across and how far it runs on either
// side of its middle.
type Row struct{ V, End float64 }

// raster is the finishing by parallel passes, worked out but not yet laid down.
type raster struct {
	piece  work.Piece
	cutter path.Cutter
	tool   work.Tool
	budget work.Budget
	rows   []Row   // from the middle out, v ≥ 0; each but the first has its mirror
	step   float64 // widest between passes
	uphill bool
	alongY bool    // do they run along Y?
	moat   float64 // of a crown: radius on which the cutter's axis runs round it
	above  bool    // is the first pass entered from above all that stands, whatever roughing left?
}

// planRaster is newRaster for the list of patterns.
func planRaster(w work.Piece, c path.Cutter, b work.Budget) (Passes, error) {
	r, err := newRaster(w, c, b)
	if err != nil {
		return nil, err
	}
	return r, nil
}

// newRaster spaces the passes. The spacing follows the shape of the cutter and
// the slope: each step is the widest that keeps the exact scallop between the two
// passes within the budget, all along them.
func newRaster(w work.Piece, c path.Cutter, b work.Budget) (raster, error) {
	r := raster{piece: w, cutter: c, tool: work.NewTool(w.Face, c), budget: b, above: true, alongY: w.Direction == work.AlongY || (w.Direction != work.AlongX && quickerAlongY(w.Machine))}
	if err := work.BridgesApex(w.Work, c, r.tool, r.budget); err != nil {
		return r, err
	}
	limit := work.MostMoves / 2
	vs, ok := r.tool.Rows(r.budget.Ridge, 2*c.Radius(), limit)
	if !ok {
		return r, tooLong(2 * limit)
	}
	r.moat = link.MoatRadius(w.Face, c)
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
			end = r.tool.RunOn(v, in, out) + r.tool.RunsOver(w.Machine.Step())
		}
		r.rows = append(r.rows, Row{v, end})
	}
	if n := r.estimate(); n > work.MostMoves {
		return r, tooLong(n)
	}
	r.uphill = w.Direction == work.Uphill || r.mustClimb()
	return r, nil
}

// MustClimbWith is MustClimbWith for as far as the passes run: beyond the rim of a hollow it goes on
// to rise.
func (r raster) mustClimb() bool {
	for _, row := range r.rows {
		if r.cutter.Core > 0 && math.Abs(r.tool.Rise(exact.Dist(row.End, row.V), 0)) > work.Steep(r.cutter) {
			return true
		}
	}
	return work.MustClimbWith(r.tool, r.cutter)
}

// estimate returns about how many moves the passes take: a chord over a curve
// of radius R leaves it by L²/8R.
func (r raster) estimate() float64 {
	piece := math.Sqrt(8 * min(r.piece.Face.Radius, 1e6) * r.budget.Chord)
	n := 0.0
	for _, row := range r.rows {
		n += 2 * (2*row.End/piece + 3)
	}
	return n
}

// name says what the pattern is, with its parameters.
func (r raster) origin() work.Origin {
	way := "back and forth"
	if r.uphill {
		way = "uphill"
	}
	return work.Origin{Way: work.WayRaster, Figures: fmt.Sprintf("%s, steps %.3f to %.3f mm", way, r.narrowest(), r.step)}
}

func (r raster) Count() int { return 2*len(r.rows) - 1 }

func (r raster) Widest() float64 { return r.step }

func (r raster) narrowest() float64 {
	least := r.step
	for i := 1; i < len(r.rows)-1; i++ { // the last step is what remained
		least = min(least, r.rows[i].V-r.rows[i-1].V)
	}
	return least
}

// height returns the tip's height at a place, lifted for the chords.
func (r raster) height(u, v float64) float64 { return r.tool.Tip(u, v) + r.budget.Lift }

// side returns the points of a pass from its middle to its end, towards +u.
func (r raster) side(row Row) []float64 {
	curve := func(u float64) float64 { return r.height(u, row.V) }
	end := row.End
	if r.moat == 0 {
		return link.Chords(curve, 0, end, r.budget.Chord)
	}
	// Where the pass leaves the face for the level of the moat it has a kink.
	kink := exact.HalfChord(r.tool.Foot, row.V)
	if kink <= 0 || kink >= end {
		return link.Chords(curve, 0, end, r.budget.Chord)
	}
	us := link.Chords(curve, 0, kink, r.budget.Chord)
	return append(us, end)
}

// all returns the passes in running order, from −v to +v.
func (r raster) all() []Row {
	n := len(r.rows)
	all := make([]Row, 0, 2*n-1)
	for i := n - 1; i > 0; i-- {
		all = append(all, Row{-r.rows[i].V, r.rows[i].End})
	}
	return append(all, r.rows...)
}

// lay lays the passes down. stands is how high stock may stand above the tip's
// own height before finishing.
func (r raster) lay(b *link.Builder, stands float64) error {
	b.Swap = r.alongY
	l := link.Linker{Builder: b, Cutter: r.cutter, Stands: link.OverFace(stands), Near: math.Inf(1), Face: &r.tool, Moat: r.moat}
	if r.moat > 0 {
		r.clearMoat(b, stands)
	} else if r.above && !r.uphill {
		l.Stands = link.FlatTop(0)
	}
	for i, row := range r.all() {
		us := r.side(row)
		switch {
		case !r.uphill:
			r.through(&l, row, us, i)
		case r.moat > 0:
			r.climbCrown(&l, row, us)
		default:
			r.climbHollow(&l, row, us, stands)
		}
	}
	b.Lift()
	if l.Stuck {
		return cannotRamp(r.cutter)
	}
	return nil
}

// half returns the places of a pass from its middle to its end on the side of dir.
func (r raster) half(b *link.Builder, row Row, us []float64, dir float64) (places []r3.Vec) {
	for _, u := range us {
		places = append(places, b.Place(float64(dir*u), row.V, r.height))
	}
	return places
}

// through cuts a whole pass, every other one backwards.
func (r raster) through(l *link.Linker, row Row, us []float64, i int) {
	dir := 1.0
	if i%2 == 1 {
		dir = -1
	}
	s := l.Builder.Along(append(link.Turned(r.half(l.Builder, row, us, -dir))[:len(us)-1], r.half(l.Builder, row, us, dir)...))
	if r.arcs() {
		l.GoTo(s)
		r.arc(l.Builder, row, us, dir)
		return
	}
	l.Cut(s)
}

// arcs reports whether the passes are written as arcs: a ball at constant v
// runs on an exact one, if the machine takes arcs.
func (r raster) arcs() bool {
	return r.piece.Machine.Arcs && r.tool.Flat == 0 && !r.piece.Face.Level()
}

// arc cuts a pass of a ball from its start at −dir·end to its other end: one arc
// about the sphere's centre, on a crown with a level piece at either end.
func (r raster) arc(b *link.Builder, row Row, us []float64, dir float64) {
	edge := us[len(us)-1]
	if r.moat > 0 && len(us) > 1 {
		edge = us[len(us)-2] // the kink
	}
	b.Line(b.Place(float64(-dir*edge), row.V, r.height), b.Feeds.Feed)
	to := b.Place(float64(dir*edge), row.V, r.height)
	mid := r3.Vec{X: 0, Y: b.Grid.Near(row.V)}
	m := path.Move{Kind: path.Arc, From: b.At, To: to, Plane: path.ZX, Clockwise: (dir > 0) == r.piece.Face.Rises()}
	centre := r.piece.Face.Centre() - r.tool.Corner + r.budget.Lift
	if b.Swap { // seen from +X the sense along Y is the other one
		mid.X, mid.Y = mid.Y, mid.X
		m.Plane, m.Clockwise = path.YZ, !m.Clockwise
	}
	// The centre is written as an increment from the start.
	mid.Z = b.At.Z + b.Grid.Near(centre-b.At.Z)
	m.Centre = mid
	// Steepest at its ends, where the limit of Z bites first.
	slope := math.Abs(r.tool.Rise(edge, row.V))
	d := r3.Vec{X: 1, Z: slope}
	if b.Swap {
		d = r3.Vec{Y: 1, Z: slope}
	}
	f := min(b.Piece.Machine.FeedAlong(d, b.Feeds.Feed), b.Piece.Machine.FeedAlong(r3.Vec{X: d.X, Y: d.Y}, b.Feeds.Feed))
	m.Feed = work.FloorFeed(b.Piece.Machine, f)
	if exact.Dist(to.X-m.From.X, to.Y-m.From.Y) > 0 {
		b.Add(m)
	}
	b.Line(b.Place(float64(dir*us[len(us)-1]), row.V, r.height), b.Feeds.Feed)
}

// Length returns how far the passes and the steps between them run, in plan.
func (r raster) Length() float64 {
	n := 0.0
	for i, row := range r.all() {
		n += 2 * row.End
		if i > 0 {
			n += r.step
		}
	}
	return n
}

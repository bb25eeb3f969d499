package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r2"
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
}

// newRaster spaces the passes. The spacing follows the shape of the cutter and
// the slope: each step is the widest that keeps the exact scallop between the two
// passes within the budget, all along them.
func newRaster(w work.Piece, c path.Cutter, b work.Budget) (raster, error) {
	r := raster{piece: w, cutter: c, tool: work.WornTool(w.Work, c), budget: b, alongY: w.Direction == work.AlongY || (w.Direction != work.AlongX && quickerAlongY(w.Machine))}
	limit := work.MostMoves / 2
	vs, ok := r.tool.Rows(r.budget.Ridge, 2*c.Radius(), limit)
	if !ok {
		return r, tooLong(2 * limit)
	}
	r.moat = link.MoatRadius(w.Face, c)
	least := r.moat
	if r.moat == 0 { // each runs on from there
		least = r.tool.RimReach()
	}
	for _, v := range vs {
		r.rows = append(r.rows, Row{v, exact.HalfChord(least, v)})
	}
	if n := r.estimate(); n > work.MostMoves {
		return r, tooLong(n)
	}
	r.runOn()
	if n := r.estimate(); n > work.MostMoves {
		return r, tooLong(n)
	}
	r.uphill = w.Direction == work.Uphill || r.mustClimb()
	return r, nil
}

// runOn notes the widest step, and has each pass of a hollow run on until the rim is served.
func (r *raster) runOn() {
	for i, row := range r.rows {
		in, out := 0.0, 0.0
		if i > 0 {
			in = row.V - r.rows[i-1].V
			r.step = max(r.step, in)
		}
		if i+1 < len(r.rows) {
			out = r.rows[i+1].V - row.V
		}
		if r.moat == 0 {
			r.rows[i].End = r.tool.RunOn(row.V, in, out) + r.tool.RunsOver(r.piece.Machine.Step())
		}
	}
}

// mustClimb is MustClimbWith for as far as the passes run: beyond the rim of a hollow it goes on
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

// all returns the passes in running order, from −v to +v.
func (r raster) all() []Row {
	n := len(r.rows)
	all := make([]Row, 0, 2*n-1)
	for i := n - 1; i > 0; i-- {
		all = append(all, Row{-r.rows[i].V, r.rows[i].End})
	}
	return append(all, r.rows...)
}

// passes returns the passes. Those that only climb go in two halves: of a hollow from the
// middle up to the rim, of a crown from its moat up to the middle.
func (r raster) passes() Passes {
	way, least := "back and forth", r.step
	if r.uphill {
		way = "uphill"
	}
	for i := 1; i < len(r.rows)-1; i++ { // the last step is what remained
		least = min(least, r.rows[i].V-r.rows[i-1].V)
	}
	figures := measure.Say("%s, steps %v to %v", way, measure.Micro(least), measure.Micro(r.step))
	p := Passes{Origin: work.Origin{Way: work.WayRaster, Figures: figures}, Count: 2*len(r.rows) - 1, Widest: r.step,
		Course: link.Course{Tool: r.tool, Lift: r.budget.Lift, Tol: r.budget.Chord, Moat: r.moat}}
	add := func(from, to r2.Vec) {
		p.Ways = append(p.Ways, link.Way{Legs: link.Straight(from, to), OneWay: r.uphill})
	}
	for _, row := range r.all() {
		left, middle, right := r.at(-row.End, row.V), r.at(0, row.V), r.at(row.End, row.V)
		switch {
		case !r.uphill:
			add(left, right)
		case r.moat > 0:
			add(left, middle)
			add(right, middle)
		default:
			add(middle, left)
			add(middle, right)
		}
	}
	return p
}

// at returns a place along a pass, in plan.
func (r raster) at(along, v float64) r2.Vec {
	if r.alongY {
		return r2.Vec{X: v, Y: along}
	}
	return r2.Vec{X: along, Y: v}
}

package pass

import (
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// board is the ground of a board: a strip along X about the apex.
type board struct {
	whole
	strip dish.Strip
}

func (g board) Fit(w *work.Work) (ps work.Problems) {
	b := g.strip
	if w.Blank.Inside(b.Length/2, b.Width/2) < 0 {
		ps.Add(work.KindSize, work.KeyLength, measure.Say("a board of %s by %s does not lie within the blank", measure.MM(b.Length), measure.MM(b.Width)), measure.Say("a larger blank with its length along X, or a shorter or narrower board"))
	}
	if off := w.Face.OffSphere(w.Wanted, b.Width); off > w.Scallop {
		most := float64(2 * math.Sqrt(w.Scallop*(2*w.Wanted-w.Scallop)))
		ps = append(ps, work.Problem{Kind: work.KindScallop, Key: work.KeyWidth,
			Message: measure.Say("a cylinder of radius %s is %s off the sphere across a width of %s, more than the scallop of %s", measure.MM(w.Wanted), measure.MM(off), measure.MM(b.Width), measure.MM(w.Scallop)),
			Instead: []work.Instead{{Key: work.KeyWidth, MM: math.Floor(most*10) / 10, Said: measure.Say("a width of at most %s", measure.Most(most, 1))}},
			Hint:    measure.Say("curve: spherical")})
	}
	return ps
}

func (board) cleared(w work.Piece, c, finish path.Cutter) dish.Region {
	return dish.Grown{Region: boardAxes(w, c, finish), By: c.Radius()}
}

// Reached is as far beyond the sides of a board as the cutters go; before they are chosen,
// as far as the widest one reaches along a side.
func (g board) Reached(w work.Piece) dish.Region {
	reach := work.WidestNamed(w) / 2
	finish, known := w.Cutter(w.Method.Finish)
	rough, ok := w.Cutter(w.Method.Rough)
	if !ok {
		rough = finish
	}
	if !known {
		return dish.Grown{Region: g.strip, By: reach}
	}
	axes := boardAxes(w, rough, finish)
	reach = max(reach, max(axes.Length-g.strip.Length, axes.Width-g.strip.Width)/2+rough.Radius())
	return dish.Grown{Region: g.strip, By: reach}
}

func (g board) LandFrom(w work.Piece, d r2.Vec) float64 {
	return (float64(g.strip.Length*math.Abs(d.X))+float64(g.strip.Width*math.Abs(d.Y)))/2 + work.WidestNamed(w)/2 + 1
}

// boardAxes returns the rectangle that the axis of a cutter stays within over a board: the
// board itself, for over a hollow a cutter touches what lies outward of it; and what
// roughing has to clear beyond that for the sides of the finishing cutter. Of the finishing
// cutter itself it holds the ends of its own passes, which run on for a worn one.
func boardAxes(w work.Piece, c, finish path.Cutter) dish.Strip {
	far := w.Strip().Length/2 + work.NewTool(w.Face, c).RunsOver(w.Machine.Step())
	out := w.Strip().Width / 2
	r := newBoardLayers(w, c, finish)
	if r.spread(finish) == nil { // else nothing is planned with the two
		far, out = max(far, r.end(1, 0)), max(out, r.vs[len(r.vs)-1])
	}
	if c == finish { // which may be one that could not rough for itself
		for _, row := range r.rows {
			far = max(far, row.End)
		}
	}
	return dish.Strip{Length: 2 * far, Width: 2 * out}
}

package pass

import (
	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r2"
)

// crown is the ground of a whole face that falls away from its apex: round it a moat is cut,
// as deep as its rim.
type crown struct{ whole }

// deepest is the depth of the moat, which lies lower than the rim.
func (crown) deepest(w *work.Work, finish path.Cutter) float64 {
	return work.NewTool(w.Face, finish).MoatDepth()
}

func (crown) cleared(w work.Piece, c, finish path.Cutter) dish.Region {
	return dish.Disc{Radius: crownOuter(w.Work, c, finish)}
}

// ahead is how wide the moat has to be.
func (crown) ahead(_ *work.Work, finish path.Cutter) any { return finish.Diameter }

func (g crown) Reached(w work.Piece) dish.Region { return dish.Disc{Radius: g.outer(w)} }

// outer returns how far from the apex the wood may be cut away.
func (crown) outer(w work.Piece) float64 {
	out := w.Face.Rim + work.WidestNamed(w) + link.MoatGap + link.MoatOver
	rough, okR := w.Cutter(w.Method.Rough)
	finish, okF := w.Cutter(w.Method.Finish)
	if okR && okF {
		out = max(out, crownOuter(w.Work, rough, finish))
	}
	return out
}

// LandFrom is as far as is reached by whichever cutters of the shelf may be chosen.
func (g crown) LandFrom(w work.Piece, _ r2.Vec) float64 {
	out := 0.0
	for _, rough := range w.Shelf {
		for _, finish := range w.Shelf {
			v := w
			if v.Method.Rough == work.Auto {
				v.Method.Rough = rough.Name
			}
			if v.Method.Finish == work.Auto {
				v.Method.Finish = finish.Name
			}
			out = max(out, g.outer(v))
		}
	}
	return out
}

// crownOuter returns how far from the apex of a crown the wood may be cut away: a moat as
// wide as the wider cutter, and wider where the corner of roughing is the rounder one.
func crownOuter(w *work.Work, rough, finish path.Cutter) float64 {
	axis := link.MoatAxis(w.Face, rough, finish, max(leastLeft, leftBy(w, rough, finish)))
	deep := max(work.NewTool(w.Face, rough).MoatDepth(), work.NewTool(w.Face, finish).MoatDepth())
	axis = max(axis, work.NewTool(w.Face, rough).Sunk(deep).Foot)
	return max(w.Face.Rim+max(rough.Diameter, finish.Diameter)+link.MoatGap+link.MoatOver, axis+rough.Radius())
}

package cam

import (
	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r2"
)

// crown is the ground of a whole face that falls away from its apex: round it a moat is cut,
// as deep as its rim.
type crown struct{ whole }

// deepest is the depth of the moat, which lies lower than the rim.
func (crown) deepest(w *Work, finish path.Cutter) float64 {
	return newTool(w.Face, finish).moatDepth()
}

func (crown) cleared(w Piece, c, finish path.Cutter) dish.Region {
	return dish.Disc{Radius: crownOuter(w.Work, c, finish)}
}

// ahead is how wide the moat has to be.
func (crown) ahead(_ *Work, finish path.Cutter) any { return finish.Diameter }

func (g crown) reached(w Piece) dish.Region { return dish.Disc{Radius: g.outer(w)} }

// outer returns how far from the apex the wood may be cut away.
func (crown) outer(w Piece) float64 {
	out := w.Face.Rim + widestNamed(w) + moatGap + moatOver
	rough, okR := w.Cutter(w.Method.Rough)
	finish, okF := w.Cutter(w.Method.Finish)
	if okR && okF {
		out = max(out, crownOuter(w.Work, rough, finish))
	}
	return out
}

// landFrom is as far as is reached by whichever cutters of the shelf may be chosen.
func (g crown) landFrom(w Piece, _ r2.Vec) float64 {
	out := 0.0
	for _, rough := range w.Shelf {
		for _, finish := range w.Shelf {
			v := w
			if v.Method.Rough == Auto {
				v.Method.Rough = rough.Name
			}
			if v.Method.Finish == Auto {
				v.Method.Finish = finish.Name
			}
			out = max(out, g.outer(v))
		}
	}
	return out
}

// crownOuter returns how far from the apex of a crown the wood may be cut away: a moat as
// wide as the wider cutter, and wider where the corner of roughing is the rounder one.
func crownOuter(w *Work, rough, finish path.Cutter) float64 {
	axis := moatAxis(w.Face, rough, finish, max(leastLeft, leftBy(w, rough, finish)))
	deep := max(newTool(w.Face, rough).moatDepth(), newTool(w.Face, finish).moatDepth())
	axis = max(axis, newTool(w.Face, rough).sunk(deep).foot)
	return max(w.Face.Rim+max(rough.Diameter, finish.Diameter)+moatGap+moatOver, axis+rough.Radius())
}

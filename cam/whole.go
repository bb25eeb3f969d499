package cam

import (
	"fmt"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// whole is the ground of a face that is cut all round its apex, out to its rim.
type whole struct{}

func (whole) face() string  { return "the face" }
func (whole) piece() string { return "the dish" }

func (whole) fit(w *Work) (ps Problems) {
	if b := w.Blank; b.InnerRadius() < w.Face.Rim {
		ps.add(KindSize, KeyDiameter, fmt.Sprintf("the face of %s does not lie within the blank, %s across", mm(2*w.Face.Rim), mm(2*b.InnerRadius())), fmt.Sprintf("a diameter of at most %s, or a larger blank", mm(2*b.InnerRadius())))
	}
	return ps
}

func (whole) patterns() []pattern { return patterns }

func (whole) foreign(pattern string) string {
	return pattern + " run along the edge of a mould, and this is none"
}

func (whole) layers(w Piece, c, finish path.Cutter) (Section, float64, error) {
	return roughLayers(w, c, finish)
}

// deepest is the depth of the face, and of a crown that of its moat, which lies lower than
// the rim.
func (whole) deepest(w *Work, finish path.Cutter) float64 {
	if w.Face.Falls() {
		return newTool(w.Face, finish).moatDepth()
	}
	return w.Face.Sagitta()
}

func (whole) cleared(w Piece, c, finish path.Cutter) dish.Region {
	if w.Face.Falls() {
		return dish.Disc{Radius: crownOuter(w.Work, c, finish)}
	}
	return nil
}

// ahead is how wide the moat round a crown has to be.
func (whole) ahead(w *Work, finish path.Cutter) any {
	if w.Face.Falls() {
		return finish.Diameter
	}
	return nil
}

func (whole) reached(w Piece) dish.Region { return dish.Disc{Radius: outer(w)} }

func (whole) landFrom(w Piece, _ r2.Vec) float64 {
	if w.Face.Falls() {
		return widestOuter(w)
	}
	return w.Face.Rim + 1
}

func (whole) lattice() int                   { return 60 }
func (whole) out(x, y float64) float64       { return exact.Dist(x, y) }
func (whole) within(out float64) dish.Region { return dish.Disc{Radius: out} }

// outer returns how far from the apex the wood may be cut away.
func outer(w Piece) float64 {
	if !w.Face.Falls() {
		return w.Face.Rim
	}
	out := w.Face.Rim + widestNamed(w) + moatGap + moatOver
	rough, okR := w.Cutter(w.Method.Rough)
	finish, okF := w.Cutter(w.Method.Finish)
	if okR && okF {
		out = max(out, crownOuter(w.Work, rough, finish))
	}
	return out
}

// widestOuter is outer for whichever cutters of the shelf may be chosen: what depends on
// it is then the same before and after they are.
func widestOuter(w Piece) float64 {
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
			out = max(out, outer(v))
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

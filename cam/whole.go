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

func (whole) deepest(w *Work, _ path.Cutter) float64 { return w.Face.Sagitta() }

// cleared is nil: the rim ends all cutting.
func (whole) cleared(Piece, path.Cutter, path.Cutter) dish.Region { return nil }

func (whole) ahead(*Work, path.Cutter) any { return nil }

func (whole) reached(w Piece) dish.Region { return w.Cut() }

func (whole) landFrom(w Piece, _ r2.Vec) float64 { return w.Face.Rim + 1 }

func (whole) lattice() int                   { return 60 }
func (whole) out(x, y float64) float64       { return exact.Dist(x, y) }
func (whole) within(out float64) dish.Region { return dish.Disc{Radius: out} }

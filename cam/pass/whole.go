package pass

import (
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// whole is the ground of a face that is cut all round its apex, out to its rim.
type whole struct{}

func (whole) Fit(w *work.Work) (ps work.Problems) {
	if b := w.Blank; b.InnerRadius() < w.Face.Rim {
		ps.Add(work.KindSize, work.KeyDiameter, measure.Say("the face of %s does not lie within the blank, %s across", measure.MM(2*w.Face.Rim), measure.MM(2*b.InnerRadius())), measure.Say("a larger blank, or a diameter of at most %s", measure.Most(2*b.InnerRadius(), 3)))
	}
	return ps
}

func (whole) deepest(w *work.Work, _ path.Cutter) float64 { return w.Face.Sagitta() }

// cleared is nil: the rim ends all cutting.
func (whole) cleared(work.Piece, path.Cutter, path.Cutter) dish.Region { return nil }

func (whole) ahead(*work.Work, path.Cutter) any { return nil }

func (whole) Reached(w work.Piece) dish.Region { return w.Region }

func (whole) LandFrom(w work.Piece, _ r2.Vec) float64 { return w.Face.Rim + 1 }

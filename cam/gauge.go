package cam

import (
	"fmt"
	"math"

	"dishwright/dish"
)

// templates is the ground of templates, of which nothing is a face: they are cut out of
// anywhere in a sheet, which is held down where they leave it.
type templates struct{ whole }

func (templates) piece() string                { return "each template" }
func (templates) reached(Piece) dish.Region    { return dish.Nowhere{} }
func (templates) out(float64, float64) float64 { return math.Inf(1) }

// GaugeProblems returns every reason known before planning why templates cannot be
// cut from the work's blank on its machine.
func GaugeProblems(w *Work) (ps Problems) {
	b, m := w.Blank, w.Machine
	if b.Length > m.Travel.X {
		ps.add(KindTravel, sizeKey(b, false), fmt.Sprintf("a sheet of %s along X is beyond the travel of %s (%s)", mm(b.Length), m.Name, mm(m.Travel.X)), "a smaller sheet, or a machine with more travel")
	}
	if b.Width > m.Travel.Y {
		ps.add(KindTravel, sizeKey(b, true), fmt.Sprintf("a sheet of %s along Y is beyond the travel of %s (%s)", mm(b.Width), m.Name, mm(m.Travel.Y)), "a smaller sheet, or a machine with more travel")
	}
	if need := b.Thickness + w.Clearance(); need > m.Travel.Z {
		ps.add(KindRoom, KeyThickness, fmt.Sprintf("the cutter must rise %s above the bed to clear everything; %s travels %s in Z", mm(need), m.Name, mm(m.Travel.Z)), "a thinner sheet or lower hold-downs")
	}
	return ps
}

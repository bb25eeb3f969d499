package work

import "math"

// BenchFlat is how far a workbench is out of flat under a dish, mm (common practice, about).
const BenchFlat = 0.5

// longPlate is α of w = α F b²/D, the sag under a force F on a plate between two long edges that
// carry it, b apart and turning freely: 7 ζ(3)/(16 π³), which S. Timoshenko and S.
// Woinowsky-Krieger, Theory of Plates and Shells, art. 34, give as 0.01695 (from memory; the
// tests add up the series).
const longPlate = 0.016961

// SagBetween returns how far the middle of a plate of a thickness sinks between two ribs so far
// apart, in mm, under its own weight and under a force in N on its middle: 5 q b⁴/384 D (art. 2
// of the same, bent to a cylinder; from memory) and longPlate. That the plate goes on beyond
// its ribs is left out: it sinks less for that.
func (w Wood) SagBetween(thick, apart, force float64) float64 {
	d, q := w.plate(thick)
	b2 := float64(apart * apart)
	return float64(5*q*b2*b2/(384*d)) + float64(longPlate*force*b2/d)
}

// Left returns how much wood stays under the deepest place of a hollow, mm.
func (w *Work) Left() float64 { return w.Blank.Thickness - w.Face.Sagitta() }

// Sag returns how far the middle of a dish sinks, of which so much is left, under its own weight
// and a hand: on a board not at all, on a bench no further than that is out of flat. A blank
// that is glued from layers counts as one piece.
func (w *Work) Sag(left float64) float64 {
	switch w.Support {
	case OnBoard:
		return 0
	case OnRibs:
		return WoodOf(w.Material).SagBetween(left, w.Ribs, Hand)
	case OnRim:
		return WoodOf(w.Material).Sag(left, w.Face.Rim, Hand)
	}
	return math.Min(BenchFlat, WoodOf(w.Material).Sag(left, w.Face.Rim, Hand))
}

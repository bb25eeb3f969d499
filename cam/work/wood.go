package work

import (
	"math"
	"strings"

	"dishwright/cam/path"
)

// Wood is what is known of a sort of material: how it bends and what the trade cuts of it.
type Wood struct {
	Name    string
	words   []string // that tell it where a job names its material, in lower case
	Modulus float64  // of bending, N/mm²
	weight  float64  // kg/m³
	chips   [4]float64
}

// chipWidths are the cutters' diameters of Wood.chips, mm: 1/8, 1/4, 3/8 and 1/2 in.
var chipWidths = [4]float64{3.175, 6.35, 9.525, 12.7}

// woods are the sorts, the first that is named counts. The chips are the greatest that
// tables of the trade give for straight cutters on heavy machines (common practice, from
// memory). The moduli, all from memory: of MDF what EN 622-5 asks of boards of 12 to 19 mm;
// of birch plywood about what handbooks give across its weaker direction; of hardwood the
// mean, as the square root of the product, of the two directions of class D30 of EN 338.
var woods = []Wood{
	{"plywood", []string{"ply", "multiplex"}, 5000, 680, [4]float64{0.15, 0.33, 0.51, 0.58}},
	{"MDF", []string{"mdf", "hdf", "fibreboard", "fiberboard"}, 2200, 750, [4]float64{0.18, 0.41, 0.58, 0.69}},
	{"hardwood", []string{"hardwood", "beech", "oak", "maple", "ash", "walnut", "cherry", "mahogany", "birch", "sapele"}, 2800, 640, [4]float64{0.13, 0.28, 0.46, 0.53}},
}

// WoodOf returns the sort that a job's words for its material name. What is not known is
// taken for MDF, of which dishes are usually made and which bends most and takes most.
func WoodOf(material string) Wood {
	material = strings.ToLower(material)
	for _, w := range woods {
		for _, word := range w.words {
			if strings.Contains(material, word) {
				return w
			}
		}
	}
	return woods[1]
}

// MostChip returns the greatest chip load that is usual for a cutter, mm a tooth: in
// proportion below the narrowest cutter of the tables, and no more above the widest.
func (w Wood) MostChip(diameter float64) float64 {
	if diameter <= chipWidths[0] {
		return w.chips[0] * diameter / chipWidths[0]
	}
	for i := 1; i < len(chipWidths); i++ {
		if diameter <= chipWidths[i] {
			at := (diameter - chipWidths[i-1]) / (chipWidths[i] - chipWidths[i-1])
			return w.chips[i-1] + float64(at*(w.chips[i]-w.chips[i-1]))
		}
	}
	return w.chips[len(w.chips)-1]
}

const (
	// rubs is the chip load in mm under which a cutter of rubsFrom or more rubs and burns MDF
	// rather than cuts it (common practice); a narrower one has finer edges, and cuts less in
	// proportion.
	rubs, rubsFrom = 0.04, 6.0
)

// LeastChip returns the chip load under which a cutter rubs, mm a tooth.
func LeastChip(c path.Cutter) float64 { return float64(rubs * min(1, c.Diameter/rubsFrom)) }

// Hand is how hard work is pressed with one hand, N (common practice, about).
const Hand = 20.0

// poisson is the ratio of wood-based boards, about (from memory).
const poisson = 0.3

// Sag returns how far the middle of a round plate of a thickness and radius in mm sinks that
// is carried at its edge alone, under its own weight and under a force in N on its middle, mm:
// (5 + ν) q a⁴ / (64 (1 + ν) D) and (3 + ν) F a² / (16 π (1 + ν) D), D = E t³ / 12 (1 − ν²)
// (the classic thin plates, simply supported: The Civil Engineering Handbook, 2nd ed., eq.
// 47.72–47.76; S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells, arts. 16 and
// 19, from memory; the tests integrate them).
func (w Wood) Sag(thick, radius, force float64) float64 {
	d, q := w.plate(thick)
	a2 := float64(radius * radius)
	own := float64((5 + poisson) * q * a2 * a2 / (64 * (1 + poisson) * d))
	return own + float64((3+poisson)*force*a2/(16*math.Pi*(1+poisson)*d))
}

// plate returns the stiffness in bending of a plate of a thickness, N mm, and its weight, N/mm².
func (w Wood) plate(thick float64) (d, q float64) {
	const gravity = 9.81e-9 // mm/s², and kg/m³ to kg/mm³, to N/mm³
	return w.Modulus * thick * thick * thick / (12 * (1 - float64(poisson*poisson))), float64(w.weight * gravity * thick)
}

// StiffEnough returns the least whole thickness in mm, of at most a metre, at which a sag is no
// more than that.
func StiffEnough(most float64, sag func(thick float64) float64) float64 {
	t := 1.0
	for sag(t) > most && t < 1e3 {
		t++
	}
	return t
}

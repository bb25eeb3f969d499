package draft

import (
	"fmt"
	"math"

	"dishwright/dish/measure"
	"dishwright/machines"
)

// model is a cutter as many shops own one, its sizes in the unit of its list. All are
// invented; what they may do is common practice, from memory.
type model struct {
	name, shape      string
	diameter, flutes float64 // its diameter, and how long its flutes are
	chip, deep       float64 // chip load and depth of cut
	usual, fastest   float64 // rpm
}

// slender is how many times its shank a cutter may be wide (common practice: flats of 1 in
// are sold on shanks of 1/4 in).
const slender = 4.0

// The cutters by unit, the widest of each shape first.
var models = map[bool][]model{
	false: {
		{name: "25 mm flat", shape: "flat", diameter: 25, flutes: 14, chip: 0.1, deep: 2, usual: 16000, fastest: 18000},
		{name: "16 mm flat", shape: "flat", diameter: 16, flutes: 14, chip: 0.08, deep: 2, usual: 17000, fastest: 22000},
		{name: "10 mm flat", shape: "flat", diameter: 10, flutes: 14, chip: 0.06, deep: 2, usual: 18000, fastest: 24000},
		{name: "6 mm flat", shape: "flat", diameter: 6, flutes: 14, chip: 0.05, deep: 2, usual: 18000, fastest: 28000},
		{name: "12 mm ball", shape: "ball", diameter: 12, flutes: 14, chip: 0.05, deep: 3, usual: 16000, fastest: 24000},
		{name: "6 mm ball", shape: "ball", diameter: 6, flutes: 14, chip: 0.05, deep: 2, usual: 18000, fastest: 28000},
	},
	true: {
		{name: "inch flat", shape: "flat", diameter: 1, flutes: 0.5, chip: 0.004, deep: 0.0625, usual: 16000, fastest: 18000},
		{name: "five-eighth flat", shape: "flat", diameter: 0.625, flutes: 0.5, chip: 0.003, deep: 0.0625, usual: 17000, fastest: 22000},
		{name: "three-eighth flat", shape: "flat", diameter: 0.375, flutes: 0.5, chip: 0.0025, deep: 0.0625, usual: 18000, fastest: 24000},
		{name: "quarter-inch flat", shape: "flat", diameter: 0.25, flutes: 0.5, chip: 0.002, deep: 0.0625, usual: 18000, fastest: 28000},
		{name: "half-inch ball", shape: "ball", diameter: 0.5, flutes: 0.5, chip: 0.002, deep: 0.125, usual: 16000, fastest: 24000},
		{name: "quarter-inch ball", shape: "ball", diameter: 0.25, flutes: 0.5, chip: 0.002, deep: 0.0625, usual: 18000, fastest: 28000},
	},
}

// gaugeModels cut templates and their letters.
var gaugeModels = map[bool][]model{
	false: {
		{name: "3 mm straight", shape: "flat", diameter: 3, flutes: 10, chip: 0.04, deep: 1.5, usual: 16000, fastest: 30000},
		{name: "2 mm ball", shape: "ball", diameter: 2, flutes: 6, chip: 0.03, deep: 0.8, usual: 18000, fastest: 30000},
	},
	true: {
		{name: "eighth straight", shape: "flat", diameter: 0.125, flutes: 0.375, chip: 0.0016, deep: 0.0625, usual: 16000, fastest: 30000},
		{name: "sixteenth ball", shape: "ball", diameter: 0.0625, flutes: 0.25, chip: 0.0012, deep: 0.03125, usual: 18000, fastest: 30000},
	},
}

// Cutter is one line of a shelf: its name, and its keys and values.
type Cutter struct{ Name, Text string }

// Face is what a shelf is for; of a gauge only that it is one counts.
type Face struct {
	Wide, Deep   float64 // mm, Wide the narrowest way across
	Crown, Gauge bool
}

// Shelf returns cutters for a face, in inches or mm: of each shape the widest that the
// machine's collets hold, that its spindle can run slowly enough for, and that is at most a
// quarter as wide as the face.
func Shelf(m machines.Machine, f Face, inches bool) (list []Cutter) {
	unit := map[bool]float64{false: 1, true: 25.4}[inches]
	all := models[inches]
	if f.Gauge {
		all = gaugeModels[inches]
	}
	have := map[string]bool{}
	for _, c := range all {
		wide := c.diameter * unit
		shank, held := shankFor(m, wide, inches)
		speed, _, slow := m.SpindleSpeed(c.fastest)
		rubs := c.flutes*unit < f.Deep && (f.Crown || shank > wide)
		if have[c.shape] || !held || !slow || !f.Gauge && (wide > f.Wide/4 || rubs) {
			continue
		}
		have[c.shape] = true
		list = append(list, c.line(m, inches, shank, speed))
	}
	return list
}

// shankFor returns the shank on which such a cutter is held: the widest of the machine's
// collets that is no wider than the cutter, in the cutter's own unit where it is sold on such
// a shank, else its narrowest; and whether it is made with a shank that thin.
func shankFor(m machines.Machine, diameter float64, inches bool) (shank float64, ok bool) {
	for _, own := range [...]bool{true, false} {
		for _, c := range m.Collets {
			if _, off := measure.Fraction(c, 16); own && inches != (math.Abs(off) < 1e-6) {
				continue
			}
			if c <= diameter+1e-6 || shank == 0 {
				shank = c
			}
		}
		if shank > 0 && diameter <= slender*shank+1e-6 {
			return shank, true
		}
		shank = 0
	}
	return 0, false
}

// line writes a cutter; fastest is the fastest that it may turn on this machine.
func (c model) line(m machines.Machine, inches bool, shank, fastest float64) Cutter {
	speed, _, ok := m.SpindleSpeed(c.usual)
	if !ok {
		speed = fastest // the spindle's slowest is above the usual
	}
	// No faster than the machine feeds two flutes at the chip load, where it runs so slowly.
	unit := map[bool]float64{false: 1, true: 25.4}[inches]
	if slower, _, ok := m.SpindleSpeed(min(m.Feed.X, m.Feed.Y) / (2 * c.chip * unit)); ok {
		speed = min(speed, slower)
	}
	text := fmt.Sprintf("{shape: %s, diameter: %s, flutes: 2, flute length: %s, speed: %.0f, chip load: %s, depth of cut: %s, shank: %s}", c.shape,
		size(c.diameter, inches), size(c.flutes, inches), math.Floor(speed), fine(c.chip, inches), size(c.deep, inches), collet(shank))
	return Cutter{c.name, text}
}

// size writes a length in the unit of its list, in inches as a fraction.
func size(v float64, inches bool) string {
	if !inches {
		return measure.Length{MM: v}.String()
	}
	text, _ := measure.Fraction(v*25.4, 64)
	return text
}

// fine writes a small length with all its decimals.
func fine(v float64, inches bool) string {
	if inches {
		return measure.TrimZeros(measure.FormatFixed(v, 4)) + " in"
	}
	return measure.TrimZeros(measure.FormatFixed(v, 4)) + " mm"
}

// collet writes a shank as it is named, in inches where that is exact.
func collet(mm float64) string {
	if text, off := measure.Fraction(mm, 16); math.Abs(off) < 1e-6 && mm < 26 {
		return text
	}
	return measure.Length{MM: mm}.String()
}

package work

import (
	"math"
	"strings"

	"dishwright/cam/path"
	"dishwright/dish/measure"
	"dishwright/machines"
)

// usual is how cutters up to a width are run on a light machine: common practice, from
// memory, well below what the tables of the trade give for heavy ones.
var usual = []struct {
	upTo, chip, depth, flutes float64 // mm; flutes as far as they cut
	teeth                     int
	speed                     float64 // rpm
}{
	{3.2, 0.03, 1.5, 10, 2, 18000},
	{6.5, 0.05, 3, 20, 2, 18000},
	{13, 0.06, 3, 25, 2, 16000},
	{20, 0.08, 2, 20, 2, 16000},
	{26, 0.10, 2, 12, 2, 16000},
	{35, 0.10, 2, 16, 2, 14000},
	{math.Inf(1), 0.10, 2, 16, 3, 14000},
}

const (
	// rimSpeed is the fastest that a cutter's edge usually runs, m/s: cautious for wood
	// (common practice).
	rimSpeed = 40.0
	// ballShare of the chip load of a flat is usual for a ball, whose edge is finer.
	ballShare = 0.85
	// MostSlender is how many shanks a cutter may stand out before it bends and chatters
	// (common practice).
	MostSlender = 4.0
	// MostWide is how many shanks a cutter may be wide before a bite bends or breaks the shank
	// (common practice).
	MostWide = 4.0
	// Grip is how far a cutter sticks out beyond its flutes where nothing is said, and
	// leastGrip where its shank is so thin that this is too far, mm.
	Grip, leastGrip = 10.0, 3.0
)

// UsualCutter returns a cutter of that shape and diameter in mm as it is usually run, in round
// numbers of the builder's unit, on a machine: its collets and the spindle's range. The
// machine's zero value, which has neither, bounds nothing. Its bounds are those of a job.
func UsualCutter(m machines.Machine, shape path.Shape, diameter float64, inches bool) path.Cutter {
	row := usual[0]
	for _, r := range usual {
		row = r
		if diameter <= r.upTo {
			break
		}
	}
	c := path.Cutter{Shape: shape, Diameter: diameter, Flutes: row.teeth, Shank: UsualShank(m, diameter)}
	chip, flutes := min(row.chip, diameter/100), row.flutes
	switch shape {
	case path.Ball:
		chip, flutes = float64(ballShare*chip), max(flutes, math.Ceil(0.6*diameter))
	case path.Bull:
		c.Corner = roundLength(diameter/5, inches)
		flutes = max(flutes, c.Corner+2)
	}
	if c.Shank > 0 {
		flutes = min(flutes, max(float64(MostSlender*c.Shank)-leastGrip-0.5, diameter/2))
	}
	c.ChipLoad = roundFigure(chip, LeastChip(c), inches)
	c.DepthOfCut = roundLength(min(row.depth, diameter/2), inches)
	c.FluteLength = roundLength(flutes, inches)
	c.Speed = min(row.speed, math.Floor(float64(rimSpeed*60_000)/(math.Pi*diameter)/500)*500)
	if m.Spindle.Fastest > 0 {
		c.Speed = max(m.Spindle.Slowest, min(m.Spindle.Fastest, c.Speed))
	}
	c.FastestSpeed = c.Speed
	return c
}

// UsualShank is the machine's widest collet that is no wider than the cutter, or its
// narrowest; 0 where it has none.
func UsualShank(m machines.Machine, diameter float64) float64 {
	shank := 0.0
	for i, d := range m.Collets {
		if i == 0 || d <= diameter+1e-6 {
			shank = d
		}
	}
	return shank
}

// UsualStickOut is how far a cutter stands out where nothing is said, so that the holder
// keeps off flutes and blank: Grip beyond its flutes or what lies deep, both in mm, or less where
// that is over MostSlender shanks and something is left of it.
func UsualStickOut(shank, flutes, deep float64) float64 {
	out := math.Ceil(max(flutes, deep) + Grip)
	if slim := math.Floor(float64(10*MostSlender*shank)+1e-6) / 10; slim < out && slim >= max(flutes, deep)+leastGrip {
		return slim
	}
	return out
}

// roundLength rounds a length in mm to what a builder writes: whole or half or tenth
// millimetres, or 1/16 or 1/64 in; down, but for a seventh of that.
func roundLength(mm float64, inches bool) float64 { return roundBy(mm, 0.15, inches) }

// RoundDown does so and never up.
func RoundDown(mm float64, inches bool) float64 { return roundBy(mm, 1e-9, inches) }

func roundBy(mm, up float64, inches bool) float64 {
	step := 0.1
	switch {
	case inches && mm >= 25.4/16:
		step = 25.4 / 16
	case inches && mm >= 25.4/64:
		step = 25.4 / 64
	case inches:
		return roundFigure(mm, 0, true)
	case mm >= 5:
		step = 1
	case mm >= 1:
		step = 0.5
	}
	return float64(math.Floor(mm/step+up) * step)
}

// roundFigure rounds a small length to one figure of the builder's unit, up where it would
// come out below the least, which it is not itself.
func roundFigure(mm, least float64, inches bool) float64 {
	unit := 1.0
	if inches {
		unit = 25.4
	}
	parts := 1.0 // of the unit
	for mm/unit*parts < 1-1e-9 {
		parts = float64(10 * parts)
	}
	if v := float64(math.Round(mm/unit*parts) / parts * unit); v >= least {
		return v
	}
	return float64(math.Ceil(mm/unit*parts) / parts * unit)
}

// Written returns a length in mm as a builder writes it, in mm or in inches: fractions
// where it is one of a rule, else decimals.
func Written(mm float64, inches bool) string {
	return measure.Ruler{Inches: inches}.Written(mm)
}

// shanks lists what the machine's collets take.
func (w *Work) shanks() measure.Said {
	var list []any
	for _, d := range w.Machine.Collets {
		list = append(list, measure.Put(d))
	}
	if len(list) == 0 {
		return measure.Say("another size")
	}
	return measure.Say("%v"+strings.Repeat(" or %v", len(list)-1), list...)
}

// Inches reports whether the builder's machine counts in inches.
func (w *Work) Inches() bool { return w.Machine.Unit == machines.Inches }

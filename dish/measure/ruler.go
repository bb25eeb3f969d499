package measure

import (
	"math"
	"strings"
)

// Ruler writes lengths for people, all of them in one unit: that of their own rule. The zero
// value writes millimetres. A nominal size, such as a cutter's, is no business of a Ruler: it
// stays as its builder wrote it.
type Ruler struct {
	Inches bool
	// Parts of an inch are the marks of the rule, where fractions are asked for: 32 or 64,
	// else 0.
	Parts int
}

// size is how many mm the unit has.
func (u Ruler) size() float64 {
	if u.Inches {
		return Inch.MM()
	}
	return 1
}

// more is how many more decimals the unit takes to tell as much.
func (u Ruler) more() int {
	if u.Inches {
		return 1
	}
	return 0
}

// Unit is the unit's name, for the heads of tables.
func (u Ruler) Unit() string {
	if u.Inches {
		return "in"
	}
	return "mm"
}

// Short writes a length in mm without its unit, with at most so many decimals of a millimetre.
func (u Ruler) Short(mm float64, decimals int) string { return TrimZeros(u.Fixed(mm, decimals)) }

// Fixed writes a length in mm without its unit, with so many decimals of a millimetre.
func (u Ruler) Fixed(mm float64, decimals int) string {
	return FormatFixed(mm/u.size(), decimals+u.more())
}

// Length writes a length in mm with at most so many decimals of a millimetre: as a fraction
// where those are asked for and a mark is true to the digits that would stand there.
func (u Ruler) Length(mm float64, decimals int) string {
	if u.Inches && u.Parts > 0 {
		if mark, over := Fraction(mm, u.Parts); math.Abs(over) < u.size()*0.5*math.Pow10(-decimals-u.more()) {
			return mark
		}
	}
	return u.Short(mm, decimals) + " " + u.Unit()
}

// Up writes a length in mm as Length does, but rounded up: what is told is enough.
func (u Ruler) Up(mm float64, decimals int) string {
	parts := u.parts(decimals)
	return u.Length(math.Ceil(float64(mm*parts)-alike)/parts, decimals)
}

// Down writes one rounded down: what is told is no more than that.
func (u Ruler) Down(mm float64, decimals int) string {
	parts := u.parts(decimals)
	return u.Length(math.Floor(float64(mm*parts)+alike)/parts, decimals)
}

// alike is what a product of floats may be off by, and far more, in last digits.
const alike = 1e-6

// parts is how many last digits a mm has.
func (u Ruler) parts(decimals int) float64 { return math.Pow10(decimals+u.more()) / u.size() }

// Depth writes a depth in mm that is to be measured, as Length does: where fractions are asked for as the
// nearest mark of the rule, with what the mark has too much or too little.
func (u Ruler) Depth(mm float64, decimals int) string {
	if !u.Inches || u.Parts == 0 {
		return u.Length(mm, decimals)
	}
	mark, over := Fraction(mm, u.Parts)
	off := u.Short(math.Abs(over), decimals)
	switch {
	case off == "0":
		return mark
	case over > 0:
		return mark + " less " + off + " in"
	}
	return mark + " and " + off + " in"
}

// Place writes a place in mm as a program's words would.
func (u Ruler) Place(x, y float64) string { return u.XY(x, y) + " " + u.Unit() }

// XY writes a place in mm without its unit.
func (u Ruler) XY(x, y float64) string { return "X" + u.Short(x, 1) + " Y" + u.Short(y, 1) }

// about writes a place in mm with its signs; millimetres need no name there.
func (u Ruler) about(x, y float64) string {
	signed := func(v float64) string {
		if s := u.Short(v, 1); strings.HasPrefix(s, "-") {
			return s
		}
		return "+" + u.Short(v, 1)
	}
	s := "X" + signed(x) + " Y" + signed(y)
	if u.Inches {
		s += " in"
	}
	return s
}

// Feed writes a feed in mm/min.
func (u Ruler) Feed(mm float64) string { return u.Short(mm, 0) + " " + u.Unit() + "/min" }

// Dome writes a dome's radius in mm, in metres or in feet.
func (u Ruler) Dome(mm float64) string {
	if u.Inches {
		return FormatFixed(mm/Foot.MM(), 2) + " ft"
	}
	return FormatFixed(mm/Metre.MM(), 2) + " m"
}

// Path writes a long way in mm, in metres or in feet.
func (u Ruler) Path(mm float64) string { return TrimZeros(u.Far(mm)) + " " + u.FarUnit() }

// Far writes a long way in mm without its unit.
func (u Ruler) Far(mm float64) string {
	unit := Metre
	if u.Inches {
		unit = Foot
	}
	return FormatFixed(mm/unit.MM(), 1)
}

// FarUnit is the name of the unit of long ways.
func (u Ruler) FarUnit() string {
	if u.Inches {
		return "ft"
	}
	return "m"
}

// Volume writes a volume in mm³, in cubic centimetres or inches.
func (u Ruler) Volume(mm3 float64) string {
	if u.Inches {
		return FormatFixed(mm3/(u.size()*u.size()*u.size()), 2) + " in3"
	}
	return FormatFixed(mm3/1000, 1) + " cm3"
}

// Mark writes a length in mm for a column: as Fixed does, or where fractions are asked for as
// the nearest mark of the rule and what it has too much.
func (u Ruler) Mark(mm float64, decimals int) string {
	if !u.Inches || u.Parts == 0 {
		return u.Fixed(mm, decimals)
	}
	text, over := Fraction(mm, u.Parts)
	off := u.Fixed(over, decimals)
	if !strings.HasPrefix(off, "-") {
		off = "+" + off
	}
	return strings.TrimSuffix(text, " in") + " " + off
}

// Slope writes a slope, mm a mm, over a hundred of the unit.
func (u Ruler) Slope(tan float64) string {
	return FormatShort(float64(100*tan), 4) + " " + u.Unit() + " per 100 " + u.Unit()
}

package measure

import "math"

// Ruler writes lengths for a builder: in mm, and beside them in inches where those are used.
type Ruler struct{ Inches bool }

// Length writes a length in mm with at most so many decimals of a millimetre.
func (u Ruler) Length(mm float64, decimals int) string {
	s := FormatShort(mm, decimals) + " mm"
	if u.Inches {
		s += " (" + FormatShort(mm/25.4, decimals+1) + " in)"
	}
	return s
}

// Depth writes a depth in mm that is to be measured: in inches also as the nearest mark of a
// rule, and how far it is off that.
func (u Ruler) Depth(mm float64) string {
	s := u.Length(mm, 3)
	if !u.Inches {
		return s
	}
	mark, over := Fraction(mm, 64)
	s += ", " + mark
	switch off := FormatShort(math.Abs(over), 3); {
	case off == "0":
	case over > 0:
		s += " less " + off + " mm"
	default:
		s += " and " + off + " mm"
	}
	return s
}

// Place writes a place, in mm, as a program's words would.
func (u Ruler) Place(x, y float64) string {
	s := "X" + FormatShort(x, 1) + " Y" + FormatShort(y, 1) + " mm"
	if u.Inches {
		s += " (X" + FormatShort(x/25.4, 2) + " Y" + FormatShort(y/25.4, 2) + " in)"
	}
	return s
}

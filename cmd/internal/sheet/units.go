package sheet

import (
	"fmt"
	"math"

	"dishwright/dish/measure"
)

// Units are those that the builder chose: millimetres, or inches with millimetres
// beside them; Parts of an inch above zero ask for fractions.
type Units struct {
	Inches bool
	Parts  int
}

// Len writes a length with at most so many decimals of a millimetre.
func (u Units) Len(mm float64, decimals int) string {
	if !u.Inches {
		return measure.FormatShort(mm, decimals) + " mm"
	}
	return u.inch(mm, decimals+1) + " (" + measure.FormatShort(mm, decimals) + " mm)"
}

// Short writes a length for a drawing: one unit alone.
func (u Units) Short(mm float64) string {
	if !u.Inches {
		return measure.FormatShort(mm, 1) + " mm"
	}
	return u.inch(mm, 3)
}

// inch writes inches: as the nearest mark where fractions were asked for and the mark
// is true to the digits that would stand there, else as decimals.
func (u Units) inch(mm float64, decimals int) string {
	if u.Parts > 0 {
		if text, over := measure.Fraction(mm, u.Parts); math.Abs(over) < 25.4*0.5*math.Pow(10, -float64(decimals)) {
			return text
		}
	}
	return measure.FormatShort(mm/25.4, decimals) + " in"
}

// Depth writes a depth that is measured at the bench: where fractions were asked for
// as the nearest mark of the rule, with what the mark has too much or too little.
func (u Units) Depth(mm float64) string {
	if u.Parts == 0 {
		return u.Len(mm, 2)
	}
	mark, over := measure.Fraction(mm, u.Parts)
	s := mark
	if off := measure.FormatShort(math.Abs(over), 2); off != "0" {
		word := "and"
		if over > 0 {
			word = "less"
		}
		s += " " + word + " " + off + " mm"
	}
	return fmt.Sprintf("%s (%s mm)", s, measure.FormatShort(mm, 2))
}

// Place writes a place on the blank's top.
func (u Units) Place(x, y float64) string {
	if !u.Inches {
		return fmt.Sprintf("X%s Y%s mm", measure.FormatShort(x, 1), measure.FormatShort(y, 1))
	}
	return fmt.Sprintf("X%s Y%s in (X%s Y%s mm)", measure.FormatShort(x/25.4, 2), measure.FormatShort(y/25.4, 2), measure.FormatShort(x, 1), measure.FormatShort(y, 1))
}

// Feed writes a feed, mm/min.
func (u Units) Feed(mm float64) string {
	if !u.Inches {
		return measure.FormatShort(mm, 0) + " mm/min"
	}
	return measure.FormatShort(mm/25.4, 1) + " in/min (" + measure.FormatShort(mm, 0) + " mm/min)"
}

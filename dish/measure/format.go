package measure

import (
	"math"
	"strconv"
	"strings"
)

// FormatFixed returns the number with the given decimals (0 or more), rounded from
// its exact binary value. It keeps trailing zeros and never writes minus zero.
// It panics where decimals is negative.
func FormatFixed(mm float64, decimals int) string {
	if decimals < 0 {
		panic("measure: negative number of decimals")
	}
	s := strconv.FormatFloat(mm, 'f', decimals, 64)
	if strings.HasPrefix(s, "-") && strings.Trim(s, "-0.") == "" {
		return s[1:]
	}
	return s
}

// TrimZeros drops the zeros at the end of a decimal number, and its point where
// nothing is left behind it: "0.500" becomes "0.5", "12.000" "12", "100" stays.
func TrimZeros(s string) string {
	if !strings.Contains(s, ".") {
		return s
	}
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// FormatShort returns the number with at most the given decimals, no zeros at its end.
func FormatShort(v float64, decimals int) string { return TrimZeros(FormatFixed(v, decimals)) }

// Fraction returns the inch fraction nearest to a length, in lowest terms and
// with no denominator above the given one, which is 1 or more and a power of
// two on any rule: "6 13/64 in", "3/8 in", "2 in", "0 in". err is what the text
// has too much, in mm; within half a step either way. It panics where the
// denominator is below 1 or the length is not finite.
func Fraction(mm float64, denominator int) (text string, err float64) {
	if denominator < 1 || math.IsNaN(mm) || math.IsInf(mm, 0) {
		panic("measure: no fraction of that")
	}
	parts := math.Round(math.Abs(mm) / 25.4 * float64(denominator))
	err = parts*25.4/float64(denominator) - math.Abs(mm)
	sign := ""
	if mm < 0 {
		err = -err
		if parts > 0 {
			sign = "-"
		}
	}
	whole := math.Floor(parts / float64(denominator))
	top, bottom := int(math.Mod(parts, float64(denominator))), denominator
	for a, b := top, bottom; ; a, b = b, a%b {
		if b == 0 {
			top, bottom = top/a, bottom/a
			break
		}
	}
	text = sign + FormatFixed(whole, 0)
	switch {
	case top > 0 && whole > 0:
		text += " " + strconv.Itoa(top) + "/" + strconv.Itoa(bottom)
	case top > 0:
		text = sign + strconv.Itoa(top) + "/" + strconv.Itoa(bottom)
	}
	return text + " in", err + 0 // + 0: no minus zero
}

// decimalsOf holds, for each unit, the decimals that show a micrometre or a little more finely.
var decimalsOf = [...]int{Millimetre: 3, Centimetre: 4, Metre: 6, Inch: 4, Foot: 5}

// WithMM returns another length that is written in the unit and style of l.
func (l Length) WithMM(mm float64) Length {
	if mm == l.MM {
		return l
	}
	return Length{MM: mm, Unit: l.Unit, style: l.style}
}

// String returns the length in the unit and style it was written in. What
// ParseLength read comes back with every digit, so that reading it again gives
// the same Length; a computed length is rounded to about a micrometre, and is
// written as a fraction only where that is true to the same micrometre.
func (l Length) String() string {
	if l.source != "" && l.sourceMM == l.MM {
		return l.source
	}
	if math.IsNaN(l.MM) || math.IsInf(l.MM, 0) {
		return FormatFixed(l.MM, 0) + " " + l.Unit.String()
	}
	switch l.style {
	case fraction:
		const halfDigit = 0.0005 // half the last digit that a computed length in mm would show
		if l.Unit == Inch {
			if text, err := Fraction(l.MM, 64); math.Abs(err) < halfDigit {
				return text
			}
		}
	case feetInches:
		// Rounded once, in ten-thousandths of an inch, so that no 12 in are left over.
		const perFoot = 120000
		n := math.Round(math.Abs(l.MM) / 25.4 * 1e4)
		sign := ""
		if l.MM < 0 && n > 0 {
			sign = "-"
		}
		return sign + FormatFixed(math.Floor(n/perFoot), 0) + " ft " + TrimZeros(FormatFixed(math.Mod(n, perFoot)/1e4, 4)) + " in"
	}
	return TrimZeros(FormatFixed(l.MM/l.Unit.MM(), decimalsOf[l.Unit])) + " " + l.Unit.String()
}

// Between returns "from … to …" in the unit of l for a range in mm, each end rounded inwards,
// so that what is written lies within.
func (l Length) Between(least, most float64) string {
	end := func(mm float64, round func(float64) float64, inwards float64) string {
		parts := math.Pow10(decimalsOf[l.Unit])
		const alike = 1e-6 // of the last decimal: what a product of floats may be off by far less
		n := round(float64(mm/l.Unit.MM()*parts)-float64(alike*inwards)) / parts
		return TrimZeros(FormatFixed(n, decimalsOf[l.Unit])) + " " + l.Unit.String()
	}
	return "from " + end(least, math.Ceil, 1) + " to " + end(most, math.Floor, -1)
}

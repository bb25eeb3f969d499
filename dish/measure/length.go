package measure

import (
	"math"
	"math/big"
	"strings"
)

// Unit is a unit of length. The zero value is the millimetre.
type Unit uint8

// The units of length.
const (
	Millimetre Unit = iota
	Centimetre
	Metre
	Inch
	Foot
)

// MaxLength is the longest length that is read, mm: a kilometre, far beyond any
// dish and any dome's radius.
const MaxLength = 1e6

func (u Unit) String() string { return [...]string{"mm", "cm", "m", "in", "ft"}[u] }

// MM returns one unit in mm.
func (u Unit) MM() float64 { return [...]float64{1, 10, 1000, 25.4, 304.8}[u] }

// Imperial reports whether the unit is the inch or the foot.
func (u Unit) Imperial() bool { return u == Inch || u == Foot }

// exact returns one unit in mm as a fraction: 25.4 is no float64.
func (u Unit) exact() *big.Rat {
	size := [...][2]int64{{1, 1}, {10, 1}, {1000, 1}, {254, 10}, {3048, 10}}[u]
	return big.NewRat(size[0], size[1])
}

// unitNames holds every way to write a unit, in lower case.
var unitNames = map[string]Unit{
	"mm": Millimetre, "millimetre": Millimetre, "millimetres": Millimetre, "millimeter": Millimetre, "millimeters": Millimetre,
	"cm": Centimetre, "centimetre": Centimetre, "centimetres": Centimetre, "centimeter": Centimetre, "centimeters": Centimetre,
	"m": Metre, "metre": Metre, "metres": Metre, "meter": Metre, "meters": Metre,
	"in": Inch, "inch": Inch, "inches": Inch, `"`: Inch,
	"ft": Foot, "foot": Foot, "feet": Foot, "'": Foot,
}

// lengthChoices are the units that a length without one may have, the commonest first.
var lengthChoices = []unitChoice{
	{"mm", Millimetre.exact(), 0, true}, {"in", Inch.exact(), 0, false}, {"ft", Foot.exact(), 1, false}, {"m", Metre.exact(), 1, true}, {"cm", Centimetre.exact(), 5, true},
}

// style is the way a length was written.
type style uint8

const (
	decimal    style = iota
	fraction         // 6 1/2 in
	feetInches       // 5 ft 6 in
)

// Length is a length that remembers the unit and the style it was written in.
// The zero value is 0 mm. A Length may be made from MM and Unit alone.
type Length struct {
	MM       float64
	Unit     Unit
	style    style
	source   string  // as read, in its one canonical form; empty for a computed length
	sourceMM float64 // the MM that text stands for
}

const lengthExample = "460 mm, 6 1/2 in or 25 ft"

// ParseLength reads a length: a number and a unit, with or without a space, the
// number in decimals (`0.05 mm`) or as a fraction (`1/4 in`, `6 1/2 in`), the
// unit mm, cm, m, in, ft, their full names, " or ', in any letter case; or feet
// and inches (`5' 6"`, `5 ft 6 1/2 in`). A leading minus is read. The value is
// within MaxLength either way; whether it makes sense is the caller's to check.
// The error is an *Error.
func ParseLength(s string) (Length, error) {
	return Range{}.Length(s)
}

// parseLength is Length with the exact length in mm.
func (r Range) parseLength(s string) (Length, *big.Rat, *Error) {
	t, e := normalize(s, lengthExample)
	if e != nil {
		return Length{}, nil, e
	}
	n, rest, e := scan(t, s, lengthExample)
	if e != nil {
		return Length{}, nil, e
	}
	if rest == "" {
		return Length{}, nil, newError(r.unitHint(n, lengthChoices, lengthExample), "%s has no unit", Quote(s))
	}
	unit, rest, e := scanUnit(rest, s)
	if e != nil {
		return Length{}, nil, e
	}
	l := Length{Unit: unit, source: n.text + " " + unit.String()}
	if n.fraction {
		l.style = fraction
	}
	mm := new(big.Rat).Mul(n.value, unit.exact())
	if rest != "" {
		if unit != Foot {
			return Length{}, nil, newError("write it like "+lengthExample, "%s goes on after its unit", Quote(s))
		}
		inches, e := scanInches(n, rest, s)
		if e != nil {
			return Length{}, nil, e
		}
		l.style = feetInches
		l.source += " " + inches.text + " in"
		inchesValue := inches.value.Mul(inches.value, Inch.exact())
		if strings.HasPrefix(t, "-") {
			inchesValue.Neg(inchesValue)
			if !n.negative && inchesValue.Sign() != 0 { // -0 ft 6 in
				l.source = "-" + l.source
			}
		}
		mm.Add(mm, inchesValue)
	}
	l.MM = toFloat(mm)
	l.sourceMM = l.MM
	if math.Abs(l.MM) > MaxLength {
		return Length{}, nil, newError("the longest that is read is 1000 m", "%s is too long", Quote(s))
	}
	return l, mm, nil
}

// scanUnit reads the unit of length that follows a number.
func scanUnit(rest, as string) (Unit, string, *Error) {
	i := 0
	for i < len(rest) && rest[i] >= 'a' && rest[i] <= 'z' {
		i++
	}
	if i == 0 && (rest[0] == '"' || rest[0] == '\'') {
		i = 1
	}
	unit, ok := unitNames[rest[:i]]
	if !ok {
		word := rest
		if i > 0 {
			word = rest[:i]
		}
		return 0, "", newError("the units are mm, cm, m, in and ft", "%s has the unit %s, which is not known", Quote(as), Quote(word))
	}
	return unit, strings.TrimPrefix(rest[i:], " "), nil
}

// scanInches reads the inches that follow a whole number of feet: 0 or more and
// below 12, and nothing after them.
func scanInches(feet number, rest, as string) (number, *Error) {
	const hint = `write feet and inches like 5 ft 6 1/2 in, the feet a whole number and the inches below 12`
	notFeetAndInches := newError(hint, "%s is not feet and inches", Quote(as))
	if !feet.whole || countDigits(strings.TrimPrefix(rest, ".")) == 0 {
		return number{}, notFeetAndInches
	}
	inches, rest, e := scan(rest, as, lengthExample)
	if e != nil {
		return number{}, e
	}
	unit, ok := unitNames[rest]
	if !ok || unit != Inch || inches.value.Cmp(big.NewRat(12, 1)) >= 0 {
		return number{}, notFeetAndInches
	}
	return inches, nil
}

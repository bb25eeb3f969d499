package measure

import (
	"math"
	"regexp"
)

// examples matches the lengths of a text that are written in millimetres or metres.
var examples = regexp.MustCompile(`-?\d+(?:\.\d+)? (?:mm|m)\b(?:/min\b| per 100 mm\b|/s2\b)?`)

// Like returns an example, in which lengths are written in millimetres and metres, as a builder
// in the ruler's unit writes such a one: about as long and a round number. Feeds and slopes stay
// as they are in millimetres; a slope is the same over any unit.
func (u Ruler) Like(example string) string {
	if !u.Inches {
		return example
	}
	return examples.ReplaceAllStringFunc(example, func(text string) string {
		if l, err := ParseLength(text); err == nil {
			return likeLength(l)
		}
		if v, err := ParseSlope(text); err == nil {
			return u.Slope(v)
		}
		if v, err := ParseFeed(text); err == nil {
			return FormatFixed(float64(10*math.Round(v/254)), 0) + " in/min"
		}
		return text
	})
}

// likeLength returns a round length in inches about as long: whole inches from ten on, marks of
// a rule from an eighth on, thousandths below; a round number of feet for metres.
func likeLength(l Length) string {
	if l.Unit == Metre {
		return FormatFixed(math.Round(l.MM/Foot.MM()), 0) + " ft"
	}
	v := math.Abs(l.MM) / Inch.MM()
	step := 1.0
	switch {
	case v < 0.12:
		return FormatShort(l.MM/Inch.MM(), 3) + " in"
	case v < 1:
		step = 1.0 / 8
	case v < 10:
		step = 1.0 / 4
	}
	text, _ := Fraction(math.Copysign(math.Round(v/step)*step*Inch.MM(), l.MM), 8)
	return text
}

// Written writes a length in mm as a builder in the ruler's unit writes it into a file: in inches
// as a fraction where it is one of a rule, else in decimals that show a micrometre.
func (u Ruler) Written(mm float64) string {
	if !u.Inches {
		return Length{MM: mm}.String()
	}
	const halfDigit = 5e-4 // half a micrometre
	if text, err := Fraction(mm, 64); math.Abs(err) < halfDigit {
		return text
	}
	return Length{MM: mm, Unit: Inch}.String()
}

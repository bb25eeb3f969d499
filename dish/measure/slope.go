package measure

import (
	"math"
	"strings"
)

const slopeExample = "0.1 mm per 100 mm or 0.05 deg"

// ParseSlope reads a slope: a length per length (`0.1 mm per 100 mm`, `1/64 in per
// 1 ft`), each as ParseLength reads it, or an angle (`0.05 deg`), and returns rise
// over length, from 0 to 1. The error is an *Error.
func ParseSlope(s string) (float64, error) {
	t, e := normalize(strings.ReplaceAll(s, "°", " deg"), slopeExample)
	if e != nil {
		return 0, e
	}
	rise, run, per := strings.Cut(t, " per ")
	if !per {
		return slopeOfAngle(s)
	}
	if strings.Contains(run, " per ") {
		return 0, newError("write it like "+slopeExample, "%s says per twice", Quote(s))
	}
	_, a, e := (Range{}).parseLength(rise)
	if e != nil {
		return 0, e
	}
	_, b, e := (Range{}).parseLength(run)
	switch {
	case e != nil:
		return 0, e
	case a.Sign() < 0 || b.Sign() < 0:
		return 0, newError("write it like "+slopeExample, "%s is a slope below zero", Quote(s))
	case b.Sign() == 0:
		return 0, newError("write it like "+slopeExample, "%s is a rise over no length at all", Quote(s))
	case a.Cmp(b) > 0:
		return 0, newError("the most that is read is 45 deg", "%s is too steep", Quote(s))
	}
	return toFloat(a.Quo(a, b)), nil
}

// slopeOfAngle reads a slope that is written as an angle.
func slopeOfAngle(s string) (float64, error) {
	if l, _, e := (Range{}).parseLength(s); e == nil {
		return 0, newError("write over which length: "+l.String()+" per 100 mm", "%s is a length, not a slope", Quote(s))
	}
	v, err := ParseAngle(s)
	switch {
	case err != nil:
		e := err.(*Error)
		return 0, newError("write it like "+slopeExample, "%s", e.Message)
	case v < 0:
		return 0, newError("write it like "+slopeExample, "%s is a slope below zero", Quote(s))
	case v > math.Pi/4:
		return 0, newError("the most that is read is 45 deg", "%s is too steep", Quote(s))
	}
	return min(1, math.Tan(v)), nil
}

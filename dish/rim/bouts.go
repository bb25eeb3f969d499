package rim

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Bouts are the four numbers of a body: its widths at the upper bout, the waist
// and the lower bout, and its length, mm.
type Bouts struct{ Upper, Waist, Lower, Length float64 }

// Where the three widths stand along the body, as shares of its length from the
// tail: common practice for guitars, within a few hundredths.
const lowerAt, waistAt, upperAt = 0.27, 0.62, 0.80

// boutSteps points make each of the four parts of a half: a few millimetres apart.
const boutSteps = 60

// Half returns half of an outline that has the four numbers: quarters of ellipses
// about the tail and the head, and between the widest and the narrowest places
// halves of a wave. The error is an *OutlineError.
func (k Bouts) Half() ([]r2.Vec, error) {
	switch {
	case !(k.Waist < k.Upper && k.Waist < k.Lower):
		return nil, &OutlineError{0, "the waist is not narrower than both bouts", "a body without a waist: give its points, 4 or more"}
	case !(k.Lower < 2*k.Length && k.Upper < 2*k.Length && k.Waist > 0):
		return nil, &OutlineError{0, "a body wider than twice its length", "widths and length of the outside of the sides"}
	}
	xl, xw, xu := float64(lowerAt*k.Length), float64(waistAt*k.Length), float64(upperAt*k.Length)
	var half []r2.Vec
	quarter := func(from, length, width float64, toHead bool) {
		for i := range boutSteps {
			t := math.Pi / 2 * float64(i) / boutSteps
			p := r2.Vec{X: from - float64(length*math.Cos(t)), Y: float64(width / 2 * math.Sin(t))}
			if toHead {
				p = r2.Vec{X: from + float64(length*math.Sin(t)), Y: float64(width / 2 * math.Cos(t))}
			}
			half = append(half, p)
		}
	}
	wave := func(x0, x1, a, b float64) {
		for i := range boutSteps {
			t := float64(i) / boutSteps
			half = append(half, r2.Vec{X: x0 + float64((x1-x0)*t), Y: float64((a+b)/4) + float64((a-b)/4*math.Cos(math.Pi*t))})
		}
	}
	quarter(xl, xl, k.Lower, false)
	wave(xl, xw, k.Lower, k.Waist)
	wave(xw, xu, k.Waist, k.Upper)
	quarter(xu, k.Length-xu, k.Upper, true)
	half = append(half, r2.Vec{X: k.Length})
	half[0] = r2.Vec{}
	return half, nil
}

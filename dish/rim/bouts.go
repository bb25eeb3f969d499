package rim

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/spatial/r2"
)

// Bouts are the four numbers of a body: its widths at the upper bout, the waist
// and the lower bout, and its length, mm. Pins are places that its half outline goes
// through all the same, from the tail and from the centre line, in any order.
type Bouts struct {
	Upper, Waist, Lower, Length float64
	Pins                        []r2.Vec
}

// Where the three widths stand along the body, as shares of its length from the
// tail: common practice for guitars, within a few hundredths.
const lowerAt, waistAt, upperAt = 0.27, 0.62, 0.80

// guessed is what those few hundredths are taken for.
const guessed = 0.03

// shares are where the lower bout, the waist and the upper bout stand.
type shares [3]float64

// places returns the shares: those that a pin tells, being as wide as its bout or waist, and as
// usual the others; pin is the number of the pin, −1 for none.
func (k Bouts) places() (at shares, pin [3]int) {
	usual := shares{lowerAt, waistAt, upperAt}
	at, pin = usual, [3]int{-1, -1, -1}
	for n, p := range k.Pins {
		nearest, off := -1, math.Inf(1)
		for i, wide := range [...]float64{k.Lower, k.Waist, k.Upper} {
			if by := math.Abs(float64(usual[i]*k.Length) - p.X); math.Abs(p.Y-wide/2) < asWide && by < off {
				nearest, off = i, by
			}
		}
		if nearest >= 0 {
			at[nearest], pin[nearest] = p.X/k.Length, n
		}
	}
	return at, pin
}

// asWide is by how much a half width may differ from another and be the same, mm: finer than
// anyone measures.
const asWide = 0.05

const crossHint = "each in its place between tail, lower bout, waist, upper bout and head; or give all points of the outline"

// drawable is the least distance of two points, mm: no drawing tells less.
const drawable = 0.01

// boutSteps points make each of the four parts of a half: a few millimetres apart.
const boutSteps = 60

// Half returns half of an outline that has the four numbers and goes through the pins:
// quarters of ellipses about the tail and the head, and between the widest and the
// narrowest places halves of a wave, drawn out or in along the body as the pins ask.
// The error is an *OutlineError; its point is the number of a pin.
func (k Bouts) Half() ([]r2.Vec, error) {
	at, pin := k.places()
	for i := range at {
		if i > 0 && at[i] <= at[i-1] {
			return nil, &OutlineError{max(pin[i], pin[i-1]), "pinned points that cross: lower bout, waist and upper bout do not follow each other from the tail", crossHint}
		}
	}
	return k.half(at)
}

// Places returns where the lower bout, the waist and the upper bout come to lie, mm from the
// tail. The error is Half's.
func (k Bouts) Places() (lower, waist, upper float64, err error) {
	at, _ := k.places()
	along, err := k.along(at)
	if err != nil {
		return 0, 0, 0, err
	}
	return along(float64(at[0] * k.Length)), along(float64(at[1] * k.Length)), along(float64(at[2] * k.Length)), nil
}

// Guesses returns halves in which one of the three places that no pin tells stands a few
// hundredths of the length from where it is taken to be: how they differ is what the guess is
// worth. One that the pins rule out is left out; there is none where they tell all three.
func (k Bouts) Guesses() (list [][]r2.Vec) {
	taken, pin := k.places()
	for i := range 3 {
		for _, by := range [...]float64{-guessed, guessed} {
			if pin[i] >= 0 {
				continue
			}
			at := taken
			at[i] += by
			if half, err := k.half(at); err == nil {
				list = append(list, half)
			}
		}
	}
	return list
}

func (k Bouts) half(at shares) ([]r2.Vec, error) {
	switch {
	case !(k.Waist < k.Upper && k.Waist < k.Lower):
		return nil, &OutlineError{0, "the waist is not narrower than both bouts", "a body without a waist: give its points, 4 or more"}
	case !(k.Lower < 2*k.Length && k.Upper < 2*k.Length && k.Waist > 0):
		return nil, &OutlineError{0, "a body wider than twice its length", "widths and length of the outside of the sides"}
	}
	along, err := k.along(at)
	if err != nil {
		return nil, err
	}
	half := []r2.Vec{{}}
	for i, p := range k.parts(at) {
		for j := range boutSteps {
			if t := float64(j) / boutSteps; i+j > 0 {
				v := p.at(t)
				half = append(half, r2.Vec{X: along(v.X), Y: v.Y})
			}
		}
	}
	half = append(half, r2.Vec{X: k.Length})
	for _, p := range k.Pins { // it lies on the curve, between two of its points or at one
		i, _ := slices.BinarySearchFunc(half, p, func(q, p r2.Vec) int { return cmp.Compare(q.X, p.X) })
		if p.X-half[i-1].X > drawable && half[i].X-p.X > drawable {
			half = slices.Insert(half, i, p)
		}
	}
	return half, nil
}

// part is one of the four parts of a half, along which its width only grows or only shrinks.
type part struct {
	at func(t float64) r2.Vec // 0 ≤ t ≤ 1
	of func(y float64) float64
	lo float64 // the least and the greatest half width
	hi float64
}

// parts are a quarter of an ellipse, two halves of a wave, and another quarter.
func (k Bouts) parts(at shares) []part {
	xl, xw, xu := float64(at[0]*k.Length), float64(at[1]*k.Length), float64(at[2]*k.Length)
	quarter := func(middle, reach, width float64) part { // reach < 0 towards the tail
		return part{
			at: func(t float64) r2.Vec {
				if reach < 0 {
					t = 1 - t
				}
				return r2.Vec{X: middle + float64(reach*math.Sin(math.Pi/2*t)), Y: float64(width / 2 * math.Cos(math.Pi/2*t))}
			},
			of: func(y float64) float64 {
				return middle + float64(reach*math.Sqrt(max(0, 1-float64(4*y*y)/float64(width*width))))
			},
			hi: width / 2,
		}
	}
	wave := func(x0, x1, a, b float64) part {
		return part{
			at: func(t float64) r2.Vec {
				return r2.Vec{X: x0 + float64((x1-x0)*t), Y: float64((a+b)/4) + float64((a-b)/4*math.Cos(math.Pi*t))}
			},
			of: func(y float64) float64 {
				c := (y - (a+b)/4) / ((a - b) / 4)
				return x0 + float64((x1-x0)*math.Acos(max(-1, min(1, c))))/math.Pi
			},
			lo: min(a, b) / 2, hi: max(a, b) / 2,
		}
	}
	return []part{quarter(xl, -xl, k.Lower), wave(xl, xw, k.Lower, k.Waist), wave(xw, xu, k.Waist, k.Upper), quarter(xu, k.Length-xu, k.Upper)}
}

// along returns how the body is drawn out along its length so that it goes through its pins: a
// pin's width stands at one place of each part, and the nearest is brought to the pin. Between
// them the way is a cubic that never turns back [FC].
func (k Bouts) along(at shares) (func(x float64) float64, error) {
	if len(k.Pins) == 0 {
		return func(x float64) float64 { return x }, nil
	}
	type pin struct{ from, to float64 }
	ends := []pin{{0, 0}, {k.Length, k.Length}}
	for i, p := range k.Pins {
		from, off := 0.0, math.Inf(1)
		for _, part := range k.parts(at) {
			if part.lo-asWide < p.Y && p.Y < part.hi+asWide && p.Y > 0 {
				if x := part.of(p.Y); math.Abs(x-p.X) < off {
					from, off = x, math.Abs(x-p.X)
				}
			}
		}
		switch {
		case !(p.X > 0 && p.X < k.Length):
			return nil, &OutlineError{i, "a pinned point that lies beyond the tail or the head", "a place between them, from the tail, and half the width there"}
		case math.IsInf(off, 1):
			return nil, &OutlineError{i, "a pinned point wider than both bouts, or of no width", "half the width there, between the waist's and the bouts'"}
		}
		ends = append(ends, pin{from, p.X})
	}
	numbers := make([]int, len(ends)) // in the order of their places
	for i := range numbers {
		numbers[i] = i
	}
	slices.SortStableFunc(numbers, func(a, b int) int { return cmp.Compare(ends[a].to, ends[b].to) })
	var xs, ys []float64
	for j, i := range numbers {
		if j > 0 && !(ends[i].from > xs[j-1] && ends[i].to > ys[j-1]) {
			return nil, &OutlineError{max(0, max(i, numbers[j-1])-2), "pinned points that cross: no body of these four numbers goes through one after the other", crossHint}
		}
		xs, ys = append(xs, ends[i].from), append(ys, ends[i].to)
	}
	var curve interp.FritschButland
	if err := curve.Fit(xs, ys); err != nil {
		return nil, fmt.Errorf("pinned points: %w", err)
	}
	return curve.Predict, nil
}

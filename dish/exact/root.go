package exact

import "math"

// Bisect narrows the interval from a to b, in which a condition changes once, by n
// halvings. asA reports whether a place is as a is; a and b themselves are not asked. It
// returns the last place that was as a, or a, and the last that was not, or b: the change
// lies between them. a may be the greater.
func Bisect(a, b float64, n int, asA func(x float64) bool) (isA, isB float64) {
	for range n {
		if mid := (a + b) / 2; asA(mid) {
			a = mid
		} else {
			b = mid
		}
	}
	return a, b
}

// Bracket is an interval in which a function rises through 0, and its values at both
// ends. Take a place by Next, work out the value there, and give both to Narrow: the
// steps are those of a secant that never leaves the interval.
type Bracket struct {
	Lo, Hi     float64
	AtLo, AtHi float64
	moved      int // which end moved last: −1 for Lo, 1 for Hi
}

// Next returns the place in the interval at which a straight line through the ends'
// values is 0, but no nearer to either end than margin, a share of the interval. Where
// the values do not say, being infinite, or not rising through 0, it is the middle.
func (b *Bracket) Next(margin float64) float64 {
	rise, wide := b.AtHi-b.AtLo, b.Hi-b.Lo
	if !(rise > 0) || math.IsInf(rise, 0) || b.AtLo > 0 || b.AtHi < 0 {
		return (b.Lo + b.Hi) / 2
	}
	x := b.Hi - float64(b.AtHi*wide)/rise
	return min(max(x, b.Lo+float64(margin*wide)), b.Hi-float64(margin*wide))
}

// Narrow takes the function's value at x for that of an end: of Lo where it is at most 0,
// else of Hi. The end that stays a second time counts half, so that neither stays for long.
func (b *Bracket) Narrow(x, value float64) {
	if value <= 0 {
		if b.moved < 0 {
			b.AtHi /= 2
		}
		b.Lo, b.AtLo, b.moved = x, value, -1
		return
	}
	if b.moved > 0 {
		b.AtLo /= 2
	}
	b.Hi, b.AtHi, b.moved = x, value, 1
}

package measure

import (
	"math"
	"math/big"
	"slices"
	"strings"
)

// Range is which values a quantity may have, Least to Most, and which it has in most
// work, From to To, in the inside unit: mm, mm/min, mm/s² or s. Where both ends of either
// are 0 nothing is known of it. It decides which units are suggested where none is written.
type Range struct{ Least, Most, From, To float64 }

// Length is ParseLength of a length with this range.
func (r Range) Length(s string) (Length, error) {
	l, _, e := r.parseLength(s)
	if e != nil {
		return Length{}, e
	}
	return l, nil
}

// Feed is ParseFeed of a feed with this range.
func (r Range) Feed(s string) (float64, error) { return feedForm.read(s, s, r) }

// Acceleration is ParseAcceleration of an acceleration with this range.
func (r Range) Acceleration(s string) (float64, error) {
	return accForm.read(strings.ReplaceAll(s, "s²", "s2"), s, r)
}

// Seconds is ParseSeconds of a time with this range.
func (r Range) Seconds(s string) (float64, error) { return timeForm.read(s, s, r) }

// Holds reports whether a value is one that the quantity may have.
func (r Range) Holds(v float64) bool {
	return r.Least == 0 && r.Most == 0 || v >= r.Least && v <= r.Most
}

// off returns how many times too large or too small a value is for most work: 1 within.
func (r Range) off(v float64) float64 {
	v = math.Abs(v)
	switch {
	case r.To == 0 || v == 0 || v >= r.From && v <= r.To:
		return 1
	case v < r.From:
		return r.From / v
	}
	return v / r.To
}

// unitChoice is a unit that may have been meant, with the least number that is usually
// written in it: nobody writes 0.01 m for a covering, or 1 cm for 10 mm in a workshop. metric ones
// have no fractions.
type unitChoice struct {
	name   string
	size   *big.Rat // one of it in the inside unit
	least  float64
	metric bool
}

const (
	// unusual is how much less likely a unit is that is not written so.
	unusual = 4.0
	// mostUnlikely is how much less likely than in most work a second suggestion may be.
	mostUnlikely = 2.0
	mostUnits    = 2
)

// unitHint suggests the units in which a number that has none may be meant, the likeliest
// first, or says how such a quantity is written where it would be none in any.
func (r Range) unitHint(n number, units []unitChoice, example string) string {
	type guess struct {
		text string
		off  float64
	}
	var guesses []guess
	for _, u := range units {
		v := toFloat(new(big.Rat).Mul(n.value, u.size))
		if !r.Holds(v) {
			continue
		}
		off := r.off(v)
		if math.Abs(toFloat(n.value)) < u.least || n.fraction && u.metric {
			off *= unusual
		}
		guesses = append(guesses, guess{n.text + " " + u.name, off})
	}
	slices.SortStableFunc(guesses, func(a, b guess) int {
		switch {
		case a.off < b.off:
			return -1
		case a.off > b.off:
			return 1
		}
		return 0
	})
	var texts []string
	for i, g := range guesses {
		if i == 0 || i < mostUnits && g.off < mostUnlikely {
			texts = append(texts, g.text)
		}
	}
	if len(texts) == 0 {
		return "write it with its unit, like " + example
	}
	return "write the unit: " + strings.Join(texts, " or ")
}

package measure

import (
	"fmt"
	"math"
	"strings"
)

// Said is a sentence, or a part of one, whose lengths are not written yet: whoever shows it
// brings the Ruler. As text, and in JSON, it is in millimetres.
type Said struct {
	format string
	args   []any
}

// Say returns a sentence: a format as fmt has it, %v for each Term and each Said in it.
func Say(format string, args ...any) Said { return Said{format, args} }

// inRuler is what a sentence has in it that the ruler writes.
type inRuler interface{ In(u Ruler) string }

// In returns the sentence with its lengths as the ruler writes them.
func (s Said) In(u Ruler) string {
	return s.write(func(a inRuler) string { return a.In(u) })
}

// write returns the sentence with what the ruler writes put as a text.
func (s Said) write(put func(inRuler) string) string {
	if len(s.args) == 0 {
		return s.format
	}
	args := make([]any, len(s.args))
	for i, a := range s.args {
		if one, ok := a.(inRuler); ok {
			a = put(one)
		}
		args[i] = a
	}
	return fmt.Sprintf(s.format, args...)
}

// String returns the sentence in millimetres.
func (s Said) String() string { return s.In(Ruler{}) }

// Texts are sentences as the ruler writes them.
func Texts(list []Said, u Ruler) (texts []string) {
	for _, s := range list {
		texts = append(texts, s.In(u))
	}
	return texts
}

// Empty reports whether nothing is said.
func (s Said) Empty() bool { return s.format == "" }

// MarshalText returns the sentence in millimetres, UnmarshalText takes one as it stands.
func (s Said) MarshalText() ([]byte, error)     { return []byte(s.String()), nil }
func (s *Said) UnmarshalText(text []byte) error { *s = Said{format: string(text)}; return nil }

// Term is a quantity in a sentence.
type Term struct {
	kind     kind
	a, b     float64
	decimals int  // of a millimetre
	against  bool // b is what it must not look like
}

type kind uint8

const (
	long   kind = iota // a length of at most so many decimals
	fixed              // a length of just so many
	bare               // no length
	enough             // a length rounded up
	most               // a length rounded down
	place
	about
	feed
	slope
	domes
	put
)

// MM is a length of so many mm, of at most three decimals; To one of at most so many; Micro one
// of just three, Tenth of one; Enough is rounded up, Most down. Put is one as a builder writes it
// into a file. Number is no length, and has just so many decimals.
func MM(mm float64) Term                   { return Term{kind: long, a: mm, decimals: 3} }
func To(mm float64, decimals int) Term     { return Term{kind: long, a: mm, decimals: decimals} }
func Micro(mm float64) Term                { return Term{kind: fixed, a: mm, decimals: 3} }
func Tenth(mm float64) Term                { return Term{kind: fixed, a: mm, decimals: 1} }
func Number(v float64, decimals int) Term  { return Term{kind: bare, a: v, decimals: decimals} }
func Put(mm float64) Term                  { return Term{kind: put, a: mm} }
func Enough(mm float64, decimals int) Term { return Term{kind: enough, a: mm, decimals: decimals} }
func Most(mm float64, decimals int) Term   { return Term{kind: most, a: mm, decimals: decimals} }

// At is a place, mm, and About one as it is looked for, with its signs; Rate a feed, mm/min; Tan
// a slope, mm a mm; SlowRate is a feed whose decimals matter.
func At(x, y float64) Term        { return Term{kind: place, a: x, b: y, decimals: 1} }
func About(x, y float64) Term     { return Term{kind: about, a: x, b: y, decimals: 1} }
func Rate(mmMin float64) Term     { return Term{kind: feed, a: mmMin} }
func SlowRate(mmMin float64) Term { return Term{kind: feed, a: mmMin, decimals: 2} }
func Tan(riseOver float64) Term   { return Term{kind: slope, a: riseOver, decimals: 4} }

// Domes are the radii, mm, between which a dome's lies; the upper may have no limit.
func Domes(low, high float64) Term { return Term{kind: domes, a: low, b: high, decimals: 2} }

// Nominal is a dome's radius as its builder named it, and what that is in the ruler's unit where
// it is another; one that was worked out is told as any dome's.
type Nominal struct{ Length }

// In writes the radius.
func (n Nominal) In(u Ruler) string {
	switch {
	case n.source == "" || n.sourceMM != n.MM:
		return u.Dome(n.MM)
	case u.Inches == n.Unit.Imperial():
		return n.Length.String()
	}
	return n.Length.String() + " (" + u.Dome(n.MM) + ")"
}

// String writes it as it is written beside millimetres.
func (n Nominal) String() string { return n.In(Ruler{}) }

// Against returns a single figure that stands in a sentence with what it is held against: where
// the two would look alike, and are not, it has as many more decimals as tell them apart.
func (t Term) Against(other float64) Term {
	t.b, t.against = other, true
	return t
}

// mostDecimals tell any two figures of a millimetre or less apart.
const mostDecimals = 17

// In writes the quantity.
func (t Term) In(u Ruler) string {
	other := t
	for other.a = t.b; t.against && t.a != t.b && t.decimals < mostDecimals && t.write(u) == other.write(u); {
		t.decimals, other.decimals = t.decimals+1, other.decimals+1
	}
	return t.write(u)
}

// write writes it with its decimals.
func (t Term) write(u Ruler) string {
	switch t.kind {
	case bare:
		return FormatFixed(t.a, t.decimals)
	case fixed:
		return u.Fixed(t.a, t.decimals) + " " + u.Unit()
	case enough:
		return u.Up(t.a, t.decimals)
	case most:
		return u.Down(t.a, t.decimals)
	case place:
		return u.Place(t.a, t.b)
	case about:
		return u.about(t.a, t.b)
	case feed:
		return u.Short(t.a, t.decimals) + " " + u.Unit() + "/min"
	case put:
		return u.Written(t.a)
	case slope:
		return u.Slope(t.a)
	case domes:
		low, unit, _ := strings.Cut(u.Dome(t.a), " ")
		if math.IsInf(t.b, 1) {
			return low + " to no limit " + unit
		}
		return low + " to " + u.Dome(t.b)
	}
	return u.Length(t.a, t.decimals)
}

// String writes it in millimetres.
func (t Term) String() string { return t.In(Ruler{}) }

package keys

import (
	"errors"
	"math"
	"slices"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// quantity is a kind of value that is one number: how it is read, its unit as bounds are told
// in it, and what the inside unit is in that of the bounds.
type quantity struct {
	read   func(*strict.Value) (float64, bool)
	parse  func(string) (float64, error)
	unit   string
	bounds float64
}

var quantities = map[Kind]quantity{
	Length: {func(v *strict.Value) (float64, bool) {
		l, ok := v.Length()
		return l.MM, ok
	}, func(s string) (float64, error) {
		l, err := measure.ParseLength(s)
		return l.MM, err
	}, "mm", 1},
	Feed:         {(*strict.Value).Feed, measure.ParseFeed, "mm/min", 1},
	Acceleration: {(*strict.Value).Acceleration, measure.ParseAcceleration, "mm/s2", 1},
	Time:         {(*strict.Value).Seconds, measure.ParseSeconds, "s", 1},
	Angle:        {(*strict.Value).Angle, measure.ParseAngle, "deg", 180 / math.Pi},
	Slope:        {(*strict.Value).Slope, measure.ParseSlope, "mm per 100 mm", 100},
	Number:       {(*strict.Value).Number, measure.ParseNumber, "", 1},
	Whole: {func(v *strict.Value) (float64, bool) {
		n, ok := v.Int()
		return float64(n), ok
	}, measure.ParseNumber, "", 1},
}

// quantity returns how the number under the key is read; false where it is none.
func (k Key) quantity() (q quantity, ok bool) {
	for _, kind := range k.Kinds {
		if q, ok = quantities[kind]; ok {
			return q, true
		}
	}
	return q, false
}

// standard returns the default in the inside unit; false where it is nothing or a rule in words.
func (k Key) standard() (float64, bool) {
	q, ok := k.quantity()
	if !ok || k.Default == "" {
		return 0, false
	}
	v, err := q.parse(k.Default)
	return v, err == nil
}

// between writes the bounds of the key: in the unit of a length that is written, else in theirs.
func (k Key) between(l measure.Length) string {
	q, ok := k.quantity()
	if ok && k.Is(Length) {
		return l.Between(k.Least, k.Most)
	}
	end := func(v float64) string { return strings.TrimSpace(measure.FormatShort(v, 4) + " " + q.unit) }
	return "from " + end(k.Least) + " to " + end(k.Most)
}

// number reads a value as its key says, in the inside unit, as a length too where it is one.
// label is what messages call it. It is false where there is none within the bounds.
func (r *Reader) number(v *strict.Value, label string, k Key) (n float64, l measure.Length, ok bool) {
	q, is := k.quantity()
	switch {
	case !is:
		panic("keys: no number stands under " + k.Path)
	case k.Is(Length):
		l, ok = v.Length()
		n = l.MM
	case k.Is(Slope) && k.Least < 0:
		n, ok = r.signedSlope(v, label)
	default:
		n, ok = q.read(v)
	}
	if !ok || k.Range().Holds(float64(n*q.bounds)) {
		return n, l, ok
	}
	written := ""
	switch {
	case k.Is(Length):
		written = l.String()
	case k.Counts != "":
		written = measure.Count(int(n), k.Counts)
	default:
		written, _ = v.Text()
	}
	r.beyond(v.Pos(), label, written, k, k.between(l))
	return 0, measure.Length{}, false
}

// beyond records that what is written lies out of the bounds of its key.
func (r *Reader) beyond(at strict.Pos, label, written string, k Key, between string) {
	message, hint := label+" of "+written+" is out of range", between
	if r.Bounds != nil {
		message, hint = label+" is out of range", r.Bounds(k)
	}
	if k.Beyond != "" {
		message = strings.Replace(k.Beyond, "%s", written, 1)
	}
	if k.Within != "" {
		hint = strings.Replace(k.Within, "%s", strings.TrimPrefix(between, "from "), 1)
		if k.Is(Slope) {
			hint = r.ruler().Like(hint)
		}
	}
	r.Doc.Fault(at, message, hint)
}

// signedSlope reads a slope that may lie below zero.
func (r *Reader) signedSlope(v *strict.Value, label string) (float64, bool) {
	text, ok := v.Text()
	if !ok {
		return 0, false
	}
	sign := 1.0
	if rest, minus := strings.CutPrefix(text, "-"); minus {
		text, sign = rest, -1
	}
	n, err := measure.ParseSlope(text)
	if err != nil {
		message := err.Error()
		if e, ok := errors.AsType[*measure.Error](err); ok {
			message = e.Message
		}
		r.Doc.Fault(v.Pos(), label+": "+message, r.ruler().Like("write it like 0.12 mm per 100 mm, or -0.12 mm per 100 mm"))
		return 0, false
	}
	return float64(sign * n), true
}

// stated reads the number under a key that is there.
func (s *Section) stated(name string, k Key) (float64, measure.Length, bool) {
	v, ok := s.Value(name)
	if !ok {
		return 0, measure.Length{}, false
	}
	label := name
	if s.r.Label != nil {
		label = s.r.Label(below(s.way, name))
	}
	return s.r.number(v, label, k)
}

// Length returns the length that is written under the key, within its bounds; false where
// there is none.
func (s *Section) Length(name string) (measure.Length, bool) {
	k := s.Key(name)
	if !s.Stands(name) {
		return measure.Length{}, false
	}
	_, l, ok := s.stated(name, k)
	return l, ok
}

// Quantity returns the number under the key, within its bounds, or the one that is taken for
// it: a length in mm, a feed in mm/min, an acceleration in mm/s², a time in s, an angle in
// radians, a slope in rise over length, a plain number as it is. It is false where there is
// none of these.
func (s *Section) Quantity(name string) (float64, bool) {
	k := s.Key(name)
	if s.Stands(name) {
		n, _, ok := s.stated(name, k)
		return n, ok
	}
	n, ok := k.standard()
	if ok && !k.Needed {
		s.Took(name, k.Default)
	}
	return n, ok
}

// Amount is Quantity that is 0 where there is none.
func (s *Section) Amount(name string) float64 {
	n, _ := s.Quantity(name)
	return n
}

// Count is Quantity of a whole number.
func (s *Section) Count(name string) (int, bool) {
	n, ok := s.Quantity(name)
	return int(n), ok
}

// Item returns a length that is an entry of the list under the key, within its bounds.
func (s *Section) Item(v *strict.Value, list string) (measure.Length, bool) {
	_, l, ok := s.r.number(v, v.Label(), s.Key(list+"/#"))
	return l, ok
}

// Word returns the word under the key, or the one that is taken for it; empty where there is
// none, or no such one.
func (s *Section) Word(name string) string {
	k := s.Key(name)
	if s.Stands(name) {
		word, _ := s.Map.Word(name, k.Words...)
		return word
	}
	if !slices.Contains(k.Words, k.Default) {
		return ""
	}
	s.Took(name, k.Default)
	return k.Default
}

// Text returns the text under the key; empty where there is none.
func (s *Section) Text(name string) string {
	if !s.Stands(name) {
		return ""
	}
	text, _ := s.Map.Text(name)
	return text
}

// TextOr is Text that takes the default of the catalogue.
func (s *Section) TextOr(name string) string {
	if k := s.Key(name); !s.Has(name) {
		s.Took(name, k.Default)
		return k.Default
	}
	return s.Text(name)
}

// YesNo returns whether yes stands under the key, or is taken for it.
func (s *Section) YesNo(name string) bool {
	if k := s.Key(name); !s.Has(name) {
		s.Took(name, k.Default)
		return k.Default == "yes"
	}
	yes, _ := s.Map.YesNo(name)
	return yes
}

package strict

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"dishwright/dish/measure"

	"gopkg.in/yaml.v3"
)

// MaxTextLength is the most characters that a Text may have.
const MaxTextLength = 200

// Value is a value of a map or a list, not yet asked what it is.
type Value struct {
	doc   *Document
	node  *yaml.Node
	label string // the key, or the key and the place in its list
	path  string // the way to it, keys and numbers of entries parted by /
	pos   Pos
}

// Pos returns where the value stands.
func (v *Value) Pos() Pos { return v.pos }

// Label returns the key that the value stands under and, in a list, its place.
func (v *Value) Label() string { return v.label }

// IsMap reports whether the value is a map.
func (v *Value) IsMap() bool { return v.node.Kind == yaml.MappingNode }

// IsList reports whether the value is a list.
func (v *Value) IsList() bool { return v.node.Kind == yaml.SequenceNode }

// IsWord reports whether the value is exactly this word, as in `radius: flat`. It
// records nothing.
func (v *Value) IsWord(word string) bool {
	return v.node.Kind == yaml.ScalarNode && v.node.Value == word
}

// fault records that the value is wrong.
func (v *Value) fault(message, hint string) {
	v.doc.add(v.pos, measure.Quote(v.label)+" "+message, hint)
}

// scalar returns the text of a single value; another kind is a fault.
func (v *Value) scalar(want string) (string, bool) {
	if v.doc.faulty[v.node] {
		return "", false
	}
	if v.node.Kind != yaml.ScalarNode || isNull(v.node) {
		v.fault("holds "+describe(v.node)+" where "+want+" is expected", "one value alone")
		return "", false
	}
	return v.node.Value, true
}

// parsed reads a single value with a parser of package measure.
func parsed[T any](v *Value, want string, parse func(string) (T, error)) (T, bool) {
	var none T
	s, ok := v.scalar(want)
	if !ok {
		return none, false
	}
	x, err := parse(s)
	if err == nil {
		return x, true
	}
	message, hint := err.Error(), ""
	var e *measure.Error
	if errors.As(err, &e) {
		message, hint = e.Message, e.Hint
	}
	v.doc.add(v.pos, measure.Shorten(v.label)+": "+message, hint)
	return none, false
}

// ranged reads a single value of which the document may know the range: what is wrong with
// it is then said with that in mind.
func ranged[T any](v *Value, want string, read func(measure.Range, string) (T, error)) (T, bool) {
	return parsed(v, want, func(s string) (T, error) {
		x, err := read(measure.Range{}, s)
		if err != nil && v.doc.ranges != nil && len(v.doc.faults) < maxKept { // no one reads the hints beyond
			return read(v.doc.ranges(v.path), s)
		}
		return x, err
	})
}

// Length reads the value as a length. A sign is read: the caller checks ranges.
func (v *Value) Length() (measure.Length, bool) {
	return ranged(v, "a length", measure.Range.Length)
}

// Feed reads the value as a feed, in mm/min.
func (v *Value) Feed() (float64, bool) { return ranged(v, "a feed", measure.Range.Feed) }

// Acceleration reads the value as an acceleration, in mm/s².
func (v *Value) Acceleration() (float64, bool) {
	return ranged(v, "an acceleration", measure.Range.Acceleration)
}

// Seconds reads the value as a time, in seconds.
func (v *Value) Seconds() (float64, bool) { return ranged(v, "a time", measure.Range.Seconds) }

// Angle reads the value as an angle, in radians.
func (v *Value) Angle() (float64, bool) { return parsed(v, "an angle", measure.ParseAngle) }

// Slope reads the value as a slope, in rise over length.
func (v *Value) Slope() (float64, bool) { return parsed(v, "a slope", measure.ParseSlope) }

// requirePlain refuses a value in quotes or over several lines.
func (v *Value) requirePlain(want string) bool {
	if v.node.Kind == yaml.ScalarNode && v.node.Style != 0 {
		v.fault("stands in quotes or over several lines, where "+want+" is expected", "write "+want+" without quotes")
		return false
	}
	return true
}

// Number reads the value as a number without a unit, in plain decimals.
func (v *Value) Number() (float64, bool) {
	if !v.requirePlain("a number") {
		return 0, false
	}
	return parsed(v, "a number", measure.ParseNumber)
}

// Int reads the value as a whole number of zero or more.
func (v *Value) Int() (int, bool) {
	if !v.requirePlain("a whole number") {
		return 0, false
	}
	return parsed(v, "a whole number", measure.ParseCount)
}

// Text reads the value as a text of one line that can be printed as it stands,
// of 1 to MaxTextLength characters. A bare number is a text too.
func (v *Value) Text() (string, bool) { return v.LongText(MaxTextLength) }

// LongText is Text of at most maxRunes characters.
func (v *Value) LongText(maxRunes int) (string, bool) {
	s, ok := v.scalar("a text")
	if !ok {
		return "", false
	}
	switch {
	case strings.TrimSpace(s) == "":
		v.fault("is an empty text", "write something, or leave the key out")
	case utf8.RuneCountInString(s) > maxRunes:
		v.fault(fmt.Sprintf("is longer than %d characters", maxRunes), "a short one says it better")
	case strings.TrimSpace(s) != s || strings.IndexFunc(s, isUnprintable) >= 0:
		v.fault("must be one line without blanks at its ends or characters that cannot be printed", "write it again in plain letters: "+measure.Quote(s)+" is what stands there")
	default:
		return s, true
	}
	return "", false
}

// Title reads the value as a heading of at most maxRunes characters: any text is made
// one line, without characters that cannot be printed, and cut off where
// it is longer. changed says whether it was not one already. Only a text with nothing
// left in it is a fault.
func (v *Value) Title(maxRunes int) (text string, changed, ok bool) {
	s, ok := v.scalar("a text")
	if !ok {
		return "", false, false
	}
	clean := strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case !unicode.IsPrint(r):
			return -1
		}
		return r
	}, s)
	clean = strings.Join(strings.Fields(clean), " ")
	if runes := []rune(clean); len(runes) > maxRunes {
		clean = strings.TrimSpace(string(runes[:maxRunes])) + "..."
	}
	if clean == "" {
		v.fault("is an empty text", "write something that can be printed, or leave the key out")
		return "", false, false
	}
	return clean, clean != s, true
}

// Word reads the value as one of the words allowed, exactly as they are given.
func (v *Value) Word(allowed ...string) (string, bool) {
	s, ok := v.scalar("a word")
	if !ok {
		return "", false
	}
	for _, a := range allowed {
		if s == a {
			return s, true
		}
	}
	v.fault("cannot be "+measure.Quote(s), Suggest(s, allowed, "it is one of"))
	return "", false
}

// YesNo reads the value as yes, no, true or false, written plainly.
func (v *Value) YesNo() (yes, ok bool) {
	if !v.requirePlain("yes or no") {
		return false, false
	}
	s, ok := v.scalar("yes or no")
	if !ok {
		return false, false
	}
	switch s {
	case "yes", "true":
		return true, true
	case "no", "false":
		return false, true
	}
	v.fault("must be yes or no, not "+measure.Quote(s), "write yes or no")
	return false, false
}

// Map reads the value as a map.
func (v *Value) Map() (*Map, bool) {
	if v.doc.faulty[v.node] {
		return nil, false
	}
	if v.node.Kind != yaml.MappingNode {
		v.fault("holds "+describe(v.node)+" where keys and values are expected", "write {key: value, key: value}, or one key a line, indented")
		return nil, false
	}
	return newMap(v.doc, v.node, v.label, v.path), true
}

// List reads the value as a list and returns its entries. Entries that were
// found faulty already are left out; the number of the others is kept in their
// labels.
func (v *Value) List() ([]*Value, bool) {
	if v.doc.faulty[v.node] {
		return nil, false
	}
	if v.node.Kind != yaml.SequenceNode {
		v.fault("holds "+describe(v.node)+" where a list is expected", "write [first, second], or one entry a line that begins with -")
		return nil, false
	}
	list := make([]*Value, 0, len(v.node.Content))
	for i, n := range v.node.Content {
		if v.doc.faulty[n] {
			continue
		}
		list = append(list, &Value{v.doc, n, fmt.Sprintf("%s, entry %d", v.label, i+1), below(v.path, strconv.Itoa(i+1)), v.doc.valuePos(n, v.pos)})
	}
	return list, true
}

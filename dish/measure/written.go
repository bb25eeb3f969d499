package measure

import (
	"regexp"
	"strings"
)

// lengths matches the lengths, slopes and feeds of a text, in millimetres or inches.
var lengths = regexp.MustCompile(`(?:\d+ )?\d+/\d+ in\b|\d+(?:\.\d+)? (?:mm|in)\b(?: per 100 mm\b|/min\b)?`)

// Written is a text of a catalogue, in which lengths are written out, as a sentence that can be
// told in another unit: "shank 12.7 mm, ramp 3 deg".
func Written(text string) Said {
	plain := func(part string) string { return strings.ReplaceAll(part, "%", "%%") }
	format, args, at := "", []any{}, 0
	for _, m := range lengths.FindAllStringIndex(text, -1) {
		if t, ok := termOf(text[m[0]:m[1]]); ok {
			format += plain(text[at:m[0]]) + "%v"
			args, at = append(args, t), m[1]
		}
	}
	if len(args) == 0 {
		return Say(text)
	}
	return Say(format+plain(text[at:]), args...)
}

// written is a quantity as it stands in a text: so it is told in its own unit too.
type written struct {
	text string
	Term
}

func (w written) In(u Ruler) string {
	if strings.Contains(w.text, " "+u.Unit()) {
		return w.text
	}
	return w.Term.In(u)
}

// termOf reads one quantity; false where it is none.
func termOf(text string) (w written, ok bool) {
	if l, err := ParseLength(text); err == nil {
		return written{text, To(l.MM, 3)}, true
	}
	if v, err := ParseSlope(text); err == nil {
		return written{text, Tan(v)}, true
	}
	v, err := ParseFeed(text)
	return written{text, Rate(v)}, err == nil
}

package measure

import (
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Open is a text in a sentence that what it tells of leaves open, with no sign in it that ends a
// sentence or a clause; of Figures the numbers alone are open, as those of every Term are, and
// of Near they are, but for one in their last digit.
type (
	Open    string
	Figures string
	Near    struct {
		Text     string
		Decimals int
	}
)

// In writes the text.
func (o Open) In(Ruler) string    { return string(o) }
func (f Figures) In(Ruler) string { return string(f) }
func (n Near) In(Ruler) string    { return n.Text }

// OneOf is a part of a sentence of which it is open which of several it is.
type OneOf struct {
	one  Said
	list []Said
}

// Either is one part, where one of the others might stand as well.
func Either(one Said, others ...Said) OneOf { return OneOf{one, others} }

// In writes the part.
func (o OneOf) In(u Ruler) string { return o.one.In(u) }

// Sentence makes a clause, which begins with a word of its own, a sentence.
func (s Said) Sentence() Said {
	return Said{strings.ToUpper(s.format[:1]) + s.format[1:] + ".", s.args}
}

// Form returns what matches a sentence, whatever stands in it for what is open. Plain is how a
// text is written that it is held against.
func (s Said) Form(u Ruler, plain func(string) string) *regexp.Regexp {
	form := closed.ReplaceAllStringFunc(s.open(u), func(t string) string { return regexp.QuoteMeta(plain(t)) })
	return regexp.MustCompile(openForms.Replace(form))
}

// Near reports whether a text that the sentence's form matches has the numbers that are to be
// near those of the sentence: of one with a Near in it, all.
func (s Said) Near(u Ruler, text string) bool {
	for _, a := range s.args {
		n, ok := a.(Near)
		if !ok {
			continue
		}
		own, have := digits.FindAllString(s.In(u), -1), digits.FindAllString(text, -1)
		if len(own) != len(have) {
			return false
		}
		for i := range own {
			want, err := strconv.ParseFloat(own[i], 64)
			v, errV := strconv.ParseFloat(have[i], 64)
			if err != nil || errV != nil || math.Abs(v-want) > 1.5*math.Pow10(-n.Decimals) { // between one and two
				return false
			}
		}
	}
	return true
}

// Brief is the sentence with dots for what is open.
func (s Said) Brief(u Ruler) string { return marks.ReplaceAllString(s.open(u), "...") }

// What stands for what is open: a number, a text, and one of several.
const openNumber, openText, openFirst, openOr, openLast = "\x01", "\x02", "\x03", "\x04", "\x05"

var (
	digits    = regexp.MustCompile(`-?\d+(?:\.\d+)?`)
	closed    = regexp.MustCompile(`[^\x01-\x05]+`)
	openForms = strings.NewReplacer(openNumber, `-?[\d.]+`, openText, `[^.:?!]*?`, openFirst, "(?:", openOr, "|", openLast, ")")
	marks     = regexp.MustCompile(`[\x01\x02]|\x03[^\x05]*\x05`)
)

// open writes the sentence with marks for what is open; whatever writes itself is open to its numbers.
func (s Said) open(u Ruler) string {
	return s.write(func(a inRuler) string {
		switch a := a.(type) {
		case Said:
			return a.open(u)
		case Open:
			return openText
		case OneOf:
			forms := make([]string, 0, len(a.list)+1)
			for _, one := range append(a.list[:len(a.list):len(a.list)], a.one) {
				forms = append(forms, one.open(u))
			}
			return openFirst + strings.Join(forms, openOr) + openLast
		}
		return digits.ReplaceAllString(a.In(u), openNumber)
	})
}

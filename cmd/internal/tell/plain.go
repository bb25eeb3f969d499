package tell

import (
	"strings"
	"unicode"
)

// Plain makes a text that someone else wrote fit to be shown on one line: what steers
// a terminal or turns the direction of writing is left out, runs of blanks and line
// breaks become one blank, and of more than most characters the rest is cut off, with
// a mark. Letters of every language stay.
func Plain(s string, most int) string {
	var b strings.Builder
	n, blank := 0, false
	for _, r := range s {
		switch {
		case unicode.IsSpace(r):
			blank = n > 0
			continue
		case r == unicode.ReplacementChar, unicode.Is(unicode.C, r), r == 0x034F, r >= 0xFE00 && r <= 0xFE0F:
			continue // controls, directions, surrogates, private and unassigned ones, joiners
		}
		if blank {
			b.WriteByte(' ')
			n, blank = n+1, false
		}
		if n >= most {
			b.WriteString("...")
			break
		}
		b.WriteRune(r)
		n++
	}
	return b.String()
}

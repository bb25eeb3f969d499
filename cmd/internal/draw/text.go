package draw

import (
	"strings"
	"unicode/utf8"
)

// Text returns a sentence broken between its words so that no line is wider than
// o says, each ended; a word that is wider alone is cut.
func Text(s string, o Options) string {
	var b strings.Builder
	width, used := o.width(), 0
	for _, word := range strings.Fields(s) {
		n := utf8.RuneCountInString(word)
		if used > 0 && used+1+n > width {
			b.WriteByte('\n')
			used = 0
		}
		if used > 0 {
			b.WriteByte(' ')
			used++
		}
		for _, r := range word {
			if used == width {
				b.WriteByte('\n')
				used = 0
			}
			b.WriteRune(r)
			used++
		}
	}
	b.WriteByte('\n')
	return b.String()
}

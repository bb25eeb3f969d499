package measure

import (
	"fmt"
	"strconv"
	"unicode/utf8"
)

// Error says what is wrong with a text and, in Hint, what would be right. Both
// are single lines without a full stop; Hint may be empty.
type Error struct{ Message, Hint string }

// Error returns the message and, on a line of its own, the hint.
func (e *Error) Error() string {
	if e.Hint == "" {
		return e.Message
	}
	return e.Message + "\n  hint: " + e.Hint
}

// newError returns an Error with a formatted message.
func newError(hint, format string, args ...any) *Error {
	return &Error{Message: fmt.Sprintf(format, args...), Hint: hint}
}

// Quote returns s in double quotes with everything that cannot be printed
// escaped, cut to a length that fits a message.
func Quote(s string) string {
	const maxRunes = 60 // enough for a name or a length, not for a paragraph
	n := 0
	for i := range s {
		if n == maxRunes {
			return strconv.Quote(s[:i] + "...")
		}
		n++
	}
	return strconv.Quote(s)
}

// normalize returns s without outer blanks, in lower case, with runs of blanks made
// one. It refuses what is empty, too long or not plain ASCII: look-alike digits
// and letters are not the ones they seem to be.
func normalize(s, example string) (string, *Error) {
	hint := "write it like " + example
	if len(s) > MaxText && utf8.RuneCountInString(s) > MaxText {
		return "", newError(hint, "%s is longer than %d characters", Quote(s), MaxText)
	}
	out := make([]byte, 0, len(s))
	for i, r := range s {
		switch {
		case r == utf8.RuneError || r < ' ' && r != '\t' || r == 0x7f:
			return "", newError(hint, "%s holds a character that cannot be printed", Quote(s))
		case r > 0x7f:
			return "", newError(hint+", with the plain digits, letters and signs of the keyboard",
				"%s holds %q (%U), which only looks like a plain character", Quote(s), r, r)
		case r == ' ' || r == '\t':
			if len(out) > 0 && out[len(out)-1] != ' ' {
				out = append(out, ' ')
			}
		case r >= 'A' && r <= 'Z':
			out = append(out, byte(r)+'a'-'A')
		default:
			out = append(out, s[i])
		}
	}
	if n := len(out); n > 0 && out[n-1] == ' ' {
		out = out[:n-1]
	}
	if len(out) == 0 {
		return "", newError(hint, "there is nothing to read")
	}
	return string(out), nil
}

// Shorten returns s as Quote does, without the quotes.
func Shorten(s string) string {
	q := Quote(s)
	return q[1 : len(q)-1]
}

package tell

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf16"
)

// hidden reports a character that does not show as itself: what steers a terminal or turns
// the direction of writing, what joins or changes its neighbours, what stands for bytes that
// are no text, and what has no meaning outside one program.
func hidden(r rune) bool {
	return r == unicode.ReplacementChar || unicode.Is(unicode.C, r) || r == 0x034F || r >= 0xFE00 && r <= 0xFE0F || r == 0x2028 || r == 0x2029
}

// Plain makes a text that someone else wrote fit to be shown on one line: hidden
// characters are left out, runs of blanks and line
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
		case hidden(r):
			continue
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

// Clean makes a text fit for a terminal that may hold a name of any making, such as a
// file's: of a hidden character it shows that there is one. Lines and tabs become blanks.
func Clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return ' '
		case hidden(r):
			return '?'
		}
		return r
	}, s)
}

// Shown returns a writer of text for a person, line by line: what goes through it to w is clean.
func Shown(w io.Writer) io.Writer { return shown{w} }

type shown struct{ to io.Writer }

func (s shown) Write(p []byte) (int, error) {
	lines := bytes.Split(p, []byte("\n"))
	for i, l := range lines {
		lines[i] = []byte(Clean(string(l)))
	}
	if _, err := s.to.Write(bytes.Join(lines, []byte("\n"))); err != nil {
		return 0, err
	}
	return len(p), nil
}

// escaped writes hidden characters of JSON as its own escapes, which mean the same.
func escaped(data []byte) []byte {
	if bytes.IndexFunc(data, func(r rune) bool { return hidden(r) && r != '\n' }) < 0 {
		return data
	}
	var b bytes.Buffer
	for _, r := range string(data) {
		switch {
		case !hidden(r) || r == '\n':
			b.WriteRune(r)
		case r > 0xFFFF:
			hi, lo := utf16.EncodeRune(r)
			fmt.Fprintf(&b, `\u%04x\u%04x`, hi, lo)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.Bytes()
}

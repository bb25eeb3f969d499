package post

import (
	"bytes"
	"fmt"
	"io"
	"strconv"

	"dishwright/dish/measure"
)

// lexMaxLine is the most characters of a line, its end aside (3.3).
const lexMaxLine = 256

// lexLines cuts a text into lines. It never holds more than its buffer.
type lexLines struct {
	r          io.Reader
	most       int    // characters of a line, its end aside
	buf        []byte // one byte longer than what is read into it, for the last line's end
	start, end int    // the text not yet cut
	err        error  // what ended the reading
	number     int    // of the last line cut, from 1
	width      int    // of that line, its end aside
}

// init begins a text of lines of so many characters at most; 0 asks for no less than the
// language has.
func (l *lexLines) init(r io.Reader, most int) {
	l.r, l.buf, l.most = r, make([]byte, 64<<10), lexMaxLine
	if most > 0 {
		l.most = min(l.most, most)
	}
}

// next returns the next line, with a newline as its last byte whatever ended it
// in the text (LF, CR LF or the text's end). It is valid up to the next call.
// After the last line the error is io.EOF; a line that is too long is a
// *ReadError.
func (l *lexLines) next() ([]byte, error) {
	for {
		text := l.buf[l.start:min(l.end, l.start+lexMaxLine+2)]
		n := bytes.IndexByte(text, '\n')
		switch {
		case n >= 0:
			l.start += n + 1
		case len(text) == lexMaxLine+2:
			n = len(text)
		case l.err == nil:
			l.fill()
			continue
		case l.err != io.EOF:
			return nil, fmt.Errorf("reading after line %d: %w", l.number, l.err)
		case len(text) == 0:
			return nil, io.EOF
		default:
			n = len(text)
			l.start += n
			text = l.buf[l.start-n : l.start+1]
		}
		l.number++
		if n > 0 && text[n-1] == '\r' {
			n--
		}
		if n-lineNumber(text[:n]) > l.most || n > lexMaxLine {
			who := "the machine takes"
			if l.most == lexMaxLine {
				who = "the language has (3.3)"
			}
			return nil, &ReadError{Line: l.number, Column: l.most + 1,
				Message: measure.Say("the line is longer than %d characters, the most that %s", l.most, who),
				Hint:    "break the line, or shorten its comment"}
		}
		l.width = n
		text[n] = '\n'
		return text[:n+1], nil
	}
}

// lineNumber returns how many characters a line's number takes, with the blanks about it. It
// tells the machine nothing, and who numbers the lines of a text has it done by an editor: it
// does not count against what a machine takes.
func lineNumber(line []byte) int {
	word := bytes.TrimLeft(line, " \t")
	if len(word) == 0 || word[0] != 'N' && word[0] != 'n' {
		return 0
	}
	return len(line) - len(bytes.TrimLeft(word[1:], " \t0123456789"))
}

// fill moves what is left to the front and reads more behind it, or sets err.
func (l *lexLines) fill() {
	l.end = copy(l.buf, l.buf[l.start:l.end])
	l.start = 0
	// A reader may give nothing without an error now and then; one that does so
	// a hundred times on end is broken.
	for range 100 {
		n, err := l.r.Read(l.buf[l.end : len(l.buf)-1])
		if n < 0 || n > len(l.buf)-1-l.end {
			panic("post: broken io.Reader")
		}
		l.end += n
		l.err = err
		if n > 0 || err != nil {
			return
		}
	}
	l.err = io.ErrNoProgress
}

// lexSkip returns the first place at or after p that holds no blank (3.3: blanks
// outside comments mean nothing).
func lexSkip(line []byte, p int) int {
	for line[p] == ' ' || line[p] == '\t' {
		p++
	}
	return p
}

// lexWord reports whether the capitals of word stand at p, in either case and
// with any blanks between them, and returns the place after them.
func lexWord(line []byte, p int, word string) (int, bool) {
	for i := range len(word) {
		p = lexSkip(line, p)
		if lexUpper(line[p]) != word[i] {
			return p, false
		}
		p++
	}
	return p, true
}

// lexUpper returns the capital of an ASCII letter, any other byte as it is.
func lexUpper(c byte) byte {
	if 'a' <= c && c <= 'z' {
		return c - ('a' - 'A')
	}
	return c
}

func lexIsLetter(c byte) bool { c |= 0x20; return 'a' <= c && c <= 'z' }

// lexPowers are the powers of ten that a float64 holds exactly.
var lexPowers = [...]float64{1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// lexNumber reads an explicit number (3.3.2.1): a sign or none, digits with at
// most one point among them. It returns the nearest float64, never negative
// zero, and the place after the number and its blanks; ok is false where there
// is no digit.
func lexNumber(line []byte, p int) (v float64, next int, ok bool) {
	first := p
	negative := false
	switch line[p] {
	case '-':
		negative = true
		p++
	case '+':
		p++
	}
	var mantissa uint64
	digits, point := 0, -1 // point: how many digits stand before it
	long := false
scan:
	for ; ; p++ {
		c := line[p]
		switch {
		case c-'0' <= 9:
			digits++
			if mantissa < 1e17 {
				mantissa = mantissa*10 + uint64(c-'0')
			} else {
				long = true
			}
		case c == '.' && point < 0:
			point = digits
		case c == ' ' || c == '\t':
		default:
			break scan
		}
	}
	if digits == 0 {
		return 0, p, false
	}
	places := 0
	if point >= 0 {
		places = digits - point
	}
	// Both numbers are exact, so that the quotient is the nearest (IEEE 754).
	if !long && mantissa < 1<<53 && places < len(lexPowers) {
		v = float64(mantissa) / lexPowers[places]
	} else {
		v = lexLongNumber(line[first:p])
	}
	if negative {
		v = 0 - v
	}
	return v, p, true
}

// lexLongNumber returns the size of a number that lexNumber has passed over and
// found too long for plain division. At most 256 digits do not overflow.
func lexLongNumber(text []byte) float64 {
	var clean [lexMaxLine + 1]byte
	n := 0
	for _, c := range text {
		if c == '.' || c-'0' <= 9 {
			clean[n] = c
			n++
		}
	}
	v, err := strconv.ParseFloat(string(clean[:n]), 64)
	if err != nil {
		panic("post: a scanned number does not parse")
	}
	return v
}

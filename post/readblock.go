package post

import (
	"bytes"
	"fmt"
	"math"
	"math/bits"
	"strings"

	"dishwright/cam/path"
)

// readerBlock holds the words of one line. Only the entries whose bit is set in
// a mask are valid, so that a line begins by clearing the masks alone.
type readerBlock struct {
	have   uint32 // bit c-'A' for each letter but G, M and N
	value  [26]float64
	column [26]int

	gs, ms   uint32 // bit for each modal group
	g, m     [modalGroups]int
	gAt, mAt [modalGroups]int // columns
	mCount   int

	comments   []readerComment
	pathMode   bool // the line is the accepted path mode line
	pathModeAt int
}

// readerComment is what stands within parentheses, and their column.
type readerComment struct {
	text   []byte
	column int
}

const readerAxisMask = 1<<('X'-'A') | 1<<('Y'-'A') | 1<<('Z'-'A')

func (b *readerBlock) has(letter byte) bool { return b.have&(1<<(letter-'A')) != 0 }

func (b *readerBlock) word(letter byte) (value float64, column int) {
	return b.value[letter-'A'], b.column[letter-'A']
}

// code returns the G code of a group, in tenths; ok is false where the line has
// none.
func (b *readerBlock) code(group int) (tenths int, ok bool) {
	return b.g[group], b.gs&(1<<group) != 0
}

// readerMaxValue is more than any word of a program may say: no machine has a
// coordinate, a feed, a speed or a dwell near it. It keeps infinities out.
const readerMaxValue = 1e9

// lexUnknown reports whether c has no place in the language outside comments.
func lexUnknown(c byte) bool {
	switch {
	case lexIsLetter(c), '0' <= c && c <= '9':
		return false
	}
	return strings.IndexByte(" \t\n()[]#=+-*/.%", c) < 0
}

// unknownCharacter returns the fault of a character that has no place in the language.
func (x *reader) unknownCharacter(line []byte, p int) error {
	c := line[p]
	switch {
	case x.lines.number == 1 && p == 0 && strings.HasPrefix(string(line), "\xef\xbb\xbf"):
		return x.fail(p+1, "save the file as plain ASCII text, without a byte-order mark",
			"the file begins with a byte-order mark, which many controllers take for a bad character")
	case c == ';':
		return x.fail(p+1, "write comments in parentheses", "the language has no comment after a semicolon (3.3.4)")
	case c >= 0x80:
		return x.fail(p+1, "save the file as plain ASCII text", "the byte %#02x is not ASCII", c)
	case c < ' ' || c == 0x7f:
		return x.fail(p+1, "save the file as plain ASCII text", "there is a control character, %#02x", c)
	}
	return x.fail(p+1, "", "%q has no place here", c)
}

// parse reads the line whose first character stands at p into the block, and
// carries out its parameter settings.
func (x *reader) parse(line []byte, p int) error {
	b := &x.block
	b.have, b.gs, b.ms, b.mCount, b.comments, b.pathMode = 0, 0, 0, 0, b.comments[:0], false
	x.settings = x.settings[:0]
	var err error
	switch line[p] {
	case '/':
		return x.fail(p+1, "take the slash away, or the line",
			"whether a line behind a slash runs depends on a switch at the machine (3.3)")
	case 'N', 'n':
		if p, err = x.lineNumber(line, p); err != nil {
			return err
		}
	}
	if q, ok := x.matchPathMode(line, p); ok {
		b.pathMode, b.pathModeAt = true, p+1
		p = q
	}
	for {
		c := line[p]
		switch {
		case lexIsLetter(c):
			p, err = x.readWord(line, p)
		case c == ' ' || c == '\t':
			p++
		case c == '\n':
			// A setting takes effect after all values of its line are found (3.3.3).
			for _, s := range x.settings {
				x.params.value[s.index], x.params.known[s.index] = s.value, true
			}
			return nil
		case c == '(':
			p, err = x.readComment(line, p)
		case c == '#':
			p, err = x.setting(line, p)
		case lexUnknown(c):
			return x.unknownCharacter(line, p)
		default:
			return x.misplacedCharacter(line, p)
		}
		if err != nil {
			return err
		}
	}
}

// misplacedCharacter returns the fault of a character of the language in a wrong place.
func (x *reader) misplacedCharacter(line []byte, p int) error {
	switch line[p] {
	case ')':
		return x.fail(p+1, "", "no comment is open here")
	case '.':
		return x.fail(p+1, "", "a number has one point at most (3.3.2.1)")
	case '/':
		return x.fail(p+1, "divide in brackets: [1/2]", "a slash may stand at the line's beginning or in brackets only (3.3)")
	}
	return x.fail(p+1, "", "a word should stand here, not %q (3.3)", line[p])
}

// lineNumber passes over an N word: up to five digits (3.3.1).
func (x *reader) lineNumber(line []byte, p int) (next int, err error) {
	at := p
	p = lexSkip(line, p+1)
	digits := 0
	for ; ; p = lexSkip(line, p+1) {
		if line[p]-'0' > 9 {
			break
		}
		digits++
	}
	if digits == 0 || line[p] == '.' {
		return p, x.fail(at+1, "", "a line number is a whole number without a sign (3.3.1)")
	}
	if digits > 5 {
		return p, x.fail(at+1, "number the lines in 0 to 99999, in any order", "a line number has five digits at most (3.3.1)")
	}
	return p, nil
}

// readWord reads a letter and its value (3.3.2).
func (x *reader) readWord(line []byte, p int) (next int, err error) {
	at := p
	c := lexUpper(line[p])
	switch c {
	case 'E', 'O', 'U', 'V', 'W':
		if c == 'E' && x.block.have|x.block.gs|x.block.ms != 0 {
			return p, x.fail(at+1, "write the number out in digits", "a number has no exponent in this language (3.3.2.1)")
		}
		return p, x.fail(at+1, "", "%c is not a word of the language (E.3)", c)
	case 'N':
		return p, x.fail(at+1, "", "a line number may stand at the line's beginning only, once (3.3)")
	}
	p = lexSkip(line, p+1)
	v, next, ok := lexNumber(line, p)
	if !ok {
		if v, next, err = x.readValue(line, p); err != nil {
			return next, err
		}
	}
	if !(math.Abs(v) <= readerMaxValue) {
		return next, x.fail(at+1, "", "%c%g is out of all range", c, v)
	}
	switch c {
	case 'G':
		return next, x.gWord(v, at+1)
	case 'M':
		return next, x.mWord(v, at+1)
	case 'A', 'B', 'C':
		return next, x.fail(at+1, "", "the turning axis %c is not modelled", c)
	}
	b := &x.block
	bit := uint32(1) << (c - 'A')
	if b.have&bit != 0 {
		return next, x.fail(at+1, "", "%c stands twice on the line (3.3.5)", c)
	}
	b.have |= bit
	b.value[c-'A'] = v
	b.column[c-'A'] = at + 1
	return next, nil
}

// gWord takes a G word into the block.
func (x *reader) gWord(v float64, column int) error {
	tenths := math.Round(v * 10)
	group, refused := -1, ""
	if math.Abs(float64(v*10)-tenths) <= readerNearInteger {
		group, refused = modalG(int(tenths))
	}
	b := &x.block
	switch {
	case group < 0:
		return x.fail(column, "", "G%s is not a code of the language (3.5)", readerCode(v))
	case refused != "":
		return x.fail(column, "", "G%s %s", readerCode(v), refused)
	case b.gs&(1<<group) != 0:
		return x.fail(column, "", "G%s and G%s are of one group and may not share a line (3.3.5)",
			readerCode(float64(b.g[group])/10), readerCode(v))
	}
	b.gs |= 1 << group
	b.g[group], b.gAt[group] = int(tenths), column
	return nil
}

// mWord takes an M word into the block.
func (x *reader) mWord(v float64, column int) error {
	code := math.Round(v)
	group, refused := -1, ""
	if math.Abs(v-code) <= readerNearInteger {
		group, refused = modalM(int(code))
	}
	b := &x.block
	b.mCount++
	switch {
	case group < 0:
		return x.fail(column, "", "M%s is not a code of the language (3.6)", readerCode(v))
	case refused != "":
		return x.fail(column, "", "M%s %s", readerCode(v), refused)
	case b.mCount > 4:
		return x.fail(column, "use a second line", "a line may have four M words (3.3.5)")
	case b.ms&(1<<group) != 0:
		return x.fail(column, "use a second line", "M%d and M%s are of one group and may not share a line (3.3.5)", b.m[group], readerCode(v))
	}
	b.ms |= 1 << group
	b.m[group], b.mAt[group] = int(code), column
	return nil
}

// readerCode writes the number of a code as people do.
func readerCode(v float64) string { return fmt.Sprintf("%g", v) }

// readComment takes the comment whose ( stands at p.
func (x *reader) readComment(line []byte, p int) (next int, err error) {
	at := p
	for p++; ; p++ {
		switch c := line[p]; {
		case c == ')':
			x.block.comments = append(x.block.comments, readerComment{line[at+1 : p], at + 1})
			return p + 1, nil
		case c == '(':
			return p, x.fail(p+1, "", "a comment may not hold another (3.3.4)")
		case c == '\n':
			return p, x.fail(at+1, "close it with )", "this comment is not closed on its line (3.3.4)")
		case (c < ' ' && c != '\t') || c >= 0x7f:
			return p, x.unknownCharacter(line, p)
		}
	}
}

// commentEvent returns what a comment says: to the operator where it begins
// with MSG and a comma (3.3.4), to a reader else.
func commentEvent(text []byte) (path.EventKind, string) {
	if p := afterMSG(text); p >= 0 {
		return path.Message, strings.Trim(string(text[p:]), " \t")
	}
	return path.Comment, strings.Trim(string(text), " \t")
}

// afterMSG returns the place after "MSG,", -1 where the text does not begin so.
func afterMSG(text []byte) int {
	const mark = "MSG,"
	n := 0
	for p, c := range text {
		switch {
		case c == ' ' || c == '\t':
		case lexUpper(c) != mark[n]:
			return -1
		default:
			if n++; n == len(mark) {
				return p + 1
			}
		}
	}
	return -1
}

// setting reads "#1 = 2" at p (3.3.3).
func (x *reader) setting(line []byte, p int) (next int, err error) {
	index, p, err := x.parameterIndex(line, p+1)
	if err != nil {
		return p, err
	}
	if line[p] != '=' {
		return p, x.fail(p+1, "", "an = should stand here: a parameter alone does nothing (3.3.3)")
	}
	v, p, err := x.readValue(line, p+1)
	if err != nil {
		return p, err
	}
	x.settings = append(x.settings, readerSetting{index, v})
	return p, nil
}

// readerPathMode checks the line that Machine.PathMode accepts, and takes
// its blanks away. As its other words are not executed it may hold nothing that
// could move, stop or measure: G61, G61.1 or G64 comes first, without another G
// word or a letter that the report gives to axes, arcs, feed, speed, cutters,
// offsets and M codes.
func readerPathMode(s string) (string, error) {
	s = strings.Trim(s, " \t")
	if s == "" {
		return "", nil
	}
	for i := 1; i < len(s); i++ {
		c := lexUpper(s[i])
		if c < ' ' || c > '~' || strings.IndexByte("ABCDFGHIJKMNOSTUVWXYZ#[](/%;", c) >= 0 {
			return "", fmt.Errorf("the path mode %q is not the line of a path mode: it may not hold %q", s, s[i])
		}
	}
	group := -1
	if v, _, ok := lexNumber([]byte(s[1:]+"\n"), 0); ok && lexUpper(s[0]) == 'G' && len(s) <= lexMaxLine && v < 100 {
		group, _ = modalG(int(math.Round(v * 10)))
	}
	if group != modalPath {
		return "", fmt.Errorf("the path mode %q is not the line of a path mode: it begins with G61, G61.1 or G64", s)
	}
	return s, nil
}

// matchPathMode reports whether the line is the accepted one, and returns the
// place after it.
func (x *reader) matchPathMode(line []byte, p int) (next int, ok bool) {
	if len(x.pathMode) == 0 || !bytes.HasPrefix(line[p:], x.pathMode) {
		return p, false
	}
	p = lexSkip(line, p+len(x.pathMode))
	q := p
	if line[q] == '(' {
		for q++; line[q] != ')'; q++ {
			if line[q] == '\n' {
				return p, false
			}
		}
		q = lexSkip(line, q+1)
	}
	return p, line[q] == '\n'
}

// firstAxis returns the column of the first axis word of the line.
func (b *readerBlock) firstAxis() int {
	column := 0
	for m := b.have & readerAxisMask; m != 0; m &= m - 1 {
		if c := b.column[bits.TrailingZeros32(m)]; column == 0 || c < column {
			column = c
		}
	}
	return column
}

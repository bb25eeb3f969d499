package strict

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// parserMessages puts what the parser says into words for the bench. Where after is
// set, the parser counts its lines from 0.
var parserMessages = []struct {
	has           string
	after         bool
	message, hint string
}{
	{"mapping values are not allowed", false, "there is a colon where no value can begin", "write one key a line with a blank after its colon; put a text that holds a colon in quotes"},
	{"could not find expected ':'", false, "a key has no colon, or a line stands too far left", "write key: value, with a blank after the colon"},
	{"found character that cannot start any token", false, "there is a character that nothing can begin with", "indent with blanks, not tabs; put a text that begins with a sign in quotes"},
	{"found a tab character", false, tabMessage, tabHint},
	{"block sequence entries are not allowed", false, "a list begins where it cannot", "begin every entry with - on a line of its own, or write [first, second]"},
	{"mapping keys are not allowed", false, "a key begins where it cannot", "write key: value"},
	{"did not find expected key", true, "this is neither a key nor the end of what began before", "check the indentation, the quotes and the brackets here and above"},
	{"did not find expected ',' or", true, "a comma or a closing bracket is missing", "close every [ and { and put commas between"},
	{"did not find expected '-' indicator", true, "the entries of a list do not stand in one column", "begin every entry of a list with - in the same column"},
	{"did not find expected node content", true, "a value is missing, or a bracket or comma too many", "check the brackets and commas"},
	{"did not find expected <document start>", true, "there is text behind the end of the document", "begin all keys of the file in one column, and remove a line ... or ---"},
	{"found incompatible YAML document", true, "directives such as %YAML are not used here", "remove the line"},
	{"found undefined tag handle", true, "tags are not used here", "remove the tag; put a text that begins with ! in quotes"},
	{"found unknown directive name", false, "directives are not used here", "remove the line that begins with %"},
	{"found unexpected end of stream", false, "the text ends inside a quote", "close the quote"},
	{"exceeded max depth", false, "lists and maps stand too deep in one another", fmt.Sprintf("at most %d deep", MaxDepth)},
	{"unknown anchor", false, "aliases are not used here", "write the value out again"},
	{"found unknown escape character", false, "a text in double quotes holds a \\ that begins no escape", "put the text in single quotes, where \\ is a plain sign, or write \\\\"},
	{"found invalid Unicode character escape code", false, "a text in double quotes names a character that does not exist by itself", "write the character itself, or its own code: \\U0001F600 and not the two halves of it"},
	{"did not find expected hexdecimal number", false, "a code of a character in double quotes lacks digits", "write \\x41, \\u0041 or \\U00000041, or put the text in single quotes, where \\ is a plain sign"},
	{"found unexpected document indicator", false, "a line --- or ... stands inside a text in quotes", "close the quote above it"},
	{"found an indentation indicator equal to 0", false, "a text over several lines is indented by nothing", "indent it by two blanks under its key"},
	{"did not find expected comment or line break", false, "there is something behind | or >, where a text over several lines begins", "put a text that begins with | or > in quotes"},
	{"directive", false, "directives are not used here", "remove the line that begins with %"},
	{"did not find expected alphabetic or numeric character", false, "anchors and aliases are not used here", "put a text that begins with & or * in quotes"},
}

// What is said of a tab.
const tabMessage, tabHint = "there is a tab in the indentation", "indent with blanks"

// notYAML is the hint where nothing more is known.
const notYAML = "write key: value, one a line; check the quotes, the brackets and the indentation here and above"

var (
	syntaxLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)
	anchorName = regexp.MustCompile(`^unknown anchor '(.*)' referenced$`)
)

// preamble returns how many bytes and lines of comments and blank lines stand
// before the first key.
func preamble(data []byte) (size, lines int) {
	for rest := data; ; lines++ {
		line, after, found := bytes.Cut(rest, []byte("\n"))
		if trimmed := bytes.TrimSpace(line); !found || len(trimmed) > 0 && trimmed[0] != '#' && string(trimmed) != "---" {
			return size, lines
		}
		size += len(line) + 1
		rest = after
	}
}

// addSyntax records what the parser complains of, and where. The parser names
// the line on which the innermost list or map begins, unless that is the first
// line of the text, and only then the line of the fault itself: so it is asked
// about the text without its preamble.
func (d *Document) addSyntax(data []byte) {
	size, skipped := preamble(data)
	var err error
	for dec := yaml.NewDecoder(bytes.NewReader(data[size:])); err == nil; {
		_, err = decode(dec)
	}
	if errors.Is(err, io.EOF) { // the preamble itself is at fault
		d.add(Pos{Line: 1, Column: 1}, "this is not YAML", notYAML)
		return
	}
	place, message, hint := Pos{Line: 1 + skipped, Column: 1}, "this is not YAML", notYAML
	m := syntaxLine.FindStringSubmatch(strings.SplitN(err.Error(), "\n", 2)[0])
	if m != nil {
		n, _ := strconv.Atoi(m[1]) // 0 where no line is named: the first
		message += ": " + m[2]
		for _, w := range parserMessages {
			if strings.Contains(m[2], w.has) {
				message, hint = w.message, w.hint
				if w.after {
					n++
				}
				break
			}
		}
		place.Line = min(max(n, 1)+skipped, lastLine(data))
		if a := anchorName.FindStringSubmatch(m[2]); a != nil {
			place = firstPos(data, "*"+a[1])
		}
	}
	if place.Column == 1 {
		place.Line = firstFailing(data, place.Line, err)
		if line, column := tabbed(data, place.Line); line == place.Line || message == tabMessage && line > 0 {
			place, message, hint = Pos{Line: line, Column: column}, tabMessage, tabHint
		}
	}
	d.add(place, message, hint)
}

// tabbed returns where the first tab stands in the indentation of a line from one on; 0 where
// there is none.
func tabbed(data []byte, from int) (line, column int) {
	for i, text := range bytes.Split(data, []byte("\n")) {
		indent := text[:len(text)-len(bytes.TrimLeft(text, " \t"))]
		if tab := bytes.IndexByte(indent, '\t'); tab >= 0 && i+1 >= from && len(indent) < len(text) {
			return i + 1, tab + 1
		}
	}
	return 0, 0
}

// mostSought is the longest text, bytes, in which a fault's own line is looked for, which takes
// some readings: far more than a job has.
const mostSought = 100_000

// firstFailing returns the line with which the parser first complains so of a text, where it
// names the one that a list or map began on. Where that cannot be told it is the line from.
func firstFailing(data []byte, from int, complaint error) int {
	says := func(err error) string {
		if m := syntaxLine.FindStringSubmatch(err.Error()); m != nil {
			return m[2]
		}
		return err.Error()
	}
	ends := []int{0} // of the lines
	for i, c := range data {
		if c == '\n' {
			ends = append(ends, i+1)
		}
	}
	if ends[len(ends)-1] < len(data) {
		ends = append(ends, len(data))
	}
	fails := func(lines int) bool {
		_, err := decode(yaml.NewDecoder(bytes.NewReader(data[:ends[lines]])))
		return err != nil && says(err) == says(complaint)
	}
	last := len(ends) - 1
	if len(data) > mostSought || from >= last || fails(from) {
		return from
	}
	n := from + 1 + sort.Search(last-from, func(k int) bool { return fails(from + 1 + k) })
	if n > last || fails(n-1) {
		return from
	}
	return n
}

// lastLine returns the number of the last line that holds anything.
func lastLine(data []byte) int {
	return bytes.Count(bytes.TrimRight(data, "\r\n"), []byte("\n")) + 1
}

// firstPos returns where the text stands first, or 1:1.
func firstPos(data []byte, text string) Pos {
	i := max(0, bytes.Index(data, []byte(text)))
	start := bytes.LastIndexByte(data[:i], '\n') + 1
	return Pos{Line: bytes.Count(data[:i], []byte("\n")) + 1, Column: utf8.RuneCount(data[start:i]) + 1}
}

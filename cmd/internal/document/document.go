// Package document holds what is told to a person, made once and printed wherever it is shown:
// paragraphs, facts, tables, notes, steps and drawings. In come such parts in their order; out
// go lines of text that fit a width, or pages of HTML. What the parts tell of it does not know.
package document

import (
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// Document is parts, one after another.
type Document []Part

// Part is one thing that is told.
type Part interface {
	// lines are those of a text so many characters wide, longer only for a word that is.
	lines(width int) []string
	html(w *web)
}

// Text writes the document in lines of so many characters.
func (d Document) Text(w io.Writer, width int) {
	for _, line := range d.lines(width) {
		fmt.Fprintln(w, line)
	}
}

func (d Document) lines(width int) (list []string) {
	for _, p := range d {
		list = append(list, p.lines(width)...)
	}
	return list
}

// Space is an empty line.
type Space struct{}

func (Space) lines(int) []string { return []string{""} }

// Heading stands above what follows it, an empty line before it.
type Heading string

func (h Heading) lines(width int) []string { return append([]string{""}, Wrap(string(h), width)...) }

// Paragraph is running text. Lead stands before its first line; the later ones are indented
// by as much.
type Paragraph struct{ Lead, Text string }

func (p Paragraph) lines(width int) (list []string) {
	indent := utf8.RuneCountInString(p.Lead)
	lead := p.Lead
	for _, line := range Wrap(p.Text, width-indent) {
		list, lead = append(list, lead+line), strings.Repeat(" ", indent)
	}
	return list
}

// Fact is a figure under its label; a line feed in its text begins a new line.
type Fact struct{ Label, Text string }

// Facts stand below each other, their texts in one column.
type Facts []Fact

// Add adds a figure.
func (f *Facts) Add(label, format string, args ...any) {
	*f = append(*f, Fact{label, fmt.Sprintf(format, args...)})
}

// margin is how far facts and notes are indented, gap how far a label keeps from its text.
const margin, gap = 2, 2

func (f Facts) lines(width int) (list []string) {
	widest := 0
	for _, one := range f {
		widest = max(widest, utf8.RuneCountInString(one.Label))
	}
	for _, one := range f {
		lead := fmt.Sprintf("%*s%-*s", margin, "", widest+gap, one.Label)
		for _, text := range strings.Split(one.Text, "\n") {
			list = append(list, Paragraph{lead, text}.lines(width)...)
			lead = strings.Repeat(" ", utf8.RuneCountInString(lead))
		}
	}
	return list
}

// Table has its columns under their heads, to the right, or to the left where they hold words;
// what a row has beyond them is a remark. On paper there is room to Write in its rows.
type Table struct {
	Caption string
	Head    []string
	Rows    [][]string
	Words   bool
	Write   bool
}

// between is how far the columns of a table keep from each other at least.
const between = 3

func (t Table) lines(width int) (list []string) {
	if t.Caption != "" {
		list = Heading(t.Caption).lines(width)
	}
	wide := make([]int, len(t.Head))
	for _, row := range append([][]string{t.Head}, t.Rows...) {
		for i := range wide {
			wide[i] = max(wide[i], utf8.RuneCountInString(row[i]))
		}
	}
	for _, row := range append([][]string{t.Head}, t.Rows...) {
		var b strings.Builder
		for i, text := range row {
			switch {
			case i >= len(wide):
				b.WriteString("  " + text)
			case t.Words:
				fmt.Fprintf(&b, "%*s%-*s", between, "", wide[i], text)
			default:
				fmt.Fprintf(&b, "%*s", between+wide[i], text)
			}
		}
		list = append(list, strings.TrimRight(b.String(), " "))
	}
	return list
}

// List is sentences, one below the other.
type List []string

func (l List) lines(width int) (list []string) {
	for _, one := range l {
		list = append(list, Paragraph{fmt.Sprintf("%*s- ", margin, ""), one}.lines(width)...)
	}
	return list
}

// Caution is what nobody may overlook.
type Caution string

func (c Caution) lines(width int) []string { return Wrap(string(c), width) }

// Step is one thing to do, and what that needs care for.
type Step struct{ Text, Care string }

// Steps are ticked off one by one.
type Steps []Step

func (s Steps) lines(width int) (list []string) {
	for _, one := range s {
		list = append(list, Paragraph{"[ ] ", strings.TrimSpace(one.Text + " " + one.Care)}.lines(width)...)
	}
	return list
}

// Figure is a drawing under its caption; a text has the caption alone.
type Figure struct {
	Caption string
	Drawing
}

// Drawing writes itself as an SVG element; id tells it from others on the page. Its size is in
// units of its own.
type Drawing interface {
	SVG(id string, alone bool) []byte
	Size() (width, height float64)
}

func (f Figure) lines(width int) []string { return Wrap("("+f.Caption+")", width) }

// Columns stand beside each other on paper, below each other elsewhere.
type Columns []Document

func (c Columns) lines(width int) (list []string) {
	for _, d := range c {
		list = append(list, d.lines(width)...)
	}
	return list
}

// Note is something worth knowing and what to do about it. Of what can hurt someone the Whole
// message is told.
type Note struct {
	Message, Hint string
	Whole         bool
}

// Notes are numbered. Brief ones take two lines: one for the message and one for the hint, cut
// where a clause ends; beside a whole message the hint has what is left of its last line.
type Notes struct {
	List  []Note
	Brief bool
}

// leastHint is the least room in which a hint is begun.
const leastHint = 24

func (n Notes) lines(width int) (list []string) {
	for i, one := range n.List {
		lead, hint := fmt.Sprintf("%*s%d. ", margin, "", i+1), fmt.Sprintf("%*shint: ", margin+3, "")
		room := width - utf8.RuneCountInString(lead)
		if n.Brief {
			if !one.Whole {
				one.Message = Gist(one.Message, room)
			}
			told := Wrap(one.Message, room)
			one.Hint = Gist(one.Hint, width-len(hint))
			if last := len(told) - 1; last > 0 {
				if left := room - utf8.RuneCountInString(told[last]+"; "); left >= leastHint {
					one.Message += "; " + Gist("hint: "+n.List[i].Hint, left)
				}
				one.Hint = ""
			}
		}
		list = append(list, Paragraph{lead, one.Message}.lines(width)...)
		if one.Hint != "" {
			list = append(list, Paragraph{hint, one.Hint}.lines(width)...)
		}
	}
	return list
}

// Wrap breaks a text into lines, at least one, that are no longer than the width but for a
// word that is. A figure and its unit are one word.
func Wrap(text string, width int) (lines []string) {
	line := ""
	for i, word := range words(text) {
		switch {
		case i == 0:
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width:
			lines, line = append(lines, line), word
		default:
			line += " " + word
		}
	}
	return append(lines, line)
}

// units and a fraction are what stands behind a figure and is not parted from it.
var (
	units    = []string{"mm", "in", "ft", "m", "min", "rpm", "deg", "N"}
	fraction = regexp.MustCompile(`^\d+/\d+`)
)

// words are those of a text, each figure with its fraction and its unit.
func words(text string) (list []string) {
	for _, word := range strings.Fields(text) {
		behind := slices.Contains(units, strings.TrimRight(word, ".,:;)")) || fraction.MatchString(word)
		if n := len(list); n > 0 && behind && strings.ContainsAny(list[n-1][len(list[n-1])-1:], "0123456789") {
			list[n-1] += " " + word
			continue
		}
		list = append(list, word)
	}
	return list
}

// goesOn stands where a text was cut.
const goesOn = " ..."

// Gist is as much of a text as fits a width, cut at the end of its last clause there, or where
// that would leave less than half the width of its last word, with a mark that it goes on.
func Gist(text string, width int) string {
	if utf8.RuneCountInString(text) <= width {
		return text
	}
	line := Wrap(text, width-len(goesOn))[0]
	if at := strings.LastIndexAny(line, ",;:("); at >= width/2 {
		line = line[:at]
	}
	return strings.TrimRight(line, " ,;:(") + goesOn
}

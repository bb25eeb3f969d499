package document

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Text returns a document as it is printed.
func text(width int, d ...Part) string {
	var b strings.Builder
	Document(d).Text(&b, width)
	return b.String()
}

// Labels stand in one column, texts in another, wrapped there.
func TestFacts(t *testing.T) {
	require.Equal(t, `
parts
  depth  5.788 mm, and a
         word
         second line
  time   13 min
  1. a message that
     wraps
     hint: do it
`, text(24, Heading("parts"), Facts{{"depth", "5.788 mm, and a word\nsecond line"}, {"time", "13 min"}}, Notes{List: []Note{{"a message that wraps", "do it", false}}}))
}

// A brief note takes two lines at most, and says where it goes on; the whole is told of what can
// hurt someone.
func TestBriefNotes(t *testing.T) {
	long := Note{"NO HOLD-DOWNS ARE STATED: the air lap runs 5 mm above", "state each screw, or let nothing stand above the blank", false}
	require.Equal(t, `  1. NO HOLD-DOWNS ARE STATED ...
     hint: state each screw ...
`, text(40, Notes{[]Note{long}, true}))
	long.Whole = true
	require.Equal(t, `  1. NO HOLD-DOWNS ARE STATED: the air
     lap runs 5 mm above
`, text(40, Notes{[]Note{long}, true}), "no room is left for the hint")
	require.Equal(t, `  1. NO HOLD-DOWNS ARE STATED: the air lap
     runs 5 mm above; hint: state each ...
`, text(46, Notes{[]Note{long}, true}))
	require.Equal(t, "a, b, c and a long tail of ...", Gist("a, b, c and a long tail of words without end", 30), "too little would be left")
	require.Equal(t, "fits", Gist("fits", 4))
}

func TestAFigureKeepsItsUnit(t *testing.T) {
	require.Equal(t, []string{"at X1", "Y2 mm, in", "5 min."}, Wrap("at X1 Y2 mm, in 5 min.", 9))
	require.Equal(t, []string{"of 5 in,", "1 1/2 in", "wide"}, Wrap("of 5 in, 1 1/2 in wide", 11))
}

// drawing stands for one of a figure.
type drawing string

func (d drawing) SVG(id string, _ bool) []byte {
	return []byte("<svg id=\"" + id + "\">" + string(d) + "</svg>\n")
}

func (d drawing) Size() (width, height float64) { return 120, 60 }

// everyPart is a document of one of each part, each holding the text.
func everyPart(text string) Document {
	return Document{Heading(text), Paragraph{"lead: ", text}, Caution(text), Facts{{text, text}}, Table{text, []string{text}, [][]string{{text}}, true, false}, Notes{[]Note{{text, text, false}}, false},
		List{text}, Steps{{text, text}}, Figure{text, drawing("")}, Space{}, Columns{Document{Paragraph{"", text}}, Document{List{text}}}}
}

// Every text of every part comes out of the HTML as it went in, whatever it holds, and the page
// reads as XML.
func TestHTMLIsHarmless(t *testing.T) {
	const text = `<b onclick="x">&amp; 'q'</b>`
	page := Sheet{text, text, []Page{{text, everyPart(text)}, {text, nil}}}.HTML()
	seen, d := 0, xml.NewDecoder(bytes.NewReader(page))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if e, ok := token.(xml.StartElement); ok {
			for _, a := range e.Attr {
				require.NotEqual(t, "onclick", a.Name.Local)
			}
		}
		if c, ok := token.(xml.CharData); ok {
			seen += strings.Count(string(c), text)
		}
	}
	require.Equal(t, 1+2*3+16, seen, "the title, two heads of pages, and the parts")
	require.NotContains(t, string(page), "onclick=\"")
}

// What is new as text: boxes to tick, sentences below each other, a drawing's caption.
func TestPartsAsText(t *testing.T) {
	require.Equal(t, `  - one
[ ] do it with
    care
(plan)
   a      b
   long   c
`, text(16, List{"one"}, Steps{{"do it", "with care"}}, Columns{{Figure{"plan", drawing("")}}, {Table{"", []string{"a", "b"}, [][]string{{"long", "c"}}, true, false}}}))
}

// No line is wider than asked for, and no word is lost, whatever is told.
func TestEverythingFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[a-zé,;:(]{1,9}`), 1, 40).Draw(t, "words")
		width := rapid.IntRange(24, 100).Draw(t, "width")
		whole := strings.Join(words, " ")
		for _, p := range []Part{Paragraph{"  1. ", whole}, Facts{{"label", whole}}, Notes{[]Note{{whole, whole, false}}, false}, Notes{[]Note{{whole, whole, false}}, true}} {
			lines := p.lines(width)
			for _, l := range lines {
				require.LessOrEqual(t, utf8.RuneCountInString(l), width)
			}
			if n, brief := p.(Notes); brief && n.Brief {
				require.LessOrEqual(t, len(lines), 2)
				continue
			}
			require.Subset(t, strings.Fields(strings.Join(lines, " ")), words)
		}
	})
}

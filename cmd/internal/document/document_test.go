package document

import (
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
`, text(24, Heading("parts"), Facts{{"depth", "5.788 mm, and a word\nsecond line"}, {"time", "13 min"}}, Notes{List: []Note{{"a message that wraps", "do it"}}}))
}

// A brief note takes two lines at most, and says where it goes on.
func TestBriefNotes(t *testing.T) {
	long := Note{"NO HOLD-DOWNS ARE STATED: the air lap runs 5 mm above", "state each screw, or let nothing stand above the blank"}
	require.Equal(t, `  1. NO HOLD-DOWNS ARE STATED ...
     hint: state each screw ...
`, text(40, Notes{[]Note{long}, true}))
	require.Equal(t, "a, b, c and a long tail of ...", Gist("a, b, c and a long tail of words without end", 30), "too little would be left")
	require.Equal(t, "fits", Gist("fits", 4))
}

// No line is wider than asked for, and no word is lost, whatever is told.
func TestEverythingFits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOfN(rapid.StringMatching(`[a-zé,;:(]{1,9}`), 1, 40).Draw(t, "words")
		width := rapid.IntRange(24, 100).Draw(t, "width")
		whole := strings.Join(words, " ")
		for _, p := range []Part{Paragraph{"  1. ", whole}, Facts{{"label", whole}}, Notes{[]Note{{whole, whole}}, false}, Notes{[]Note{{whole, whole}}, true}} {
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

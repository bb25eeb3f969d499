package document

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Groups stand in their order, each whole on one page, and no page holds more than has room on
// it but one of a group that is longer by itself.
func TestFill(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		group := rapid.Custom(func(t *rapid.T) Document {
			words := strings.Repeat("word ", rapid.IntRange(1, 900).Draw(t, "words"))
			part := rapid.SampledFrom([]Part{Paragraph{"", words}, Steps{{words, ""}}, List{words, words}, Facts{{"label", words}}, Caution(words), Heading("head"), Figure{"plan", drawing("")},
				Columns{{Paragraph{"", words}}, {Figure{"plan", drawing("")}}}}).Draw(t, "part")
			return Document{part}
		})
		groups := rapid.SliceOfN(group, 1, 12).Draw(t, "groups")
		var laid Document
		for i, p := range Fill("title", groups) {
			require.Equal(t, map[bool]string{true: "title", false: "title, continued"}[i == 0], p.Title)
			require.NotEmpty(t, p.Parts)
			require.True(t, len(p.Parts) == 1 || p.Parts.tall(pageWidth) <= pageLines)
			laid = append(laid, p.Parts...)
		}
		var all Document
		for _, g := range groups {
			all = append(all, g...)
		}
		require.Equal(t, all, laid)
	})
}

// A drawing in a column is half as wide, and so half as high; columns are as high as the highest.
func TestColumnsOnPaper(t *testing.T) {
	whole, half := onPaper(Figure{"plan", drawing("")}, pageWidth), Columns{{Figure{"plan", drawing("")}}, {Paragraph{"", "a word"}}}
	require.InDelta(t, tallestMM/lineMM, whole-1, 1e-9, "no higher than a drawing may be")
	require.InDelta(t, 1+paperMM/4/lineMM, onPaper(half, pageWidth)-after, 1)
}

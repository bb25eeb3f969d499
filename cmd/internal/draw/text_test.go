package draw

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestText(t *testing.T) {
	o := Options{Width: 40}
	require.Equal(t, "\n", Text("", o))
	require.Equal(t, "one two\n", Text("one  two ", o))
	require.Equal(t, strings.Repeat("x", 40)+"\nxx yy\n", Text(strings.Repeat("x", 42)+" yy", o))
	require.Equal(t, "spiral(2 layers of 0.230 mm, steps up to\n19.0 mm)\n", Text("spiral(2 layers of 0.230 mm, steps up to 19.0 mm)", o))
}

// TestTextKeepsWords: no line is too wide, and nothing but blanks is lost.
func TestTextKeepsWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`([a-zé]{1,90} ?){0,8}`).Draw(t, "text")
		o := Options{Width: rapid.IntRange(Narrowest, 100).Draw(t, "width")}
		got := Text(s, o)
		for _, line := range strings.Split(got, "\n") {
			if utf8.RuneCountInString(line) > o.Width {
				t.Fatalf("%q", line)
			}
		}
		bare := func(s string) string { return strings.Join(strings.Fields(s), "") }
		if bare(got) != bare(s) {
			t.Fatalf("%q became %q", s, got)
		}
	})
}

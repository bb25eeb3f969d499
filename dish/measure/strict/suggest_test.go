package strict

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestNearest(t *testing.T) {
	keys := []string{"radius", "hold downs", "zero", "zero error", "top", "x", "y"}
	for word, want := range map[string]string{
		"radus": "radius", "Radius": "radius", "raduis": "radius", "hold_downs": "hold downs", "hold-down": "hold downs",
		"zer error": "zero error", "tpo": "top", "X": "x", "z": "", "colour": "", "": "", "diameter": "",
		strings.Repeat("x", 1000): "",
	} {
		got, ok := Nearest(word, keys)
		require.Equal(t, want, got, word)
		require.Equal(t, want != "", ok)
	}
	require.Equal(t, "the keys here are a1, b2", Suggest("colour", []string{"a1", "b2"}, "the keys here are"))
	require.Empty(t, Suggest("colour", nil, "the keys here are"))
}

func TestSuggestKey(t *testing.T) {
	keys := []string{"flute", "flute length", "flutes"}
	require.Equal(t, `write a colon after the key: "flute length: 12 mm"`, SuggestKey("flute length 12 mm", keys, "one of"))
	require.Equal(t, `write a colon after the key: "flutes: 2"`, SuggestKey("flutes 2", keys, "one of"))
	require.Equal(t, `did you mean "flutes"?`, SuggestKey("fluets", keys, "one of"))
	few := []string{"radius", "zero"}
	require.Equal(t, Suggest("colour", few, "the keys here are"), SuggestKey("colour", few, "the keys here are"))
	many := strings.Fields("radius diameter covering length width curve spans swing plate radii height engrave land fractions name form floor support machine zero scallop pattern")
	require.Equal(t, `did you mean "radius"?`, SuggestKey("raduis", many, "the keys here are"))
	for _, word := range []string{"colour", "", strings.Repeat("x", 1_000_000)} {
		hint := SuggestKey(word, many, "the keys here are")
		require.LessOrEqual(t, len(hint), mostHint)
		require.True(t, strings.HasPrefix(hint, "the nearest of 22 keys are "), hint)
	}
	require.Contains(t, SuggestKey("colour", many, "the keys here are"), " floor, ")
}

// slow is the distance by its definition: every way to spend the last letters.
func slow(a, b []rune) int {
	switch {
	case len(a) == 0:
		return len(b)
	case len(b) == 0:
		return len(a)
	}
	x, y := a[len(a)-1], b[len(b)-1]
	cost := 1
	if x == y {
		cost = 0
	}
	d := min(slow(a[:len(a)-1], b)+1, slow(a, b[:len(b)-1])+1, slow(a[:len(a)-1], b[:len(b)-1])+cost)
	if len(a) > 1 && len(b) > 1 && x == b[len(b)-2] && y == a[len(a)-2] {
		d = min(d, slow(a[:len(a)-2], b[:len(b)-2])+1)
	}
	return d
}

func TestDistance(t *testing.T) {
	word := rapid.StringMatching(`[abc]{0,6}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b := []rune(word.Draw(t, "a")), []rune(word.Draw(t, "b"))
		require.Equal(t, slow(a, b), editDistance(a, b))
		require.Equal(t, editDistance(a, b), editDistance(b, a))
	})
}

package measure

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A sentence's form takes it whatever stands in it for what is open, and nothing else.
func TestForm(t *testing.T) {
	none, worn := Said{}, Say("It is worn by %v.", MM(0.2))
	s := Say("%v: about %v at %v (%s), %v%v", Open("a name"), MM(25.4), Figures("X1 Y-2 mm"), "set", Either(Say("roughing"), Say("finishing")), Either(none, worn))
	require.Equal(t, "a name: about 25.4 mm at X1 Y-2 mm (set), roughing", s.String())
	require.Equal(t, "...: about ... in at X... Y... mm (set), ......", s.Brief(Ruler{Inches: true}))
	form := s.Form(Ruler{}, func(text string) string { return text })
	for text, takes := range map[string]bool{
		s.String(): true,
		"b: about -3 mm at X.5 Y7 mm (set), finishingIt is worn by 9 mm.": true,
		"b: about -3 in at X.5 Y7 mm (set), finishing":                    false,
		"b: about 3 mm at X1 Y1 mm (set), skim":                           false,
		"b: about 3 mm at X1 Y1 mm (reset), roughing":                     false,
		"Do it. b: about 3 mm at X1 Y1 mm (set), roughing":                false,
	} {
		require.Equal(t, takes, form.FindString(text) == text, text)
	}
	require.Equal(t, "No corner is rounded.", Say("no corner is rounded").Sentence().String())
}

// Numbers that are to be near may be off by one in their last digit.
func TestNear(t *testing.T) {
	s := Say("%v", Near{"over X -1.5 to 20 mm", 2})
	for text, near := range map[string]bool{
		"over X -1.5 to 20 mm":   true,
		"over X -1.49 to 20.01":  true,
		"over X -1.48 to 20 mm":  false,
		"over X -1.5 to 19 mm":   false,
		"over X -1.5 mm":         false,
		"over X 1.5 to 20 mm":    false,
		"over X -1.5 to 20 to 3": false,
	} {
		require.Equal(t, near, s.Near(Ruler{}, text), text)
	}
	require.True(t, Say("%v", Figures("2 mm")).Near(Ruler{}, "3 mm"))
}

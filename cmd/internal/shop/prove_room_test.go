package shop

import (
	"strings"
	"testing"

	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"

	"github.com/stretchr/testify/require"
)

// The programs of a set are bounded together, in moves and in text, however they are
// shared out; what is too much is no finding but an error that tells the limit.
func TestProgramsAreBoundedTogether(t *testing.T) {
	const text = "G21 G90 G94\nG0 Z5\nG1 X1 F100\nX2\nX3\nM2\n" // 4 moves and the end
	left := &room{things: 12, bytes: 5 * len(text)}
	for k := range 3 {
		_, _, err := read(&work.Work{}, Source{Name: "p", Text: strings.NewReader(text)}, left)
		require.Equal(t, k == 2, err != nil, "%d: %v", k, err)
		if k == 2 {
			require.ErrorIs(t, err, errTooLong)
			require.Nil(t, asFinding("p", err))
			require.Equal(t, tell.Wrong, tell.Code(tooMuch(err)))
			require.ErrorContains(t, err, "more than 1600000 moves")
		}
	}
	left = &room{things: 100, bytes: 2*len(text) - 1}
	_, _, err := read(&work.Work{}, Source{Name: "p", Text: strings.NewReader(text)}, left)
	require.NoError(t, err)
	_, _, err = read(&work.Work{}, Source{Name: "p", Text: strings.NewReader(text)}, left)
	require.ErrorIs(t, err, errTooLarge)
	var b strings.Builder
	tell.Print(&b, tooMuch(proof.TooMuchWorkError{Looks: proof.MaxLooks}))
	require.Contains(t, b.String(), "more than 1200 million looks")
	require.Contains(t, b.String(), "hint: ")
	require.Equal(t, tell.Wrong, tell.Code(tooMuch(proof.TooMuchWorkError{Looks: 1})))
}

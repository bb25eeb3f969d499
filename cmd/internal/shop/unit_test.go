package shop_test

import (
	"context"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/samples"
)

// A program speaks in the unit of its words, and so does the list of what is done before it:
// sizes that a builder wrote in another stay as they are written, and those in feet are.
func TestProgramsSpeakInTheirOwnUnit(t *testing.T) {
	t.Parallel()
	for sample, stray := range map[string]*regexp.Regexp{
		"ukulele-inches": regexp.MustCompile(`\d mm\b`),
		"hand-board":     regexp.MustCompile(`\d in\b`),
		"dish-in-turns":  regexp.MustCompile(`\d in\b`),
	} {
		text, ok := samples.Get(sample)
		require.True(t, ok)
		j, err := job.Load(sample+".yaml", text)
		require.NoError(t, err)
		r, err := shop.Run(context.Background(), j)
		require.NoError(t, err)
		said := map[string][]byte{"order.txt": r.OrderText()}
		for _, p := range r.Texts {
			said[p.Name] = p.Bytes
		}
		for name, text := range said {
			require.NotRegexp(t, stray, string(text), "%s of %s", name, sample)
		}
	}
}

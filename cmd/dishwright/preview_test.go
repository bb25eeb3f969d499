package main

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/samples"
)

// What a preview shows of a sample by default fits a screen of 80 columns and 40 lines, in
// ASCII, with no number that is none; one view alone does too. Without LONG it is seen with
// some samples, and with the pattern that is planned the quickest.
func TestPreviewFits(t *testing.T) {
	for _, name := range samples.Names() {
		if slices.Contains(samples.Rims(), name) || !chance.Long() && !slices.Contains([]string{"arc-gauges", "hand-board", "ukulele-inches", "dish-in-turns"}, name) {
			continue
		}
		calls := [][]string{{"preview", name}}
		if chance.Long() {
			calls = append(calls, []string{"preview", name, "--passes"}, []string{"preview", name, "--stage", "1"})
		} else if name != "arc-gauges" {
			calls[0] = append(calls[0], "--set", "pattern=raster")
		}
		for _, call := range calls {
			var out, notes bytes.Buffer
			require.Equal(t, 0, runHere(call, nil, &out, &notes), "%v: %s", call, notes.String())
			require.LessOrEqual(t, strings.Count(out.String(), "\n"), 40, "%v\n%s", call, out.String())
			require.NotContains(t, out.String(), "NaN")
			for line := range strings.Lines(out.String()) {
				require.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(line, "\n")), 80, "%v: %q", call, line)
				for _, r := range strings.TrimSuffix(line, "\n") {
					require.True(t, r >= ' ' && r < 0x7f, "%v: %q", call, line)
				}
			}
			require.Contains(t, out.String(), "passes, ", "%v", call)
		}
	}
}

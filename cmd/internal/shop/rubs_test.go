package shop

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What prove says of rubbing is what make does: nothing of a text as it was made where make
// warns of nothing, and of one whose feeds were brought far down under the least chip load that
// it rubs.
func TestRubbingIsToldOfATextToo(t *testing.T) {
	for _, name := range []string{"plain", "hand router", "skim", "inches"} {
		r := headMade(t, name)
		for _, k := range []struct {
			share float64
			rubs  bool
		}{{1, false}, {0.8, false}, {0.2, true}} {
			var sources []Source
			for _, text := range r.Texts {
				slower := regexp.MustCompile(`(?m)^(G[123].*F)([\d.]+)`).ReplaceAllStringFunc(string(text.Bytes), func(line string) string {
					at := strings.LastIndex(line, "F") + 1
					v, err := strconv.ParseFloat(line[at:], 64)
					require.NoError(t, err)
					return line[:at] + fmt.Sprintf("%.1f", v*k.share)
				})
				sources = append(sources, Source{Name: text.Name, Text: strings.NewReader(slower)})
			}
			v, _, err := Prove(r.Job, sources)
			require.NoError(t, err)
			require.Equal(t, k.rubs, len(v.Warnings) > 0, "%s at %v: %v", name, k.share, v.Warnings)
			for _, w := range v.Warnings {
				require.Equal(t, "rubbing", w.Kind)
				require.LessOrEqual(t, len(w.Hint.String()), 150)
			}
			require.True(t, v.Proven, "%s at %v: %v", name, k.share, v.Findings)
		}
	}
}

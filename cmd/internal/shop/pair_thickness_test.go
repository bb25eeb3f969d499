package shop_test

import (
	"bytes"
	"context"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
)

// The blank that is hinted for a pair serves its dish and its caul.
func TestPairThickness(t *testing.T) {
	text := "form: pair\nradius: 700 mm\ndiameter: 200 mm\nplate: 3 mm\nblank: {size: 300 mm, thickness: 12 mm}\nmachine: bench-600\nscallop: 0.5 mm\n"
	run := func(text string) string {
		j, err := job.Load("job.yaml", []byte(text))
		require.NoError(t, err)
		_, err = shop.Run(context.Background(), j)
		var b bytes.Buffer
		if err != nil {
			tell.Print(&b, err)
		}
		return b.String()
	}
	hint := regexp.MustCompile(`a blank of at least ([0-9.]+ mm)`).FindStringSubmatch(run(text))
	require.NotNil(t, hint)
	require.Equal(t, "15.3 mm", hint[1]) // 697 − √(697² − 100²) and a floor of 8; for the dish by itself 15.2 would do
	require.Empty(t, run(strings.Replace(text, "12 mm}", hint[1]+"}", 1)))
}

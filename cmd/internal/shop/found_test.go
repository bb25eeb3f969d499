package shop_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job/key"
)

// TestFound holds the jobs that campaigns found wrong once, each named for what was
// wrong: they are made, keep every bound, and are proven again as anybody's text; or
// they are refused, where they say so.
func TestFound(t *testing.T) {
	names, err := filepath.Glob("testdata/found/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	for _, name := range names {
		if strings.HasSuffix(name, ".machine.yaml") {
			continue
		}
		t.Run(strings.TrimSuffix(filepath.Base(name), ".yaml"), func(t *testing.T) {
			t.Parallel()
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			form := key.Dish
			if bytes.Contains(text, []byte("cut: mould")) {
				form = key.Mould
			}
			// Number 1 is one that is proven again.
			out := tried{form: form, text: text}.take(1, name)
			require.Empty(t, out.faults)
			if bytes.Contains(text, []byte("# To be refused")) {
				require.True(t, out.refused)
				return
			}
			require.False(t, out.refused, out.why)
			require.True(t, out.proven)
		})
	}
}

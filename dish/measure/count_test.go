package measure_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish/measure"
)

func TestCount(t *testing.T) {
	for want, got := range map[string]string{
		"0 lines": measure.Count(0, "line"), "1 line": measure.Count(1, "line"), "2 lines": measure.Count(2, "line"),
		"1 pass": measure.Count(1, "pass"), "3 passes": measure.Count(3, "pass"), "4 inches": measure.Count(4, "inch"),
		"boxes": measure.Plural(5, "box"), "box": measure.Plural(1, "box"),
	} {
		require.Equal(t, want, got)
	}
}

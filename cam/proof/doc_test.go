package proof_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every test that the package comment names for a claim exists.
func TestClaimsNameTheirTests(t *testing.T) {
	text, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	var tests string
	for _, pattern := range []string{"*_test.go", "../../cmd/internal/shop/*_test.go"} {
		names, err := filepath.Glob(pattern)
		require.NoError(t, err)
		for _, name := range names {
			b, err := os.ReadFile(name)
			require.NoError(t, err)
			tests += string(b)
		}
	}
	named := regexp.MustCompile(`\bTest\w+`).FindAllString(string(text), -1)
	require.NotEmpty(t, named)
	for _, name := range named {
		require.True(t, strings.Contains(tests, "\nfunc "+name+"(t *testing.T)"), name)
	}
}

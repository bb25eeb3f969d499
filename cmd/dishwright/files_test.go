package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// onFiles are the calls that open, make or change files.
var onFiles = regexp.MustCompile(`\bos\.(Open|Create|ReadFile|WriteFile|Rename|Link|Symlink|Mkdir|Remove|Truncate|Chmod|Root|CopyFS)\w*`)

// TestFilesInOnePlace: files are read through one function, which remembers them, and
// written by one room, which asks what was read: so that no command, also one that is yet
// to be written, can put its output over what its builder brought.
func TestFilesInOnePlace(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := map[string]bool{}
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && name != root && strings.HasPrefix(d.Name(), "."):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		text, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		place := filepath.ToSlash(strings.TrimPrefix(name, root+string(filepath.Separator)))
		calls := onFiles.FindAllString(string(text), -1)
		switch {
		case len(calls) == 0:
		case strings.HasPrefix(place, "cmd/internal/outset/"):
			seen["outset"] = true
		case place == "dish/measure/strict/file.go":
			seen["strict"] = true
			require.Equal(t, []string{"os.Open"}, calls, place)
		default:
			t.Errorf("%s: %v: read through strict.OpenFile, write through outset", place, calls)
		}
		return nil
	})
	require.NoError(t, err)
	require.Len(t, seen, 2, "the places that may")
}

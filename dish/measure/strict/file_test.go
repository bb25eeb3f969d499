//go:build unix

package strict

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

func TestReadFile(t *testing.T) {
	dir := t.TempDir()
	file := func(name string, size int) string {
		p := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(p, bytes.Repeat([]byte("#"), size), 0o600))
		return p
	}
	data, err := ReadFile(file("largest", MaxBytes))
	require.NoError(t, err)
	require.Len(t, data, MaxBytes)
	data, err = ReadFile(file("empty", 0))
	require.NoError(t, err)
	require.Empty(t, data)

	huge := file("huge", 1)
	require.NoError(t, os.Truncate(huge, 100<<20)) // sparse: takes no room
	pipe := filepath.Join(dir, "pipe")
	require.NoError(t, unix.Mkfifo(pipe, 0o600))
	loop := filepath.Join(dir, "loop")
	require.NoError(t, os.Symlink(loop, loop))
	for path, want := range map[string]string{
		file("large", MaxBytes+1):     "larger than 1 MB",
		huge:                          "larger than 1 MB",
		dir:                           "a folder, not a file",
		pipe:                          "not a plain file",
		os.DevNull:                    "not a plain file",
		filepath.Join(dir, "missing"): "no such file",
		filepath.Join(huge, "inside"): "cannot be read",
		loop:                          "cannot be read",
		"a\x00b":                      "cannot be read",
	} {
		data, err := ReadFile(path)
		require.Nil(t, data)
		var f Fault
		require.ErrorAs(t, err, &f)
		require.Contains(t, f.Message, want)
		require.Zero(t, f.Line)
	}
}

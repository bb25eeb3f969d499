package outset

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// TestUnwritableParent: the kernel's own folder takes no folder from anybody,
// root included.
func TestUnwritableParent(t *testing.T) {
	_, err := Open("/proc/dishwright-test", false)
	require.ErrorContains(t, err, "no folder can be made beside /proc/dishwright-test")
}

func TestDeviceAndPipe(t *testing.T) {
	_, err := Open("/dev/null", true)
	require.ErrorContains(t, err, "/dev/null is not a folder")
	root := t.TempDir()
	require.NoError(t, unix.Mkfifo(filepath.Join(root, "pipe"), 0o666))
	_, err = Open(filepath.Join(root, "pipe"), true)
	require.ErrorContains(t, err, "is not a folder")
	// A pipe in place of a list must not be waited for.
	require.NoError(t, os.Mkdir(filepath.Join(root, "out"), 0o777))
	require.NoError(t, unix.Mkfifo(filepath.Join(root, "out", listName), 0o666))
	_, err = Open(filepath.Join(root, "out"), true)
	require.ErrorContains(t, err, "not ours")
}

// TestExchange: this system can, here.
func TestExchange(t *testing.T) {
	root := t.TempDir()
	a, b := filepath.Join(root, "a"), filepath.Join(root, "b")
	require.NoError(t, os.MkdirAll(filepath.Join(a, "was-a"), 0o777))
	require.NoError(t, os.MkdirAll(filepath.Join(b, "was-b"), 0o777))
	if err := exchangeDirs(a, b); err != nil {
		require.ErrorIs(t, err, errNoExchange)
		return
	}
	require.DirExists(t, filepath.Join(a, "was-b"))
	require.DirExists(t, filepath.Join(b, "was-a"))
}

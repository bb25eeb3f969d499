//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package outset

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// errBusy is the error of lock where another run holds the file.
var errBusy = errors.New("another run holds it")

// lock locks an open file until it is closed or the process ends. A file system
// without locks is let be: then two runs at once for one folder are not told apart.
func lock(f *os.File) error {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return errBusy
	}
	return nil
}

// replaceOpen renames the open file f from draft to name, over the open file old.
func replaceOpen(_ *os.File, draft, name string, _ *os.File) error {
	return os.Rename(draft, name)
}

// syncDir makes the names in a folder outlive a loss of power.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, unix.EINVAL) && !errors.Is(err, unix.ENOTSUP) {
		return err
	}
	return nil
}

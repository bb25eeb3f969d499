package outset

import (
	"errors"

	"golang.org/x/sys/unix"
)

// exchangeDirs swaps two folders in one step: renameat2 with RENAME_EXCHANGE.
func exchangeDirs(a, b string) error {
	err := unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
	// ENOSYS: an old kernel. EINVAL and EOPNOTSUPP: a file system that cannot.
	if errors.Is(err, unix.ENOSYS) || errors.Is(err, unix.EINVAL) || errors.Is(err, unix.EOPNOTSUPP) {
		return errNoExchange
	}
	return err
}

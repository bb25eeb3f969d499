//go:build !linux

package outset

// exchangeDirs says that this system cannot; two renames take its place.
func exchangeDirs(_, _ string) error { return errNoExchange }

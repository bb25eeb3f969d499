//go:build !windows

package picture

// escapes reports whether a terminal takes escape sequences: here each does.
func escapes(uintptr) bool { return true }

//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd)

package outset

import "os"

// lock does nothing here: two runs at once for one folder are not told apart
// beyond what the system itself forbids with open files.
func lock(*os.File) error { return nil }

// replaceOpen renames the file f from draft to name, over old.
func replaceOpen(f *os.File, draft, name string, old *os.File) error {
	return replaceClosed(f, draft, name, old)
}

// syncDir does nothing: folders cannot be synced here.
func syncDir(string) error { return nil }

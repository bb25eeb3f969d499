package picture

import "golang.org/x/sys/windows"

// Escapes asks a console to take escape sequences, which it does not of itself, and
// reports whether it will.
func Escapes(fd uintptr) bool {
	var mode uint32
	if windows.GetConsoleMode(windows.Handle(fd), &mode) != nil {
		return false
	}
	return windows.SetConsoleMode(windows.Handle(fd), mode|windows.ENABLE_VIRTUAL_TERMINAL_PROCESSING) == nil
}

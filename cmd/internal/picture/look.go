package picture

import (
	"io"
	"strings"

	"golang.org/x/term"
)

// The widths that a drawing is made for; an asked width outside is taken as the
// nearer of the two, 0 as DefaultWidth.
const (
	Narrowest    = 40
	DefaultWidth = 80
	Widest       = 200
)

// Look is how characters are drawn. The zero value is plain ASCII, 80 wide, without
// colour.
type Look struct {
	Width  int  // columns
	Blocks bool // may characters beyond ASCII be used: blocks, braille, lines?
	Colour bool // may colour be added?
}

// Columns returns the width.
func (o Look) Columns() int {
	if o.Width == 0 {
		return DefaultWidth
	}
	return max(Narrowest, min(o.Width, Widest))
}

// Terminal reports whether what is written to w is seen at once by a person.
func Terminal(w io.Writer) bool {
	f, ok := w.(interface{ Fd() uintptr })
	return ok && term.IsTerminal(int(f.Fd()))
}

// Detect returns the look that suits w. A terminal gets its own width, at most
// 120 columns; blocks where the locale in env says UTF-8; colour unless env has
// NO_COLOR, or TERM says that the terminal is dumb. Anything else gets the zero
// look, so that a file is the same wherever it was written. env is os.Getenv or
// its like.
func Detect(w io.Writer, env func(string) string) Look {
	const comfortable = 120 // a wider drawing is taller than a screen
	if !Terminal(w) {
		return Look{Width: DefaultWidth}
	}
	f := w.(interface{ Fd() uintptr })
	o := Look{Width: DefaultWidth}
	if columns, _, err := term.GetSize(int(f.Fd())); err == nil && columns > 0 {
		o.Width = max(Narrowest, min(columns, comfortable))
	}
	smart := env("TERM") != "dumb"
	o.Blocks = smart && unicodeLocale(env)
	o.Colour = smart && env("NO_COLOR") == "" && Escapes(f.Fd())
	return o
}

// unicodeLocale reports whether the locale, by the first of its variables that
// is set, writes UTF-8.
func unicodeLocale(env func(string) string) bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := env(name); v != "" {
			v = strings.ToLower(v)
			return strings.Contains(v, "utf-8") || strings.Contains(v, "utf8")
		}
	}
	return false
}

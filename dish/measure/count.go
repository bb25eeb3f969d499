package measure

import (
	"fmt"
	"strings"
)

// Count writes how many there are of a thing: "1 pass", "2 passes".
func Count(n int, one string) string {
	return fmt.Sprintf("%d %s", n, Plural(n, one))
}

// Plural returns the word for n of a thing: "pass" for one, else "passes".
func Plural(n int, one string) string {
	switch {
	case n == 1:
		return one
	case strings.HasSuffix(one, "s"), strings.HasSuffix(one, "ch"), strings.HasSuffix(one, "x"):
		return one + "es"
	}
	return one + "s"
}

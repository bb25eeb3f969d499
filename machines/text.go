package machines

import (
	"strconv"

	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
)

// exact writes a value of a key in the unit, so that it is read back as it is: as a
// fraction of an inch, or with the fewest decimals; in mm where inches cannot hold it.
func (u Unit) exact(k keys.Key, v float64) string {
	kind, name, size := u.quantity(k)
	read := quantities[kind].read
	if read == nil {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	same := func(text string) bool {
		got, err := read(text)
		return err == nil && got == v
	}
	if kind == keys.Length && u == Inches {
		if text, _ := measure.Fraction(v, 64); same(text) {
			return text
		}
	}
	const digits = 17 // tell any two numbers apart
	for n := range digits + 1 {
		if text := measure.FormatShort(v/size, n) + " " + name; same(text) {
			return text
		}
	}
	if u == Inches {
		return Millimetres.exact(k, v)
	}
	return strconv.FormatFloat(v, 'f', -1, 64) + " " + name
}

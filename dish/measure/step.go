package measure

import (
	"math"
	"strconv"
	"strings"
)

// Step returns the finest figure that a length was written to, mm: a unit of its last decimal,
// or the part of its fraction; of a whole number the unit itself, of a computed length 0.
func (l Length) Step() float64 {
	words := strings.Fields(l.source)
	if len(words) < 2 {
		return 0
	}
	size, number := unitNames[words[len(words)-1]].MM(), words[len(words)-2]
	if _, below, ok := strings.Cut(number, "/"); ok {
		parts, _ := strconv.ParseFloat(below, 64) // digits alone: it was read
		return size / parts
	}
	if _, decimals, ok := strings.Cut(number, "."); ok {
		return float64(size * math.Pow10(-len(decimals)))
	}
	return size
}

package play

// Key is what a person asks for.
type Key int

// The keys.
const (
	None  Key = iota
	Space     // hold, or go on
	Left      // a little back
	Right     // a little on
	Up        // to the start of the program, then of the one before
	Down      // to the next program
	Quit
	Break // Ctrl-C
)

// Keys finds keys in what a terminal sends. Arrows are sequences of three bytes: ESC,
// [ or O, and a letter (ECMA-48, 5.4 and 8.3.22 to 8.3.26). The zero value is ready.
type Keys struct{ escape, bracket bool }

// Take takes one byte and returns the key that it ends; None where it ends none.
func (k *Keys) Take(b byte) Key {
	switch {
	case b == 0x1b:
		k.escape, k.bracket = true, false
		return None
	case k.escape && !k.bracket && (b == '[' || b == 'O'):
		k.bracket = true
		return None
	case k.bracket && b >= 0x20 && b < 0x40: // parameters of another sequence
		return None
	}
	arrow := k.bracket
	k.escape, k.bracket = false, false
	if arrow {
		return map[byte]Key{'A': Up, 'B': Down, 'C': Right, 'D': Left}[b]
	}
	return map[byte]Key{' ': Space, 'q': Quit, 'Q': Quit, 0x03: Break}[b]
}

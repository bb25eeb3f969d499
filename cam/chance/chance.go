// Package chance gives the random cases of tests the same seed on every run, so
// that a change is judged by the cases that the one before it passed, and says
// whether the run may be a long one.
//
// In comes a test run, out goes its exit code. Only tests use it.
package chance

import (
	"flag"
	"os"
	"strconv"
)

// defaultSeed is the seed where the environment names none; any other would do.
const defaultSeed = "20261"

// Run seeds the random cases and runs m. Another seed goes in with -rapid.seed=N
// or in RAPID_SEED, where 0 draws a new one each time. A RAPID_SEED that is no
// number is a programmer's mistake and panics.
func Run(m interface{ Run() int }) int {
	flag.Parse()
	seed := os.Getenv("RAPID_SEED")
	if seed == "" {
		seed = defaultSeed
	}
	if f := flag.Lookup("rapid.seed"); f != nil && f.Value.String() == f.DefValue {
		if err := flag.Set("rapid.seed", seed); err != nil {
			panic("chance: RAPID_SEED is no seed: " + err.Error())
		}
	}
	return m.Run()
}

// Long reports whether LONG is set: then a test takes all its cases, however long
// they take. Without it a test takes what it can show within seconds.
func Long() bool { return os.Getenv("LONG") != "" }

// Setting returns a number in the environment, or what is usual where there is none. One
// that is no number is a programmer's mistake and panics.
func Setting(name string, usual uint64) uint64 {
	text := os.Getenv(name)
	if text == "" {
		return usual
	}
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		panic("chance: " + name + " is no number: " + err.Error())
	}
	return n
}

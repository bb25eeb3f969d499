package motion_test

import (
	"flag"
	"os"
	"testing"
)

// TestMain gives the random cases the same seed on every run, so that a change
// is judged by the cases that the one before it passed. Another seed, or 0 for a
// new one each time, goes in with -rapid.seed=N or in RAPID_SEED.
func TestMain(m *testing.M) {
	flag.Parse()
	seed := os.Getenv("RAPID_SEED")
	if seed == "" {
		seed = "20261"
	}
	if f := flag.Lookup("rapid.seed"); f != nil && f.Value.String() == f.DefValue {
		if err := flag.Set("rapid.seed", seed); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}

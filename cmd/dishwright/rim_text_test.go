package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A gap under the thinnest leaf of a usual feeler gauge, 0.05 mm (common practice), is marked as
// one that it cannot tell, with the digit that shows how far under.
func TestGapsThatCanBeFelt(t *testing.T) {
	for gap, want := range map[float64]string{0: "0.000 *", 0.012: "0.012 *", 0.049: "0.049 *", 0.05: "0.05", 0.051: "0.05", 0.4: "0.40"} {
		require.Equal(t, want, rimWriter{}.tells(gap), "%g", gap)
	}
}

package choose_test

import (
	"fmt"
	"testing"

	"dishwright/cam/choose"

	"github.com/stretchr/testify/require"
)

// usualShelf is cutters of every shape and of many sizes, three of them first.
func usualShelf(n int) (shelf []string) {
	shelf = []string{half, inch, bull(1.25, 0.25), bull(1, 0.125), bull(0.5, 0.125), bull(1, 0.375)}
	for _, d := range []float64{0.25, 0.75} {
		shelf = append(shelf, fmt.Sprintf("ball %g: {shape: ball, diameter: %g in, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 2 mm}", d, d))
	}
	for _, d := range []float64{0.5, 1.5} {
		shelf = append(shelf, fmt.Sprintf("flat %g: {shape: flat, diameter: %g in, flutes: 2, flute length: 20 mm, speed: 14000, chip load: 0.08 mm, depth of cut: 2 mm}", d, d))
	}
	return shelf[:n]
}

func bull(d, corner float64) string {
	return fmt.Sprintf("bull %g %g: {shape: bull, diameter: %g in, corner: %g in, flutes: 2, flute length: 16 mm, speed: 14000, chip load: 0.1 mm, depth of cut: 2 mm}", d, corner, d, corner)
}

// BenchmarkCompare compares a usual shelf and the largest one over a dish of 460 mm.
func BenchmarkCompare(b *testing.B) {
	for _, n := range []int{3, 10} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			w := read(b, `radius: 15 ft
diameter: 460 mm
blank: {size: 500 mm, thickness: 25 mm}
machine: bench-600
scallop: 0.1 mm
`, usualShelf(n)...).Work
			for b.Loop() {
				rows, err := choose.Compare(&w)
				require.NoError(b, err)
				require.Len(b, rows, 3*n)
			}
		})
	}
}

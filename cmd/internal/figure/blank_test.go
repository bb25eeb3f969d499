package figure

import (
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish"
)

// Of a scrap the zero's letters move off its cuts, or are left out; elsewhere they stand where
// they always do.
func TestLettersOffEdges(t *testing.T) {
	ring := func(x, y, half float64) []Point {
		return []Point{{X: x - half, Y: y - half}, {X: x + half, Y: y - half}, {X: x + half, Y: y + half}, {X: x - half, Y: y + half}}
	}
	v := BlankView{Blank: dish.Blank{Shape: dish.Square, Length: 120, Width: 120}, Touch: &Point{X: 14, Y: 30}}
	draw := func() string { return string(Blank(v, "the blank").SVG("f", false)) }
	usual := []string{`<text x="1800" y="1950" font-size="160" text-anchor="end" fill="#000" stroke="none">X0 Y0<`, `<text x="2410" y="1805" font-size="160" fill="#000" stroke="none">X<`,
		`<text x="1920" y="1267" font-size="160" fill="#000" stroke="none">Y<`}
	for _, one := range usual {
		require.Contains(t, draw(), one)
	}
	above := `y="885" font-size="160" text-anchor="middle" fill="#000" stroke="none">Z0<`
	require.Contains(t, draw(), above)
	v.Edges = [][]Point{ring(-15, -15, 10), ring(25, 0, 3), ring(5, 22, 2), ring(14, 42, 4)}
	without := draw()
	v.Clear = true
	with := draw()
	for _, one := range append(usual, above) {
		require.Contains(t, without, one)
		require.NotContains(t, with, one)
	}
	require.Contains(t, with, ">Z0<")
	require.Contains(t, with, ">X<")
	require.Contains(t, with, ">Y<")
	v.Edges = append(v.Edges, ring(10, -15, 12))
	require.NotContains(t, draw(), "X0 Y0")
}

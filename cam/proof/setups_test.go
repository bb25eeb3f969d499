package proof

import (
	"testing"

	"dishwright/cam/path"
	"dishwright/dish/extra"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// What a setup cuts of the face is what its own programs cut there: neither another
// setup's, nor a hole's bore, nor laps in the air.
func TestCutsOfASetup(t *testing.T) {
	first, second := path.Setup{Number: 1}, path.Setup{Number: 2, Turn: 180}
	c := Case{Extras: extra.Set{Holes: []extra.Hole{{Radius: 6, Bottom: -9}}}}
	c.Setups.Parts = []SetupPart{{Setup: first}, {Setup: second}}
	face := []path.Move{lineMove(r3.Vec{X: 30, Z: -1}, r3.Vec{X: 60, Z: -1})}
	bore := []path.Move{lineMove(r3.Vec{Z: 5}, r3.Vec{Z: -9})}
	air := []path.Move{lineMove(r3.Vec{X: 30, Z: 5}, r3.Vec{X: 60, Z: 5})}
	for _, tt := range []struct {
		name  string
		in    path.Setup
		moves []path.Move
		cuts  bool
	}{
		{"the face", first, face, true},
		{"another setup", second, face, false},
		{"a bore", first, bore, false},
		{"a bore and the face", first, append(bore[:1:1], face...), true},
		{"the air", first, air, false},
		{"nothing", first, nil, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			other := Program{Name: "other", Setup: second, Cutter: flatCutter(6), Path: path.Path{Moves: face}}
			p := Program{Name: "it", Setup: tt.in, Cutter: flatCutter(6), Path: path.Path{Moves: tt.moves}}
			programs := []Program{other, p}
			in := []*programExtras{{limits: c, program: other}, {limits: c, program: p}}
			cuts := cutsInSetup(programs, in, first)
			require.Equal(t, tt.cuts, len(cuts) == 1)
			require.LessOrEqual(t, len(cuts), 1)
			require.Equal(t, !tt.cuts, len(c.emptySetups(programs, in)) == 1, "told as a setup in which nothing is cut")
		})
	}
}

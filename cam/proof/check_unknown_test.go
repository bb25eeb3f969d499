package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// From an unknown place straight to clearance or above is good, and what follows up there;
// all else is found where it begins, whatever kind of move it is and whichever coordinate is
// not known.
func TestCheckFromUnknownPlaces(t *testing.T) {
	f := 1000.0
	half := func(kind path.Kind, from, to r3.Vec) act {
		return func(p *Program, tip *r3.Vec) {
			p.Path.Moves = append(p.Path.Moves, path.Move{Kind: kind, From: from, To: to, Feed: f, Source: lastSource(p)})
			*tip = to
		}
	}
	for _, k := range []struct {
		name string
		acts []act
		want string // kind of the first finding, which is at the last line
	}{
		{"lift by a feed, and round up there", []act{g1(nan, nan, 10, f), g1(20, nan, nan, f), g1(nan, 20, nan, f), g1(nan, nan, 5, f)}, ""},
		{"one axis after the other", []act{g0(nan, nan, 30), g0(20, nan, nan), g0(nan, 20, nan), g0(nan, nan, 1)}, ""},
		{"aslant between clear heights", []act{g0(nan, nan, 30), g1(20, 20, 12, f)}, ""},
		{"down where X is not known", []act{g0(nan, nan, 10), g0(nan, 20, nan), g0(nan, nan, 9.9)}, "traverse"},
		{"feed down where Y is not known", []act{g0(nan, nan, 10), g0(20, nan, nan), g1(nan, nan, 9.9, f)}, "order"},
		{"feed aslant to a known place", []act{g0(nan, nan, 10), g1(20, 20, 1, f)}, "order"},
		{"feed to a place beside everything", []act{g0(nan, nan, 10), g1(200, 200, 9, f)}, "order"},
		{"feed at no height", []act{g1(20, 20, nan, f)}, "order"},
		{"lift aslant", []act{g1(20, nan, 30, f)}, "order"},
		{"up, where only Z is not known", []act{half(path.Line, r3.Vec{X: 20, Y: 20, Z: nan}, r3.Vec{X: 20, Y: 20, Z: 9})}, "order"},
		{"to an unknown end", []act{half(path.Line, r3.Vec{X: 20, Y: 20, Z: 30}, r3.Vec{X: 20, Y: 20, Z: nan})}, "order"},
		{"an arc about no place, high up", []act{half(path.Arc, r3.Vec{X: 20, Y: 20, Z: 30}, r3.Vec{X: 22, Y: 20, Z: 30}), func(p *Program, _ *r3.Vec) { p.Path.Moves[0].Centre.X = nan }}, "order"},
		{"infinitely far", []act{half(path.Line, r3.Vec{X: math.Inf(1), Y: 20, Z: 30}, r3.Vec{X: 20, Y: 20, Z: 9})}, "order"},
	} {
		t.Run(k.name, func(t *testing.T) {
			c := plainCase(spindleMachine())
			c.Obstacles = []path.Obstacle{{X: 80, Y: 80, Radius: 5, Height: 8}}
			p := program(append([]act{m0(), mode("G64")}, k.acts...)...)
			var got []Finding
			for _, f := range findings(c, p) {
				if f.Kind != KindSpindle && f.Message.String() != "the cutter moves sideways before it is lifted clear of everything" {
					got = append(got, f)
				}
			}
			if k.want == "" {
				require.Empty(t, got)
				return
			}
			require.NotEmpty(t, got)
			require.Equal(t, k.want, string(got[0].Kind), "%+v", got)
			require.Equal(t, p.Path.Moves[len(p.Path.Moves)-1].Source.Line, got[0].Line, "%+v", got)
		})
	}
}

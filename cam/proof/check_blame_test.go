package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// TestCheckBlamesTheRightLine: passes over a small hollow, one place raised or one
// pass missing, with a roughing layer before it.
func TestCheckBlamesTheRightLine(t *testing.T) {
	face := must(dish.NewFace(dish.Hollow, 1000, 30))
	cut := plainCutter()
	passes := func(raised, missing int) (Program, map[int]int) {
		acts := framed()[:6]
		first := map[int]int{} // line of each pass's vertex
		p := Program{Name: "1-test.ngc", Cutter: cut}
		tip := r3.Vec{X: nan, Y: nan, Z: nan}
		for _, a := range acts {
			a(&p, &tip)
		}
		for y := -36.0; y <= 36; y += 5 { // a layer of roughing
			g1(-36, y, 0, 1000)(&p, &tip)
			g1(36, y, 0, 1000)(&p, &tip)
		}
		k := 0
		for pass := range 19 {
			y := float64(pass-9) * 4
			if pass == missing {
				continue
			}
			for i := range 19 {
				x := float64(i-9) * 4 * float64(1-pass%2*2)
				z := math.Min(0, face.Tip(dish.Body{Flat: 3}, math.Hypot(x, y)))
				if k == raised {
					z += 1
				}
				g1(x, y, z, 1000)(&p, &tip)
				first[k] = p.Path.Moves[len(p.Path.Moves)-1].Source.Line
				k++
			}
		}
		for _, a := range []act{g0(nan, nan, 5), m5(), m2()} {
			a(&p, &tip)
		}
		return p, first
	}
	blamed := func(p Program) int {
		c := plainCase(spindleMachine())
		c.Face, c.MaxScallop = face, 0.2
		r, err := Check(c, []Program{p})
		require.NoError(t, err)
		for _, f := range r.Findings {
			if f.Kind == KindScallop {
				require.Equal(t, p.Name, f.Program)
				return f.Line
			}
		}
		return 0
	}
	p, _ := passes(-1, -1)
	require.Zero(t, blamed(p), "all well")
	for _, k := range []int{19*9 + 9, 19*5 + 6, 19*13 + 11, 19*8 + 8} {
		p, lines := passes(k, -1)
		require.Equal(t, lines[k], blamed(p), "vertex %d", k)
	}
	p, lines := passes(-1, 9)
	got := blamed(p)
	require.True(t, got >= lines[19*8] && got <= lines[19*10-1], "beside the missing pass, not at line %d", got)
}

// TestBlamedHeight: of a place a little nearer to a low pass than to a high one the high one is
// blamed, where it ran higher than 0.003 mm, more than coordinates and chords take, and than
// nine tenths of what stands too much.
func TestBlamedHeight(t *testing.T) {
	face := must(dish.NewFace(dish.Hollow, 1000, 30))
	pass := func(y, up float64, line int) path.Move {
		z := face.Tip(dish.Body{Flat: 3}, math.Abs(y)) + up
		return path.Move{Kind: path.Line, From: r3.Vec{X: -1, Y: y, Z: z}, To: r3.Vec{X: 1, Y: y, Z: z}, Source: path.Source{Line: line}}
	}
	for _, k := range []struct {
		over, up float64
		line     int
	}{{0.001, 0.0028, 3}, {0.001, 0.0032, 2}, {0.1, 0.089, 3}, {0.1, 0.091, 2}, {0.002, 0.0028, 3}, {0.004, 0.0035, 3}, {0.004, 0.0037, 2}} {
		p := Program{Cutter: plainCutter(), Path: path.Path{Moves: []path.Move{pass(-3, 0, 1), pass(0, k.up, 2), pass(4, 0, 3)}}}
		m, ok := blamedMove(face, p, 0, 2.2, k.over, nil)
		require.True(t, ok)
		require.Equal(t, k.line, m.Source.Line, "%+v", k)
	}
}

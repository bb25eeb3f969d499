package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// TestLimitIsDecided: passes of a ball s apart over a level face leave r − √(r² − s²/4), by the
// circle's chord. A limit a tenth of the slack above that is certified to be kept, and one as
// far below it to be broken.
func TestLimitIsDecided(t *testing.T) {
	face, err := dish.NewFace(dish.Flat, 0, 40)
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(1.5, 12).Draw(t, "radius")
		h := rapid.Float64Range(0.03, 0.2).Draw(t, "scallop")
		s := 2 * math.Sqrt(h*(2*r-h))
		var moves []path.Move
		for y := -40 - s*rapid.Float64Range(0, 1).Draw(t, "off"); y < 40+s; y += s {
			moves = append(moves, path.Move{Kind: path.Line, From: r3.Vec{X: -60, Y: y}, To: r3.Vec{X: 60, Y: y}})
		}
		cuts := []Cut{{path.Cutter{Shape: path.Ball, Diameter: 2 * r}, moves}}
		above, err := Certify(face, 1, cuts, CertifyOptions{Expected: h + defaultSlack/10})
		require.NoError(t, err)
		require.LessOrEqual(t, above.Certified, h+defaultSlack/10)
		below, err := Certify(face, 1, cuts, CertifyOptions{Expected: h - defaultSlack/10})
		require.NoError(t, err)
		require.Greater(t, below.Certified, h-defaultSlack/10)
		require.GreaterOrEqual(t, below.Certified, h-1e-9)
		require.LessOrEqual(t, below.Found, h+1e-9)
	})
}

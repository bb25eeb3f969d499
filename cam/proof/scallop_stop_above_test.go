package proof_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/dish"
)

// A search that may stop says nothing that is not so: where it stops there is a scallop over
// the limit, and where it does not its bound is the usual one.
func TestCertifyStopAbove(t *testing.T) {
	face, err := dish.NewFace(dish.Hollow, 4000, 100)
	require.NoError(t, err)
	ball := path.Cutter{Shape: path.Ball, Diameter: 12, FluteLength: 20, StickOut: 30}
	var moves []path.Move
	at := r3.Vec{X: -110, Y: -110, Z: 5}
	for i, y := 0, -104.0; y <= 104; i, y = i+1, y+3 {
		for k := 0.0; k <= 40; k++ {
			x := (k - 20) * 5.2
			if i%2 == 1 {
				x = -x
			}
			to := r3.Vec{X: x, Y: y, Z: face.Tip(dish.Body{Corner: 6}, math.Hypot(x, y))}
			moves = append(moves, path.Move{Kind: path.Line, From: at, To: to, Feed: 1000})
			at = to
		}
	}
	cuts := []proof.Cut{{Cutter: ball, Moves: moves}}
	whole, err := proof.Certify(face, 0, cuts, proof.CertifyOptions{})
	require.NoError(t, err)
	require.False(t, math.IsInf(whole.Certified, 1))
	for _, limit := range []float64{whole.Found * 0.5, whole.Found * 0.98, whole.Found * 1.02} {
		r, err := proof.Certify(face, 0, cuts, proof.CertifyOptions{StopAbove: limit})
		require.NoError(t, err)
		if limit < whole.Found*0.9 {
			require.True(t, math.IsInf(r.Certified, 1))
			require.Greater(t, r.Found, limit)
			require.Less(t, r.Cells, whole.Cells)
		}
		require.LessOrEqual(t, r.Found, whole.Found+1e-6)
		if limit > whole.Found {
			require.Equal(t, whole, r)
		}
	}
}

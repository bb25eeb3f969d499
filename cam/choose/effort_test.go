package choose

import (
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam"
	"dishwright/cam/proof"
)

// A search that has spent its cells says so, and does not certify on.
func TestSpent(t *testing.T) {
	e := effort{}
	_, err := e.scallop(cam.Whole(&cam.Work{}), proof.Cut{}, proof.CertifyOptions{})
	require.True(t, cam.KindEffort.In(err))
	var ps cam.Problems
	require.ErrorAs(t, err, &ps)
	require.NotEmpty(t, ps[0].Hint)
}

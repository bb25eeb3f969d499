package choose

import (
	"testing"

	"dishwright/cam/proof"
	"dishwright/cam/work"

	"github.com/stretchr/testify/require"
)

// A search that has spent its cells says so, and does not certify on.
func TestSpent(t *testing.T) {
	e := effort{}
	_, err := e.scallop(work.Whole(&work.Work{}), proof.Cut{}, proof.CertifyOptions{})
	require.True(t, work.KindEffort.In(err))
	var ps work.Problems
	require.ErrorAs(t, err, &ps)
	require.NotEmpty(t, ps[0].Hint.String())
}

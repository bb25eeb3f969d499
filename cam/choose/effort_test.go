package choose

import (
	"testing"

	"dishwright/cam/proof"
	"dishwright/cam/work"

	"github.com/stretchr/testify/require"
)

// A search that has spent its looks says so, and does not certify on.
func TestSpent(t *testing.T) {
	e := effort{}
	_, err := e.scallop(work.Whole(&work.Work{}), proof.CertifyOptions{}, proof.Cut{})
	require.True(t, work.KindEffort.In(err))
	var ps work.Problems
	require.ErrorAs(t, err, &ps)
	require.NotEmpty(t, ps[0].Hint.String())
}

// One way spends three quarters of what is left at most while there are others, and what it leaves is for
// those.
func TestOneWayLeavesTheOthersSome(t *testing.T) {
	e := effort{looks: 100}
	all := func(way *effort) error {
		way.looks = 0
		return work.Problems{spent}
	}
	require.True(t, work.KindEffort.In(e.part(false, all)))
	require.Equal(t, int64(25), e.looks)
	require.NoError(t, e.part(false, func(way *effort) error {
		require.Equal(t, int64(18), way.looks)
		way.looks = 10
		return nil
	}))
	require.Equal(t, int64(17), e.looks)
	require.Error(t, e.part(true, all))
	require.Zero(t, e.looks)
}

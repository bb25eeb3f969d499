package shop_test

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Programs that are proven for a spindle and cutters as they were found leave no more than
// that, by the tests' own evaluation; as the job states them it is what was certified.
func TestReally(t *testing.T) {
	t.Parallel()
	o := dishFor("as found", milli(3000), milli(130), milli(0.1), "inch flat", "inch flat")
	r, err := run(o)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	w := &r.Plan.Work
	stated, err := r.Really(w.Tilt, w.Undersize)
	require.NoError(t, err)
	require.Equal(t, r.Report.Scallop.CertifiedMM, stated.CertifiedMM)
	const tilt, undersize = 0.0025, 0.2
	found, err := r.Really(tilt, undersize)
	require.NoError(t, err)
	require.Greater(t, found.CertifiedMM, stated.CertifiedMM)
	require.InDelta(t, 100*tilt, found.TiltMM, 1e-12)
	is := o.wanted()
	is.tilt, is.undersize = tilt, undersize
	v := evaluate(is, texts(r), 4_000)
	require.Greater(t, v.ridge.over, stated.CertifiedMM)
	require.LessOrEqual(t, v.ridge.over, found.CertifiedMM+agree)
	require.Equal(t, w.Tilt, r.Report.Scallop.TiltMM/100, "the plan is as it was")
}

package sides_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/figure"
)

// Beside the plan stand the widths of the side at the named places, what a gauge is set to, and
// not the heights of the edge.
func TestPlanShowsWidths(t *testing.T) {
	r := sample(t, "parlour-cutaway")
	plan := r.Plan(figure.Page)
	for _, s := range r.Report.Places {
		require.Contains(t, plan.About, r.Job.Ruler.Fixed(s.WidthMM, 2), s.Name)
		require.NotContains(t, plan.About, r.Job.Ruler.Fixed(s.TopZ, 2), s.Name)
	}
	require.Contains(t, plan.About, "where the blend and the flat begin")
}

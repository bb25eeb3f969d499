package pass

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
)

// A hint that names a scallop that would be enough is right, and not idle.
func TestEnoughIsEnough(t *testing.T) {
	w := given.Work(dish.Hollow, 500, 60)
	w.Scallop = 0.1
	w.Pattern = string(work.WayRaster)
	_, err := Plan(work.Whole(&w), given.InchFlat)
	require.Error(t, err)
	over := w.Face.Over(0, work.NewTool(w.Face, given.InchFlat).Tip(0, 0))
	// The level end of 12.7 mm over a hollow of 500: 12.7² / 2R.
	require.InDelta(t, 0.161316, over, 1e-4)
	w.Scallop = math.Ceil((over+0.1-work.NewBudget(&w, given.InchFlat, 1).Ridge)*1.03*1000) / 1000
	_, err = Plan(work.Whole(&w), given.InchFlat)
	require.NoError(t, err)
	w.Scallop = over
	_, err = Plan(work.Whole(&w), given.InchFlat)
	require.Error(t, err)
}

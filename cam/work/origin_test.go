package work

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A section is printed as its way with its figures, or as what is made or run round.
func TestOriginsInWords(t *testing.T) {
	for want, o := range map[string]Origin{
		"raster(uphill, steps 1 to 2 mm)":      {Way: WayRaster, Figures: "uphill, steps 1 to 2 mm"},
		"the centre hole, 8 mm wide":           {Way: WayBeside, Figures: "the centre hole, 8 mm wide"},
		"round the extents of program 2":       {Way: WayExtents, Round: []int{2}},
		"round the extents of program 2 and 5": {Way: WayExtents, Round: []int{2, 5}},
	} {
		require.Equal(t, want, o.String())
	}
}

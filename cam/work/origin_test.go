package work

import (
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish/measure"
)

// A section is printed as its way with its figures, or as what is made or run round.
func TestOriginsInWords(t *testing.T) {
	for want, o := range map[string]Origin{
		"raster(uphill, steps 1.000 mm to 2.500 mm)": {Way: WayRaster, Figures: measure.Say("%s, steps %v to %v", "uphill", measure.Micro(1), measure.Micro(2.5))},
		"the centre hole, 8 mm wide":                 {Way: WayBeside, Figures: measure.Say("%s, %v wide", "the centre hole", measure.MM(8))},
		"round the extents of program 2":             {Way: WayExtents, Round: []int{2}},
		"round the extents of program 2 and 5":       {Way: WayExtents, Round: []int{2, 5}},
	} {
		require.Equal(t, want, o.String())
	}
}

// Whoever shows a section says in which unit.
func TestOriginsInAUnit(t *testing.T) {
	o := Origin{Way: WayBeside, Figures: measure.Say("%v, of %d", measure.Say("a slot %v wide", measure.Tenth(25.4)), 2)}
	require.Equal(t, "a slot 1.00 in wide, of 2", o.Said().In(measure.Ruler{Inches: true}))
	require.Equal(t, "a slot 25.4 mm wide, of 2", o.String())
}

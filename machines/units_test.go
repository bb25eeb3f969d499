package machines

import (
	"errors"
	"fmt"
	"testing"

	"dishwright/dish/measure/strict"

	"github.com/stretchr/testify/require"
)

// What is suggested for a value of a profile without its unit.
func TestUnitsByKey(t *testing.T) {
	for _, c := range [][2]string{
		{"travel: {x: 600, y: 1 mm, z: 1 mm}", "write the unit: 600 mm"},
		{"travel: {x: 24, y: 1 mm, z: 1 mm}", "write the unit: 24 in or 24 cm"},
		{"travel: {z: 4, x: 1 mm, y: 1 mm}", "write the unit: 4 in"},
		{"feed: {x: 5000, y: 1 m/min, z: 1 m/min}", "write the unit: 5000 mm/min"},
		{"feed: {x: 120, y: 1 m/min, z: 1 m/min}", "write the unit: 120 in/min or 120 mm/s"},
		{"feed: 80", "write the unit: 80 in/min or 80 mm/s"},
		{"feed: {z: 40, x: 1 m/min, y: 1 m/min}", "write the unit: 40 in/min or 40 mm/s"},
		{"rapid: {x: 6000, y: 6 m/min, z: 6 m/min}", "write the unit: 6000 mm/min"},
		{"acceleration: {x: 250, y: 9 mm/s2, z: 9 mm/s2}", "write the unit: 250 mm/s2"},
		{"acceleration: {x: 10, y: 9 mm/s2, z: 9 mm/s2}", "write the unit: 10 in/s2"},
		{"corner rounding: 0.02", "write the unit: 0.02 mm"},
		{"corner rounding: 0.001", "write the unit: 0.001 in"},
		{"collets: [6, 1/4 in]", "write the unit: 6 mm"},
		{"collets: [1/4]", "write the unit: 1/4 in"},
		{"holder: {diameter: 1 1/2, length: 40 mm}", "write the unit: 1 1/2 in"},
		{"spindle: {slowest: 8000, fastest: 24000, start: 5}", "write the unit: 5 s"},
	} {
		_, err := Parse("mine.yaml", []byte("name: mine\n"+c[0]+"\n"))
		var faults strict.Faults
		require.True(t, errors.As(err, &faults), c[0])
		found := false
		for _, f := range faults {
			found = found || f.Hint == c[1]
		}
		require.True(t, found, "%s: %v", c[0], fmt.Sprint(faults))
	}
}

package machines

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// The places of a bed are read in their order, in any unit; what no plane can be laid through,
// and what leans more than a bed may, is told where it stands.
func TestBed(t *testing.T) {
	m, err := Parse("m.yaml", []byte(with("bed:\n  - {x: -200 mm, y: -8 in, z: 0 mm}\n  - {x: 200 mm, y: -200 mm, z: 0.004 in}\n  - {x: 0 mm, y: 200 mm, z: -0.05 mm}")))
	require.NoError(t, err)
	require.Equal(t, []r3.Vec{{X: -200, Y: -203.2}, {X: 200, Y: -200, Z: 0.1016}, {Y: 200, Z: -0.05}}, m.Bed)
	for _, c := range []struct{ text, message, hint string }{
		{"[{x: 0 mm, y: 0 mm, z: 0 mm}, {x: 9 mm, y: 0 mm, z: 0 mm}]", "2 places cannot make a plane", "3 to 100 places, far apart"},
		{"[{x: 0 mm, y: 0 mm, z: 0 mm}, {x: 100 mm, y: 100 mm, z: 0 mm}, {x: 200 mm, y: 200 mm, z: 0 mm}]", "the places lie in one line, through which there are many planes", "three or more that make a wide triangle"},
		{"[{x: 0 mm, y: 0 mm, z: 0 mm}, {x: 100 mm, y: 0 mm, z: 2.1 mm}, {x: 0 mm, y: 200 mm, z: 0 mm}]", "the bed would rise 2.1 mm per 100 mm", "up to 2 mm per 100 mm; look for a figure of another unit or sign, or level the bed first"},
		{"[{x: 0 mm, y: 0 mm, z: 30 mm}, {x: 100 mm, y: 0 mm, z: 0 mm}, {x: 0 mm, y: 200 mm, z: 0 mm}]", "z of a place of the bed is out of range", "it may be from -20 to 20 mm"},
		{"[{x: 0 mm, y: 0 mm, z: 0.1}, {x: 100 mm, y: 0 mm, z: 0 mm}, {x: 0 mm, y: 200 mm, z: 0 mm}]", "", "write the unit: 0.1 mm"},
	} {
		f := faults(t, with("bed: "+c.text))
		require.Len(t, f, 1, c.text)
		require.Contains(t, f[0].Message, c.message)
		require.Contains(t, f[0].Hint, c.hint)
		require.Positive(t, f[0].Line)
	}
	require.Len(t, faults(t, with("bed: [{x: 0 mm, y: 0 mm}, {x: 1 mm, y: 0 mm, z: 0 mm, w: 1 mm}, {x: 6 km, y: 0 mm, z: 0 mm}]")), 3)
}

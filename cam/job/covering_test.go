package job

import (
	"testing"

	"dishwright/cam/job/key"

	"github.com/stretchr/testify/require"
)

// A covering that was measured in places counts as thick as their mean, and is as uneven as they
// differ; the wood is cut for the mean.
func TestMeasuredCovering(t *testing.T) {
	j, err := Load("j.yaml", []byte(plainJobs[key.Dish]+"covering: {measured: [0.58 mm, 0.61 mm, 0.60 mm, 0.62 mm, 1/40 in]}\n"))
	require.NoError(t, err)
	const mean = (0.58 + 0.61 + 0.60 + 0.62 + 0.635) / 5
	require.InDelta(t, mean, j.Work.Covering, 1e-12)
	require.InDelta(t, 0.055, j.Work.Uneven, 1e-12)
	require.InDelta(t, 7620+mean, j.Work.Face.Radius, 1e-9)
	plain, err := Load("j.yaml", []byte(plainJobs[key.Dish]+"covering: 0.6 mm\n"))
	require.NoError(t, err)
	require.Zero(t, plain.Work.Uneven)
	pair, err := Load("j.yaml", []byte(plainJobs[key.Pair]+"covering: {measured: [0.5 mm, 0.6 mm, 0.7 mm]}\n"))
	require.NoError(t, err)
	require.Len(t, pair.Covered, 3)
	require.Empty(t, pair.Mate.Covered)
	require.Zero(t, pair.Mate.Work.Uneven, "the caul of a pair has no covering")
}

func TestCoveringFaults(t *testing.T) {
	for line, want := range map[string]string{
		"covering: {measured: [0.5 mm, 0.6 mm]}":                                      "2 places of the covering",
		"covering: {measured: [0.5 mm, 0.6 mm, 25 mm]}":                               "out of range",
		"covering: {measured: 0.6 mm}":                                                "where a list is expected",
		"covering: {}":                                                                `"measured" is missing`,
		"covering: {thick: 1 mm}":                                                     `"thick" is not known`,
		"covering: 0.6 mm\ncovering layout: {}":                                       "in a disc, in wedges or in strips",
		"covering: 0.6 mm\ncovering layout: {disc: 500 mm, wedges: 8}":                "in a disc, in wedges or in strips",
		"covering: 0.6 mm\ncovering layout: {disc: 500 mm, seams: 9 deg}":             "a disc has no seams",
		"covering: 0.6 mm\ncovering layout: {wedges: 8, backing: cloth}":              "only of a disc",
		"covering: 0.6 mm\ncovering layout: {wedges: 8, seams: 50 deg}":               "out of range",
		"covering: 0.6 mm\ncovering layout: {wedges: 8, turned: left, seams: 20 deg}": "cannot be",
	} {
		_, err := Load("j.yaml", []byte(plainJobs[key.Dish]+line+"\n"))
		require.ErrorContains(t, err, want, line)
		require.Contains(t, err.Error(), "j.yaml:", line)
	}
}

// A disc reaches the rim along the surface, 2R asin(c/2R) across: of a half of a millimetre that
// is left bare all round nothing is said. 300 mm over wood of 160.6 mm are 2 x 160.6
// asin(150/160.6) = 387.19 mm (own calculation).
func TestDiscReachesTheRim(t *testing.T) {
	const deep = "radius: 160 mm\ndiameter: 300 mm\nblank: {size: 400 mm, thickness: 150 mm}\nmachine: wide-1250\ncovering: 0.6 mm\ncovering layout: "
	for line, ok := range map[string]bool{"{disc: 388 mm}": true, "{disc: 386.5 mm}": true, "{disc: 386 mm}": false, "{disc: 300 mm}": false} {
		_, err := Load("j.yaml", []byte(deep+line+"\n"))
		if ok {
			require.NoError(t, err, line)
			continue
		}
		require.ErrorContains(t, err, "j.yaml:6:25: a disc of "+line[7:13]+" is too small", line)
		require.ErrorContains(t, err, " mm or more, or wedges: 8")
	}
	_, err := Load("j.yaml", []byte("radius: 25 ft\ndiameter: 24 in\nblank: {size: 26 in, thickness: 1 1/2 in}\nmachine: wide-1250\ncovering: 0.6 mm\ncovering layout: {disc: 6 in}\n"))
	require.ErrorContains(t, err, "a disc of 6 in is too small: along the surface the face is 24.1 in across")
}

// Ribs have a spacing, taken where it is left out; nothing else has one. Layers are counted and
// change nothing of the blank.
func TestRibsAndLayers(t *testing.T) {
	j, err := Load("j.yaml", []byte(plainJobs[key.Dish]+"support: ribs\n"))
	require.NoError(t, err)
	require.InDelta(t, 150, j.Work.Ribs, 1e-12)
	j, err = Load("j.yaml", []byte(plainJobs[key.Dish]+"support: ribs\nrib spacing: 90 mm\n"))
	require.NoError(t, err)
	require.InDelta(t, 90, j.Work.Ribs, 1e-12)
	_, err = Load("j.yaml", []byte(plainJobs[key.Dish]+"support: board\nrib spacing: 90 mm\n"))
	require.ErrorContains(t, err, "does not lie on ribs")
	_, err = Load("j.yaml", []byte(plainJobs[key.Caul]+"rib spacing: 90 mm\n"))
	require.ErrorContains(t, err, "a caul has no rib spacing")
	j, err = Load("j.yaml", []byte("radius: 25 ft\ndiameter: 500 mm\nblank: {size: 600 mm, thickness: 25 mm, layers: 2}\nmachine: bench-600\n"))
	require.NoError(t, err)
	require.Equal(t, 2, j.Work.Layers)
	require.InDelta(t, 25, j.Work.Blank.Thickness, 1e-12)
}

package job

import (
	"math"
	"testing"

	"dishwright/cam"
	"dishwright/cam/work"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What is taken for a blank that is left out, whole or in part.
func TestSoldBlank(t *testing.T) {
	for _, tt := range [...]struct{ text, size, thickness string }{
		{"radius: 28 ft\ndiameter: 24 in\n", "25 in", "3/4 in"},
		{"radius: 28 ft\ndiameter: 2 ft\n", "25 in", "3/4 in"},
		{"radius: 15 ft\ndiameter: 600 mm\n", "620 mm", "18 mm"},
		{"radius: 15 ft\ndiameter: 620 mm\n", "640 mm", "25 mm"},
		{"radius: 15 ft\ndiameter: 460 mm\nfloor: 12 mm\n", "480 mm", "18 mm"},
		{"radius: 15 ft\ndiameter: 460 mm\nfloor: 14 mm\n", "480 mm", "25 mm"},
		{"radius: 15 ft\ndiameter: 460 mm\nfloor: 1 1/2 in\n", "480 mm", "50 mm"},
		{"radius: 15 ft\ndiameter: 460 mm\nland: 30 mm\n", "520 mm", "18 mm"},
		{"radius: 15 ft\ndiameter: 460 mm\nextras: {cut out: {tabs: 4}}\n", "540 mm", "18 mm"},
		{"radius: 15 ft\ndiameter: 460 mm\nblank: {size: 500 mm}\n", "", "18 mm"},
		{"radius: 15 ft\ndiameter: 460 mm\nblank: {thickness: 30 mm}\n", "480 mm", ""},
		{"radius: 15 ft\ndiameter: 460 mm\nblank: {shape: round}\n", "480 mm", "18 mm"},
		{"form: caul\nradius: 15 ft\ndiameter: 380 mm\n", "470 mm", "18 mm"},
		{"form: pair\nplate: 3 mm\nradius: 15 ft\ndiameter: 380 mm\n", "470 mm", "18 mm"},
		{"form: board\nradius: 20 ft\nlength: 20 in\nwidth: 3 in\n", "23 in by 6 in", "3/4 in"},
		{"form: gauge\nradii: [15 ft, 20 ft, 25 ft]\nlength: 300 mm\n", "360 mm by 250 mm", "4 mm"},
		{"form: gauge\nradii: [15 ft]\nlength: 12 in\n", "15 in by 4 in", "1/8 in"},
	} {
		j, err := Load("job.yaml", []byte(tt.text+"machine: wide-1250\n"))
		require.NoError(t, err, tt.text)
		taken := map[string]string{}
		for _, d := range j.Defaults {
			taken[d.Key] = d.Value
		}
		require.Equal(t, [2]string{tt.size, tt.thickness}, [2]string{taken["blank size"], taken["blank thickness"]}, tt.text)
		require.Positive(t, j.Work.Blank.Thickness)
	}
	require.ErrorContains(t, func() error { _, err := LoadRim("job.yaml", []byte("form: rim\ncut: mould\n")); return err }(), `the key "blank" is missing`)
}

// Whatever is asked for, what is taken holds it: the face lies within, the floor stays,
// and no side is wider than what passes between the uprights where the face is not.
func TestSuggestBlank(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		long, wide := rapid.Float64Range(20, 3000).Draw(t, "long"), rapid.Float64Range(20, 3000).Draw(t, "wide")
		deep, land := rapid.Float64Range(0, 250).Draw(t, "deep"), rapid.Float64Range(0, 100).Draw(t, "land")
		widest, inches := rapid.SampledFrom([]float64{0, 300, 700.5, 1300}).Draw(t, "widest"), rapid.Bool().Draw(t, "inches")
		s := SuggestBlank(long, wide, deep, land, widest, inches)
		step := map[bool]float64{false: 10, true: 25.4}[inches]
		for _, side := range [...][2]float64{{s.Length, long}, {s.Width, wide}} {
			require.GreaterOrEqual(t, side[0]+1e-6, side[1])
			require.Less(t, side[0], side[1]+2*land+step)
			if side[0]+1e-6 < side[1]+2*land {
				require.LessOrEqual(t, side[0], widest, "no land, and no uprights in the way")
			}
			require.InDelta(t, math.Round(side[0]/step), side[0]/step, 1e-9, "a round size")
		}
		require.GreaterOrEqual(t, s.Thickness, deep)
		require.Less(t, s.Thickness, max(deep+26, 19.1))
	})
}

// Two lines and a machine make a job on every built-in machine that holds it.
func TestTwoLines(t *testing.T) {
	for _, name := range machines.BuiltinNames() {
		j, err := Source{File: "job.yaml", Data: []byte("radius: 25 ft\ndiameter: 200 mm\n"), Shop: &Shop{"shop.yaml", []byte("machine: " + name + "\n")}}.Load()
		require.NoError(t, err, name)
		require.Empty(t, cam.Feasible(work.Whole(&j.Work)), name)
	}
}

// Of a face that cannot be read no blank is suggested, in inches neither.
func TestNoBlankForNoFace(t *testing.T) {
	_, err := Load("job.yaml", []byte("form: board\nradius: 28\nlength: 20 in\nwidth: 3 in\nmachine: bench-600\n"))
	require.ErrorContains(t, err, "job.yaml:2:9: ")
	require.NotContains(t, err.Error(), "\njob.yaml", "nothing else is wrong")
}

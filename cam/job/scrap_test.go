package job_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish"
)

// scrapped is a job whose blank is held down and touched off in a hole of its own.
const scrapped = `form: dish
radius: 25 ft
diameter: 300 mm
covering: 0.6 mm
machine: bench-600
blank: {size: 400 mm, thickness: 18 mm, material: plywood}
hold downs: [{x: 190 mm, y: 190 mm, radius: 5 mm, height: 12 mm}]
shelf:
  small: {shape: flat, diameter: 6 mm, flutes: 2, flute length: 15 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}
  stub: {shape: flat, diameter: 6 mm, flutes: 2, flute length: 1.5 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 1 mm}
  round: {shape: ball, diameter: 12 mm, flutes: 2, flute length: 20 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}
extras: {centre hole: 8 mm}
touch off: {on: centre hole}
`

// A scrap is cut on the job's machine as that is, in its wood, by one cutter of its shelf, with
// nothing of the job's own piece.
func TestScrap(t *testing.T) {
	j := load(t, scrapped+"zero: centre-bed\n")
	j.Work.Machine.Errors.Scale.X, j.Work.Machine.Errors.Corrected = 0.001, true
	s, err := j.Scrap("small")
	require.NoError(t, err)
	w := s.Work
	require.Equal(t, "scrap", s.Form.Word())
	require.Equal(t, dish.Blank{Shape: dish.Square, Length: s.Marks.Size, Width: s.Marks.Size, Thickness: 18}, w.Blank)
	require.Equal(t, []any{"plywood", false, false, 6.0, "diagonals"}, []any{w.Material, w.HasFace(), w.ZeroAtBed, w.Floor, w.TouchOff.On})
	require.True(t, w.Machine.Errors.NoneKnown())
	require.Empty(t, w.HoldDowns)
	require.Len(t, w.Extras.Runs, len(s.Marks.Cuts))
	require.Equal(t, "small", w.Extras.Runs[0].Cutter)
	require.False(t, j.Work.Machine.Errors.NoneKnown(), "the job stays as it is")
	require.Len(t, j.Work.HoldDowns, 1)

	// Its number stands for the marks, the machine and the wood's thickness; not for the job.
	round, err := j.Scrap("round")
	require.NoError(t, err)
	require.NotEqual(t, s.Mark(), round.Mark())
	other := j
	other.Work.Scallop, other.Work.Name, other.Work.HoldDowns = 0.05, "other", nil
	same, err := other.Scrap("small")
	require.NoError(t, err)
	require.Equal(t, s.Mark(), same.Mark())
}

// What a scrap cannot be cut with or in is told at the job's key, with what would do.
func TestScrapRefused(t *testing.T) {
	j := load(t, scrapped)
	for _, bad := range []struct {
		cutter    string
		thickness float64
		says      string
		line      string
	}{
		{"large", 18, `no cutter named "large"`, "job.yaml:9:"},
		{"stub", 18, "the flutes of stub, 1.5 mm long", "job.yaml:10:"},
		{"round", 9, "a scrap of 9 mm is too thin", "job.yaml:6:"},
	} {
		j.Work.Blank.Thickness = bad.thickness
		_, err := j.Scrap(bad.cutter)
		require.ErrorContains(t, err, bad.says)
		require.ErrorContains(t, err, bad.line)
		require.ErrorContains(t, err, "hint: ")
	}
}

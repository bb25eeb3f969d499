package shop

import (
	"slices"
	"testing"

	"dishwright/cam"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
)

// The index error is blamed for a broken scallop only where the passes alone would keep it.
func TestIndexErrorIsNotBlamedForAll(t *testing.T) {
	face, err := dish.NewFace(dish.Hollow, 7620, 200)
	require.NoError(t, err)
	m, ok := machines.Builtin("bench-600")
	require.True(t, ok)
	w := work.Work{Face: face, Region: dish.Disc{Radius: 200}, Machine: m, Blank: dish.Blank{Shape: dish.Square, Length: 440, Width: 440, Thickness: 20},
		Shelf: []path.Cutter{{Name: "flat", Shape: path.Flat, Diameter: 12}}, Pattern: work.Auto, Rough: work.Auto, Finish: work.Auto}
	w.Scallop, w.Setups = 0.05, work.Setups{Count: 2, By: work.ByMarks, Error: work.IndexError{Shift: 0.05, Height: 0.01}}
	sideways, height := w.Adds()
	blamed := func(alone float64) bool {
		r := &Result{Plan: cam.Plan{Work: w, Layout: work.Layouts(work.Whole(&w))[0]}}
		r.inSetups(proof.Scallop{Certified: alone + sideways + height})
		return slices.ContainsFunc(r.Report.Warnings, func(w work.Warning) bool { return w.Kind == WarnIndexError })
	}
	require.False(t, blamed(w.Scallop-sideways-height-0.001), "kept")
	require.True(t, blamed(w.Scallop-0.001), "the index error's")
	require.False(t, blamed(w.Scallop+0.001), "the passes' own")
}

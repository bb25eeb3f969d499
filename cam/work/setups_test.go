package work_test

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
)

// A blank is slid by whole millimetres, or by tenths of an inch where the machine counts in
// inches: as a stop block is made.
func TestSlidByWholeSteps(t *testing.T) {
	w := given.Work(dish.Hollow, 4572, 100)
	w.Machine.Travel.X, w.Machine.Travel.Y, w.Setups.By, w.Shelf = 181.3, 400, work.ByFence, []path.Cutter{given.HalfBall}
	for _, unit := range []machines.Unit{machines.Millimetres, machines.Inches} {
		w.Machine.Unit = unit
		step := 1.0
		if unit == machines.Inches {
			step = 2.54
		}
		by := work.Slid(work.Whole(&w))[0][1].Setups[0].X / step
		require.InDelta(t, math.Round(by), by, 1e-9)
		require.Less(t, by, -20.0)
	}
}

package pass_test

import (
	"math"
	"testing"

	"dishwright/cam"
	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
)

// Passes cut no wood outside what is said to be cleared, whichever cutter roughs for which;
// and what is said is no more than a few millimetres too much.
func TestPassesKeepToWhatIsCleared(t *testing.T) {
	small := func(c path.Cutter) path.Cutter {
		c.Diameter, c.Corner, c.Core = c.Diameter/3, c.Corner/3, c.Core/3
		c.DepthOfCut = 1.2
		return c
	}
	cutters := []path.Cutter{small(given.HalfBall), small(given.InchFlat), small(given.BigBull), small(given.HalfFlat)}
	board := given.Work(dish.Hollow, 160, dish.Strip{Length: 80, Width: 34}.OuterRadius())
	board.Region = dish.Strip{Length: 80, Width: 34}
	round := board
	round.Face.Cylinder = true
	caul := given.Work(dish.Crown, 150, 40)
	steep := given.Work(dish.Crown, 80, 39)
	edge := mould(t, 1500, mouldLine(90, 70, 0.2, 8), 12, 0.2)
	for _, k := range []struct {
		name  string
		work  work.Work
		apart float64 // the most that passes stay short of what is said, mm
	}{{"board", board, 3.5}, {"cylinder", round, 3.5}, {"caul", caul, 0.001}, {"steep caul", steep, 0.001}, {"mould", edge, 0.5}} {
		for i, rough := range cutters {
			for j, finish := range cutters {
				if (i+2*j)%3 != 0 && !chance.Long() {
					continue
				}
				w := k.work
				w.Blank.Length, w.Blank.Width, w.Blank.Thickness, w.Shelf, w.Scallop = w.Blank.Length+60, w.Blank.Width+60, 60, cutters, 0.2
				rough.Name, finish.Name = "rough", "finish"
				if rough.Diameter == finish.Diameter && rough.Shape == finish.Shape {
					finish.Name = "rough"
				}
				beyond := func(s work.Section, c path.Cutter) float64 {
					r, most := pass.Cleared(work.Whole(&w), c, finish), math.Inf(-1)
					for _, m := range s.Moves {
						if m.To.Z < 0 {
							off, _ := r.Off(m.To.X, m.To.Y)
							most = math.Max(most, off+c.Body().HalfWidth(-m.To.Z))
						}
					}
					return most
				}
				section, left, err := pass.Roughing(work.Whole(&w), rough, finish)
				if err != nil {
					require.ErrorAs(t, err, new(work.Problems))
					continue
				}
				if d := beyond(section, rough); len(section.Moves) > 0 {
					require.LessOrEqual(t, d, 0.001, "%s, %s for %s", k.name, rough.Shape, finish.Shape)
					require.GreaterOrEqual(t, d, -k.apart, "%s, %s for %s", k.name, rough.Shape, finish.Shape)
				}
				if section, err = pass.Finishing(work.Whole(&w), finish, left); err == nil {
					require.LessOrEqual(t, beyond(section, finish), 0.001, "%s, finishing with %s", k.name, finish.Shape)
				}
			}
		}
	}
}

// The place at which the land of a board is touched lies clear of what roughing with a
// round cutter takes beside it, where there is little land.
func TestTouchedLandOfABoardStays(t *testing.T) {
	w := given.Work(dish.Hollow, 260, dish.Strip{Length: 120, Width: 70}.OuterRadius())
	w.Region = dish.Strip{Length: 120, Width: 70}
	rough, finish := given.HalfBall, given.HalfFlat
	rough.Diameter, finish.DepthOfCut = 24, 1.2
	w.Shelf, w.Rough, w.Finish = []path.Cutter{rough, finish}, rough.Name, finish.Name
	touched := 0
	for land := 8.0; land < 40; land += 4 {
		w.Blank = dish.Blank{Shape: dish.Rectangle, Length: 120 + 2*land, Width: 70 + 2*land, Thickness: 40}
		if x, y, ok := cam.TouchPlace(work.Whole(&w)); ok {
			touched++
			off, _ := pass.Cleared(work.Whole(&w), rough, finish).Off(x, y)
			require.GreaterOrEqual(t, off, 3.9, "%g mm of land", land)
		}
	}
	require.Greater(t, touched, 2)
}

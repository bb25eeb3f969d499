package cam_test

import (
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// No layer of a sector meets a wall of two, whatever the cutter's shape, in the first setup
// or in one that comes after it, nor goes down steeply where anything stands.
func TestSectorLayers(t *testing.T) {
	made := 0
	rapid.Check(t, chance.Few(8, func(t *rapid.T) {
		rim := rapid.SampledFrom([]float64{30, 60, 110}).Draw(t, "rim")
		w := given.Work(rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown}).Draw(t, "kind"), rim*math.Exp(rapid.Float64Range(0.85, 4).Draw(t, "curve")), rim)
		w.Blank.Length, w.Blank.Width, w.Blank.Thickness = 2*rim+100, 2*rim+100, 90
		c, finish := given.HalfFlat, given.BigBull
		c.FluteLength, c.StickOut = 80, 90
		c.Diameter = rapid.SampledFrom([]float64{4, 12.7, 25.4}).Draw(t, "diameter")
		c.Core = float64(c.Diameter * 0.3)
		switch c.Shape = rapid.SampledFrom([]path.Shape{path.Flat, path.Ball, path.Bull}).Draw(t, "shape"); c.Shape {
		case path.Ball:
			c.Core = 0
		case path.Bull:
			c.Corner = float64(c.Diameter * rapid.Float64Range(0.1, 0.3).Draw(t, "corner"))
		}
		c.DepthOfCut = rapid.SampledFrom([]float64{0.8, 1.5, 3}).Draw(t, "depth of cut")
		finish.Diameter, finish.Corner, finish.DepthOfCut = rapid.SampledFrom([]float64{8, 20, 30}).Draw(t, "finish"), 3, 1.9
		half := rapid.SampledFrom([]int{30, 45, 60, 90}).Draw(t, "half")
		p := work.Whole(&w).In(work.Tile{Sector: dish.Sector{Middle: 15 * rapid.IntRange(0, 23).Draw(t, "middle"), Half: half, Margin: 0.3}})
		p.Over = rapid.Float64Range(0.5, 5).Draw(t, "over")
		s, _, err := pass.Roughing(p, c, finish)
		if err != nil || len(s.Moves) == 0 {
			return
		}
		made++
		stock := proof.NewStock(w.Blank, 1)
		stock.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
		x, y := dish.UnitVector(2 * half)
		turned := func(p r3.Vec) r3.Vec { return r3.Vec{X: p.X*x - p.Y*y, Y: p.X*y + p.Y*x, Z: p.Z} }
		for range 2 {
			r := stock.RunOnMachine(w.Machine, c, s.Moves)
			require.LessOrEqual(t, r.Depth, c.DepthOfCut)
			require.LessOrEqual(t, r.Steepest, c.Ramp)
			require.Empty(t, r.Traverses)
			for i, m := range s.Moves {
				s.Moves[i].From, s.Moves[i].To = turned(m.From), turned(m.To)
			}
		}
	}))
	require.Positive(t, made)
}

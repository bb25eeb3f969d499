package pass

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A way down leaves no wood under the core that it never cuts: it leads further than the core
// is wide, or there is none.
func TestWaysDownLeaveNoPost(t *testing.T) {
	made := 0
	rapid.Check(t, func(t *rapid.T) {
		w := given.Work(dish.Hollow, rapid.Float64Range(120, 1000).Draw(t, "radius"), 40)
		c := path.Cutter{Name: "flat", Shape: path.Flat, Diameter: rapid.Float64Range(6, 12).Draw(t, "cutter"), Flutes: 2, Ramp: 3 * math.Pi / 180, DepthOfCut: 5, Shank: 6}
		c.Core = c.Diameter * rapid.Float64Range(0.1, 0.6).Draw(t, "core")
		stands := rapid.Float64Range(0.1, 2).Draw(t, "stands")
		tl, b := work.NewTool(w.Face, c), link.NewBuilder(work.Whole(&w), work.Feeds{Feed: 2000, Plunge: 500})
		l := link.Linker{Builder: b, Cutter: c, Face: &tl, Stands: link.OverFace(stands)}
		y, long, s := rapid.Float64Range(-15, 15).Draw(t, "y"), rapid.Float64Range(1, 15).Draw(t, "long"), link.Stretch{}
		for x := 0.0; x < long; x += 0.7 {
			s.Places = append(s.Places, b.Place(x, y, tl.Tip))
			s.Feeds = append(s.Feeds, 2000)
		}
		s.Feeds = s.Feeds[1:]
		l.Cut(s)
		moves, err := b.Path()
		if err != nil {
			return
		}
		made++
		stock := proof.NewStock(w.Blank, 0.5)
		stock.Raise(-max(0, -tl.Tip(0, y)-stands))
		require.Empty(t, stock.Run(c, moves).Posts)
	})
	require.Greater(t, made, 20)
}

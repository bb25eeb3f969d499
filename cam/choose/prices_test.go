package choose_test

import (
	"strings"
	"testing"

	"dishwright/cam/choose"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
)

// steepDish slopes by 3.5 degrees at its rim, just more than the 3 of a flat's usual ramp.
func steepDish(t *testing.T, extra string) work.Work {
	w := load(t, extra, inch, half).Work
	f, err := dish.NewFace(dish.Hollow, 1475, 90)
	require.NoError(t, err)
	w.CutAll(f)
	w.Wanted, w.Scallop = 1475, 0.1
	w.Blank.Length, w.Blank.Width, w.Blank.Thickness = 230, 230, 25
	return w
}

// Spokes over a face that is a little steeper than the ramp are laid so close that nothing
// stands under the core where they go down, for the field of heights too: it overstates what
// stands. That is far quicker than a raster that climbs.
func TestSpokesCloseUpOnSteepFaces(t *testing.T) {
	w := steepDish(t, "finish: inch\nrough: inch\n")
	c, err := planOf(w)
	require.NoError(t, err)
	require.Equal(t, "spokes", c.Plan.Pattern)
	require.Less(t, c.Plan.Share, 1.0)
	require.Greater(t, c.Plan.Share, 0.3)
	s := proof.NewStock(w.Blank, proof.CellSize(w.Blank, 25.4))
	s.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
	for _, sec := range c.Plan.Programs[0].Sections {
		require.Empty(t, s.RunOnMachine(w.Machine, c.Plan.Programs[0].Cutter, sec.Moves).TooSteep, sec.Pattern)
	}
	sections := c.Plan.Programs[0].Sections
	r, err := proof.Certify(w.Face, 0, []proof.Cut{{Cutter: c.Plan.Programs[0].Cutter, Moves: sections[len(sections)-1].Moves}}, proof.CertifyOptions{Expected: w.Scallop})
	require.NoError(t, err)
	require.LessOrEqual(t, r.Certified, w.Scallop)
	w.Pattern = "raster"
	slow, err := planOf(w)
	require.NoError(t, err)
	require.Greater(t, choose.Seconds(slow.Plan), 1.5*choose.Seconds(c.Plan))
}

// What another ramp, cutter or pattern takes is what it takes when the job says so.
func TestPrices(t *testing.T) {
	for _, extra := range []string{"", "finish: inch\npattern: raster\n"} {
		w := steepDish(t, extra)
		c, err := planOf(w)
		require.NoError(t, err)
		prices := choose.Prices(&w, c)
		require.Len(t, prices, 3)
		for i, start := range []string{"ramp: 3.6 deg", "finish: half", "pattern: "} {
			require.True(t, strings.HasPrefix(prices[i].Change, start), prices[i].Change)
			again, err := planOf(prices[i].Work)
			require.NoError(t, err)
			require.Equal(t, choose.Seconds(again.Plan), prices[i].Seconds)
		}
		flat, _ := prices[0].Work.Cutter("inch")
		require.False(t, work.MustClimb(w.Face, flat))
		require.Less(t, prices[0].Seconds, choose.Seconds(c.Plan), "a ramp that is enough")
		hint := choose.PriceHint(c.Plan, prices)
		require.Regexp(t, `^in place of these \d+ min: ramp: 3\.6 deg, if inch is made to go down so steeply: \d+ min; finish: half: \d+ min; pattern: \w+: \d+ min$`, hint)
	}
	w := steepDish(t, "")
	w.Shelf[0].Ramp *= 2
	c, err := planOf(w)
	require.NoError(t, err)
	require.Empty(t, choose.Prices(&w, c), "nothing is too steep")
	require.Empty(t, choose.PriceHint(c.Plan, nil))
}

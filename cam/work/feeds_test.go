package work_test

import (
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// f = n z fz, which is what a chip load means: 16000 rpm, 2 teeth and 0.05 mm a
// tooth make 16000 · 2 · 0.05 = 1600 mm/min (own derivation).
func TestFeedFromChipLoad(t *testing.T) {
	f, ok := work.NewFeeds(given.Router("bench-600"), given.HalfBall, 0, 3)
	require.True(t, ok)
	require.Equal(t, 1600.0, f.Feed)
	require.Equal(t, 800.0, f.Plunge, "half of it: common practice")
	require.Equal(t, 16000.0, f.Speed)
	require.InDelta(t, 0.05, f.ChipLoad, 1e-15)
	require.Empty(t, f.Limits)
	require.Empty(t, f.Dial)
}

// A side step of the share q of the width makes the thickest chip 2 √(q(1 − q))
// of the chip load. Own derivation, the tooth's path taken as a circle: a tooth
// enters where cos φ = 1 − 2q, and the chip there is fz sin φ = 2 fz √(q(1 − q))
// thick: 0.4359, 0.6, 0.8660 of fz for q = 0.05, 0.1, 0.25. From a half on nothing
// is thinner; that the feed is never raised more than 1.5 times is common practice.
func TestThinChips(t *testing.T) {
	m := given.Router("bench-600")
	for _, tt := range []struct{ q, chip float64 }{{0.05, 0.4359}, {0.1, 0.6}, {0.25, 0.8660}, {0.4, 0.9798}, {0.5, 1}, {0.75, 1}} {
		f, ok := work.NewFeeds(m, given.HalfFlat, tt.q*12.7, 2)
		require.True(t, ok)
		want := math.Min(1.5, 1/tt.chip)
		require.InDelta(t, 1920*want, f.Feed, 1.5, "q %g", tt.q)
		require.Equal(t, want > 1, len(f.Limits) == 1, "what raised the feed is said")
	}
	// A ball of radius 6.35 mm cuts 2 √(h (2r − h)) = 4.4362 wide at a depth of 0.4:
	// the chord of a segment, Machinery's Handbook, 31st ed., p. 79.
	require.InDelta(t, 4.4362, given.HalfBall.Body().Width(0.4), 5e-5)
	require.InDelta(t, 12.7, given.HalfBall.Body().Width(6.35), 1e-12)
	require.InDelta(t, 12.7, given.HalfBall.Body().Width(50), 1e-12, "never wider than it is")
	require.InDelta(t, 12.7, given.HalfFlat.Body().Width(0.4), 1e-12)
	require.InDelta(t, 2*9.525, given.BigBull.Body().Width(0), 1e-12)
	f, ok := work.NewFeeds(m, given.HalfBall, 0.25*4.4362, 0.4)
	require.True(t, ok)
	require.InDelta(t, 1600/0.8660, f.Feed, 3)
}

// Finishing raises the feed no further than its depth lies below the depth of cut (3 mm):
// at three quarters of it by a third, from two thirds on by half at most.
func TestFinishingCutsNoMoreOffATooth(t *testing.T) {
	m := given.Router("bench-600")
	for depth, want := range map[float64]float64{3: 1, 2.25: 4 / 3.0, 2: 1.5, 0.4: 1.5} {
		f, ok := work.NewFeeds(m, given.HalfFlat, 0.05*12.7, depth)
		require.True(t, ok)
		require.InDelta(t, 1920*want, f.Feed, 1, "depth %g", depth)
	}
	wide, _ := work.NewFeeds(m, given.HalfFlat, 0.25*12.7, 2.25)
	require.InDelta(t, 1920/0.8660, wide.Feed, 1.5, "as the step alone has it")
	zero, _ := work.NewFeeds(m, given.HalfFlat, 1, 0)
	require.Equal(t, 2880.0, zero.Feed)
}

// The machine's feed caps the cutter's: the speed comes down with it, so that
// the chip stays as thick as it can.
func TestTheMachineCapsTheFeed(t *testing.T) {
	m := given.Router("bench-600")
	c := given.InchFlat
	c.ChipLoad = 0.2 // 6400 mm/min at 16000, the machine does 5000
	f, ok := work.NewFeeds(m, c, 0, 2)
	require.True(t, ok)
	require.Equal(t, 12500.0, f.Speed)
	require.Equal(t, 5000.0, f.Feed)
	require.InDelta(t, 0.2, f.ChipLoad, 1e-12)
	require.Len(t, f.Limits, 1)
	// Further than the spindle's slowest it cannot: the chip gets thinner.
	c.ChipLoad = 0.5
	f, ok = work.NewFeeds(m, c, 0, 2)
	require.True(t, ok)
	require.Equal(t, 8000.0, f.Speed)
	require.InDelta(t, 5000.0/8000/2, f.ChipLoad, 1e-12)
	// Nor does thinning raise the feed beyond the machine's.
	f, ok = work.NewFeeds(m, c, 1, 2)
	require.True(t, ok)
	require.Equal(t, 5000.0, f.Feed)
}

// A hand router has a few speeds: the highest that is not above the wanted one.
func TestDials(t *testing.T) {
	m := given.Router("bench-400") // 9400, 13100, 16900, 22700
	f, ok := work.NewFeeds(m, given.HalfFlat, 0, 2)
	require.True(t, ok)
	require.Equal(t, "2", f.Dial)
	require.Equal(t, 13100.0, f.Speed)
	require.Equal(t, 1572.0, f.Feed)
	require.Len(t, f.Limits, 1)
	c := given.HalfFlat
	c.Speed, c.FastestSpeed = 30000, 30000
	c.ChipLoad = 0.1 // 4540 at 22700: too fast for 3500, so down to 16900
	f, ok = work.NewFeeds(m, c, 0, 2)
	require.True(t, ok)
	require.Equal(t, "3", f.Dial)
	require.Equal(t, 3380.0, f.Feed)
	c.ChipLoad = 0.3 // even the slowest setting is too fast
	f, ok = work.NewFeeds(m, c, 0, 2)
	require.True(t, ok)
	require.Equal(t, "1", f.Dial)
	require.Equal(t, 3500.0, f.Feed)
	c.Speed = 9000
	_, ok = work.NewFeeds(m, c, 0, 2)
	require.False(t, ok, "it cannot run so slowly")
	c.Speed, c.FastestSpeed = 30000, 9000
	_, ok = work.NewFeeds(m, c, 0, 2)
	require.False(t, ok, "nor at the fastest that the cutter may")
}

// Whatever cutter and machine: the speed is the spindle's and not above the
// cutter's, the feed within the machine's and a multiple of what can be written,
// the chip not thicker than the cutter's, and thinning within 1 to 1.5.
func TestFeedsKeepEveryLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := given.Router(rapid.SampledFrom([]string{"bench-600", "bench-400", "inch-24", "desktop-300", "wide-1250"}).Draw(t, "machine"))
		c := path.Cutter{Shape: rapid.SampledFrom([]path.Shape{path.Ball, path.Flat}).Draw(t, "shape"), Diameter: rapid.Float64Range(1, 60).Draw(t, "diameter"),
			Flutes: rapid.IntRange(1, 8).Draw(t, "flutes"), Speed: rapid.Float64Range(3000, 40000).Draw(t, "speed"),
			FastestSpeed: rapid.Float64Range(3000, 40000).Draw(t, "fastest"), ChipLoad: rapid.Float64Range(0.005, 1).Draw(t, "chip load"), DepthOfCut: rapid.Float64Range(0.1, 10).Draw(t, "depth of cut")}
		step, depth := c.Diameter*rapid.Float64Range(0, 1).Draw(t, "step"), rapid.Float64Range(0, 10).Draw(t, "depth")
		f, ok := work.NewFeeds(m, c, step, depth)
		s := m.Spindle
		slow := s.Slowest
		if m.HandRouter() {
			slow = s.Dial[0].Speed
		}
		require.Equal(t, math.Min(c.Speed, c.FastestSpeed) >= slow, ok)
		if !ok {
			return
		}
		require.LessOrEqual(t, f.Speed, math.Min(c.Speed, c.FastestSpeed))
		require.GreaterOrEqual(t, f.Speed, slow)
		require.Equal(t, m.HandRouter(), f.Dial != "")
		require.LessOrEqual(t, f.Feed, math.Min(m.Feed.X, m.Feed.Y)*(1+1e-9))
		require.Positive(t, f.Feed)
		require.Positive(t, f.Plunge)
		require.LessOrEqual(t, f.Plunge, math.Max(f.Feed, work.FeedStep(m)))
		require.LessOrEqual(t, f.ChipLoad, c.ChipLoad*(1+1e-9))
		own := f.ChipLoad * f.Speed * float64(c.Flutes)
		require.Greater(t, f.Feed, own-work.FeedStep(m)*(1+1e-6))
		require.LessOrEqual(t, f.Feed, 1.5*own*(1+1e-9))
		steps := f.Feed / work.FeedStep(m)
		require.InDelta(t, math.Round(steps), steps, 1e-6)
	})
}

package pass_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/motion"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// ridgeOf certifies a finishing by itself, to a twentieth of the scallop: closer
// would take the most time of all these tests.
func ridgeOf(t require.TestingT, w work.Work, c path.Cutter, s work.Section) proof.Scallop {
	cuts := []proof.Cut{{Cutter: c, Moves: s.Moves}}
	worst, _ := proof.DeepestGouge(w.Face, cuts)
	require.LessOrEqual(t, worst.Amount, proof.GougeTolerance, "%s: gouge %+v", s.Pattern, worst)
	ridge, err := proof.Certify(w.Face, 0, cuts, proof.CertifyOptions{Expected: w.Scallop, Slack: w.Scallop / 20})
	require.NoError(t, err)
	return ridge
}

// Spokes leave about what they are spaced for, with each cutter on hollows and
// crowns, from shallow to so steep that they have to climb; less only where they
// stand as far apart as the cutter is wide or climb.
func TestSpokesComeNearTheScallop(t *testing.T) {
	flats := []path.Cutter{given.InchFlat, given.TwoInch(), given.HalfFlat}
	all := append(flats, given.BigBull)
	for _, size := range []struct {
		radius, rim, scallop float64
		cutters              []path.Cutter
	}{
		{7620, 200, 0.05, []path.Cutter{given.TwoInch()}},
		{7620, 100, 0.05, flats},
		{7620, 70, 0.02, all},
		{1500, 85, 0.08, flats},
		{3000, 160, 0.2, []path.Cutter{given.InchFlat}},
		{4572, 90, 0.1, all},
		{9000, 150, 0.3, all},
		{500, 45, 0.1, []path.Cutter{given.InchFlat, given.HalfFlat}},
		{500, 30, 0.12, []path.Cutter{given.BigBull}},
	} {
		if size.rim > 85 && !chance.Long() {
			continue // they take a second and a half
		}
		for _, c := range size.cutters {
			for _, k := range []dish.Kind{dish.Hollow, dish.Crown} {
				t.Run(fmt.Sprintf("%s %s %g %g %g", c.Name, k, size.radius, size.rim, size.scallop), func(t *testing.T) {
					t.Parallel()
					w := given.Work(k, size.radius, size.rim)
					w.Pattern, w.Scallop = "spokes", size.scallop
					s, err := pass.Finishing(work.Whole(&w), c, 0.4)
					if sag := dish.Drop(size.radius-c.Body().Corner, c.Body().Flat); k == dish.Hollow && sag > 0.95*w.Scallop {
						require.Error(t, err, "its level end cannot come so low over the apex")
						return
					}
					if k == dish.Crown && work.MustClimb(w.Face, c) {
						require.ErrorContains(t, err, "go down a crown's slope")
						return
					}
					require.NoError(t, err)
					given.RequireMoves(t, w, s.Moves)
					r := ridgeOf(t, w, c, s)
					require.LessOrEqual(t, r.Certified, 1.15*w.Scallop, "%s %+v", s.Pattern, r)
					// Passes that must climb may stand closer, for the core of the next.
					if s.Widest < 0.9*c.Diameter && !work.MustClimb(w.Face, c) {
						require.GreaterOrEqual(t, r.Found, 0.85*w.Scallop, "%s %+v", s.Pattern, r)
					}
				})
			}
		}
	}
}

// What a builder's dish of 25 ft, 600 mm across, takes with spokes, and how little
// of the time goes to what is not cutting at the full feed: they are one way, come
// to once and lifted from once.
func TestSpokesAreShort(t *testing.T) {
	for _, tt := range []struct {
		cutter path.Cutter
		metres float64
		times  float64 // what it would take at the full feed all along
	}{{given.InchFlat, 27, 1.17}, {given.TwoInch(), 18.5, 1.22}, {given.BigBull, 31, 1.13}} {
		w := given.Work(dish.Hollow, 7620, 300)
		w.Pattern, w.Scallop = "spokes", 0.05
		p := work.Whole(&w)
		p.Share = 0.97
		s, err := pass.Finishing(p, tt.cutter, 0.4)
		require.NoError(t, err)
		long := given.InPlan(s.Moves)
		require.LessOrEqual(t, long/1000, tt.metres, "%s: %s", tt.cutter.Name, s.Pattern)
		total := motion.Estimate(w.Machine, path.Path{Moves: s.Moves}).Total
		require.LessOrEqual(t, total/(long/s.Feeds.Feed*60), tt.times, "%s: %.0f s at %.0f mm/min", tt.cutter.Name, total, s.Feeds.Feed)
		require.Equal(t, 1, chains(s.Moves), tt.cutter.Name)
	}
}

// chains returns how often moves come to cutting after not cutting.
func chains(moves []path.Move) (n int) {
	for i, m := range moves {
		if m.Kind != path.Traverse && (i == 0 || moves[i-1].Kind == path.Traverse) {
			n++
		}
	}
	return n
}

// Where the cutter may not go down into stock, no spoke does on a steep hollow,
// and they are one way all the same. The steps are so narrow that the two passes
// beside one clear what is under its middle.
func TestSpokesClimb(t *testing.T) {
	c, w := given.InchFlat, given.Work(dish.Hollow, 1500, 110)
	w.Pattern, w.Scallop = "spokes", 0.07
	require.True(t, work.MustClimb(w.Face, c))
	s, err := pass.Finishing(work.Whole(&w), c, w.Allowance)
	require.NoError(t, err)
	require.Equal(t, 1, chains(s.Moves), c.Name)
	stock := proof.NewStock(w.Blank, 0.25)
	stock.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
	rough, _, err := pass.Roughing(work.Whole(&w), given.HalfBall, c)
	require.NoError(t, err)
	stock.RunOnMachine(w.Machine, given.HalfBall, rough.Moves)
	r := stock.RunOnMachine(w.Machine, c, s.Moves)
	require.Empty(t, r.TooSteep, "%s: %+v", c.Name, r)
}

// What spokes are nothing for is said, with what would do.
func TestSpokesRefuse(t *testing.T) {
	w, crown, flat := given.Work(dish.Hollow, 7620, 100), given.Work(dish.Crown, 7620, 100), given.Work(dish.Flat, 0, 100)
	require.Contains(t, pass.Suits(&w, "spokes", given.HalfBall), "ball")
	require.Contains(t, pass.Suits(&flat, "spokes", given.InchFlat), "flat face")
	require.Empty(t, pass.Suits(&crown, "spokes", given.BigBull))
	for _, tt := range []struct {
		key    work.Key
		change func(*work.Work, *path.Cutter)
	}{
		{"direction", func(w *work.Work, _ *path.Cutter) { w.Direction = work.Uphill }},
		{"pattern", func(w *work.Work, c *path.Cutter) { *c = given.HalfBall }},
		{"scallop", func(w *work.Work, _ *path.Cutter) { w.Scallop = 0.006 }},
	} {
		w, c := given.Work(dish.Hollow, 7620, 100), given.InchFlat
		w.Pattern = "spokes"
		tt.change(&w, &c)
		_, err := pass.Finishing(work.Whole(&w), c, 0.4)
		var ps work.Problems
		require.ErrorAs(t, err, &ps)
		require.Equal(t, tt.key, ps[0].Key, "%v", ps)
		require.NotEmpty(t, ps[0].Hint.String())
	}
}

// Whatever work comes in, there come out Problems or spokes that gouge nothing and
// leave little more than they are spaced for; what is over, spacing again takes away.
func TestAnySpokes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		w := given.AnyWork(t, 30)
		w.Pattern, w.Scallop = "spokes", math.Max(w.Scallop, 0.02)
		c, _ := w.Cutter("finish")
		s, err := pass.Finishing(work.Whole(&w), c, w.Allowance)
		var ps work.Problems
		if errors.As(err, &ps) {
			for _, one := range ps {
				require.NotEmpty(t, one.Key)
				require.NotEmpty(t, one.Message.String())
				require.NotEmpty(t, one.Hint.String())
			}
			return
		}
		require.NoError(t, err)
		given.RequireMoves(t, w, s.Moves)
		require.Equal(t, 1, chains(s.Moves))
		r := ridgeOf(t, w, c, s)
		require.LessOrEqual(t, r.Certified, 1.3*w.Scallop, "%s %+v %+v %+v", s.Pattern, r, w.Face, c)
	})
}

// Where a face is so steep that passes only go down between two that are cut, a
// wide core has them closer together than a narrow one, and one as wide as the
// flat is refused: it would meet what the two leave.
func TestSpokesKeepTheCoreClear(t *testing.T) {
	c := given.BigBull
	c.Diameter, c.Corner = 16.54, 0.51
	w := given.Work(dish.Hollow, 2171, 205)
	w.Pattern, w.Scallop = "spokes", 0.19
	widest := math.Inf(1)
	for _, core := range []float64{1, 5, 8} {
		c.Core = core
		s, err := pass.Finishing(work.Whole(&w), c, 0.4)
		require.NoError(t, err)
		require.Less(t, s.Widest, widest, "core %g", core)
		widest = s.Widest
	}
	c.Core = 15.5
	_, err := pass.Finishing(work.Whole(&w), c, 0.4)
	require.ErrorContains(t, err, "its middle would still meet stock")
}

// On a hollow whose slope the cutter may just go down, no chord that ends in stock is
// steeper, those that come in over the rim included.
func TestPassesComeInNotSteeply(t *testing.T) {
	crossed := 0
	rapid.Check(t, chance.Few(15, func(t *rapid.T) {
		R := rapid.Float64Range(60, 1000).Draw(t, "radius")
		w := given.Work(dish.Hollow, R, R*rapid.Float64Range(0.044, 0.0515).Draw(t, "rim"))
		c := given.HalfFlat
		c.Diameter = rapid.Float64Range(3, 12.7).Draw(t, "diameter")
		c.Core = c.Diameter * rapid.Float64Range(0.1, 0.5).Draw(t, "core")
		w.Pattern, w.Scallop, w.Shelf = "spokes", rapid.Float64Range(0.05, 0.3).Draw(t, "scallop"), []path.Cutter{c}
		if work.MustClimb(w.Face, c) {
			return
		}
		s, err := pass.Finishing(work.Whole(&w), c, 0.4)
		if err != nil {
			return
		}
		for i, m := range s.Moves {
			along := math.Hypot(m.To.X-m.From.X, m.To.Y-m.From.Y)
			if m.Kind != path.Line || along == 0 || m.To.Z >= 0 {
				continue
			}
			require.LessOrEqual(t, m.From.Z-m.To.Z, math.Tan(c.Ramp)*along+2*w.Machine.Step(), "move %d of %d, from Z%.4f to Z%.4f", i, len(s.Moves), m.From.Z, m.To.Z)
			if m.From.Z > 0 {
				crossed++
			}
		}
	}))
	require.Positive(t, crossed)
}

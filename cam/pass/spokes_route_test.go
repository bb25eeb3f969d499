package pass

import (
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anySpokes draws the spokes of a face, planned.
func anySpokes(t *rapid.T, kind dish.Kind) (spokes, bool) {
	rim := rapid.Float64Range(40, 250).Draw(t, "rim")
	w := given.Work(kind, rapid.Float64Range(3*rim, 40*rim).Draw(t, "radius"), rim)
	w.Pattern, w.Scallop = "spokes", rapid.Float64Range(0.03, 0.4).Draw(t, "scallop")
	c := rapid.SampledFrom([]path.Cutter{given.InchFlat, given.HalfFlat, given.BigBull}).Draw(t, "cutter")
	s, err := newSpokes(work.Whole(&w), c, work.NewBudget(&w, c, 1))
	if err != nil {
		return spokes{}, false
	}
	return s, true
}

// The numbers of passes are even and fall towards the apex, belt after belt with
// no gap between, and at the outer end of each they keep within the scallop.
func TestBelts(t *testing.T) {
	rapid.Check(t, chance.Few(20, func(t *rapid.T) {
		s, ok := anySpokes(t, rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown}).Draw(t, "kind"))
		if !ok {
			return
		}
		for i, b := range s.belts {
			require.Zero(t, b.count%2)
			if i > 0 {
				require.Less(t, b.count, s.belts[i-1].count)
				require.Equal(t, s.belts[i-1].in, b.out)
			}
			if last := i == len(s.belts)-1; last {
				require.Equal(t, 2, b.count)
				require.Zero(t, b.in)
			} else {
				require.Less(t, b.in, b.out)
			}
		}
		require.Equal(t, s.belts[0].count, s.Count())
		require.Len(t, s.lines, s.Count())
		require.True(t, serves(s.tool, s.piece.Face.Rim, 0.5/float64(s.Count()), s.budget.Ridge))
		if n := s.Count() - 2; n > 0 {
			require.False(t, serves(s.tool, s.piece.Face.Rim, 0.5/float64(n), s.budget.Ridge), "two fewer would do")
		}
		// Passes keep their order round the circle, all the way in.
		for i := 1; i < len(s.lines); i++ {
			a, b := s.lines[i-1], s.lines[i]
			for k := range min(len(a), len(b)) {
				require.Equal(t, a[k].D, b[k].D)
				require.Less(t, a[k].turns, b[k].turns)
			}
		}
	}))
}

// As many groups stay as asked, never a half of the pass across goes, and those
// that go are spread evenly.
func TestSurvivors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pairs := rapid.IntRange(1, 200).Draw(t, "pairs")
		keep := rapid.IntRange(0, pairs-1).Draw(t, "keep")
		alive := groups(pairs)
		stays := survivors(alive, keep)
		kept, gone, most := 0, 0, 0
		for j, g := range alive {
			switch {
			case g.size == 1:
				require.True(t, stays[j])
			case stays[j]:
				kept++
			}
			if gone++; stays[j] {
				gone = 0
			}
			most = max(most, gone)
		}
		require.Equal(t, keep, kept)
		require.LessOrEqual(t, most, pairs/max(1, keep)+1)
		// The groups are all passes, in order, once each.
		next := 0
		for _, g := range alive {
			require.Equal(t, next, g.first)
			next += g.size
		}
		require.Equal(t, 2*pairs+2, next)
	})
}

// On a steep face every pair that ends on the steep part hangs on one group before
// it that ends further in, and is drawn once.
func TestHanging(t *testing.T) {
	steepOnes := 0
	rapid.Check(t, chance.Few(25, func(t *rapid.T) {
		s, ok := anySpokes(t, dish.Hollow)
		if !ok {
			return
		}
		r := route{spokes: s}
		r.gentle = rapid.Float64Range(r.tip(0).D, s.piece.Face.Rim).Draw(t, "gentle")
		all := groups(s.belts[0].pairs())
		hang := r.hanging(all)
		on := map[int]int{}
		for host, pairs := range hang {
			last := math.Inf(1)
			for _, p := range pairs {
				_, twice := on[p]
				require.False(t, twice, "pair %d hangs twice", p)
				on[p] = host
				require.Less(t, host, p)
				require.LessOrEqual(t, r.tip(p).D, last, "the outermost first")
				last = r.tip(p).D
				require.Less(t, math.Max(r.gentle, r.tip(host).D), r.tip(p).D)
			}
		}
		for _, g := range all {
			_, hangs := on[g.first]
			require.Equal(t, r.tip(g.first).D > r.gentle, hangs, "%+v", g)
			if hangs {
				steepOnes++
			}
		}
	}))
	require.Positive(t, steepOnes)
}

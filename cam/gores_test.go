package cam_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"dishwright/cam"
	"dishwright/cam/chance"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// inPlan returns how far the cutting moves run in plan.
func inPlan(moves []path.Move) (mm float64) {
	for _, m := range moves {
		if m.Kind != path.Traverse {
			mm += math.Hypot(m.To.X-m.From.X, m.To.Y-m.From.Y)
		}
	}
	return mm
}

// Gores keep the scallop, certified, with each cutter on hollows and crowns, and
// come close to it: an even pattern that is far under it takes too long.
func TestGoresKeepTheScallop(t *testing.T) {
	wide := cam.InchFlat
	wide.Name, wide.Diameter, wide.Core = "2 in flat", 50.8, 15
	for _, tt := range []struct {
		kind        dish.Kind
		cutter      path.Cutter
		radius, rim float64
		scallop     float64
		most        float64 // of path, m; 0 where none is asked
	}{
		// The workshop's own measurements of a prototype: 28 m and 2 m of links.
		{dish.Hollow, cam.InchFlat, 7620, 300, 0.05, 29.5},
		{dish.Hollow, wide, 7620, 300, 0.05, 20.5},
		{dish.Hollow, cam.BigBull, 7620, 300, 0.05, 33},
		{dish.Hollow, cam.InchFlat, 5000, 225, 0.08, 0},
		{dish.Hollow, cam.HalfFlat, 4572, 150, 0.03, 0},
		{dish.Crown, cam.InchFlat, 7620, 300, 0.05, 34},
		{dish.Crown, cam.BigBull, 4572, 120, 0.1, 0},
		{dish.Crown, cam.HalfFlat, 3000, 120, 0.05, 0},
	} {
		if tt.rim > 200 && (tt.cutter.Name != cam.InchFlat.Name || tt.kind == dish.Crown) && !chance.Long() {
			continue // they take some tenths of a second each
		}
		name := strings.Join([]string{tt.kind.String(), tt.cutter.Name}, " ")
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			w := cam.Usual(tt.kind, tt.radius, tt.rim)
			w.Pattern, w.Scallop = "gores", tt.scallop
			s, err := cam.FinishingOf(cam.Whole(&w), tt.cutter, 0.4)
			require.NoError(t, err)
			requireMoves(t, w, s.Moves)
			cuts := []proof.Cut{{Cutter: tt.cutter, Moves: s.Moves}}
			ridge, err := proof.Certify(w.Face, 0, cuts, proof.CertifyOptions{})
			require.NoError(t, err)
			require.LessOrEqual(t, ridge.Certified, tt.scallop, "%s: %+v", s.Pattern, ridge)
			require.Greater(t, ridge.Certified, 0.85*tt.scallop, "%s: or the passes are too close", s.Pattern)
			worst, _ := proof.DeepestGouge(w.Face, cuts)
			require.LessOrEqual(t, worst.Amount, proof.GougeTolerance)
			if tt.most > 0 {
				require.Less(t, inPlan(s.Moves)/1000, tt.most, s.Pattern)
			}
		})
	}
}

// All passes are one chain: the cutter comes down once and lifts once. On the way
// it never turns by more than an eighth in one place but where a crown's moat
// leaves no room for a turn.
func TestGoresAreOneChain(t *testing.T) {
	w := cam.Usual(dish.Hollow, 7620, 150)
	w.Pattern = "gores"
	s, err := cam.FinishingOf(cam.Whole(&w), cam.InchFlat, 0.4)
	require.NoError(t, err)
	lifts := 0
	for i, m := range s.Moves {
		if m.Kind == path.Traverse && m.To.Z > m.From.Z {
			lifts++
		}
		if i < 3 || m.Kind == path.Traverse {
			continue
		}
		a, b := r3.Sub(s.Moves[i-1].To, s.Moves[i-1].From), r3.Sub(m.To, m.From)
		a.Z, b.Z = 0, 0
		if r3.Norm(a) < 0.02 || r3.Norm(b) < 0.02 { // the grid's own corners
			continue
		}
		require.Greater(t, r3.Cos(a, b), math.Sqrt(0.5), "move %d %+v", i, m)
	}
	require.Equal(t, 1, lifts, "the last move")
	// The way goes over the very apex.
	require.True(t, func() bool {
		for _, m := range s.Moves {
			if m.To.X == 0 && m.To.Y == 0 {
				return true
			}
		}
		return false
	}())
}

// What gores are nothing for is said, with what would do.
func TestGoresRefuse(t *testing.T) {
	w, crown, flat := cam.Usual(dish.Hollow, 7620, 300), cam.Usual(dish.Crown, 7620, 300), cam.Usual(dish.Flat, 0, 300)
	require.Contains(t, cam.Suits(&w, "gores", cam.HalfBall), "ball")
	require.Empty(t, cam.Suits(&w, "gores", cam.InchFlat))
	require.Empty(t, cam.Suits(&crown, "gores", cam.BigBull))
	require.Contains(t, cam.Suits(&flat, "gores", cam.InchFlat), "flat face")
	for _, tt := range []struct {
		key    cam.Key
		change func(*cam.Work, *path.Cutter)
	}{
		{"direction", func(w *cam.Work, _ *path.Cutter) { w.Direction = cam.Uphill }},
		{"pattern", func(w *cam.Work, c *path.Cutter) { c.Ramp = 0.5 * math.Pi / 180 }},
		{"scallop", func(w *cam.Work, c *path.Cutter) { w.Scallop = 0.01 }},
	} {
		w, c := cam.Usual(dish.Hollow, 7620, 300), cam.InchFlat
		w.Pattern = "gores"
		tt.change(&w, &c)
		_, err := cam.FinishingOf(cam.Whole(&w), c, 0.4)
		var ps cam.Problems
		require.ErrorAs(t, err, &ps)
		require.Equal(t, tt.key, ps[0].Key, "%v", ps)
		require.NotEmpty(t, ps[0].Hint)
	}
}

// Whatever face, cutter and scallop come in, there come out Problems or gores that
// gouge nothing and leave no more than was asked for.
func TestAnyGores(t *testing.T) {
	t.Parallel()
	rapid.Check(t, chance.Few(12, func(t *rapid.T) {
		w := anyWork(t, 20)
		w.Pattern, w.Direction, w.Scallop = "gores", cam.Both, math.Max(w.Scallop, 0.03)
		c, _ := w.Cutter("finish")
		if cam.Suits(&w, "gores", c) != "" || c.Diameter >= 2*w.Face.Rim {
			return
		}
		s, err := cam.FinishingOf(cam.Whole(&w), c, 0.4)
		var ps cam.Problems
		if errors.As(err, &ps) {
			for _, one := range ps {
				require.NotEmpty(t, one.Key)
				require.NotEmpty(t, one.Hint)
			}
			return
		}
		require.NoError(t, err)
		requireMoves(t, w, s.Moves)
		cuts := []proof.Cut{{Cutter: c, Moves: s.Moves}}
		worst, _ := proof.DeepestGouge(w.Face, cuts)
		require.LessOrEqual(t, worst.Amount, proof.GougeTolerance, "%s", s.Pattern)
		ridge, err := proof.Certify(w.Face, 0, cuts, proof.CertifyOptions{})
		require.NoError(t, err)
		require.LessOrEqual(t, ridge.Certified, w.Scallop, "%s %+v %+v %+v", s.Pattern, ridge, w.Face, c)
	}))
}

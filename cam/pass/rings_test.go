package pass

import (
	"fmt"
	"math"
	"testing"

	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// The scallop between two rings against a plain look along a line from the apex,
// with the profile of a cutter that lacks some of its diameter and the closed form of the
// whole one's lowest tip, and against
// the same look with the ring walked round in small steps.
func TestRingRidge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown, dish.Flat}).Draw(t, "kind")
		c := rapid.SampledFrom([]path.Cutter{given.HalfBall, given.BigBull}).Draw(t, "cutter")
		f := given.Sphere(kind, 650*math.Exp(rapid.Float64Range(0, 4).Draw(t, "log R")), 300)
		tl := work.NewTool(f, c)
		d2 := rapid.Float64Range(2, 280).Draw(t, "d2")
		d1 := math.Max(0, d2-rapid.Float64Range(0.05, 1).Draw(t, "step")*c.Radius())
		small := c.Undersized(rapid.Float64Range(0, 0.1).Draw(t, "undersize")).Body()
		tl.Worn = small
		got := rings{tool: tl}.ridge(d1, d2)

		tip := func(d float64) float64 { return f.Tip(c.Body(), d) }
		_, from := tl.Contact(0, d1)
		_, to := tl.Contact(0, d2)
		const places = 4000
		most := math.Inf(-1)
		for i := range places + 1 {
			x := from + (to-from)*float64(i)/places
			z := math.Min(tip(d1)+small.Profile(math.Abs(x-d1)), tip(d2)+small.Profile(math.Abs(x-d2)))
			most = math.Max(most, f.Over(x, z))
		}
		// Between two places the surface rises by its slope, under 1 here, times their distance.
		require.InDelta(t, most, got, (to-from)/places+1e-6)

		x := (from + to) / 2
		round := math.Inf(1)
		for i := range 720 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 360)
			round = math.Min(round, tip(d2)+c.Body().Profile(math.Hypot(x-d2*cos, d2*sin)))
		}
		require.InDelta(t, tip(d2)+c.Body().Profile(math.Abs(x-d2)), round, 1e-9, "no place of a ring is nearer than the one in its own direction")
	})
}

// On a flat face the rings of a ball stand 2 √(h (2r − h)) apart: the chord of a
// segment of depth h, Machinery's Handbook, 31st ed., p. 79.
func TestRingStepOfABall(t *testing.T) {
	tl := work.NewTool(given.Sphere(dish.Flat, 0, 300), given.HalfBall)
	for _, h := range []float64{0.01, 0.05, 0.4} {
		require.InEpsilon(t, 2*math.Sqrt(h*(12.7-h)), rings{tool: tl, target: h}.widest(200, 1), 0.001)
	}
}

// ringsCase is a face, a cutter and a machine that are planned in rings.
type ringsCase struct {
	kind        dish.Kind
	radius, rim float64
	cutter      path.Cutter
	machine     string
	direction   work.Direction
}

func (c ringsCase) String() string {
	return fmt.Sprintf("%s %g %g %s %s %s", c.kind, c.radius, c.rim, c.cutter.Name, c.machine, c.direction)
}

func (c ringsCase) plan(t *testing.T, stands float64) (work.Work, rings, work.Section) {
	w := given.Work(c.kind, c.radius, c.rim)
	w.Machine, w.Pattern, w.Direction, w.Scallop = given.Router(c.machine), "rings", c.direction, 0.05
	r, err := newRings(work.Whole(&w), c.cutter, work.NewBudget(&w, c.cutter, 1))
	require.NoError(t, err)
	s, err := Finishing(work.Whole(&w), c.cutter, stands)
	require.NoError(t, err)
	return w, r, s
}

// Every kind of face with every kind of cutter in chords: certified, without a
// gouge, in one go, and not far from what the scallop allows. The top lies above
// the face, so that a place that is never reached counts.
func TestRingsKeepTheBound(t *testing.T) {
	t.Parallel()
	for _, c := range ringsCases("bench-600", "inch-24") {
		w, _, s := c.plan(t, 1)
		cuts := []proof.Cut{{Cutter: c.cutter, Moves: s.Moves}}
		worst, _ := proof.DeepestGouge(w.Face, cuts)
		require.LessOrEqual(t, worst.Amount, proof.GougeTolerance, "%s: %+v", c, worst)
		ridge, err := proof.Certify(w.Face, 1, cuts, proof.CertifyOptions{Expected: w.Scallop})
		require.NoError(t, err)
		require.LessOrEqual(t, ridge.Certified, w.Scallop, "%s: %+v", c, ridge)
		require.Greater(t, ridge.Found, 0.9*w.Scallop, "%s: %+v", c, ridge)
		requireOneGo(t, s.Moves, c)
	}
}

// The same in arcs, looked at in many places: there what the cutter leaves from
// any of many places along its way.
func TestRingsInArcs(t *testing.T) {
	t.Parallel()
	for _, c := range ringsCases("wide-1250") {
		w, _, s := c.plan(t, 1)
		worst, _ := proof.DeepestGouge(w.Face, []proof.Cut{{Cutter: c.cutter, Moves: s.Moves}})
		require.LessOrEqual(t, worst.Amount, proof.GougeTolerance, "%s: %+v", c, worst)
		requireOneGo(t, s.Moves, c)
		var tips []r3.Vec
		for _, m := range s.Moves {
			if m.Kind != path.Arc {
				continue
			}
			_, r0, r1 := m.Sweep()
			require.InDelta(t, r0, r1, 0.002, "%s: no arc", c) // the language's own tolerance
			n := math.Ceil(m.Length() / 0.1)
			for i := range int(n) + 1 {
				tips = append(tips, m.At(float64(i)/n))
			}
		}
		most := 0.0
		for i := range 600 { // turned by the golden ratio: no two in one direction
			d, sin, cos := w.Face.Rim*math.Sqrt(float64(i+1)/600), math.Sin(2.399963*float64(i)), math.Cos(2.399963*float64(i))
			z := 1.0
			for _, p := range tips {
				z = math.Min(z, p.Z+c.cutter.Body().Profile(math.Hypot(p.X-d*cos, p.Y-d*sin)))
			}
			most = math.Max(most, w.Face.Over(d, z))
		}
		require.LessOrEqual(t, most, w.Scallop, c.String())
		require.Greater(t, most, 0.8*w.Scallop, "%s: or places are too few", c)
	}
}

// ringsCases returns a small face of each kind with each kind of cutter, on each
// of the machines, in both ways.
func ringsCases(names ...string) (list []ringsCase) {
	small := given.BigBull
	small.Name, small.Diameter, small.Corner, small.Core = "small bull", 10, 2, 3
	for _, kind := range []dish.Kind{dish.Hollow, dish.Crown, dish.Flat} {
		for _, cutter := range []path.Cutter{given.HalfBall, small} {
			for _, machine := range names {
				for _, way := range []work.Direction{work.Both, work.Uphill} {
					list = append(list, ringsCase{kind, 300, 10, cutter, machine, way})
				}
			}
		}
	}
	return list
}

// requireOneGo checks that nothing lifts between the beginning and the end, and
// that no corner is sharper than a quarter turn: there a machine would stop.
func requireOneGo(t *testing.T, moves []path.Move, c ringsCase) {
	first, last := 0, len(moves)-1
	for moves[first].Kind == path.Traverse {
		first++
	}
	require.Equal(t, path.Traverse, moves[last].Kind)
	var before path.Move
	for i, m := range moves[first:last] {
		require.NotEqual(t, path.Traverse, m.Kind, "%s: move %d", c, i)
		if m.From.X == m.To.X && m.From.Y == m.To.Y {
			require.Less(t, i, 2, "%s: move %d goes straight down", c, i)
			continue
		}
		if before.Feed > 0 {
			a, b := before.At(0.999), m.At(0.001)
			dot := (before.To.X-a.X)*(b.X-m.From.X) + (before.To.Y-a.Y)*(b.Y-m.From.Y)
			require.Positive(t, dot, "%s: a sharp corner at %+v", c, m)
		}
		before = m
	}
}

// The dish that everything is measured by: near the least there is, the area of
// the face over the widest step.
func TestRingsAreShort(t *testing.T) {
	for _, one := range []struct {
		cutter path.Cutter
		most   float64 // m
		moves  int
	}{{given.HalfBall, 183, 32_000}, {given.BigBull, 104, 19_000}} {
		c := ringsCase{dish.Hollow, 7620, 300, one.cutter, "bench-600", work.Both}
		_, r, s := c.plan(t, 0.4)
		long := 0.0
		for _, m := range s.Moves {
			if m.Kind != path.Traverse {
				long += m.Length() / 1000
			}
		}
		require.Less(t, long, one.most, c.String())
		require.Less(t, len(s.Moves), one.moves)
		require.InEpsilon(t, long, r.passes().Length()/1000, 0.002, "the length that is promised is what is laid")
		area := math.Pi * 300 * 300 / 1e6
		require.Greater(t, long, area/r.passes().Widest*1000)
		c.machine = "wide-1250"
		_, _, arcs := c.plan(t, 0.4)
		require.Less(t, len(arcs.Moves), len(s.Moves)/15)
	}
}

func TestRingsUphill(t *testing.T) {
	for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
		for _, cutter := range []path.Cutter{given.HalfBall, given.BigBull} {
			c := ringsCase{kind, 4572, 100, cutter, "bench-600", work.Uphill}
			w, r, s := c.plan(t, 0.4)
			require.Equal(t, kind == dish.Hollow, r.outward)
			low := 0 // on the way up, once it is down, coordinates round by a step
			for i, m := range s.Moves {
				if m.To.Z < s.Moves[low].To.Z {
					low = i
				}
			}
			for _, m := range s.Moves[low+1:] {
				require.GreaterOrEqual(t, m.To.Z, m.From.Z-2*w.Machine.Step(), c.String())
			}
		}
	}
}

// What rings cannot do is refused, with a reason; nothing extreme does any harm.
func TestRingsRefuse(t *testing.T) {
	f := given.Sphere(dish.Hollow, 7620, 300)
	require.Contains(t, ringsSuit(f, given.InchFlat), "stair")
	require.NotEmpty(t, ringsSuit(given.Sphere(dish.Flat, 0, 300), given.InchFlat))
	require.Empty(t, ringsSuit(f, given.HalfBall))
	require.Empty(t, ringsSuit(f, given.BigBull))

	w := given.Work(dish.Hollow, 7620, 3000)
	w.Scallop, w.Pattern = work.LeastScallop, "rings"
	tiny := given.HalfBall
	tiny.Diameter = 0.5
	_, err := newRings(work.Whole(&w), tiny, work.NewBudget(&w, tiny, 1))
	var long tooLong
	require.ErrorAs(t, err, &long)
	require.Greater(t, float64(long), float64(work.MostMoves))

	w = given.Work(dish.Hollow, 150, 40)
	_, err = newRings(work.Whole(&w), given.BigBull, work.NewBudget(&w, given.BigBull, 1)) // its level end bridges so tight an apex
	var ps work.Problems
	require.ErrorAs(t, err, &ps)
	require.Equal(t, work.KeyScallop, ps[0].Key)

	wide := given.BigBull
	wide.Diameter = 30
	for _, c := range []ringsCase{
		{dish.Hollow, 9000, 150, given.HalfBall, "bench-600", work.Both}, {dish.Hollow, 2000, 30, wide, "bench-600", work.Uphill},
		{dish.Crown, 500, 30, wide, "wide-1250", work.Both}, {dish.Crown, 500, 16, wide, "bench-600", work.Both}, {dish.Hollow, 5000, 16, wide, "bench-600", work.Both},
	} {
		_, r, s := c.plan(t, 0.4)
		require.NotEmpty(t, s.Moves, c.String())
		require.Positive(t, r.passes().Count, c.String())
		require.Positive(t, r.passes().Widest, c.String())
	}
}

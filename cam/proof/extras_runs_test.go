package proof

import (
	"slices"
	"testing"

	"dishwright/dish/extra"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// runCase has two runs whose sides are come to one way each.
func runCase() Case {
	c := plainCase(spindleMachine())
	c.Extras.Runs = []extra.Run{
		{Name: "run one", From: r3.Vec{X: 0, Y: 20, Z: -1}, To: r3.Vec{X: 20, Y: 20, Z: -1.2}, Aside: r2.Vec{Y: 1}, Radius: 3},
		{Name: "run two", From: r3.Vec{X: 60, Y: 0, Z: -2}, To: r3.Vec{X: 60, Y: 20, Z: -2}, Aside: r2.Vec{X: -1}, Radius: 3},
	}
	return c
}

const runFeed = 1000

// oneRun and twoRun cut them, each in ten lines.
func oneRun() []act {
	return []act{g0(nan, nan, 5), g0(20, 19, nan), g0(nan, 20, nan), g0(nan, nan, 1), g1(nan, nan, 0.5, runFeed),
		g1(0, nan, -0.5, runFeed), g1(20, nan, -0.9, runFeed), g1(0, nan, -1, runFeed), g1(20, nan, -1.2, runFeed), g0(nan, nan, 5)}
}

func twoRun() []act {
	return []act{g0(nan, nan, 5), g0(61, 0, nan), g0(60, nan, nan), g0(nan, nan, 1), g1(nan, nan, 0.5, runFeed),
		g1(nan, 20, -1, runFeed), g1(nan, 0, -2, runFeed), g1(nan, 12, nan, runFeed), g1(nan, 20, nan, runFeed), g0(nan, nan, 5)}
}

// A run is held to half a step of the coordinates: its line, its height, its ends, the side
// from which it is come to, Z that comes down all the way, its place in the order.
func TestRuns(t *testing.T) {
	change := func(list []act, at int, to ...act) []act { return slices.Concat(list[:at], to, list[at+1:]) }
	step := spindleMachine().Step()
	type want struct {
		kind Kind
		says string
	}
	missing := func(name string) want { return want{KindExtra, name + " is not cut as it should be"} }
	for name, test := range map[string]struct {
		one, two []act
		want     []want
	}{
		"as it should be":            {oneRun(), twoRun(), nil},
		"the last pass in two moves": {change(oneRun(), 8, g1(10, nan, -1.1, runFeed), g1(20, nan, -1.2, runFeed)), twoRun(), nil},
		"a step beside its line":     {change(oneRun(), 2, g0(nan, 20+step, nan)), twoRun(), []want{{KindExtra, "run one: the tip leaves its line"}}},
		"a step too high":            {change(oneRun(), 8, g1(20, nan, -1.2+step, runFeed)), twoRun(), []want{{KindExtra, "run one: it ends"}}},
		"a step too deep":            {change(oneRun(), 8, g1(20, nan, -1.2-step, runFeed)), twoRun(), []want{{KindExtra, "run one: the tip goes"}}},
		"too high where it begins":   {change(oneRun(), 7, g1(0, nan, -1+step, runFeed)), twoRun(), []want{{KindExtra, "run one: the last pass is"}}},
		"a hump on the way":          {change(oneRun(), 8, g1(10, nan, -1.05, runFeed), g1(20, nan, -1.2, runFeed)), twoRun(), []want{{KindExtra, "run one: the last pass is"}}},
		"too short":                  {change(oneRun(), 8, g1(20-step, nan, -1.2, runFeed)), twoRun(), []want{{KindExtra, "run one: it ends"}}},
		"from its other end":         {oneRun(), change(change(twoRun(), 8, g1(nan, 0, nan, runFeed)), 7, g1(nan, 20, nan, runFeed)), []want{{KindExtra, "run two: it ends"}}},
		"Z comes up on the way":      {oneRun(), change(twoRun(), 6, g1(nan, 0, -1.5, runFeed), g1(nan, 20, -1.4, runFeed), g1(nan, 0, -2, runFeed)), []want{{KindExtra, "run two: the tip rises"}}},
		"from the wrong side":        {change(oneRun(), 1, g0(20, 21, nan)), twoRun(), []want{{KindExtra, "before run one"}}},
		"from too near":              {change(oneRun(), 1, g0(20, 19.5, nan)), twoRun(), []want{{KindExtra, "before run one"}}},
		"from afar, aslant":          {change(oneRun(), 1, g0(0, 0, nan), g0(20, 19, nan)), twoRun(), nil},
		"back and forth in the air":  {change(oneRun(), 2, g0(nan, 21, nan), g0(nan, 20, nan)), twoRun(), []want{{KindExtra, "before run one"}}},
		"the other order":            {twoRun(), oneRun(), []want{{KindOrder, "run one is cut after run two"}}},
		"one is not cut":             {oneRun(), nil, []want{missing("run two")}},
		"one twice":                  {oneRun(), slices.Concat(oneRun(), twoRun()), []want{{KindExtra, "or a second time"}}},
		"one where there is none":    {oneRun(), slices.Concat(twoRun(), []act{g0(80, 0, nan), g1(nan, nan, -1, runFeed), g0(nan, nan, 5)}), []want{{KindExtra, "where no mark is"}}},
		"a traverse for a pass":      {oneRun(), change(twoRun(), 8, g0(nan, 20, nan)), []want{{KindExtra, "run two: a traverse below the top"}}},
	} {
		t.Run(name, func(t *testing.T) {
			list := runCase().wrongRuns([]Program{program(slices.Concat(test.one, test.two)...)}, nil)
			require.Len(t, list, len(test.want), "%v", list)
			for i, f := range list {
				require.Equal(t, test.want[i].kind, f.Kind)
				require.Contains(t, f.Message.String(), test.want[i].says)
				require.Equal(t, "1-test.ngc", f.Program)
			}
		})
	}
}

// What a run takes is no gouge and no more: a move beside it or below it, or a wider cutter, is
// none of its volume.
func TestRunVolume(t *testing.T) {
	c := runCase()
	p := program(oneRun()...)
	in := func(cutter float64, i int, off r3.Vec) bool {
		k, m := plainCutter(), p.Path.Moves[i]
		k.Diameter = cutter
		m.From, m.To = r3.Add(m.From, off), r3.Add(m.To, off)
		return c.volumeOf(k, m, nil).inside
	}
	for i := range p.Path.Moves[6:9] {
		require.True(t, in(6, 6+i, r3.Vec{}), "move %d", 6+i)
		require.False(t, in(6.01, 6+i, r3.Vec{}))
		require.False(t, in(6, 6+i, r3.Vec{Y: 0.001}))
	}
	require.False(t, in(6, 8, r3.Vec{Z: -0.001}))
	require.True(t, in(6, 8, r3.Vec{Z: 0.001}))
}

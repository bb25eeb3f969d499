package proof

import (
	"slices"
	"testing"

	"dishwright/cam/path"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Two teeth of 0.05 mm make 1600 mm/min at 16000 rpm, 800 at 8000, where the spindle of a
// hand router turns at the dial's setting below the cutter's speed.
func TestCheckChipsAndRests(t *testing.T) {
	down := g1(nan, nan, -2, 800) // to X0 Y20
	along := func(x, feed float64) act { return g1(x, nan, nan, feed) }
	many := func(n int, acts ...act) (all []act) {
		for range n {
			all = append(all, acts...)
		}
		return all
	}
	then := func(acts []act, more ...act) []act { return append(slices.Clone(acts), more...) }
	step := func(by float64, kind path.Kind) act {
		return func(p *Program, tip *r3.Vec) { to(kind, 1600, tip.X+by, nan, nan)(p, tip) }
	}
	up := g0(nan, nan, 5)
	turn := 60.0 / 16000 // s
	for _, k := range []struct {
		name string
		work []act // lines 7 on
		want []wantFinding
	}{
		{"the full chip load, at half the speed half the feed", []act{down, along(5, 1600), m3(8000), along(9, 800)}, nil},
		{"half the speed", []act{m3(8000), down, along(5, 1600)}, []wantFinding{{KindFeed, 9, 400}}},
		{"half the speed in the middle of the cut", []act{down, along(5, 1600), m3(8000), along(9, 1600)}, []wantFinding{{KindFeed, 10, 400}}},
		{"half the speed in the air", []act{m3(8000), along(5, 4000)}, nil},
		{"one and a half times, for a bite of two thirds", []act{g1(nan, nan, -3.2, 800), along(9, 2400)}, nil},
		{"one and a half times, for a bite of nearly all", []act{g1(nan, nan, -4, 800), along(5, 1600), along(9, 2400)}, []wantFinding{{KindFeed, 9, 800}}},
		{"over one and a half times for nothing", []act{down, along(5, 2401)}, []wantFinding{{KindFeed, 8, 1}}},

		{"a dwell in the cut", []act{down, along(5, 1600), dwell(0.5)}, []wantFinding{{KindSpindle, 9, 0.5}}},
		{"a dwell of less than a turn", []act{down, along(5, 1600), dwell(0.9 * turn)}, nil},
		{"many of them", then([]act{down, along(5, 1600)}, many(2, dwell(0.6*turn))...), []wantFinding{{KindSpindle, 10, 0.005}}},
		{"many, with no way between", then([]act{down, along(5, 1600)}, many(2, dwell(0.6*turn), step(1e-6, path.Line))...), []wantFinding{{KindSpindle, 11, 0.004}}},
		{"many, with traverses of no way between", then([]act{down, along(5, 1600)}, many(2, dwell(0.6*turn), step(-1e-6, path.Traverse))...), []wantFinding{{KindTraverse, 10, 4}, {KindSpindle, 11, 0.004}, {KindTraverse, 12, 4}}},
		{"many, with a way between", then([]act{down, along(5, 1600)}, many(9, dwell(0.6*turn), step(0.1, path.Line))...), nil},
		{"a dwell on what it has cleared, away from all walls", append(many(1, down, along(30, 1600), g1(nan, 24, nan, 1600), along(0, 1600), g1(nan, 28, nan, 1600), along(30, 1600)),
			g0(nan, nan, 5), g0(15, 24, nan), g0(nan, nan, -1.9), dwell(1)), nil},
		{"a dwell on its floor", append(many(1, down, along(30, 1600), g1(nan, 24, nan, 1600), along(0, 1600), g1(nan, 28, nan, 1600), along(30, 1600)),
			g0(nan, nan, 5), g0(15, 24, nan), g0(nan, nan, -2), dwell(1)), []wantFinding{{KindSpindle, 16, 1}}},
		{"a dwell beside the blank", []act{g0(104, nan, nan), down, dwell(2)}, nil},
		{"a dwell above the blank", []act{g0(nan, nan, 0.1), dwell(2)}, nil},
		{"a dwell while the spindle stands still", []act{down, up, m5(), g0(nan, nan, -2), dwell(2)}, nil},
		{"a stop in the cut", []act{down, m0(), along(5, 1600)}, []wantFinding{{KindSpindle, 8, 0}}},
		{"a stop that a switch makes", []act{down, m1(), along(5, 1600)}, []wantFinding{{KindSpindle, 8, 0}}},
		{"a stop above everything", []act{down, up, m0(), dwell(3)}, nil},

		{"a crawl", []act{down, along(5, 15.9)}, []wantFinding{{KindFeed, 8, 0}}},
		{"no crawl yet", []act{down, along(5, 16.1)}, nil},
		{"no crawl at half the speed", []act{m3(8000), down, along(5, 8.1)}, nil},
		{"slower and slower", []act{down, along(5, 1600), along(9, 160), along(12, 16), along(15, 1.6)}, []wantFinding{{KindFeed, 11, 0}}},
		{"a crawl through the air", []act{down, up, g0(nan, 60, nan), g0(nan, nan, 0.5), g1(nan, nan, 0, 2)}, nil},
		{"a crawl down", []act{g1(nan, nan, -1, 2)}, []wantFinding{{KindFeed, 7, 0}}},
		{"a crawl out", []act{down, g1(nan, nan, 5, 2)}, []wantFinding{{KindFeed, 8, 0}}},
		{"a crawl where it has cut", []act{down, along(9, 1600), along(0, 3)}, []wantFinding{{KindFeed, 9, 0}}},
		{"a crawl over a corner of the blank", []act{g0(97, 104, nan), down, g1(104, 97, nan, 3)}, []wantFinding{{KindFeed, 9, 0}}},
		{"a crawl on an arc", []act{down, arc(path.Move{From: r3.Vec{Y: 20, Z: -2}, To: r3.Vec{X: 6, Y: 20, Z: -2}, Centre: r3.Vec{X: 3, Y: 20}}, 3)}, []wantFinding{{KindFeed, 8, 0}}},
		{"a feed of no way", []act{down, along(0, 1), along(5, 1600)}, nil},
	} {
		t.Run(k.name, func(t *testing.T) {
			p := program(framed(k.work...)...)
			p.Cutter.ChipLoad, p.Cutter.Speed = 0.05, 16000
			require.Equal(t, k.want, foundIn(plainCase(spindleMachine()), p))
		})
	}
	t.Run("as slow as the machine goes", func(t *testing.T) {
		c := plainCase(spindleMachine())
		c.Machine.Feed.Z = 5
		p := program(framed(g1(nan, nan, -2, 5), along(5, 1600))...)
		p.Cutter.ChipLoad = 0.05
		require.Empty(t, foundIn(c, p))
	})
	t.Run("hand router", func(t *testing.T) {
		m := handMachine()
		m.Spindle.Dial = []machines.DialSetting{{Mark: "1", Speed: 8000}, {Mark: "2", Speed: 17000}}
		work := []act{m0(), mode("G64"), up, m0(), dwell(4), g0(0, 20, nan), down, along(5, 800), along(9, 1600), dwell(0.5), up, m0(), m2()}
		p := program(work...)
		p.Cutter.ChipLoad, p.Cutter.Speed = 0.05, 16000 // at 8000, the setting below
		require.Equal(t, []wantFinding{{KindFeed, 9, 400}, {KindSpindle, 10, 0.5}}, foundIn(plainCase(m), p))
	})
}

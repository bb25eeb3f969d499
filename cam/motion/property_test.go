package motion_test

import (
	"math"
	"slices"
	"testing"

	"dishwright/cam/motion"
	"dishwright/cam/path"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// No move is quicker than its feed allows. A rounding may shorten each corner:
// by 2T − Rβ, at most 2e (reached where the path turns straight back).
func TestNeverQuickerThanFeed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := anyMachine(t), anyPath(t, 40)
		var least, length float64
		for _, mv := range p.Moves {
			if mv.Kind == path.Traverse {
				continue
			}
			length += mv.Length()
			d := mv.Length()
			if m.PathMode == "G64" {
				d = math.Max(0, d-2*m.CornerRounding)
			}
			least += d / (mv.Feed / 60)
		}
		got := motion.Estimate(m, p)
		require.InDelta(t, length, got.CutLength, 1e-9*(1+length))
		// In exact path mode a rounding within a step of 0.0001 mm is still made.
		require.GreaterOrEqual(t, feeding(m, p), least*(1-1e-4))
	})
}

// feeding returns the seconds of a path's lines and arcs.
func feeding(m machines.Machine, p path.Path) (s float64) {
	for i, d := range motion.Durations(m, p) {
		if p.Moves[i].Kind != path.Traverse {
			s += d
		}
	}
	return s
}

func TestMoreIsNeverSlower(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := anyMachine(t), anyPath(t, 40)
		before := motion.Estimate(m, p).Total
		more := rapid.Float64Range(1, 4)
		switch rapid.IntRange(0, 3).Draw(t, "more of") {
		case 0:
			m.Acceleration.X *= more.Draw(t, "x")
			m.Acceleration.Z *= more.Draw(t, "z")
		case 1:
			m.Acceleration.Y *= more.Draw(t, "y")
		case 2:
			m.Feed.X *= more.Draw(t, "x")
			m.Rapid = r3.Scale(more.Draw(t, "rapid"), m.Rapid)
		case 3:
			by := more.Draw(t, "feed")
			for i := range p.Moves {
				p.Moves[i].Feed *= by
			}
		}
		require.LessOrEqual(t, motion.Estimate(m, p).Total, before*(1+1e-9))
	})
}

// A straight move cut in collinear pieces takes the same time, wherever it stands.
func TestSplitChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := anyMachine(t), anyPath(t, 30)
		var split path.Path
		for _, mv := range p.Moves {
			if mv.Kind == path.Arc {
				split.Moves = append(split.Moves, mv)
				continue
			}
			cuts := rapid.SliceOfN(rapid.Float64Range(0.001, 0.999), 0, 3).Draw(t, "cuts")
			slices.Sort(cuts)
			from := mv.From
			for _, c := range append(cuts, 1) {
				piece := mv
				piece.From, piece.To = from, mv.At(c)
				split.Moves = append(split.Moves, piece)
				from = piece.To
			}
		}
		whole := motion.Estimate(m, p)
		require.InDelta(t, whole.Total, motion.Estimate(m, split).Total, 1e-9*(1+whole.Total))
	})
}

// A path takes as long from its end to its start.
func TestBackwards(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := anyMachine(t), anyPath(t, 40)
		back := path.Path{Moves: slices.Clone(p.Moves)}
		slices.Reverse(back.Moves)
		for i := range back.Moves {
			mv := &back.Moves[i]
			mv.From, mv.To, mv.Clockwise = mv.To, mv.From, !mv.Clockwise
		}
		a, b := motion.Estimate(m, p), motion.Estimate(m, back)
		require.InDelta(t, a.Total, b.Total, 1e-9*(1+a.Total))
	})
}

// The moves' own seconds and the dwells make up the whole.
func TestDurations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := anyMachine(t), anyPath(t, 40)
		p.Events = []path.Event{{Kind: path.Dwell, Value: 2}, {Kind: path.Stop, Before: len(p.Moves) / 2}}
		var total float64
		each := motion.Durations(m, p)
		require.Len(t, each, len(p.Moves))
		for _, s := range each {
			require.GreaterOrEqual(t, s, 0.0)
			total += s
		}
		require.InDelta(t, motion.Estimate(m, p).Total, total+2, 1e-9*(1+total))
	})
}

// No numbers, however wild, panic, hang, or give anything but a finite time.
func FuzzMove(f *testing.F) {
	f.Add(0.0, 0.0, 0.0, 1.0, 2.0, 3.0, 0.5, 1.0, 600.0, uint8(1))
	f.Add(math.NaN(), math.NaN(), math.NaN(), 1.0, 2.0, 3.0, 0.0, 0.0, math.Inf(1), uint8(0))
	f.Add(1e308, -1e308, 1e-300, -1e308, 1e308, 0.0, 1e200, -1e200, 1e-320, uint8(14))
	f.Add(1.0, 0.0, 0.0, 1.0, 0.0, 0.0, 1.0, 0.0, -5.0, uint8(2))
	f.Fuzz(func(t *testing.T, x0, y0, z0, x1, y1, z1, i, j, feed float64, bits uint8) {
		a := path.Move{Kind: path.Kind(bits % 3), Plane: path.Plane(bits / 4 % 3), Clockwise: bits&32 != 0, Feed: feed,
			From: r3.Vec{X: x0, Y: y0, Z: z0}, To: r3.Vec{X: x1, Y: y1, Z: z1}, Centre: r3.Vec{X: i, Y: j, Z: i}}
		b := path.Move{Kind: path.Kind(bits / 16 % 3), Feed: feed, From: a.To, To: a.From, Centre: a.Centre}
		m := router()
		if bits&64 != 0 {
			m.Acceleration, m.Feed = r3.Vec{X: i}, r3.Vec{Y: j}
		}
		got := motion.Estimate(m, path.Path{Moves: []path.Move{a, b, a}})
		if !(got.Total >= 0) || math.IsInf(got.Total, 0) {
			t.Fatalf("%+v", got)
		}
	})
}

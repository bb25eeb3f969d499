package motion_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"dishwright/cam/motion"
	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// One straight line with an event in its middle: two parts from rest to rest,
// or one where the event asks for nothing.
func TestEvents(t *testing.T) {
	one, two := 200/50.0+50/250.0, 2*(100/50.0+50/250.0)
	for _, c := range []struct {
		event        path.Event
		moving, wait float64
	}{
		{path.Event{Kind: path.Comment, Text: "halfway"}, one, 0},
		{path.Event{Kind: path.Message, Text: "halfway"}, one, 0},
		{path.Event{Kind: path.Stop}, two, 0},
		{path.Event{Kind: path.OptionalStop}, two, 0},
		{path.Event{Kind: path.SpindleOn, Value: 16000}, two, 0},
		{path.Event{Kind: path.SpindleOff}, two, 0},
		{path.Event{Kind: path.CutterCall, Value: 2}, two, 0},
		{path.Event{Kind: path.CoolantOn}, two, 0},
		{path.Event{Kind: path.CoolantOff}, two, 0},
		{path.Event{Kind: path.End}, two, 0},
		{path.Event{Kind: path.Dwell, Value: 1.5}, two, 1.5},
		{path.Event{Kind: path.Dwell, Value: 0}, two, 0},
		{path.Event{Kind: path.Dwell, Value: -3}, two, 0},
		{path.Event{Kind: path.Dwell, Value: 0.5}, two, 0.5},
		{path.Event{Kind: path.Dwell, Value: math.NaN()}, two, 0},
		{path.Event{Kind: path.Dwell, Value: math.Inf(1)}, two, 0},
	} {
		t.Run(fmt.Sprint(c.event.Kind, c.event.Value), func(t *testing.T) {
			p := through(3000, r3.Vec{}, r3.Vec{X: 100}, r3.Vec{X: 200})
			c.event.Before = 1
			p.Events = []path.Event{c.event}
			got := motion.Estimate(router(), p)
			require.InDelta(t, c.moving+c.wait, got.Total, 1e-12)
		})
	}
}

// A whole small program: everything that it does.
func TestProgram(t *testing.T) {
	m := router()
	m.Spindle.StartTime = 5 // not counted by itself: the program's own dwell is
	nan := math.NaN()
	p := path.Path{
		Moves: []path.Move{
			{Kind: path.Traverse, From: r3.Vec{X: nan, Y: nan, Z: nan}, To: r3.Vec{X: nan, Y: nan, Z: 20}},
			{Kind: path.Traverse, From: r3.Vec{X: nan, Y: nan, Z: 20}, To: r3.Vec{X: 0, Y: 0, Z: 20}},
			{Kind: path.Line, From: r3.Vec{Z: 20}, To: r3.Vec{Z: 0}, Feed: 300},
			{Kind: path.Line, To: r3.Vec{X: 100}, Feed: 3000},
			{Kind: path.Traverse, From: r3.Vec{X: 100}, To: r3.Vec{X: 100, Z: 20}},
		},
		Events: []path.Event{
			{Kind: path.Stop, Before: 0},
			{Kind: path.SpindleOn, Value: 16000, Before: 1},
			{Kind: path.Comment, Text: "up to speed", Before: 1},
			{Kind: path.Dwell, Value: 5, Before: 1},
			{Kind: path.Dwell, Value: 0.5, Before: 3},
			{Kind: path.SpindleOff, Before: 5},
			{Kind: path.End, Before: 5},
		},
	}
	got := motion.Estimate(m, p)
	plunge := 20/5.0 + 5/150.0
	cut := 2.2
	lift := 20/(2000/60.0) + (2000/60.0)/150
	require.InDelta(t, 5+0.5+plunge+cut+lift, got.Total, 1e-12)
	for i, want := range []float64{0, 0, plunge, cut, lift} { // the first way over the blank has no start
		require.InDelta(t, want, motion.Durations(m, p)[i], 1e-12)
	}
	require.InDelta(t, 120, got.CutLength, 1e-12)
	require.InDelta(t, 20, got.TraverseLength, 1e-12)
}

// What cannot be timed does no harm to the rest.
func TestUnknown(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	line := path.Move{Kind: path.Line, To: r3.Vec{X: 100}, Feed: 3000}
	for _, c := range []struct {
		name string
		move path.Move
		want float64 // besides the line's own 2.2 s
	}{
		{"no start in Y", path.Move{Kind: path.Line, Feed: 3000, From: r3.Vec{Y: nan}, To: r3.Vec{X: 100}}, 2.2},
		{"no start", path.Move{Kind: path.Line, Feed: 3000, From: r3.Vec{X: nan, Y: nan, Z: nan}}, 0},
		{"no end", path.Move{Kind: path.Line, Feed: 3000, To: r3.Vec{X: inf}}, 0},
		{"no feed: the axis's", path.Move{Kind: path.Line, To: r3.Vec{X: 100}}, 100/100.0 + 100/250.0},
		{"feed not a number", path.Move{Kind: path.Line, To: r3.Vec{X: 100}, Feed: nan}, 100/100.0 + 100/250.0},
		{"feed too small to be one", path.Move{Kind: path.Line, To: r3.Vec{X: 100}, Feed: 1e-300}, 100/100.0 + 100/250.0},
		{"a traverse without a start in X", path.Move{Kind: path.Traverse, From: r3.Vec{X: nan}, To: r3.Vec{Y: 100}}, 100/100.0 + 100/250.0},
		{"arc without a start", path.Move{Kind: path.Arc, Feed: 3000, From: r3.Vec{X: nan}, To: r3.Vec{X: 100}}, 0},
		{"arc without a centre", path.Move{Kind: path.Arc, Feed: 3000, To: r3.Vec{X: 100}, Centre: r3.Vec{X: nan}}, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			rest := path.Event{Kind: path.Stop, Before: 1}
			got := motion.Estimate(router(), path.Path{Moves: []path.Move{line, c.move}, Events: []path.Event{rest}})
			require.InDelta(t, 2.2+c.want, got.Total, 1e-12)
		})
	}
	require.Zero(t, motion.Estimate(router(), path.Path{}))
	still := motion.Estimate(router(), through(600, r3.Vec{X: 1}, r3.Vec{X: 1}, r3.Vec{X: 1}))
	require.Zero(t, still)
}

// Long runs are planned as one.
func TestLongRuns(t *testing.T) {
	at, heading := make([]r3.Vec, 30001), 0.0
	for i := 1; i < len(at); i++ {
		heading += 0.02 * (1 + math.Sin(float64(i)/50)) // now a tight curve, now nearly straight
		sin, cos := math.Sincos(heading)
		at[i] = r3.Add(at[i-1], r3.Vec{X: 0.5 * cos, Y: 0.5 * sin})
	}
	p := through(6000, at...)
	require.InEpsilon(t, integrate(router(), p.Moves, 10), motion.Estimate(router(), p).Total, 1e-4) // a needless rest would add about 1e-3
}

// A straight line in 30,000 pieces, and one in more than a plan holds: a needless rest.
func TestStraightInPieces(t *testing.T) {
	for _, c := range []struct{ n, l, more float64 }{{30_000, 0.1, 0}, {30_000, 0.01, 0}, {30_000, 0.001, 0}, {40_000, 0.1, 100 / 250.0}} {
		at := make([]r3.Vec, int(c.n)+1)
		for i := range at {
			at[i].X = float64(i) * c.l
		}
		d := c.n * c.l
		want := d/100 + 100/250.0
		if d < 40 {
			want = 2 * math.Sqrt(d/250)
		}
		require.InDelta(t, want+c.more, motion.Estimate(router(), through(6000, at...)).Total, 1e-6, "pieces of %g", c.l)
	}
}

// A long path takes as long as backwards.
func TestLongBackwards(t *testing.T) {
	for _, n := range []int{8191, 8200, 16390} {
		at, heading := make([]r3.Vec, n+1), 0.0
		for i := 1; i <= n; i++ {
			if i%3 == 0 { // chords in three pieces
				heading += 0.01 * (1 + math.Sin(float64(i)/30))
			}
			if i%97 == 0 {
				heading += 1.4 // a corner
			}
			sin, cos := math.Sincos(heading)
			at[i] = r3.Add(at[i-1], r3.Vec{X: 0.1 * cos, Y: 0.1 * sin})
		}
		p := through(6000, at...)
		for i := range p.Moves {
			p.Moves[i].Feed -= 2000 * float64(i/50%3)
		}
		forwards := motion.Estimate(router(), p)
		slices.Reverse(p.Moves)
		for i := range p.Moves {
			p.Moves[i].From, p.Moves[i].To = p.Moves[i].To, p.Moves[i].From
		}
		require.InDelta(t, forwards.Total, motion.Estimate(router(), p).Total, 1e-9, "%d moves", n)
	}
}

// A line in many pieces is one line, corners and all.
func TestLongStraight(t *testing.T) {
	for _, n := range []int{8190, 20000} {
		at := []r3.Vec{{X: -30, Y: 20}}
		for i := range n + 1 {
			at = append(at, r3.Vec{X: 0.1 * float64(i)})
		}
		at = append(at, r3.Vec{X: at[len(at)-1].X + 20, Y: 30})
		whole := motion.Estimate(router(), through(6000, at[0], at[1], at[n+1], at[n+2]))
		require.InDelta(t, whole.Total, motion.Estimate(router(), through(6000, at...)).Total, 1e-9, "%d pieces", n)
	}
}

// A hundred thousand moves, as a finishing pass in chords has them.
func BenchmarkEstimate(b *testing.B) {
	for _, c := range []struct {
		name string
		bend float64
	}{{"chords", 0.01}, {"straight", 0}, {"corners", 1.5}} {
		b.Run(c.name, func(b *testing.B) {
			at, heading := make([]r3.Vec, 100001), 0.0
			for i := 1; i < len(at); i++ {
				heading += c.bend
				sin, cos := math.Sincos(heading)
				at[i] = r3.Add(at[i-1], r3.Vec{X: 0.5 * cos, Y: 0.5 * sin, Z: 0.001 * sin})
			}
			p, m := through(6000, at...), router()
			b.ReportAllocs()
			for b.Loop() {
				motion.Estimate(m, p)
			}
		})
	}
	b.Run("arcs", func(b *testing.B) {
		var p path.Path
		from, to := r3.Vec{X: -1}, r3.Vec{X: 1}
		for i := range 100000 {
			mv := path.Move{Kind: path.Arc, From: from, To: to, Clockwise: i%2 == 0, Feed: 6000}
			p.Moves = append(p.Moves, mv)
			from, to = to, from
		}
		m := router()
		for b.Loop() {
			motion.Estimate(m, p)
		}
	})
}

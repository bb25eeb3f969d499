package proof

import (
	"errors"
	"math"
	"runtime"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/extra"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// looks returns how many looks a proof takes at most so many of, and its error.
func looks(c Case, limit int64, programs ...Program) (int64, error) {
	c.budget = &budget{limit: limit}
	_, err := Check(c, programs)
	return c.budget.spent.Load(), err
}

// dished is the case of a hollow that scallops count in.
func dished() Case {
	c := plainCase(spindleMachine())
	c.Face, c.MaxScallop, c.CellSize = must(dish.NewFace(dish.Hollow, 2000, 30)), 0.05, 2
	return c
}

// worked is a program of a cutter that does what the moves say and nothing else.
func worked(c path.Cutter, moves []path.Move) Program {
	for i := range moves {
		moves[i].Feed, moves[i].Source = 1000, path.Source{Line: i + 1, Column: 1}
	}
	return Program{Name: "p", Cutter: c, Path: path.Path{Moves: moves}}
}

// finished is a raster that leaves about 0.02 mm of a hollow.
func finished(face dish.Face, c path.Cutter) []path.Move {
	half := func(y float64) float64 { return math.Sqrt(max(0, 33*33-y*y)) }
	return rasterMoves(face, c, evenPasses(-31.5, 31.5, 64), half, 8)
}

// helices are turns a little over a hollow, one beside the other.
func helices(face dish.Face, c path.Cutter, n int, radius, over, rise float64) (moves []path.Move) {
	for k := range n {
		r := radius + 0.01*float64(k)
		p := r3.Vec{X: r, Z: tipAt(face, c, r, 0) + over}
		moves = append(moves, path.Move{Kind: path.Arc, From: r3.Add(p, r3.Vec{Z: rise}), To: p, Centre: r3.Vec{Z: p.Z + rise}})
	}
	return moves
}

// Helices over a finished face cost little more than the face by itself: those high above
// it are left out, and of others only what may matter is looked at closely.
func TestHelicesCostLittle(t *testing.T) {
	c, cutter := dished(), ballCutter(10)
	plain, err := looks(c, MaxLooks, worked(cutter, finished(c.Face, cutter)))
	require.NoError(t, err)
	for _, over := range []float64{0.11, 0.04} {
		spent, err := looks(c, MaxLooks, worked(cutter, append(finished(c.Face, cutter), helices(c.Face, cutter, 24, 20, over, 0.79)...)))
		require.NoError(t, err)
		require.Less(t, spent, 5*plain, "%g mm over it", over)
	}
	k := newRelevant(c.Face, cutter, 0, 0.1, nil) // twice the scallop
	for _, m := range helices(c.Face, cutter, 3, 15, 0.11, 0.79) {
		require.False(t, k.counts(m))
	}
	for _, m := range helices(c.Face, cutter, 3, 15, 0.05, 0.79) {
		require.True(t, k.counts(m))
	}
	across := path.Move{Kind: path.Arc, From: r3.Vec{X: -60, Z: -0.2}, To: r3.Vec{X: 60, Z: -0.2}, Centre: r3.Vec{Z: -0.2}}
	for _, y := range []float64{900, -900} { // over the middle of a crown it comes lower than at its ends
		across.Centre.Y, across.Clockwise = y, y < 0
		k := newRelevant(must(dish.NewFace(dish.Crown, 2000, 90)), cutter, 0, 0.3, nil)
		require.True(t, k.counts(across))
		require.False(t, k.some)
	}
}

// Whatever a proof does counts in its budget. It stops soon after that is over, and with
// the same verdict on any number of processors.
func TestEveryProofIsBounded(t *testing.T) {
	c, ball, flat := dished(), ballCutter(10), plainCutter()
	c.Obstacles = []path.Obstacle{{X: 40, Y: 90, DX: 10, Radius: 5, Height: 15}}
	star := func(n int, low func(k int) float64) (moves []path.Move) {
		at := r3.Vec{X: -80, Z: 1}
		for k := range n {
			sin, cos := math.Sincos(math.Pi * float64(k) / float64(n))
			to := r3.Vec{X: 80 * cos, Y: 80 * sin, Z: low(k)}
			if k%2 == 1 {
				to.X, to.Y = -to.X, -to.Y
			}
			moves, at = append(moves, lineMove(at, to)), to
		}
		return moves
	}
	round := func(n int, m path.Move) (moves []path.Move) {
		for range n {
			moves = append(moves, m)
		}
		return moves
	}
	with := func(s extra.Set) Case {
		c := c
		c.Extras, c.TemplatesOnly = s, true
		return c
	}
	hole := extra.Hole{Name: "hole", Radius: 20, Bottom: -5}
	band, err := dish.NewBand([]r2.Vec{{X: -20, Y: -20}, {X: 20, Y: -20}, {X: 20, Y: 20}, {X: -20, Y: 20}}, 8)
	require.NoError(t, err)
	slot := extra.CutOut{Name: "slot", Slot: band, Bottom: -5, CutterRadius: 3}
	groove := extra.Groove{Name: "line", Path: []r3.Vec{{X: -20, Z: -0.3}, {X: 20, Z: -0.3}}, Depth: 0.3, Width: 3}
	circle := path.Move{Kind: path.Arc, From: r3.Vec{X: 17, Z: -5}, To: r3.Vec{X: 17, Z: -5}, Centre: r3.Vec{Z: -5}}
	var creep []path.Move // points that go back in the direction of all of them
	for k := range 3000 {
		at := func(k int) r3.Vec { return r3.Vec{X: 1e-9 * float64(k), Y: 1e-4 * float64(k%2), Z: -0.1} }
		creep = append(creep, lineMove(at(k), at(k+1)))
	}
	for _, try := range []struct {
		name  string
		c     Case
		p     Program
		limit int64
	}{
		{"a field that is cut deeper and deeper", c, worked(flat, star(100, func(k int) float64 { return -0.01 * float64(k) })), 200_000},
		{"passes over passes", c, worked(ball, star(100, func(k int) float64 { return -1.9 })), 200_000},
		{"helices about the face", c, worked(ball, helices(c.Face, ball, 100, 20, 0.001, 0.5)), 100_000},
		{"arcs about the limit of gouge", c, worked(ball, round(300, path.Move{Kind: path.Arc, Plane: path.ZX, From: r3.Vec{X: -80, Z: -0.5}, To: r3.Vec{X: 80, Z: -0.5}, Centre: r3.Vec{Z: 1700}})), 100_000},
		{"arcs round an obstacle", c, worked(ball, round(300, path.Move{Kind: path.Arc, From: r3.Vec{X: 95, Y: 90, Z: 1}, To: r3.Vec{X: 95, Y: 90, Z: 1}, Centre: r3.Vec{X: 50, Y: 90, Z: 1}})), 100_000},
		{"points that go nowhere", c, worked(ball, creep), 50_000},
		{"a hole again and again", with(extra.Set{Holes: []extra.Hole{hole}}), worked(flat, round(1000, circle)), 500_000},
		{"a slot again and again", with(extra.Set{CutOuts: []extra.CutOut{slot}}), worked(flat, round(2000, lineMove(r3.Vec{X: -23, Y: -23, Z: -5}, r3.Vec{X: 23, Y: -23, Z: -5}))), 500_000},
		{"a groove again and again", with(extra.Set{Grooves: []extra.Groove{groove}}), worked(flat, round(3000, lineMove(groove.Path[0], groove.Path[1]))), 500_000},
	} {
		t.Run(try.name, func(t *testing.T) {
			spent, err := looks(try.c, try.limit, try.p)
			var over TooMuchWorkError
			require.True(t, errors.As(err, &over), "%d of %d", spent, try.limit)
			require.Equal(t, try.limit, over.Looks)
			require.Less(t, spent, try.limit+2_000_000, "it stops soon")
		})
	}
	p := worked(ball, finished(c.Face, ball)[:200])
	want, err := looks(c, MaxLooks, p)
	require.NoError(t, err)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	alone, err := looks(c, MaxLooks, p)
	require.NoError(t, err)
	require.Equal(t, want, alone)
	_, err = looks(c, want-1, p)
	require.EqualError(t, err, TooMuchWorkError{Looks: want - 1}.Error())
}

// What is kept is bounded too.
func TestMemoryOfAProofIsBounded(t *testing.T) {
	b := newBudget()
	one, other := tally{of: b}, tally{of: b}
	one.keep(mostKept)
	require.NoError(t, b.err())
	one.keep(1)
	require.True(t, one.over)
	require.ErrorContains(t, b.err(), "300 MB")
	other.flush()
	require.True(t, other.over, "all who work on it stop")
}

// What takes long inside counts by what it takes, not by its moves.
func TestWorkCountsWhereItIsDone(t *testing.T) {
	c, ball := dished(), ballCutter(10)
	end := r3.Vec{X: 25, Z: tipAt(c.Face, ball, 25, 0)}
	along := path.Move{Kind: path.Arc, Plane: path.ZX, From: r3.Vec{X: -end.X, Z: end.Z}, To: end, Centre: r3.Vec{Z: 2000 - c.Face.Sagitta()}}
	if along.At(0.5).Z > end.Z {
		along.Clockwise = true
	}
	var line []path.Move // that becomes one run
	for k := range 2000 {
		line = append(line, lineMove(r3.Vec{X: 0.01 * float64(k), Z: -0.1}, r3.Vec{X: 0.01 * float64(k+1), Z: -0.1}))
	}
	circle := path.Move{Kind: path.Arc, From: r3.Vec{X: 17, Z: -5}, To: r3.Vec{X: 17, Z: -5}, Centre: r3.Vec{Z: -5}}
	for _, try := range []struct {
		name  string
		do    func(*tally)
		least int64
	}{
		{"an arc along the limit of gouge", func(t *tally) { deepestGouge(c.Face, nil, []Cut{{ball, []path.Move{along}}}, t) }, 50 * gougeLooks},
		{"the points of a chain", func(t *tally) {
			_, _ = makeRuns(Cut{ball, line}, 0, always, t)
		}, 2000 * pointLooks},
		{"the chords of an arc", func(t *tally) {
			collect([]Program{worked(ball, []path.Move{circle})}, r2.Vec{X: -1, Y: -1}, r2.Vec{X: 1, Y: 1}, t, func(path.Cutter, path.Move, float64, float64) bool { return true })
		}, int64(len(capsules(nil, ball, circle)) * (capsuleLooks + 8))},
		{"the cells that a move cuts", func(t *tally) {
			s := NewStock(c.Blank, 1)
			s.tally = *t
			s.Run(flatCutter(10), []path.Move{lineMove(r3.Vec{X: -50, Z: -1}, r3.Vec{X: 50, Z: -1})})
			*t = s.tally
		}, 1000 * touchedLooks},
	} {
		t.Run(try.name, func(t *testing.T) {
			b := newBudget()
			one := tally{of: b}
			try.do(&one)
			one.flush()
			require.GreaterOrEqual(t, b.spent.Load(), try.least)
		})
	}
}

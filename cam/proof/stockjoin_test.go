package proof

import (
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// parts divides every line into so many, at places written in steps.
func parts(moves []path.Move, n int, step float64) (out []path.Move) {
	written := func(v float64) float64 { return math.Round(v/step) * step }
	for _, m := range moves {
		at := m.From
		for k := 1; k <= n; k++ {
			to := m.To
			if k < n {
				to = m.At(float64(k) / float64(n))
				to = stockVec(written(to.X), written(to.Y), written(to.Z))
			}
			part := m
			part.From, part.To = at, to
			out, at = append(out, part), to
		}
	}
	return out
}

// A text whose lines are cut into parts bites as deep as the text itself, with walls beside
// it lap after lap.
func TestStockLinesInParts(t *testing.T) {
	c := stockSmall
	c.Core, c.DepthOfCut, c.Ramp = 0, 4, 0.1
	rapid.Check(t, chance.Few(10, func(t *rapid.T) {
		moves := helix(0, 0, rapid.Float64Range(4, 12).Draw(t, "radius"), 0.05, -5, 24)
		inParts := parts(moves, rapid.IntRange(2, 30).Draw(t, "parts"), rapid.SampledFrom([]float64{1e-4, 1e-6}).Draw(t, "step"))
		whole, got := NewStock(stockPlate, 0.5).Run(c, moves), NewStock(stockPlate, 0.5).Run(c, inParts)
		require.InDelta(t, whole.Depth, got.Depth, 2*biteTolerance)
		require.Empty(t, got.TooDeep)
	}))
}

// What is remembered of lines in parts is nowhere below what the parts leave.
func TestStockRemembersLines(t *testing.T) {
	blank := dish.Blank{Shape: dish.Square, Length: 24, Width: 24, Thickness: 10}
	rapid.Check(t, func(t *rapid.T) {
		c := stockDrawCutter(t)
		var moves []path.Move
		at := r3.Vec{Z: 1}
		for range rapid.IntRange(1, 4).Draw(t, "lines") {
			to := stockDrawMove(t, at).To
			moves, at = append(moves, stockLine(at, to)), to
		}
		step := rapid.SampledFrom([]float64{1e-2, 1e-3, 1e-4, 1e-6}).Draw(t, "step")
		inParts := parts(moves, rapid.IntRange(2, 9).Draw(t, "parts"), step)
		s := NewStock(blank, 1)
		for _, m := range inParts {
			s.Cut(c, m)
		}
		for x := -11.3; x < 12; x += 1.7 {
			for y := -11.1; y < 12; y += 1.9 {
				low := 0.0
				for _, m := range inParts {
					l, _, _ := sampleMove(m, 60).over(c, x, y)
					low = math.Min(low, l)
				}
				require.GreaterOrEqual(t, s.Height(x, y), low-1e-9, "at %v, %v", x, y)
			}
		}
	})
}

// A full cell forgets what lies under nothing else: however many deeper laps come into the
// other half of it, each on a way of its own, what one lap has cleared of this half is known.
func TestStockFullCell(t *testing.T) {
	c := stockSmall
	r := c.Diameter / 2
	for _, laps := range []int{10, 17, 40} {
		s := NewStock(stockPlate, 1)
		x, y := s.middle(s.nx/2, s.ny/2)
		along := func(x, far, z float64) path.Move { return stockLine(stockVec(x, -far, z), stockVec(x, far, z)) }
		s.Cut(c, along(x-r+0.3, 9, -2)) // up to 0.3 mm to the right of the middle
		for k := range laps {
			s.Cut(c, along(x+r+0.05, 9+0.01*float64(k), -3-0.1*float64(k)))
		}
		require.Equal(t, 0.0, s.upper[s.ny/2*s.nx+s.nx/2], "neither covers all of the cell")
		require.InDelta(t, -2, s.Height(x-0.4, y), 1e-6, laps)
		require.InDelta(t, -2, s.Height(x, y), 1e-6, laps)
		require.InDelta(t, -3-0.1*float64(laps-1), s.Height(x+0.4, y), 1e-6, laps)
	}
}

// Only what goes straight on is one line.
func TestStraightOn(t *testing.T) {
	body, wide := dish.Body{Flat: 2, Corner: 1}, dish.Body{Flat: 3, Corner: 1}
	a, b, d := stockVec(0, 0, -1), stockVec(1, 0, -1), stockVec(2, 0, -1)
	for name, c := range map[string]struct {
		body     dish.Body
		from, to r3.Vec
		joins    bool
	}{
		"straight on":       {body, b, d, true},
		"a digit aside":     {body, b, stockVec(2, 0.0001, -1.0001), true},
		"back":              {body, b, a, false},
		"aside":             {body, b, stockVec(2, 0.01, -1), false},
		"down":              {body, b, stockVec(2, 0, -1.01), false},
		"straight down":     {body, b, stockVec(1, 0, -2), false},
		"from elsewhere":    {body, stockVec(1.5, 0, -1), d, false},
		"of a wider cutter": {wide, b, d, false},
	} {
		var l straightOn
		first, next := newStraightRun(body, a, b, 0), newStraightRun(c.body, c.from, c.to, 0)
		require.Equal(t, first, l.join(&first, 7), name)
		whole := l.join(&next, 8)
		require.Equal(t, c.joins, whole != next, name)
		if !c.joins {
			require.EqualValues(t, 8, l.first, name)
			continue
		}
		require.EqualValues(t, 7, l.first, name)
		require.Equal(t, joinTolerance, whole.miss, name)
		require.InDelta(t, r3.Norm(r3.Sub(c.to, a)), whole.length, 1e-6, name)
	}
}

package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/path"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// creep makes lines from place to place.
func creep(at r3.Vec, steps int, next func(i int, at r3.Vec) r3.Vec) (moves []path.Move) {
	for i := range steps {
		to := next(i, at)
		moves = append(moves, stockLine(at, to))
		at = to
	}
	return moves
}

// creeps are ways of cutting a slot of full width at height z that in no move come more
// than a little further.
func creeps(z float64) map[string][]path.Move {
	from := func(x, y float64) r3.Vec { return stockVec(x, y, z) }
	rnd := rand.New(rand.NewPCG(1, 2))
	return map[string][]path.Move{
		"straight":       creep(from(-6, 0), 40, func(_ int, p r3.Vec) r3.Vec { return from(p.X+0.07, 0) }),
		"a micrometre":   creep(from(-6, 0), 1000, func(_ int, p r3.Vec) r3.Vec { return from(p.X+0.001, 0) }),
		"aslant":         creep(from(-6, -6), 40, func(_ int, p r3.Vec) r3.Vec { return from(p.X+0.05, p.Y+0.05) }),
		"zigzag":         creep(from(-6, 0), 60, func(i int, p r3.Vec) r3.Vec { return from(p.X+0.025, 0.05*float64(i%2)) }),
		"wide zigzag":    creep(from(-6, 0), 60, func(i int, p r3.Vec) r3.Vec { return from(p.X+0.03, 2*float64(i%2)) }),
		"back and forth": creep(from(-6, 0), 100, func(i int, p r3.Vec) r3.Vec { return from(p.X+0.07-0.1*float64(i%2), 0) }),
		"at random":      creep(from(-6, 0), 100, func(_ int, p r3.Vec) r3.Vec { return from(p.X+0.05*rnd.Float64(), 0.1*rnd.Float64()) }),
		"up and down":    creep(from(-6, 0), 100, func(i int, p r3.Vec) r3.Vec { return stockVec(p.X+0.02, 0, z+0.001*float64(i%2)) }),
		"sawtooth": creep(from(-6, 0), 120, func(i int, p r3.Vec) r3.Vec {
			return [4]r3.Vec{stockVec(p.X, 0, z+0.3), stockVec(p.X+0.07, 0, z+0.3), from(p.X, 0), p}[i%4]
		}),
		"in plunges": creep(from(-6, 0), 120, func(i int, p r3.Vec) r3.Vec {
			return [4]r3.Vec{stockVec(p.X, 0, -0.4), stockVec(p.X+0.07, 0, -0.4), from(p.X, 0), p}[i%4]
		}),
		"circle": creep(from(-6, 0), 60, func(i int, _ r3.Vec) r3.Vec {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 60)
			return from(-6+0.6*sin, 0.6*(1-cos))
		}),
	}
}

// A bite is what the cutter's edge comes over, in however many moves, and in layers each
// of them by itself.
func TestStockCreeping(t *testing.T) {
	c := stockSmall
	c.DepthOfCut, c.Core = 2, 0
	for name, moves := range creeps(-5.7) {
		for _, cell := range []float64{0.5, 2} {
			s := NewStock(stockPlate, cell)
			s.Cut(c, stockLine(stockVec(-6, 0, -5.7), stockVec(-6, 0, -5.7)))
			s.Cut(c, stockLine(stockVec(-6, -6, -5.7), stockVec(-6, -6, -5.7)))
			r := s.Run(c, moves)
			require.InDelta(t, 5.7, r.Depth, biteTolerance, "%s, cells of %g", name, cell)
			require.NotEmpty(t, r.TooDeep, name)
		}
	}
	for name := range creeps(0) {
		s := NewStock(stockPlate, 1)
		for _, z := range []float64{-1.9, -3.8, -5.7} {
			s.Cut(c, stockLine(stockVec(-6, 0, z), stockVec(-6, 0, z)))
			s.Cut(c, stockLine(stockVec(-6, -6, z), stockVec(-6, -6, z)))
			r := s.Run(c, creeps(z)[name])
			require.InDelta(t, 1.9, r.Depth, 3*biteTolerance, "%s to %g", name, z)
			require.Empty(t, r.TooDeep, "%s to %g", name, z)
		}
	}
}

// creepBite is how deep the moves bite after a hole is cut at the first's beginning, by a
// reckoning of its own: at many places what stood before the cutter's edge came over them,
// or since it left them last, against where the cutter comes to as it comes nearer to them
// than it was, once they lie more than rind inside its edge.
func creepBite(c path.Cutter, moves []path.Move, rind float64) (depth float64) {
	r := c.Diameter / 2
	for x := -9.0; x <= 5; x += 0.31 {
		for y := -8.0; y <= 8; y += 0.37 {
			stands := min(0, moves[0].From.Z+stockEnd(c, math.Hypot(x-moves[0].From.X, y-moves[0].From.Y)))
			stood, nearest := stands, r
			for _, m := range moves {
				n := max(1, int(math.Ceil(m.Length()/0.04)))
				for i := range n + 1 {
					q := m.At(float64(i) / float64(n))
					d := math.Hypot(x-q.X, y-q.Y)
					if d > r || q.Z >= stood {
						stood, nearest = stands, r
						continue
					}
					under := q.Z + stockEnd(c, d)
					stands = min(stands, under)
					if d <= r-rind && d < nearest {
						depth, nearest = max(depth, stood-under), d
					}
					if d <= min(c.Body().Flat, r-rind) { // nothing more is to come as the cutter comes nearer
						stood = stands
					}
				}
			}
		}
	}
	return depth
}

// Whatever small moves a cutter makes, no bite is understated.
func TestStockCreepingAtRandom(t *testing.T) {
	rapid.Check(t, chance.Few(10, func(t *rapid.T) {
		c := stockDrawCutter(t)
		c.DepthOfCut = 0 // so that no bite is too shallow to be followed
		cell := rapid.Float64Range(0.3, 2).Draw(t, "cell")
		rnd := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		step, side, up := 0.2*rnd.Float64(), rnd.Float64()*rnd.Float64(), 2*rnd.Float64()*rnd.Float64()*rnd.Float64()
		z := -1 - 4*rnd.Float64()
		start := stockVec(-5, 0, z)
		moves := creep(start, 60, func(_ int, p r3.Vec) r3.Vec {
			switch rnd.IntN(4) {
			case 0:
				return stockVec(p.X, p.Y, z+up*rnd.Float64())
			case 1:
				return stockVec(p.X-step*rnd.Float64(), p.Y, p.Z)
			}
			return stockVec(p.X+step*rnd.Float64(), p.Y+side*(rnd.Float64()-0.5), z+up*rnd.Float64())
		})
		s := NewStock(stockPlate, cell)
		s.Cut(c, stockLine(start, start))
		want := creepBite(c, moves, s.EdgeMargin()*1.2)
		// What comes nearer by less than closerShare of the margin may have to wait for the next
		// move, and the last has none; and of a cell only one of the runs before counts.
		require.GreaterOrEqual(t, s.Run(c, moves).Depth, want-0.15)
	}))
}

// A cutter that goes down in ramps to the end of a slot, always the same, and then lifts over
// what stands there bites no deeper than each ramp and than what it goes through up there.
func TestStockOverATab(t *testing.T) {
	c := stockSmall
	c.DepthOfCut, c.Core = 1.4, 0
	rapid.Check(t, chance.Few(30, func(t *rapid.T) {
		turn := rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn")
		sin, cos := math.Sincos(turn)
		at := func(a, z float64) r3.Vec { return stockVec(a*cos, a*sin, z) }
		s := NewStock(stockPlate, rapid.Float64Range(0.3, 1).Draw(t, "cell"))
		long := rapid.Float64Range(6, 9).Draw(t, "long")
		var moves []path.Move
		z, ends := 0.0, [2]float64{-8, -8 + long}
		for n := 0; z > -4; n++ {
			next := max(-4, z-0.65)
			moves = append(moves, stockLine(at(ends[n%2], z), at(ends[1-n%2], next)))
			z = next
		}
		last := moves[len(moves)-1].To
		moves = append(moves, stockLine(last, at(ends[0], -4)), stockLine(at(ends[0], -4), at(ends[1], -4)))
		moves = append(moves, stockLine(at(ends[1], -4), at(ends[1], -1)), stockLine(at(ends[1], -1), at(ends[1]+6, -1)))
		r := s.Run(c, moves)
		require.LessOrEqual(t, r.Depth, 1.3+3*biteTolerance)
		require.Empty(t, r.TooDeep)
	}))
}

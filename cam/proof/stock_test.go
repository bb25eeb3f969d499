package proof

import (
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

var (
	stockPlate = dish.Blank{Shape: dish.Square, Length: 120, Width: 120, Thickness: 20}
	stockSmall = path.Cutter{Shape: path.Flat, Diameter: 12, FluteLength: 10, Shank: 12, StickOut: 20, Core: 3.6}
	stockRound = path.Cutter{Shape: path.Ball, Diameter: 12, FluteLength: 10, Shank: 12}
)

func stockVec(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }

func stockLine(a, b r3.Vec) path.Move { return path.Move{Kind: path.Line, From: a, To: b} }

func stockTraverse(a, b r3.Vec) path.Move { return path.Move{Kind: path.Traverse, From: a, To: b} }

func TestStockKnownBites(t *testing.T) {
	slot := stockLine(stockVec(-30, 3.3, -2), stockVec(30, 3.3, -2))
	ring := path.Move{Kind: path.Arc, From: stockVec(20, 0, -2), To: stockVec(20, 0, -2)}
	deeper := ring
	deeper.From.Z, deeper.To.Z = -4, -4
	plunge := stockLine(stockVec(5, 5, 3), stockVec(5, 5, -4))
	tests := []struct {
		name   string
		cutter path.Cutter
		before []path.Move
		move   path.Move
		depth  float64 // exact
		over   float64 // how far it may be overstated
	}{
		{"flat slot", stockSmall, nil, slot, 2, 0},
		{"flat slot again", stockSmall, []path.Move{slot}, slot, 0, biteTolerance},
		{"flat slot back", stockSmall, []path.Move{slot}, stockLine(slot.To, slot.From), 0, biteTolerance},
		{"flat slot again in two parts", stockSmall, []path.Move{slot}, stockLine(slot.From, stockVec(1.7, 3.3, -2)), 0, biteTolerance},
		{"flat slot in one after two parts", stockSmall, []path.Move{stockLine(slot.From, stockVec(1.7, 3.3, -2)), stockLine(stockVec(1.7, 3.3, -2), slot.To)}, slot, 0, biteTolerance},
		{"flat slot one layer deeper", stockSmall, []path.Move{slot}, stockLine(stockVec(-30, 3.3, -3.5), stockVec(30, 3.3, -3.5)), 1.5, biteTolerance},
		{"flat slot again, after a shallower one over its side", stockSmall, []path.Move{slot, stockLine(stockVec(-30, 9.8, -1), stockVec(30, 9.8, -1))}, slot, 0, biteTolerance},
		{"lift out of a slot", stockSmall, []path.Move{slot}, stockLine(slot.To, stockVec(30, 3.3, 5)), 0, biteTolerance},
		{"beside it, overlapping by half", stockSmall, []path.Move{slot}, stockLine(stockVec(-30, 9.3, -2), stockVec(30, 9.3, -2)), 2, 0},
		{"ball slot", stockRound, nil, slot, 2, biteTolerance},
		{"ball slot again", stockRound, []path.Move{slot}, slot, 0, biteTolerance},
		{"ball slot, deeper", stockRound, []path.Move{slot}, stockLine(stockVec(-30, 3.3, -4), stockVec(30, 3.3, -4)), 2, biteTolerance},
		{"ball lifted out of a slot", stockRound, []path.Move{slot}, stockLine(slot.To, stockVec(30, 3.3, 5)), 0, biteTolerance},
		{"ramp", stockSmall, nil, stockLine(stockVec(-30, 0, 0), stockVec(30, 0, -3)), 3, biteTolerance},
		{"plunge", stockSmall, nil, plunge, 4, 0},
		{"plunge and lift", stockSmall, []path.Move{plunge}, stockLine(plunge.To, plunge.From), 0, biteTolerance},
		{"ring", stockSmall, nil, ring, 2, 2 * maxChordMiss},
		{"ring one layer deeper", stockSmall, []path.Move{ring}, deeper, 2, biteTolerance + 2*maxChordMiss},
		{"ring one layer deeper, ball", stockRound, []path.Move{ring}, deeper, 2, 2*biteTolerance + 2*maxChordMiss},
		{"in the air", stockSmall, nil, stockLine(stockVec(-30, 0, 0), stockVec(30, 0, 0)), 0, 0},
		{"far outside", stockSmall, nil, stockLine(stockVec(1e5, 0, -5), stockVec(2e5, 0, -5)), 0, 0},
		{"across from far away", stockSmall, nil, stockLine(stockVec(-1e8, 0, -2), stockVec(1e8, 0, -2)), 2, 1e-6},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := NewStock(stockPlate, 1)
			for _, m := range tt.before {
				s.Cut(tt.cutter, m)
			}
			b := s.Cut(tt.cutter, tt.move)
			require.GreaterOrEqual(t, b.Depth, tt.depth-1e-12)
			require.LessOrEqual(t, b.Depth, tt.depth+tt.over+1e-8)
		})
	}
}

// Scallops between passes of a ball, step s: r − √(r² − s²/4) high, the depth of a segment of
// chord s (Machinery's Handbook, 31st ed., pp. 79 and 83). A flat pass that takes half of them
// off bites as deep as that.
func TestStockScallops(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := NewStock(stockPlate, rapid.Float64Range(0.7, 1.3).Draw(t, "cell"))
		step := rapid.Float64Range(4, 8).Draw(t, "step")
		turn := rapid.Float64Range(0, 1.5).Draw(t, "turn")
		sin, cos := math.Sincos(turn)
		pass := func(y, z, half float64) path.Move {
			at := func(x float64) r3.Vec { return stockVec(x*cos-y*sin, x*sin+y*cos, z) }
			return stockLine(at(-half), at(half))
		}
		for k := range 7 {
			s.Cut(stockRound, pass(float64(k-3)*step, -5, 50))
		}
		scallop := 6 - math.Sqrt(36-step*step/4)
		b := s.Cut(stockSmall, pass(0, -5+scallop/2, 20))
		require.GreaterOrEqual(t, b.Depth, scallop/2-1e-9)
		require.LessOrEqual(t, b.Depth, scallop/2+2*biteTolerance)
	})
}

func TestStockVolume(t *testing.T) {
	tests := []struct {
		name   string
		cutter path.Cutter
		move   path.Move
		want   float64
	}{
		{"flat slot", stockSmall, stockLine(stockVec(-30, 0.2, -2), stockVec(30, 0.2, -2)), 2 * (60*12 + math.Pi*36)},
		{"aslant", stockSmall, stockLine(stockVec(-30, -20, -2), stockVec(30, 25, -2)), 2 * (75*12 + math.Pi*36)},
		// A ball 2 mm deep cuts the segment of a circle of radius 6 along its way, of
		// area r² acos(1 − h/r) − (r − h) √(h (2r − h)), and half a cap at either end,
		// π h² (3r − h)/3: Machinery's Handbook, 31st ed., pp. 50 and 91.
		{"ball", stockRound, stockLine(stockVec(-30, 0.2, -2), stockVec(30, 0.2, -2)),
			60*(36*math.Acos(4.0/6)-4*math.Sqrt(20)) + math.Pi*4*16/3},
		{"ring", stockSmall, path.Move{Kind: path.Arc, From: stockVec(20, 0, -2), To: stockVec(20, 0, -2)}, 2 * math.Pi * (26*26 - 14*14)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := NewStock(stockPlate, 0.5)
			// Middles of cells count an area with an error that averages out along
			// its edge; 1 % is 8 mm² of some 800 mm².
			require.InEpsilon(t, tt.want, s.Cut(tt.cutter, tt.move).Volume, 0.01)
			require.InDelta(t, 0, s.Cut(tt.cutter, tt.move).Volume, 1e-6)
		})
	}
}

func TestStockRunReports(t *testing.T) {
	s := NewStock(stockPlate, 1)
	down := stockVec(-30, 0, -2)
	r := s.Run(stockSmall, []path.Move{
		stockTraverse(stockVec(0, 0, 20), stockVec(-30, 0, 20)),
		stockLine(stockVec(-30, 0, 20), down),                      // plunge into solid
		stockLine(down, stockVec(30, 0, -2)),                       // slot
		stockTraverse(stockVec(30, 0, -2), stockVec(30, 0, 20)),    // straight up: touches nothing
		stockTraverse(stockVec(30, 0, 20), stockVec(0, 0, 20)),     //
		stockTraverse(stockVec(0, 0, 20), stockVec(0, 0, -1.9)),    // straight down in the slot
		stockTraverse(stockVec(0, 0, -1.9), stockVec(0, 20, -1.9)), // through the wall
		stockTraverse(stockVec(0, 20, -1.9), stockVec(0, 20, 20)),  //
		stockLine(stockVec(0, 20, 20), stockVec(-30, 20, 20)),      //
		stockLine(stockVec(-30, 20, 20), stockVec(-30, 20, 0.01)),  //
	})
	require.Equal(t, 2.0, r.Depth)
	require.Equal(t, 1, r.Index)
	require.Len(t, r.Traverses, 1)
	require.Equal(t, 6, r.Traverses[0].Index)
	require.InDelta(t, 1.9, r.Traverses[0].Depth, 0.03)
	require.Equal(t, 1, r.SteepestIndex)
	require.InDelta(t, math.Pi/2, r.Steepest, 1e-12)
	require.InDelta(t, 2, r.SteepestDepth, biteTolerance)
	require.Empty(t, r.Contacts)
	require.InEpsilon(t, 2*(60*12+math.Pi*36)+1.9*(14*12+math.Pi*36/2), r.Volume, 0.03)
}

// A ramp cut into many short moves is as steep as in one; a way down over a
// face that is finished has no stock under the core.
func TestStockSteepest(t *testing.T) {
	var ramp []path.Move
	for i := range 120 {
		a, b := float64(i)/4, float64(i+1)/4
		ramp = append(ramp, stockLine(stockVec(a-30, 0, -a/10), stockVec(b-30, 0, -b/10)))
	}
	ramp = append(ramp, stockLine(stockVec(0, 0, -3), stockVec(6, 0, -3))) // what the core stood over at its end
	s := NewStock(stockPlate, 1)
	r := s.Run(stockSmall, ramp)
	require.InDelta(t, math.Atan(0.1), r.Steepest, 1e-9)
	again := s.Run(stockSmall, ramp)
	require.Equal(t, -1, again.SteepestIndex)
	require.Equal(t, 0.0, again.Steepest)

	// A quarter circle of radius 20 downwards: its end is vertical.
	arc := path.Move{Kind: path.Arc, Plane: path.ZX, From: stockVec(0, 0, 10), To: stockVec(20, 0, -10), Centre: stockVec(0, 0, -10)}
	require.InDelta(t, math.Pi/2, NewStock(stockPlate, 1).Run(stockSmall, []path.Move{arc}).Steepest, 0.01)
}

func TestStockContact(t *testing.T) {
	machine := machines.Machine{Holder: machines.Holder{Diameter: 30, Length: 40}, Hood: &machines.Hood{Diameter: 60, AboveTip: 25}}
	thick := stockSmall
	thick.Shank = 16
	tests := []struct {
		name   string
		cutter path.Cutter
		z      float64
		part   MachinePart
		amount float64
	}{
		{"shallow", thick, -9.9, NoPart, 0},
		{"shank", thick, -13, Shank, 3},
		{"thin shank", stockSmall, -13, NoPart, 0},
		{"holder", stockSmall, -22, Holder, 2},
		{"hood", stockSmall, -26, Holder, 6},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := NewStock(stockPlate, 1)
			got := s.Contact(tt.cutter, stockLine(stockVec(0, 0, 5), stockVec(0, 0, tt.z)), machine)
			require.Equal(t, tt.part, got.MachinePart)
			require.InDelta(t, tt.amount, got.Amount, biteTolerance)
		})
	}
	long := stockSmall
	long.StickOut = 0
	got := NewStock(stockPlate, 1).Contact(long, stockLine(stockVec(0, 0, 5), stockVec(0, 0, -26)), machine)
	require.Equal(t, Hood, got.MachinePart)
}

func TestStockUnknownStart(t *testing.T) {
	nan := math.NaN()
	s := NewStock(stockPlate, 1)
	b := s.Cut(stockSmall, path.Move{Kind: path.Traverse, From: stockVec(nan, nan, nan), To: stockVec(0, 0, -1)})
	require.InDelta(t, 1, b.Depth, 1e-9)
	require.Equal(t, Bite{}, s.Cut(stockSmall, path.Move{From: stockVec(nan, nan, nan), To: stockVec(nan, nan, 5)}))
	require.Equal(t, -1.0, s.Height(0, 0))
	require.Equal(t, 0.0, s.Height(20, 0))
}

// No input brings a panic, a NaN or an endless run.
func TestStockWildInput(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := NewStock(dish.Blank{Shape: dish.BlankShape(rapid.IntRange(0, 3).Draw(t, "outline")), Length: 30, Width: 20}, 1)
		v := func(name string) r3.Vec {
			g := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-20, 20), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), 1e308, -1e308, 0, 1e-300}))
			return stockVec(g.Draw(t, name+"x"), g.Draw(t, name+"y"), g.Draw(t, name+"z"))
		}
		c := stockDrawCutter(t)
		for range 4 {
			m := path.Move{Kind: path.Kind(rapid.IntRange(0, 2).Draw(t, "kind")), Plane: path.Plane(rapid.IntRange(0, 2).Draw(t, "plane")), From: v("from"), To: v("to"), Centre: v("centre")}
			b := s.Cut(c, m)
			require.True(t, b.Depth >= 0 && b.Volume >= 0 && b.CoreDepth >= 0, "%+v", b)
			r := s.Run(c, []path.Move{m})
			require.True(t, r.Depth >= 0 && r.Volume >= 0 && r.Steepest >= 0)
			s.Contact(c, m, machines.Machine{Holder: machines.Holder{Diameter: 40}})
		}
		for _, h := range s.upper {
			require.True(t, h <= 0)
		}
	})
}

func TestStockOutline(t *testing.T) {
	for _, o := range []dish.BlankShape{dish.Square, dish.Rectangle, dish.Round, dish.Octagon} {
		b := dish.Blank{Shape: o, Length: 50, Width: 50}
		if o == dish.Rectangle {
			b.Width = 30
		}
		s := NewStock(b, 0.7)
		rapid.Check(t, func(t *rapid.T) {
			x, y := rapid.Float64Range(-30, 30).Draw(t, "x"), rapid.Float64Range(-30, 30).Draw(t, "y")
			if b.Inside(x, y) >= 0 {
				require.Equal(t, 0.0, s.Height(x, y))
				require.Equal(t, 0.0, s.HighestInDisc(x, y, 0))
			} else {
				require.Equal(t, math.Inf(-1), s.Height(x, y))
			}
			if b.Inside(x, y) < -3 {
				require.Equal(t, math.Inf(-1), s.HighestInDisc(x, y, 1))
			}
		})
	}
	require.LessOrEqual(t, len(NewStock(dish.Blank{Length: 1e5, Width: 1e5}, 1).upper), maxStockCells)
	require.LessOrEqual(t, len(NewStock(dish.Blank{Shape: dish.Rectangle, Length: 1e6, Width: 1}, 1e-9).upper), maxStockCells)
	require.Equal(t, 1.0, NewStock(stockPlate, math.NaN()).CellSize())
}

func TestStockViews(t *testing.T) {
	s := NewStock(stockPlate, 1)
	face, err := dish.NewFace(dish.Hollow, 500, 50)
	require.NoError(t, err)
	s.Cut(stockSmall, stockLine(stockVec(-30, 0, -2), stockVec(30, 0, -2)))
	left := s.HeightMap(face, 10, 10)
	require.True(t, math.IsNaN(left[0][0]))
	require.InDelta(t, -face.Height(11), left[3][5], 1.2) // stands whole: the block's lowest place counts most
	require.Greater(t, left[1][5], 0.0)
	require.InDelta(t, 0, left[0][5], 1.0) // near the rim
	require.Nil(t, s.HeightMap(face, 0, 3))
}

// Row 0 of what is left lies at the greatest y, column 0 at the least x.
func TestHeightMapIsTheRightWayUp(t *testing.T) {
	s := NewStock(stockPlate, 1)
	s.Cut(stockSmall, stockLine(stockVec(-22.5, 32.5, -2), stockVec(-22.5, 32.5, -2)))
	for r, row := range s.HeightMap(must(dish.NewFace(dish.Flat, 0, 50)), 20, 20) {
		for c, h := range row {
			switch {
			case r == 3 && c == 5:
				require.InDelta(t, -2, h, 1e-9)
			case max(r-3, 3-r, c-5, 5-c) > 1 && !math.IsNaN(h):
				require.Zero(t, h, "row %d, column %d", r, c)
			}
		}
	}
	wide := s.HeightMap(must(dish.NewFace(dish.Flat, 0, 50)), 20, 1)
	require.Len(t, wide, 1)
	for _, h := range wide[0] {
		require.Zero(t, h)
	}
}

func TestStockCloneAndRepeat(t *testing.T) {
	moves := stockRaster(stockBull, 25, 40, 0)
	a := NewStock(stockBed, 3)
	b := a.Clone()
	ra := a.Run(stockBull, moves)
	require.Equal(t, 0.0, b.Height(10, 10))
	rb := b.Run(stockBull, moves)
	require.Equal(t, ra, rb)
	require.Equal(t, a.upper, b.upper)
	c := a.Clone()
	c.Cut(stockFlat, stockLine(stockVec(0, 0, -15), stockVec(50, 0, -15)))
	require.Equal(t, a.upper, b.upper)
	require.Equal(t, a.memory, b.memory)
}

// A run that only looks for bites too deep finds the same ones, and measures no other.
func TestStockSkipAllowedBites(t *testing.T) {
	c := stockSmall
	c.DepthOfCut = 3
	fine := []path.Move{stockLine(stockVec(-30, 3.3, -2), stockVec(30, 3.3, -2)), stockLine(stockVec(-30, 3.3, -4.5), stockVec(30, 3.3, -4.5))}
	deep := stockLine(stockVec(-30, -15, -5), stockVec(30, -15, -5))
	all, only := NewStock(stockPlate, 1), NewStock(stockPlate, 1)
	only.SkipAllowedBites = true
	require.InDelta(t, 2.5, all.Run(c, fine).Depth, biteTolerance)
	require.Zero(t, only.Run(c, fine).Depth)
	want, got := all.Run(c, []path.Move{deep, fine[1]}), only.Run(c, []path.Move{deep, fine[1]})
	require.Len(t, want.TooDeep, 1)
	require.Equal(t, want.TooDeep, got.TooDeep)
	require.Equal(t, want.Depth, got.Depth)
}

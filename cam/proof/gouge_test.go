package proof

import (
	"math"
	"math/rand/v2"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// bruteGouge tries many places along a move, by plain formulas.
func bruteGouge(face dish.Face, c path.Cutter, m path.Move) float64 {
	f, k := c.Body().Flat, c.Body().Corner
	depth := math.Inf(-1)
	for i := 0; i <= 3000; i++ {
		v := m.At(float64(i) / 3000)
		d := math.Hypot(v.X, v.Y)
		allowed := 0.0
		switch face.Kind {
		case dish.Hollow:
			if q := face.Radius - k; d+f < q {
				allowed = math.Min(0, q-math.Sqrt(q*q-(d+f)*(d+f))-face.Sagitta())
			}
		case dish.Crown:
			q, x := face.Radius+k, math.Max(0, d-f)
			allowed = math.Sqrt(q*q-x*x) - q
		}
		depth = math.Max(depth, allowed-v.Z)
	}
	return depth
}

func TestGougeAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kind := rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown, dish.Flat}).Draw(t, "kind")
		rim := rapid.Float64Range(20, 300).Draw(t, "rim")
		face := must(dish.NewFace(kind, rim*rapid.Float64Range(3, 40).Draw(t, "radius"), rim))
		c := jobCutter(t)
		place := func(name string) r3.Vec {
			return r3.Vec{
				X: rim * rapid.Float64Range(-1.3, 1.3).Draw(t, name+" x"),
				Y: rim * rapid.Float64Range(-1.3, 1.3).Draw(t, name+" y"),
				Z: rapid.Float64Range(-1, 0.2).Draw(t, name+" z") * rim / 10,
			}
		}
		m := path.Move{Kind: path.Line, From: place("from"), To: place("to")}
		if rapid.Bool().Draw(t, "arc") {
			m.Kind = path.Arc
			m.Plane = rapid.SampledFrom([]path.Plane{path.XY, path.ZX, path.YZ}).Draw(t, "plane")
			m.Clockwise = rapid.Bool().Draw(t, "clockwise")
			m.Centre = r3.Scale(0.5, r3.Add(m.From, m.To))
			// the ends lie on a circle about the middle between them
		}
		worst, over := DeepestGouge(face, []Cut{{c, []path.Move{m}}})
		want := bruteGouge(face, c, m)
		require.GreaterOrEqual(t, worst.Amount, want-1e-9)
		// between two of 3000 samples the depth can rise by slope × half a step
		require.LessOrEqual(t, worst.Amount, want+arcTolerance+2*m.Length()/6000)
		require.Equal(t, worst.Amount > GougeTolerance, len(over) == 1)
	})
}

// Arcs about and past a small crown, as far out as where its sphere ends and beyond: the
// depth is a number, and nowhere less than at any place along the arc.
func TestGougeOfArcsPastASmallCrown(t *testing.T) {
	d := rand.New(rand.NewPCG(24, 6))
	between := func(a, b float64) float64 { return a + (b-a)*d.Float64() }
	deep := 0
	for range 1500 {
		face := must(dish.NewFace(dish.Crown, between(10.5, 40), 10))
		c := path.Cutter{Shape: path.Bull, Diameter: between(1, 20)}
		c.Corner = c.Diameter * between(0, 0.5)
		r, ends := face.Radius+c.Body().Corner, face.Radius+c.Body().Corner+c.Body().Flat
		angle, turn := between(0, 2*math.Pi), between(0.05, 2*math.Pi)
		rho, middle := between(1, 2*ends), r3.Vec{X: between(-2, 2) * ends, Z: between(-1.2*r, 5)}
		at := func(a float64) r3.Vec {
			return r3.Vec{X: middle.X + rho*math.Cos(a), Y: rho * math.Sin(a), Z: middle.Z}
		}
		m := path.Move{Kind: path.Arc, Plane: path.XY, From: at(angle), To: at(angle + turn), Centre: middle}
		if d.IntN(3) == 0 {
			m.To.Z += between(-3, 3)
		}
		worst, over := DeepestGouge(face, []Cut{{c, []path.Move{m}}})
		require.False(t, math.IsNaN(worst.Amount))
		want := math.Inf(-1)
		for k := 0; k <= 2000; k++ {
			v := m.At(float64(k) / 2000)
			if out := max(0, math.Hypot(v.X, v.Y)-c.Body().Flat); out < r {
				want = max(want, math.Sqrt(r*r-out*out)-r-v.Z)
			}
		}
		if math.IsInf(want, -1) { // not one place of it over the sphere
			continue
		}
		require.GreaterOrEqual(t, worst.Amount, want-1e-9)
		require.Less(t, worst.Amount, 2*r+10)
		if want > GougeTolerance {
			deep++
			require.Len(t, over, 1)
		}
	}
	require.Greater(t, deep, 300)
}

func TestGougeOfOneLoweredPoint(t *testing.T) {
	face := must(dish.NewFace(dish.Hollow, 7620, 300))
	c := flatCutter(25.4)
	moves := rasterMoves(face, c, evenPasses(-180, 180, 20), func(float64) float64 { return 200 }, 5)
	worst, over := DeepestGouge(face, []Cut{{c, moves}})
	require.LessOrEqual(t, worst.Amount, 1e-9, "tips on or above the closed form, chords above it")
	require.Empty(t, over)
	moves[100].To.Z -= 0.02
	moves[101].From.Z -= 0.02
	moves[101].Source = path.Source{Line: 7, Column: 3}
	worst, over = DeepestGouge(face, []Cut{{}, {c, moves}})
	require.InDelta(t, 0.02, worst.Amount, 1e-4)
	require.Len(t, over, 2)
	require.Equal(t, []int{1, 100, 1, 101}, []int{over[0].Cut, over[0].Move, over[1].Cut, over[1].Move})
	require.Equal(t, path.Source{Line: 7, Column: 3}, over[1].Source)
	require.Equal(t, moves[100].To, r3.Vec{X: worst.X, Y: worst.Y, Z: worst.Z})
}

// A chord of a ball's path over a crown lies below it by the arc's sagitta.
func TestGougeOfCrownChord(t *testing.T) {
	face := must(dish.NewFace(dish.Crown, 500, 100))
	c := ballCutter(10)
	tip := func(x float64) r3.Vec { return r3.Vec{X: x, Z: face.Tip(dish.Body{Corner: 5}, math.Abs(x))} }
	m := lineMove(tip(-6), tip(6))
	worst, _ := DeepestGouge(face, []Cut{{c, []path.Move{m}}})
	require.InDelta(t, 505-math.Sqrt(505*505-36), worst.Amount, 1e-12)
	require.InDelta(t, 0, worst.X, 1e-5)
	// a flat that covers the apex all the way may run level at the apex's height
	worst, _ = DeepestGouge(face, []Cut{{flatCutter(20), []path.Move{lineMove(r3.Vec{X: -9}, r3.Vec{X: 9})}}})
	require.InDelta(t, 0, worst.Amount, 1e-12)
}

// A ball's pass as one exact arc gouges nothing, and its depth is bounded from above.
func TestGougeOfArcOnTheSphere(t *testing.T) {
	face := must(dish.NewFace(dish.Hollow, 7620, 300))
	c := ballCutter(12.7)
	z := face.Tip(dish.Body{Corner: 6.35}, 250)
	mid := 7620 - face.Sagitta() - 6.35
	m := path.Move{Kind: path.Arc, Plane: path.ZX, From: r3.Vec{X: -250, Z: z}, To: r3.Vec{X: 250, Z: z}, Centre: r3.Vec{Z: mid}, Clockwise: true}
	worst, over := DeepestGouge(face, []Cut{{c, []path.Move{m}}})
	require.Empty(t, over)
	require.GreaterOrEqual(t, worst.Amount, -1e-9)
	require.LessOrEqual(t, worst.Amount, arcTolerance+1e-9)
	m.Centre.Z -= 0.05
	m.From.Z -= 0.05
	m.To.Z -= 0.05
	worst, _ = DeepestGouge(face, []Cut{{c, []path.Move{m}}})
	require.InDelta(t, 0.05, worst.Amount, arcTolerance+1e-9)
}

func TestGougeOfTraversesAndUnknownPlaces(t *testing.T) {
	face := must(dish.NewFace(dish.Hollow, 7620, 300))
	nan := math.NaN()
	none := r3.Vec{X: nan, Y: nan, Z: nan}
	for _, k := range []struct {
		name string
		move path.Move
		want float64
	}{
		{"traverse below the face", path.Move{From: r3.Vec{Z: 5}, To: r3.Vec{Z: -face.Sagitta() - 1}}, 1},
		{"beyond the rim above the blank", path.Move{From: r3.Vec{X: 400}, To: r3.Vec{X: 400}}, 0},
		{"beyond the rim into the land", path.Move{From: r3.Vec{X: 400}, To: r3.Vec{X: 400, Z: -0.3}}, 0.3},
		{"lift from nowhere", path.Move{From: none, To: r3.Vec{X: nan, Y: nan, Z: 15}}, -15},
		{"place unknown, too low", path.Move{From: none, To: r3.Vec{X: nan, Y: nan, Z: -2}}, 2},
		{"sideways from no height", path.Move{From: none, To: r3.Vec{X: nan, Z: 2}}, maxCoordinate},
		{"low before it is known where", path.Move{Kind: path.Line, From: r3.Vec{X: nan, Z: -3}, To: r3.Vec{Z: 1}}, 3},
		{"arc about no place", path.Move{Kind: path.Arc, From: r3.Vec{Z: 1}, To: r3.Vec{X: 1, Z: 1}, Centre: none}, maxCoordinate},
		{"traverse at no height", path.Move{From: none, To: r3.Vec{Z: nan}}, maxCoordinate},
		{"cut at no height", path.Move{Kind: path.Line, From: none, To: r3.Vec{Z: nan}}, maxCoordinate},
	} {
		t.Run(k.name, func(t *testing.T) {
			worst, _ := DeepestGouge(face, []Cut{{ballCutter(12.7), []path.Move{k.move}}})
			require.InDelta(t, k.want, worst.Amount, 1e-9)
		})
	}
	worst, over := DeepestGouge(face, nil)
	require.Equal(t, Gouge{Cut: -1, Move: -1}, worst)
	require.Empty(t, over)
}

// A tip that is lowered beside the blank, or on its land, is not told to be below the face.
func TestGougeBesideTheFace(t *testing.T) {
	face := dish.Face{Kind: dish.Hollow, Radius: 1000, Rim: 100}
	c := path.Cutter{Shape: path.Flat, Diameter: 10}
	for x, below := range map[float64]string{0: "", 90: "", 120: "the height of the blank's top", 500: "the height of the blank's top"} {
		_, over := DeepestGouge(face, []Cut{{c, []path.Move{{Kind: path.Line, From: r3.Vec{X: x, Z: 5}, To: r3.Vec{X: x, Z: -10}}}}})
		require.Len(t, over, 1)
		require.Equal(t, below, over[0].Below, x)
	}
}

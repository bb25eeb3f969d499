package proof

import (
	"fmt"
	"math"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// Identities of a surface f of any run, for places p, q and the middle m of them:
//
//  1. f(m) ≤ (f(p) + f(q)) / 2, but for a ring's bend
//  2. f(p) is never below what the moves themselves leave
func TestSurfacesAreConvexAndNeverTooLow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		face, _ := jobFace(t)
		c := jobCutter(t)
		cut := Cut{c, jobMoves(t, face, c)}
		runs, err := makeRuns(cut, 0, always, nil)
		require.NoError(t, err)
		r := rapid.SampledFrom(runs).Draw(t, "run")
		near := r.points
		if r.ring != nil {
			near = []point{{x: r.ring.ax, y: r.ring.ay}}
		}
		draw := func(name string) (x, y float64) {
			p := rapid.SampledFrom(near).Draw(t, name)
			return p.x + c.Diameter*rapid.Float64Range(-0.6, 0.6).Draw(t, name+" x"),
				p.y + c.Diameter*rapid.Float64Range(-0.6, 0.6).Draw(t, name+" y")
		}
		px, py := draw("p")
		qx, qy := draw("q")
		mx, my := (px+qx)/2, (py+qy)/2
		for _, l := range r.surfaces(nil, mx, my) {
			fp, _ := l.upperBound(px, py)
			fq, _ := l.upperBound(qx, qy)
			fm, _ := l.upperBound(mx, my)
			// Two ways of working out one height differ by their float64 rounding.
			const noise = 1e-12
			require.GreaterOrEqual(t, fm+noise, r.lowerBound(mx, my, math.Inf(1), nil))
			require.GreaterOrEqual(t, fp+noise, r.lowerBound(px, py, math.Inf(1), nil))
			if r.ring == nil && !math.IsInf(fp+fq, 1) {
				// a bull's station stops within 1e-12 of its radius; lineError counts once more
				require.LessOrEqual(t, fm, (fp+fq)/2+1e-8+r.lineError*r.lineError)
			}
		}
	})
}

// A pass of chords is one run though its coordinates are rounded, in mm and in
// inches, at any angle.
func TestRoundedChordsAreOneRun(t *testing.T) {
	face := must(dish.NewFace(dish.Hollow, 7620, 300))
	for _, step := range []float64{1e-4, 25.4e-5} {
		for _, turn := range []float64{0, math.Pi / 4, 0.7} {
			t.Run(fmt.Sprint(step, turn), func(t *testing.T) {
				c := ballCutter(12.7)
				sin, cos := math.Sincos(turn)
				var moves []path.Move
				var last r3.Vec
				for k := range 101 {
					u, v := 5*float64(k)-250, 120.0
					x, y := math.Round((u*cos-v*sin)/step)*step, math.Round((u*sin+v*cos)/step)*step
					p := r3.Vec{X: x, Y: y, Z: math.Ceil(face.Tip(dish.Body{Corner: 6.35}, math.Hypot(x, y))/step) * step}
					if k > 0 {
						moves = append(moves, lineMove(last, p))
					}
					last = p
				}
				runs, err := makeRuns(Cut{c, moves}, 0, always, nil)
				require.NoError(t, err)
				require.Len(t, runs, 1)
				require.False(t, runs[0].concave)
				require.LessOrEqual(t, runs[0].lineError, planTolerance+2*coordinateGuard)
			})
		}
	}
}

// Chords of a crown are one concave run; a plunge counts at its lower end.
func TestConcavePassesAndPlunges(t *testing.T) {
	face := must(dish.NewFace(dish.Crown, 7620, 300))
	c := ballCutter(12.7)
	moves := rasterMoves(face, c, []float64{20}, func(float64) float64 { return 250 }, 5)
	runs, err := makeRuns(Cut{c, moves}, 0, always, nil)
	require.NoError(t, err)
	require.Len(t, runs, 1)
	require.True(t, runs[0].concave)
	runs, err = makeRuns(Cut{c, []path.Move{lineMove(r3.Vec{Z: 5}, r3.Vec{Z: -2}), lineMove(r3.Vec{Z: -2}, r3.Vec{Z: 5})}}, 0, always, nil)
	require.NoError(t, err)
	require.Len(t, runs, 2)
	z, _ := surface{runs[0], -1}.upperBound(3, 0)
	require.InDelta(t, -2+6.35-math.Sqrt(6.35*6.35-9), z, 1e-8)
}

// The chain of a vertical arc is never below the arc, nor above it by more than
// it says, also where the two radii differ as the language allows.
func TestShallowArcsAreHeldFromAbove(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(5, 9000).Draw(t, "radius")
		from := rapid.Float64Range(-0.6, 0.6).Draw(t, "from")
		to := rapid.Float64Range(-0.6, 0.6).Draw(t, "to")
		if math.Abs(to-from) < 0.01 {
			return
		}
		hill := rapid.Bool().Draw(t, "hill")
		up := -1.0
		if hill {
			up = 1
		}
		more := rapid.Float64Range(-1, 1).Draw(t, "more") * math.Min(0.002, 0.005*r*math.Abs(to-from))
		at := func(a, r float64) r3.Vec { return r3.Vec{X: 3 + r*math.Sin(a), Y: 7, Z: -2 + up*r*math.Cos(a)} }
		m := path.Move{Kind: path.Arc, Plane: path.ZX, From: at(from, r), To: at(to, r+more), Centre: r3.Vec{X: 3, Y: 7, Z: -2}}
		m.Clockwise = (to < from) == hill // ZX turns from Z to X
		points, off, ok := shallowArc(m)
		require.True(t, ok)
		require.Less(t, off, 0.3e-3+4*math.Abs(more))
		k := 0
		sign := math.Copysign(1, to-from)
		for i := range 501 {
			v := m.At(float64(i) / 500)
			for k+2 < len(points) && (v.X-points[k+1].x)*sign > 0 {
				k++
			}
			p, q := points[k], points[k+1]
			z := p.z + (q.z-p.z)*(v.X-p.x)/(q.x-p.x)
			require.GreaterOrEqual(t, z-v.Z, -1e-9)
			require.LessOrEqual(t, z-v.Z, off+1e-9)
		}
	})
}

// How steep an arc may be to count as heights: a spiral's own slope is kept in reserve.
func TestShallowArcsAreNotSteep(t *testing.T) {
	at := func(a float64) r3.Vec { return r3.Vec{X: 50 * math.Sin(a), Z: 50 * math.Cos(a)} }
	for _, tt := range []struct {
		from, to float64
		ok       bool
	}{{0.1, 0.6799, true}, {0.1, 0.6801, false}, {-0.6799, 0, true}, {-0.6801, 0.2, false}} {
		_, _, ok := shallowArc(path.Move{Kind: path.Arc, Plane: path.ZX, From: at(tt.from), To: at(tt.to)})
		require.Equal(t, tt.ok, ok, "%+v", tt)
	}
}

// Of a concave chain the pieces that matter are tried: what they leave of a ball's
// or a flat's pass is what all of them leave.
func TestSurfacesLeaveOutNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		face, err := dish.NewFace(dish.Crown, rapid.Float64Range(20, 400).Draw(t, "radius"), 12)
		require.NoError(t, err)
		c := jobCutter(t)
		v, chord := rapid.Float64Range(-8, 8).Draw(t, "aside"), rapid.Float64Range(0.2, 6).Draw(t, "chord")
		runs, err := makeRuns(Cut{c, rasterMoves(face, c, []float64{v}, func(float64) float64 { return 9 }, chord)}, 0, always, nil)
		require.NoError(t, err)
		r := rapid.SampledFrom(runs).Draw(t, "run")
		if !r.concave {
			return
		}
		for range 40 {
			x := rapid.Float64Range(-13, 13).Draw(t, "x")
			y := v + c.Diameter/2*rapid.Float64Range(-0.99, 0.99).Draw(t, "y")
			best, all := math.Inf(1), math.Inf(1)
			for _, l := range r.surfaces(nil, x, y) {
				z, _ := l.upperBound(x, y)
				best = min(best, z)
			}
			for k := range r.slopes {
				z, _ := surface{r, k}.upperBound(x, y)
				all = min(all, z)
			}
			if c.Shape != path.Bull || math.IsInf(all, 1) { // a bull's are searched less far
				require.LessOrEqual(t, best, all+1e-9)
			}
		}
	})
}

// An arc that its chord leaves by no more than maxSagittaPlan is one with the straight moves
// before and after it, and what it leaves lies between the bounds of that run.
func TestFlatArcsAreStraight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := ballCutter(12)
		long := rapid.Float64Range(0.5, 20).Draw(t, "long")
		radius := min(maxCoordinate-100, long*long/(8*maxSagittaPlan)*rapid.Float64Range(1.01, 1000).Draw(t, "flatter"))
		turn, rise := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "turn"), rapid.Float64Range(-0.2, 0.2).Draw(t, "rise")
		along := r3.Vec{X: long * math.Cos(turn), Y: long * math.Sin(turn), Z: long * rise}
		m := path.Move{Kind: path.Arc, Plane: path.XY, From: along, To: r3.Scale(2, along), Clockwise: rapid.Bool().Draw(t, "clockwise")}
		side := math.Sqrt(radius*radius - long*long/4)
		if m.Clockwise {
			side = -side
		}
		m.Centre = r3.Vec{X: 1.5*along.X - side*math.Sin(turn), Y: 1.5*along.Y + side*math.Cos(turn), Z: along.Z}
		runs, err := makeRuns(Cut{c, []path.Move{lineMove(r3.Vec{}, m.From), m, lineMove(m.To, r3.Scale(3, along))}}, 0, always, nil)
		require.NoError(t, err)
		require.Len(t, runs, 1)
		x := 1.5*along.X + 3*rapid.Float64Range(-1, 1).Draw(t, "x")
		y := 1.5*along.Y + 3*rapid.Float64Range(-1, 1).Draw(t, "y")
		leaves := func(m path.Move) float64 { // the tip's way is convex but for its sagitta
			return -maxOfConcave(func(at float64) float64 {
				v := m.At(at)
				return -(v.Z + tiltedEnd(c, 0).Profile(min(c.Radius(), math.Hypot(x-v.X, y-v.Y))))
			})
		}
		z := min(leaves(lineMove(r3.Vec{}, m.From)), leaves(m), leaves(lineMove(m.To, r3.Scale(3, along))))
		upper, _ := surface{runs[0], -1}.upperBound(x, y)
		require.GreaterOrEqual(t, upper, z-1e-9)
		require.LessOrEqual(t, runs[0].lowerBound(x, y, math.Inf(1), nil), z+1e-9)
		require.LessOrEqual(t, upper-z, 2*maxSagittaPlan)
	})
}

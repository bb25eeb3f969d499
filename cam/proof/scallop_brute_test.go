package proof

import (
	"math"
	"runtime"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// The evaluator here shares nothing with the proof but the moves: it tries many
// places of the cutter along each move by Move.At and narrows the best one in.

// heightLeft is the height of the cutter's surface over (x, y) with the tip at v; a
// place outside the cutter counts as far up, the more the farther out.
func heightLeft(c path.Cutter, v r3.Vec, x, y float64) float64 {
	u := math.Hypot(v.X-x, v.Y-y)
	f, k := c.Body().Flat, c.Body().Corner
	switch {
	case u > c.Diameter/2:
		return 1e6 + u
	case u <= f:
		return v.Z
	}
	return v.Z + k - math.Sqrt(math.Max(0, k*k-(u-f)*(u-f)))
}

// bruteMove is the least that a move leaves over (x, y).
func bruteMove(c path.Cutter, m path.Move, x, y float64) float64 {
	const n = 24
	if m.Kind == path.Traverse {
		return math.Inf(1)
	}
	best, at := math.Inf(1), 0
	for k := 0; k <= n; k++ {
		if z := heightLeft(c, m.At(float64(k)/n), x, y); z < best {
			best, at = z, k
		}
	}
	low, high := math.Max(0, float64(at-1)/n), math.Min(1, float64(at+1)/n)
	for range 45 {
		a, b := low+(high-low)/3, high-(high-low)/3
		va, vb := heightLeft(c, m.At(a), x, y), heightLeft(c, m.At(b), x, y)
		best = math.Min(best, math.Min(va, vb))
		if va < vb {
			high = b
		} else {
			low = a
		}
	}
	return best
}

// brute is the height above the face at (x, y), by the plain distance formula.
func brute(face dish.Face, top float64, cuts []Cut, x, y float64) float64 {
	z := top
	for _, c := range cuts {
		for _, m := range c.Moves {
			// a move whose whole stretch is out of reach is passed over
			if r3.Norm(r3.Vec{X: (m.From.X+m.To.X)/2 - x, Y: (m.From.Y+m.To.Y)/2 - y}) > m.Length()/2+c.Cutter.Diameter/2 && m.Kind != path.Arc {
				continue
			}
			if ring := math.Hypot(m.From.X-m.Centre.X, m.From.Y-m.Centre.Y); m.Kind == path.Arc && m.Plane == path.XY &&
				math.Abs(math.Hypot(x-m.Centre.X, y-m.Centre.Y)-ring) > c.Cutter.Diameter/2+0.01 {
				continue
			}
			z = math.Min(z, bruteMove(c.Cutter, m, x, y))
		}
	}
	R := face.Radius
	switch face.Kind {
	case dish.Hollow:
		return R - math.Hypot(math.Hypot(x, y), R-face.Sagitta()-z)
	case dish.Crown:
		return math.Hypot(math.Hypot(x, y), z+R) - R
	}
	return z
}

// jobFace draws a small face; the flat one lies under 3 mm of stock.
func jobFace(t *rapid.T) (dish.Face, float64) {
	kind := rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown, dish.Flat}).Draw(t, "kind")
	rim := rapid.Float64Range(5, 12).Draw(t, "rim")
	face, err := dish.NewFace(kind, rim*rapid.Float64Range(2.5, 40).Draw(t, "radius"), rim)
	require.NoError(t, err)
	if kind == dish.Flat {
		return face, 3
	}
	return face, 0
}

func jobCutter(t *rapid.T) path.Cutter {
	d := rapid.Float64Range(3, 9).Draw(t, "diameter")
	switch rapid.IntRange(0, 2).Draw(t, "shape") {
	case 0:
		return ballCutter(d)
	case 1:
		return flatCutter(d)
	}
	return bullCutter(d, d*rapid.Float64Range(0.05, 0.45).Draw(t, "corner"))
}

// jobMoves draws a raster at some angle, of chords or of one line a pass, or rings
// of arcs, and perhaps leaves a move out, lifts one or makes one a traverse.
func jobMoves(t *rapid.T, face dish.Face, c path.Cutter) []path.Move {
	step := c.Diameter * rapid.Float64Range(0.15, 0.6).Draw(t, "step")
	var moves []path.Move
	if rapid.IntRange(0, 3).Draw(t, "pattern") == 0 {
		moves = arcRings(face, c, face.Rim, step)
	} else {
		n := int(math.Ceil(2*face.Rim/step)) + 1
		chord := rapid.Float64Range(2, 15).Draw(t, "chord")
		moves = rasterMoves(face, c, evenPasses(-face.Rim, face.Rim, n), func(float64) float64 { return face.Rim + 1 }, chord)
		turn := rapid.SampledFrom([]float64{0, math.Pi / 2, 0.3, 2}).Draw(t, "turn")
		sin, cos := math.Sincos(turn)
		for i := range moves {
			for _, v := range []*r3.Vec{&moves[i].From, &moves[i].To} {
				v.X, v.Y = round4(v.X*cos-v.Y*sin), round4(v.X*sin+v.Y*cos)
			}
		}
	}
	k := rapid.IntRange(0, len(moves)-1).Draw(t, "which")
	switch rapid.IntRange(0, 4).Draw(t, "fault") {
	case 0:
		moves = append(moves[:k:k], moves[k+1:]...)
	case 1:
		moves[k].From.Z += 0.05
		moves[k].To.Z += 0.05
		moves[k].Centre.Z += 0.05
	case 2:
		moves[k].Kind = path.Traverse
	}
	return moves
}

func TestScallopAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		face, top := jobFace(t)
		c := jobCutter(t)
		cuts := []Cut{{c, jobMoves(t, face, c)}}
		r, err := Certify(face, top, cuts, CertifyOptions{MaxCells: 100_000})
		require.NoError(t, err)
		at := brute(face, top, cuts, r.X, r.Y)
		require.LessOrEqual(t, math.Hypot(r.X, r.Y), face.Rim)
		require.LessOrEqual(t, r.Found, at+1e-7, "found is never above what stands there")
		switch {
		case r.Certified-r.Found <= 0.001+1e-8:
			require.InDelta(t, at, r.Certified, 0.002)
		case r.Cells < 100_000/16: // no tile can have run out of cells
			// footprints that only just touch: a cutter 2 µm smaller leaves what the bound says
			cuts[0].Cutter.Diameter -= 0.002
			small, err := Certify(face, top, cuts, CertifyOptions{MaxCells: 100_000})
			require.NoError(t, err)
			require.GreaterOrEqual(t, small.Certified, r.Certified)
			if small.Cells < 100_000/16 {
				require.GreaterOrEqual(t, small.Found, r.Certified-0.02)
			}
			cuts[0].Cutter.Diameter += 0.002
		}
		const n = 6
		shift := rapid.Float64Range(0, 1).Draw(t, "shift")
		for i := range n {
			for j := range n {
				x := face.Rim * (2*(float64(i)+shift)/n - 1)
				y := face.Rim * (2*(float64(j)+shift*shift)/n - 1)
				if math.Hypot(x, y) <= face.Rim {
					require.LessOrEqual(t, brute(face, top, cuts, x, y), r.Certified+1e-9, "at %g, %g", x, y)
				}
				x, y = r.X+(float64(i)/n-0.5)*c.Diameter/4, r.Y+(float64(j)/n-0.5)*c.Diameter/4
				if math.Hypot(x, y) <= face.Rim {
					require.LessOrEqual(t, brute(face, top, cuts, x, y), r.Certified+1e-9, "near, at %g, %g", x, y)
				}
			}
		}
	})
}

// The same job gives the same result on any number of processors.
func TestScallopIsTheSameOnAnyNumberOfProcessors(t *testing.T) {
	face, err := dish.NewFace(dish.Hollow, 900, 30)
	require.NoError(t, err)
	c := bullCutter(12, 3)
	cuts := []Cut{{c, ringMoves(face, c, 30, 1.7, 0.01)}}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	var first Scallop
	for i, n := range []int{1, 2, 8} {
		runtime.GOMAXPROCS(n)
		r, err := Certify(face, 0, cuts, CertifyOptions{})
		require.NoError(t, err)
		if i == 0 {
			first = r
		}
		require.Equal(t, first, r)
	}
	require.Greater(t, first.Cells, 1000)
}

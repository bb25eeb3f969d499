package pass_test

import (
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
)

// mouldLine returns an invented body's outline about its apex, with a waist.
func mouldLine(length, width, waist, shift float64) []r2.Vec {
	var line []r2.Vec
	const n = 500
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		line = append(line, r2.Vec{X: length/2*cos + shift, Y: width / 2 * sin * (1 - waist*math.Cos(4*math.Pi*float64(i)/n))})
	}
	return line
}

// mould returns a work that cuts the edge of a mould.
func mould(t require.TestingT, R float64, line []r2.Vec, wall, scallop float64) work.Work {
	band, err := dish.NewBand(line, wall)
	require.NoError(t, err)
	w := given.Work(dish.Crown, R, band.Extent())
	w.Region, w.Scallop, w.Pattern = band, scallop, "laps"
	w.Blank = dish.Blank{Shape: dish.Rectangle, Length: 2*band.Extent() + 120, Width: 2*band.Extent() + 120, Thickness: 60}
	return w
}

// leavesOver is what the moves leave over a place, by plain formulas: the least
// over the moves of the tip and the cutter's own shape over it, found by trying
// places along each move.
func leavesOver(f dish.Face, c path.Cutter, moves []path.Move, x, y float64) float64 {
	flat, corner := c.Body().Flat, c.Body().Corner
	low := math.Inf(1)
	for _, m := range moves {
		if m.Kind == path.Traverse {
			continue
		}
		dx, dy := m.To.X-m.From.X, m.To.Y-m.From.Y
		l2 := dx*dx + dy*dy
		mid := 0.0
		if l2 > 0 {
			mid = math.Max(0, math.Min(1, ((x-m.From.X)*dx+(y-m.From.Y)*dy)/l2))
		}
		if math.Hypot(x-m.From.X-mid*dx, y-m.From.Y-mid*dy) > flat+corner {
			continue
		}
		for k := range 9 {
			s := float64(k) / 8
			u := math.Hypot(x-m.From.X-s*dx, y-m.From.Y-s*dy)
			if u > flat+corner {
				continue
			}
			z := m.From.Z + s*(m.To.Z-m.From.Z)
			if u > flat {
				z += corner - math.Sqrt(corner*corner-(u-flat)*(u-flat))
			}
			low = math.Min(low, z)
		}
	}
	return f.Over(math.Hypot(x, y), low)
}

// Laps of every kind of cutter keep the scallop over the whole band, its edges
// included, gouge nothing, and stay off what does not belong to the band by no more
// than the cutter's width; places of the band by plain formulas stand no higher
// than what is certified.
func TestLapsKeepTheScallop(t *testing.T) {
	ball, bull, flat := given.HalfBall, given.BigBull, given.HalfFlat
	for _, tt := range []struct {
		name   string
		c      path.Cutter
		R      float64
		line   []r2.Vec
		h      float64
		within float64 // of what is asked
		long   bool    // does it take half a second?
	}{
		{"ball", ball, 7620, mouldLine(240, 180, 0.2, 10), 0.05, 1.1, true},
		{"bull", bull, 7620, mouldLine(300, 220, 0.1, 0), 0.05, 1.1, true},
		{"bull, coarse", bull, 4572, mouldLine(160, 120, 0.1, 0), 0.2, 1.1, false},
		{"flat", flat, 4572, mouldLine(160, 120, 0.1, -10), 0.1, 1.1, false},
		{"ball, waist", ball, 3000, mouldLine(240, 160, 0.35, 20), 0.1, 1.2, true},
		{"ball, small waist", ball, 3000, mouldLine(160, 100, 0.35, 20), 0.15, 1.2, false},
	} {
		if tt.long && !chance.Long() {
			continue
		}
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			w := mould(t, tt.R, tt.line, 20, tt.h)
			s, err := pass.Finishing(work.Whole(&w), tt.c, 0.4)
			require.NoError(t, err)
			given.RequireMoves(t, w, s.Moves)
			cuts := []proof.Cut{{Cutter: tt.c, Moves: s.Moves}}
			worst, _ := proof.DeepestGouge(w.Face, cuts)
			require.LessOrEqual(t, worst.Amount, proof.GougeTolerance, "%+v", worst)
			r, err := proof.Certify(w.Face, 0, cuts, proof.CertifyOptions{Expected: tt.h, Slack: tt.h / 20, Region: w.Region})
			require.NoError(t, err)
			require.LessOrEqual(t, r.Certified, tt.within*tt.h, "%s %+v", s.Pattern, r)
			require.GreaterOrEqual(t, r.Found, 0.5*tt.h, "%s %+v", s.Pattern, r)
			out := w.Region.(*dish.Band).Outside(r.X, r.Y)
			require.True(t, out > -1e-6 && out < 20+1e-6)
			points, normals := w.Region.(*dish.Band).Line()
			for i := 0; i < len(points); i += 17 {
				for _, d := range []float64{0, 3.3, 11, 20} {
					p := r2.Add(points[i], r2.Scale(d, normals[i]))
					if out := w.Region.(*dish.Band).Outside(p.X, p.Y); out < 0 || out > 20 {
						continue
					}
					require.LessOrEqual(t, leavesOver(w.Face, tt.c, s.Moves, p.X, p.Y), r.Certified+0.002)
				}
			}
		})
	}
}

// Without its seventh lap the work leaves more than it may, and the proof says so.
func TestAMissingLapIsFound(t *testing.T) {
	w := mould(t, 7620, mouldLine(120, 90, 0.2, 10), 20, 0.05)
	s, err := pass.Finishing(work.Whole(&w), given.HalfBall, 0.4)
	require.NoError(t, err)
	var kept []path.Move
	for _, m := range s.Moves {
		if out := w.Region.(*dish.Band).Outside(m.To.X, m.To.Y); m.Kind == path.Traverse || out < 9 || out > 11 {
			kept = append(kept, m)
		}
	}
	require.Less(t, len(kept), len(s.Moves))
	r, err := proof.Certify(w.Face, 0, []proof.Cut{{Cutter: given.HalfBall, Moves: kept}}, proof.CertifyOptions{Expected: 0.05, Region: w.Region})
	require.NoError(t, err)
	require.Greater(t, r.Found, 0.06)
}

// Roughing and finishing over a solid blank: no bite over the depth of cut, no way
// down into stock steeper than the ramp, no traverse through wood.
func TestMouldsBites(t *testing.T) {
	for _, tt := range []struct {
		name      string
		rough, c  path.Cutter
		line      []r2.Vec
		R, wall   float64
		allowance float64
		long      bool // does it take a third of a second?
	}{
		{"one ball", given.HalfBall, given.HalfBall, mouldLine(240, 180, 0.2, 10), 4572, 20, 0.4, false},
		{"one bull", given.BigBull, given.BigBull, mouldLine(220, 200, 0.1, -20), 7620, 28, 0.3, true},
		{"one flat", given.HalfFlat, given.HalfFlat, mouldLine(170, 130, 0.25, 25), 6000, 14, 0.4, true},
		{"flat, then ball", given.InchFlat, given.HalfBall, mouldLine(250, 190, 0.15, 30), 3600, 24, 0.5, true},
		{"flat, then bull", given.HalfFlat, given.BigBull, mouldLine(200, 150, 0, 0), 9000, 30, 0.4, true},
		{"one flat, small", given.HalfFlat, given.HalfFlat, mouldLine(80, 65, 0.25, 10), 6000, 14, 0.4, false},
		{"flat, then bull, small", given.HalfFlat, given.BigBull, mouldLine(90, 75, 0, 0), 9000, 15, 0.4, false},
	} {
		if tt.long && !chance.Long() {
			continue
		}
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			w := mould(t, tt.R, tt.line, tt.wall, 0.2)
			w.Shelf, w.Allowance = []path.Cutter{tt.rough, tt.c}, tt.allowance
			a, left, err := pass.Roughing(work.Whole(&w), tt.rough, tt.c)
			require.NoError(t, err)
			b, err := pass.Finishing(work.Whole(&w), tt.c, left)
			require.NoError(t, err)
			s := proof.NewStock(w.Blank, proof.CellSize(w.Blank, math.Min(tt.c.Diameter, tt.rough.Diameter)))
			s.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
			for _, part := range []struct {
				c path.Cutter
				s work.Section
			}{{tt.rough, a}, {tt.c, b}} {
				r := s.RunOnMachine(w.Machine, part.c, part.s.Moves)
				require.LessOrEqual(t, r.Depth, part.c.DepthOfCut, "%s: %s at %.1f %.1f", part.s.Purpose, part.s.Pattern, r.X, r.Y)
				require.Empty(t, r.TooSteep, "%s", part.s.Pattern)
				require.Empty(t, r.Traverses)
			}
		})
	}
}

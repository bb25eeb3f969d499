package pass_test

import (
	"math"
	"testing"

	"dishwright/cam"
	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// anyBody draws the outline of a body about its apex: an ellipse with a waist and a
// few harmonics, the apex off its middle.
func anyBody(t *rapid.T) []r2.Vec {
	a := rapid.Float64Range(60, 110).Draw(t, "half length")
	b := a * rapid.Float64Range(0.6, 0.95).Draw(t, "half width")
	waist := rapid.Float64Range(0, 0.25).Draw(t, "waist")
	three, four := rapid.Float64Range(-0.06, 0.06).Draw(t, "third"), rapid.Float64Range(-0.03, 0.03).Draw(t, "fourth")
	off := r2.Vec{X: a * rapid.Float64Range(-0.3, 0.3).Draw(t, "apex along"), Y: b * rapid.Float64Range(-0.2, 0.2).Draw(t, "apex across")}
	var line []r2.Vec
	const n = 300
	for i := range n {
		at := 2 * math.Pi * float64(i) / n
		k := 1 + three*math.Cos(3*at) + four*math.Cos(4*at)
		line = append(line, r2.Add(off, r2.Vec{X: a * k * math.Cos(at), Y: b * k * math.Sin(at) * (1 + waist*math.Cos(2*at))}))
	}
	return line
}

// leastUnder is the lowest that the moves leave at a place, by plain formulas: the
// tip on a move plus the cutter's shape is convex along what of the move comes
// within the cutter's radius, and thirds find its least.
func leastUnder(c path.Cutter, moves []path.Move, x, y float64) float64 {
	low := math.Inf(1)
	for _, m := range moves {
		dx, dy, px, py := m.To.X-m.From.X, m.To.Y-m.From.Y, m.From.X-x, m.From.Y-y
		a, half := dx*dx+dy*dy, px*dx+py*dy
		root := half*half - a*(px*px+py*py-c.Radius()*c.Radius())
		if m.Kind == path.Traverse || a == 0 || root < 0 {
			continue
		}
		lo, hi := math.Max(0, (-half-math.Sqrt(root))/a), math.Min(1, (-half+math.Sqrt(root))/a)
		if lo > hi {
			continue
		}
		at := func(t float64) float64 {
			h := 0.0
			if w := math.Hypot(px+t*dx, py+t*dy) - c.Body().Flat; w > 0 {
				k := c.Body().Corner
				h = k - math.Sqrt(math.Max(0, k*k-w*w))
			}
			return m.From.Z + t*(m.To.Z-m.From.Z) + h
		}
		for range 30 {
			p, q := lo+(hi-lo)/3, hi-(hi-lo)/3
			if at(p) < at(q) {
				hi = q
			} else {
				lo = p
			}
		}
		low = math.Min(low, at((lo+hi)/2))
	}
	return low
}

// Whatever the body, the dome and the cutter: the laps gouge nothing, no place of
// the band that is looked at stands higher than what is certified, the edges
// included, and no way in or over goes into stock deeper or more steeply than the
// cutter may. Entered over wood that stands to the blank's top as well.
func TestLapsOfAnyBody(t *testing.T) {
	rapid.Check(t, chance.Few(3, func(t *rapid.T) {
		line, wall := anyBody(t), rapid.Float64Range(10, 25).Draw(t, "wall")
		w := mould(t, rapid.Float64Range(3000, 9000).Draw(t, "radius"), line, wall, rapid.Float64Range(0.08, 0.3).Draw(t, "scallop"))
		c := rapid.SampledFrom([]path.Cutter{given.HalfBall, given.HalfFlat, given.BigBull}).Draw(t, "cutter")
		c.Ramp = rapid.Float64Range(3, 8).Draw(t, "ramp") * math.Pi / 180
		c.DepthOfCut = rapid.OneOf(rapid.Just(c.DepthOfCut), rapid.Float64Range(0.8, 4)).Draw(t, "depth of cut")
		w.Shelf = []path.Cutter{c}
		alone := pass.CanSkipRoughing(&w, c)
		s := proof.NewStock(w.Blank, proof.CellSize(w.Blank, c.Diameter))
		s.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
		stands := w.Face.Sagitta()
		var sections []work.Section
		if !alone {
			rough, left, err := pass.Roughing(work.Whole(&w), c, c)
			if err != nil {
				require.ErrorAs(t, err, new(work.Problems), "refused, with the reason")
				t.Skip(err)
			}
			sections, stands = append(sections, rough), left
		}
		finish, err := pass.Finishing(work.Whole(&w), c, stands)
		if err != nil {
			require.ErrorAs(t, err, new(work.Problems), "refused, with the reason")
			t.Skip(err)
		}
		sections = append(sections, finish)
		for _, section := range sections {
			r := s.RunOnMachine(w.Machine, c, section.Moves)
			require.LessOrEqual(t, r.Depth, c.DepthOfCut, "%s at X%.1f Y%.1f", section.Pattern, r.X, r.Y)
			require.Empty(t, r.TooSteep, section.Pattern)
			require.Empty(t, r.Traverses, section.Pattern)
			gouge, _ := proof.DeepestGouge(w.Face, []proof.Cut{{Cutter: c, Moves: section.Moves}})
			require.LessOrEqual(t, gouge.Amount, proof.GougeTolerance)
		}
		cuts := []proof.Cut{{Cutter: c, Moves: finish.Moves}}
		r, err := proof.Certify(w.Face, 0, cuts, proof.CertifyOptions{Expected: w.Scallop, Slack: w.Scallop / 10, Region: w.Region})
		require.NoError(t, err)
		require.LessOrEqual(t, r.Found, w.Scallop*1.5, finish.Pattern) // choose brings the laps closer by what is over
		points, normals := w.Region.(*dish.Band).Line()
		for range 40 {
			i, out := rapid.IntRange(0, len(points)-1).Draw(t, "point"), rapid.SampledFrom([]float64{0, 0, wall, wall, wall * 0.17, wall * 0.43, wall * 0.71}).Draw(t, "out")
			p := r2.Add(points[i], r2.Scale(out, normals[i]))
			if d := w.Region.(*dish.Band).Outside(p.X, p.Y); d < 0 || d > wall {
				continue
			}
			over := w.Face.Over(math.Hypot(p.X, p.Y), leastUnder(c, finish.Moves, p.X, p.Y))
			require.LessOrEqual(t, over, r.Certified+1e-6, "X%.2f Y%.2f", p.X, p.Y)
			require.GreaterOrEqual(t, over, -proof.GougeTolerance)
		}
	}))
}

// The ramp into a lap starts high enough to come down to where the lap begins, also
// where the face falls on the way: no feed goes straight down into the blank, with any cutter.
func TestLapsAreEnteredDownARamp(t *testing.T) {
	for _, c := range []path.Cutter{given.HalfBall, given.HalfFlat, given.BigBull} {
		c.DepthOfCut = 4.5
		w := mould(t, 3700, mouldLine(274, 138, 0.18, 14), 24, 0.2)
		w.Shelf = []path.Cutter{c}
		require.True(t, pass.CanSkipRoughing(&w, c))
		s, err := pass.Finishing(work.Whole(&w), c, w.Face.Sagitta())
		require.NoError(t, err)
		for _, m := range s.Moves {
			if m.Kind != path.Traverse && m.To.Z < 0 {
				fall, run := m.From.Z-m.To.Z, math.Hypot(m.To.X-m.From.X, m.To.Y-m.From.Y)
				require.LessOrEqual(t, fall, run*math.Tan(c.Ramp)+0.0002, "%s: %+v", c.Name, m)
			}
		}
	}
}

// What is asked for and does not go together is refused at its key, with a hint.
func TestPatternsOfABand(t *testing.T) {
	w := mould(t, 7620, mouldLine(160, 120, 0.1, 0), 20, 0.1)
	for _, name := range pass.Patterns() {
		w.Pattern = name
		ps := cam.Feasible(given.Named(w, work.Auto, work.Auto))
		require.Len(t, ps, 1)
		require.Equal(t, work.KeyPattern, ps[0].Key)
		require.Contains(t, ps[0].Message.String(), "in laps, not in "+name)
		require.NotEmpty(t, ps[0].Hint.String())
	}
	d := given.Work(dish.Hollow, 7620, 150)
	d.Pattern = "laps"
	ps := cam.Feasible(given.Named(d, work.Auto, work.Auto))
	require.Len(t, ps, 1)
	require.Contains(t, ps[0].Message.String(), "this is none")
}

// On a steep dome laps about the apex are level all the same, so that a flat may
// cut them; where they are not, it is refused.
func TestWhatCountsIsTheSlopeAlongALap(t *testing.T) {
	c := given.HalfFlat
	w := mould(t, 3000, mouldLine(400, 380, 0, 0), 20, 0.2)
	w.Shelf = []path.Cutter{c}
	require.True(t, work.MustClimb(w.Face, c))
	a, left, err := pass.Roughing(work.Whole(&w), c, c)
	require.NoError(t, err)
	b, err := pass.Finishing(work.Whole(&w), c, left)
	require.NoError(t, err)
	s := proof.NewStock(w.Blank, proof.CellSize(w.Blank, c.Diameter))
	s.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
	for _, section := range []work.Section{a, b} {
		r := s.RunOnMachine(w.Machine, c, section.Moves)
		require.LessOrEqual(t, r.Depth, c.DepthOfCut)
		require.Empty(t, r.TooSteep)
	}
	long := mould(t, 1700, mouldLine(400, 160, 0, 0), 20, 0.2)
	_, err = pass.Finishing(work.Whole(&long), c, 0.4)
	require.ErrorContains(t, err, "more steeply")
}

// Roughing goes no deeper than finishing has to, though its laps reach further out;
// where finishing itself has no wood to spare, the blank is to blame.
func TestLapsAndTheFloor(t *testing.T) {
	w := mould(t, 4000, mouldLine(300, 280, 0, 0), 20, 0.2)
	rough, finish := given.InchFlat, given.HalfFlat
	w.Shelf = []path.Cutter{rough, finish}
	a, left, err := pass.Roughing(work.Whole(&w), rough, finish)
	require.NoError(t, err)
	b, err := pass.Finishing(work.Whole(&w), finish, left)
	require.NoError(t, err)
	lowest := func(s work.Section) float64 {
		low := 0.0
		for _, m := range s.Moves {
			low = math.Min(low, m.To.Z)
		}
		return low
	}
	require.GreaterOrEqual(t, lowest(a), lowest(b))
	w.Floor = w.Blank.Thickness + lowest(b) + 0.01
	_, err = pass.Finishing(work.Whole(&w), finish, left)
	require.ErrorContains(t, err, "floor")
}

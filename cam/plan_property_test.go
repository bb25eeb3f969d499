package cam_test

import (
	"errors"
	"math"
	"testing"

	"dishwright/cam"
	"dishwright/cam/chance"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// logRange draws a number whose logarithm is spread evenly.
func logRange(t *rapid.T, name string, lo, hi float64) float64 {
	return math.Exp(rapid.Float64Range(math.Log(lo), math.Log(hi)).Draw(t, name))
}

// anyCutter draws a cutter of a plausible shape.
func anyCutter(t *rapid.T, name string, widest float64) path.Cutter {
	c := path.Cutter{Name: name, Flutes: rapid.IntRange(1, 3).Draw(t, name+" flutes"), Speed: 16000, FastestSpeed: 18000,
		ChipLoad: 0.08, Shank: 6, FluteLength: 60, StickOut: 90,
		DepthOfCut: rapid.Float64Range(1, 6).Draw(t, name+" depth of cut"),
		Ramp:       rapid.Float64Range(1, 10).Draw(t, name+" ramp") * math.Pi / 180}
	c.Shape = rapid.SampledFrom([]path.Shape{path.Ball, path.Flat, path.Bull}).Draw(t, name+" shape")
	c.Diameter = math.Min(widest, logRange(t, name+" diameter", 3, 60))
	if c.Shape == path.Bull {
		c.Corner = rapid.Float64Range(0.02, 0.97).Draw(t, name+" corner") * c.Diameter / 2
	}
	if c.Shape != path.Ball { // the core lies in the level end
		c.Core = math.Min(c.Diameter*rapid.Float64Range(0, 0.5).Draw(t, name+" core"), 2*c.Body().Flat)
	}
	return c
}

// anyWork draws a work from tiny to as large as a bench machine takes, shallow
// to steep. The stock is made to fit, the scallop wide enough for some
// thousands of moves at most. The rim is at most widest.
func anyWork(t *rapid.T, widest float64) cam.Work {
	kind := rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Hollow, dish.Crown, dish.Crown, dish.Flat}).Draw(t, "kind")
	rim := logRange(t, "rim", 10, widest)
	radius := math.Max(500, 2.01*rim)
	if rapid.IntRange(0, 3).Draw(t, "steep") == 0 {
		radius = 2.01 * rim
	}
	radius = logRange(t, "radius", radius, 100_000)
	w := cam.Usual(kind, radius, rim)
	w.Machine = cam.Router(rapid.SampledFrom([]string{"bench-600", "inch-24", "wide-1250"}).Draw(t, "machine"))
	w.Machine.Hood, w.Machine.UnderGantry = nil, 0
	w.Machine.Travel = r3.Vec{X: 3000, Y: 3000, Z: 1000}
	w.Machine.Collets = []float64{6}
	w.Machine.Arcs = rapid.Bool().Draw(t, "arcs")
	w.ZeroAtBed = rapid.Bool().Draw(t, "zero at bed")
	w.Direction = rapid.SampledFrom([]cam.Direction{cam.Both, cam.Uphill, cam.AlongX, cam.AlongY}).Draw(t, "direction")
	w.ZeroError = rapid.Float64Range(0, 0.1).Draw(t, "zero error")
	w.Allowance = w.ZeroError + rapid.Float64Range(0.01, 0.6).Draw(t, "allowance")
	finish, rough := anyCutter(t, "finish", 1.9*rim), anyCutter(t, "rough", 1.9*rim)
	w.Shelf = []path.Cutter{finish, rough}
	w.Blank.Length += 100
	w.Blank.Width += 100
	w.Blank.Thickness = math.Ceil(w.Face.Sagitta()) + 20
	w.Rough, w.Finish = "rough", "finish"
	w.Scallop = logRange(t, "scallop", 0.01+rim/6000, 2)
	return w
}

// cutsOf returns the cutters' moves in running order.
func cutsOf(p cam.Plan) (cuts []proof.Cut) {
	for _, pr := range p.Programs {
		c := proof.Cut{Cutter: pr.Cutter}
		for _, s := range pr.Sections {
			c.Moves = append(c.Moves, s.Moves...)
		}
		cuts = append(cuts, c)
	}
	return cuts
}

// Whatever work comes in, there comes out either Problems that name a key and
// say what would be right, or a plan whose moves are numbers on the machine's
// grid, within each axis' feed, that gouge less than a micrometre and leave no
// height above the scallop asked for.
func TestAnyWork(t *testing.T) {
	t.Parallel()
	rapid.Check(t, chance.Few(15, func(t *rapid.T) {
		w := anyWork(t, 50)
		p, err := cam.Make(cam.Whole(&w))
		var ps cam.Problems
		if errors.As(err, &ps) {
			t.Logf("%v", ps)
			for _, one := range ps {
				require.NotEmpty(t, one.Kind)
				require.NotEmpty(t, one.Key)
				require.NotEmpty(t, one.Message)
				require.NotEmpty(t, one.Hint)
			}
			return
		}
		require.NoError(t, err)
		for _, c := range cutsOf(p) {
			requireMoves(t, w, c.Moves)
		}
		cuts := cutsOf(p)
		worst, _ := proof.DeepestGouge(w.Face, cuts)
		require.LessOrEqual(t, worst.Amount, proof.GougeTolerance, "gouge %+v %+v", worst, cuts[worst.Cut].Moves[worst.Move])
		// Finishing alone has to keep the bound, whatever roughing happened to take.
		ridge, err := proof.Certify(w.Face, 0, cuts[len(cuts)-1:], proof.CertifyOptions{})
		require.NoError(t, err)
		require.LessOrEqual(t, ridge.Certified, w.Scallop, "%+v", ridge)
	}))
}

// The least scallop that may be asked for, and a little more, with each shape of
// cutter: what the proof's own slack takes is set aside.
func TestFineScallops(t *testing.T) {
	bull := cam.BigBull // with a level end that the hollow's apex still lets down to 0.002 mm
	bull.Diameter, bull.Corner, bull.Core = 20, 4, 5
	for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
		for _, c := range []path.Cutter{cam.HalfBall, cam.HalfFlat, bull} {
			for _, scallop := range []float64{cam.LeastScallop, 0.012, 0.03} {
				w := cam.Usual(kind, 8000, 24)
				w.Scallop, w.Shelf = scallop, []path.Cutter{c}
				w.Blank.Length, w.Blank.Width = 220, 220
				p, err := cam.Make(cam.Named(w, "", c.Name))
				require.NoError(t, err)
				ridge, err := proof.Certify(w.Face, 0, cutsOf(p), proof.CertifyOptions{})
				require.NoError(t, err)
				require.LessOrEqual(t, ridge.Certified, scallop, "%s %s", kind, c.Name)
				if c.Shape == path.Ball { // others step as wide as they are
					require.Greater(t, ridge.Certified, 0.8*scallop, "%s: or the passes are far too close", kind)
				}
			}
		}
	}
}

// Whatever is cut, no move bites deeper than its cutter may, none goes down
// steeper than its ramp where stock stands under the core, no traverse runs
// through wood, no shank or holder touches any. After roughing no more stands
// above the face than the allowance and the scallops that the plan states.
func TestAnyWorkInStock(t *testing.T) {
	t.Parallel()
	rapid.Check(t, chance.Few(20, func(t *rapid.T) {
		w := anyWork(t, 25)
		p, err := cam.Make(cam.Whole(&w))
		if err != nil {
			return // TestAnyWork looks at these
		}
		s := proof.NewStock(w.Blank, math.Max(0.25, w.Blank.Length/600))
		s.Slope = dish.Slope(w.Face.Radius, w.Face.Rim)
		for _, c := range cutsOf(p) {
			rep := s.RunOnMachine(w.Machine, c.Cutter, c.Moves)
			// Planning keeps 0.15 mm for what the field overstates; on the steepest
			// faces drawn here it may overstate more.
			over := math.Max(0, s.Slack(s.Slope)-0.15)
			require.LessOrEqual(t, rep.Depth, c.Cutter.DepthOfCut+over, "%s: bite of move %d %+v", c.Cutter.Name, rep.Index, c.Moves[max(0, rep.Index)])
			require.LessOrEqual(t, rep.Steepest, c.Cutter.Ramp, "%s: %+v", c.Cutter.Name, rep)
			require.Empty(t, rep.Traverses, c.Cutter.Name)
			require.Empty(t, rep.Contacts, c.Cutter.Name)
		}
	}))
}

// requireMoves checks what a machine needs of any run of moves.
func requireMoves(t require.TestingT, w cam.Work, moves []path.Move) {
	for i, m := range moves {
		if i > 0 && moves[i-1].To != m.From {
			require.Fail(t, "a gap", "%+v", m)
		}
		for axis, v := range [...]float64{m.To.X, m.To.Y, m.To.Z} {
			if math.IsNaN(v) || math.IsInf(v, 0) || v == 0 && math.Signbit(v) {
				require.Fail(t, "no plain number", "%+v", m)
			}
			if axis == 2 {
				v -= w.ProgramZero()
			}
			// A thousandth of a step is far above rounding and far below a step.
			if n := v / w.Machine.Step(); !(math.Abs(n-math.Round(n)) < 1e-3) {
				require.Fail(t, "off the grid", "%+v", m)
			}
		}
		if d := r3.Sub(m.To, m.From); m.Kind != path.Traverse && !keepsFeed(w.Machine, d, m.Feed) {
			require.Fail(t, "too fast for an axis", "%+v", m)
		}
	}
}

// keepsFeed reports whether a straight move along d at the feed keeps the limit
// of each axis.
func keepsFeed(m machines.Machine, d r3.Vec, feed float64) bool {
	n := r3.Norm(d)
	const rounding = 1 + 1e-9
	return feed > 0 && feed*math.Abs(d.X) <= m.Feed.X*n*rounding && feed*math.Abs(d.Y) <= m.Feed.Y*n*rounding && feed*math.Abs(d.Z) <= m.Feed.Z*n*rounding
}

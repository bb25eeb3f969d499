package given

import (
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// Over makes a program that runs over a rectangle, below the blank's top.
func Over(c path.Cutter, x0, y0, x1, y1 float64) work.Program {
	a, b := r3.Vec{X: x0, Y: y1, Z: -1}, r3.Vec{X: x1, Y: y0, Z: -2}
	return work.Program{Cutter: c, Speed: c.Speed, Sections: []work.Section{{Moves: []path.Move{{Kind: path.Line, From: b, To: a}, {Kind: path.Line, From: a, To: b}}}}}
}

// InPlan returns how far the cutting moves run in plan.
func InPlan(moves []path.Move) (mm float64) {
	for _, m := range moves {
		if m.Kind != path.Traverse {
			mm += math.Hypot(m.To.X-m.From.X, m.To.Y-m.From.Y)
		}
	}
	return mm
}

// TwoInch is a flat as a spoilboard is planed with.
func TwoInch() path.Cutter {
	c := InchFlat
	c.Name, c.Diameter, c.Core = "2 in flat", 50.8, 15
	return c
}

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

// AnyWork draws a work from tiny to as large as a bench machine takes, shallow
// to steep. The stock is made to fit, the scallop wide enough for some
// thousands of moves at most. The rim is at most widest.
func AnyWork(t *rapid.T, widest float64) work.Work {
	kind := rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Hollow, dish.Crown, dish.Crown, dish.Flat}).Draw(t, "kind")
	rim := logRange(t, "rim", 10, widest)
	radius := math.Max(500, 2.01*rim)
	if rapid.IntRange(0, 3).Draw(t, "steep") == 0 {
		radius = 2.01 * rim
	}
	radius = logRange(t, "radius", radius, 100_000)
	w := Work(kind, radius, rim)
	w.Machine = Router(rapid.SampledFrom([]string{"bench-600", "inch-24", "wide-1250"}).Draw(t, "machine"))
	w.Machine.Hood, w.Machine.UnderGantry = nil, 0
	w.Machine.Travel = r3.Vec{X: 3000, Y: 3000, Z: 1000}
	w.Machine.Collets = []float64{6}
	w.Machine.Arcs = rapid.Bool().Draw(t, "arcs")
	w.ZeroAtBed = rapid.Bool().Draw(t, "zero at bed")
	w.Direction = rapid.SampledFrom([]work.Direction{work.Both, work.Uphill, work.AlongX, work.AlongY}).Draw(t, "direction")
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

// RequireMoves checks what a machine needs of any run of moves.
func RequireMoves(t require.TestingT, w work.Work, moves []path.Move) {
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

package pass

import (
	"math"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// plainTip is the tip's height as the trade's formulas have it, without the
// forms that keep digits: 1e-9 mm of error at 100 m.
func plainTip(f dish.Face, flat, corner, d float64) float64 {
	switch f.Kind {
	case dish.Hollow:
		a := f.Radius - corner
		return math.Sqrt(f.Radius*f.Radius-f.Rim*f.Rim) - corner - math.Sqrt(a*a-(d+flat)*(d+flat))
	case dish.Crown:
		a, in := f.Radius+corner, math.Max(0, d-flat)
		// The moat: where the corner touches the rim, its lowest place hangs below
		// the middle of its arc by the corner, which lies on the sphere R + c.
		x := f.Rim * a / f.Radius
		return -f.Radius - corner + math.Sqrt(a*a-math.Min(in, x)*math.Min(in, x))
	}
	return 0
}

// plainUnder searches a pass for the lowest underside over (x, y): a grid of
// wide places, then closer and closer about the best. from and to bound the pass.
func plainUnder(f dish.Face, flat, corner, v, x, y, from, to, wide float64) float64 {
	w, r := math.Abs(y-v), flat+corner
	if w > r {
		return math.Inf(1)
	}
	half := math.Sqrt(math.Max(0, r*r-w*w))
	lo, hi, best, at := math.Max(from, x-half), math.Min(to, x+half), math.Inf(1), x
	for k := range 11 {
		n := 24.0
		if k == 0 { // over a crown's apex the lowest place hides in a narrow valley
			n = wide
		}
		for i := range int(n) + 1 {
			u := lo + (hi-lo)*float64(i)/n
			e := math.Min(math.Hypot(x-u, w), r)
			z := plainTip(f, flat, corner, math.Hypot(u, v))
			if e > flat {
				z += corner - math.Sqrt(math.Max(0, corner*corner-(e-flat)*(e-flat)))
			}
			if z < best {
				best, at = z, u
			}
		}
		step := 2 * (hi - lo) / n
		lo, hi = math.Max(lo, at-step), math.Min(hi, at+step)
	}
	return best
}

// anyEnd draws a cutter's end and a face that it fits in.
func anyEnd(t *rapid.T) (path.Cutter, dish.Face) {
	rim := rapid.Float64Range(40, 400).Draw(t, "rim")
	R := 2 * rim * math.Exp(rapid.Float64Range(0, 5).Draw(t, "log"))
	c := path.Cutter{Diameter: rapid.Float64Range(3, 40).Draw(t, "diameter"), Shape: rapid.SampledFrom([]path.Shape{path.Ball, path.Flat, path.Bull}).Draw(t, "shape")}
	if c.Shape == path.Bull {
		c.Corner = c.Diameter / 2 * rapid.Float64Range(0.05, 0.95).Draw(t, "corner")
	}
	return c, given.Sphere(rapid.SampledFrom([]dish.Kind{dish.Hollow, dish.Crown, dish.Flat}).Draw(t, "kind"), R, rim)
}

func TestUnderAgainstSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, f := anyEnd(t)
		tl := work.NewTool(f, c)
		v := tl.RimReach() * rapid.Float64Range(0, 0.95).Draw(t, "v")
		x := math.Sqrt(math.Max(0, f.Rim*f.Rim-v*v)) * math.Max(0, rapid.Float64Range(-0.2, 1).Draw(t, "x"))
		// Up to the very side: there a flat ends in a jump, so not quite.
		y := v + c.Radius()*rapid.Float64Range(-0.999, 0.999).Draw(t, "w")
		want := plainUnder(f, tl.Flat, tl.Corner, v, x, y, -2*f.Rim, 2*f.Rim, 600)
		got, u := tl.Under(v, x, y)
		require.InDelta(t, want, got, 2e-7*math.Max(1, f.Radius/1e4))
		require.LessOrEqual(t, math.Hypot(x-u, y-v), c.Radius()*(1+1e-9), "the place that is given covers (x, y)")
		beyond, _ := tl.Under(v, x, v+c.Radius()*1.0001)
		require.True(t, math.IsInf(beyond, 1))
	})
}

// At the middle of a pass, beside its level end too, where a place is served by
// no slope along the pass.
func TestUnderTheMiddleOfAPass(t *testing.T) {
	for _, c := range []path.Cutter{given.HalfBall, given.InchFlat, given.BigBull} {
		for _, kind := range []dish.Kind{dish.Hollow, dish.Crown} {
			f := given.Sphere(kind, 800, 150)
			tl := work.NewTool(f, c)
			for _, w := range []float64{0, 0.3, 0.7, 0.9, 0.99} {
				for _, v := range []float64{0, 40, 120} {
					y := v + w*c.Radius()
					got, _ := tl.Under(v, 0, y)
					require.InDelta(t, plainUnder(f, tl.Flat, tl.Corner, v, 0, y, -300, 300, 601), got, 2e-7, "%s %s, %g beside %g", kind, c.Name, w, v)
				}
			}
		}
	}
}

// Cutters that run up a sphere of 7620 mm in two passes s apart, and what stands
// between them at (X, 0). Own derivation: a flat of radius f first covers that place
// with its axis at q = X − √(f² − s²/4), and its end then lies at the face's height
// at the distance √(q² + s²/4) + f. The five values of a flat are this closed form;
// that of the bull is from a search over positions, made apart from this program.
func TestRidgesOfInclinedFlats(t *testing.T) {
	tests := []struct {
		x, flat, corner, step, vertical float64
	}{
		{200, 6.35, 0, 6, 0.020427},
		{50, 12.7, 0, 6, 0.003156},
		{280, 12.7, 0, 6, 0.013843},
		{200, 6.35, 0, 2, 0.002149},
		{200, 6.35, 0, 10, 0.066032},
		{200, 9.525, 3.175, 6, 0.013244},
	}
	f := given.Sphere(dish.Hollow, 7620, 300)
	for _, tt := range tests {
		b := dish.Body{Flat: tt.flat, Corner: tt.corner}
		tl := work.Tool{Face: f, Body: b, Worn: b, Low: math.Inf(-1), Foot: math.Inf(1)}
		lo, hi := 0.0, 300.0
		for range 60 {
			mid := (lo + hi) / 2
			if _, x, _ := tl.Ridge(mid, -tt.step/2, tt.step/2); x < tt.x {
				lo = mid
			} else {
				hi = mid
			}
		}
		h, x, y := tl.Ridge(lo, -tt.step/2, tt.step/2)
		require.InDelta(t, tt.x, x, 1e-3)
		require.InDelta(t, 0, y, 1e-4)
		z, _ := tl.Under(tt.step/2, tt.x, 0)
		require.InDelta(t, tt.vertical, z-f.Height(tt.x), 1e-6)
		// Along the normal it is less by the cosine of the slope.
		require.InDelta(t, tt.vertical*math.Cos(math.Asin(tt.x/7620)), h, 2e-6)
	}
	tl := work.Tool{Face: f, Body: dish.Body{Flat: 6.35}, Worn: dish.Body{Flat: 6.35}, Low: math.Inf(-1), Foot: math.Inf(1)}
	z, _ := tl.Under(3, 200, 0)
	require.InDelta(t, 0.02042, f.Over(200, z), 5e-6, "along the normal: 0.020427 cos(asin(200/7620))")
}

// A ball of 5 mm on a sphere of 50 mm. Own derivation: with two passes 2b apart as
// seen from the sphere's centre the ball's centre stands R − r from there (on a crown
// R + r), and the scallop on the line between them, seen along the normal, is
//
//	hollow: R − [(R − r) cos b + √(r² − ((R − r) sin b)²)]
//	crown:  (R + r) cos b − √(r² − ((R + r) sin b)²) − R
func TestRidgesOfABallOnASphere(t *testing.T) {
	const R, r, s = 50.0, 5.0, 2.0
	tests := []struct {
		name          string
		b             func(centres float64) float64
		hollow, crown float64
	}{
		{"step along the surface", func(float64) float64 { return s / (2 * R) }, 0.090656, 0.111484},
		{"chord of the surface", func(float64) float64 { return math.Asin(s / (2 * R)) }, 0.090668, 0.111500},
		{"chord of the ball's centres", func(c float64) float64 { return math.Asin(s / (2 * c)) }, 0.112133, 0.091929},
	}
	c := path.Cutter{Shape: path.Ball, Diameter: 2 * r}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for kind, want := range map[dish.Kind]float64{dish.Hollow: tt.hollow, dish.Crown: tt.crown} {
				centres := R - r
				if kind == dish.Crown {
					centres = R + r
				}
				v := centres * math.Sin(tt.b(centres))
				h, x, y := work.NewTool(given.Sphere(kind, R, 20), c).Ridge(0, -v, v)
				require.InDelta(t, want, h, 1e-6, kind.String())
				require.InDelta(t, 0, math.Hypot(x, y), 1e-6)
			}
		})
	}
	// R 7620, r 6.35, s 2.25 along the surface.
	for kind, want := range map[dish.Kind]float64{dish.Hollow: 0.100364, dish.Crown: 0.100536} {
		k := 7620 - 6.35
		if kind == dish.Crown {
			k = 7620 + 6.35
		}
		v := k * math.Sin(2.25/2/7620)
		h, _, _ := work.NewTool(given.Sphere(kind, 7620, 300), given.HalfBall).Ridge(0, -v, v)
		require.InDelta(t, want, h, 1e-6)
	}
}

// Flat work, ball r, step s: h = r − √(r² − s²/4) and s = 2 √(2rh − h²), depth and
// chord of a segment: Machinery's Handbook, 31st ed., pp. 79 and 83.
func TestRidgesOfFlatWork(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(1, 20).Draw(t, "r")
		s := r * rapid.Float64Range(0.02, 1.5).Draw(t, "s")
		tl := work.NewTool(given.Sphere(dish.Flat, 0, 100), path.Cutter{Shape: path.Ball, Diameter: 2 * r})
		h := r - math.Sqrt(r*r-s*s/4)
		require.InDelta(t, h, tl.Highest(7, 7+s), 1e-7)
		got := tl.Spacing(7, h, 1)
		require.LessOrEqual(t, got, 2*math.Sqrt(2*r*h-h*h)*(1+1e-6))
		require.InEpsilon(t, s, got, 0.005)
	})
	require.InDelta(t, 0.100450, work.NewTool(given.Sphere(dish.Flat, 0, 100), given.HalfBall).Highest(-1.125, 1.125), 1e-6)
}

// The spacing found leaves at most the scallop asked for, and 1 % more step
// would leave more.
func TestSpacingIsTheWidest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, f := anyEnd(t)
		tl := work.NewTool(f, c)
		h := math.Exp(rapid.Float64Range(math.Log(0.003), math.Log(0.5)).Draw(t, "log h"))
		if tl.Corner > 0 {
			h = math.Min(h, tl.Corner/3)
		}
		v := tl.RimReach() * rapid.Float64Range(0, 0.9).Draw(t, "v")
		s := tl.Spacing(v, h, c.Diameter*rapid.Float64Range(0.01, 1).Draw(t, "guess"))
		if s == 0 { // the level end bridges more than h
			require.Greater(t, tl.Highest(v, v+0.001*c.Diameter), h)
			return
		}
		require.LessOrEqual(t, tl.Highest(v, v+s), h)
		if s < 1.9*c.Radius() {
			require.Greater(t, tl.Highest(v, v+1.01*s), h)
		}
	})
}

// The whole face, its rim included, lies within the scallop that the passes were
// planned for: places all over the face, and round the rim, under passes of the
// length that they are given, by search.
func TestRowsCoverTheFace(t *testing.T) {
	t.Parallel()
	around, all := 20, 60 // places that are looked at, at the rim and within
	if chance.Long() {
		around, all = 60, 250
	}
	cutters := []path.Cutter{given.HalfBall, given.InchFlat, given.BigBull, {Name: "small bull", Shape: path.Bull, Diameter: 6, Corner: 0.5}}
	faces := []dish.Face{given.Sphere(dish.Hollow, 7620, 200), given.Sphere(dish.Hollow, 4572, 60), given.Sphere(dish.Crown, 7620, 200),
		given.Sphere(dish.Crown, 4572, 60), given.Sphere(dish.Hollow, 150, 70), given.Sphere(dish.Crown, 150, 70), given.Sphere(dish.Flat, 0, 60)}
	for _, c := range cutters {
		for _, f := range faces {
			w := given.Work(f.Kind, 1000, 20)
			w.CutAll(f)
			w.Scallop = 0.1
			if c.Body().Flat > 5 && f.Kind == dish.Hollow && f.Radius < 1000 {
				w.Scallop = 0.8 // nothing flatter is possible at the apex
			}
			r, err := newRaster(work.Whole(&w), c, work.NewBudget(&w, c, 1))
			require.NoError(t, err, "%s on %+v", c.Name, f)
			worst, wx, wy := 0.0, 0.0, 0.0
			place := func(x, y float64) {
				low := math.Inf(1)
				for _, row := range r.all() {
					if math.Abs(row.V-y) < c.Radius() && math.Abs(x) < row.End+c.Radius() {
						low = math.Min(low, plainUnder(f, r.tool.Flat, r.tool.Corner, row.V, x, y, -row.End, row.End, 24))
					}
				}
				if over := f.Over(math.Hypot(x, y), low); !(over <= worst) {
					worst, wx, wy = over, x, y
				}
			}
			for k := range around { // a quarter: passes know X from Y
				sin, cos := math.Sincos(float64(k) / float64(around) * math.Pi / 2)
				place(f.Rim*cos*(1-1e-12), f.Rim*sin*(1-1e-12))
			}
			for k := range all { // a sunflower's places
				d, turn := f.Rim*math.Sqrt((float64(k)+0.5)/float64(all)), float64(k)*math.Pi*(3-math.Sqrt(5))
				place(math.Abs(d*math.Cos(turn)), math.Abs(d*math.Sin(turn)))
			}
			place(0, 0)
			require.LessOrEqual(t, worst, r.budget.Ridge+1e-6, "%s on %+v at %g, %g", c.Name, f, wx, wy)
			if f.Kind == dish.Flat && c.Shape == path.Flat {
				continue
			}
			require.GreaterOrEqual(t, worst, 0.4*r.budget.Ridge, "%s on %+v: or the passes are far too close", c.Name, f)
		}
	}
}

package shop_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/machines"
)

// A top that was found to lie aslant is touched off again where it is not at Z0: every program
// says what Z is there. Of three places the plane goes through all of them, so that at a place
// their heights count by the areas opposite to them.
func TestAslantTopTouchedAgain(t *testing.T) {
	at := [3][3]float64{{-100, -100, 0.3}, {120, -90, 0.1}, {0, 110, -0.25}}
	points := fmt.Sprintf("top points: [{x: %g mm, y: %g mm, z: %g mm}, {x: %g mm, y: %g mm, z: %g mm}, {x: %g mm, y: %g mm, z: %g mm}]\n",
		at[0][0], at[0][1], at[0][2], at[1][0], at[1][1], at[1][2], at[2][0], at[2][1], at[2][2])
	o := dishFor("aslant", milli(4572), milli(260), milli(0.15), "half-inch ball", "half-inch ball").with(func(o *order) { o.long = milli(320) })
	j, err := job.Load("job.yaml", append(o.yaml(), points...))
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	p := r.Report.Touch
	area := func(x1, y1, x2, y2, x3, y3 float64) float64 { return (x2-x1)*(y3-y1) - (x3-x1)*(y2-y1) }
	z := 0.0
	for i := range at {
		a, b := at[(i+1)%3], at[(i+2)%3]
		z += at[i][2] * area(p.X, p.Y, a[0], a[1], b[0], b[1]) / area(at[0][0], at[0][1], at[1][0], at[1][1], at[2][0], at[2][1])
	}
	require.Greater(t, math.Abs(z), 0.05, "there would be nothing to tell")
	for _, s := range r.Report.Order {
		m := regexp.MustCompile(`Z set to (-?[0-9.]+) mm and that thickness`).FindStringSubmatch(s.Touch[1])
		require.NotNil(t, m, s.Touch[1])
		told, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		require.InDelta(t, z, told, 0.001)
	}
}

// Programs that are laid for a machine's errors, for a top that does not lie level, and
// for both in several setups: run by a machine with these errors they leave what is
// certified, by the tests' own evaluation; run by a true one they would not. Without LONG
// the one that has all of it in one setup.
func TestLaidForErrors(t *testing.T) {
	known := machines.GeometryErrors{Scale: r3.Vec{X: 0.004, Y: -0.003, Z: 0.005}, Lean: 0.004, Corrected: true}
	points := "top points: [{x: -100 mm, y: -100 mm, z: 0.3 mm}, {x: 120 mm, y: -90 mm, z: 0.1 mm}, {x: 0 mm, y: 110 mm, z: -0.25 mm}]\n"
	many := 8_000 // places
	if chance.Long() {
		many = 40_000
	}
	for _, c := range []struct {
		name   string
		errors machines.GeometryErrors
		more   string
		bed    bool
		turned bool
	}{
		{"scale and lean", known, "", false, false},
		{"scale and lean from the bed", known, "", true, false},
		{"a top that is not level", machines.GeometryErrors{}, points, false, false},
		{"all of it", known, points, true, false},
		{"in setups", known, "setups: 4\nindex error: 0.05 mm, 0.02 deg, height 0.01 mm\n", false, true},
	} {
		if !chance.Long() && c.name != "all of it" {
			continue
		}
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			o := dishFor("crooked", milli(4572), milli(260), milli(0.15), "half-inch ball", "half-inch ball").with(func(o *order) { o.long, o.bed, o.pattern = milli(320), c.bed, "rings" })
			j, err := job.Load("job.yaml", append(o.yaml(), c.more...))
			require.NoError(t, err)
			j.Work.Machine.Errors = c.errors
			j.Work.Machine.Feed.X, j.Work.Machine.Feed.Y = 700, 900 // so that what is told comes up to it
			if c.turned {
				j.Work.Machine.Travel.X, j.Work.Machine.Travel.Y = 180, 180
			}
			r, err := shop.Run(context.Background(), j)
			require.NoError(t, err)
			require.Empty(t, r.Report.Broken)
			var written [][]byte
			for _, one := range r.Texts {
				written = append(written, one.Bytes)
			}
			require.Empty(t, said(t, j, written...), "a head says how far the machine is sent")
			e := c.errors
			k := crooked{sx: e.Scale.X, sy: e.Scale.Y, sz: e.Scale.Z, lean: e.Lean, high: clearanceOf(t, r)}
			w := o.wanted()
			w.machine.Travel, w.machine.Feed = j.Work.Machine.Travel, j.Work.Machine.Feed
			if c.bed {
				k.zero = -o.thickness.mm
			}
			if c.more == points { // the plane through three points, by Cramer's rule
				k.a, k.b, k.c = through([3]point{{-100, -100, 0.3}, {120, -90, 0.1}, {0, 110, -0.25}})
				require.NotNil(t, r.Report.Top)
				require.InDelta(t, 0.0005+math.Hypot(k.a, k.b), j.Work.OutOfSquare(), 1e-9, "the spindle is as much out of square to such a top")
				require.Greater(t, k.high, 5.3, "what rises over the machine's level is passed over too")
			}
			how := setupsOfPrograms(r)
			for i := range how {
				how[i].wrong = k
			}
			v, what := w.carryOut(texts(r), how)
			v.search(w, what, many)
			require.Empty(t, v.faults)
			require.LessOrEqual(t, v.ridge.over, r.Report.Scallop.CertifiedMM+agree)
			v, what = w.carryOut(texts(r), setupsOfPrograms(r))
			v.search(w, what, many/4)
			require.NotEmpty(t, v.faults, "a true machine would cut something else")
			names, list := printed(r)
			require.True(t, prove(t, j, names, list).Proven)
			// Gone on with in the middle, too.
			text := r.Texts[len(r.Texts)-1].Bytes
			out, err := r.Resume(shop.Stopped{Program: text, File: "p", Line: bytes.Count(text, []byte("\n")) / 2, Overlap: 20})
			require.NoError(t, err)
			require.Empty(t, out.Broken)
		})
	}
}

// A feed that slants down from clearance and further up, over a crown whose top does not
// lie level, runs straight on the machine: the gouge that is reported is that of the
// straight way, over either side.
func TestSlantingFeedOverATopThatIsNotLevel(t *testing.T) {
	t.Parallel()
	o := dishFor("crooked", milli(600), milli(200), milli(0.15), "half-inch ball", "half-inch ball").with(func(o *order) { o.form, o.long = "caul", milli(320) })
	j, err := job.Load("job.yaml", append(o.yaml(), "top points: [{x: -100 mm, y: -100 mm, z: -1.6 mm}, {x: 100 mm, y: -100 mm, z: 1.6 mm}, {x: 0 mm, y: 110 mm, z: 0 mm}]\n"...))
	require.NoError(t, err)
	a, b, c := through([3]point{{-100, -100, -1.6}, {100, -100, 1.6}, {0, 110, 0}})
	high := j.Work.Clearance()
	const r, ball = 600.0, 6.35
	for _, from := range []point{{95, 0, high}, {-95, 0, high}, {95, 20, high + 1}, {-95, -20, high - 0.01}} {
		to := point{-from[0], from[1] + 5, 0.016*-from[0] - 7.5} // on the blank 7.5 mm down
		text := fmt.Sprintf("(cutter: half-inch ball)\nG21 G90\nM0\nG0 Z30\nM3 S16000\nG4 P9\nG0 X%g Y%g\nG0 Z%.4f\nG1 X%g Y%g Z%g F500\nG0 Z30\nM5\nM2\n", from[0], from[1], from[2], to[0], to[1], to[2])
		v, _, err := shop.Prove(j, []shop.Source{{Name: "slants.ngc", Text: strings.NewReader(text)}})
		require.NoError(t, err)
		want := 0.0
		for k := range 4001 {
			s := float64(k) / 4000
			x, y, z := from[0]+s*(to[0]-from[0]), from[1]+s*(to[1]-from[1]), from[2]+s*(to[2]-from[2])
			allowed := math.Sqrt((r+ball)*(r+ball)-x*x-y*y) - r - ball
			want = math.Max(want, allowed-(z-a*x-b*y-c))
		}
		require.Greater(t, want, 0.3)
		require.InDelta(t, want, *v.GougeMM, 1e-3, "%v", from)
	}
}

// clearanceOf returns the height of a result's first lift, over the program's zero.
func clearanceOf(t *testing.T, r *shop.Result) float64 {
	t.Helper()
	z := math.NaN()
	for _, l := range strings.Split(string(r.Texts[1].Bytes), "\n") {
		if strings.HasPrefix(l, "G0 Z") {
			_, err := fmt.Sscanf(l, "G0 Z%f", &z)
			require.NoError(t, err)
			break
		}
	}
	return z + r.Plan.Work.ProgramZero()
}

// through returns the plane a x + b y + c through three points.
func through(p [3]point) (a, b, c float64) {
	det := func(u, v, w point) float64 {
		return u[0]*(v[1]*w[2]-v[2]*w[1]) - u[1]*(v[0]*w[2]-v[2]*w[0]) + u[2]*(v[0]*w[1]-v[1]*w[0])
	}
	x, y, one, z := point{p[0][0], p[1][0], p[2][0]}, point{p[0][1], p[1][1], p[2][1]}, point{1, 1, 1}, point{p[0][2], p[1][2], p[2][2]}
	d := det(x, y, one)
	return det(z, y, one) / d, det(x, z, one) / d, det(x, y, z) / d
}

// What is not corrected is told, with what would correct it.
func TestErrorsAreTold(t *testing.T) {
	t.Parallel()
	o := dishFor("crooked", milli(4572), milli(260), milli(0.1), "inch flat", "inch flat").with(func(o *order) { o.long = milli(300) })
	j, err := job.Load("job.yaml", o.yaml())
	require.NoError(t, err)
	j.Work.Machine.Errors = machines.GeometryErrors{Scale: r3.Vec{X: 0.002}, Backlash: r3.Vec{X: 0.1, Y: 0.1, Z: 0.06}}
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	e := r.Report.MachineErrors
	require.InDelta(t, 4572*1.002*1.002, e.MostMM, 1e-3)
	require.InDelta(t, 4572, e.LeastMM, 1e-3)
	require.Greater(t, e.RidgeMM, 0.06)
	kinds := ""
	for _, w := range r.Report.Warnings {
		kinds += w.Kind + " "
	}
	require.Contains(t, kinds, "machine-errors")
	require.Contains(t, kinds, "backlash")
}

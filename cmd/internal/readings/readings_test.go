package readings_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/readings"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

var asked = readings.Target{Radius: measure.Length{MM: 7620}, Rim: 300}

func judge(file, text string) (readings.Report, error) {
	s, err := readings.Read(file, []byte(text), 0.01, false)
	if err != nil {
		return readings.Report{}, err
	}
	return readings.Judge(s, asked)
}

func depth(R, x float64) float64 { return R - math.Sqrt(R*R-x*x) }

// The same hollow told in every way has the same radius.
func TestWaysOfMeasuring(t *testing.T) {
	var csv, line, places, lines strings.Builder
	csv.WriteString("x_mm,y_mm,z_mm\n")
	line.WriteString("# invented\nx_in,depth_mm\n")
	places.WriteString("unit: mm\npoints:\n")
	lines.WriteString("gauge: 0.01 mm\nstraightedge:\n")
	for angle := 0; angle < 180; angle += 60 {
		sin, cos := math.Sincos(float64(angle) * math.Pi / 180)
		fmt.Fprintf(&lines, "  - angle: %d deg\n    depths:\n", angle)
		for x := -280.0; x <= 280; x += 40 {
			z := depth(7620, x) - 5.9
			fmt.Fprintf(&csv, "%.6f,%.6f,%.6f\n", x*cos, x*sin, z)
			fmt.Fprintf(&places, "  - [%.6f, %.6f, %.6f]\n", x*cos, x*sin, z)
			fmt.Fprintf(&lines, "      - [%.6f mm, %.6f mm]\n", x, -z+float64(angle)/100)
			if angle == 0 {
				fmt.Fprintf(&line, "%.8f,%.6f\n", x/25.4, -z)
			}
		}
	}
	h := depth(7620, 100)
	for name, file := range map[string][2]string{
		"places":      {"a.csv", csv.String()},
		"depths":      {"a.csv", line.String()},
		"yaml":        {"a.yaml", places.String()},
		"diameters":   {"a.yaml", lines.String()},
		"bar":         {"a.yaml", fmt.Sprintf("bar: {legs: 200 mm, depths: [%.6f mm, %.6f mm, %.6f mm]}", h, h, h)},
		"spherometer": {"a.yaml", fmt.Sprintf("unit: mm\nspherometer: {legs: 100 mm, depths: [%.6f, %.6f, %.6f]}", h, h, h)},
		"crown":       {"a.yaml", fmt.Sprintf("of: crown\nunit: mm\nbar: {legs: 200 mm, depths: [%.6f, %.6f, %.6f]}", h, h, h)},
	} {
		t.Run(name, func(t *testing.T) {
			r, err := judge(file[0], file[1])
			require.NoError(t, err)
			require.InEpsilon(t, 7620, r.RadiusMM, 1e-6) // heights of 0.656 mm and up are written to 1e-6 mm
			require.True(t, r.Within)
			require.Less(t, r.LowMM, r.RadiusMM)
			require.Greater(t, *r.HighMM, r.RadiusMM)
			require.Contains(t, r.Verdict.String(), "is within it")
			require.Zero(t, r.CorrectedMM)
			_, err = json.Marshal(r)
			require.NoError(t, err)
		})
	}
}

// A plate's flat under the bridge is left out; what is off is corrected for.
func TestIgnoreAndCorrect(t *testing.T) {
	var b strings.Builder
	b.WriteString("of: crown\nunit: mm\nignore: {x: 20 mm, y: 0 mm, radius: 45 mm}\npoints:\n")
	flat := 0
	for x := -200.0; x <= 200; x += 40 {
		for y := -160.0; y <= 160; y += 40 {
			z := -depth(8000, math.Hypot(x, y))
			if math.Hypot(x-20, y) < 45 {
				z, flat = -0.3, flat+1
			}
			fmt.Fprintf(&b, "  - [%g, %g, %.7f]\n", x, y, z)
		}
	}
	r, err := judge("a.yaml", b.String())
	require.NoError(t, err)
	require.Equal(t, flat, r.Ignored)
	require.Positive(t, flat)
	require.InEpsilon(t, 8000, r.RadiusMM, 1e-7) // heights of up to 4 mm to 1e-7
	require.False(t, r.Within)
	require.Contains(t, r.Verdict.String(), "is not within it")
	require.InDelta(t, 1/(2.0/7620-1/r.RadiusMM), r.CorrectedMM, 1e-5) // reports have six decimals
	require.InDelta(t, depth(8000, 300)-depth(7620, 300), r.AtRimMM, 1e-6)
	require.NotNil(t, r.Roundness)
}

func TestWrongReadings(t *testing.T) {
	good := "x_mm,y_mm,z_mm\n"
	for x := -200.0; x <= 200; x += 100 {
		for y := -200.0; y <= 200; y += 100 {
			good += fmt.Sprintf("%g,%g,%.4f\n", x, y, depth(7620, math.Hypot(x, y)))
		}
	}
	_, err := judge("a.csv", good)
	require.NoError(t, err)
	for _, tt := range []struct{ file, text, message string }{
		{"a.csv", "", "empty"},
		{"a.csv", "x_mm,y_mm,z_mm\n", "no readings"},
		{"a.csv", "x_mm,y_mm\n1,2\n", "neither places nor depths"},
		{"a.csv", "x_mm,y_mm,depth_mm\n1,2,3\n", "places and depths"},
		{"a.csv", "x_mm,depth_mm\n0,1\n1,2\n2,1\n", "too few"},
		{"a.csv", "x_mm,depth_mm\n5,1\n5,1\n5,1\n5,2\n5,1\n", "one place"},
		{"a.csv", "x_mm,y_mm,z_mm\n0,0,0\n50,0,1\n100,0,2\n150,0,1\n200,0,0\n250,0,0\n", "one line"},
		{"a.csv", "x_mm,depth_mm\n0,NaN\n", "no number"},
		{"a.csv", "x_mm;depth_mm\n0;1,5\n", "no number"},
		{"a.csv", strings.NewReplacer(",-", ",", "z_mm", "z_mm").Replace("x_mm,depth_mm\n-200,5\n-100,3\n0,1\n100,3\n200,5\n"), "readings of a crown"},
		{"a.csv", "x_mm,depth_mm\n" + strings.Repeat("1,2\n", 20_001), "too many"},
		{"a.yaml", "points: []\nbar: {legs: 200 mm, depths: []}", "has 2 of"},
		{"a.csv", "x_mm,depth_mm\n-200,2\n-100,2\n0,2\n100,2\n200,2\n", "of a flat"},
		{"a.yaml", "name: x", "has 0 of"},
		{"a.yaml", "points: [[1 mm, 2 mm]]", "2 numbers where 3"},
		{"a.yaml", "points: [[1, 2, 3]]", "no unit"},
		{"a.yaml", "points: [[1 mm, 2 mm, 3 mm]]\ncolour: red", "not known"},
		{"a.yaml", "gauge: 0 mm\npoints: [[1 mm, 2 mm, 3 mm]]", "steps of"},
		{"a.yaml", "bar: {legs: 200 mm, depths: [120 mm, 1 mm, 1 mm]}", "no sphere has"},
		{"a.yaml", "bar: {legs: 0 mm, depths: [1 mm]}", "legs of"},
		{"a.yaml", "bar: {depths: [1 mm]}", `"legs" is missing`},
		{"a.yaml", "unit: mm\nignore: {x: 1 mm, y: 1 mm, radius: 2 mm}\nbar: {legs: 200 mm, depths: [1, 1, 1]}", "no places to leave out"},
	} {
		t.Run(tt.message, func(t *testing.T) {
			_, err := judge(tt.file, tt.text)
			var faults strict.Faults
			require.True(t, errors.As(err, &faults), "%v", err)
			require.Contains(t, faults.Error(), tt.message)
			require.Positive(t, faults[0].Line)
			require.NotEmpty(t, faults[0].Hint)
		})
	}
}

func FuzzReadings(f *testing.F) {
	f.Add("a.csv", "x_mm,depth_mm\n0,1\n1,2\n2,1\n3,4\n9,1\n")
	f.Add("a.yaml", "unit: mm\npoints: [[1,2,3],[4,5,6],[7,8,1],[1,9,2],[4,4,4],[2,1,0]]")
	f.Add("a.yaml", "unit: mm\nbar: {legs: 200 mm, depths: [1, 1, 2]}")
	f.Fuzz(func(t *testing.T, file, text string) {
		r, err := judge(file, text)
		if err != nil {
			var faults strict.Faults
			require.True(t, errors.As(err, &faults), "%v", err)
			for _, one := range faults {
				require.True(t, one.Hint != "" || one.Line == 0, "no hint: %s", one.Message)
			}
			return
		}
		_, err = json.Marshal(r)
		require.NoError(t, err)
	})
}

// The honest limit: on a 200 mm bar 0.01 mm is 116.13 mm of a radius of 7620 mm, and
// a face that is out of round is said to be. From R = L²/8h + h/2 (Machinery's
// Handbook, 31st ed., p. 79) it follows that dR = −(L²/8h²) dh nearly, and with
// h = L²/8R nearly |dR| = 8R² dh/L² (own derivation).
func TestLimitAndRoundness(t *testing.T) {
	var b, oval strings.Builder
	b.WriteString("x_mm,depth_mm\n")
	for x := -100.0; x <= 100; x += 20 {
		fmt.Fprintf(&b, "%g,%.9f\n", x, depth(7620, 100)-depth(7620, x))
	}
	r, err := judge("a.csv", b.String())
	require.NoError(t, err)
	require.Equal(t, 200.0, r.SpanMM)
	require.InDelta(t, 116.13, r.StepMM, 0.005)
	require.InDelta(t, 8*r.RadiusMM*r.RadiusMM*0.01/(200*200), r.StepMM, 1e-6)
	require.Contains(t, r.Limit.String(), "over 200 mm one step of the gauge, 0.01 mm, is 116 mm of radius")

	oval.WriteString("x_mm,y_mm,z_mm\n")
	for x := -200.0; x <= 200; x += 50 {
		for y := -200.0; y <= 200; y += 50 {
			fmt.Fprintf(&oval, "%g,%g,%.5f\n", x, y, x*x/2/7000+y*y/2/8200)
		}
	}
	r, err = judge("a.csv", oval.String())
	require.NoError(t, err)
	require.True(t, r.Roundness.Sure)
	require.Contains(t, strings.Join(measure.Texts(r.Warnings, measure.Ruler{}), " "), "square the spindle to the bed")
}

// An oval crown is told as an oval hollow is: the smaller radius where it is bent more,
// along X or along Y; one place that is off is named. A paraboloid over 280 mm reads about
// a²/4R², 4e-4, flatter.
func TestOvalCrownWithAnOutlier(t *testing.T) {
	for _, turned := range []bool{false, true} {
		off := [2]float64{50, -100}
		if turned {
			off = [2]float64{-200, -200} // the first of all
		}
		var b strings.Builder
		b.WriteString("of: crown\nunit: mm\npoints:\n")
		wrong, n := -1, 0
		for x := -200.0; x <= 200; x += 50 {
			for y := -200.0; y <= 200; y += 50 {
				u, v := x, y
				if turned {
					u, v = y, x
				}
				z := -u*u/2/7000 - v*v/2/8200
				if off == [2]float64{x, y} {
					z, wrong = z+0.5, n
				}
				n++
				fmt.Fprintf(&b, "  - [%g, %g, %.7f]\n", x, y, z)
			}
		}
		r, err := judge("a.yaml", b.String())
		require.NoError(t, err)
		require.InEpsilon(t, 7000, r.Roundness.LeastMM, 5e-4)
		require.InEpsilon(t, 8200, *r.Roundness.MostMM, 5e-4)
		require.True(t, r.Roundness.Sure)
		want := 0.0
		if turned {
			want = 90
		}
		require.InDelta(t, want, math.Abs(r.Roundness.AngleDeg), 0.05)
		for i, e := range r.Residuals {
			require.Equal(t, i == wrong, e.Outlier, "reading %d", i+1)
		}
		require.Contains(t, strings.Join(measure.Texts(r.Warnings, measure.Ruler{}), " "), fmt.Sprintf("reading %d, at X%g Y%g mm, is 0.", wrong+1, off[0], off[1]))
	}
}

// A machine is only told to be off where the face is out of round or the radius asked for
// lies outside what the readings say.
func TestSureOfMachineErrors(t *testing.T) {
	for R, sure := range map[float64]bool{7620: false, 7300: true, 8000: true} {
		var b strings.Builder
		b.WriteString("x_mm,y_mm,z_mm\n")
		for x := -200.0; x <= 200; x += 50 {
			for y := -200.0; y <= 200; y += 50 {
				fmt.Fprintf(&b, "%g,%g,%.6f\n", x, y, depth(R, math.Hypot(x, y)))
			}
		}
		r, err := judge("a.csv", b.String())
		require.NoError(t, err)
		require.False(t, r.Roundness.Sure)
		require.NotContains(t, strings.Join(measure.Texts(r.Warnings, measure.Ruler{}), " "), "more curved")
		require.Equal(t, sure, r.AsErrors.Sure, "%g", R)
		require.Equal(t, !sure, r.Within)
		require.InEpsilon(t, R, r.RadiusMM, 1e-6)
		// Told to cut κ a machine that goes k too far cuts κ/k²: k = √(R/R asked).
		require.InDelta(t, 100*(math.Sqrt(R/7620)-1), r.AsErrors.ScaleX, 1e-3)
		require.InDelta(t, 100*(math.Sqrt(R/7620)-1), r.AsErrors.ScaleY, 1e-3)
		require.Contains(t, r.Verdict.String(), fmt.Sprintf("your readings say %.2f to %.2f m", r.LowMM/1000, *r.HighMM/1000))
	}
}

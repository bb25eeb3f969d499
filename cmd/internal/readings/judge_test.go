package readings_test

import (
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

// Every reading is told with the place where it was taken, so that it can be found again:
// places as they are, one placing of a straightedge along X, several at their angles. Where
// the sphere is level is told of all but depths under legs, which do not know it.
func TestPlacesOfReadings(t *testing.T) {
	xs := []float64{-200, -120, -50, 30, 110, 190}
	stations := func(at func(x float64) float64) string {
		var list []string
		for _, x := range xs {
			list = append(list, fmt.Sprintf("[%g mm, %.7f mm]", x, at(x)))
		}
		return "[" + strings.Join(list, ", ") + "]"
	}
	hollow := func(x float64) float64 { return 3 - depth(7620, x-20) }
	var places [][3]float64
	points := "points:\n"
	for _, x := range xs {
		for _, y := range []float64{-90, 10, 70} {
			places = append(places, [3]float64{x, y, 0})
			points += fmt.Sprintf("  - [%g mm, %g mm, %.7f mm]\n", x, y, depth(7620, math.Hypot(x-20, y+10))-3)
		}
	}
	var one, three [][3]float64
	lines := "straightedge:\n"
	for _, x := range xs {
		one = append(one, [3]float64{x, 0, 0})
	}
	for n, angle := range []float64{0, 40, 90} {
		lines += fmt.Sprintf("  - {angle: %g deg, depths: %s}\n", angle, stations(hollow))
		for _, x := range xs {
			sin, cos := math.Sincos(angle * math.Pi / 180)
			three = append(three, [3]float64{x * cos, x * sin, float64(n)})
		}
	}
	h := depth(7620, 100)
	for name, k := range map[string]struct {
		text string
		at   [][3]float64
		apex []float64 // X and Y, nil where it is not told
	}{
		"points":     {points, places, []float64{20, -10}},
		"one line":   {"straightedge: " + stations(hollow), one, []float64{20, 0}},
		"three":      {lines, three, []float64{20, 0}},
		"under legs": {fmt.Sprintf("bar: {legs: 200 mm, depths: [%.6f mm, %.6f mm, %.6f mm]}", h, h, h), make([][3]float64, 3), nil},
	} {
		r, err := judge("a.yaml", k.text)
		require.NoError(t, err, name)
		require.Zero(t, r.Ignored)
		require.Len(t, r.Residuals, len(k.at))
		for i, e := range r.Residuals {
			require.InDeltaSlice(t, k.at[i][:], []float64{e.X, e.Y, float64(e.Line)}, 1e-6, "%s: %d", name, i) // reports have six decimals
			require.InDelta(t, 0, e.Residual, 1e-6)
		}
		require.Equal(t, k.apex == nil, r.Apex == nil, name)
		if k.apex != nil {
			require.InDeltaSlice(t, k.apex, []float64{r.Apex.X, r.Apex.Y}, 1e-2, name)
		}
	}
}

// What is no measurement is refused at its own place: gauges beyond 5 mm, legs of a millimetre or
// five metres, lists of nothing, a radius beyond a kilometre. What just is one is taken.
func TestLeastAndMost(t *testing.T) {
	bar := func(feet, R float64) string { // the height under legs far apart tells a kilometre yet
		h := depth(R, feet)
		return fmt.Sprintf("bar: {legs: %g mm, depths: [%.9f mm, %.9f mm, %.9f mm]}", 2*feet, h, h, h)
	}
	for text, ok := range map[string]bool{
		"gauge: 5 mm\n" + bar(2000, 7620):            true,
		"gauge: 5.01 mm\n" + bar(2000, 7620):         false,
		"gauge: 0.0001 mm\n" + bar(100, 7620):        true,
		bar(0.55, 30):                                true,
		bar(0.5, 30):                                 false,
		bar(2499.9, 7620):                            true,
		bar(2500, 7620):                              false,
		"gauge: 0.0001 mm\n" + bar(2000, 0.99e6):     true,
		"gauge: 0.0001 mm\n" + bar(2000, 1.01e6):     false,
		"points: []":                                 false,
		"straightedge: []":                           false,
		"straightedge: [{angle: 0 deg, depths: []}]": false,
		"bar: {legs: 200 mm, depths: []}":            false,
		"bar: {legs: 200 mm}":                        false,
	} {
		s, err := readings.Read("a.yaml", []byte(text), 0, false)
		if err == nil {
			_, err = readings.Judge(s, asked)
		}
		require.Equal(t, ok, err == nil, "%s: %v", text, err)
		var f strict.Faults
		require.True(t, ok || errors.As(err, &f) && f[0].Line > 0 && f[0].Column > 0)
	}
}

// A crown read as a hollow is refused only where the readings tell it: ones that do not know
// which way they are curved are taken, and have no greatest radius.
func TestUnsureOfTheFace(t *testing.T) {
	text := func(h float64) string {
		return fmt.Sprintf("bar: {legs: 200 mm, depths: [%.3f mm, %.3f mm, %.3f mm]}", h-0.03, h, h+0.03)
	}
	_, err := judge("a.yaml", text(-0.6))
	require.ErrorContains(t, err, "readings of a crown")
	r, err := judge("a.yaml", text(-0.02))
	require.NoError(t, err)
	require.Nil(t, r.HighMM)
	require.Contains(t, r.Verdict.String(), "to no limit m")
	require.Equal(t, r.LowMM <= 7620, r.Within)
}

// The flat that is left out lies where it is said, along Y too; the places that stay keep
// their order.
func TestIgnoredPlace(t *testing.T) {
	var kept [][2]float64
	text := "of: crown\nignore: {x: -30 mm, y: 50 mm, radius: 40 mm}\npoints:\n"
	for x := -150.0; x <= 150; x += 50 {
		for y := -100.0; y <= 100; y += 50 {
			z := -depth(7620, math.Hypot(x, y))
			if math.Hypot(x+30, y-50) < 40 {
				z = 1
			} else {
				kept = append(kept, [2]float64{x, y})
			}
			text += fmt.Sprintf("  - [%g mm, %g mm, %.7f mm]\n", x, y, z)
		}
	}
	r, err := judge("a.yaml", text)
	require.NoError(t, err)
	require.Equal(t, 35-len(kept), r.Ignored)
	require.InEpsilon(t, 7620, r.RadiusMM, 1e-5)
	for i, e := range r.Residuals {
		require.Equal(t, kept[i], [2]float64{e.X, e.Y})
	}
}

// What is off at the rim is that of two caps as wide as the job's dish, or where that is not
// said as far as was measured; beyond either radius there is none. On a span L one step h of the
// gauge is 8R²h/L² of radius, and where no step is known one deviation of the readings; then, and
// where the radius is not known within a fiftieth, that is said.
func TestWhatItMeans(t *testing.T) {
	const R = 7000.0
	table := func(scatter float64) []byte {
		text := "x_mm,depth_mm\n"
		for i, x := range []float64{-150, -100, -50, 0, 50, 100, 150} { // off by turns, which no parabola follows
			text += fmt.Sprintf("%g,%.7f\n", x, -depth(R, x)+scatter*float64(1-i%2*2))
		}
		return []byte(text)
	}
	report := func(scatter, gauge, rim float64) readings.Report {
		s, err := readings.Read("a.csv", table(scatter), gauge, false)
		require.NoError(t, err)
		r, err := readings.Judge(s, readings.Target{Radius: measure.Length{MM: 7620}, Rim: rim})
		require.NoError(t, err)
		return r
	}
	for rim, at := range map[float64]float64{0: 150, 200: 200, 6990: 6990, 7100: 0} {
		r := report(0, 0.0001, rim)
		want := 0.0
		if at > 0 {
			want = depth(r.RadiusMM, at) - depth(7620, at)
		}
		require.InDelta(t, want, r.AtRimMM, 1e-5*math.Max(1, want))
		require.Equal(t, 300.0, r.SpanMM)
		require.InEpsilon(t, 8*r.RadiusMM*r.RadiusMM*0.0001/90000, r.StepMM, 1e-3)
		require.Empty(t, r.Warnings, "the radius is known, and so is the gauge")
	}
	s, err := readings.Read("a.csv", table(0), 0.0001, false)
	require.NoError(t, err)
	narrow, err := readings.Judge(s, readings.Target{Radius: measure.Length{MM: 6900}, Rim: 6950})
	require.NoError(t, err)
	require.Zero(t, narrow.AtRimMM, "wider than the sphere that was asked for")
	warned := func(r readings.Report) (known, gauge bool) {
		all := strings.Join(measure.Texts(r.Warnings, measure.Ruler{}), "\n")
		return strings.Contains(all, "known within"), strings.Contains(all, "step is not said")
	}
	r := report(0.002, 0, 150)
	require.Contains(t, r.Limit.String(), "one reading's scatter")
	require.InEpsilon(t, 8*r.RadiusMM*r.RadiusMM*r.NoiseMM/90000, r.StepMM, 1e-3) // the scatter is told to a millionth of a millimetre
	_, gauge := warned(r)
	require.True(t, gauge)
	half := func(r readings.Report) float64 { return r.RadiusMM/r.LowMM - 1 } // of the interval, as a share of the radius
	one := half(report(0.01, 0.001, 150)) / 0.01
	for _, want := range []float64{0.019, 0.021} {
		r := report(want/one, 0.001, 150)
		require.InDelta(t, want, half(r), 5e-4)
		known, gauge := warned(r)
		require.Equal(t, want > 0.02, known)
		require.False(t, gauge)
	}
}

// A saddle has one radius alone, and no machine that was told to cut a sphere cuts one.
func TestSaddle(t *testing.T) {
	text := "points:\n"
	for x := -150.0; x <= 150; x += 50 {
		for y := -100.0; y <= 100; y += 50 {
			text += fmt.Sprintf("  - [%g mm, %g mm, %.7f mm]\n", x, y, x*x/2/7000-y*y/2/30000)
		}
	}
	r, err := judge("a.yaml", text)
	require.NoError(t, err)
	require.Nil(t, r.Roundness.MostMM)
	require.InEpsilon(t, 7000, r.Roundness.LeastMM, 1e-3)
	require.Nil(t, r.AsErrors)
}

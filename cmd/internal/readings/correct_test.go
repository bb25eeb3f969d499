package readings_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cmd/internal/readings"
	"dishwright/dish/measure"
	"dishwright/machines"
)

// profile is a machine with more lines.
func profile(t *testing.T, lines []measure.Said, u measure.Ruler) machines.Machine {
	t.Helper()
	text := "name: m\ntravel: {x: 600 mm, y: 600 mm, z: 80 mm}\nfeed: 2000 mm/min\nspindle: {slowest: 8000, fastest: 24000}\ncollets: [6 mm]\n" + strings.Join(measure.Texts(lines, u), "\n") + "\n"
	m, err := machines.Parse("m.yaml", []byte(text))
	require.NoError(t, err, text)
	return m
}

// cut is what a machine with errors leaves at a place, told to cut a radius, laid for the errors
// that its profile corrects.
func cut(true, known path.Warp, R, x, y float64) float64 {
	p := known.Actual(true.Compensated(r3.Vec{X: x, Y: y})) // where the plan had its tip
	return depth(R, math.Hypot(p.X, p.Y))
}

// table are readings of that, as places or as depths under a straightedge at angles, with noise
// and rounding to 0.01 mm.
func table(rng *rand.Rand, noise float64, angles []float64, at func(x, y float64) float64) (file, text string) {
	read := func(v float64) float64 { return math.Round((v+noise*rng.NormFloat64())*100) / 100 }
	var b strings.Builder
	if angles == nil {
		b.WriteString("x_mm,y_mm,z_mm\n")
		for x := -250.0; x <= 250; x += 50 {
			for y := -250.0; y <= 250; y += 50 {
				fmt.Fprintf(&b, "%g,%g,%.2f\n", x, y, read(at(x, y)))
			}
		}
		return "a.csv", b.String()
	}
	b.WriteString("unit: mm\nstraightedge:\n")
	for _, angle := range angles {
		var list []string
		sin, cos := math.Sincos(angle * math.Pi / 180)
		for x := -280.0; x <= 280; x += 20 {
			list = append(list, fmt.Sprintf("[%g, %.2f]", x, read(9-at(x*cos, x*sin))))
		}
		fmt.Fprintf(&b, "  - {angle: %g deg, depths: [%s]}\n", angle, strings.Join(list, ", "))
	}
	return "a.yaml", b.String()
}

// A machine with errors cuts a dish; readings with noise are fitted; what is told for the
// profile is pasted there, read back, and the dish cut again by it: its two radii are as near to
// the one asked for as the line says that the errors are known. A profile that corrects
// something already is corrected on.
func TestCorrectionCutsTrue(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 29))
	for name, k := range map[string]struct {
		angles []float64
		lean   float64
		unit   measure.Ruler
	}{
		"places":      {nil, 0.003, measure.Ruler{}},
		"in inches":   {nil, -0.002, measure.Ruler{Inches: true}},
		"three lines": {[]float64{0, 45, 90}, 0.004, measure.Ruler{}},
		"two lines":   {[]float64{0, 90}, 0, measure.Ruler{}},
	} {
		for _, known := range []path.Warp{{}, {Scale: r3.Vec{X: 0.002, Y: 0.001}, Lean: 0.0005}} {
			if len(k.angles) == 2 {
				known.Lean = 0
			}
			is := path.Warp{Scale: r3.Vec{X: 0.012, Y: -0.006}, Lean: k.lean, High: 99}
			known.High = 99
			file, text := table(rng, 0.005, k.angles, func(x, y float64) float64 { return cut(is, known, 7620, x, y) })
			s, err := readings.Read(file, []byte(text), 0.01, false)
			require.NoError(t, err)
			r, err := readings.Judge(s, readings.Target{Radius: measure.Length{MM: 7620}, Rim: 300,
				Errors: machines.GeometryErrors{Scale: known.Scale, Lean: known.Lean, Corrected: known.Scale.X != 0}})
			require.NoError(t, err)
			c := r.Correction
			require.Equal(t, readings.InProfile, c.In, "%s: %v", name, c.Why)
			e := profile(t, c.Lines, k.unit).Errors
			require.True(t, e.NeedsCorrection())
			require.Positive(t, e.Uncertainty)
			require.Less(t, e.Uncertainty, 0.004)
			wide := 2 * e.Uncertainty // four deviations: the intervals of 95 % are counted in package fit
			require.InDelta(t, is.Scale.X, e.Scale.X, wide, name)
			require.InDelta(t, is.Scale.Y, e.Scale.Y, wide, name)
			require.InDelta(t, is.Lean, e.Lean, wide, name)
			again := path.Warp{Scale: e.Scale, Lean: e.Lean, High: 99}
			for _, angle := range []float64{0, 45, 90, 135} { // the dish that is cut by it
				sin, cos := math.Sincos(angle * math.Pi / 180)
				z := cut(is, again, 7620, 250*cos, 250*sin)
				R := 250*250/2/z + z/2
				require.InEpsilon(t, 7620, R, 4*e.Uncertainty, name) // two scales and the lean, each twice in the curvature
			}
		}
	}
}

// A round face of another radius: the line goes into the job, is read there, and cut again by
// the same machine the face has the radius asked for, with a covering and with a plate too.
func TestRadiusToAskFor(t *testing.T) {
	const base = "diameter: 600 mm\nmachine: bench-600\nradius: 25 ft\nblank: {shape: round, diameter: 640 mm, thickness: 40 mm}\ncovering: 0.6 mm\n"
	rng := rand.New(rand.NewPCG(7, 30))
	j, err := job.Load("j.yaml", []byte(base))
	require.NoError(t, err)
	is := path.Warp{Scale: r3.Vec{X: 0.01, Y: 0.01}, High: 99}
	file, text := table(rng, 0.005, nil, func(x, y float64) float64 { return cut(is, path.Warp{High: 99}, j.Work.Face.Radius, x, y) })
	s, err := readings.Read(file, []byte(text), 0.01, false)
	require.NoError(t, err)
	wood := j.Work.Face.Radius
	r, err := readings.Judge(s, readings.Target{Radius: measure.Length{MM: wood}, Rim: 300, Told: wood, Over: j.Radius.MM - wood})
	require.NoError(t, err)
	c := r.Correction
	require.Equal(t, readings.InJob, c.In, c.Why)
	require.Len(t, c.Lines, 1)
	for _, u := range []measure.Ruler{{}, {Inches: true}} {
		next, err := job.Load("j.yaml", []byte(strings.Replace(base, "radius: 25 ft", c.Lines[0].In(u), 1)))
		require.NoError(t, err, c.Lines[0].In(u))
		z := cut(is, path.Warp{High: 99}, next.Work.Face.Radius, 250, 0)
		found := 250*250/2/z + z/2
		require.Less(t, r.RadiusMM/r.LowMM-1, 0.01)
		// Within the interval of the readings, and what the square of a share of 0.02 adds.
		require.InEpsilon(t, wood, found, *r.HighMM/r.RadiusMM-1+0.0004+0.001)
		require.Less(t, c.Low, next.Radius.MM)
		require.Greater(t, *c.High, next.Radius.MM)
	}
	// What lies within the interval is not corrected, and what no machine does neither.
	r, err = readings.Judge(s, readings.Target{Radius: measure.Length{MM: r.RadiusMM + 1}})
	require.NoError(t, err)
	require.Empty(t, r.Correction.In)
	require.Empty(t, r.Correction.Lines)
	require.Contains(t, r.Correction.Why.String(), "no correction is warranted")
	r, err = readings.Judge(s, readings.Target{Radius: measure.Length{MM: 3600}})
	require.NoError(t, err)
	require.Empty(t, r.Correction.Lines)
	require.Contains(t, r.Correction.Why.String(), "another face")
}

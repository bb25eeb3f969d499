package sides_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/samples"
)

// A round body of radius 200 mm about its apex, flat from x = 300 on: in closed form the plane
// that touches the sphere there stands 1/(2R)·(ρ² − 100²) − 100/R·(x − 300) above it to second
// order, ρ the distance from the apex. The dish's own part ends where the blend begins, and the parts have
// all of the rim and of its wood.
func TestAFlatThatTouches(t *testing.T) {
	text, f := circleJob("start: {allowance: 1.2 mm}\n")
	plain, err := run(text, f)
	require.NoError(t, err)
	r, err := run(strings.Replace(text, "apex: 200 mm", "apex: 200 mm, flat above: 300 mm from tail, blend: 40 mm", 1), f)
	require.NoError(t, err)
	p, flat := r.Report, r.Report.Flat
	require.Equal(t, "touch", flat.Case)
	require.InDelta(t, math.Asin(100/7620.0)*180/math.Pi, flat.LeanDeg, 1e-6)
	require.InDelta(t, flat.TouchingDeg, flat.LeanDeg, 1e-12)
	// Along the outline x = 200 + 200 cos φ: 30000/2R − 100/R (200 cos φ − 100), most where the flat begins.
	require.InDelta(t, 30000/(2*7620.0), flat.MisuseMM, 1e-3)
	require.InDelta(t, 300, flat.MisuseAt.X, 1e-6)
	// From above the flat is the circle's arc within 60 degrees of the head, the blend goes on to 72.54.
	require.InDelta(t, 400*math.Pi/3, flat.EdgeMM, 1e-4)
	require.InDelta(t, 400*(math.Acos(0.3)-math.Pi/3), flat.Blend.EdgeMM, 1e-4)
	require.Equal(t, 1.2, flat.MostMM)
	require.Len(t, flat.Boundary, 4)
	require.Equal(t, "right blend begins", flat.Boundary[0].Name)
	require.InDelta(t, 200*(math.Pi-math.Acos(0.3)), flat.Boundary[0].ArcMM, 1e-4)
	require.InEpsilon(t, plain.Report.Sanding.WoodMM3, p.Sanding.WoodMM3+flat.WoodMM3+flat.Blend.WoodMM3, 0.05) // an edge cut square to the sides has more on a steep bevel
	require.InDelta(t, 1.2, p.Sanding.MostMM, 1e-12)
	require.Len(t, flat.Order, 3)
	require.Contains(t, flat.Order[1].String(), "up to 1.97 mm above the dome")
	for i, s := range p.Stations {
		require.Equal(t, map[bool]string{true: "flat", false: "dome"}[s.X > 300], map[bool]string{true: "dome", false: s.Zone}[s.Zone == "blend"], i)
	}
	require.Regexp(t, `,zone,saw_mm,back_saw_mm\n0\.0000,`, string(r.CSV()[:400]))
	require.Equal(t, 42, strings.Count(string(r.CSV()), ",flat,0.0000,0.0000\n"), "a third of the lap, every 10 mm")
}

// The same body cut by a plane that falls 3 degrees: the plane meets the sphere in the circle of
// radius R sin(3° − θ), sin θ = 100/R; at the head it lies deepest below it. The dish takes down the whole
// rim as far as the dome; the board takes what is then left, nothing where the two meet.
func TestAFlatThatCuts(t *testing.T) {
	const R, d = 7620.0, math.Pi / 180
	text, f := circleJob("start: {allowance: 9 mm}\n")
	text = strings.Replace(text, "apex: 200 mm", "apex: 200 mm, flat above: 300 mm from tail, flat lean: 3 deg", 1)
	r, err := run(text, f)
	require.NoError(t, err)
	p, flat, theta := r.Report, r.Report.Flat, math.Asin(100/R)
	require.Equal(t, "cut", flat.Case)
	require.Nil(t, flat.Blend)
	require.Zero(t, p.Top.BlendMM)
	for _, k := range p.Defaults {
		require.NotEqual(t, "blend", k.Key)
	}
	require.InDelta(t, R*math.Sin(3*d-theta), flat.CircleMM, 1e-6)
	below := (math.Sqrt(R*R-200*200) - math.Sqrt(R*R-100*100)) + 100*math.Tan(3*d) // sphere − plane at x = 400
	require.InDelta(t, below, flat.BelowMM, 1e-5)                                  // a sixth of a millimetre from the head on a circle of 200: 3e-6
	require.Zero(t, flat.MisuseMM)
	require.InDelta(t, below, flat.MostMM, 1e-5) // 9 mm stand there: the dish takes the rest
	require.InDelta(t, 0, flat.LeastMM, 1e-6)
	require.InDelta(t, 400, flat.First.X, 1e-3) // a sixth of a millimetre round from the head at most
	require.Len(t, flat.Boundary, 2)
	for _, s := range flat.Boundary {
		require.InDelta(t, R, math.Sqrt((s.X-200)*(s.X-200)+s.Y*s.Y+(s.TopZ+R)*(s.TopZ+R)), 1e-6, "on the sphere")
		plane := math.Sqrt(R*R-100*100) - R - math.Tan(3*d)*(s.X-300)
		require.InDelta(t, plane, s.TopZ, 1e-6, "and in the plane")
	}
	// The wood of both is what a rim of that top has to lose, by its stations.
	require.Greater(t, p.Sanding.WoodMM3, 0.0)
	shallow, err := run(strings.Replace(text, "9 mm", "0.2 mm", 1), f)
	require.NoError(t, err)
	require.InDelta(t, 0.2, shallow.Report.Flat.MostMM, 1e-6)
	require.Less(t, shallow.Report.Flat.WoodMM3, flat.WoodMM3)
	require.Len(t, flat.Order, 2)
	require.Contains(t, flat.Order[1].String(), "falls 3 deg")
	require.Contains(t, measure.Texts(flat.Order, measure.Ruler{Inches: true})[0], " in at X")
}

// What the hint says would do, does; a little less does not.
func TestLeanThatWouldDo(t *testing.T) {
	text, f := circleJob("")
	with := func(lean string) error {
		_, err := run(strings.Replace(text, "apex: 200 mm", "apex: 200 mm, flat above: 300 mm, flat lean: "+lean+" deg", 1), f)
		return err
	}
	var faults strict.Faults
	require.True(t, errors.As(with("0.8"), &faults))
	var least string
	_, rest, _ := strings.Cut(faults[0].Hint, "from ")
	least, _, _ = strings.Cut(rest, " deg")
	require.NoError(t, with(least))
	require.Error(t, with(measure.FormatFixed(atof(t, least)-0.02, 2)))
	require.NoError(t, with("0.75"))
}

func atof(t *testing.T, s string) float64 {
	v, err := measure.ParseNumber(s)
	require.NoError(t, err)
	return v
}

// A flat plate on a domed rim is bent as it is clamped; nowhere is it said that no gap may need force.
func TestFlatPlate(t *testing.T) {
	data, _ := samples.Get("bouzouki-sides")
	text := strings.Replace(string(data), "{radius: 27 ft}", "{radius: flat}", 1)
	r, err := run(text, nil)
	require.NoError(t, err)
	require.True(t, r.Report.Dry.Bent())
	from, braced := r.Report.Bending(r.Job.Ruler)
	require.Contains(t, from, measure.FormatFixed(r.Report.Dry.LargestMM, 2)[:3])
	require.Contains(t, from, "bent over the dome")
	require.Contains(t, braced, "arched")
	level, err := run(strings.Replace(text, "radius: 28 ft, apex: 200 mm", "radius: flat", 1), nil)
	require.NoError(t, err)
	require.False(t, level.Report.Dry.Bent())
}

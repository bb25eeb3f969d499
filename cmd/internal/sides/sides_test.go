package sides_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/cam/job"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/sides"
	"dishwright/dish/measure/strict"
	"dishwright/samples"
)

// files opens what a test holds.
type files map[string]string

func (f files) open(name string) ([]byte, error) {
	if text, ok := f[name]; ok {
		return []byte(text), nil
	}
	return nil, strict.Fault{File: name, Message: "there is no such file", Hint: "check the name and the folder"}
}

func run(text string, f files) (*sides.Result, error) {
	j, err := job.LoadRim("r.yaml", []byte(text))
	if err != nil {
		return nil, err
	}
	return sides.Run(j, f.open)
}

func sample(t testing.TB, name string) *sides.Result {
	data, ok := samples.Get(name)
	require.True(t, ok)
	r, err := run(string(data), nil)
	require.NoError(t, err)
	return r
}

// circleJob is a round body of radius 200 mm about its top's apex, as a table.
func circleJob(rest string) (string, files) {
	var b strings.Builder
	b.WriteString("x_mm,y_mm\n")
	for i := range 181 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 180)
		y := 200 * sin
		if i == 180 {
			y = 0
		}
		fmt.Fprintf(&b, "%.9f,%.9f\n", 200-200*cos, y)
	}
	return "form: rim\noutline: {file: round.csv}\ntop: {radius: 25 ft, apex: 200 mm}\nback: {radius: flat}\ndepth: {head: 90 mm, tail: 90 mm}\n" +
		"lining: {width: 6 mm, height: 15 mm}\nsides: 2 mm\n" + rest, files{"round.csv": b.String()}
}

// A round body about its apex has one rim height, 2.625124 mm at R 7620 and
// d = 200 (R − √(R² − d²): Machinery's Handbook, 31st ed., pp. 79 and 83), and with a flat
// back one width; a flat start takes the same off everywhere. The curve through the points
// of a circle is the circle to 1e-6 in place, to 1e-5 in length.
func TestRoundBody(t *testing.T) {
	text, f := circleJob("start: {flat: 91 mm}\nblocks: {head: 60 mm, tail: 20 mm}\n")
	r, err := run(text, f)
	require.NoError(t, err)
	p := r.Report
	require.InDelta(t, 400*math.Pi, p.PerimeterMM, 1e-5)
	for _, s := range p.Stations {
		require.InDelta(t, -2.625124, s.TopZ, 1.5e-6)
		require.InDelta(t, 90, s.WidthMM, 1e-6)
		require.InDelta(t, 1, s.RemoveMM, 1e-6)
		require.InDelta(t, 0, s.BackRemove, 1e-6)
		require.InDelta(t, math.Asin(200/7620.0)*180/math.Pi, s.SlopeDeg, 1e-6)
	}
	require.InDelta(t, 60*(60+396-80)/(2*7620.0), p.Blocks[0].GapBothMM, 5e-4) // x²/2R² of it, x up to 198
	require.Equal(t, "head", p.Blocks[0].Name)
	require.InDelta(t, 400*math.Pi-4*math.Pi, p.Lining.LengthMM, 1e-5)
	require.InDelta(t, 400*math.Pi-2*math.Pi, p.MidMM, 1e-5)
}

// The same body told in other ways is the same: a whole table, points in inches,
// paths of half and of whole with other scales and ways round.
func TestOutlinesOfAllKinds(t *testing.T) {
	text, f := circleJob("")
	want, err := run(text, f)
	require.NoError(t, err)
	var points []string
	for i := range 181 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 180)
		if i == 180 {
			sin = 0
		}
		points = append(points, fmt.Sprintf("[%.9f, %.9f]", (200-200*cos)/25.4, 200*sin/25.4))
	}
	for name, outline := range map[string]string{
		"inches":     "{unit: in, points: [" + strings.Join(points, ", ") + "]}",
		"half path":  "{path: M0 0A200 200 0 0 1 400 0, scale: 1 mm}",
		"other half": "{path: M0 0A200 200 0 0 0 400 0, scale: 1 mm}",
		"whole path": "{path: M10 10a100 100 0 1 0 200 0a100 100 0 1 0-200 0Z, scale: 2 mm}",
		"head told":  "{path: M0 0A20 20 0 1 1 40 0A20 20 0 1 1 0 0Z, scale: 1 cm, head: [40, 0]}",
		"upward":     "{path: M0 0A200 200 0 0 1 0 400, scale: 1 mm}",
	} {
		t.Run(name, func(t *testing.T) {
			r, err := run(strings.Replace(text, "{file: round.csv}", outline, 1), f)
			require.NoError(t, err)
			require.InDelta(t, want.Report.PerimeterMM, r.Report.PerimeterMM, 2e-5)
			require.Len(t, r.Report.Stations, len(want.Report.Stations))
			for i, s := range r.Report.Stations {
				require.InDelta(t, want.Report.Stations[i].X, s.X, 2e-5)
				require.InDelta(t, want.Report.Stations[i].Y, s.Y, 2e-5)
			}
		})
	}
}

// Every sample: its stations lie on its domes by plain formulas, its drawings are
// no wider than asked, its JSON reads back, and it is the same twice.
func TestSamples(t *testing.T) {
	for _, name := range samples.Rims() {
		t.Run(name, func(t *testing.T) {
			r := sample(t, name)
			p := r.Report
			require.Empty(t, p.Broken)
			for i, s := range p.Stations {
				require.InDelta(t, float64(i)*p.StepMM, s.ArcMM, 1e-6)
				require.InDelta(t, s.TopZ-s.BackZ, s.WidthMM, 2e-6)
				if p.Top.FlatFromMM == 0 {
					d := math.Hypot(s.X-p.Top.ApexX, s.Y-p.Top.ApexY)
					require.InDelta(t, -(p.Top.RadiusMM - math.Sqrt(p.Top.RadiusMM*p.Top.RadiusMM-d*d)), s.TopZ, 2e-6)
				}
				if p.Back.Shape == "sphere" {
					d := math.Hypot(s.X-p.Back.ApexX, s.Y)
					require.InDelta(t, p.Back.ApexZ+p.Back.RadiusMM-math.Sqrt(p.Back.RadiusMM*p.Back.RadiusMM-d*d), s.BackZ, 2e-6)
				}
			}
			require.InDelta(t, p.PerimeterMM, p.Side.Halves[0].Outside+p.Side.Halves[1].Outside, 1e-5)
			for _, width := range []int{40, 80, 120} {
				o := picture.Look{Width: width}
				for _, f := range r.Pictures(figure.SizeOf(o, 40)) {
					for _, line := range strings.Split(f.Characters(o), "\n") {
						require.LessOrEqual(t, len([]rune(line)), width, "%s", line)
					}
				}
			}
			first, err := json.Marshal(p)
			require.NoError(t, err)
			again, err := json.Marshal(sample(t, name).Report)
			require.NoError(t, err)
			require.Equal(t, string(first), string(again))
			for _, paper := range []string{"a4", "letter"} {
				sheet, err := sides.PaperNamed(paper)
				require.NoError(t, err)
				files, err := r.Files(sheet)
				require.NoError(t, err)
				require.Greater(t, len(files), 6)
			}
			require.Equal(t, len(p.Stations)+1, strings.Count(string(r.CSV()), "\n"))
		})
	}
}

func TestFaults(t *testing.T) {
	text, f := circleJob("")
	f["bad.csv"] = "x_mm,y_mm\n0,0\n1,x\n"
	f["open.csv"] = "x_mm,y_mm\n0,0\n100,100\n200,120\n300,20\n"
	f["cross.csv"] = "x_mm,y_mm\n0,0\n100,100\n300,120\n200,130\n110,40\n400,0\n"
	f["heights.csv"] = "arc_mm,top_mm\n0,90\n9000,91\n"
	f["back.csv"] = "arc_mm,top_mm\n10,90\n5,91\n"
	f["none.csv"] = "arc_mm,top_mm\n"
	f["two.svg"] = "<svg><path d='M0 0L1 1'/><path d='M0 0L1 1'/></svg>"
	brace := func(from, to string) [2]string {
		return [2]string{"sides:", "braces: {b: {from: " + from + ", to: " + to + ", width: 8 mm, end height: 3 mm}}\nsides:"}
	}
	for _, tt := range []struct {
		swap          [2]string
		file, message string
	}{
		{[2]string{"round.csv", "absent.csv"}, "r.yaml", "no such file"},
		{[2]string{"round.csv", "bad.csv"}, "bad.csv", "no number"},
		{[2]string{"round.csv", "open.csv"}, "open.csv", "the outline is open"},
		{[2]string{"round.csv", "cross.csv"}, "cross.csv", "crosses itself"},
		{[2]string{"{file: round.csv}", "{file: two.svg, scale: 1 mm}"}, "two.svg", "a second path"},
		{[2]string{"{file: round.csv}", "{path: M0 0L1, scale: 1 mm}"}, "r.yaml", "at character 7 of the path"},
		{[2]string{"{file: round.csv}", "{path: M0 0L1 1M0 0L5 5, scale: 1 mm}"}, "r.yaml", "2 parts"},
		{[2]string{"{file: round.csv}", "{path: M0 0L0 1L1 1L0 0, scale: 1 mm}"}, "r.yaml", "its tail"},
		{[2]string{"{file: round.csv}", "{path: M0 0A200 200 0 0 1 400 0, scale: 1 m}"}, "r.yaml", "more than 100000 points"},
		{[2]string{"{file: round.csv}", "{path: M0 0A200 200 0 0 1 400 0, scale: 1 in}"}, "r.yaml", "right unit"},
		{[2]string{"25 ft", "200 mm"}, "r.yaml", "does not reach"},
		{[2]string{"radius: flat", "radius: 200 mm"}, "r.yaml", "does not reach"},
		{[2]string{"radius: flat", "radius: 15 ft, apex: 150 mm"}, "r.yaml", "they put its apex"},
		{[2]string{"head: 90 mm", "head: 13 mm"}, "r.yaml", "narrower than the lining"},
		{[2]string{"width: 6 mm", "width: 99 mm"}, "r.yaml", "leave no room"},
		{[2]string{"apex: 200 mm", "apex: 200 mm, flat above: 210 mm from tail"}, "r.yaml", "before the apex"},
		{[2]string{"apex: 200 mm", "apex: 200 mm, flat above: 600 mm from tail"}, "r.yaml", "the body is 400 mm long"},
		{[2]string{"apex: 200 mm", "apex: -50 mm, flat above: 30 mm from tail"}, "r.yaml", "no part of the rim is left to the dome"},
		{[2]string{"apex: 200 mm", "apex: 200 mm, flat above: 300 mm, flat lean: 0.8 deg"}, "r.yaml", "does not lie below the dome at X"},
		{[2]string{"apex: 200 mm", "apex: 200 mm, flat above: 300 mm, flat lean: 3 deg, blend: 20 mm"}, "r.yaml", "nothing to blend"},
		{[2]string{"sides:", "blocks: {head: 250 mm, tail: 200 mm}\nsides:"}, "r.yaml", "longer than the body"},
		{[2]string{"sides:", "start: {file: heights.csv}\nsides:"}, "heights.csv", "beyond the rim"},
		{[2]string{"sides:", "start: {file: back.csv}\nsides:"}, "back.csv", "does not follow"},
		{[2]string{"sides:", "start: {file: none.csv}\nsides:"}, "r.yaml", "holds no heights"},
		{[2]string{"sides:", "measured: {left waist: 90 mm}\nsides:"}, "r.yaml", "no left waist"},
		{brace("[900 mm, 1 mm]", "[900 mm, 50 mm]"), "r.yaml", "misses the rim"},
		{brace("[200 mm, 1 mm]", "[200 mm, 200 mm]"), "r.yaml", "off the outline"},
	} {
		t.Run(tt.message+" "+tt.swap[1], func(t *testing.T) {
			_, err := run(strings.Replace(text, tt.swap[0], tt.swap[1], 1), f)
			var faults strict.Faults
			require.True(t, errors.As(err, &faults), "%v", err)
			require.Contains(t, faults[0].Message, tt.message)
			require.Equal(t, tt.file, faults[0].File)
			require.Positive(t, faults[0].Line)
			require.NotEmpty(t, faults[0].Hint)
		})
	}
}

// What is worth knowing is said, and a rim that is too low breaks a bound.
func TestWarnings(t *testing.T) {
	text, f := circleJob("start: {flat: 89.5 mm}\ndish: {radius: 15 ft, diameter: 410 mm}\nplate: {radius: 15 ft}\nglue: {open time: 30 s}\nmeasured: {head: 89 mm, tail: 91 mm}\n")
	r, err := run(strings.Replace(text, "apex: 200 mm", "apex: 420 mm", 1), f)
	require.NoError(t, err)
	require.Len(t, r.Report.Broken, 1)
	require.Contains(t, r.Report.Broken[0].String(), "too low")
	var kinds []string
	for _, w := range r.Report.Warnings {
		kinds = append(kinds, w.Kind)
		require.NotEmpty(t, w.Hint)
	}
	require.ElementsMatch(t, []string{"too-low", "swing", "dish-radius", "open-time", "apex-outside"}, kinds)
	require.Equal(t, "tail", r.Report.Attitude.Press)
	require.InDelta(t, 2, r.Report.Attitude.PressMM, 1e-6)
	require.InDelta(t, 5, r.Report.Tool.ReachMM, 0.1)
	// Inches where feet are meant.
	text, f = circleJob("")
	r, err = run(strings.Replace(text, "radius: 25 ft", "radius: 28 in", 1), f)
	require.NoError(t, err)
	require.Equal(t, "radius", r.Report.Warnings[len(r.Report.Warnings)-1].Kind)
	require.Contains(t, r.Report.Warnings[len(r.Report.Warnings)-1].Hint.String(), "feet in place of inches")
}

// Any sensible job is worked out or refused with a place and a hint.
func TestRandomRims(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := func(name string, least, most float64) string {
			return fmt.Sprintf("%.2f mm", rapid.Float64Range(least, most).Draw(t, name))
		}
		text := "form: rim\n" + fmt.Sprintf("outline: {upper bout: %s, waist: %s, lower bout: %s, length: %s}\n", mm("upper", 120, 300), mm("waist", 90, 280), mm("lower", 130, 420), mm("length", 200, 520)) +
			fmt.Sprintf("top: {radius: %s, apex: [%s, %s], shape: %s%s}\n", mm("radius", 200, 12000), mm("apex", -50, 500), mm("off", -30, 30), rapid.SampledFrom([]string{"sphere", "cylinder across", "cylinder along"}).Draw(t, "shape"),
				rapid.SampledFrom([]string{"", "", ", flat above: " + mm("flat", 100, 500), fmt.Sprintf(", flat above: %s, flat lean: %.2f deg", mm("flat", 100, 500), rapid.Float64Range(0, 6).Draw(t, "lean"))}).Draw(t, "flats")) +
			rapid.SampledFrom([]string{"back: {radius: flat}\n", "back: {radius: 15 ft}\n", "back: {radius: 12 ft, shape: cylinder across}\n", "back: {radius: 9 ft, shape: cylinder along}\n"}).Draw(t, "back") +
			fmt.Sprintf("depth: {head: %s, tail: %s}\nlining: {width: %s, height: %s}\nblocks: {head: %s, tail: %s}\n", mm("head", 20, 120), mm("tail", 20, 120), mm("width", 0, 12), mm("height", 0, 20), mm("block", 10, 90), mm("tail block", 5, 40)) +
			rapid.SampledFrom([]string{"start: {flat: 110 mm}\n", "start: {flat: 110 mm}\nsaw to: 3 mm\nside boards: {width: 120 mm, length: 700 mm}\n", "start: {allowance: 2 mm}\n", ""}).Draw(t, "start") +
			rapid.SampledFrom([]string{"plate: {radius: 20 ft}\n", "plate: {radius: flat}\n", ""}).Draw(t, "plate") +
			fmt.Sprintf("braces: {b: {from: [%s, %s], to: [%s, %s], width: 8 mm, end height: 3 mm}}\n", mm("x0", 20, 400), mm("y0", -150, -60), mm("x1", 20, 400), mm("y1", 60, 150))
		r, err := run(text, nil)
		if err != nil {
			var faults strict.Faults
			require.True(t, errors.As(err, &faults), "%v", err)
			for _, f := range faults {
				require.True(t, f.Line > 0 && f.Hint != "", "%+v\n%s", f, text)
			}
			return
		}
		data, err := json.Marshal(r.Report) // a number that is none has no JSON
		require.NoError(t, err, text)
		require.NotEmpty(t, data)
		sheet, err := sides.PaperNamed("a4")
		require.NoError(t, err)
		_, err = r.Files(sheet)
		require.NoError(t, err, text)
		r.Pictures(figure.Page)
	})
}

func BenchmarkWholeReport(b *testing.B) {
	data, _ := samples.Get("parlour-cutaway")
	text := strings.Replace(string(data), "trim:", "step: 0.7 mm\ntrim:", 1)
	for b.Loop() {
		r, err := run(text, nil)
		if err != nil {
			b.Fatal(err)
		}
		r.Plan(figure.Page)
	}
}

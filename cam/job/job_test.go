package job_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dishwright/cam"
	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/machines"
	"dishwright/samples"

	"github.com/stretchr/testify/require"
)

// short is a job of the keys that must stand, each on its own line.
const short = `radius: 25 ft
diameter: 500 mm
blank: {size: 550 mm, thickness: 25 mm}
machine: bench-600
`

// ball is a cutter as a job writes it.
const ball = "{shape: ball, diameter: 1/2 in, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}"

func load(t testing.TB, text string) job.Job {
	t.Helper()
	j, err := job.Load("job.yaml", []byte(text))
	require.NoError(t, err)
	return j
}

// faults loads a job that must be faulty and returns its faults.
func faults(t testing.TB, text string) strict.Faults {
	t.Helper()
	j, err := job.Load("job.yaml", []byte(text))
	var fs strict.Faults
	require.ErrorAs(t, err, &fs, "%s", text)
	require.Equal(t, job.Job{}, j, "nothing comes with an error")
	return fs
}

// with replaces the line of a key in short, or adds it.
func with(key, value string) string {
	line := key + ": " + value
	lines := strings.Split(short, "\n")
	for i, l := range lines {
		if strings.HasPrefix(l, key+":") {
			lines[i] = line
			return strings.Join(lines, "\n")
		}
	}
	return short + line + "\n"
}

// TestShortest: a job of four lines is enough, and what it took is told.
func TestShortest(t *testing.T) {
	j := load(t, short)
	w := j.Work
	require.Equal(t, "dish", j.Form.Word())
	require.Equal(t, "dish", w.Name)
	require.Equal(t, "25 ft", j.Radius.String())
	require.Equal(t, "500 mm", j.Diameter.String())
	require.Equal(t, dish.Face{Kind: dish.Hollow, Radius: 7620, Rim: 250}, w.Face)
	require.Equal(t, dish.Blank{Shape: dish.Square, Length: 550, Width: 550, Thickness: 25}, w.Blank)
	require.Equal(t, []any{"mdf", 8.0, false, 0.05, 0.1, 0.4, work.Auto, work.Both, work.Auto, work.Auto, 0.0, 7620.0},
		[]any{w.Material, w.Floor, w.ZeroAtBed, w.ZeroError, w.Scallop, w.Allowance, w.Pattern, w.Direction, w.Rough, w.Finish, w.Covering, w.Wanted})
	require.Equal(t, "bench-600", w.Machine.Name)
	require.Empty(t, w.HoldDowns)
	require.Empty(t, j.Warnings)
	require.Len(t, w.Shelf, 2)
	for _, c := range w.Shelf {
		require.InDelta(t, 3*math.Pi/180, c.Ramp, 1e-15)
		require.Equal(t, c.Speed, c.FastestSpeed)
		require.Equal(t, 12.7, c.Shank)
		require.Equal(t, 35.0, c.StickOut)
	}
	require.InDelta(t, 0.3*12.7, w.Shelf[0].Core, 1e-12)
	require.Zero(t, w.Shelf[1].Core)
	taken := map[string]string{}
	for _, d := range j.Defaults {
		require.NotContains(t, taken, d.Key)
		require.NotEmpty(t, d.Why, d.Key)
		taken[d.Key] = d.Value
	}
	require.Equal(t, map[string]string{"name": "dish", "form": "dish", "blank shape": "square", "blank material": "mdf", "floor": "8 mm",
		"spindle tilt": "0.05 mm per 100 mm", "undersize": "0.05 mm", "zero": "centre-top", "zero error": "0.05 mm", "scallop": "0.1 mm", "allowance": "0.4 mm", "pattern": "auto", "direction": "both",
		"shelf": "half-inch flat, half-inch ball", "rough": "auto", "finish": "auto"}, taken)
}

// TestEveryKey: each key is read into its place, and nothing is left to default.
func TestEveryKey(t *testing.T) {
	j := load(t, `name: a caul
form: caul
radius: 4 m
diameter: 38 cm
covering: 1.5 mm
blank: {shape: rectangle, length: 500 mm, width: 450 mm, thickness: 1 1/4 in, material: plywood}
floor: 18 mm
hold downs:
  - {x: 230 mm, y: -200 mm, radius: 8 mm, height: 6 mm}
  - {x: -230 mm, y: 200 mm, radius: 1/4 in, height: 0 mm}
machine: wide-1250
zero: centre-bed
zero error: 0.02 mm
scallop: 0.05 mm
pattern: raster
direction: along y
shelf:
  one: {shape: bull, diameter: 20 mm, corner: 3 mm, flutes: 3, flute length: 30 mm, speed: 12000, chip load: 0.08 mm, depth of cut: 2.5 mm, shank: 10 mm, stick out: 45 mm, fastest speed: 15000, core: 4 mm, ramp: 2 deg}
  two: `+ball+`
rough: one
finish: two
allowance: 0.3 mm
spindle tilt: 0.1 mm per 100 mm
undersize: 0.02 mm
`)
	w := j.Work
	require.Equal(t, "caul", j.Form.Word())
	require.Equal(t, []float64{0.001, 0.02}, []float64{w.Tilt, w.Undersize})
	require.Equal(t, dish.Face{Kind: dish.Crown, Radius: 3998.5, Rim: 190}, w.Face)
	require.Equal(t, 4000.0, w.Wanted)
	require.Equal(t, dish.Blank{Shape: dish.Rectangle, Length: 500, Width: 450, Thickness: 31.75}, w.Blank)
	require.Equal(t, []path.Obstacle{{X: 230, Y: -200, Radius: 8, Height: 6}, {X: -230, Y: 200, Radius: 6.35}}, w.HoldDowns)
	require.Equal(t, []any{"a caul", "plywood", 18.0, true, 0.02, 0.05, "raster", work.AlongY, "one", "two", 0.3, 1.5},
		[]any{w.Name, w.Material, w.Floor, w.ZeroAtBed, w.ZeroError, w.Scallop, w.Pattern, w.Direction, w.Rough, w.Finish, w.Allowance, w.Covering})
	one := w.Shelf[0]
	one.Ramp = math.Round(one.Ramp * 1e9)
	require.Equal(t, path.Cutter{Name: "one", Shape: path.Bull, Diameter: 20, Corner: 3, Flutes: 3, FluteLength: 30, Shank: 10, StickOut: 45,
		Speed: 12000, FastestSpeed: 15000, ChipLoad: 0.08, DepthOfCut: 2.5, Core: 4, Ramp: math.Round(2e9 * math.Pi / 180)}, one)
	// The second says nothing of its shank: the widest collet that is no wider.
	require.Equal(t, 12.7, w.Shelf[1].Shank)
	require.Len(t, j.Defaults, 1)
	require.Equal(t, "shelf, two", j.Defaults[0].Key)
	require.Equal(t, "shank 12.7 mm, stick out 35 mm, core 0 mm, ramp 3 deg", j.Defaults[0].Value)
}

// TestBlanks: each outline with its own sizes.
func TestBlanks(t *testing.T) {
	for text, want := range map[string]dish.Blank{
		"{shape: square, size: 550 mm, thickness: 25 mm}":                  {Shape: dish.Square, Length: 550, Width: 550, Thickness: 25},
		"{shape: octagon, size: 22 in, thickness: 1 in}":                   {Shape: dish.Octagon, Length: 558.8, Width: 558.8, Thickness: 25.4},
		"{shape: round, diameter: 600 mm, thickness: 25 mm}":               {Shape: dish.Round, Length: 600, Width: 600, Thickness: 25},
		"{diameter: 600 mm, thickness: 25 mm}":                             {Shape: dish.Round, Length: 600, Width: 600, Thickness: 25},
		"{length: 600 mm, width: 550 mm, thickness: 25 mm}":                {Shape: dish.Rectangle, Length: 600, Width: 550, Thickness: 25},
		"{shape: rectangle, length: 55 cm, width: 0.6 m, thickness: 3 cm}": {Shape: dish.Rectangle, Length: 550, Width: 600, Thickness: 30},
	} {
		require.Equal(t, want, load(t, with("blank", text)).Work.Blank, text)
	}
}

// TestCovering: the wood under a hollow is cut wider by the covering, under a
// crown narrower, so that the covering's own face has the radius asked for.
func TestCovering(t *testing.T) {
	hollow := load(t, short+"covering: 0.6 mm\n").Work
	crown := load(t, short+"covering: 0.6 mm\nform: caul\n").Work
	require.InDelta(t, 7620.6, hollow.Face.Radius, 1e-9)
	require.InDelta(t, 7619.4, crown.Face.Radius, 1e-9)
	for _, w := range []work.Work{hollow, crown} {
		require.Equal(t, 7620.0, w.Wanted)
		require.Equal(t, 0.6, w.Covering)
	}
}

// TestShank: where a cutter does not say, the widest collet that is no wider
// than it, or the narrowest of all; a stated shank without a collet is a
// problem found by package cam, at the key.
func TestShank(t *testing.T) {
	for diameter, want := range map[string]float64{"1/2 in": 12.7, "12 mm": 6.35, "6.35 mm": 6.35, "6.2 mm": 6, "3 mm": 6, "1 in": 12.7} {
		c := strings.Replace(ball, "1/2 in", diameter, 1)
		require.Equal(t, want, load(t, short+"shelf: {one: "+c+"}\n").Work.Shelf[0].Shank, diameter)
	}
	j := load(t, short+"shelf:\n  one: "+strings.Replace(ball, "}", ", shank: 8 mm}", 1)+"\nfinish: one\n")
	f := problems(t, j)
	require.Len(t, f, 1)
	require.Contains(t, f[0].Message, "bench-600 has no collet for the shank of one, 8 mm")
	require.Equal(t, 6, f[0].Line)
	require.Equal(t, "8 mm", at(t, "shelf:\n  one: "+strings.Replace(ball, "}", ", shank: 8 mm}", 1), 2, f[0].Column, 4))
}

// at returns n characters of a text at a line and column.
func at(t *testing.T, text string, line, column, n int) string {
	t.Helper()
	l := strings.Split(text, "\n")[line-1]
	return l[column-1 : min(column-1+n, len(l))]
}

// problems returns what package cam finds, at the places of the job.
func problems(t *testing.T, j job.Job) strict.Faults {
	t.Helper()
	ps := cam.Feasible(work.Whole(&j.Work))
	require.NotEmpty(t, ps)
	var fs strict.Faults
	require.ErrorAs(t, j.Locate(ps), &fs)
	return fs
}

// TestLocate: each problem of package cam comes back at the value that it is about.
func TestLocate(t *testing.T) {
	text := `radius: 25 ft
diameter: 560 mm
blank: {size: 650 mm, thickness: 11 mm}
machine: bench-600
hold downs:
  - {x: 300 mm, y: 300 mm, radius: 8 mm, height: 6 mm}
  - {x: 100 mm, y: 0 mm, radius: 8 mm, height: 6 mm}
shelf:
  one/two: ` + strings.Replace(ball, "16000", "4000", 1) + `
finish: one/two
allowance: 0.01 mm
`
	j := load(t, text)
	found := map[string]string{}
	for _, f := range problems(t, j) {
		require.Equal(t, "job.yaml", f.File)
		require.NotEmpty(t, f.Hint, f.Message)
		found[at(t, text, f.Line, f.Column, 6)] += f.Message
	}
	require.Contains(t, found["11 mm}"], "less than the floor of 8 mm")
	require.Contains(t, found["{x: 10"], "the hold-down at X100 Y0 mm stands on the face")
	require.Contains(t, found["4000, "], "cannot run slowly enough for one/two")
	require.Contains(t, found["0.01 m"], "does not cover a zero that may be off by 0.05 mm")
	require.Len(t, found, 4)
	// A key that stands nowhere is at the key above it, or at the start.
	for key, want := range map[work.Key]string{"blank/length": "{size:", "shelf/one/two/core": "{shape", "nothing/at all": "radius", "hold downs/7": "- {x: "} {
		var fs strict.Faults
		require.ErrorAs(t, j.Locate(work.Problems{{Key: key, Message: measure.Say("m")}}), &fs)
		require.Equal(t, want, at(t, text, fs[0].Line, fs[0].Column, 6), key)
	}
	other := errors.New("another error")
	require.Equal(t, other, j.Locate(other))
}

// TestUnitsComeBack: radius and diameter come back as they were written.
func TestUnitsComeBack(t *testing.T) {
	for _, text := range []string{"25 ft", "7.62 m", "762 cm", "7620 mm", "300 in", "24 ft 6 in", "299 1/2 in", "7620.000 mm"} {
		require.Equal(t, text, load(t, with("radius", text)).Radius.String())
	}
	for _, text := range []string{"500 mm", "50 cm", "0.5 m", "20 in", "19 3/4 in", "1 ft 7 1/2 in"} {
		require.Equal(t, text, load(t, with("diameter", text)).Diameter.String())
	}
}

// TestMachineBesideTheJob: a profile's path is relative to the job file.
func TestMachineBesideTheJob(t *testing.T) {
	dir := t.TempDir()
	text, ok := machines.ProfileText("bench-600")
	require.True(t, ok)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mine.yaml"), text, 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "broken.yaml"), []byte("name: x\ntravel: {x: 600, y: 600 mm}\n"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "binary.yaml"), []byte("\x00\x01"), 0o600))
	file := filepath.Join(dir, "job.yaml")
	j, err := job.Load(file, []byte(with("machine", "mine.yaml")))
	require.NoError(t, err)
	require.Equal(t, "bench-600", j.Work.Machine.Name)
	for name, want := range map[string][]string{
		"broken.yaml": {"broken.yaml:2:13: x: \"600\" has no unit", "the key \"z\" is missing", "the key \"feed\" is missing"},
		"binary.yaml": {"binary.yaml:1:1: this holds a zero byte"},
		"absent.yaml": {"absent.yaml: there is no such file"},
		"./":          {"this is a folder, not a file"},
	} {
		_, err := job.Load(file, []byte(with("machine", name)))
		var fs strict.Faults
		require.ErrorAs(t, err, &fs, name)
		for i, f := range fs {
			require.Equal(t, strict.Pos{Line: 4, Column: 10}, strict.Pos{Line: f.Line, Column: f.Column}, "at the name in the job")
			require.Equal(t, file, f.File)
			if i < len(want) {
				require.True(t, strings.HasPrefix(f.Message, "profile "+dir))
			}
		}
		for _, part := range want {
			require.Contains(t, fs.Error(), part)
		}
	}
}

// TestSamples: every sample is a good job, in which each of its keys is used.
func TestSamples(t *testing.T) {
	for _, name := range samples.Names() {
		data, _ := samples.Get(name)
		if slices.Contains(samples.Rims(), name) {
			_, err := job.LoadRim(name+".yaml", data)
			require.NoError(t, err, name)
			continue
		}
		j, err := job.Load(name+".yaml", data)
		require.NoError(t, err, name)
		if !j.Work.HasFace() {
			require.Empty(t, work.GaugeProblems(&j.Work), name)
			continue
		}
		piece := work.Whole(&j.Work)
		if piece.Setups.Count != 0 { // one that the machine cannot cut in one
			require.NotEmpty(t, cam.Feasible(piece), name)
			piece = piece.In(work.Layouts(work.Whole(&j.Work))[0][0])
		}
		require.Empty(t, cam.Feasible(piece), name)
	}
	require.LessOrEqual(t, strings.Count(short, "\n"), 10)
}

// TestTiltAndUndersize: both keys, the tilt also as an angle; what a builder owns by
// default, told with its reason, and a square spindle only where it is asked for.
func TestTiltAndUndersize(t *testing.T) {
	j := load(t, short)
	require.Equal(t, 0.0005, j.Work.Tilt)
	require.Equal(t, 0.05, j.Work.Undersize)
	told := map[string]string{}
	for _, d := range j.Defaults {
		told[d.Key] = d.Why
	}
	require.Contains(t, told["spindle tilt"], "0 mm per 100 mm")
	require.Contains(t, told["undersize"], "0 mm")
	j = load(t, short+"spindle tilt: 0 mm per 100 mm\nundersize: 0 mm\n")
	require.Zero(t, j.Work.Tilt)
	require.Zero(t, j.Work.Undersize)
	for _, d := range j.Defaults {
		require.NotContains(t, []string{"spindle tilt", "undersize"}, d.Key)
	}
	w := load(t, short+"spindle tilt: 0.1 mm per 100 mm\nundersize: 0.1 mm\n").Work
	require.Equal(t, 0.001, w.Tilt)
	require.Equal(t, 0.1, w.Undersize)
	w = load(t, short+"spindle tilt: 0.05 deg\nundersize: 0 mm\n").Work
	require.InDelta(t, math.Tan(0.05*math.Pi/180), w.Tilt, 1e-15)
	require.Zero(t, w.Undersize)
}

// A pattern that is no longer made is left to the planner, with a warning; it is no word that
// a job is offered.
func TestFormerPatterns(t *testing.T) {
	for _, form := range []string{"", "form: caul\n"} {
		j := load(t, short+form+"pattern: gores\ndirection: uphill\n")
		require.Equal(t, work.Auto, j.Work.Pattern)
		require.Equal(t, work.Uphill, j.Work.Direction)
		require.Len(t, j.Warnings, 1)
		require.Equal(t, "former-pattern", j.Warnings[0].Kind)
		require.Contains(t, j.Warnings[0].Message.String(), "gores are no longer made")
	}
	require.NotContains(t, faults(t, short+"pattern: gore\n").Error(), "gores")
}

// A name that someone else wrote is made fit to be shown, and never refused for its
// signs.
func TestNamesAreMadeFit(t *testing.T) {
	for written, want := range map[string]string{
		`"a\nb"`:                      "a b",
		`"\x07bell\x1b[31m"`:          "bell[31m",
		`"\u202Eright\u2066 to left"`: "right to left",
		`"  blanks\t\tat its ends "`:  "blanks at its ends",
		strings.Repeat("n", 10_000):   strings.Repeat("n", 200) + "...",
		`"<script>alert(1)</script>"`: "<script>alert(1)</script>",
		`"اسم 🎻"`:                     "اسم 🎻",
	} {
		j := load(t, short+"name: "+written+"\n")
		require.Equal(t, want, j.Work.Name)
		warned := len(j.Warnings) > 0 && j.Warnings[0].Kind == "name"
		require.Equal(t, want != strings.Trim(written, `"`), warned, written)
	}
	require.NotEmpty(t, faults(t, short+"name: \"\\u200b\\n\"\n"))
}

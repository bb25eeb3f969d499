package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/dish/measure"
	"dishwright/samples"
)

// said runs the program and returns what it writes.
func said(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	require.Zero(t, run(args, strings.NewReader(""), &out, &errs), "%v: %s", args, errs.String())
	return out.String()
}

var (
	inMM     = regexp.MustCompile(`(?:^|[\s(XYZ-])[0-9][0-9./]* mm\b`)
	inInches = regexp.MustCompile(`(?:^|[\s(XYZ])[0-9][0-9./]* in\b`)
	styles   = regexp.MustCompile(`(?s)<style>.*?</style>`)
	drawn    = regexp.MustCompile(`(?s)<(?:text|title|desc)\b.*?</`)
	bars     = strings.NewReplacer("50 mm: measure it on the print", "", "2 in<", "<") // of both rules
)

// pure finds a length in the other unit in what is told of a sample; sizes as its builder wrote
// them are none.
func pure(t *testing.T, what, text, sample string, stray *regexp.Regexp) {
	if _, ok := samples.Get(sample); ok {
		for _, own := range nominal(t, sample, stray) {
			text = strings.ReplaceAll(text, own, " ")
		}
	}
	if at := stray.FindStringIndex(text); at != nil {
		t.Errorf("%s: stray: %s", what, text[max(0, at[0]-60):min(len(text), at[1]+20)])
	}
}

// nominal are the lengths of a job as its builder wrote them, in millimetres or not.
func nominal(t *testing.T, sample string, stray *regexp.Regexp) (list []string) {
	data, ok := samples.Get(sample)
	require.True(t, ok)
	return stray.FindAllString(string(data), -1)
}

// What is told of a job in inches on a machine in inches has no millimetre in it, and the other
// way round: reports, the programs' own comments, the list of what is done and the sheet. Sizes
// as the builder wrote them stay.
func TestOneUnit(t *testing.T) {
	readings := filepath.Join(t.TempDir(), "readings.csv")
	require.NoError(t, os.WriteFile(readings, []byte("x_in,depth_in\n-8,0.0\n-4,0.08\n0,0.107\n4,0.08\n8,0.0\n"), 0o666))
	widths := filepath.Join(t.TempDir(), "widths.csv")
	require.NoError(t, os.WriteFile(widths, []byte("round,tail_mm,head_mm\n0,57,52\n1,55.9,51.2\n2,54.6,53\n3,53.5,49.5\n"), 0o666))
	for _, one := range []struct {
		stray *regexp.Regexp
		calls []string
	}{
		{inMM, []string{"check ukulele-inches", "check ukulele-inches --full", "compare ukulele-inches --full", "preview ukulele-inches", "make ukulele-inches -o DIR", "readings ukulele-inches --travel 1/2_in -o DIR", "readings ukulele-inches --of top --travel 1/2_in -o DIR",
			"rim ukulele-sides", "rim ukulele-sides --full", "rim mandola-sides --units in --log " + widths, "rim ukulele-sides -o DIR", "machines inch-24", "machines --units in", "check octave-mandolin --units in", "sagitta --radius 25_ft --chord 24_in --step 1_in",
			"scallop --cutter flat --diameter 1_in --radius 28_ft --at 12_in --step 1/2_in", "fit " + readings + " --radius 25_ft --full", "fit " + readings + " --radius 25_ft --sheet DIR.html", "fit " + readings + " --radius 25_ft --against ukulele-inches --limit 1/16_in"}},
		{inInches, []string{"check hand-board", "check octave-mandolin --full", "preview octave-mandolin", "make octave-mandolin -o DIR", "readings octave-mandolin --travel 10_mm -o DIR", "rim mandola-sides --full", "rim mandola-sides --log " + widths, "rim mandola-sides -o DIR", "machines",
			"check ukulele-inches --units mm", "sagitta --radius 25_ft --chord 600_mm --step 50_mm", "scallop --cutter ball --diameter 12_mm --radius 7.6_m --at 200_mm --scallop 0.1_mm"}},
	} {
		for _, call := range one.calls {
			dir := filepath.Join(t.TempDir(), "set")
			args := strings.Fields(strings.Replace(call, "DIR", dir, 1))
			for i, a := range args {
				args[i] = strings.ReplaceAll(a, "_", " ")
			}
			if args[0] == "fit" {
				args[1] = readings
			}
			texts := map[string]string{"the answer": said(t, args...)}
			files, err := filepath.Glob(filepath.Join(dir, "*"))
			require.NoError(t, err)
			sheets, err := filepath.Glob(dir + ".html")
			require.NoError(t, err)
			for _, f := range append(files, sheets...) {
				data, err := os.ReadFile(f)
				require.NoError(t, err)
				text := styles.ReplaceAllString(string(data), "")
				if strings.HasSuffix(f, ".svg") {
					text = bars.Replace(strings.Join(drawn.FindAllString(text, -1), "\n"))
				}
				texts[filepath.Base(f)] = text
			}
			for name, text := range texts {
				pure(t, call+": "+name, text, append(args, "")[1], one.stray)
			}
		}
	}
}

// So it is of what is wrong: jobs that are refused, a program that goes on, and findings of one
// that was changed.
func TestOneUnitOfFaults(t *testing.T) {
	told := func(sample string, stray *regexp.Regexp, code int, args ...string) {
		var out, errs bytes.Buffer
		require.Equal(t, code, run(args, strings.NewReader(""), &out, &errs), "%v: %s", args, errs.String())
		text := out.String() + errs.String()
		if set := args[len(args)-1]; code == 2 {
			text = strings.ReplaceAll(text, set, "")
		}
		pure(t, strings.Join(args, " "), text, sample, stray)
	}
	for sample, sets := range map[string][]string{
		"ukulele-inches": {"hold downs=[{x: 5 in, y: 5 in, radius: 1/2 in, height: 1/2 in}]", "hold downs=[{x: 90 in, y: 7 in}]", "obstacles=[{x: 5 in, y: 5 in, radius: 1/2 in, height: 1 in}]", "blank/size=13 in",
			"blank/thickness=0.3 in", "land=3 in", "extras={cut out: {tabs: 4, shape: square, size: 13 in}}", "spindle tilt=3 in per 10 in", "undersize=1/2 in", "shelf/three-quarter flat/shank=3/8 in", "shelf/three-quarter flat/corner=1/4 in",
			"shelf/three-quarter flat/depth of cut=3 in", "setups=4", "covering layout={}", "form=board", "form=gauge", "allowance=0.0001 in", "radius=6 in"},
		"octave-mandolin": {"hold downs=[{x: 120 mm, y: 120 mm, radius: 12 mm, height: 12 mm}]", "land=80 mm", "form=board", "setups=4", "radius=150 mm"},
	} {
		stray := map[bool]*regexp.Regexp{true: inMM, false: inInches}[sample == "ukulele-inches"]
		for _, set := range sets {
			told(sample, stray, 2, "check", sample, "--set", set)
		}
	}
	const sample = "ukulele-inches"
	dir := filepath.Join(t.TempDir(), "set")
	said(t, "make", sample, "-o", dir)
	programs, err := filepath.Glob(filepath.Join(dir, "*.ngc"))
	require.NoError(t, err)
	last := programs[len(programs)-1]
	text, err := os.ReadFile(last)
	require.NoError(t, err)
	told(sample, inMM, 0, "resume", sample, "--program", last, "--line", fmt.Sprint(bytes.Count(text, []byte("\n"))-40), "-o", filepath.Join(dir, "rest.ngc"))
	bad := regexp.MustCompile(`(Z-|F)([0-9.]+)`).ReplaceAll(text, []byte("${1}9$2")) // deeper and faster
	require.NoError(t, os.WriteFile(last, bad, 0o666))
	told(sample, inMM, 1, append([]string{"prove", "--job", sample}, programs...)...)
}

// Whoever reads an answer reads a screen of it: 25 lines, of a face in setups for each of them, and
// two for each warning of what can hurt beyond the third: those are never left out.
func TestAnswersAreShort(t *testing.T) {
	for _, name := range samples.Names() {
		data, _ := samples.Get(name)
		s := job.Source{File: name + ".yaml", Data: data}
		lines := func(args ...string) int { return strings.Count(said(t, args...), "\n") }
		if s.Form() == "rim" {
			require.LessOrEqual(t, lines("rim", name), 40, name)
			continue
		}
		j, err := s.Load()
		require.NoError(t, err)
		pieces := 1
		if j.Mate != nil {
			pieces = 2
		}
		told := said(t, "check", name)
		pieces = max(pieces, strings.Count(told, "\n  setup "))
		const unsafe = 2 // of the samples, the hand board has four
		require.LessOrEqual(t, strings.Count(told, "\n"), 25*pieces+2*unsafe, name)
	}
	require.LessOrEqual(t, strings.Count(said(t, "compare", "octave-mandolin"), "\n"), 25)
}

// The answer at the widths of a narrow window, of a terminal and of a wide one, for a person to
// read: UPDATE=1 writes it again.
func TestAnswerAtWidths(t *testing.T) {
	data, _ := samples.Get("octave-mandolin")
	j, err := job.Load("octave-mandolin.yaml", data)
	require.NoError(t, err)
	for _, u := range []measure.Ruler{{}, {Inches: true}} {
		j.Ruler = u
		r, err := shop.Run(context.Background(), j)
		require.NoError(t, err)
		for _, width := range []int{60, 80, 120} {
			var b bytes.Buffer
			r.Answer().Text(&b, width)
			for _, line := range strings.Split(b.String(), "\n") {
				require.LessOrEqual(t, len([]rune(line)), width)
			}
			file := filepath.Join("testdata", "answers", fmt.Sprintf("octave-mandolin-%s-%d.txt", u.Unit(), width))
			if os.Getenv("UPDATE") != "" {
				require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o777))
				require.NoError(t, os.WriteFile(file, b.Bytes(), 0o666))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			require.Equal(t, string(want), b.String())
		}
	}
}

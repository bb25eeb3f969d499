package job_test

import (
	"fmt"
	"strings"
	"testing"

	"dishwright/dish/measure/strict"

	"github.com/stretchr/testify/require"
)

// shelf returns a shelf of one cutter with a part of it replaced.
func shelf(from, to string) string {
	c := strings.Replace(ball, from, to, 1)
	return short + "shelf:\n  one: " + c + "\n"
}

// TestFaults: one fault each, with the text that stands where it is pointed at,
// the message and the hint.
func TestFaults(t *testing.T) {
	for _, c := range []struct{ name, text, at, message, hint string }{
		{"unknown key", short + "scalop: 0.1 mm\n", "scalop", `the key "scalop" is not known`, `did you mean "scallop"?`},
		{"unknown key, far off", short + "colour: red\n", "colour", `the key "colour" is not known`, "the nearest of "},
		{"key of a blank", with("blank", "{size: 550 mm, thicknes: 25 mm, thickness: 25 mm}"), "thicknes:", `"thicknes" is not known in "blank"`, `"thickness"`},
		{"key of a cutter", shelf("flutes: 2", "flutes: 2, flute: 2"), "flute: 2, fl", `"flute" is not known in "one"`, `"flutes"`},
		{"key twice", short + "radius: 20 ft\n", "radius: 20", `"radius" stands here again; it is on line 1 already`, "keep one"},
		{"no unit", with("radius", "25"), "25", `"25" has no unit`, "write the unit: 25 ft"},
		{"no number", with("radius", "wide"), "wide", "does not start with a plain number", "25 ft"},
		{"no value", with("radius", ""), "radius", `"radius" has no value`, "write radius:"},
		{"unknown unit", with("radius", "25 yd"), "25 yd", `the unit "yd", which is not known`, "mm, cm, m, in and ft"},
		{"minus look-alike", with("radius", "\u221225 ft"), "\u221225", "only looks like a plain character", "plain digits"},
		{"decimal comma", with("radius", "7,5 m"), "7,5", "decimal comma", "7.5 m"},
		{"exponent", with("radius", "1e4 mm"), "1e4", "exponent form", "write the number out"},
		{"not finite", with("radius", ".inf"), ".inf", "not a finite number", ""},
		{"negative radius", with("radius", "-25 ft"), "-25", "radius of -25 ft is out of range", "from 0.00329 ft to 328.08398 ft"},
		{"radius too large", with("radius", "101 m"), "101 m", "radius of 101 m is out of range", "to 100 m"},
		{"radius too small", with("radius", "250 mm"), "250 mm", "a sphere of radius 250 mm is not wide enough for a diameter of 500 mm", "a radius well above 250 mm"},
		{"covering eats the radius", with("radius", "251 mm") + "form: caul\ncovering: 1 mm\n", "251 mm", "not wide enough", ""},
		{"diameter 0", with("diameter", "0 mm"), "0 mm", "diameter of 0 mm is out of range", "from 20 mm to 3000 mm"},
		{"diameter in ft", with("diameter", "10 ft"), "10 ft", "diameter of 10 ft is out of range", "ft"},
		{"scallop 0", short + "scallop: 0 mm\n", "0 mm", "scallop of 0 mm is out of range", "from 0.005 mm to 2 mm"},
		{"scallop below 0", short + "scallop: -1 mm\n", "-1 mm", "scallop of -1 mm is out of range", "from 0.005 mm"},
		{"scallop too small", short + "scallop: 0.0049 mm\n", "0.0049", "scallop of 0.0049 mm is out of range", "from 0.005 mm"},
		{"scallop too large", short + "scallop: 1/8 in\n", "1/8", "scallop of 1/8 in is out of range", " in"},
		{"covering", short + "covering: 21 mm\n", "21 mm", "covering of 21 mm is out of range", "to 20 mm"},
		{"covering below 0", short + "covering: -0.1 mm\n", "-0.1", "out of range", "from 0 mm"},
		{"floor", short + "floor: 301 mm\n", "301 mm", "floor of 301 mm is out of range", "to 300 mm"},
		{"allowance", short + "allowance: 21 mm\n", "21 mm", "allowance of 21 mm is out of range", "to 20 mm"},
		{"zero error", short + "zero error: 3 mm\n", "3 mm", "zero error of 3 mm is out of range", "to 2 mm"},
		{"tilt without a length", short + "spindle tilt: 0.1 mm\n", "0.1 mm", "is a length, not a slope", "0.1 mm per 100 mm"},
		{"tilt without a unit", short + "spindle tilt: 0.1\n", "0.1", "has no unit", "0.1 mm per 100 mm or 0.05 deg"},
		{"tilt below 0", short + "spindle tilt: -0.1 mm per 100 mm\n", "-0.1", "below zero", "0.1 mm per 100 mm"},
		{"tilt too large", short + "spindle tilt: 2.1 mm per 100 mm\n", "2.1", "out of square is no use", "up to 2 mm per 100 mm"},
		{"tilt too large, an angle", short + "spindle tilt: 1.2 deg\n", "1.2", "out of square is no use", "up to 2 mm per 100 mm"},
		{"tilt, unknown unit", short + "spindle tilt: 1 mm per 1 yd\n", "1 mm per", "not known", "mm, cm"},
		{"tilt, misspelt", short + "spindel tilt: 1 mm per 1 m\n", "spindel", "is not known", `did you mean "spindle tilt"?`},
		{"setups without an index error", short + "setups: 4\n", "", `"index error" is missing`, "0.1 mm, 0.05 deg, height 0.05 mm"},
		{"five setups", short + "setups: 5\nindex error: 0.1 mm, 0.05 deg\n", "5", `"setups" cannot be "5"`, "auto, 2, 3, 4, 6"},
		{"index error of one setup", short + "index error: 0.1 mm, 0.05 deg\n", "index error", "for a face that is cut in several setups", "setups: auto"},
		{"index error without a turn", short + "setups: auto\nindex error: 0.1 mm\n", "0.1 mm", "does not say how far it may be turned", "0.05 deg"},
		{"index error without a shift", short + "setups: auto\nindex error: 0.1 deg\n", "0.1 deg", "does not say how far aside", "0.1 mm"},
		{"index error twice", short + "setups: auto\nindex error: 0.1 mm, 0.2 mm, 0.1 deg\n", "0.1 mm, 0.2", "two parts say the shift", "height 0.05 mm"},
		{"index error, too far", short + "setups: auto\nindex error: 6 mm, 0.1 deg\n", "6 mm, 0.1", "6 mm is out of range", "5 mm"},
		{"index error, too far round", short + "setups: auto\nindex error: 1 mm, 3 deg\n", "1 mm, 3", "3 deg is out of range", "2 deg"},
		{"index error below 0", short + "setups: auto\nindex error: 1 mm, 1 deg, height -1 mm\n", "1 mm, 1 deg, h", "height -1 mm is out of range", "from 0"},
		{"index error in words", short + "setups: auto\nindex error: a little\n", "a little", `"a little" is no length and no angle`, "such as"},
		{"pin without a hole", short + "setups: 4\nindex by: pin\nindex error: 0.1 mm, 0.05 deg\n", "pin", "no centre hole for a pin", "extras: {centre hole: 8 mm}"},
		{"pin in a blind hole", short + "setups: 4\nindex by: pin\nindex error: 0.1 mm, 0.05 deg\nextras: {centre hole: {diameter: 8 mm, depth: 3 mm}}\n", "pin", "does not go through", "without a depth"},
		{"three against fences", short + "setups: 3\nindex by: two fences\nindex error: 0.1 mm, 0.05 deg\n", "two fences", "do not lie against the same fences", "setups: 4"},
		{"four along a fence", short + "setups: 4\nindex by: one fence\nindex error: 0.1 mm, 0.05 deg\n", "one fence", "cut in two setups", "setups: 2"},
		{"round along a fence", with("blank", "{diameter: 550 mm, thickness: 25 mm}") + "setups: 2\nindex by: one fence\nindex error: 0.1 mm, 0.05 deg\n", "one fence", "a round blank", "pin"},
		{"cut out in setups", short + "setups: 4\nindex error: 0.1 mm, 0.05 deg\nextras: {cut out: {tabs: 4}}\n", "cut out", "is not made where a face is cut in several setups", "saw the rest"},
		{"corner in setups", short + "setups: 4\nindex error: 0.1 mm, 0.05 deg\ntouch off: {on: corner}\n", "corner", "out of the machine's reach", "diagonals"},
		{"hold-down in a setup", short + "hold downs: [{x: 1 mm, y: 2 mm, radius: 5 mm, height: 5 mm, setup: 2}]\n", "2}", "cut in one setup", "setups: auto"},
		{"setups of a board", "form: board\nradius: 25 ft\nlength: 400 mm\nwidth: 80 mm\nblank: {size: 600 mm, thickness: 25 mm}\nmachine: bench-600\nsetups: 2\n", "setups", "a board has no setups", "a dish or a caul"},
		{"undersize too large", short + "undersize: 1.1 mm\n", "1.1 mm", "undersize of 1.1 mm is out of range", "from 0 mm to 1 mm"},
		{"undersize below 0", short + "undersize: -0.1 mm\n", "-0.1", "undersize of -0.1 mm is out of range", "from 0 mm"},
		{"undersize without a unit", short + "undersize: 0.1\n", "0.1", "has no unit", "0.1 mm"},
		{"undersize of a thin cutter", shelf("1/2 in", "0.5 mm") + "undersize: 0.6 mm\n", "0.6 mm", `an undersize of 0.6 mm leaves nothing of "one", 0.5 mm across`, "about 0.05 mm"},
		{"zero", short + "zero: centre\n", "centre", `"zero" cannot be "centre"`, "centre-top, centre-bed"},
		{"zero, near", short + "zero: center-top\n", "center-top", `"zero" cannot be "center-top"`, `"centre-top"?`},
		{"pattern", short + "pattern: rasters\n", "rasters", `"pattern" cannot be "rasters"`, `"raster"?`},
		{"direction", short + "direction: along z\n", "along z", `"direction" cannot be "along z"`, "along x"},
		{"form", short + "form: plate\n", "plate", `"form" cannot be "plate"`, "dish, caul, board, gauge, pair, rim"},
		{"board with a diameter", short + "form: board\nlength: 400 mm\nwidth: 60 mm\n", "diameter", "a board has no diameter", "a board has length and width"},
		{"board with an index flat", strings.Replace(short, "diameter: 500 mm\n", "", 1) + "form: board\nlength: 400 mm\nwidth: 60 mm\nextras: {cut out: {tabs: 4}, index flat: 40 mm}\n", "{cut out", "a board has no index flat", "remove it"},
		{"gauge with a radius", strings.Replace(short, "diameter: 500 mm\n", "", 1) + "form: gauge\nradii: [15 ft]\nlength: 200 mm\n", "radius", "a gauge has no radius", "radii: [15 ft, 25 ft]"},
		{"form rim", short + "form: rim\n", "rim", "a rim is worked out, not cut as a dish is", "dishwright rim JOB"},
		{"machine", with("machine", "bench-60"), "bench-60", `the machine "bench-60" is not known`, "did you mean bench-600?"},
		{"name a list", short + "name: [a]\n", "[a]", `"name" holds a list where a text is expected`, ""},
		{"blank a word", with("blank", "square"), "square", `"blank" holds a single value where keys and values are expected`, "{key: value"},
		{"blank without a width", with("blank", "{length: 550 mm, thickness: 25 mm}"), "{length", `the key "width" is missing in "blank"`, "add width: 560 mm"},
		{"blank too thin", with("blank", "{size: 550 mm, thickness: 2 mm}"), "2 mm", "thickness of 2 mm is out of range", "from 3 mm to 300 mm"},
		{"blank too large", with("blank", "{size: 6 m, thickness: 25 mm}"), "6 m", "size of 6 m is out of range", "to 5 m"},
		{"size of a round", with("blank", "{shape: round, diameter: 550 mm, size: 550 mm, thickness: 25 mm}"), "size: 550", "a round blank has no size", "a round a diameter"},
		{"width of a square", with("blank", "{shape: square, size: 550 mm, width: 550 mm, thickness: 25 mm}"), "width: 550", "a square blank has no width", "rectangle length and width"},
		{"shape", with("blank", "{shape: circle, size: 550 mm, thickness: 25 mm}"), "circle", `"shape" cannot be "circle"`, "square, rectangle, round, octagon"},
		{"hold downs no list", short + "hold downs: {x: 1 mm}\n", "{x: 1", "where a list is expected", "one entry a line"},
		{"hold down without height", short + "hold downs: [{x: 1 mm, y: 1 mm, radius: 3 mm}]\n", "{x: 1", `the key "height" is missing`, "add height:"},
		{"hold down below", short + "hold downs: [{x: 260 mm, y: 260 mm, radius: 3 mm, height: -1 mm}]\n", "-1 mm", "height of -1 mm is out of range", "from 0 mm"},
		{"hold down without radius", short + "hold downs: [{x: 260 mm, y: 260 mm, radius: 0 mm, height: 1 mm}]\n", "0 mm, h", "radius of 0 mm is out of range", "from 0.5 mm"},
		{"too many hold downs", short + "hold downs: [" + strings.Repeat("{x: 260 mm, y: 260 mm, radius: 3 mm, height: 1 mm}, ", 101) + "]\n", "[{x", "101 hold-downs are too many", "at most 100"},
		{"empty shelf", short + "shelf: {}\n", "{}", "the shelf is empty", "remove the key"},
		{"shelf a list", short + "shelf: []\n", "[]", `"shelf" holds a list where keys and values are expected`, ""},
		{"too many cutters", short + many(41), "c0:", "a shelf of 41 cutters is too long", "at most 40"},
		{"cutter a word", short + "shelf: {one: ball}\n", "ball", `"one" holds a single value where keys and values are expected`, ""},
		{"cutter named auto", short + "shelf:\n  Auto: " + ball + "\n", "Auto", `"Auto" cannot be the name of a cutter`, "another name"},
		{"cutter twice", short + "shelf:\n  one: " + ball + "\n  one: " + ball + "\n", "one: {shape: ball", `"one" stands here again`, "keep one"},
		{"look-alike blanks", lookAlike("one two", "onetwo"), `"onetwo"`, `the cutter "onetwo" reads like "one two" in a program`, "differ in plain letters"},
		{"look-alike case", lookAlike("one", "One"), `"One"`, "reads like", ""},
		{"look-alike brackets", lookAlike("a (1)", "a [1]"), `"a [1]"`, "reads like", ""},
		{"look-alike signs", lookAlike("a;b", "a,b"), `"a,b"`, "reads like", ""},
		{"look-alike letters", lookAlike("fraise é", "fraise ö"), `"fraise ö"`, "reads like", ""},
		{"look-alike question", lookAlike("é", "?"), `"?"`, "reads like", ""},
		{"name too long for its line", lookAlike("one", strings.Repeat("x", 71)), `"xxx`, "the cutter's name has 71 characters", "at most 70 fit the longest line of bench-600, which has 80"},
		{"name too long, of other letters", lookAlike("one", strings.Repeat("\u00e9", 71)), "\"\u00e9\u00e9", "has 71 characters", "at most 70"},
		{"no shape", shelf("shape: ball, ", ""), "{diameter", `the key "shape" is missing in "one"`, "add shape: flat"},
		{"shape of a cutter", shelf("ball", "vee"), "vee", `"shape" cannot be "vee"`, "ball, flat, bull"},
		{"cutter diameter", shelf("1/2 in", "0.4 mm"), "0.4 mm", "diameter of 0.4 mm is out of range", "from 0.5 mm to 150 mm"},
		{"bull without corner", shelf("ball", "bull"), "{shape", `the key "corner" is missing in "one"`, "add corner: 2.5 mm"},
		{"corner of a ball", shelf("diameter: 1/2 in", "diameter: 1/2 in, corner: 1/8 in"), "1/8 in", "a ball cutter has no corner of its own", "shape: bull"},
		{"corner too wide", shelf("ball, diameter: 1/2 in", "bull, diameter: 1/2 in, corner: 1/4 in"), "1/4 in", "does not fit a diameter of 12.7 mm", "less than half"},
		{"corner 0", shelf("ball, diameter: 1/2 in", "bull, diameter: 1/2 in, corner: 0 mm"), "0 mm", "does not fit a diameter", "more than 0"},
		{"no flutes", shelf("flutes: 2", "flutes: 0"), "0, flute", "a cutter with 0 flutes", "most router cutters have 2"},
		{"flutes not whole", shelf("flutes: 2", "flutes: 1.5"), "1.5", "not a whole number", ""},
		{"flutes in quotes", shelf("flutes: 2", "flutes: '2'"), "'2'", "stands in quotes", "without quotes"},
		{"flute length", shelf("flute length: 25 mm", "flute length: 0 mm"), "0 mm", "flute length of 0 mm is out of range", "from 0.5 mm to 200 mm"},
		{"speed with a unit", shelf("16000", "16000 rpm"), "16000 rpm", "is not a number alone", "16000"},
		{"speed", shelf("16000", "99"), "99", "speed 99 is out of range", "rpm, from 100 to 100000"},
		{"fastest speed", shelf("16000", "16000, fastest speed: 100001"), "100001", "fastest speed 100001 is out of range", "rpm"},
		{"chip load", shelf("0.05 mm", "4 mm"), "4 mm", "chip load of 4 mm is out of range", "from 0.001 mm to 3 mm"},
		{"depth of cut", shelf("3 mm}", "0 mm}"), "0 mm}", "depth of cut of 0 mm is out of range", "from 0.05 mm to 100 mm"},
		{"core", shelf("3 mm}", "3 mm, core: 1/2 in}"), "1/2 in}", "leaves nothing to cut with", "less than the diameter"},
		{"ramp", shelf("3 mm}", "3 mm, ramp: 60 deg}"), "60 deg", "that is no ramp", "3 deg is usual"},
		{"ramp without a unit", shelf("3 mm}", "3 mm, ramp: 3}"), "3}", "has no unit", "deg"},
		{"stick out", shelf("3 mm}", "3 mm, stick out: 20 mm}"), "20 mm}", "the holder would grip the flutes", "more than the flute length"},
		{"shank", shelf("3 mm}", "3 mm, shank: 0.2 mm}"), "0.2 mm}", "shank of 0.2 mm is out of range", "from 0.5 mm to 60 mm"},
		{"rough of no cutter", shelf("", "") + "rough: onne\n", "onne", `no cutter named "onne" is on the shelf`, `did you mean "one"?`},
		{"finish of no cutter", shelf("", "") + "finish: other thing\n", "other", `no cutter named "other thing" is on the shelf`, "write one of auto, one"},
		{"extras", short + "extras: {center hole: 6 mm}\n", "center hole", `"center hole" is not known in "extras"`, `"centre hole"?`},
		{"centre hole", short + "extras: {centre hole: 0 mm}\n", "0 mm", "centre hole of 0 mm is out of range", ""},
		{"tabs", short + "extras: {cut out: {tabs: 51}}\n", "51", "51 tabs cannot hold what is cut out", "3 to 8"},
		{"anchor", with("radius", "&a 25 ft"), "&a", "anchors are not used here", "write the value out"},
	} {
		t.Run(c.name, func(t *testing.T) {
			fs := faults(t, c.text)
			require.Len(t, fs, 1, "%v", fs)
			f := fs[0]
			require.Equal(t, "job.yaml", f.File)
			require.Contains(t, f.Message, c.message)
			require.Contains(t, f.Hint, c.hint)
			require.True(t, strings.HasPrefix(string([]rune(strings.Split(c.text, "\n")[f.Line-1])[f.Column-1:]), c.at), "%d:%d", f.Line, f.Column)
		})
	}
}

func many(n int) string {
	var b strings.Builder
	b.WriteString("shelf:\n")
	for i := range n {
		fmt.Fprintf(&b, "  c%d: %s\n", i, ball)
	}
	return b.String()
}

func lookAlike(a, b string) string {
	return fmt.Sprintf("%sshelf:\n  %q: %s\n  %q: %s\n", short, a, ball, b, ball)
}

// TestMissing: each key that must stand is asked for, with an example.
func TestMissing(t *testing.T) {
	for key, hint := range map[string]string{"radius": "add radius: 25 ft", "diameter": "add diameter: 600 mm", "machine": "add machine: bench-600"} {
		var kept []string
		for _, l := range strings.Split(short, "\n") {
			if !strings.HasPrefix(l, key) {
				kept = append(kept, l)
			}
		}
		fs := faults(t, strings.Join(kept, "\n"))
		require.Len(t, fs, 1, key)
		require.Equal(t, strict.Pos{Line: 1, Column: 1}, strict.Pos{Line: fs[0].Line, Column: fs[0].Column})
		require.Contains(t, fs[0].Hint, hint)
	}
}

// TestAllAtOnce: every fault of a file, in the order of its lines.
func TestAllAtOnce(t *testing.T) {
	text := `radius: 25
diameter: -1 mm
blank: {shape: squre, thickness: 2 mm}
machine: bench
scalop: 1 mm
zero: bed
shelf: {a: {shape: bal, diameter: 0 mm, flutes: x, flute length: 1, speed: 1, chip load: 9 mm, depth of cut: 0 mm}}
rough: b
extras: {hole: 1 mm}
`
	fs := faults(t, text)
	lines := map[int]int{}
	last := 0
	for _, f := range fs {
		require.GreaterOrEqual(t, f.Line, last)
		last = f.Line
		lines[f.Line]++
	}
	require.Equal(t, map[int]int{1: 1, 2: 1, 3: 2, 4: 1, 5: 1, 6: 1, 7: 7, 8: 1, 9: 1}, lines)
}

// TestNotAJob: what is no job at all.
func TestNotAJob(t *testing.T) {
	for text, want := range map[string]string{
		"":                           "the file is empty",
		"# nothing\n":                "the file is empty",
		"\x00\x01\x02":               "not a text file",
		"\xff\xfe":                   "not text in UTF-8",
		"just words\n":               "where keys and values are expected",
		"- a\n- b\n":                 "where keys and values are expected",
		"a: [\n":                     "",
		"radius: 25 ft\n---\nb: c\n": "a second document begins here",
		"a: &a [x]\nb: [*a, *a]\n":   "anchors are not used here",
		"blank:\n\tsize: 1 mm\n":     "there is a tab in the indentation",
	} {
		fs := faults(t, text)
		require.Contains(t, fs.Error(), want, "%q", text)
	}
}

// TestSameText: line ends of either kind, a byte order mark and quotes change nothing.
func TestSameText(t *testing.T) {
	want := load(t, short).Work
	for _, text := range []string{
		strings.ReplaceAll(short, "\n", "\r\n"),
		"\ufeff" + short,
		strings.TrimSuffix(short, "\n"),
		strings.ReplaceAll(short, "25 ft", `"25 ft"`),
		strings.ReplaceAll(short, "25 ft", "25ft"),
		strings.ReplaceAll(short, "25 ft", "25'"),
		strings.ReplaceAll(short, "500 mm", "500mm   # across"),
		"---\n" + short,
		strings.ReplaceAll(short, "radius: ", "radius:    "),
	} {
		require.Equal(t, want, load(t, text).Work, "%q", text)
	}
}

// TestNames: a name may be anything that prints on one line.
func TestNames(t *testing.T) {
	for text, want := range map[string]string{"12": "12", "yes": "yes", "../../x": "../../x", `"a (b) ; M3"`: "a (b) ; M3", "ödland 日本": "ödland 日本", "'MSG, x'": "MSG, x"} {
		require.Equal(t, want, load(t, short+"name: "+text+"\n").Work.Name)
	}
}

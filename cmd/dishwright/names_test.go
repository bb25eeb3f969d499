package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

// oddNames are names of jobs and cutters that someone else may have written.
var oddNames = []string{
	`<script>alert(1)</script>`, `</title><script>x()</script>`, `"><img src=x onerror=alert(1)>`, `<svg onload=alert(1)>`, `<!-- open`, `]]>`, `&lt;b&gt;`, `&amp`,
	`a"b'c` + "`d", `it's a "name"`, `{{.Title}}`, `{{template "facts"}}`, `${HOME}`, `$(rm -rf x)`, `%s%n%d`, `\e[31m\u202e`,
	"two\nlines", "three\r\nlines\n", "tab\tbed", "bell\a and \x1b[2J", "null\x00byte", "\u202Eright to left\u202C", "\u2066isolated\u2069", "zero\u200bwidth\u200djoin", "line\u2028separator",
	"شكل العود", "עברית", "日本語の皿", "Größe Æ ñ", "🎻🪵👩‍🔧", "e\u0301\u0301\u0301\u0301", "ffi ﷽",
	"(nested (comment))", ")(", "; M3 S99999", "N10 G0 X999", "G1 Z-50", "%", "(MSG, no)", "../../etc/passwd", `C:\temp\x`, "/", ".", "..", "CON", "-rf", "a.ngc", " ", "auto",
	strings.Repeat("long ", 2000), strings.Repeat("x", 10_000), strings.Repeat("(", 300),
}

// Whatever a job and its cutter are called, the sheet shows it harmlessly, the
// programs carry it as plain comments, and no file is called by it; or the name is
// refused with its place.
func TestOddNames(t *testing.T) {
	require.Greater(t, len(oddNames), 30)
	dir := t.TempDir()
	made := 0
	for n, name := range oddNames {
		quoted, err := json.Marshal(name) // YAML reads both quotings alike
		require.NoError(t, err)
		for what, job := range map[string]string{"job": "name: " + strconv.QuoteToASCII(name) + "\n" + oddJob("one", "one"), "cutter": "name: odd\n" + oddJob(string(quoted), "auto")} {
			file := filepath.Join(dir, "job.yaml")
			require.NoError(t, os.WriteFile(file, []byte(job), 0o644))
			out := filepath.Join(dir, "out")
			require.NoError(t, os.RemoveAll(out))
			var stdout, stderr bytes.Buffer
			switch runHere([]string{"make", file, "-o", out}, nil, &stdout, &stderr) {
			case 0:
				made++
				harmless(t, out)
			case 2:
				require.Regexp(t, `job\.yaml:\d+:\d+: `, stderr.String(), "%q", name)
				require.NoDirExists(t, out)
				require.True(t, what == "cutter" || strings.TrimSpace(name) == "", "a job called %q is refused: %s", name, stderr.String())
			default:
				t.Fatalf("%s %d %q: %s", what, n, name, stderr.String())
			}
			shown(t, stdout.String())
			shown(t, stderr.String())
		}
	}
	require.Greater(t, made, 70)
}

// TestOddFileNames: whatever files and folders are called, no command gives a terminal
// more than signs that show: in reports, JSON, notes and errors; and nothing odd gets into a
// drawing or a program.
func TestOddFileNames(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a file may not be called so")
	}
	t.Chdir(t.TempDir())
	const odd = "a\x1b[31m\u202eb\u2066\nG1 Z-9 (\u009b2J\u200f\xff<i>)"
	write := func(name, text string) string {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
		return name
	}
	job := write(odd+".yaml", "name: plain\n"+oddJob("one", "auto"))
	profile := write(odd+".profile.yaml", "name: mine\ntravel: 3\n")
	bad := write(odd+".bad.yaml", "name: plain\nmachine: "+strconv.QuoteToASCII("a\u202e.yaml")+"\n")
	rim := write(odd+".rim.yaml", "form: rim\noutline: {file: \"a\\e[31m.csv\"}\ntop: {radius: flat}\nback: {radius: flat}\ndepth: {head: 80 mm, tail: 80 mm}\n")
	depths := write(odd+".csv", "x_mm,depth_mm\n-200,0.35\n-100,2.31\n0,2.97\n100,2.31\n200,0.35\n")
	prove := []string{"prove", odd + ".ngc", "--job", job}
	for _, c := range []struct {
		code int
		args []string
	}{
		{0, []string{"make", job, "-o", odd}},
		{2, []string{"make", job, "-o", odd}},
		{0, prove}, {0, append(prove, "--json")}, {1, append(prove, "--cutter", odd)}, {1, append(prove, "--cutter", odd, "--json")},
		{0, []string{"preview", job, "--from", odd + ".ngc"}},
		{0, []string{"preview", job, "--from", odd + ".ngc", "--svg", odd + ".svg"}},
		{0, []string{"sheet", job, "-o", odd + ".html"}},
		{0, []string{"resume", job, "--program", odd + ".ngc", "--line", "90", "-o", odd + ".rest.ngc"}},
		{0, []string{"fit", depths, "--radius", "25 ft", "--sheet", odd + ".fit.html"}},
		{2, []string{"fit", bad, "--radius", "25 ft"}},
		{2, []string{"check", bad}}, {2, []string{"check", odd}}, {2, []string{"check", odd + "no"}}, {2, []string{"rim", rim}}, {2, []string{"rim", job}}, {2, []string{"machines", profile}},
		{2, []string{"check", job, "--set", odd}}, {2, []string{"check", job, "--set", "name=" + odd}}, {2, []string{"check", job, "--" + odd}}, {2, []string{odd}},
		{2, []string{"explain", odd}}, {2, []string{"new", odd}}, {2, []string{"manual", odd}}, {2, []string{"completion", odd}}, {2, []string{"help", odd}}, {2, []string{"rim", job, "--paper", odd}},
		{2, []string{"sagitta", "--radius", odd, "--chord", "3 mm"}}, {2, []string{"preview", job, "--step", odd}}, {2, []string{"preview", job, "--width", odd}},
		{2, []string{"resume", job, "--program", odd + ".ngc", "--at", odd}}, {2, []string{"prove", odd + "no.ngc", "--job", odd}},
	} {
		var stdout, stderr bytes.Buffer
		require.Equal(t, c.code, runHere(c.args, nil, &stdout, &stderr), "%q: %s", c.args, stderr.String())
		shown(t, stdout.String())
		shown(t, stderr.String())
		require.True(t, utf8.Valid(stdout.Bytes()) && utf8.Valid(stderr.Bytes()), "%q", c.args)
		if c.code == 2 {
			require.Empty(t, stdout.String(), "%q", c.args)
			require.Contains(t, stderr.String(), "hint: ", "%q", c.args)
		}
		if c.args[0] == "make" && c.code == 0 {
			harmless(t, odd)
			require.NoError(t, os.Link(filepath.Join(odd, "2-plain.ngc"), odd+".ngc"))
		}
	}
	for _, name := range []string{".svg", ".html", ".fit.html"} {
		data, err := os.ReadFile(odd + name)
		require.NoError(t, err)
		shown(t, string(data))
	}
	rest, err := os.ReadFile(odd + ".rest.ngc")
	require.NoError(t, err)
	require.NotRegexp(t, `[^ -~\n]`, string(rest))
	require.NotContains(t, string(rest), "Z-9 ")
}

// oddJob is a small job whose one cutter has the name.
func oddJob(cutter, rough string) string {
	return "radius: 2 m\ndiameter: 40 mm\nblank: {size: 80 mm, thickness: 18 mm}\nmachine: bench-600\nscallop: 0.05 mm\npattern: raster\nrough: " + rough + "\nfinish: " + rough +
		"\nshelf: {" + cutter + ": {shape: flat, diameter: 12 mm, flutes: 2, flute length: 20 mm, speed: 16000, chip load: 0.06 mm, depth of cut: 3 mm}}\n"
}

// shown sees that a terminal may be given the text.
func shown(t *testing.T, text string) {
	t.Helper()
	for _, r := range text {
		if r >= ' ' && r <= '~' {
			continue
		}
		require.False(t, r != '\n' && unicode.Is(unicode.Cc, r), "a terminal gets %U", r)
		require.False(t, unicode.Is(unicode.Bidi_Control, r), "a terminal gets %U", r)
	}
}

var setFile = regexp.MustCompile(`^(\d+-[a-z0-9][a-z0-9-]*\.ngc|sheet\.html|order\.txt|\.dishwright-set)$`)

// harmless looks through a set.
func harmless(t *testing.T, dir string) {
	t.Helper()
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, f := range files {
		require.Regexp(t, setFile, f.Name())
		data, err := os.ReadFile(filepath.Join(dir, f.Name()))
		require.NoError(t, err)
		switch filepath.Ext(f.Name()) {
		case ".html":
			wellFormed(t, data)
			shown(t, string(data))
			require.Less(t, len(data), 500_000)
		case ".ngc":
			for _, line := range strings.Split(string(data), "\n") {
				require.LessOrEqual(t, len(line), 256)
				require.NotRegexp(t, `[^ -~]`, line)
				require.NotContains(t, line, ";")
				open, shut := strings.Count(line, "("), strings.Count(line, ")")
				require.True(t, open == shut && open <= 1, line)
				if open == 1 {
					require.Regexp(t, `^\(.*\)$`, line, "a comment stands alone on its line")
				}
			}
		}
	}
}

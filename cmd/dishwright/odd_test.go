//go:build linux

package main

import (
	"bytes"
	"os"
	"slices"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/require"

	"dishwright/cmd/internal/tell"
)

// calls are calls of every command that takes a value, right but for the option that is
// added.
var calls = map[string][]string{
	"new":      {"new"},
	"check":    {"check", "job.yaml"},
	"compare":  {"compare", "job.yaml"},
	"preview":  {"preview", "job.yaml"},
	"make":     {"make", "job.yaml"},
	"sheet":    {"sheet", "job.yaml"},
	"scrap":    {"scrap", "job.yaml", "-o", "scrap"},
	"prove":    {"prove", "set/2-small.ngc", "--job", "job.yaml"},
	"resume":   {"resume", "job.yaml", "--program", "set/2-small.ngc"},
	"rim":      {"rim", "sides.yaml"},
	"fit":      {"fit", "depths.csv", "--radius", "25 ft", "--against", "job.yaml"},
	"readings": {"readings", "job.yaml", "--travel", "10 mm", "-o", "read"},
	"sagitta":  {"sagitta", "--radius", "25 ft", "--chord", "600 mm"},
	"machines": {"machines"},
	"scallop":  {"scallop", "--cutter", "flat", "--diameter", "1 in", "--radius", "25 ft", "--at", "200 mm"},
}

// oddValues are no value of any option that takes a number, a length or a word.
var oddValues = []string{"", " ", "nan", "inf", "-inf", "NaN mm", "-1", "1e308", "1e308 mm", "0", "0 mm", "-3 mm", "word", "1/0 in", "1,5", "0x10", "99999999999999999999", "1000000 km", "\x00", "\u202e1 mm", "٣ mm"}

// TestOddValues: no option of any command takes a value that is none: exit code 2, a hint,
// nothing on stdout, and nothing written. Files may be called nearly anything, and places may
// lie anywhere; what is no length or number at all is refused there too.
func TestOddValues(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{"job.yaml": smallJob, "sides.yaml": smallRim, "depths.csv": "x_mm,depth_mm\n-200,0.35\n-100,2.31\n0,2.97\n100,2.31\n200,0.35\n"} {
		require.NoError(t, os.WriteFile(name, []byte(text), 0o666))
	}
	require.Equal(t, 0, runHere([]string{"make", "job.yaml", "-o", "set", "--quiet"}, nil, &bytes.Buffer{}, &bytes.Buffer{}))
	before := files(t, ".")
	tried := 0
	for _, c := range newRootCmd(newApp(nil, &bytes.Buffer{}, &bytes.Buffer{})).Commands() {
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if f.Value.Type() == "bool" {
				return
			}
			require.Contains(t, calls, c.Name(), "a call of the command with a right value of everything but its options")
			for _, odd := range oddValues {
				if taken(c, f, odd) {
					continue
				}
				args := append(slices.Clone(calls[c.Name()]), "--"+f.Name+"="+odd)
				if c.Name() == "resume" && f.Name != "line" && f.Name != "at" {
					args = append(args, "--line", "60")
				}
				var stdout, stderr bytes.Buffer
				require.Equal(t, tell.Wrong, runHere(args, nil, &stdout, &stderr), "%q: %s", args, stderr.String())
				require.Empty(t, stdout.String(), "%q", args)
				require.Contains(t, stderr.String(), "hint: ", "%q", args)
				require.NotContains(t, stderr.String(), "strconv", "%q", args)
				shown(t, stderr.String())
				tried++
			}
		})
	}
	require.Greater(t, tried, 300)
	require.Equal(t, before, files(t, "."))
}

// taken reports whether a value that is odd elsewhere may be one of this option.
func taken(c *cobra.Command, f *pflag.Flag, odd string) bool {
	switch c.Name() + " " + f.Name {
	case "new output", "make output", "scrap output", "sheet output", "rim output", "resume output", "readings output", "preview svg", "preview png", "fit sheet":
		return odd != "" && odd != " " && odd != "\x00"
	case "prove cutter", "preview cutter": // a program that names its own is given none
		return true
	}
	return false
}

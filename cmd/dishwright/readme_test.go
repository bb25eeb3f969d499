package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// block is a piece of the README that comes from the program: a comment that
// names it, then a fenced block.
var block = regexp.MustCompile("(?s)(<!-- block: (\\w+) -->\n```\\w*\n)(.*?)(```\n)")

// TestReadme makes every block of the README again. UPDATE=1 renews them.
func TestReadme(t *testing.T) {
	const name = "../../README.md"
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	quality, err := os.ReadFile("../internal/shop/testdata/quality.txt")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	prepareReadme(t)
	blocks := 0
	fresh := block.ReplaceAllStringFunc(string(text), func(all string) string {
		blocks++
		m := block.FindStringSubmatch(all)
		return m[1] + readmeBlock(t, m[2], m[3], string(quality)) + m[4]
	})
	require.Greater(t, blocks, 8)
	if os.Getenv("UPDATE") != "" && fresh != string(text) {
		require.NoError(t, os.WriteFile(filepath.Join(readmeHome, name), []byte(fresh), 0o644))
		return
	}
	require.Equal(t, string(text), fresh, "README.md is stale: UPDATE=1 go test -run TestReadme ./cmd/dishwright renews it")
}

var readmeHome, _ = os.Getwd()

// prepareReadme makes the files that the README's commands speak of.
func prepareReadme(t *testing.T) {
	wrong := "radius: 25\ndiameter: 600 mm\nblank: {shape: square, size: 620 mm, thickness: 25 mm}\nmachine: bench-660\nscalop: 0.1 mm\n"
	require.NoError(t, os.WriteFile("wrong.yaml", []byte(wrong), 0o644))
	depths := "x_mm,depth_mm\n-280,0.75\n-240,2.10\n-200,3.30\n-160,4.20\n-120,4.95\n-80,5.50\n-40,5.80\n0,5.90\n40,5.80\n80,5.50\n120,5.35\n160,4.20\n200,3.30\n240,2.10\n280,0.75\n"
	require.NoError(t, os.WriteFile("depths.csv", []byte(depths), 0o644))
	require.Equal(t, 0, runHere([]string{"make", "octave-mandolin", "-o", "out"}, nil, new(bytes.Buffer), new(bytes.Buffer)))
	program, err := os.ReadFile("out/2-octave-mandolin-back-dish.ngc")
	require.NoError(t, err)
	// Near the apex, in the middle of a finishing pass: roughing does not go so deep.
	at := regexp.MustCompile(`(?m)^G1 X\S+( Y\S+)? (Z-5\.7\d*)$`).FindSubmatchIndex(program)
	require.NotNil(t, at)
	edited := slices.Concat(program[:at[4]], []byte("Z-5.82"), program[at[5]:])
	require.NoError(t, os.WriteFile("edited.ngc", edited, 0o644))
}

// readmeBlock makes one block.
func readmeBlock(t *testing.T, name, old, quality string) string {
	switch name {
	case "command":
		line, _, _ := strings.Cut(old, "\n")
		args := words(strings.TrimPrefix(line, "$ dishwright "))
		return line + "\n" + output(args)
	case "compare":
		table, _, ok := strings.Cut(output([]string{"compare", "ukulele-inches"}), "\nhow they go\n")
		require.True(t, ok)
		line, _, _ := strings.Cut(old, "\n")
		return line + "\n" + table + "...\n"
	case "rim":
		text, _, ok := strings.Cut(output([]string{"rim", "mandola-sides"}), "\nbefore the glue\n")
		require.True(t, ok)
		line, _, _ := strings.Cut(old, "\n")
		return line + "\n" + text + "...\n"
	case "head":
		program, err := os.ReadFile("out/2-octave-mandolin-back-dish.ngc")
		require.NoError(t, err)
		lines := strings.SplitAfter(string(program), "\n")
		return strings.Join(lines[:44], "") + "...\n"
	case "quality":
		var b strings.Builder
		for _, l := range strings.SplitAfter(quality, "\n") {
			if strings.HasPrefix(l, "job") || strings.HasPrefix(l, "600") {
				cells := strings.Split(l, "|")
				b.WriteString(strings.TrimRight(strings.Join(cells[:5], "|"), " ") + "\n")
			}
		}
		return b.String()
	}
	t.Fatalf("no block %q", name)
	return ""
}

// output runs a command and returns what a terminal shows of it, errors last.
func output(args []string) string {
	var out, errs bytes.Buffer
	runHere(args, nil, &out, &errs)
	return out.String() + errs.String()
}

// words splits a command line at blanks outside double quotes.
func words(line string) (list []string) {
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			list = append(list, part)
			continue
		}
		list = append(list, strings.Fields(part)...)
	}
	return list
}

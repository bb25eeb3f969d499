package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
)

// block is a piece of a page that comes from the program, or that the program reads: a
// comment that says which, then a fenced block.
//
//	<!-- file: NAME -->                       the block is written to that file
//	<!-- block: command -->                   the block is a command and what it writes
//	<!-- block: command, 20 lines -->         its first lines
//	<!-- block: command, 9 lines from X -->   as many from the line on that begins with X
//	<!-- block: words X, Y -->                what the manual's topic words says of them
//	<!-- block: quality -->                   rows of the quality record
var block = regexp.MustCompile("(?s)(<!-- (block|file): ([^\n]+?) -->\n```\\w*\n)(.*?)(```\n)")

// cut is what a block shows of what a command writes.
var cut = regexp.MustCompile(`^command(?:, (\d+) lines(?: from (.+))?)?$`)

var readmeHome, _ = os.Getwd()

// readmePages are the pages with blocks: the README and the topics of the manual.
func readmePages(t *testing.T) []string {
	t.Helper()
	list, err := filepath.Glob("manual/*.md")
	require.NoError(t, err)
	return append([]string{"../../README.md"}, slices.DeleteFunc(list, func(f string) bool { return f == filepath.Join("manual", "keys.md") })...)
}

// longBlock is the one block whose command takes some seconds: it is looked at with LONG.
const longBlock = "$ dishwright compare ukulele-inches\n"

// TestReadme makes every block of the README and of the manual's topics again. UPDATE=1
// renews them.
func TestReadme(t *testing.T) {
	quality, err := os.ReadFile("../internal/shop/testdata/quality.txt")
	require.NoError(t, err)
	pages := readmePages(t)
	t.Chdir(t.TempDir())
	prepareReadme(t)
	b := blocks{quality: string(quality), outputs: map[string]string{}}
	for _, name := range pages {
		name = filepath.Join(readmeHome, name)
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		fresh := block.ReplaceAllStringFunc(string(text), func(all string) string {
			m := block.FindStringSubmatch(all)
			if m[2] == "file" {
				require.NoError(t, os.WriteFile(m[3], []byte(m[4]), 0o644))
				return all
			}
			b.made++
			if strings.HasPrefix(m[4], longBlock) && !chance.Long() && os.Getenv("UPDATE") == "" {
				return all
			}
			return m[1] + b.fresh(t, m[3], m[4]) + m[5]
		})
		if os.Getenv("UPDATE") != "" {
			require.NoError(t, os.WriteFile(name, []byte(fresh), 0o644))
			continue
		}
		require.Equal(t, string(text), fresh, "%s is stale: UPDATE=1 go test -run TestReadme ./cmd/dishwright renews it", name)
	}
	require.Greater(t, b.made, 12)
}

// prepareReadme makes the programs that the pages' commands speak of.
func prepareReadme(t *testing.T) {
	require.Equal(t, 0, runHere([]string{"make", "octave-mandolin", "-o", "out"}, nil, new(bytes.Buffer), new(bytes.Buffer)))
	program, err := os.ReadFile("out/2-octave-mandolin-back-dish.ngc")
	require.NoError(t, err)
	// Near the apex, in the middle of a finishing pass: roughing does not go so deep.
	at := regexp.MustCompile(`(?m)^G1 X\S+( Y\S+)? (Z-5\.7\d*)$`).FindSubmatchIndex(program)
	require.NotNil(t, at)
	edited := slices.Concat(program[:at[4]], []byte("Z-5.82"), program[at[5]:])
	require.NoError(t, os.WriteFile("edited.ngc", edited, 0o644))
}

// blocks makes blocks; what commands wrote is remembered, as several pages show parts
// of it.
type blocks struct {
	quality string
	outputs map[string]string
	made    int
}

// fresh makes one block.
func (b *blocks) fresh(t *testing.T, what, old string) string {
	t.Helper()
	if what == "quality" {
		return record(b.quality)
	}
	if list, ok := strings.CutPrefix(what, "words "); ok {
		return glossary(t, strings.Split(list, ", "))
	}
	m := cut.FindStringSubmatch(what)
	require.NotNil(t, m, "no block %q", what)
	line, _, _ := strings.Cut(old, "\n")
	text, ok := b.outputs[line]
	if !ok {
		text = shownBy(t, line)
		b.outputs[line] = text
	}
	if m[1] == "" {
		return line + "\n" + text
	}
	lines, lead := strings.SplitAfter(text, "\n"), ""
	if m[2] != "" {
		at := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, m[2]) })
		require.GreaterOrEqual(t, at, 0, "%s: no line begins with %q", line, m[2])
		lines, lead = lines[at:], "...\n"
	}
	n, err := strconv.Atoi(m[1])
	require.NoError(t, err)
	require.Less(t, n, len(lines), "%s is cut behind its end", line)
	return line + "\n" + lead + strings.Join(lines[:n], "") + "...\n"
}

// shownBy is what a terminal shows of a command line.
func shownBy(t *testing.T, line string) string {
	t.Helper()
	if name, ok := strings.CutPrefix(line, "$ fold -s -w 78 "); ok {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		return folded(string(text), 78)
	}
	args, ok := strings.CutPrefix(line, "$ dishwright ")
	require.True(t, ok, "%q is no command that a page may show", line)
	return output(words(args))
}

// glossary is what the topic words says of some words.
func glossary(t *testing.T, list []string) string {
	t.Helper()
	var b strings.Builder
	for _, word := range list {
		m := regexp.MustCompile(`(?m)^- ` + regexp.QuoteMeta(word) + `: .*\n(?:  .*\n)*`).FindString(topicText("words"))
		require.NotEmpty(t, m, "the topic words does not explain %q", word)
		b.WriteString(strings.TrimPrefix(m, "- "))
	}
	return b.String()
}

// folded breaks long lines behind blanks, as fold -s does.
func folded(text string, width int) string {
	var b strings.Builder
	for _, l := range strings.SplitAfter(text, "\n") {
		for len(strings.TrimSuffix(l, "\n")) > width {
			n := strings.LastIndexByte(l[:width], ' ') + 1
			if n == 0 {
				n = width
			}
			b.WriteString(l[:n] + "\n")
			l = l[n:]
		}
		b.WriteString(l)
	}
	return b.String()
}

// record is what the pages show of the quality record.
func record(quality string) string {
	var b strings.Builder
	for _, l := range strings.SplitAfter(quality, "\n") {
		if strings.HasPrefix(l, "job") || strings.HasPrefix(l, "600") {
			cells := strings.Split(l, "|")
			fmt.Fprintf(&b, "%-17s |%s\n", strings.TrimSpace(cells[0]), strings.TrimRight(strings.Join(cells[1:5], "|"), " "))
		}
	}
	return b.String()
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

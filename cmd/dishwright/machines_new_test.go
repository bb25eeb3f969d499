package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"dishwright/machines"
)

// person answers like someone at a terminal: an answer comes only once it was asked for,
// and a question is read as it is written.
type person struct {
	t       *testing.T
	answers map[string]string // by the beginning of a question
	asked   []string
	pending string
}

func (p *person) Write(text []byte) (int, error) {
	for _, l := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		if question, _, ok := strings.Cut(l, "? Such as "); ok {
			p.asked = append(p.asked, question)
		}
	}
	return len(text), nil
}

func (p *person) Read(to []byte) (int, error) {
	if p.pending == "" {
		require.NotEmpty(p.t, p.asked, "it waits for an answer that it did not ask for")
		answer, ok := p.answers[p.asked[len(p.asked)-1]]
		if !ok {
			return 0, io.EOF
		}
		p.pending = answer + "\n"
	}
	n := copy(to, p.pending)
	p.pending = p.pending[n:]
	return n, nil
}

// Whoever sits at a terminal is asked for what no flag says, and for no more.
func TestMachinesNewAsks(t *testing.T) {
	const name, travel, feed, spindle = "What is the machine called", "How far do X, Y and Z move", "How fast may X, Y and Z cut at most", "How slowly and how fast does the spindle turn, or what stands on the router's dial"
	dir := t.TempDir()
	for i, c := range []struct {
		args  []string
		asked []string
	}{
		{nil, []string{travel, feed, spindle}},
		{[]string{"--name", "mine", "--feed", "120 ipm"}, []string{travel, spindle}},
		{[]string{"--travel", "25, 25, 3 in", "--feed", "120 ipm", "--spindle", "8000-24000"}, nil},
	} {
		file := filepath.Join(dir, string(rune('a'+i))+".yaml")
		p := &person{t: t, answers: map[string]string{name: "never asked", travel: "25 in x 25 in x 3 in", feed: "120, 120, 40 ipm", spindle: "A: 9000, B: 15000"}}
		require.Equal(t, 0, runHere(append([]string{"machines", "new", "-o", file}, c.args...), p, &bytes.Buffer{}, p))
		require.Equal(t, c.asked, p.asked)
		m, err := machines.Resolve(file, "")
		require.NoError(t, err)
		require.Equal(t, machines.Inches, m.Unit)
	}
	p := &person{t: t, answers: map[string]string{name: "x", travel: "25 in x 25 in x 3 in"}}
	require.Equal(t, 2, runHere([]string{"machines", "new"}, p, &bytes.Buffer{}, p))
	require.Equal(t, []string{name, travel, feed}, p.asked)
}

// Whatever comes in, it ends, tells what is wrong, and writes nothing but a profile.
func TestMachinesNewOdd(t *testing.T) {
	dir := t.TempDir()
	for what, in := range map[string]io.Reader{
		"none":          nil,
		"closed":        iotest.ErrReader(errors.New("file already closed")),
		"endless line":  io.MultiReader(strings.NewReader(strings.Repeat("1", 1<<20))),
		"endless lines": endless("no\n"),
		"zeros":         endless("\x00\n"),
		"YAML":          endless("a}\nrapid: {x: 1\n"),
		"half":          iotest.OneByteReader(strings.NewReader("600, 600, 90 mm\n3000 mm/min\n8000")),
	} {
		file := filepath.Join(dir, "m.yaml")
		var out, notes bytes.Buffer
		require.Equal(t, 2, runHere([]string{"machines", "new", "-o", file}, in, &out, &notes), what)
		require.Contains(t, notes.String(), "hint: ", what)
		require.Empty(t, out.String())
		require.NoFileExists(t, file)
	}
	// Flags cannot bring in keys of their own; a name may be anything that can be printed.
	for _, name := range append([]string{"a\nrapid: 1", "x: {y", "# z", "'", `"`, `\`, "null", "- a"}, oddNames...) {
		var out, notes bytes.Buffer
		code := runHere([]string{"machines", "new", "--name", name, "--travel", "600, 600, 90 mm", "--feed", "3000 mm/min", "--spindle", "8000-24000"}, nil, &out, &notes)
		if code == 0 {
			m, err := machines.Parse("m.yaml", out.Bytes())
			require.NoError(t, err, "%q", name)
			require.Equal(t, name, m.Name)
			require.Equal(t, m.Feed, m.Rapid)
			continue
		}
		require.Equal(t, 2, code, "%q", name)
		require.Contains(t, notes.String(), "--name", "%q", name)
		require.Empty(t, out.String())
	}
	for _, odd := range []string{"600 mm}, z: {", "1,2,3,4 mm", ",, mm", "x x x", "600, 600, 90 mm #", "{x: 1 mm}", "600 mm, , 90 mm", "1e3, 600, 90 mm", strings.Repeat("9", 1000) + ", 1, 1 mm", "\x00, 1, 1 mm"} {
		for _, flag := range []string{"--travel", "--feed", "--spindle", "--dial"} {
			given := map[string]string{"--travel": "600, 600, 90 mm", "--feed": "3000 mm/min", "--name": "a"}
			if flag != "--dial" {
				given["--spindle"] = "8000-24000"
			}
			given[flag] = odd
			args := []string{"machines", "new"}
			for f, v := range given {
				args = append(args, f, v)
			}
			var out, notes bytes.Buffer
			require.Equal(t, 2, runHere(args, nil, &out, &notes), "%s %q", flag, odd)
			require.Contains(t, notes.String(), flag+": ", "%q", odd)
			require.Contains(t, notes.String(), "hint: ", "%q", odd)
		}
	}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Empty(t, entries)
}

// endless repeats a text for ever.
func endless(text string) io.Reader { return &repeating{text: text} }

type repeating struct {
	text string
	at   int
}

func (r *repeating) Read(to []byte) (int, error) {
	for i := range to {
		to[i] = r.text[r.at]
		r.at = (r.at + 1) % len(r.text)
	}
	return len(to), nil
}

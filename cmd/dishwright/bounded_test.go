//go:build linux

package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
)

// What a job file may cost: memory in KB, and how long.
const (
	mostMemory = 500_000
	mostTime   = 60 * time.Second
	atOnce     = time.Second // to refuse what is too much before it is begun
)

// shelfOf writes so many cutters.
func shelfOf(n int) string {
	var b strings.Builder
	for i := range n {
		shape := []string{"flat", "ball", "bull"}[i%3]
		corner := map[string]string{"bull": ", corner: 2 mm"}[shape]
		fmt.Fprintf(&b, "  c%d: {shape: %s, diameter: %.1f mm, flutes: 2, flute length: 16 mm, speed: 16000, chip load: 0.1 mm, depth of cut: 2 mm, shank: 6 mm%s}\n", i, shape, 8+float64(i)/2, corner)
	}
	return b.String()
}

// placings are readings of five depths each under a straightedge laid so often, on a face of
// 25 ft.
func placings(n int) string {
	var b strings.Builder
	b.WriteString("unit: mm\ngauge: 0.01 mm\nstraightedge:\n")
	for i := range n {
		off := float64(i%7) / 100
		fmt.Fprintf(&b, "  - {depths: [[-280, %.2f], [-140, %.2f], [0, %.2f], [140, %.2f], [280, %.2f]]}\n", off, 3.86+off, 5.14+off, 3.86+off, off)
	}
	return b.String()
}

// large is a job about a face of 590 mm.
func large(scallop, shelf, more string) string {
	return "radius: 7620 mm\ndiameter: 590 mm\nblank: {size: 612 mm, thickness: 40 mm}\nmachine: bench-600\nzero: centre-bed\nscallop: " + scallop + "\n" + more + "shelf:\n" + shelf
}

// TestBounded: whatever a file asks for, it is made or refused within a minute and 500
// MB, and what is too much in itself within a second. LONG tries the largest that are
// made too, which takes minutes.
func TestBounded(t *testing.T) {
	const bull = "  bull: {shape: bull, diameter: 12 mm, corner: 2 mm, flutes: 2, flute length: 20 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm, shank: 6 mm}\n"
	const ball = "  ball: {shape: ball, diameter: 6 mm, flutes: 2, flute length: 20 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm, shank: 6 mm}\n"
	jobs := []struct {
		name, text string
		heavy      bool
		code       int
	}{
		{"more cutters than are compared", large("0.05 mm", shelfOf(11), ""), false, 2},
		{"as many cutters as are compared", large("0.05 mm", shelfOf(10), ""), true, 0},
		{"all of a megabyte in one word", strings.Repeat("x", 1<<20), false, 2},
		{"a byte more than a megabyte", strings.Repeat("#", 1<<20+1), false, 2},
		{"lists within lists", "name: " + strings.Repeat("[", 400_000), false, 2},
		{"aliases of aliases", "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n", false, 2},
		{"a hundred thousand keys", strings.Repeat("k: 1\n", 100_000), false, 2},
		{"800 placings of a straightedge", placings(800), false, 0},
		{"4000 placings of a straightedge", placings(4000), true, 0},
		{"seven thousand cutters", large("0.1 mm", shelfOf(7000), ""), false, 2},
		{"twenty thousand hold-downs", large("0.1 mm", ball, "hold downs: ["+strings.Repeat("{x: 1 mm, y: 1 mm, radius: 1 mm, height: 1 mm}, ", 20_000)+"]\n"), false, 2},
		{"passes of a hair's breadth", strings.Replace(large("0.005 mm", ball, "pattern: raster\n"), "diameter: 6 mm", "diameter: 0.5 mm", 1), false, 2},
		{"forty cutters", large("0.05 mm", shelfOf(40), ""), true, 0},
		{"a fine scallop with a ball", large("0.005 mm", ball, ""), true, 0},
		{"a fine scallop with a bull", large("0.01 mm", bull, ""), true, 0},
	}
	for _, j := range jobs {
		if j.heavy && !chance.Long() {
			continue
		}
		file := filepath.Join(t.TempDir(), "job.yaml")
		require.NoError(t, os.WriteFile(file, []byte(j.text), 0o666))
		call := []string{"make", file, "-o", filepath.Join(t.TempDir(), "out"), "--quiet"}
		switch {
		case strings.HasSuffix(j.name, "compared"):
			call = []string{"compare", file}
		case strings.HasSuffix(j.name, "straightedge"):
			call = []string{"fit", file, "--radius", "25 ft", "--json"}
		}
		cmd := exec.Command("dishwright", call...)
		begun := time.Now()
		said, _ := cmd.CombinedOutput()
		// Beside other processes the clock runs on while it waits: the time that it had a
		// processor is then as good a bound of what it takes by itself.
		took, memory := min(time.Since(begun), cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime()), cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss
		t.Logf("%s: %.1f s, %d MB", j.name, took.Seconds(), memory/1000)
		require.Equal(t, j.code, cmd.ProcessState.ExitCode(), "%s: %s", j.name, said)
		require.Less(t, memory, int64(mostMemory), j.name)
		most := atOnce
		if j.heavy {
			most = mostTime
		}
		require.Less(t, took, most, j.name)
	}
}

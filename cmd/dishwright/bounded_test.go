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

// cost is what a call may take: memory in KB, and how long, which is twice as long as was
// measured.
type cost struct {
	memory int64
	time   time.Duration
}

var (
	most     = cost{500_000, 40 * time.Second}
	large    = cost{400_000, 30 * time.Second} // cutters run for more than 200 m
	ordinary = cost{300_000, 12 * time.Second}
	atOnce   = cost{300_000, time.Second} // to refuse what is too much before it is begun
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

// about590 is a job about a face of 590 mm.
func about590(scallop, shelf, more string) string {
	return "radius: 7620 mm\ndiameter: 590 mm\nblank: {size: 612 mm, thickness: 40 mm}\nmachine: bench-600\nzero: centre-bed\nscallop: " + scallop + "\n" + more + "shelf:\n" + shelf
}

// builders is a job as builders make them: a hollow of a radius and a diameter in mm, with what
// more the job says.
func builders(radius, across float64, more string) string {
	return fmt.Sprintf("radius: %g mm\ndiameter: %g mm\nblank: {size: %g mm, thickness: %g mm}\nfloor: 5 mm\nmachine: bench-600\nzero: centre-bed\n%s", radius, across, across+60, 30+across*across/8/radius, more)
}

// sample is the text of a sample, and more.
func sample(t *testing.T, name, more string) string {
	text, err := os.ReadFile(filepath.Join("..", "..", "samples", name+".yaml"))
	require.NoError(t, err)
	return string(text) + more
}

// measured holds a call against what it may take and the code it returns.
func measured(t *testing.T, within cost, code int, call ...string) {
	cmd := exec.Command("dishwright", call...)
	begun := time.Now()
	said, _ := cmd.CombinedOutput()
	// Beside other processes the clock runs on while it waits: the time that it had a
	// processor is then as good a bound of what it takes by itself.
	took, memory := min(time.Since(begun), cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime()), cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss
	t.Logf("%.1f s, %d MB", took.Seconds(), memory/1000)
	require.Equal(t, code, cmd.ProcessState.ExitCode(), "%s", said)
	require.Less(t, memory, within.memory)
	require.Less(t, took, within.time)
}

// TestBounded: whatever a file asks for, it is made or refused within 40 s and 500
// MB, and what is too much in itself within a second; what builders make takes seconds. LONG
// tries those and the largest that are made too, which takes minutes.
func TestBounded(t *testing.T) {
	const bull = "  bull: {shape: bull, diameter: 12 mm, corner: 2 mm, flutes: 2, flute length: 20 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm, shank: 6 mm}\n"
	const ball = "  ball: {shape: ball, diameter: 6 mm, flutes: 2, flute length: 20 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm, shank: 6 mm}\n"
	const flat = "  flat: {shape: flat, diameter: 1/4 in, flutes: 2, flute length: 40 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm, shank: 8 mm, stick out: 70 mm, core: 0 mm}\n"
	const small = "  small: {shape: ball, diameter: 3 mm, flutes: 2, flute length: 15 mm, speed: 18000, chip load: 0.04 mm, depth of cut: 1.5 mm, shank: 6 mm}\n"
	thimble := func(scallop string) string {
		return "form: caul\nradius: 39.7 mm\ndiameter: 28.4 mm\nblank: {size: 88.4 mm, thickness: 32.5 mm}\nfloor: 5 mm\nmachine: bench-600\nzero: centre-bed\nundersize: 0 mm\nallowance: 0.25 mm\nscallop: " + scallop + "\nshelf:\n" +
			"  narrow: {shape: flat, diameter: 5.3 mm, flutes: 1, flute length: 13.7 mm, speed: 17000, chip load: 0.06 mm, depth of cut: 0.9 mm, shank: 6 mm, stick out: 32 mm}\n"
	}
	jobs := []struct {
		name, text string
		within     cost
		code       int
	}{
		{"more cutters than are compared", about590("0.05 mm", shelfOf(11), ""), atOnce, 2},
		{"as many cutters as are compared", about590("0.05 mm", shelfOf(10), ""), most, 0},
		{"all of a megabyte in one word", strings.Repeat("x", 1<<20), atOnce, 2},
		{"a byte more than a megabyte", strings.Repeat("#", 1<<20+1), atOnce, 2},
		{"lists within lists", "name: " + strings.Repeat("[", 400_000), atOnce, 2},
		{"aliases of aliases", "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n", atOnce, 2},
		{"a hundred thousand keys", strings.Repeat("k: 1\n", 100_000), atOnce, 2},
		{"800 placings of a straightedge", placings(800), atOnce, 0},
		{"4000 placings of a straightedge", placings(4000), most, 0},
		{"seven thousand cutters", about590("0.1 mm", shelfOf(7000), ""), atOnce, 2},
		{"twenty thousand hold-downs", about590("0.1 mm", ball, "hold downs: ["+strings.Repeat("{x: 1 mm, y: 1 mm, radius: 1 mm, height: 1 mm}, ", 20_000)+"]\n"), atOnce, 2},
		{"passes of a hair's breadth", strings.Replace(about590("0.005 mm", ball, "pattern: raster\n"), "diameter: 6 mm", "diameter: 0.5 mm", 1), atOnce, 2},
		{"forty cutters", about590("0.05 mm", shelfOf(40), ""), most, 0},
		{"a fine scallop with a ball", about590("0.005 mm", ball, ""), most, 0},
		{"a fine scallop with a bull", about590("0.01 mm", bull, ""), most, 0},
		{"a thimble in passes of 0.01 mm", thimble("0.0064 mm"), most, 0},
		{"a thimble in more of them", thimble("0.005 mm"), most, 2},
		{"a caul for a spindle far out of square", sample(t, "plate-caul", "spindle tilt: 0.376 mm per 100 mm\n"), ordinary, 0},
		{"a pair with all that is cut beside it", sample(t, "dish-and-caul", ""), ordinary, 0},
		{"a dish in several setups", sample(t, "dish-in-turns", ""), ordinary, 0},
		{"a board", sample(t, "hand-board", ""), ordinary, 0},
		{"a very steep dish, all left to choose", builders(147, 140, "scallop: 0.1 mm\nshelf:\n"+bull+ball+flat), ordinary, 0},
		{"a steep dish with holes", builders(1000, 300, "scallop: 0.05 mm\nextras: {centre hole: 8 mm, centre lines: 0.3 mm, holes: [{diameter: 7.5 mm, circle: 324 mm, count: 8}]}\nshelf:\n"+ball+flat), ordinary, 0},
		{"a small ball", builders(4572, 300, "scallop: 0.05 mm\nshelf:\n"+small), ordinary, 0},
		{"ten cutters, all left to choose", builders(4572, 400, "scallop: 0.1 mm\nshelf:\n"+shelfOf(10)), ordinary, 0},
		{"a fine scallop with a small ball", builders(3000, 500, "scallop: 0.02 mm\nshelf:\n"+small), large, 0},
	}
	for _, j := range jobs {
		if j.within != atOnce && !chance.Long() {
			continue
		}
		t.Run(j.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "job.yaml")
			require.NoError(t, os.WriteFile(file, []byte(j.text), 0o666))
			call := []string{"make", file, "-o", filepath.Join(t.TempDir(), "out"), "--quiet"}
			switch {
			case strings.HasSuffix(j.name, "compared"):
				call = []string{"compare", file}
			case strings.HasSuffix(j.name, "straightedge"):
				call = []string{"fit", file, "--radius", "25 ft", "--json"}
			}
			measured(t, j.within, j.code, call...)
		})
	}
}

// parted writes a program with each straight cut in as many parts as bring it to so many lines.
func parted(text string, lines int) string {
	list := strings.Split(text, "\n")
	parts := lines / strings.Count(text, "\nG1 ")
	var b strings.Builder
	var at [3]float64
	for _, line := range list {
		to, given := at, 0
		for i, axis := range "XYZ" {
			if _, rest, ok := strings.Cut(line, " "+string(axis)); ok && !strings.HasPrefix(line, "(") {
				if n, _ := fmt.Sscanf(rest, "%f", &to[i]); n == 1 {
					given++
				}
			}
		}
		for k := 1; k < parts && given > 0 && strings.HasPrefix(line, "G1 "); k++ {
			share := float64(k) / float64(parts)
			fmt.Fprintf(&b, "G1 X%.4f Y%.4f Z%.4f", at[0]+share*(to[0]-at[0]), at[1]+share*(to[1]-at[1]), at[2]+share*(to[2]-at[2]))
			if _, feed, ok := strings.Cut(line, " F"); ok && k == 1 {
				b.WriteString(" F" + feed)
			}
			b.WriteByte('\n')
		}
		b.WriteString(line + "\n")
		at = to
	}
	return strings.TrimSuffix(b.String(), "\n")
}

// TestBoundedProof: as much as is proven at all is proven within what the largest jobs take.
func TestBoundedProof(t *testing.T) {
	if !chance.Long() {
		t.Skip("set LONG=1")
	}
	dir := t.TempDir()
	file, out := filepath.Join(dir, "job.yaml"), filepath.Join(dir, "out")
	require.NoError(t, os.WriteFile(file, []byte(sample(t, "octave-mandolin", "extras: {centre lines: 0.3 mm}\n")), 0o666))
	require.NoError(t, exec.Command("dishwright", "make", file, "-o", out, "--quiet").Run())
	programs, err := filepath.Glob(filepath.Join(out, "*.ngc"))
	require.NoError(t, err)
	for _, name := range programs {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(name, []byte(parted(string(text), 1_200_000/len(programs))), 0o666))
	}
	measured(t, most, 0, append([]string{"prove", "--job", file}, programs...)...)
}

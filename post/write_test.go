package post

import (
	"bytes"
	"flag"
	"math"
	"os"
	"strings"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish/measure"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// machine returns a built-in machine.
func machine(t require.TestingT, name string) machines.Machine {
	m, ok := machines.Builtin(name)
	require.True(t, ok, name)
	return m
}

// quarterBall is a cutter whose feed may reach 24000 mm/min at 16000 turns with
// thin chips, so that the machine's own limits bite first.
func quarterBall() path.Cutter {
	return path.Cutter{Name: "quarter ball", Shape: path.Ball, Diameter: 6.35, Flutes: 2, FluteLength: 20, Shank: 6.35,
		StickOut: 30, Speed: 16000, FastestSpeed: 18000, ChipLoad: 0.5, DepthOfCut: 2, Ramp: 0.05}
}

// small returns a program of one short cut, as a person would write it.
func small(t require.TestingT) Program {
	at := func(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
	points := []r3.Vec{at(0, 0, 5), at(-10, 2.5, 5), at(-10, 2.5, 1), at(-10, 2.5, -0.5), at(10, 2.5, -0.5), at(10.0001, 3, -0.4375), at(10.0001, 3, 5)}
	p := Program{Machine: machine(t, "bench-600"), Clearance: 5, Thickness: 25, Cutter: quarterBall(), Speed: 16000,
		About: []measure.Said{measure.Say("a try: program 1 of 1, finishing.")}}
	s := Section{Title: "Finishing: one pass."}
	feeds := []float64{0, 0, 800, 1600, 1600, 0}
	for i, f := range feeds {
		m := path.Move{Kind: path.Line, From: points[i], To: points[i+1], Feed: f}
		if f == 0 {
			m.Kind = path.Traverse
		}
		s.Moves = append(s.Moves, m)
	}
	p.Sections = []Section{s}
	return p
}

func write(t require.TestingT, p Program) string {
	var b bytes.Buffer
	done, err := Write(&b, p)
	require.NoError(t, err)
	require.EqualValues(t, b.Len(), done.Bytes)
	require.Equal(t, strings.Count(b.String(), "\n"), done.Lines)
	return b.String()
}

var update = flag.Bool("update", os.Getenv("UPDATE") == "1", "write the golden files again")

// golden compares a text with a file of testdata.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := "testdata/" + name
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, string(want), got)
}

// TestGolden: two short programs to be read by a person; UPDATE=1 writes them again.
func TestGolden(t *testing.T) {
	golden(t, "spindle.ngc", write(t, small(t)))
	p := small(t)
	p.Machine = machine(t, "inch-24")
	p.Dial = "3"
	p.Zero = -25.4
	p.Clearance, p.Thickness = 5.08, 25.4
	for i := range p.Sections[0].Moves {
		m := &p.Sections[0].Moves[i]
		for _, v := range []*r3.Vec{&m.From, &m.To} {
			*v = r3.Scale(25.4/25, *v) // 5 mm become 0.2 in
			v.X, v.Y, v.Z = grid(v.X), grid(v.Y), grid(v.Z)
		}
		m.Feed *= 0.635
	}
	golden(t, "hand-router.ngc", write(t, p))
}

// grid returns the nearest length of five decimals of an inch.
func grid(v float64) float64 { return math.Round(v/25.4*1e5) / 1e5 * 25.4 }

// TestNumbers: whole steps in decimals, without needless zeros or a minus zero,
// and what lies between two steps is refused.
func TestNumbers(t *testing.T) {
	mm, inch := lattice{1e-4, 4}, lattice{25.4e-5, 5}
	for _, c := range []struct {
		l    lattice
		v    float64
		want string // empty where it is refused
	}{
		{mm, 0, "0"}, {mm, math.Copysign(0, -1), "0"}, {mm, 1, "1"}, {mm, -1, "-1"}, {mm, 100, "100"}, {mm, 10.5, "10.5"},
		{mm, 0.0001, "0.0001"}, {mm, -0.0001, "-0.0001"}, {mm, 0.001, "0.001"}, {mm, 0.1, "0.1"}, {mm, -0.25, "-0.25"},
		{mm, 1234.5678, "1234.5678"}, {mm, 0.0999, "0.0999"}, {mm, 9.9999, "9.9999"}, {mm, -99.9, "-99.9"},
		{mm, 0.1 + 0.2, "0.3"},
		{mm, math.Nextafter(0.3, 1), "0.3"}, {mm, math.Nextafter(0.3, 0), "0.3"}, {mm, math.Nextafter(0, -1), "0"},
		// Half a step, its neighbours, and all but a thousandth of a step are no coordinates.
		{mm, 0.00005, ""}, {mm, -0.00005, ""}, {mm, math.Nextafter(0.00005, 1), ""}, {mm, math.Nextafter(0.00005, 0), ""},
		{mm, 1.00015, ""}, {mm, 0.0001 + 2e-7, ""}, {mm, 0.0001 + 0.5e-7, "0.0001"},
		{mm, math.NaN(), ""}, {mm, math.Inf(1), ""}, {mm, math.Inf(-1), ""}, {mm, 1e9, ""}, {mm, -1e300, ""},
		{inch, 25.4, "1"}, {inch, 12.7, "0.5"}, {inch, 25.4 / 64, ""}, {inch, 25.4 / 32, "0.03125"}, {inch, -25.4 * 0.00001, "-0.00001"},
		{inch, 25.4 * 0.000005, ""}, {inch, 1, ""}, {inch, 254, "10"}, {inch, math.Nextafter(2.54, 3), "0.1"},
	} {
		got, err := c.l.append(nil, c.v)
		if c.want == "" {
			require.Error(t, err, "%g", c.v)
			continue
		}
		require.NoError(t, err, "%g", c.v)
		require.Equal(t, c.want, string(got), "%g", c.v)
	}
}

// TestRefused: each thing that a program may not do, with what the error says.
func TestRefused(t *testing.T) {
	first := func(k path.Kind, to r3.Vec, feed float64) func(*Program) {
		return func(p *Program) {
			moves := p.Sections[0].Moves[:3:3]
			p.Sections[0].Moves = append(moves, path.Move{Kind: k, From: moves[2].To, To: to, Feed: feed})
		}
	}
	v := func(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} } // the tip stands at -10 2.5 -0.5
	arc := func(centre r3.Vec, arcs bool) func(*Program) {
		return func(p *Program) {
			first(path.Arc, v(10, 2.5, -0.5), 600)(p)
			p.Machine.Arcs = arcs
			m := &p.Sections[0].Moves[3]
			m.Plane, m.Centre, m.Clockwise = path.ZX, centre, true
		}
	}
	cases := map[string]struct {
		spoil func(*Program)
		want  string
	}{
		"travel X":                {first(path.Line, v(620, 2.5, -0.5), 600), "beyond the travel of bench-600"},
		"travel Y":                {first(path.Line, v(-10, 640, -0.5), 600), "beyond the travel of bench-600"},
		"travel Z":                {func(p *Program) { p.Thickness = 86 }, "beyond the travel of bench-600 in Z"},
		"through the blank":       {first(path.Line, v(10, 2.5, -25), 60), "through a blank of 25 mm"},
		"above clearance":         {first(path.Line, v(10, 2.5, 5.0001), 600), "above clearance"},
		"not a number":            {first(path.Line, v(math.NaN(), 2.5, -0.5), 600), "not a number"},
		"infinite":                {first(path.Line, v(10, 2.5, -0.5), math.Inf(1)), "not a number"},
		"no feed":                 {first(path.Line, v(10, 2.5, -0.5), 0), "has no feed"},
		"feed below zero":         {first(path.Line, v(10, 2.5, -0.5), -1), "has no feed"},
		"feed too slow":           {first(path.Line, v(10, 2.5, -0.5), 0.09), "too slow to write"},
		"feed over X":             {first(path.Line, v(10, 2.5, -0.5), 5000.01), "moves X faster than bench-600 may"},
		"feed over Y":             {first(path.Line, v(-10, 12.5, -0.5), 5001), "moves Y faster than bench-600 may"},
		"feed over Z":             {first(path.Line, v(-10, 2.5, -1), 1501), "moves Z faster than bench-600 may"},
		"feed over Z on a slope":  {first(path.Line, v(-7, 2.5, -4.5), 1900), "moves Z faster than bench-600 may"},
		"feed over the cutter's":  {func(p *Program) { p.Cutter.ChipLoad = 0.0333 }, "more than quarter ball may take"},
		"cutter without flutes":   {func(p *Program) { p.Cutter.Flutes = 0 }, "more than quarter ball may take"},
		"off the steps":           {first(path.Line, v(10.00005, 2.5, -0.5), 600), "does not lie on the program's steps"},
		"off the steps in Z":      {first(path.Line, v(10, 2.5, -0.12345), 600), "does not lie on the program's steps"},
		"zero off the steps":      {func(p *Program) { p.Zero = -0.00005 }, "does not lie on the program's steps"},
		"traverse in Z and X":     {first(path.Traverse, v(0, 2.5, 5), 0), "may not change Z together with X or Y"},
		"traverse in Z and Y":     {first(path.Traverse, v(-10, 3, 5), 0), "may not change Z together with X or Y"},
		"traverse below":          {first(path.Traverse, v(10, 2.5, -0.5), 0), "is below clearance"},
		"arc where there is none": {arc(v(0, 2.5, 100), false), "bench-600 takes no arcs"},
		"arc with two radii":      {arc(v(0.1, 2.5, 100), true), "differ by more than the language allows"},
		"arc off the steps":       {arc(v(0, 2.5, 100.00005), true), "does not lie on the program's steps"},
		"arc through the blank":   {func(p *Program) { arc(v(0, 2.5, 9.5), true)(p); p.Thickness = 4 }, "the tip would go to -4.64"},
		"arc beyond the travel": {func(p *Program) {
			arc(v(0, 2.5, -0.5), true)(p)
			p.Sections[0].Moves[3].Plane, p.Machine.Travel.X = path.XY, 25
			p.Machine.Travel.Y = 9
		}, "beyond the travel"},
		"arc too fast in Z":       {func(p *Program) { arc(v(0, 2.5, 9.5), true)(p); p.Sections[0].Moves[3].Feed = 2500 }, "moves Z faster"},
		"speed above the cutter":  {func(p *Program) { p.Speed = 18001 }, "outside what bench-600"},
		"speed above the spindle": {func(p *Program) { p.Speed, p.Cutter.FastestSpeed = 24001, 30000 }, "outside what bench-600"},
		"speed below the spindle": {func(p *Program) { p.Speed = 7999 }, "outside what bench-600"},
		"speed not a number":      {func(p *Program) { p.Speed = math.NaN() }, "outside what bench-600"},
		"dial without a router":   {func(p *Program) { p.Dial = "3" }, "a dial setting belongs to a hand router"},
		"router without a dial":   {func(p *Program) { p.Machine = machine(t, "bench-400"); p.Speed = 17000 }, "a dial setting belongs to a hand router"},
		"clearance in the blank":  {func(p *Program) { p.Clearance = 0 }, "must lie above the blank's top"},
		"no clearance":            {func(p *Program) { p.Clearance = math.NaN() }, "must lie above the blank's top"},
		"no moves":                {func(p *Program) { p.Sections[0].Moves = nil }, "without moves"},
		"a gap between moves":     {func(p *Program) { p.Sections[0].Moves[4].From.X = 9 }, "does not start where the move before it ends"},
		"cuts before it is there": {func(p *Program) { p.Sections[0].Moves = p.Sections[0].Moves[3:] }, "does not start where the move before it ends"},
		"down before it is there": {func(p *Program) { p.Sections[0].Moves = p.Sections[0].Moves[1:] }, "does not start where the move before it ends"},
		"name too long":           {func(p *Program) { p.Cutter.Name = strings.Repeat("x", 71) }, "a line of 81 characters is longer than bench-600 takes (80)"},
		"set too long":            {func(p *Program) { p.Set = strings.Repeat("x y", 30) }, "longer than bench-600 takes"},
		"setup too long":          {func(p *Program) { p.Setup = strings.Repeat("x y", 30) }, "longer than bench-600 takes"},
		"path mode too long":      {func(p *Program) { p.Machine.PathMode = "G64 P" + strings.Repeat("0", 76) }, "longer than bench-600 takes"},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			p := small(t)
			c.spoil(&p)
			var b bytes.Buffer
			_, err := Write(&b, p)
			require.ErrorContains(t, err, c.want)
		})
	}
}

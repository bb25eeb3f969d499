package draft

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
	"pgregory.net/rapid"
)

func TestMain(m *testing.M) { os.Exit(chance.Run(m)) }

// drawMachine is a built-in machine, or a profile of four keys, some of them odd.
func drawMachine(t *rapid.T) machines.Machine {
	if name := rapid.SampledFrom(append(machines.BuiltinNames(), "")).Draw(t, "machine"); name != "" {
		m, _ := machines.Builtin(name)
		return m
	}
	slow := rapid.IntRange(1000, 29000).Draw(t, "slowest")
	text := fmt.Sprintf("name: drawn\ntravel: {x: %d mm, y: 400 mm, z: 80 mm}\nfeed: %d mm/min\nspindle: {slowest: %d, fastest: %d}\n",
		rapid.IntRange(200, 1500).Draw(t, "travel"), rapid.IntRange(300, 12000).Draw(t, "feed"), slow, slow+rapid.IntRange(1000, 20000).Draw(t, "range"))
	if c := rapid.SampledFrom([]string{"", "collets: [1/8 in]", "collets: [3 mm, 8 mm]", "collets: [1/2 in]", "collets: [20 mm]"}).Draw(t, "collets"); c != "" {
		text += c + "\n"
	}
	m, err := machines.Parse("drawn.yaml", []byte(text))
	require.NoError(t, err, text)
	return m
}

// Each cutter of a suggested shelf is read without a fault, has a collet that takes it and
// a speed that the spindle has, and none is named for what it cannot do.
func TestShelf(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		m := drawMachine(t)
		f := Face{Wide: rapid.Float64Range(30, 1000).Draw(t, "wide"), Deep: rapid.Float64Range(0, 25).Draw(t, "deep"), Crown: rapid.Bool().Draw(t, "crown"), Gauge: rapid.Bool().Draw(t, "gauge")}
		list := Shelf(m, f, rapid.Bool().Draw(t, "inches"))
		require.LessOrEqual(t, len(list), 2)
		if len(list) == 0 {
			return
		}
		found++
		text := "radius: 9 m\ndiameter: 300 mm\nmachine: wide-1250\nshelf:\n"
		for _, c := range list {
			text += "  " + c.Name + ": " + c.Text + "\n"
		}
		j, err := job.Load("job.yaml", []byte(text))
		require.NoError(t, err, text)
		for _, c := range j.Work.Shelf {
			_, _, ok := m.SpindleSpeed(c.Speed)
			require.True(t, ok, "the spindle cannot run slowly enough for %s", c.Name)
			require.True(t, slices.ContainsFunc(m.Collets, func(d float64) bool { return math.Abs(d-c.Shank) < 0.05 }), "no collet for %s", c.Name)
			require.LessOrEqual(t, c.Diameter, slender*c.Shank+1e-6)
			require.LessOrEqual(t, c.DepthOfCut, c.FluteLength)
			if !f.Gauge {
				require.LessOrEqual(t, c.Diameter, f.Wide/4)
			}
		}
	})
	require.Positive(t, found)
}

// A cutter that the spindle cannot run slowly enough for is left out, and a narrower one
// takes its place.
func TestShelfOfFastSpindles(t *testing.T) {
	names := func(slowest int) (list []string) {
		m, err := machines.Parse("m.yaml", fmt.Appendf(nil, "name: fast\ntravel: {x: 600 mm, y: 600 mm, z: 80 mm}\nfeed: 5000 mm/min\nspindle: {slowest: %d, fastest: 60000}\n", slowest))
		require.NoError(t, err)
		for _, c := range Shelf(m, Face{Wide: 500, Deep: 5}, false) {
			list = append(list, c.Name)
		}
		return list
	}
	require.Equal(t, []string{"25 mm flat", "12 mm ball"}, names(10000))
	require.Equal(t, []string{"16 mm flat", "12 mm ball"}, names(20000))
	require.Equal(t, []string{"6 mm flat", "6 mm ball"}, names(26000))
	require.Empty(t, names(40000))
}

// Every line of a draft says something or says what it says.
func TestText(t *testing.T) {
	j := Job{Lines: []Line{{"radius", "28 ft"}, {"name", Quoted("it's: a #1 [dish]")}, {"diameter", "24 in"}, {"machine", "bench-600"}},
		Blank: Blank{Shape: "round", Keys: []Line{{"diameter", "25 in"}}, Thickness: "3/4 in"}, Setups: true,
		Shelf: []Cutter{{"one", "{shape: ball, diameter: 1/2 in, flutes: 2, flute length: 1 in, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}"}}}
	text := string(j.Text())
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		cutter := strings.HasPrefix(line, "  one: ") // its comment stands above it
		require.True(t, line == "" || cutter || strings.Contains(line, "# "), line)
	}
	read, err := job.Load("job.yaml", []byte(text))
	require.NoError(t, err, text)
	require.Equal(t, "it's: a #1 [dish]", read.Work.Name)
	require.Equal(t, work.AutoSetups, read.Work.Setups.Count)

	j.Held, j.Shop = map[string]bool{"shelf": true, "index error": true, "blank/material": true}, "sh\u00f6p.yaml"
	text = string(j.Text())
	require.Contains(t, text, "# What is not here stands in the shop file sh?p.yaml.\n")
	for _, gone := range []string{"shelf:", "index error", "material"} {
		require.NotContains(t, text, gone)
	}
}

// Any text is read back as it is.
func TestQuoted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"null", "NULL", "~", "yes", "1e5", "-", "a: b", "a #b", "'", `"`, `C:\temp`, "../a.yaml", "auto", " x ", "", "[a]", "&a", "28 ft dish", "\u2028", "<&>"})).Draw(t, "text")
		if strings.ContainsRune(text, '\uFFFD') {
			return // stands for what is no text
		}
		var got struct{ A string }
		require.NoError(t, yaml.Unmarshal([]byte("a: "+Quoted(text)+"\n"), &got), "%q", Quoted(text))
		require.Equal(t, text, got.A)
	})
}

func TestNeeds(t *testing.T) {
	for form, want := range map[string][]string{key.Dish: {"radius", "diameter"}, key.Caul: {"radius", "diameter"}, key.Pair: {"radius", "diameter", "plate"}, key.Board: {"radius", "length", "width"}, key.Gauge: {"length", "radii"}} {
		require.ElementsMatch(t, want, Needs(form), form)
	}
}

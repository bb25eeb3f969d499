package cam_test

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"dishwright/cam"
	"dishwright/cam/given"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// sensed returns the kinds of warnings of one cutter that finishes a dish, with their hints.
func sensed(t interface{ FailNow() }, w work.Work, c path.Cutter, chip float64) map[string]work.Warning {
	s := work.Section{Purpose: work.Finishing, Feeds: work.Feeds{ChipLoad: chip}}
	list := cam.Sense(work.Whole(&w), []work.Program{{Cutter: c, Sections: []work.Section{{Purpose: work.AirLap}}}, {Cutter: c, Sections: []work.Section{s}}})
	out := map[string]work.Warning{}
	for _, w := range list {
		if _, twice := out[w.Kind]; twice || w.Message.Empty() || w.Hint.Empty() {
			t.FailNow()
		}
		out[w.Kind] = w
	}
	return out
}

// plain returns a dish and a cutter of which there is nothing to say.
func plainUse() (work.Work, path.Cutter) {
	w := given.Work(dish.Hollow, 7620, 230)
	w.Blank.Thickness, w.Pattern = 25, "spokes"
	c := given.HalfFlat
	c.StickOut, c.Shank, c.ChipLoad, c.DepthOfCut, c.FluteLength = 35, 12.7, 0.06, 3, 25
	return w, c
}

// warped are the corners of a bed that lie off their plane by so much, up and down by turns.
func warped(off float64) []r3.Vec {
	return []r3.Vec{{X: -200, Y: -200, Z: off}, {X: 200, Y: -200, Z: -off}, {X: 200, Y: 200, Z: off}, {X: -200, Y: 200, Z: -off}}
}

// Each rule on both sides of where it begins.
func TestSense(t *testing.T) {
	for _, c := range []struct {
		kind string
		do   func(w *work.Work, c *path.Cutter, chip *float64)
		hint string // "" where nothing is said
	}{
		{"rubbing", func(_ *work.Work, c *path.Cutter, chip *float64) { *chip = 0.039 }, "a machine that feeds faster"},
		{"rubbing", func(_ *work.Work, c *path.Cutter, chip *float64) { *chip = 0.04 }, ""},
		{"rubbing", func(_ *work.Work, c *path.Cutter, chip *float64) { *chip, c.ChipLoad = 0.02, 0.02 }, "write chip load: 0.06 mm"},
		{"rubbing", func(_ *work.Work, c *path.Cutter, chip *float64) { c.Diameter, *chip = 3, 0.021 }, ""},
		{"rubbing", func(_ *work.Work, c *path.Cutter, chip *float64) { c.Diameter, *chip = 3, 0.019 }, "feeds faster"},
		{"chip-load", func(_ *work.Work, c *path.Cutter, _ *float64) { c.ChipLoad = 0.69 }, ""},
		{"chip-load", func(_ *work.Work, c *path.Cutter, _ *float64) { c.ChipLoad = 0.70 }, "write chip load: 0.06 mm"},
		{"chip-load", func(w *work.Work, c *path.Cutter, _ *float64) { w.Material, c.ChipLoad = "birch plywood", 0.59 }, "write chip load"},
		{"chip-load", func(w *work.Work, c *path.Cutter, _ *float64) { w.Material, c.ChipLoad = "Beech", 0.54 }, "write chip load"},
		{"chip-load", func(w *work.Work, c *path.Cutter, _ *float64) { w.Material, c.ChipLoad = "beech", 0.52 }, ""},
		{"chip-load", func(_ *work.Work, c *path.Cutter, _ *float64) { c.Diameter, c.ChipLoad, c.DepthOfCut = 3.175, 0.19, 1 }, "write chip load: 0.03 mm"},
		{"chip-load", func(w *work.Work, c *path.Cutter, _ *float64) { w.Machine, c.ChipLoad = given.Router("inch-24"), 1.27 }, "write chip load: 0.002 in"},
		{"deep-cut", func(_ *work.Work, c *path.Cutter, _ *float64) { c.DepthOfCut = 12.7 }, ""},
		{"deep-cut", func(_ *work.Work, c *path.Cutter, _ *float64) { c.DepthOfCut = 13 }, "write depth of cut: 3 mm"},
		{"deep-cut", func(w *work.Work, c *path.Cutter, _ *float64) {
			w.Machine, c.DepthOfCut = given.Router("inch-24"), 25.4
		}, "write depth of cut: 1/8 in"},
		{"thin-shank", func(_ *work.Work, c *path.Cutter, _ *float64) {
			c.Diameter, c.Shank, c.StickOut, c.FluteLength = 25.4, 6.35, 25, 20
		}, ""},
		{"thin-shank", func(_ *work.Work, c *path.Cutter, _ *float64) {
			c.Diameter, c.Shank, c.StickOut, c.FluteLength = 25.4, 6.3, 25, 20
		}, "write shank: 12.7 mm"},
		{"thin-shank", func(w *work.Work, c *path.Cutter, _ *float64) {
			w.Machine.Collets, c.Diameter, c.Shank, c.StickOut, c.FluteLength = []float64{6}, 25.4, 6, 24, 12
		}, "a cutter of at most 24 mm"},
		{"stick-out", func(_ *work.Work, c *path.Cutter, _ *float64) { c.StickOut = 50.8 }, ""},
		{"stick-out", func(_ *work.Work, c *path.Cutter, _ *float64) { c.StickOut = 51 }, "write stick out: 50 mm"},
		{"stick-out", func(_ *work.Work, c *path.Cutter, _ *float64) { c.Shank, c.StickOut = 6.35, 25.4 }, ""},
		{"stick-out", func(_ *work.Work, c *path.Cutter, _ *float64) { c.Shank = 6.35 }, "write stick out: 25 mm"},
		{"stick-out", func(_ *work.Work, c *path.Cutter, _ *float64) { c.Shank, c.FluteLength = 6.35, 30 }, "write shank: 12.7 mm"},
		{"stick-out", func(w *work.Work, c *path.Cutter, _ *float64) {
			w.Machine.Collets, c.Shank, c.FluteLength = []float64{6.35}, 6.35, 30
		}, "shorter flutes"},
		{"ball-rubs", func(_ *work.Work, c *path.Cutter, _ *float64) { c.Shape, c.Core = path.Ball, 0 }, "a flat or a bull"},
		{"uphill", func(w *work.Work, c *path.Cutter, _ *float64) { w.Pattern, c.Core, c.Ramp = "raster", 4, 0.01 }, "a ball"},
		{"uphill", func(w *work.Work, c *path.Cutter, _ *float64) {
			w.Pattern, c.Core, c.Ramp, w.Direction = "raster", 4, 0.01, work.Uphill
		}, ""},
		{"thin-floor", func(w *work.Work, _ *path.Cutter, _ *float64) { w.Blank.Thickness = w.Face.Sagitta() + 2 }, "write support: board"},
		{"thin-floor", func(w *work.Work, _ *path.Cutter, _ *float64) { w.Blank.Thickness = w.Face.Sagitta() + 6 }, ""},
		{"thin-floor", func(w *work.Work, _ *path.Cutter, _ *float64) {
			w.Blank.Thickness, w.Support = w.Face.Sagitta()+2, work.OnBoard
		}, ""},
		{"thin-floor", func(w *work.Work, _ *path.Cutter, _ *float64) {
			w.Blank.Thickness, w.Support = w.Face.Sagitta()+10, work.OnRim
		}, "write thickness: "},
		{"thin-floor", func(w *work.Work, _ *path.Cutter, _ *float64) { w.Support = work.OnRim }, ""},
		{"bed-not-flat", func(w *work.Work, _ *path.Cutter, _ *float64) { w.Machine.Bed = warped(w.ZeroError * 1.02) }, "shim the blank"},
		{"bed-not-flat", func(w *work.Work, _ *path.Cutter, _ *float64) { w.Machine.Bed = warped(w.ZeroError * 0.98) }, ""},
		{"thin-floor", func(w *work.Work, _ *path.Cutter, _ *float64) {
			w.Blank.Thickness, w.Support, w.Ribs = w.Face.Sagitta()+4, work.OnRibs, 200
		}, "set the ribs closer"},
		{"thin-floor", func(w *work.Work, _ *path.Cutter, _ *float64) {
			w.Blank.Thickness, w.Support, w.Ribs = w.Face.Sagitta()+10, work.OnRibs, 120
		}, ""},
		{"holder", func(w *work.Work, _ *path.Cutter, _ *float64) { w.Machine.Holder = machines.Holder{} }, ""},
		{"holder", func(w *work.Work, _ *path.Cutter, _ *float64) {
			w.Machine.Holder, w.HoldDowns = machines.Holder{}, []path.Obstacle{{X: 235, Y: 235, Radius: 12, Height: 15}}
		}, "write holder: {"},
		{"holder", func(w *work.Work, _ *path.Cutter, _ *float64) {
			w.HoldDowns = []path.Obstacle{{X: 235, Y: 235, Radius: 12, Height: 15}}
		}, ""},
		{"thin-floor", func(w *work.Work, _ *path.Cutter, _ *float64) {
			w.Face.Kind, w.Blank.Thickness = dish.Crown, w.Face.Sagitta()+2
		}, ""},
	} {
		w, cutter := plainUse()
		chip := 0.06
		require.Empty(t, sensed(t, w, cutter, chip), "nothing is said of ordinary work")
		c.do(&w, &cutter, &chip)
		got := sensed(t, w, cutter, chip)
		if c.hint == "" {
			require.NotContains(t, got, c.kind)
			continue
		}
		require.Contains(t, got, c.kind)
		require.Contains(t, got[c.kind].Hint.In(measure.Ruler{Inches: w.Inches()}), c.hint)
		require.Len(t, got, 1, "%v", got)
	}
}

// A cutter that runs in several programs is spoken of once, with the worst of them; an air lap
// cuts nothing.
func TestSenseOncePerCutter(t *testing.T) {
	w, c := plainUse()
	other := c
	other.Name = "other"
	section := func(chip float64) []work.Section {
		return []work.Section{{Purpose: work.Extra, Feeds: work.Feeds{ChipLoad: chip}}}
	}
	list := cam.Sense(work.Whole(&w), []work.Program{{Cutter: c, Sections: section(0.06)}, {Cutter: other, Sections: section(0.06)}, {Cutter: c, Sections: section(0.03)}, {Cutter: c, Sections: section(0.02)}})
	require.Len(t, list, 1)
	require.Contains(t, list[0].Message.String(), c.Name+" cuts only 0.020 mm")
	require.Empty(t, cam.Sense(work.Whole(&w), nil))
	w.Region, w.Face.Kind = dish.Nowhere{}, dish.Flat
	require.Empty(t, cam.Sense(work.Whole(&w), nil))
}

// What is suggested may be written: with it the warning is gone.
func TestSenseHintsCanBeTaken(t *testing.T) {
	written := regexp.MustCompile(`write ([a-z ]+): ([0-9./ ]+ (?:mm|in))`)
	taken := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		w, c := plainUse()
		w.Machine = given.Router(rapid.SampledFrom([]string{"bench-600", "bench-400", "inch-24", "desktop-300"}).Draw(t, "machine"))
		w.Material = rapid.SampledFrom([]string{"mdf", "plywood", "oak", "acrylic"}).Draw(t, "material")
		w.Support = rapid.SampledFrom([]string{"", work.OnBench, work.OnBoard, work.OnRim}).Draw(t, "support")
		w.Blank.Thickness = w.Face.Sagitta() + rapid.Float64Range(0.5, 30).Draw(t, "floor")
		c.Shape = rapid.SampledFrom([]path.Shape{path.Flat, path.Bull}).Draw(t, "shape")
		c.Diameter = rapid.Float64Range(1, 50).Draw(t, "diameter")
		c.Corner, c.Core = c.Diameter/5, 0
		c.Shank = rapid.SampledFrom(w.Machine.Collets).Draw(t, "shank")
		c.FluteLength = rapid.Float64Range(5, 40).Draw(t, "flutes")
		c.StickOut = c.FluteLength + rapid.Float64Range(2, 60).Draw(t, "out")
		c.ChipLoad = rapid.Float64Range(0.002, 1.5).Draw(t, "chip")
		c.DepthOfCut = rapid.Float64Range(0.1, 60).Draw(t, "depth")
		for _, warning := range cam.Sense(work.Whole(&w), []work.Program{{Cutter: c, Sections: []work.Section{{Purpose: work.Roughing, Feeds: work.Feeds{ChipLoad: c.ChipLoad}}}}}) {
			m := written.FindStringSubmatch(warning.Hint.String())
			if m == nil {
				require.Contains(t, []string{"stick-out", "thin-shank"}, warning.Kind, warning.Hint.String())
				continue
			}
			taken[m[1]]++
			v, err := measure.ParseLength(m[2])
			require.NoError(t, err, warning.Hint.String())
			mended, blank := c, w
			switch m[1] {
			case "chip load":
				mended.ChipLoad = v.MM
			case "depth of cut":
				mended.DepthOfCut = v.MM
			case "stick out":
				mended.StickOut = v.MM
				require.GreaterOrEqual(t, v.MM, c.FluteLength)
			case "shank":
				mended.Shank = v.MM
				mended.StickOut = math.Min(c.StickOut, 4*v.MM) // drawn so far out at most
				require.Contains(t, w.Machine.Collets, v.MM)
			case "thickness":
				blank.Blank.Thickness = v.MM
			}
			for _, left := range cam.Sense(work.Whole(&blank), []work.Program{{Cutter: mended, Sections: []work.Section{{Purpose: work.Roughing, Feeds: work.Feeds{ChipLoad: mended.ChipLoad}}}}}) {
				require.NotEqual(t, warning.Kind, left.Kind, "%s: %s; then %s", warning.Message.String(), warning.Hint, left.Message)
			}
		}
	})
	for _, key := range []string{"chip load", "depth of cut", "stick out", "shank", "thickness"} {
		require.Positive(t, taken[key], key)
	}
}

// How cutters are usually run: within the machine's range, in round figures, and nothing to
// say of it, for all shapes, widths, machines and units.
func TestUsualCutters(t *testing.T) {
	for _, machine := range []string{"bench-600", "bench-400", "inch-24", "desktop-300", "wide-1250"} {
		m := given.Router(machine)
		widest := 50.0
		if top := m.Collets[len(m.Collets)-1]; top < 10 {
			widest = work.MostWide * top
		}
		for d := 0.5; d <= widest; d += 0.25 {
			for _, shape := range []path.Shape{path.Flat, path.Ball, path.Bull} {
				for _, inches := range []bool{false, true} {
					c := work.UsualCutter(m, shape, d, inches)
					c.Name = "one"
					c.StickOut = work.UsualStickOut(c.Shank, c.FluteLength, 0)
					require.NoError(t, valid(c), "%v", c)
					w := given.Work(dish.Hollow, 7620, 230)
					w.Blank.Thickness, w.Machine = 25, m
					chip := work.Section{Purpose: work.Roughing, Feeds: work.Feeds{ChipLoad: c.ChipLoad}}
					require.Empty(t, cam.Sense(work.Whole(&w), []work.Program{{Cutter: c, Sections: []work.Section{chip}}}), "%s %+v", machine, c)
					require.GreaterOrEqual(t, c.Speed, m.Spindle.Slowest)
					require.LessOrEqual(t, c.Speed, m.Spindle.Fastest)
					for _, v := range []float64{c.ChipLoad, c.DepthOfCut, c.FluteLength} {
						text := work.Written(v, inches)
						require.Equal(t, inches, strings.HasSuffix(text, " in"))
						back, err := measure.ParseLength(text)
						require.NoError(t, err)
						require.InDelta(t, v, back.MM, 1e-9)
						require.LessOrEqual(t, len(text), 10, text)
					}
				}
			}
		}
	}
	a, b := work.UsualCutter(given.Router("bench-600"), path.Flat, 6.35, false), work.UsualCutter(given.Router("bench-600"), path.Flat, 50, false)
	require.NotEqual(t, a.Speed, b.Speed)
	require.NotEqual(t, a.ChipLoad, b.ChipLoad)
	require.NotEqual(t, a.DepthOfCut, b.DepthOfCut)
	require.NotEqual(t, a.FluteLength, b.FluteLength)
	require.Equal(t, 7500.0, work.UsualCutter(work.Work{}.Machine, path.Flat, 100, false).Speed, "40 m/s at its edge: 60000 x 40 / 100 π = 7639, rounded down")
}

// valid reports what a cutter breaks of the bounds of a job.
func valid(c path.Cutter) error {
	switch {
	case c.Flutes < 1, !(c.ChipLoad >= 0.001), !(c.DepthOfCut >= 0.05), !(c.FluteLength >= 0.5), !(c.FluteLength >= c.DepthOfCut),
		c.Shape == path.Bull && !(c.Corner > 0 && c.Corner < c.Diameter/2), !(c.StickOut >= c.FluteLength):
		return work.Problems{{Kind: work.KindCutter, Key: work.KeyShelf, Message: measure.Say("out of bounds")}}
	}
	return nil
}

// What the planner refuses of a cutter, its hint writes right.
func TestFitHintsCanBeTaken(t *testing.T) {
	written := regexp.MustCompile(`write ([a-z ]+): ([0-9./]+(?: [0-9]+/[0-9]+)?(?: mm| in)?)`)
	for key, spoil := range map[string]func(w *work.Work, c *path.Cutter){
		"depth of cut": func(_ *work.Work, c *path.Cutter) { c.DepthOfCut, c.FluteLength = 9, 8 },
		"stick out":    func(_ *work.Work, c *path.Cutter) { c.StickOut = 5 },
		"speed":        func(_ *work.Work, c *path.Cutter) { c.Speed, c.FastestSpeed = 4000, 20000 },
		"allowance":    func(w *work.Work, _ *path.Cutter) { w.ZeroError, w.Allowance = 0.9, 0.4 },
	} {
		for _, machine := range []string{"bench-600", "inch-24"} {
			w, c := plainUse()
			w.Machine = given.Router(machine)
			w.Machine.Hood = nil
			require.Empty(t, work.Fits(&w, c))
			spoil(&w, &c)
			ps := work.Fits(&w, c)
			require.Len(t, ps, 1)
			m := written.FindStringSubmatch(ps[0].Hint.String())
			require.NotNil(t, m, ps[0].Hint.String())
			require.Equal(t, key, m[1])
			v, err := measure.ParseLength(m[2])
			switch key {
			case "depth of cut":
				c.DepthOfCut = v.MM
			case "stick out":
				c.StickOut = v.MM
			case "speed":
				c.Speed, err = measure.ParseNumber(m[2])
			case "allowance":
				w.Allowance = v.MM
			}
			require.NoError(t, err, ps[0].Hint.String())
			require.Empty(t, work.Fits(&w, c), "%s: %s", ps[0].Message.String(), ps[0].Hint)
		}
	}
	w, c := plainUse()
	c.Shank = 11
	require.Contains(t, work.Fits(&w, c)[0].Hint.String(), "6 mm or 6.35 mm or 12.7 mm")
}

package machines

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish/measure/strict"
)

// taken are the keys that a profile leaves out, each with what was taken.
func taken(m Machine) (list []string) {
	for _, d := range m.Defaults {
		list = append(list, d.Key+" "+d.Value)
	}
	return list
}

// Four keys are a profile: the rest is taken, told, and what the machine then has.
func TestFourKeys(t *testing.T) {
	for _, c := range []struct {
		what, text string
		want       Machine
		taken      []string
	}{
		{"mm", "name: four\ntravel: {x: 610 mm, y: 590 mm, z: 80 mm}\nfeed: {x: 3000 mm/min, y: 2900 mm/min, z: 800 mm/min}\nspindle: {slowest: 8000, fastest: 24000}\n",
			Machine{Name: "four", Travel: r3.Vec{X: 610, Y: 590, Z: 80}, Feed: r3.Vec{X: 3000, Y: 2900, Z: 800}, Rapid: r3.Vec{X: 3000, Y: 2900, Z: 800},
				Acceleration: r3.Vec{X: 250, Y: 250, Z: 150}, CornerRounding: 0.02, LongestLine: 80, Decimals: 4,
				Spindle: Spindle{Slowest: 8000, Fastest: 24000, StartTime: 5}, Collets: []float64{6, 6.35, 12.7}},
			[]string{"units mm", "rapid {x: 3000 mm/min, y: 2900 mm/min, z: 800 mm/min}", "acceleration {x: 250 mm/s2, y: 250 mm/s2, z: 150 mm/s2}", "spindle/start 5 s",
				"collets [6 mm, 1/4 in, 1/2 in]", "holder none", "path mode none", "corner rounding 0.02 mm", "dwell seconds", "arcs no", "longest line 80", "decimals 4"}},
		{"inches, a dial, one feed", "name: four\ntravel: {x: 25 in, y: 2 ft, z: 3 in}\nfeed: 125 ipm\nspindle: {hand router: {1: 9000, 2: 15000}}\n",
			Machine{Name: "four", Unit: Inches, Travel: r3.Vec{X: 635, Y: 609.6, Z: 76.2}, Feed: r3.Vec{X: 3175, Y: 3175, Z: 1041.4}, Rapid: r3.Vec{X: 3175, Y: 3175, Z: 1041.4},
				Acceleration: r3.Vec{X: 254, Y: 254, Z: 152.4}, CornerRounding: 0.0254, LongestLine: 80, Decimals: 5,
				Spindle: Spindle{Slowest: 9000, Fastest: 15000, StartTime: 5, Dial: []DialSetting{{"1", 9000}, {"2", 15000}}}, Collets: []float64{6, 6.35}},
			[]string{"units in", "feed/z 41 in/min", "rapid {x: 125 in/min, y: 125 in/min, z: 41 in/min}", "acceleration {x: 10 in/s2, y: 10 in/s2, z: 6 in/s2}", "spindle/start 5 s",
				"collets [6 mm, 1/4 in]", "holder none", "path mode none", "corner rounding 0.001 in", "dwell seconds", "arcs no", "longest line 80", "decimals 5"}},
	} {
		m, err := Parse("m.yaml", []byte(c.text))
		require.NoError(t, err, c.what)
		require.Equal(t, c.taken, taken(m), c.what)
		for _, d := range m.Defaults {
			require.NotEmpty(t, d.Why, d.Key)
		}
		m.Defaults = nil
		require.Equal(t, c.want, m, c.what)
	}
}

// Every key alone missing, in mm and in inches: four are faults, the others are taken.
func TestEachKeyMissing(t *testing.T) {
	inches := []string{
		"name: test-one", "travel: {x: 25 in, y: 24 1/2 in, z: 3 1/2 in}", "feed: {x: 120 ipm, y: 120 in/min, z: 40 ipm}", "rapid: {x: 200 ipm, y: 200 ipm, z: 60 ipm}",
		"acceleration: {x: 8 in/s2, y: 8 in/s2, z: 5 in/s2}", "corner rounding: 0.001 in", "path mode: G64", "dwell: seconds", "longest line: 80", "arcs: no", "decimals: 5",
		"spindle: {hand router: {1: 10000, 2: 14000}, start: 4 s}", "collets: [1/4 in]", "holder: {diameter: 1 1/2 in, length: 2 in}", "units: in",
	}
	metric := append([]string{"units: mm", "dwell: seconds", "longest line: 80"}, lines...)
	for _, all := range [][]string{metric, inches} {
		for i, line := range all {
			key, _, _ := strings.Cut(line, ":")
			text := strings.Join(append(append([]string{}, all[:i]...), all[i+1:]...), "\n") + "\n"
			m, err := Parse("m.yaml", []byte(text))
			if key == "name" || key == "travel" || key == "feed" || key == "spindle" {
				var f strict.Faults
				require.ErrorAs(t, err, &f, key)
				require.Len(t, f, 1, key)
				require.Contains(t, f[0].Message, `the key "`+key+`" is missing`)
				hint, ok := strings.CutPrefix(f[0].Hint, "add ")
				require.True(t, ok, f[0].Hint)
				_, err = Parse("m.yaml", []byte(text+hint+"\n"))
				require.NoError(t, err, "%s: what is suggested can be taken: %s", key, hint)
				continue
			}
			require.NoError(t, err, key)
			require.Len(t, m.Defaults, 1, key)
			require.Equal(t, key, m.Defaults[0].Key)
			// What was taken, written out, is the same machine.
			again, err := Parse("m.yaml", []byte(text+key+": "+m.Defaults[0].Value+"\n"))
			require.NoError(t, err, "%s: %s", key, m.Defaults[0].Value)
			m.Defaults = nil
			require.Equal(t, m, again, key)
		}
	}
}

// Hints are in the unit of the profile, and never ask an axis for more than it does.
func TestHintsSuit(t *testing.T) {
	const inch = "name: a\nspindle: {slowest: 8000, fastest: 24000}\ntravel: {x: 25 in, y: 25 in, z: 3 in}\n"
	for _, c := range [][2]string{
		{inch, "add feed: {x: 120 in/min, y: 120 in/min, z: 40 in/min}"},
		{inch + "feed: {x: 100 ipm, y: 100 ipm}", "add z: 40 in/min"},
		{inch + "feed: {x: 100 ipm, y: 90 ipm, z: 30 ipm}\nrapid: {x: 150 ipm}", "add z: 30 in/min"},
		{inch + "feed: {x: 100 ipm, y: 90 ipm, z: 30 ipm}\nrapid: {x: 150 ipm}", "add y: 90 in/min"},
		{inch + "feed: {x: 100 ipm, y: 90 ipm, z: 30 ipm}\nrapid: {x: 99 ipm, y: 90 ipm, z: 30 ipm}", "no machine cuts faster than it traverses: lower the feed, or write at least 100 in/min"},
		{inch + "feed: 100 ipm\nacceleration: {x: 9 in/s2}", "add z: 6 in/s2"},
		{inch + "feed: {x: 5000 ipm, y: 90 ipm, z: 30 ipm}", "it may be from 0.0394 to 3937.0079 in/min"},
		{inch + "feed: 100 ipm\nholder: {diameter: 1 in}", "add length: 1 1/2 in"},
		{inch + "feed: 100 ipm\nunder gantry: 900 in", "it may be from 0.0394 to 196.8504 in"},
		{inch + "feed: 120\n", "write the unit: 120 in/min or 120 mm/s"},
		{strings.Replace(inch, "x: 25 in, ", "", 1) + "feed: 100 ipm\n", "add x: 24 in"},
		{strings.Replace(inch, "z: 3 in", "z: 300 in", 1) + "feed: 100 ipm\n", "it may be from 0.0394 to 196.8504 in"},
		{strings.ReplaceAll(inch, " in", " mm"), "add feed: {x: 3000 mm/min, y: 3000 mm/min, z: 1000 mm/min}"},
		{"units: in\n", "add travel: {x: 24 in, y: 24 in, z: 3 1/2 in}"},
	} {
		_, err := Parse("m.yaml", []byte(c[0]))
		require.ErrorContains(t, err, "hint: "+c[1], c[0])
		require.NotContains(t, err.Error(), "6000 mm/min")
	}
}

// The unit is that of the travel where every axis is in inches or feet; else millimetres.
func TestUnitOfTravel(t *testing.T) {
	for travel, want := range map[string]Unit{
		"{x: 25 in, y: 25 in, z: 3 in}": Inches, `{x: 25", y: 2', z: 3 in}`: Inches, "{x: 25 in, y: 600 mm, z: 3 in}": Millimetres, "{x: 60 cm, y: 1 m, z: 90 mm}": Millimetres,
	} {
		text := "name: a\nfeed: 100 ipm\nspindle: {slowest: 8000, fastest: 24000}\ntravel: " + travel + "\n"
		m, err := Parse("m.yaml", []byte(text))
		require.NoError(t, err, travel)
		require.Equal(t, want, m.Unit, travel)
		for word, unit := range map[string]Unit{"mm": Millimetres, "in": Inches} {
			m, err = Parse("m.yaml", []byte(text+"units: "+word+"\n"))
			require.NoError(t, err)
			require.Equal(t, unit, m.Unit)
			require.NotContains(t, taken(m), "units "+word)
		}
	}
}

// The rules of what is taken, at their borders.
func TestRulesOfDefaults(t *testing.T) {
	for _, c := range []struct {
		travel r3.Vec
		unit   Unit
		want   float64
	}{
		{r3.Vec{X: 450, Y: 300}, Millimetres, 150}, {r3.Vec{X: 300, Y: 450.1}, Millimetres, 250}, {r3.Vec{X: 900, Y: 1}, Millimetres, 250}, {r3.Vec{X: 1, Y: 900.1}, Millimetres, 400},
		{r3.Vec{X: 400}, Inches, 152.4}, {r3.Vec{X: 600}, Inches, 254}, {r3.Vec{X: 1000}, Inches, 406.4},
	} {
		a := Machine{Travel: c.travel, Unit: c.unit}.usualAcceleration()
		require.Equal(t, c.want, a.X)
		require.InEpsilon(t, 0.6*c.want, a.Z, 1e-12)
	}
	require.Equal(t, 333.0, Millimetres.feedOfZ(1000))
	require.Equal(t, 1.0, Millimetres.feedOfZ(1))
	require.Equal(t, 2540.0, Inches.feedOfZ(7620))
	// A tolerance that the path mode asks for is the rounding where none is stated.
	for mode, want := range map[string]float64{"G64 P0.05": 0.05, "G64": 0.02, "G64 Q0.05": 0.02, "G61 P0.05": 0.02, "G64 P0": 0.02} {
		m, err := Parse("m.yaml", []byte(with("corner rounding", "path mode: "+mode)))
		require.NoError(t, err)
		require.Equal(t, want, m.CornerRounding, mode)
		require.True(t, m.Took("corner rounding"))
	}
	require.Contains(t, faults(t, with("corner rounding", "path mode: G64 P2")).Error(), "the number after P in path mode is out of range")
	// None is taken for a holder, and may be said; then it is no default.
	m, err := Parse("m.yaml", []byte(with("holder: none")))
	require.NoError(t, err)
	require.Equal(t, Holder{}, m.Holder)
	require.NotContains(t, taken(m), "holder none")
	for _, bad := range []string{"holder: nothing", "holder: [1 mm]", "holder:", "feed: fast", "feed: [1]", "feed:", "feed: 0 mm/min", "rapid: 6000 mm/min", "rapid:", "dwell:", "arcs:", "decimals:", "longest line:", "spindle: 9000", "spindle: {slowest: 9000, fastest: 10000, start: }"} {
		require.Len(t, faults(t, with(bad)), 1, bad)
	}
}

// All faults of how the controller is described are told at once, each at its place.
func TestControllerFaultsAtOnce(t *testing.T) {
	_, err := Parse("m.yaml", []byte(with("path mode: G64 G61", "dwell: minutes", "longest line: 63", "arcs: maybe", "decimals: 2", "corner rounding: 2 mm")))
	var f strict.Faults
	require.ErrorAs(t, err, &f)
	require.Len(t, f, 6)
	for _, one := range f {
		require.NotEmpty(t, one.Hint, one.Message)
		require.NotZero(t, one.Line)
	}
	for _, at := range []string{"7:12: path mode", "13:8: ", "14:15: longest line is out of range", "8:7: ", "9:11: decimals", "6:18: corner rounding"} {
		require.ErrorContains(t, err, "m.yaml:"+at)
	}
}

package machines

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish/measure/strict"
)

// lines is a good profile, a key a line.
var lines = []string{
	"name: test-one",
	"travel: {x: 620 mm, y: 610 mm, z: 90 mm}",
	"feed: {x: 5000 mm/min, y: 4900 mm/min, z: 1500 mm/min}",
	"rapid: {x: 6000 mm/min, y: 6000 mm/min, z: 2000 mm/min}",
	"acceleration: {x: 250 mm/s2, y: 240 mm/s2, z: 150 mm/s2}",
	"corner rounding: 0.02 mm",
	"path mode: G64",
	"arcs: no",
	"decimals: 4",
	"spindle: {slowest: 8000, fastest: 24000, start: 5 s}",
	"collets: [1/2 in, 6 mm, 1/4 in]",
	"holder: {diameter: 32 mm, length: 40 mm}",
}

// with returns the good profile with other lines in place of those of their
// keys; a key alone, without its colon, is left out.
func with(changes ...string) string {
	all := append([]string(nil), lines...)
	for _, c := range changes {
		key, _, given := strings.Cut(c, ":")
		at := -1
		for i, l := range all {
			if strings.HasPrefix(l, key+":") {
				at = i
			}
		}
		switch {
		case at < 0:
			all = append(all, c)
		case given:
			all[at] = c
		default:
			all = append(all[:at], all[at+1:]...)
		}
	}
	return strings.Join(all, "\n") + "\n"
}

func TestParse(t *testing.T) {
	m, err := Parse("m.yaml", []byte(with("about: for a test", "under gantry: 100 mm", "between uprights: 27 in", "hood: {diameter: 100 mm, above tip: 0 mm}")))
	require.NoError(t, err)
	require.Equal(t, []string{"units mm", "dwell seconds", "longest line 80"}, taken(m))
	m.Defaults = nil
	require.Equal(t, Machine{
		Name: "test-one", About: "for a test", Unit: Millimetres,
		Travel: r3.Vec{X: 620, Y: 610, Z: 90}, Feed: r3.Vec{X: 5000, Y: 4900, Z: 1500}, Rapid: r3.Vec{X: 6000, Y: 6000, Z: 2000},
		Acceleration: r3.Vec{X: 250, Y: 240, Z: 150}, CornerRounding: 0.02, PathMode: "G64", LongestLine: 80, Decimals: 4,
		Spindle: Spindle{Slowest: 8000, Fastest: 24000, StartTime: 5}, Collets: []float64{6, 6.35, 12.7},
		Holder: Holder{32, 40}, Hood: &Hood{100, 0}, UnderGantry: 100, BetweenUprights: 685.8,
	}, m)
	require.False(t, m.HandRouter())

	m, err = Parse("m.yaml", []byte(with("path mode: none", "dwell: milliseconds", "longest line: 64")))
	require.NoError(t, err)
	require.Equal(t, []any{"", Milliseconds, 64}, []any{m.PathMode, m.Dwell, m.LongestLine})
	require.Equal(t, []float64{5, 0.005}, []float64{Seconds.Seconds(5), m.Dwell.Seconds(5)})
	m, err = Parse("m.yaml", []byte(with("path mode", "dwell: none", "arcs: yes", "longest line: 80")))
	require.NoError(t, err)
	require.Equal(t, []any{"", NoDwell, 80}, []any{m.PathMode, m.Dwell, m.LongestLine})

	m, err = Parse("m.yaml", []byte(with("units: in", "arcs: yes", "decimals: 5", "spindle: {hand router: {1: 10000, B-2: 14000, 3.5: 18000}, start: 2 s}")))
	require.NoError(t, err)
	require.Equal(t, Inches, m.Unit)
	require.True(t, m.Arcs)
	require.True(t, m.HandRouter())
	require.Equal(t, Spindle{10000, 18000, 2, []DialSetting{{"1", 10000}, {"B-2", 14000}, {"3.5", 18000}}}, m.Spindle)
}

func TestParseAccepts(t *testing.T) {
	for _, c := range []string{
		"path mode: G61", "path mode: G61.1", "path mode: G61 P0.02 Q0.01", "path mode: G61 P0",
		"spindle: {slowest: 9000, fastest: 9000, start: 120 s}",
		"path mode: none", "path mode", "dwell: seconds", "dwell: milliseconds", "dwell: none", "longest line: 64", "longest line: 256",
		"decimals: 3", "decimals: 6", "arcs: yes", "units: mm", "corner rounding: 0 mm", "travel: {x: 5 m, y: 1 mm, z: 1 mm}",
		"spindle: {slowest: 9000, fastest: 9000, start: 0 s}",
	} {
		_, err := Parse("m.yaml", []byte(with(c)))
		require.NoError(t, err, c)
	}
	// 0.02 mm is 0.00078740 in; a tolerance written in inches may equal the corner rounding.
	_, err := Parse("m.yaml", []byte(with("units: in", "decimals: 5", "corner rounding: 0.001 in", "path mode: G64 P0.001")))
	require.NoError(t, err)
}

func TestParseRefuses(t *testing.T) {
	var collets []string
	for i := range maxEntries + 1 {
		collets = append(collets, fmt.Sprintf("%d.5 mm", i))
	}
	for _, c := range []struct {
		changes []string
		want    []string
	}{
		{[]string{"name"}, []string{`m.yaml:1:1: the key "name" is missing`, "hint: add name: my-router"}},
		{[]string{"holdr: 1"}, []string{`m.yaml:13:1: the key "holdr" is not known`, `did you mean "holder"?`}},
		{[]string{"colour: red"}, []string{"the nearest of 21 keys are "}},
		{[]string{"travel: {x: 0 mm, y: 5001 mm, z: -1 mm}"}, []string{"2:13: travel x", "it may be from 1 to 5000 mm", "2:22: travel y", "2:34: travel z"}},
		{[]string{"travel: {x: 10, y: 1 mm}"}, []string{`2:13: x: "10" has no unit`, `2:9: the key "z" is missing in "travel"`}},
		{[]string{"travel: 600 mm"}, []string{"where keys and values are expected"}},
		{[]string{"feed: {x: 0 mm/min, y: 100001 mm/min, z: 5 mm}"}, []string{"3:11: feed x", "3:24: feed y", `"5 mm" is not a feed`}},
		{[]string{"rapid: {x: 4999 mm/min, y: 6000 mm/min, z: 2000 mm/min}"}, []string{"4:12: rapid x is below the feed"}},
		{[]string{"acceleration: {x: 0 mm/s2, y: 60000 mm/s2, z: 1 mm/s}"}, []string{"5:19: acceleration x", "5:31: acceleration y", "5:47: z:"}},
		{[]string{"acceleration: {x: 0.0000001 mm/s2, y: 0.9 mm/s2, z: 1 mm/s2}"}, []string{"5:19: acceleration x", "it may be from 1 to 50000 mm/s2", "acceleration y"}},
		{[]string{"feed: {x: 0.001 mm/min, y: 1 mm/min, z: 1 mm/min}"}, []string{"3:11: feed x", "it may be from 1 to 100000 mm/min"}},
		{[]string{"spindle: {slowest: 0.1, fastest: 24000, start: 5 s}"}, []string{"spindle slowest", "it may be from 100 to 100000 rpm"}},
		{[]string{"errors: {scale: {x: word}}"}, []string{"scale x: \"word\"", "hint: write it like 0.12 mm per 100 mm"}},
		{[]string{"corner rounding: -0.01 mm"}, []string{"6:18: corner rounding is out of range", "from 0 to 1 mm"}},
		{[]string{"corner rounding: 2 mm"}, []string{"corner rounding is out of range"}},
		{[]string{"arcs: maybe"}, []string{"must be yes or no"}},
		{[]string{"arcs: yes", "decimals: 3"}, []string{"9:11: arcs in millimetres need at least 4 decimals"}},
		{[]string{"units: in", "arcs: yes"}, []string{"9:11: arcs in inches need at least 5 decimals"}},
		{[]string{"decimals: 2"}, []string{"decimals is out of range", "from 3 to 6"}},
		{[]string{"decimals: 7"}, []string{"decimals is out of range"}},
		{[]string{"decimals: 4.0"}, []string{"not a whole number"}},
		{[]string{"units: inch"}, []string{`"units" cannot be "inch"`, "mm, in"}},
		{[]string{"path mode: G64 P0.021"}, []string{"by more than the corner rounding, 0.02 mm"}},
		{[]string{"corner rounding: 0 mm", "path mode: G64 P0.01"}, []string{"by more than the corner rounding, 0 mm"}},
		{[]string{"path mode: G64 G61"}, []string{`7:12: path mode cannot be "G64 G61"`, "write none, or one of"}},
		{[]string{"dwell: minutes"}, []string{`13:8: "dwell" cannot be "minutes"`, "seconds, milliseconds, none"}},
		{[]string{"dwell: 5 s"}, []string{`"dwell" cannot be "5 s"`}},
		{[]string{"dwell: none", "spindle: {slowest: 8000, fastest: 24000, start: 61 s}"}, []string{"13:8: without a dwell", "last 60 seconds", "dwell: seconds or milliseconds"}},
		{[]string{"longest line: 63"}, []string{"13:15: longest line is out of range", "from 64 to 256"}},
		{[]string{"longest line: 257"}, []string{"longest line is out of range"}},
		{[]string{"longest line: 80 mm"}, []string{"is not a number alone"}},
		{[]string{"arcs: yes", "longest line: 79"}, []string{"13:15: arcs need lines of at least 80 characters", "write longest line: 80, or arcs: no"}},
		{[]string{"spindle: {slowest: 9000, fastest: 8000, start: 5 s}"}, []string{"10:20: the slowest speed of the spindle is above its fastest"}},
		{[]string{"spindle: {slowest: 0, fastest: 100001, start: 121 s}"}, []string{"spindle slowest", "spindle fastest", "spindle start is out of range"}},
		{[]string{"spindle: {start: 5 s}"}, []string{`"slowest" is missing`, `"fastest" is missing`}},
		{[]string{"spindle: {hand router: {1: 10000, 2: 10000}, start: 5 s}"}, []string{`10:38: the dial setting "2" is not faster`, "from slow to fast"}},
		{[]string{"spindle: {hand router: {}, start: 5 s}"}, []string{"must list 1 to 30 settings"}},
		{[]string{"spindle: {hand router: {(1): 10000, 12345678901: 11000}, start: 5 s}"}, []string{`10:25: the dial setting "(1)" cannot be written`, `"12345678901" cannot be written`}},
		{[]string{"spindle: {hand router: {1: 10000}, slowest: 1, start: 5 s}"}, []string{`"slowest" is not known in "spindle"`}},
		{[]string{"collets: []"}, []string{"1 to 30 sizes"}},
		{[]string{"collets: [" + strings.Join(collets, ", ") + "]"}, []string{"1 to 30 sizes"}},
		{[]string{"collets: [6 mm, 31 mm, 0.6 cm, -1 mm, 8]"}, []string{"entry 2 is out of range", "entry 3: this size stands in the list already", "entry 4 is out of range", `entry 5: "8" has no unit`}},
		{[]string{"holder: {diameter: 0 mm}"}, []string{"holder diameter is out of range", `"length" is missing in "holder"`}},
		{[]string{"hood: {diameter: 501 mm, above tip: -1 mm}"}, []string{"hood diameter is out of range", "hood above tip is out of range"}},
		{[]string{"hood:"}, []string{`"hood" has no value`}},
		{[]string{"under gantry: 0 mm"}, []string{"under gantry is out of range"}},
		{[]string{"about: \"a\\nb\""}, []string{"one line"}},
		{[]string{"extra: 1", "extra2: 1\nname: again"}, []string{`15:1: the key "name" stands here again; it is on line 1 already`}},
	} {
		t.Run(strings.Join(c.changes, "; "), func(t *testing.T) {
			m, err := Parse("m.yaml", []byte(with(c.changes...)))
			var f strict.Faults
			require.ErrorAs(t, err, &f)
			require.Equal(t, Machine{}, m)
			for _, w := range c.want {
				require.Contains(t, err.Error(), w)
			}
		})
	}
}

// The former name of corner rounding is still read; both at once are a fault.
func TestParseFormerNames(t *testing.T) {
	m, err := Parse("m.yaml", []byte(with("corner rounding", "deviation: 0.03 mm")))
	require.NoError(t, err)
	require.Equal(t, 0.03, m.CornerRounding)
	_, err = Parse("m.yaml", []byte(with("deviation: 0.03 mm")))
	require.EqualError(t, err, `m.yaml:13:1: "deviation" is the former name of the key "corner rounding", which is on line 6`+"\n  hint: keep corner rounding alone")
	_, err = Parse("m.yaml", []byte(with("corner rounding", "deviation: 2 mm")))
	require.ErrorContains(t, err, "m.yaml:12:12: corner rounding is out of range")
}

// Nothing but the choice of path mode gets into a program by way of a profile.
func TestPathModeCannotMove(t *testing.T) {
	for _, s := range []string{
		"G0 Z-10", "G64 X1", "G64 Z-10", "G64 G0 X0", "G64 M3", "G64 S1000", "G64 (x", "G64 (x)", "G64 ; x", "G64;x", "G641", "G64.1", "G6 4", "G61.2",
		"g64", "G61 P", "G61 P-1", "G61 P1e3", "G61 P#1", "G61 P[1]", "G61 P0.02 P0.02", "G61 Q1 P1", "G61P0.02Z1", "G61  P0.02", "N1 G64", "%", "/G64",
		"G61 P٠", "G61\u00a0P1", `"G64\nG0 Z-9"`, `"G64\rG0"`, `"G64 "`, "[G64]", "64", "G61 P1234",
	} {
		_, err := Parse("m.yaml", []byte(with("path mode: "+s)))
		require.Error(t, err, s)
	}
}

// Everything wrong with a profile is told at once.
func TestParseTellsAll(t *testing.T) {
	_, err := Parse("m.yaml", []byte("nam: x\n"))
	var f strict.Faults
	require.ErrorAs(t, err, &f)
	require.Len(t, f, 1+4) // one key unknown, name, travel, feed and spindle missing
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(with()))
	f.Add([]byte(with("units: in", "spindle: {hand router: {1: 10000, 2: 14000}, start: 5 s}", "hood: {diameter: 1 mm, above tip: 2 mm}")))
	f.Add([]byte("name: [x\n"))
	f.Add([]byte("name: four\ntravel: {x: 25 in, y: 2 ft, z: 3 in}\nfeed: 125 ipm\nspindle: {hand router: {1: 9000, 2: 15000}}\n"))
	f.Add([]byte(with("corner rounding: 1/3333333333333333333333 mm", "errors: {lean: 1/3333333333333333333333 mm per 1 mm, backlash: {x: 1/7777777777777777777777 in}, scale: {x: -1/7 mm per 33 mm}}")))
	f.Add([]byte(with("units: in", "travel: {x: 4/3 mm, y: 1000/3 mm, z: 10/3 in}", "feed: {x: 1000/3 mm/min, y: 7/3 mm/s, z: 1/7 in/s}")))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := Parse("m.yaml", data)
		if err != nil {
			var f strict.Faults
			require.ErrorAs(t, err, &f)
			for _, one := range f {
				require.True(t, one.Hint != "" || one.Line == 0, "no hint: %s", one.Message)
			}
			return
		}
		for _, v := range []float64{
			m.Travel.X, m.Travel.Y, m.Travel.Z, m.Feed.X, m.Feed.Y, m.Feed.Z, m.Rapid.X, m.Rapid.Y, m.Rapid.Z,
			m.Acceleration.X, m.Acceleration.Y, m.Acceleration.Z, m.Spindle.Slowest, m.Spindle.Fastest,
		} {
			require.True(t, v > 0 && v <= 1e6, "%+v", m)
		}
		require.Equal(t, m.Holder.Diameter > 0, m.Holder.Length > 0)
		require.True(t, m.CornerRounding >= 0 && m.CornerRounding <= 1)
		require.True(t, m.Decimals >= 3 && m.Decimals <= 6)
		require.True(t, m.Spindle.Slowest <= m.Spindle.Fastest)
		require.NotEmpty(t, m.Collets)
		require.NotEmpty(t, m.Name)
		require.True(t, m.LongestLine >= 64 && m.LongestLine <= 256 && m.Dwell <= NoDwell)
		require.True(t, m.PathMode == "" || strings.HasPrefix(m.PathMode, "G6") && !strings.ContainsAny(m.PathMode, "XYZABCFSM()\n"))
		require.False(t, math.IsInf(m.FeedAlong(r3.Vec{X: 1, Y: 2, Z: 3}, 1e9), 0))
		_, _, _ = m.SpindleSpeed(16000)
		for _, text := range [][]byte{m.Text(), m.Start()} {
			again, err := Parse("again.yaml", text)
			require.NoError(t, err, "%s", text)
			require.Equal(t, m.Name, again.Name)
		}
	})
}

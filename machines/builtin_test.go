package machines

import (
	"math"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

func TestBuiltins(t *testing.T) {
	names := BuiltinNames()
	require.Equal(t, []string{"bench-400", "bench-600", "desktop-300", "inch-24", "wide-1250"}, names)
	for _, name := range names {
		m, ok := Builtin(name)
		require.True(t, ok)
		require.Equal(t, name, m.Name)
		require.True(t, sort.Float64sAreSorted(m.Collets))
		text, ok := ProfileText(name) // lies under its own name
		require.True(t, ok)
		require.Contains(t, string(text), "invented")
		again, err := Parse(name, text)
		require.NoError(t, err)
		require.Equal(t, m, again)
	}
	_, ok := Builtin("bench-601")
	require.False(t, ok)
	_, ok = ProfileText("../machine")
	require.False(t, ok)

	wide, _ := Builtin("wide-1250")
	require.True(t, wide.Arcs)
	inch, _ := Builtin("inch-24")
	require.Equal(t, Inches, inch.Unit)
	require.True(t, inch.HandRouter())
	require.Equal(t, 5, inch.Decimals)
	require.InDelta(t, 0.000254, inch.Step(), 1e-18)
}

// The numbers of bench-600 are part of the design.
func TestBench600(t *testing.T) {
	m, ok := Builtin("bench-600")
	require.True(t, ok)
	require.Equal(t, Machine{
		Name:   "bench-600",
		Travel: r3.Vec{X: 620, Y: 620, Z: 90}, Feed: r3.Vec{X: 5000, Y: 5000, Z: 1500}, Rapid: r3.Vec{X: 6000, Y: 6000, Z: 2000},
		Acceleration: r3.Vec{X: 250, Y: 250, Z: 150}, CornerRounding: 0.02, LongestLine: 80, Decimals: 4,
		Spindle: Spindle{Slowest: 8000, Fastest: 24000, StartTime: 5}, Collets: []float64{6, 6.35, 12.7},
		Holder: Holder{Diameter: 32, Length: 40}, Hood: &Hood{Diameter: 100, AboveTip: 25}, BetweenUprights: 700,
	}, m)
}

// What one caller does to a built-in machine another does not see.
func TestBuiltinIsACopy(t *testing.T) {
	a, _ := Builtin("bench-600")
	a.Collets[0], a.Hood.Diameter = 99, 99
	b, _ := Builtin("bench-600")
	require.Equal(t, 6.0, b.Collets[0])
	require.Equal(t, 100.0, b.Hood.Diameter)
	c, _ := Builtin("bench-400")
	c.Spindle.Dial[0].Speed = 1
	d, _ := Builtin("bench-400")
	require.Equal(t, 9400.0, d.Spindle.Dial[0].Speed)
}

func TestResolve(t *testing.T) {
	m, err := Resolve("bench-600", "no-such-folder")
	require.NoError(t, err)
	require.Equal(t, "bench-600", m.Name)

	dir := t.TempDir()
	good, bad := filepath.Join(dir, "good.yaml"), filepath.Join(dir, "bad.yml")
	require.NoError(t, os.WriteFile(good, []byte(with()), 0o600))
	require.NoError(t, os.WriteFile(bad, []byte(with("decimals: 9")), 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(dir, "jobs"), 0o700))
	for _, c := range [][2]string{{"good.yaml", dir}, {"../good.yaml", filepath.Join(dir, "jobs")}, {good, ""}, {good, "elsewhere"}} {
		m, err := Resolve(c[0], c[1])
		require.NoError(t, err)
		require.Equal(t, "test-one", m.Name)
	}

	_, err = Resolve("bad.yml", dir)
	var faults strict.Faults
	require.ErrorAs(t, err, &faults)
	require.Equal(t, bad, faults[0].File)
	require.Equal(t, 9, faults[0].Line)

	_, err = Resolve("missing.yaml", dir)
	var fault strict.Fault
	require.ErrorAs(t, err, &fault)
	_, err = Resolve("./jobs", dir)
	require.ErrorAs(t, err, &fault)
	require.Contains(t, fault.Message, "a folder")
	// Paths of any system are paths on every system, never names of machines.
	for _, file := range []string{`C:\machines\mine`, `C:mine.yaml`, `\\server\share\mine.yaml`, `..\mine`, "/mine", "nul.yaml", "mine.YML"} {
		_, err = Resolve(file, dir)
		require.ErrorAs(t, err, &fault, file)
	}

	for name, hint := range map[string]string{"bench600": "did you mean bench-600? built in are " + strings.Join(BuiltinNames(), ", "), "mill": "built in are", "": "built in are"} {
		_, err = Resolve(name, dir)
		var e *measure.Error
		require.ErrorAs(t, err, &e)
		require.True(t, strings.HasPrefix(e.Hint, hint), e.Hint)
	}
}

func TestFeedAlong(t *testing.T) {
	m, _ := Builtin("bench-600")
	for _, c := range []struct {
		dir        r3.Vec
		want, feed float64
	}{
		{r3.Vec{X: 1}, 9000, 5000},
		{r3.Vec{X: -300}, 9000, 5000},
		{r3.Vec{X: 1}, 1200, 1200},
		{r3.Vec{Z: -2}, 9000, 1500},
		{r3.Vec{X: 3, Y: 4}, 9000, 6250},         // 5000 · 5/4
		{r3.Vec{X: 1, Y: 1}, 9000, 7071.0678119}, // 5000 · √2
		{r3.Vec{X: 4, Z: -3}, 9000, 2500},        // 1500 · 5/3
		{r3.Vec{X: 1e200, Y: 1e200}, 9000, 7071.0678119},
		{r3.Vec{X: 1e-200, Y: 1e-200}, 9000, 7071.0678119},
		{r3.Vec{}, 800, 800},
	} {
		require.InDelta(t, c.feed, m.FeedAlong(c.dir, c.want), 1e-6, "%v", c.dir)
	}
}

// No axis is faster than it may be, and one is as fast, or the wanted feed is reached.
func TestFeedAlongIsTheHighest(t *testing.T) {
	m, _ := Builtin("bench-600")
	m.Feed = r3.Vec{X: 5000, Y: 3700, Z: 1300}
	part := rapid.Float64Range(-500, 500)
	rapid.Check(t, func(t *rapid.T) {
		dir := r3.Vec{X: part.Draw(t, "x"), Y: part.Draw(t, "y"), Z: part.Draw(t, "z")}
		want := rapid.Float64Range(1, 20000).Draw(t, "want")
		n := r3.Norm(dir)
		if n < 1e-100 {
			return
		}
		f := m.FeedAlong(dir, want)
		u := r3.Scale(1/n, dir)
		share := math.Max(f*math.Abs(u.X)/5000, math.Max(f*math.Abs(u.Y)/3700, f*math.Abs(u.Z)/1300))
		require.LessOrEqual(t, share, 1+1e-14) // the norm is computed in another way
		require.LessOrEqual(t, f, want)
		if f < want {
			require.GreaterOrEqual(t, share, 1-1e-14)
		}
	})
}

func TestSpindleSpeed(t *testing.T) {
	driven, _ := Builtin("bench-600")
	hand, _ := Builtin("bench-400")
	for _, c := range []struct {
		m      Machine
		wanted float64
		speed  float64
		dial   string
		ok     bool
	}{
		{driven, 16000, 16000, "", true},
		{driven, 8000, 8000, "", true},
		{driven, 7999, 8000, "", false},
		{driven, 30000, 24000, "", true},
		{driven, math.NaN(), 8000, "", false},
		{hand, math.NaN(), 9400, "1", false},
		{hand, 16000, 13100, "2", true},
		{hand, 16900, 16900, "3", true},
		{hand, math.Nextafter(16900, 0), 13100, "2", true},
		{hand, 90000, 22700, "4", true},
		{hand, 9399, 9400, "1", false},
	} {
		speed, dial, ok := c.m.SpindleSpeed(c.wanted)
		require.Equal(t, c.ok, ok, "%g", c.wanted)
		require.Equal(t, c.dial, dial)
		require.Equal(t, c.speed, speed)
	}
}

func BenchmarkParse(b *testing.B) {
	data := []byte(with())
	for b.Loop() {
		if _, err := Parse("m.yaml", data); err != nil {
			b.Fatal(err)
		}
	}
}

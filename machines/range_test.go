package machines

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish/measure/strict"
)

// faults are those of a profile.
func faults(t *testing.T, text string) strict.Faults {
	t.Helper()
	_, err := Parse("m.yaml", []byte(text))
	if err == nil {
		return nil
	}
	var f strict.Faults
	require.ErrorAs(t, err, &f)
	return f
}

// Each number may be what a profile is said to hold, its ends as they are meant, and not a
// little beyond: one fault then, at its own place and nothing else blamed for it.
func TestRanges(t *testing.T) {
	for _, k := range []struct {
		line      string
		good, bad []string
	}{
		{"travel: {x: %s, y: 610 mm, z: 90 mm}", []string{"1 mm", "5000 mm"}, []string{"0.9 mm", "5001 mm"}},
		{"feed: {x: %s, y: 4900 mm/min, z: 1500 mm/min}", []string{"1 mm/min", "6000 mm/min"}, []string{"0.9 mm/min"}},
		{"rapid: {x: 6000 mm/min, y: %s, z: 2000 mm/min}", []string{"4900 mm/min", "100000 mm/min"}, []string{"4899 mm/min", "1 mm/min", "0.9 mm/min", "100001 mm/min"}},
		{"acceleration: {x: 250 mm/s2, y: 240 mm/s2, z: %s}", []string{"1 mm/s2", "50000 mm/s2"}, []string{"0.9 mm/s2", "50001 mm/s2"}},
		{"corner rounding: %s", []string{"0 mm", "1 mm"}, []string{"-0.01 mm", "1.01 mm"}},
		{"decimals: %s", []string{"3", "6"}, []string{"2", "7"}},
		{"spindle: {slowest: %s, fastest: 24000, start: 5 s}", []string{"100", "24000"}, []string{"99", "24001", "100001"}},
		{"spindle: {slowest: 8000, fastest: %s, start: 5 s}", []string{"8000", "100000"}, []string{"7999", "99", "100001"}},
		{"spindle: {slowest: 8000, fastest: 24000, start: %s}", []string{"0 s", "120 s"}, []string{"-1 s", "121 s"}},
		{"collets: [1/2 in, %s]", []string{"0.5 mm", "30 mm"}, []string{"0.4 mm", "30.1 mm"}},
		{"holder: {diameter: %s, length: 40 mm}", []string{"1 mm", "500 mm"}, []string{"0.9 mm", "501 mm"}},
		{"holder: {diameter: 32 mm, length: %s}", []string{"1 mm", "500 mm"}, []string{"0.9 mm", "501 mm"}},
		{"hood: {diameter: 100 mm, above tip: %s}", []string{"0 mm", "500 mm"}, []string{"-1 mm", "501 mm"}},
		{"between uprights: %s", []string{"1 mm", "5000 mm"}, []string{"0.9 mm", "5001 mm"}},
		{"under gantry: %s", []string{"1 mm", "5000 mm"}, []string{"0.9 mm", "5001 mm"}},
		{"errors: {scale: {x: %s}}", []string{"0 mm per 100 mm", "2 mm per 100 mm", "-2 mm per 100 mm"}, []string{"2.01 mm per 100 mm", "-2.01 mm per 100 mm"}},
		{"errors: {lean: %s}", []string{"0 mm per 100 mm", "2 mm per 100 mm", "-2 mm per 100 mm"}, []string{"2.01 mm per 100 mm", "-2.01 mm per 100 mm"}},
		{"feed: %s", []string{"1 mm/min", "6000 mm/min"}, []string{"0.9 mm/min", "100001 mm/min"}},
		{"longest line: %s", []string{"64", "256"}, []string{"63", "257"}},
		{"spindle: {hand router: {a: %s}}", []string{"100", "100000"}, []string{"99", "100001"}},
		{"errors: {backlash: {y: %s}}", []string{"0 mm", "2 mm"}, []string{"-0.01 mm", "2.01 mm"}},
		{"bed: [{x: %s, y: 0 mm, z: 0 mm}, {x: 100 mm, y: 0 mm, z: 1 mm}, {x: 0 mm, y: 900 mm, z: 1 mm}]", []string{"-5000 mm", "5000 mm", "-40 in"}, []string{"-5001 mm", "5001 mm"}},
		{"bed: [{x: 2000 mm, y: 0 mm, z: %s}, {x: 100 mm, y: 0 mm, z: 0 mm}, {x: 0 mm, y: 900 mm, z: 0 mm}]", []string{"-20 mm", "20 mm"}, []string{"-20.1 mm", "20.1 mm"}},
		{"errors: {known within: %s}", []string{"0 mm per 100 mm", "2 mm per 100 mm"}, []string{"2.01 mm per 100 mm"}},
	} {
		for _, v := range k.good {
			require.Empty(t, faults(t, with(fmt.Sprintf(k.line, v))), "%s in %s", v, k.line)
		}
		for _, v := range k.bad {
			require.Len(t, faults(t, with(fmt.Sprintf(k.line, v))), 1, "%s in %s", v, k.line)
		}
	}
	for n, ok := range map[int]bool{0: false, 1: true, 30: true, 31: false} {
		var dial, collets []string
		for i := range n {
			dial, collets = append(dial, fmt.Sprintf("d%d: %d", i, 100+i)), append(collets, fmt.Sprintf("%g mm", float64(i+1)/2))
		}
		require.Equal(t, ok, faults(t, with("spindle: {hand router: {"+strings.Join(dial, ", ")+"}, start: 5 s}")) == nil, "%d settings", n)
		require.Equal(t, ok, faults(t, with("collets: ["+strings.Join(collets, ", ")+"]")) == nil, "%d collets", n)
	}
}

// A fault is told once: a key that is missing or beyond its range is not held against another.
func TestOneFaultOnce(t *testing.T) {
	for _, changes := range [][]string{
		{"spindle: {slowest: 8000, start: 5 s}"},
		{"spindle: {fastest: 100, start: 5 s}"},
		{"spindle: {slowest: 100001, fastest: 24000, start: 5 s}"},
		{"spindle: {hand router: {1: 0, 2: 10000}, start: 5 s}"},
		{"rapid: {x: 6000 mm/min, z: 2000 mm/min}"},
		{"path mode: G64 P0.05", "corner rounding: 2 mm"},
		{"path mode: G64 P0.05", "corner rounding: -2 mm"},
		{"path mode: G64 P0.05", "corner rounding: wide"},
		{"arcs: yes", "longest line: 63"},
	} {
		require.Len(t, faults(t, with(changes...)), 1, "%v", changes)
	}
}

// A tolerance in the line of the path mode is no more than the corner rounding that is stated,
// in the program's unit; where corners are not rounded it says nothing.
func TestPathModeKeepsTheRounding(t *testing.T) {
	for _, k := range []struct {
		mode, rounding, unit string
		good                 bool
	}{
		{"G64 P0.02", "0.02 mm", "mm", true}, {"G64 P0.0201", "0.02 mm", "mm", false}, {"G64 P0", "0 mm", "mm", true}, {"G64 P0.001", "0 mm", "mm", false},
		{"G61 P0.5", "0.02 mm", "mm", true}, {"G64 Q0.5", "0.02 mm", "mm", true}, {"G64", "0 mm", "mm", true},
		{"G64 P0.001", "0.001 in", "in", true}, {"G64 P0.001", "0.025 mm", "in", false}, {"G64 P0.02", "0.02 mm", "in", false},
	} {
		f := faults(t, with("path mode: "+k.mode, "corner rounding: "+k.rounding, "units: "+k.unit, "decimals: 5"))
		require.Equal(t, k.good, f == nil, "%+v: %v", k, f)
	}
}

// A dial may have one setting, and slow ones. A machine counts in millimetres unless it is told
// to count in inches; a step is the last decimal of its unit.
func TestSmallThings(t *testing.T) {
	m, err := Parse("m.yaml", []byte(with("units: mm", "spindle: {hand router: {A: 100, B: 101, C: 102}, start: 5 s}")))
	require.NoError(t, err)
	require.Equal(t, Spindle{100, 102, 5, []DialSetting{{"A", 100}, {"B", 101}, {"C", 102}}}, m.Spindle)
	require.Equal(t, Millimetres, m.Unit)
	require.InEpsilon(t, 1e-4, m.Step(), 1e-12)
	m, err = Parse("m.yaml", []byte(with("units: in", "spindle: {hand router: {only: 12000}, start: 5 s}")))
	require.NoError(t, err)
	require.Equal(t, Spindle{12000, 12000, 5, []DialSetting{{"only", 12000}}}, m.Spindle)
	require.True(t, m.HandRouter())
	require.InEpsilon(t, 25.4e-4, m.Step(), 1e-12)
	for e, want := range map[GeometryErrors]bool{
		{}: false, {Corrected: true}: false, {Scale: r3.Vec{Y: 0.001}}: false, {Lean: 0.001}: false, {Corrected: true, Backlash: r3.Vec{X: 0.1}}: false,
		{Corrected: true, Scale: r3.Vec{Z: -0.001}}: true, {Corrected: true, Lean: -0.001}: true,
	} {
		require.Equal(t, want, e.NeedsCorrection(), "%+v", e)
	}
}

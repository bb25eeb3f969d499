package strict

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// visit asks a value everything, and all that stands in it.
func visit(v *Value, depth int) {
	v.Length()
	v.Number()
	v.Int()
	v.Text()
	v.Word("dish", "board")
	v.YesNo()
	v.Feed()
	v.Acceleration()
	v.Seconds()
	v.Angle()
	v.Slope()
	v.IsWord("flat")
	if m, ok := v.Map(); ok {
		visitMap(m, depth+1)
	}
	if l, ok := v.List(); ok {
		for _, e := range l {
			visit(e, depth+1)
		}
	}
}

// visitMap does so for every key of a map, through the map's own getters too.
func visitMap(m *Map, depth int) {
	if depth > MaxDepth {
		panic("a map deeper than any may be")
	}
	m.Allow("name", "radius", "hold downs")
	m.Require("radius", "25 ft")
	for _, k := range append(m.Keys(), "absent") {
		m.Pos(k)
		m.KeyPos(k)
		m.Length(k)
		m.Number(k)
		get(m, k, (*Value).Int)
		m.Text(k)
		m.Word(k, "dish")
		m.YesNo(k)
		get(m, k, (*Value).Feed)
		get(m, k, (*Value).Acceleration)
		get(m, k, (*Value).Seconds)
		m.Angle(k)
		get(m, k, (*Value).Slope)
		m.Map(k)
		m.List(k)
		if v, ok := m.Value(k); ok {
			visit(v, depth)
		}
	}
}

func FuzzOpen(f *testing.F) {
	for _, s := range []string{
		"name: x\nradius: 25 ft\nblank: {shape: square, size: 500 mm}\nhold downs:\n  - {x: 1 mm}\n",
		"a: &x [*x]\n", "? {a: b}\n: c\n", "<<: *x\n", "a: |\n  b\n", "a: 'x\n", "a: [1,\n", "---\na: 1\n---\nb: 2\n", "\ufeffa: 1\r\n",
		"# c\n\n a: 1\n  b: 2\n", "a: !!binary x\n", "~: 1\n", "a: \"\\x00\"\n",
		`a: "\q"`, `a: "\ud800"`, `a: "\udc00\ud800"`, `a: "\uZZZZ"`, `a: "\x1"`, `a: "\U00110000"`, "a: |0\n  b\n", "a: |x\n", "a: 'b\n---\n", "%YAML 9.9\n---\na: 1\n", "%TAG ! x\n---\na: 1\n",
		"a: !<x\n", "a: !x%zz b\n", "a: \"\x80\"", "a: \"b\n", "a: [b\n", "- a\nb: 1\n", "a: >\n b\nc\n", "? a\n: b: c\n", "a:\tb: c\n", "{a}: b\n", "[]: 1\n", "a: \"\u00a0\"\n", strings.Repeat("k", 200) + ": 1\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Open("f", data)
		if err == nil {
			visitMap(d.Root(), 1)
			err = d.Err()
		}
		require.Error(t, err) // the key absent from Allow or the faults of form
		faults, ok := err.(Faults)
		require.True(t, ok)
		require.LessOrEqual(t, len(faults), maxReported+1)
		last := strings.Count(string(data), "\n") + strings.Count(string(data), "\r") + strings.Count(string(data), "\u0085") + 1
		for _, one := range faults {
			require.NotEmpty(t, one.Message)
			require.NotContains(t, one.Message, "\n")
			require.NotContains(t, one.Hint, "\n")
			require.True(t, one.Hint != "" || one.Line == 0, "no hint: %s", one.Message) // save "and 3 more faults"
			require.LessOrEqual(t, one.Line, last)
		}
	})
}

// FuzzChange changes keys of a small file as --set does: it ends in a value or in faults
// that name the change.
func FuzzChange(f *testing.F) {
	for _, s := range []string{"scallop=0.05 mm", "blank/thickness=30 mm", "shelf/inch flat/speed=1", "hold downs/1/x=3 mm", "hold downs/99999999999/x=1", "a=b=c", "=", "a=",
		"a/=1", "/a=1", "a=&x 1", "a=*x", "a={b: 1}", "a=[1, 2", "a=!!str 1", "a=\x00", "a=\u202e", "a//b=1", "hold downs/0=1", "name=|"} {
		f.Add(s)
	}
	const file = "name: x\nblank: {shape: square, size: 500 mm}\nhold downs:\n  - {x: 1 mm}\nshelf: {inch flat: {speed: 1}}\n"
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseChange(text, "--set")
		if err != nil {
			return
		}
		d, err := Open("f", []byte(file), c)
		if err == nil {
			visitMap(d.Root(), 1)
			err = d.Err()
		}
		faults, ok := err.(Faults)
		require.True(t, ok)
		for _, one := range faults {
			require.NotEmpty(t, one.Message)
			require.NotContains(t, one.Message, "\n")
			require.NotContains(t, one.Hint, "\n")
		}
	})
}

func BenchmarkOpenLargest(b *testing.B) {
	data := []byte(strings.Repeat("- {x: 235 mm, y: 235 mm, radius: 12 mm}\n", 26000))
	data = append([]byte("a:\n"), data...)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := Open("f", data); err != nil {
			b.Fatal(err)
		}
	}
}

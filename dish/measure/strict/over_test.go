package strict

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// over reads a file over another.
func over(t require.TestingT, lower, upper string, sets ...string) *Document {
	below, err := Open("below.yaml", []byte(lower))
	require.NoError(t, err)
	var list []Change
	for _, s := range sets {
		c, err := ParseChange(s, "--set")
		require.NoError(t, err)
		list = append(list, c)
	}
	d, err := Former{"old": "a"}.Over(below, "own.yaml", []byte(upper), list...)
	require.NoError(t, err)
	return d
}

// told writes what a document holds, value by value.
func told(d *Document) string {
	var b strings.Builder
	for _, g := range d.Root().Given() {
		file := g.Pos.File
		if file == "" {
			file = "own"
		}
		b.WriteString(g.Way + "=" + g.Text + "@" + strings.TrimSuffix(file, ".yaml") + " ")
	}
	return strings.TrimSpace(b.String())
}

// The upper file's values go before the lower one's, and so do the entries of its maps,
// each whole; changes go before both.
func TestOver(t *testing.T) {
	for _, tt := range [...]struct{ lower, upper, sets, want string }{
		{"a: 1\nb: 2\n", "b: 3\nc: 4\n", "", "b=3@own c=4@own a=1@below"},
		{"m: {x: 1, y: 2}\n", "m: {y: 3, z: 4}\n", "", "m/y=3@own m/z=4@own m/x=1@below"},
		{"m: {x: {p: 1, q: 2}}\n", "m: {x: {p: 3}}\n", "", "m/x/p=3@own"},
		{"m: {x: 1}\n", "m: 5\n", "", "m=5@own"},
		{"m: 5\n", "m: {x: 1}\n", "", "m/x=1@own"},
		{"l: [1, 2]\n", "l: [3]\n", "", "l=[3]@own"},
		{"l: [{x: 1}, [2, 3]]\n", "c: 1\n", "", "c=1@own l/1/x=1@below l/2=[2, 3]@below"},
		{"m: {x: {p: 1}}\n", "c: 1\n", "m/x/p=7", "c=1@own m/x/p=7@--set"},
		{"a: 1\n", "old: 2\n", "", "a=2@own"},
		{"m: {}\nn: []\n", "c: x\n", "", "c=x@own m={}@below n=[]@below"},
	} {
		var sets []string
		if tt.sets != "" {
			sets = strings.Fields(tt.sets)
		}
		d := over(t, tt.lower, tt.upper, sets...)
		require.NoError(t, d.Err())
		require.Equal(t, tt.want, told(d))
	}
}

// Each fault is told in the file in which it stands, those of the upper file first, none
// of them twice; what the upper file says in place of a faulty value mends it.
func TestOverFaults(t *testing.T) {
	lower := "a: 1 mn\nb: &x 2\nb: 3\nm: {p: 1 mn, p: 2}\n"
	d := over(t, lower, "c: 1 m\nm: {q: 3 m}\n")
	m := d.Root()
	m.Allow("a", "c", "m")
	m.Length("a")
	in, ok := m.Map("m")
	require.True(t, ok)
	in.Length("p")
	require.EqualError(t, d.Err(), strings.Join([]string{
		`below.yaml:1:4: a: "1 mn" has the unit "mn", which is not known` + "\n  hint: the units are mm, cm, m, in and ft",
		"below.yaml:2:1: the key \"b\" is not known\n  hint: the keys here are a, c, m",
		"below.yaml:2:4: anchors are not used here\n  hint: remove &x and write the value out wherever it is needed",
		"below.yaml:3:1: the key \"b\" stands here again; it is on line 2 already\n  hint: keep one of the two",
		`below.yaml:4:8: p: "1 mn" has the unit "mn", which is not known` + "\n  hint: the units are mm, cm, m, in and ft",
		"below.yaml:4:14: the key \"p\" stands here again; it is on line 4 already\n  hint: keep one of the two",
	}, "\n"))

	d = over(t, "a: 1 mn\n", "a: 1 m\n")
	v, ok := d.Root().Length("a")
	require.True(t, ok)
	require.Equal(t, 1000.0, v.MM)
	require.NoError(t, d.Err())

	d = over(t, "b: 3\n", "a: 1 mn\n")
	d.Root().Length("a")
	require.ErrorContains(t, d.Err(), "own.yaml:1:4: ")
}

func TestFileOf(t *testing.T) {
	d := over(t, "a: 1\nb: 2\nc: 3\n", "b: 4\n", "c=5")
	for k, want := range map[string]string{"a": "below.yaml", "b": "own.yaml", "c": "own.yaml", "absent": "own.yaml"} {
		require.Equal(t, want, d.Root().FileOf(k), k)
	}
}

func TestDropSaysPeek(t *testing.T) {
	d := over(t, "a: x\nb: {c: 1}\n", "e: null\n")
	m := d.Root()
	require.True(t, m.Says("a", "x"))
	require.False(t, m.Says("a", "y") || m.Says("b", "x") || m.Says("e", "x") || m.Says("absent", ""))
	in, ok := m.Peek("b")
	require.True(t, ok)
	require.Equal(t, []string{"c"}, in.Keys())
	for _, k := range []string{"a", "e", "absent"} {
		_, ok = m.Peek(k)
		require.False(t, ok, k)
	}
	m.Drop("a", "absent")
	require.Equal(t, []string{"e", "b"}, m.Keys())
	require.False(t, m.Has("a"))
	require.True(t, m.Has("b"))
	require.NoError(t, d.Err(), "asking records nothing")
}

func TestJoin(t *testing.T) {
	one, two := Fault{File: "a", Message: "x"}, Faults{{File: "b", Message: "y"}}
	require.NoError(t, Join(nil, nil))
	require.Equal(t, Faults{one, two[0]}, Join(one, nil, two))
}

// No two files make the reader panic, and none is silent about a fault of the lower one.
func TestAnyOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-c]: [a-c0-9 ,:&*!\[\]{}"'|>-]{1,12}\n){1,4}`)
		below, err := Open("below.yaml", []byte(text.Draw(t, "lower")))
		if err != nil {
			return
		}
		bad := below.Err() != nil
		d, err := Former(nil).Over(below, "own.yaml", []byte(text.Draw(t, "upper")), Change{"a/b", "9", "--set"})
		if err != nil {
			return
		}
		_ = told(d)
		if bad {
			require.ErrorContains(t, d.Err(), "below.yaml:")
		}
	})
}

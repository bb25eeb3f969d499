package strict

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// changed reads a file with changes written as KEY=VALUE.
func changed(t require.TestingT, text string, sets ...string) (*Document, error) {
	var list []Change
	for _, s := range sets {
		c, err := ParseChange(s, "set "+s)
		require.NoError(t, err)
		list = append(list, c)
	}
	return Open("file.yaml", []byte(text), list...)
}

func TestChange(t *testing.T) {
	const text = "a: 1\nb: {c: 2, d/e: 3}\nlist: [{x: 4}, {x: 5}]\n"
	for set, want := range map[string]string{
		"a=9":              "a=9 b.c=2 b.d/e=3 x=4,5",
		"b/c=9":            "a=1 b.c=9 b.d/e=3 x=4,5",
		"b/d/e=9":          "a=1 b.c=2 b.d/e=9 x=4,5",
		"list/2/x=9":       "a=1 b.c=2 b.d/e=3 x=4,9",
		"list/1={x: 9}":    "a=1 b.c=2 b.d/e=3 x=9,5",
		"b={c: 7, d/e: 8}": "a=1 b.c=7 b.d/e=8 x=4,5",
		" a = 9 ":          "a=9 b.c=2 b.d/e=3 x=4,5",
	} {
		d, err := changed(t, text, set)
		require.NoError(t, err)
		m := d.Root()
		a, _ := m.Text("a")
		b, ok := m.Map("b")
		require.True(t, ok)
		c, _ := b.Text("c")
		e, _ := b.Text("d/e")
		list, _ := m.List("list")
		var xs []string
		for _, v := range list {
			in, _ := v.Map()
			x, _ := in.Text("x")
			xs = append(xs, x)
		}
		require.NoError(t, d.Err())
		require.Equal(t, want, "a="+a+" b.c="+c+" b.d/e="+e+" x="+strings.Join(xs, ","), set)
	}
}

// Where two ways lead to a key the one with the longer name is meant.
func TestChangeOfLongestName(t *testing.T) {
	d, err := changed(t, "b: {d: 1}\nb/d: 2\n", "b/d=9")
	require.NoError(t, err)
	v, _ := d.Root().Text("b/d")
	require.Equal(t, "9", v)
	b, _ := d.Root().Map("b")
	v, _ = b.Text("d")
	require.Equal(t, "1", v)
}

// A key that the file has not is added, with all that holds it; later changes win.
func TestChangeAdds(t *testing.T) {
	d, err := changed(t, "a: 1\n", "n/o/p=3 mm", "n/o/p=4 mm")
	require.NoError(t, err)
	n, ok := d.Root().Map("n")
	require.True(t, ok)
	o, ok := n.Map("o")
	require.True(t, ok)
	l, ok := o.Length("p")
	require.True(t, ok)
	require.Equal(t, 4.0, l.MM)
	require.Equal(t, Pos{Line: 1, Column: 1, File: "set n/o/p=4 mm"}, o.Pos("p"))
	require.NoError(t, d.Err())
}

func TestChangeFaults(t *testing.T) {
	for set, want := range map[string]string{
		"a/b=1":       "with no keys below it",
		"list/0=1":    `no entry "0"`,
		"list/3/x=1":  `no entry "3"`,
		"list/x=1":    `no entry "x"`,
		"a={":         "missing",
		"a=*b":        "alias",
		"a=&b c":      "anchors",
		"a=!!int 3":   "tags",
		"a=\u202e":    "cannot be seen",
		"a=# nothing": "empty",
	} {
		d, err := changed(t, "a: 1\nlist: [1, 2]\n", set)
		if err == nil {
			err = d.Err()
		}
		require.ErrorContains(t, err, want, set)
		require.True(t, strings.HasPrefix(err.Error(), "set "+set+":1:"), err.Error())
	}
	for _, bad := range []string{"", "a", "=1", "a=", " = ", "a=1\nb: 2", strings.Repeat("x", MaxBytes) + "=1"} {
		_, err := ParseChange(bad, "")
		require.Error(t, err, "%.20q", bad)
	}
}

// No change makes the reader panic; a file whose keys are all plain is as before where
// the change fails.
func TestAnyChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		key := rapid.StringMatching(`[a-c/1-3 *#\[\]{}:-]{1,12}`).Draw(t, "key")
		value := rapid.StringMatching(`[a-c0-9 ,:&*!#\[\]{}"'|>-]{1,16}`).Draw(t, "value")
		c, err := ParseChange(key+"="+value, "set")
		if err != nil {
			return
		}
		d, err := Open("file.yaml", []byte("a: 1\nb: {c: 2}\nlist: [{x: 1}, [2, 3], 4]\n"), c)
		if err != nil {
			return
		}
		for _, k := range d.Root().Keys() {
			_ = d.Root().Pos(k)
			if m, ok := d.Root().Map(k); ok {
				_ = m.Keys()
			}
		}
		if err := d.Err(); err != nil {
			require.NotEmpty(t, err.Error())
		}
	})
}

package strict

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A key is read under its former name as under the one of now, in a file and in a change.
func TestFormer(t *testing.T) {
	former := Former{"weight": "mass"}
	for _, c := range []struct {
		text string
		sets []string
		want string
		line int
	}{
		{"a: 1\nmass: 2\n", nil, "2", 2},
		{"a: 1\nweight: 2\n", nil, "2", 2},
		{"a: 1\nweight: 2\n", []string{"weight=3"}, "3", 1},
		{"a: 1\nweight: 2\n", []string{"mass=3"}, "3", 1},
		{"a: 1\nmass: 2\n", []string{"weight=3"}, "3", 1},
		{"a: 1\n", []string{"weight=3"}, "3", 1},
		{"a: 1\nmass: [1, 2]\n", []string{"weight/2=3"}, "1 3", 2},
		{"a: 1\nweight: [1, 2]\n", []string{"mass/2=3"}, "1 3", 2},
	} {
		var list []Change
		for _, s := range c.sets {
			change, err := ParseChange(s, "set "+s)
			require.NoError(t, err)
			list = append(list, change)
		}
		d, err := former.Open("file.yaml", []byte(c.text), list...)
		require.NoError(t, err)
		m := d.Root()
		m.Allow("a", "mass")
		v, ok := m.Value("mass")
		require.True(t, ok, "%+v", c)
		var got string
		if entries, ok := v.node.Content, len(v.node.Content) > 0; ok {
			for _, e := range entries {
				got += " " + e.Value
			}
			got = got[1:]
		} else {
			got, _ = v.Text()
		}
		require.NoError(t, d.Err())
		require.Equal(t, c.want, got, "%+v", c)
		require.Equal(t, c.line, v.Pos().Line, "%+v", c)
	}
}

// Both names at once are a fault where the former one stands, with what to do.
func TestFormerBesideTheNameOfNow(t *testing.T) {
	for text, want := range map[string]string{
		"mass: 1\nweight: 2\n":       `f.yaml:2:1: "weight" is the former name of the key "mass", which is on line 1` + "\n  hint: keep mass alone",
		"weight: 1\nb: 0\nmass: 2\n": `f.yaml:1:1: "weight" is the former name of the key "mass", which is on line 3` + "\n  hint: keep mass alone",
		"weight: 1\nweight: 2\n":     `f.yaml:2:1: the key "mass" stands here again; it is on line 1 already` + "\n  hint: keep one of the two",
	} {
		d, err := Former{"weight": "mass"}.Open("f.yaml", []byte(text))
		require.NoError(t, err)
		require.EqualError(t, d.Err(), want)
	}
	// Without the list of former names it is a key as any other.
	d, err := Open("f.yaml", []byte("weight: 1\n"))
	require.NoError(t, err)
	require.True(t, d.Root().Has("weight"))
}

func TestFormerNow(t *testing.T) {
	f := Former{"weight": "mass"}
	for way, want := range map[string]string{"weight": "mass", "weight/2/x": "mass/2/x", "mass": "mass", "weights": "weights", "a/weight": "a/weight", "": ""} {
		require.Equal(t, want, f.Now(way))
	}
}

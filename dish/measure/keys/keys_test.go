package keys

import (
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish/measure"
)

// files is a catalogue of no real file.
var files = New("a test's file",
	Group{About: "some", Keys: []Key{
		{Path: "width", Former: "breadth", Forms: []string{"a", "b"}, Kinds: []Kind{Length}, Least: 1, Most: 100, Example: "40 mm"},
		{Path: "place", Forms: []string{"a"}, Kinds: []Kind{Place}, Least: -5, Most: 5, Example: "[2 mm, 3 mm]"},
		{Path: "shelf", Kinds: []Kind{Map}},
		{Path: "shelf/*", Kinds: []Kind{Map}},
		{Path: "shelf/*/time", Kinds: []Kind{Time}, Most: 60, Example: "8 s"},
	}},
	Group{About: "others", Keys: []Key{
		{Path: "list", Kinds: []Kind{List}},
		{Path: "list/#", Kinds: []Kind{Feed}, Least: 1, Most: 9000, Example: "100 mm/s"},
		{Path: "push", Kinds: []Kind{Acceleration}, From: 3, To: 4, Example: "10 in/s2"},
		{Path: "name", Kinds: []Kind{Text}, Example: "8 s"},
	}})

func TestFind(t *testing.T) {
	for path, want := range map[string]string{
		"width": "width", "breadth": "width", "shelf/my cutter": "shelf/*", "shelf/1/2 in/time": "shelf/*/time", "shelf/*/time": "shelf/*/time", "list/3": "list/#",
	} {
		k, ok := files.Find(path)
		require.True(t, ok, path)
		require.Equal(t, want, k.Path)
	}
	for _, path := range []string{"", "/", "widths", "width/x", "shelf/", "time"} {
		_, ok := files.Find(path)
		require.False(t, ok, "%q", path)
	}
	require.Equal(t, "width/deep", files.Current("breadth/deep"))
	require.Equal(t, "list/breadth", files.Current("list/breadth"))
}

func TestUnder(t *testing.T) {
	require.Equal(t, []string{"width", "place", "shelf", "list", "push", "name"}, files.Under(""))
	require.Equal(t, []string{"width"}, files.Under("", "b"))
	require.Equal(t, []string{"time"}, files.Under("shelf/*"))
	require.Empty(t, files.Under("width"))
	require.Len(t, files.All(), 9)
	require.Len(t, files.Groups(), 2)
	require.Equal(t, map[string]string{"breadth": "width"}, files.Former())
}

func TestExpected(t *testing.T) {
	for path, want := range map[string]measure.Range{
		"width":        {Least: 1, Most: 100, From: 10, To: 160},
		"breadth":      {Least: 1, Most: 100, From: 10, To: 160},
		"place/1":      {Least: -5, Most: 5, From: 0.5, To: 8},
		"shelf/a/time": {Most: 60, From: 2, To: 32},
		"list/7":       {Least: 1, Most: 9000, From: 1500, To: 24_000},
		"push":         {From: 3, To: 4},
		"name":         {}, "nothing": {}, "": {},
	} {
		require.Equal(t, want, files.Expected(path), path)
	}
}

func TestNames(t *testing.T) {
	k, _ := files.Find("shelf/a/time")
	require.Equal(t, "time", k.Name())
	require.Equal(t, "shelf/*", k.Parent())
	top, _ := files.Find("width")
	require.Equal(t, "width", top.Name())
	require.Empty(t, top.Parent())
	require.True(t, top.Is(Length) && !top.Is(Feed) && top.For("b") && !top.For("c"))
}

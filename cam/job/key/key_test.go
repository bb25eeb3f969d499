package key

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestCatalogueIsWhole(t *testing.T) {
	seen := map[string]bool{"": true}
	for _, k := range jobs.All() {
		require.False(t, seen[k.Path], "%s stands twice", k.Path)
		require.True(t, seen[k.Parent()], "%s comes before what holds it", k.Path)
		seen[k.Path] = true
		require.NotEmpty(t, k.Forms, k.Path)
		require.NotEmpty(t, k.Kinds, k.Path)
		require.NotEmpty(t, k.Example, k.Path)
		require.True(t, strings.HasSuffix(k.About, "."), "%s: whole sentences", k.Path)
		require.Equal(t, k.Default == "", k.Why == "", "%s: a default and why", k.Path)
		require.False(t, k.Needed && k.Default != "", "%s is needed, so nothing is taken for it", k.Path)
		require.LessOrEqual(t, k.Least, k.Most, k.Path)
		if k.Is(Word) {
			require.NotEmpty(t, k.Words, k.Path)
			require.Contains(t, k.Words, k.Example, k.Path)
		}
		if parent, ok := jobs.Find(k.Parent()); ok {
			require.True(t, parent.Is(Map) || parent.Is(List) || k.Name() == "#", "%s stands in no map", k.Path)
			for _, f := range k.Forms {
				require.True(t, parent.For(f), "%s: a %s has no %s", k.Path, f, parent.Path)
			}
		}
	}
}

func TestFind(t *testing.T) {
	for path, want := range map[string]string{
		"radius": "radius", "blank/size": "blank/size", "shelf/1/2 in flat/speed": "shelf/*/speed", "shelf/*/speed": "shelf/*/speed",
		"hold downs/3/x": "hold downs/#/x", "shelf/a": "shelf/*", "extras/holes/1/from": "extras/holes/#/from",
	} {
		k, ok := jobs.Find(path)
		require.True(t, ok, path)
		require.Equal(t, want, k.Path)
	}
	for _, path := range []string{"", "radii/", "radus", "blank/colour", "shelf/", "/", "blank//size"} {
		_, ok := jobs.Find(path)
		require.False(t, ok, "%q", path)
	}
}

func TestUnder(t *testing.T) {
	require.Equal(t, []string{"cut out"}, jobs.Under("extras", Gauge))
	require.NotContains(t, jobs.Under("", Gauge), "diameter")
	require.Contains(t, jobs.Under("", Rim, Mould), "blank")
	require.NotContains(t, jobs.Under("", Rim), "blank")
	require.Len(t, jobs.Under("measured"), 10)
	require.True(t, slices.Contains(jobs.Under("top"), "flat above"))
	require.Empty(t, jobs.Under("nothing"))
}

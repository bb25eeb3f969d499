package machines

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish/measure/keys"
)

func TestCatalogueIsWhole(t *testing.T) {
	seen := map[string]bool{"": true}
	for _, k := range Keys().All() {
		require.False(t, seen[k.Path], "%s stands twice", k.Path)
		require.True(t, seen[k.Parent()], "%s comes before what holds it", k.Path)
		seen[k.Path] = true
		require.NotEmpty(t, k.Kinds, k.Path)
		require.NotEmpty(t, k.Example, k.Path)
		require.True(t, strings.HasSuffix(k.About, "."), "%s: whole sentences", k.Path)
		require.Equal(t, k.Default == "", k.Why == "", "%s: a default and why", k.Path)
		require.False(t, k.Needed && k.Default != "", "%s is needed, so nothing is taken for it", k.Path)
		require.LessOrEqual(t, k.Least, k.Most, k.Path)
		if k.Is(keys.Word) {
			require.Contains(t, k.Words, k.Example, k.Path)
		}
	}
}

// filled returns the profile with a value at a path of the catalogue and what has to
// stand beside it.
func filled(path, value string) string {
	parts := strings.Split(strings.ReplaceAll(path, "*", "1"), "/")
	switch {
	case parts[0] == "bed" && len(parts) > 1:
		if len(parts) == 3 { // in a plane that leans little
			place := map[string]string{"x": "x: 2000 mm", "y": "y: 2000 mm", "z": "z: 0 mm"}
			place[parts[2]] = parts[2] + ": " + value
			value = "{" + place["x"] + ", " + place["y"] + ", " + place["z"] + "}"
		}
		return with("bed: [{x: 0 mm, y: -100 mm, z: 0 mm}, {x: 300 mm, y: 0 mm, z: 0 mm}, " + value + "]")
	case parts[len(parts)-1] == "#":
		return with(parts[0] + ": [" + value + "]")
	case len(parts) == 1:
		return with(parts[0] + ": " + value)
	case parts[0] == "errors" && len(parts) == 3:
		return with("errors: {" + parts[1] + ": {" + parts[2] + ": " + value + "}}")
	case parts[0] == "errors":
		return with("errors: {" + parts[1] + ": " + value + "}")
	case len(parts) == 3:
		return with("spindle: {hand router: {1: " + value + "}}")
	}
	others := map[string]string{
		"travel": "x: 620 mm, y: 610 mm, z: 90 mm", "feed": "x: 1 mm/min, y: 1 mm/min, z: 1 mm/min", "rapid": "x: 100000 mm/min, y: 100000 mm/min, z: 100000 mm/min",
		"acceleration": "x: 250 mm/s2, y: 240 mm/s2, z: 150 mm/s2", "spindle": "slowest: 100, fastest: 100000, start: 5 s", "holder": "diameter: 32 mm, length: 40 mm", "hood": "diameter: 100 mm, above tip: 25 mm",
	}[parts[0]]
	if parts[1] == "hand router" {
		return with("spindle: {hand router: " + value + "}")
	}
	var list []string
	for _, one := range strings.Split(others, ", ") {
		if !strings.HasPrefix(one, parts[1]+":") {
			list = append(list, one)
		}
	}
	text := with(parts[0] + ": {" + strings.Join(append(list, parts[1]+": "+value), ", ") + "}")
	if parts[0] == "feed" { // no rapid below it
		text = strings.Replace(text, lines[3], "", 1)
	}
	if parts[0] == "rapid" {
		text = strings.Replace(text, lines[2], "feed: 1 mm/min", 1)
	}
	return text
}

// What the catalogue says of a key is what the reader does: examples, bounds and words are
// taken, what lies beyond is refused, and what is needed is missed.
func TestCatalogueAgainstParse(t *testing.T) {
	tried := 0
	for _, k := range Keys().All() {
		require.Empty(t, faults(t, filled(k.Path, k.Example)), "%s: %s", k.Path, k.Example)
		require.NotEmpty(t, faults(t, filled(k.Path, "[[[]]]")), "%s is read: nothing is a list of a list of lists", k.Path)
		for _, w := range k.Words {
			require.Empty(t, faults(t, filled(k.Path, w)), "%s: %s", k.Path, w)
		}
		if k.Is(keys.Word) {
			f := faults(t, filled(k.Path, "mauve"))
			require.Len(t, f, 1, k.Path)
			require.Contains(t, f[0].Hint, strings.Join(k.Words, ", "))
			tried++
		}
		if k.Most == 0 {
			continue
		}
		tried++
		unit := map[keys.Kind]string{keys.Length: " mm", keys.Feed: " mm/min", keys.Acceleration: " mm/s2", keys.Time: " s", keys.Slope: " mm per 100 mm"}[k.Kinds[len(k.Kinds)-1]]
		step := 1.0
		if !k.Is(keys.Whole) {
			step = 0.01 * max(0.1, k.Least)
		}
		for value, good := range map[float64]bool{k.Least: true, k.Most: true, k.Least - step: false, k.Most + max(step, 0.01*k.Most): false} {
			text := filled(k.Path, strings.TrimSpace(fmt.Sprintf("%.10g", value)+unit))
			if k.Path == "feed" && value == k.Most {
				text = strings.Replace(text, lines[3]+"\n", "", 1)
			}
			if k.Path == "feed" || k.Path == "feed/x" || k.Path == "feed/y" || k.Path == "feed/z" {
				text = strings.Replace(text, lines[3]+"\n", "", 1)
			}
			require.Equal(t, good, faults(t, text) == nil, "%s: %g", k.Path, value)
		}
	}
	require.Greater(t, tried, 35)
}

// A key that is needed is missed, with its example or its like as the hint; others are not.
func TestCatalogueNeeds(t *testing.T) {
	_, err := Parse("m.yaml", []byte("about: nothing else\n"))
	for _, name := range Keys().Under("") {
		k, _ := Keys().Find(name)
		require.Equal(t, k.Needed, strings.Contains(err.Error(), fmt.Sprintf("the key %q is missing", name)), name)
		if k.Needed {
			require.ErrorContains(t, err, "hint: add "+name+": "+k.Example)
		}
	}
	for _, holder := range []string{"travel", "feed", "rapid", "acceleration", "holder", "hood"} {
		for _, name := range Keys().Under(holder) {
			f := faults(t, with(holder+": {colour: 1 mm}"))
			require.Contains(t, f.Error(), fmt.Sprintf("the key %q is missing in %q", name, holder))
		}
	}
}

// Defaults of the catalogue are those that are taken.
func TestCatalogueDefaults(t *testing.T) {
	const four = "name: four\nfeed: {x: 3000 mm/min, y: 3000 mm/min, z: 800 mm/min}\nspindle: {slowest: 8000, fastest: 24000}\ntravel: "
	told := map[string]int{}
	for _, travel := range []string{"{x: 610 mm, y: 590 mm, z: 80 mm}", "{x: 24 in, y: 24 in, z: 3 in}"} {
		m, err := Parse("m.yaml", []byte(four+travel))
		require.NoError(t, err)
		for _, d := range m.Defaults {
			k, ok := Keys().Find(d.Key)
			require.True(t, ok, d.Key)
			require.False(t, k.Needed)
			told[k.Path]++
			switch k.Path {
			case "units", "rapid", "acceleration", "collets": // by a rule that is told in words
			default:
				require.Contains(t, k.Default, d.Value, k.Path)
			}
		}
	}
	for _, k := range Keys().All() {
		if k.Default != "" && !strings.HasPrefix(k.Path, "errors/") && !strings.HasPrefix(k.Path, "spindle/slow") && !strings.HasPrefix(k.Path, "spindle/fast") {
			require.Equal(t, 2, told[k.Path], "%s: what is taken is told", k.Path)
		}
	}
}

package job

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/dish/measure/strict"

	"github.com/stretchr/testify/require"
)

// plainJobs is a job of each form that has nothing but what it must have.
var plainJobs = map[string]string{
	key.Dish:  "radius: 25 ft\ndiameter: 500 mm\nblank: {size: 600 mm, thickness: 25 mm}\nmachine: bench-600\n",
	key.Caul:  "form: caul\nradius: 25 ft\ndiameter: 300 mm\nblank: {size: 600 mm, thickness: 25 mm}\nmachine: bench-600\n",
	key.Board: "form: board\nradius: 25 ft\nlength: 400 mm\nwidth: 80 mm\nblank: {size: 600 mm, thickness: 25 mm}\nmachine: bench-600\n",
	key.Gauge: "form: gauge\nradii: [25 ft]\nlength: 200 mm\nblank: {size: 600 mm, thickness: 4 mm}\nmachine: bench-600\n",
	key.Pair:  "form: pair\nradius: 25 ft\ndiameter: 300 mm\nplate: 3 mm\nblank: {size: 600 mm, thickness: 25 mm}\nmachine: bench-600\n",
	key.Rim:   "form: rim\noutline: {upper bout: 280 mm, waist: 240 mm, lower bout: 380 mm, length: 490 mm}\ntop: {radius: 28 ft}\nback: {radius: 15 ft}\ndepth: {head: 80 mm, tail: 95 mm}\n",
	key.Mould: "form: rim\ncut: mould\nmould: {wall: 20 mm}\nblank: {size: 600 mm, thickness: 40 mm}\nmachine: bench-600\noutline: {upper bout: 280 mm, waist: 240 mm, lower bout: 380 mm, length: 490 mm}\ntop: {radius: 28 ft}\nback: {radius: 15 ft}\ndepth: {head: 80 mm, tail: 95 mm}\n",
}

// beside are the keys that have to be there before another can be read.
var beside = map[string][]string{
	"setups": {"index error=0.1 mm, 0.05 deg"}, "index by": {"setups=auto", "index error=0.1 mm, 0.05 deg"}, "index error": {"setups=auto"},
	"covering layout": {"covering=0.6 mm"}, "extras/index flat": {"extras/cut out={tabs: 4}"},
	"obstacles/#/radius": {"obstacles=[{x: 900 mm, y: 0 mm, radius: 10 mm, height: 9 mm}]"},
	"obstacles/#/x":      {"obstacles=[{x: 900 mm, y: 0 mm, radius: 10 mm, height: 9 mm}]"},
	"obstacles/#/y":      {"obstacles=[{x: 900 mm, y: 0 mm, radius: 10 mm, height: 9 mm}]"},
	"obstacles/#/setup":  {"setups=auto", "index error=0.1 mm, 0.05 deg"}, "hold downs/#/setup": {"setups=auto", "index error=0.1 mm, 0.05 deg"},
	"covering/measured/#": {"covering/measured=[0.6 mm, 0.6 mm, 0.6 mm]"},
	"top points/#":        {"top points=[{x: -200 mm, y: -200 mm, z: 0.1 mm}, {x: 200 mm, y: -200 mm, z: 0 mm}, {x: 0 mm, y: 220 mm, z: -0.1 mm}]"},
	"outline/unit":        {"outline={points: [[0, 0], [10, 10], [20, 0]], unit: mm}"},
	"outline/scale":       {"outline={path: M0 0 L10 10 L20 0, scale: 1 mm}"}, "outline/path": {"outline={path: M0 0, scale: 1 mm}"}, "outline/head": {"outline={path: M0 0, scale: 1 mm}"},
	"outline/file": {"outline={file: body.csv}"}, "outline/points": {"outline={points: [[0 mm, 0 mm], [10 mm, 10 mm]]}"},
	"top/blend": {"top/flat above=380 mm from tail"}, "top/flat lean": {"top/flat above=380 mm from tail"}, "blank/length": {"blank/width=500 mm"}, "blank/width": {"blank/length=500 mm"},
}

// readWith reads the plain job of a form with changes; faults as one text.
func readWith(t *testing.T, form string, changes ...string) string {
	t.Helper()
	var list []strict.Change
	for _, c := range changes {
		one, err := strict.ParseChange(c, "--set "+c)
		require.NoError(t, err, c)
		list = append(list, one)
	}
	text := []byte(plainJobs[form])
	var err error
	if form == key.Rim || form == key.Mould {
		_, err = LoadRim("job.yaml", text, list...)
	} else {
		_, err = Load("job.yaml", text, list...)
	}
	if err == nil {
		return ""
	}
	return err.Error()
}

// concrete is a path of the catalogue with a name and a number in place of * and #,
// and what has to stand beside it.
func concrete(k key.Key) (path string, changes []string) {
	path = k.Path
	for prefix, more := range beside {
		if strings.HasPrefix(path, prefix) {
			changes = append(changes, more...)
		}
	}
	parts := strings.Split(path, "/")
	for i, p := range parts {
		holder := strings.Join(parts[:i+1], "/")
		switch h, _ := Keys().Find(holder); {
		case p == "*":
			parts[i] = "one"
			changes = append(changes, strings.Join(parts[:i+1], "/")+"="+h.Example)
		case slices.ContainsFunc(changes, func(c string) bool { return strings.HasPrefix(c, holder+"=") }): // it stands already
		case i+1 < len(parts) && parts[i+1] == "#":
			inner, _ := Keys().Find(holder + "/#")
			changes = append(changes, strings.Join(parts[:i+1], "/")+"=["+inner.Example+"]")
		case p == "#":
			parts[i] = "1"
		}
	}
	return strings.Join(parts, "/"), changes
}

func TestPlainJobs(t *testing.T) {
	for _, form := range []string{key.Dish, key.Caul, key.Board, key.Gauge, key.Pair, key.Rim, key.Mould} {
		require.Empty(t, readWith(t, form), form)
	}
}

// Every key of the catalogue is one that the jobs of its forms have, and no other form.
func TestCatalogueForms(t *testing.T) {
	for _, k := range Keys().All() {
		if strings.Contains(k.Path, "/") || k.Path == "form" {
			continue
		}
		for form := range plainJobs {
			faults := readWith(t, form, k.Path+"="+exampleFor(k, form))
			refused := strings.Contains(faults, "has no "+k.Path) || strings.Contains(faults, "is not known") || strings.Contains(faults, "is for cutting a mould") || strings.Contains(faults, "takes its covering in one piece")
			if k.Path == "cut" && form == key.Rim {
				continue // it makes a mould of the rim
			}
			want := !k.For(form)
			if k.Path == "covering layout" && form == key.Board {
				want = true // a key of its own message
			}
			require.Equal(t, want, refused, "%s in a %s: %s", k.Path, form, faults)
		}
	}
}

// exampleFor is an example of a key that the form takes.
func exampleFor(k key.Key, form string) string {
	if k.Path == "plate" && (form == key.Rim || form == key.Mould) {
		return "{radius: 27 ft}"
	}
	if k.Path == "extras" && form == key.Gauge {
		return "{cut out: {tabs: 4}}"
	}
	return strings.ReplaceAll(strings.ReplaceAll(k.Example, ", …", ""), "…", "")
}

// Bounds and words stand in the catalogue as the loader has them.
func TestCatalogueBounds(t *testing.T) {
	tried := 0
	for _, k := range Keys().All() {
		form := k.Forms[0]
		path, changes := concrete(k)
		try := func(value string) string {
			return readWith(t, form, append(append([]string{}, changes...), path+"="+value)...)
		}
		unit := map[bool]string{true: " mm"}[k.Is(key.Length)]
		switch {
		case k.Is(key.Angle):
			unit = " deg"
		case k.Is(key.Time):
			unit = " s"
		case k.Is(key.Slope):
			unit = " mm per 100 mm"
		}
		ranged := k.Most > 0 && !strings.HasSuffix(k.Path, "tab height") // half the blank is another bound
		if ranged {
			tried++
			least, most := fmt.Sprint(k.Least), fmt.Sprint(k.Most)
			below, above := fmt.Sprint(k.Least-0.0625*max(1, -k.Least)), fmt.Sprint(k.Most*1.01)
			if k.Is(key.Whole) {
				below, above = fmt.Sprint(k.Least-1), fmt.Sprint(k.Most+1)
			}
			if k.Least > 0 && k.Least < 0.1 {
				below = fmt.Sprint(k.Least / 2)
			}
			require.NotContains(t, bound(try(least+unit)), "out of range", "%s at %s", k.Path, least)
			require.NotContains(t, bound(try(most+unit)), "out of range", "%s at %s", k.Path, most)
			require.NotEmpty(t, try(above+unit), "%s at %s", k.Path, above)
			require.NotEmpty(t, try(below+unit), "%s at %s", k.Path, below)
		}
		if k.Is(key.Word) && k.Path != "form" {
			tried++
			for _, w := range k.Words {
				require.NotContains(t, try(w), "cannot be", "%s: %s", k.Path, w)
			}
			refused := try("mauve")
			require.Contains(t, refused, "cannot be", k.Path)
			require.Contains(t, refused+"\n", "it is one of "+strings.Join(k.Words, ", ")+"\n", k.Path)
		}
	}
	require.Greater(t, tried, 60)
}

// Every key of the catalogue is read in every form that has it: no key takes a list of a list
// of lists, and that is said where it stands. What the loader reads is in the catalogue, or it
// panics.
func TestEveryKeyIsRead(t *testing.T) {
	const bad = "[[[]]]"
	for _, k := range Keys().All() {
		for _, form := range k.Forms {
			path, changes := concrete(k)
			faults := readWith(t, form, append(changes, path+"="+bad)...)
			require.Contains(t, faults, "--set "+path+"="+bad, "%s of a %s", k.Path, form)
		}
	}
}

// The words of the catalogue are those that the planner knows.
func TestCatalogueWords(t *testing.T) {
	for path, want := range map[string][]string{
		"touch off/on": {work.TouchDiagonals, work.TouchCorner, work.TouchEdges, work.TouchHole, work.TouchApex},
		"index by":     {work.ByPin, work.ByFences, work.ByMarks, work.ByFence},
		"support":      {work.OnBench, work.OnBoard, work.OnRim, work.OnRibs},
		"direction":    {work.Both.String(), work.Uphill.String(), work.AlongX.String(), work.AlongY.String()},
	} {
		k, _ := Keys().Find(path)
		require.Equal(t, want, k.Words, path)
	}
}

// bound keeps of faults what is said of ranges.
func bound(faults string) string {
	if strings.Contains(faults, "out of range") {
		return faults
	}
	return ""
}

// What is taken where a key is left out is what the catalogue says.
func TestCatalogueDefaults(t *testing.T) {
	checked := 0
	for _, form := range []string{key.Dish, key.Caul, key.Board, key.Gauge, key.Pair} {
		j, err := Load("job.yaml", []byte(plainJobs[form]))
		require.NoError(t, err)
		for _, d := range j.Defaults {
			path := map[string]string{"blank shape": "blank/shape", "blank material": "blank/material"}[d.Key]
			if path == "" {
				path = d.Key
			}
			k, ok := Keys().Find(path)
			if !ok {
				continue // of a cutter, in one line
			}
			require.Contains(t, k.As(form).Default, d.Value, "%s of a %s", path, form)
			checked++
		}
	}
	require.Greater(t, checked, 40)
	r, err := LoadRim("job.yaml", []byte(plainJobs[key.Rim]))
	require.NoError(t, err)
	for _, d := range r.Defaults {
		k, ok := Keys().Find(strings.ReplaceAll(d.Key, ": ", "/"))
		require.True(t, ok, d.Key)
		if d.Key != "start" {
			require.Contains(t, k.Default, d.Value)
		}
	}
}

package job

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/cam/job/key"
	"dishwright/dish/measure/strict"
	"dishwright/machines"
	"dishwright/samples"
)

// shopLines are what a shop file may hold, one key a line.
var shopLines = []string{
	"machine: wide-1250", "covering: 0.6 mm", "fractions: 1/32 in", "floor: 9 mm", "zero error: 0.02 mm", "scallop: 0.2 mm", "allowance: 0.5 mm",
	"spindle tilt: 0.05 mm per 100 mm", "undersize: 0.02 mm", "touch off: {on: diagonals, block: 0.1 mm}",
	"shelf: {own flat: {shape: flat, diameter: 12 mm, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}}",
	"setups: auto", "index error: 0.1 mm, 0.05 deg, height 0.05 mm", "index by: marks",
}

// withShop reads a job over a shop file, either written as lines.
func withShop(shop, job []string, sets ...string) (Job, error) {
	s := Source{File: "job.yaml", Data: []byte(strings.Join(job, "\n") + "\n"), Shop: &Shop{"shop.yaml", []byte(strings.Join(shop, "\n") + "\n")}}
	for _, set := range sets {
		c, err := strict.ParseChange(set, "--set")
		if err != nil {
			return Job{}, err
		}
		s.Changes = append(s.Changes, c)
	}
	return s.Load()
}

// It does not matter in which of the two files a line stands: the same work, the same
// mark, the same defaults; and each value names its file and line.
func TestShopLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var shop, rest []string
		job := []string{"radius: 25 ft", "diameter: 500 mm", "blank: {size: 600 mm, thickness: 25 mm}"}
		for _, line := range shopLines {
			if rapid.Bool().Draw(t, line) {
				shop = append(shop, line)
			} else {
				rest = append(rest, line)
			}
		}
		whole, err := withShop([]string{"{}"}, append(slices.Clone(job), shopLines...))
		require.NoError(t, err)
		job = append(job, rest...)
		split, err := withShop(append(shop, ""), job)
		if len(shop) == 0 {
			require.ErrorContains(t, err, "shop.yaml:1:1: the file is empty")
			return
		}
		require.NoError(t, err)
		require.Equal(t, whole.Work, split.Work)
		require.Equal(t, whole.Mark(), split.Mark())
		require.Equal(t, whole.Defaults, split.Defaults)
		require.Equal(t, "shop.yaml", split.Shop)
		for _, v := range split.Values {
			text := map[string][]string{FromJob: job, FromShop: shop}[v.Source]
			if v.Source == FromDefault {
				require.Empty(t, v.File)
				continue
			}
			require.Contains(t, text[v.Line-1], v.Value, v.Key)
			require.True(t, strings.HasPrefix(text[v.Line-1], strings.SplitN(v.Key, "/", 2)[0]+":"), v.Key)
		}
	})
}

// A job's own keys and entries go before those of the shop, and the call before both.
func TestShopBelow(t *testing.T) {
	shop := []string{"machine: bench-600", "floor: 9 mm", "blank: {material: birch, thickness: 30 mm}", shopLines[10]}
	job := []string{"radius: 25 ft", "diameter: 500 mm", "blank: {size: 600 mm, thickness: 25 mm}", "floor: 10 mm",
		"shelf: {big flat: {shape: flat, diameter: 1 in, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}}"}
	j, err := withShop(shop, job)
	require.NoError(t, err)
	require.Equal(t, []any{10.0, 25.0, "birch", "bench-600", "big flat", "own flat"}, []any{j.Work.Floor, j.Work.Blank.Thickness, j.Work.Material, j.Work.Machine.Name, j.Work.Shelf[0].Name, j.Work.Shelf[1].Name})
	require.Equal(t, []string{"blank/material: birch", "machine: bench-600", "shelf: own flat"}, OfShop(j.Values))

	other, err := withShop(append([]string{"machine: wide-1250"}, shop[1:]...), job)
	require.NoError(t, err)
	require.NotEqual(t, j.Mark(), other.Mark(), "another machine is another set")

	j, err = withShop(shop, job, "shelf/own flat/diameter=10 mm", "blank/material=mdf")
	require.NoError(t, err)
	require.Equal(t, 10.0, j.Work.Shelf[1].Diameter)
	require.Equal(t, "mdf", j.Work.Material)
	i := slices.IndexFunc(j.Values, func(v Value) bool { return v.Key == "blank/material" })
	require.Equal(t, Value{Key: "blank/material", Value: "mdf", Source: FromCall}, j.Values[i])
}

// What the shop file says and a job of that form has no use for is not used.
func TestShopOfOtherForms(t *testing.T) {
	for form, text := range plainJobs {
		s := Source{File: "job.yaml", Data: []byte(text), Shop: &Shop{"shop.yaml", []byte(strings.Join(shopLines[:11], "\n") + "\nsides: 2 mm\nclamps: {spacing: 30 mm}\n")}}
		var err error
		if form == key.Rim || form == key.Mould {
			_, err = s.LoadRim()
		} else {
			_, err = s.Load()
		}
		require.NoError(t, err, form)
	}
	_, err := withShop(shopLines[12:], []string{"radius: 25 ft", "diameter: 500 mm", "blank: {size: 600 mm, thickness: 25 mm}", "machine: bench-600"})
	require.NoError(t, err, "an index error without setups")
	_, err = withShop([]string{"floor: 9 mm"}, []string{"form: dsh", "radius: 25 ft"})
	require.ErrorContains(t, err, `"form" cannot be "dsh"`)
}

// Faults of both files, each at its own place, those of the job first.
func TestShopFaults(t *testing.T) {
	job := []string{"radius: 25 ft", "diameter: 500", "blank: {size: 600 mm, thickness: 25 mm}"}
	for shop, want := range map[string]string{
		"machine: bench-60":                 `shop.yaml:1:10: `,
		"machine: bench-600\nradius: 25 ft": "shop.yaml:2:1: a shop file has no radius: that is for each job to say\n  hint: write it in the job",
		"form: dish":                        "shop.yaml:1:1: a shop file has no form",
		"diameter: 3 m":                     "shop.yaml:1:1: a shop file has no diameter",
		"hold downs: []":                    "shop.yaml:1:1: a shop file has no hold downs",
		"keep outs: []":                     "shop.yaml:1:1: a shop file has no obstacles",
		"blank: {size: 30 mm}":              "shop.yaml:1:9: a shop file has no blank/size",
		"blank: {colour: red}":              `shop.yaml:1:9: the key "colour" is not known in "blank"`,
		"flor: 9 mm":                        "shop.yaml:1:1: the key \"flor\" is not known\n  hint: did you mean \"floor\"?",
		"floor: 9":                          `shop.yaml:1:8: floor: "9" has no unit`,
		"floor: 9 mm\nfloor: 8 mm":          `shop.yaml:2:1: the key "floor" stands here again; it is on line 1 already`,
		"shelf: {x: {shape: flat}}":         `shop.yaml:1:12: the key "diameter" is missing in "x"`,
		"- floor":                           "shop.yaml:1:1: the file holds a list",
		"":                                  "shop.yaml:1:1: the file is empty",
		"floor: [":                          "shop.yaml:1:",
		strings.Repeat("#", strict.MaxBytes) + "\na: 1": "shop.yaml: the file is larger than 1 MB",
	} {
		_, err := withShop([]string{shop}, job)
		require.ErrorContains(t, err, want, "%.50s", shop)
		require.IsType(t, strict.Faults{}, err)
		seen := map[strict.Fault]bool{}
		for _, f := range err.(strict.Faults) {
			require.False(t, seen[f], "told twice: %s", f)
			seen[f] = true
		}
		if !strings.Contains(want, "the file") && !strings.HasSuffix(want, ":1:") {
			require.ErrorContains(t, err, "job.yaml:2:11: ", "%.50s", shop)
			require.Less(t, strings.Index(err.Error(), "job.yaml:2:11"), strings.Index(err.Error(), "shop.yaml:"))
		}
	}
}

// A machine of one's own lies relative to the file that names it.
func TestShopMachine(t *testing.T) {
	dir := t.TempDir()
	profile, ok := machines.ProfileText("bench-600")
	require.True(t, ok)
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "jobs"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mine.yaml"), profile, 0o644))
	s := Source{File: filepath.Join(dir, "jobs", "job.yaml"), Data: []byte("radius: 25 ft\ndiameter: 500 mm\nblank: {size: 600 mm, thickness: 25 mm}\n"), Shop: &Shop{filepath.Join(dir, "shop.yaml"), []byte("machine: mine.yaml\n")}}
	_, err := s.Load()
	require.NoError(t, err)
	s.Shop = nil
	s.Data = append(s.Data, "machine: mine.yaml\n"...)
	_, err = s.Load()
	require.Error(t, err)
}

// No shop file is as before, and an empty map changes nothing.
func TestShopOfNothing(t *testing.T) {
	data, _ := samples.Get("octave-mandolin")
	a, err := Load("job.yaml", data)
	require.NoError(t, err)
	b, err := Source{File: "job.yaml", Data: data, Shop: &Shop{"shop.yaml", []byte("{}")}}.Load()
	require.NoError(t, err)
	require.Empty(t, a.Shop)
	a.Shop = b.Shop
	require.Equal(t, a, b)
}

// What may stand in a shop file is held by what may, and the keys that make a job are not
// among it.
func TestShopKeys(t *testing.T) {
	for _, k := range Keys().All() {
		if holder, ok := Keys().Find(k.Parent()); ok && k.Shop {
			require.True(t, holder.Shop, k.Path)
		}
	}
	for _, name := range []string{"form", "radius", "diameter", "length", "width", "radii", "name", "hold downs", "obstacles", "top points", "extras", "outline"} {
		require.NotContains(t, key.Shops(Keys()).Under(""), name)
	}
}

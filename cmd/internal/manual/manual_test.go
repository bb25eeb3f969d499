package manual

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"dishwright/cam/job"
	"dishwright/cam/job/key"
	"dishwright/machines"
	"dishwright/samples"
)

// schema compiles that of jobs with a library that knows the standard.
func schema(t *testing.T) *jsonschema.Schema { return compiled(t, Schema(job.Keys())) }

func compiled(t *testing.T, of map[string]any) *jsonschema.Schema {
	t.Helper()
	text, err := json.Marshal(of)
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(string(text)))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("job.json", doc))
	s, err := c.Compile("job.json")
	require.NoError(t, err)
	return s
}

// named gives every key of a YAML value the name that it has in JSON.
func named(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for k, one := range v {
			v[k] = named(one)
		}
	case map[any]any:
		all := map[string]any{}
		for k, one := range v {
			all[fmt.Sprint(k)] = named(one)
		}
		return all
	}
	return v
}

// valid holds a job's text against the schema.
func valid(t *testing.T, s *jsonschema.Schema, text string) error {
	t.Helper()
	var v any
	require.NoError(t, yaml.Unmarshal([]byte(text), &v), text)
	plain, err := json.Marshal(named(v))
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(string(plain)))
	require.NoError(t, err)
	return s.Validate(doc)
}

func TestSchemaTakesSamples(t *testing.T) {
	s := schema(t)
	for _, name := range samples.Names() {
		data, _ := samples.Get(name)
		require.NoError(t, valid(t, s, string(data)), name)
	}
}

// Every key's own example is one that the schema takes.
func TestSchemaTakesExamples(t *testing.T) {
	for _, k := range Entries() {
		v := value(k.In, k.Key)
		text, err := json.Marshal(v)
		require.NoError(t, err)
		c := jsonschema.NewCompiler()
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(string(text)))
		require.NoError(t, err)
		require.NoError(t, c.AddResource("key.json", doc))
		s, err := c.Compile("key.json")
		require.NoError(t, err, k.Path)
		example := strings.ReplaceAll(k.Example, ", …", "")
		if k.Path == "shelf" || k.Path == "start" || k.Is(key.Map) && strings.Contains(k.Example, "…") {
			continue // shortened for reading
		}
		require.NoError(t, valid(t, s, example), "%s: %s", k.Path, example)
	}
}

func TestSchemaRefuses(t *testing.T) {
	s := schema(t)
	const good = "radius: 25 ft\ndiameter: 500 mm\nblank: {size: 600 mm, thickness: 25 mm}\nmachine: bench-600\n"
	require.NoError(t, valid(t, s, good))
	for _, name := range []string{"obstacles", "keep outs"} {
		require.NoError(t, valid(t, s, good+name+": [{x: 280 mm, y: 0 mm, radius: 15 mm, height: 15 mm}]\n"))
		require.Error(t, valid(t, s, good+name+": 7\n"))
	}
	require.NoError(t, valid(t, s, "radius: 25 ft\ndiameter: 500 mm\n"), "a shop file may hold the rest")
	for what, text := range map[string]string{
		"no unit":             strings.Replace(good, "25 ft", "25", 1),
		"an unknown key":      good + "scalop: 0.1 mm\n",
		"an unknown word":     good + "pattern: zigzag\n",
		"a key of a board":    good + "curve: spherical\n",
		"no radius":           strings.Replace(good, "radius: 25 ft\n", "", 1),
		"no cutter's speed":   good + "shelf: {one: {shape: ball, diameter: 6 mm, flutes: 2, flute length: 25 mm, chip load: 0.05 mm, depth of cut: 3 mm}}\n",
		"a list for a map":    good + "shelf: [a]\n",
		"a wrong cutter":      good + "shelf: {a: {shape: cone}}\n",
		"a hold-down without": good + "hold downs: [{x: 1 mm}]\n",
		"a rim's key":         good + "braces: {}\n",
		"a rim without top":   "form: rim\noutline: {file: a.csv}\nback: {radius: flat}\ndepth: {head: 80 mm, tail: 90 mm}\n",
		"half a place":        "form: rim\noutline: {file: a.csv}\ntop: {radius: 28 ft, apex: [10 mm]}\nback: {radius: flat}\ndepth: {head: 80 mm, tail: 90 mm}\n",
	} {
		require.Error(t, valid(t, s, text), what)
	}
}

// The schema of profiles takes the built-in ones and any that the reader takes of these,
// and refuses what no profile is.
func TestShopSchema(t *testing.T) {
	s := compiled(t, ShopSchema())
	for _, good := range []string{"{}\n", "machine: mine.yaml\ncovering: 0.6 mm\nblank: {material: birch, thickness: 18 mm}\nclamps: {each: 6 s}\n",
		"shelf: {one: {shape: ball, diameter: 6 mm, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}}\n"} {
		require.NoError(t, valid(t, s, good), good)
	}
	for _, bad := range []string{"form: dish\n", "radius: 25 ft\n", "diameter: 600 mm\n", "hold downs: []\n", "blank: {size: 600 mm}\n", "floor: 8\n", "flor: 8 mm\n", "shelf: {one: {shape: ball}}\n"} {
		require.Error(t, valid(t, s, bad), bad)
	}
}

func TestProfileSchema(t *testing.T) {
	s := compiled(t, ProfileSchema())
	for _, name := range machines.BuiltinNames() {
		text, _ := machines.ProfileText(name)
		require.NoError(t, valid(t, s, string(text)), name)
		m, _ := machines.Builtin(name)
		require.NoError(t, valid(t, s, string(m.Text())), name)
	}
	const four = "name: a\ntravel: {x: 25 in, y: 25 in, z: 3 in}\nfeed: 120 ipm\nspindle: {slowest: 8000, fastest: 24000}\n"
	for _, good := range []string{four, four + "holder: none\n", four + "deviation: 0.02 mm\n", strings.Replace(four, "slowest: 8000, fastest: 24000", "hand router: {1: 9000, b: 12000}", 1), four + "arcs: true\n", four + "path mode: G64 P0.01\n"} {
		require.NoError(t, valid(t, s, good), good)
		_, err := machines.Parse("m.yaml", []byte(good))
		require.NoError(t, err)
	}
	for _, bad := range []string{"holdr: none\n", "dwell: minutes\n", "travel: 600 mm\n", "longest line: 63\n", "decimals: 4.5\n", "arcs: perhaps\n", "collets: 6 mm\n", "collets: [6]\n", "hood: {diameter: 100 mm}\n", "errors: {scale: 1 mm per 100 mm}\n", "units: inch\n"} {
		text := four
		if strings.HasPrefix(bad, "travel") {
			text = strings.Replace(four, "travel: {x: 25 in, y: 25 in, z: 3 in}\n", "", 1)
		}
		require.Error(t, valid(t, s, text+bad), bad)
		_, err := machines.Parse("m.yaml", []byte(text+bad))
		require.Error(t, err, bad)
	}
	for _, line := range strings.Split(strings.TrimSpace(four), "\n") {
		require.Error(t, valid(t, s, strings.Replace(four, line+"\n", "", 1)), line)
	}
}

// A key of a profile is found by its name; where a job has one of that name, both are
// told, and machine/ tells them apart.
func TestLookupOfProfiles(t *testing.T) {
	for word, want := range map[string][]string{
		"longest line": {"a machine profile: longest line"}, "deviation": {"a machine profile: corner rounding"}, "spindle/start": {"a machine profile: spindle/start"}, "collets": {"a machine profile: collets"},
		"name": {"a job file: name", "a machine profile: name"}, "machine/name": {"a machine profile: name"}, "machine": {"a job file: machine"}, "machine/": {"a job file: machine"},
		"machine/diameter": {"a machine profile: holder/diameter", "a machine profile: hood/diameter"}, "diameter": {"a job file: diameter"}, "hand router/3": nil, "spindle/hand router/3": {"a machine profile: spindle/hand router/*"},
		"machine/scallop": nil, "machine/machine": nil,
	} {
		var got []string
		for _, e := range Lookup(word) {
			got = append(got, e.In.File+": "+e.Path)
		}
		require.Equal(t, want, got, word)
	}
	for _, path := range Paths() {
		found := Lookup(path)
		require.NotEmpty(t, found, path)
		require.Equal(t, path, map[bool]string{true: "", false: OfMachine}[found[0].job()]+found[0].Path)
	}
	require.Contains(t, Explain(Lookup("dwell")[0], 78), "\n  file      of a machine profile\n")
	require.NotContains(t, Explain(Lookup("scallop")[0], 78), "\n  file ")
	require.NotContains(t, Explain(Lookup("dwell")[0], 78), "forms")
}

func TestLookup(t *testing.T) {
	for word, want := range map[string]string{
		"scallop": "scallop", "shelf/core": "shelf/*/core", "core": "shelf/*/core", "thickness": "blank/thickness", "hold downs/x": "hold downs/#/x",
		"shelf/my cutter/ramp": "shelf/*/ramp", "diameter": "diameter", " blank/size/ ": "blank/size",
	} {
		found := Lookup(word)
		require.NotEmpty(t, found, word)
		require.Equal(t, want, found[0].Path, word)
	}
	require.Greater(t, len(Lookup("cutter")), 2)
	for former, now := range map[string]string{"keep outs": "obstacles", "keep outs/height": "obstacles/#/height", "keep outs/#/x": "obstacles/#/x"} {
		found := Lookup(former)
		require.Len(t, found, 1, former)
		require.Equal(t, now, found[0].Path)
	}
	require.Contains(t, Explain(Lookup("keep outs")[0], 78), "\n  formerly  keep outs\n")
	for _, word := range []string{"", "nothing", "/", "..", "blank/colour"} {
		require.Empty(t, Lookup(word), "%q", word)
	}
}

func TestExplainSaysAll(t *testing.T) {
	for _, k := range Entries() {
		text := Explain(k, 78)
		for _, l := range strings.Split(text, "\n") {
			require.LessOrEqual(t, len([]rune(l)), 100, "%s: %s", k.Path, l) // a word of Markdown may be longer
		}
		require.Contains(t, text, k.Path)
		require.Contains(t, strings.Join(strings.Fields(text), " "), strings.Join(strings.Fields(k.About), " "))
		require.Contains(t, string(Keys()), fmt.Sprintf("`%s`", strings.TrimPrefix(k.Name()+": "+k.Example, "#: ")))
	}
}

package keys

import (
	"testing"

	"dishwright/dish/measure/strict"

	"github.com/stretchr/testify/require"
)

// tools is a catalogue of no real file, with a key of every kind that is read.
var tools = New("a test's file", Group{About: "all", Keys: []Key{
	{Path: "width", Kinds: []Kind{Length}, Least: 1, Most: 100, Rule: true, Needed: true, Example: "40 mm"},
	{Path: "floor", Kinds: []Kind{Length}, Most: 50, Default: "8 mm", Why: "stiff", Source: "our own", Without: "0 mm asks for none", Example: "9 mm",
		Of: map[string]Other{"thin": {Least: 2, Default: "3 mm", Why: "thin enough"}}},
	{Path: "depth", Kinds: []Kind{Length}, Default: "half the width", Why: "a rule", Example: "9 mm"},
	{Path: "plate", Kinds: []Kind{Length}, NeededBy: []string{"thin"}, Example: "3 mm"},
	{Path: "feed", Kinds: []Kind{Feed}, Least: 1, Most: 9000, Example: "100 mm/s"},
	{Path: "push", Kinds: []Kind{Acceleration}, Most: 50, Example: "10 mm/s2"},
	{Path: "start", Kinds: []Kind{Time}, Most: 60, Default: "5 s", Why: "usual", Example: "8 s"},
	{Path: "ramp", Kinds: []Kind{Angle}, Least: 0.2, Most: 45, Beyond: "that is no ramp", Within: "%s; 3 deg is usual", Example: "3 deg"},
	{Path: "lean", Kinds: []Kind{Slope}, Least: -2, Most: 2, Example: "0.1 mm per 100 mm"},
	{Path: "tabs", Kinds: []Kind{Whole}, Least: 2, Most: 50, Counts: "tab", Beyond: "%s hold nothing", Example: "4"},
	{Path: "speed", Kinds: []Kind{Number}, Least: 100, Most: 900, Example: "200"},
	{Path: "shape", Kinds: []Kind{Word}, Words: []string{"round", "square"}, Default: "round", Why: "as most", Example: "round"},
	{Path: "arcs", Kinds: []Kind{YesNo}, Default: "no", Why: "plain", Example: "no"},
	{Path: "wood", Kinds: []Kind{Text}, Default: "mdf", Why: "flat", Example: "mdf"},
	{Path: "hole", Kinds: []Kind{Length, Map}, Most: 20, Example: "6 mm"},
	{Path: "hole/across", Kinds: []Kind{Length}, Most: 20, Needed: true, Example: "6 mm"},
	{Path: "hole/deep", Kinds: []Kind{Length}, Default: "2 mm", Why: "enough", Example: "6 mm"},
	{Path: "shelf", Kinds: []Kind{Map}, Entries: 2, Counts: "cutter", Example: "{a: {long: 3 mm}}"},
	{Path: "shelf/*", Kinds: []Kind{Map}, Example: "{long: 3 mm}"},
	{Path: "shelf/*/long", Kinds: []Kind{Length}, Most: 20, Default: "4 mm", Why: "usual", Told: "length", Example: "3 mm"},
	{Path: "posts", Kinds: []Kind{List}, Fewest: 1, Entries: 2, Counts: "post", Beyond: "%s make no fence", Within: "%s of them", Example: "[{x: 1 mm}]"},
	{Path: "posts/#", Kinds: []Kind{Map}, Example: "{x: 1 mm}"},
	{Path: "posts/#/x", Kinds: []Kind{Length}, Least: -5, Most: 5, Needed: true, Example: "1 mm"},
	{Path: "sizes", Kinds: []Kind{List}, Example: "[1 mm]"},
	{Path: "sizes/#", Kinds: []Kind{Length}, Least: 1, Most: 9, Example: "1 mm"},
}})

// section opens a text; faults are what was found in it so far.
func section(t *testing.T, form, text string) (s *Section, r *Reader, faults func() string) {
	doc, err := strict.Open("f", []byte(text))
	require.NoError(t, err)
	r = NewReader(doc, tools)
	r.Form = form
	return r.Root(), r, func() string {
		if err := doc.Err(); err != nil {
			return err.Error()
		}
		return ""
	}
}

// Numbers come in the inside unit, within the bounds of the catalogue; else with one fault,
// at their place, and the hint of the catalogue or of the bounds.
func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		text, name string
		want       float64
		fault      string // empty for none
	}{
		{"width: 1 in", "width", 25.4, ""},
		{"width: 1 mm", "width", 1, ""},
		{"width: 0.9 mm", "width", 0, "f:1:8: width of 0.9 mm is out of range\n  hint: from 1 mm to 100 mm"},
		{"width: 4 in", "width", 0, "f:1:8: width of 4 in is out of range\n  hint: from 0.0394 in to 3.937 in"},
		{"width: 4", "width", 0, "f:1:8: width: \"4\" has no unit\n  hint: write the unit: 4 mm"},
		{"feed: 10 mm/s", "feed", 600, ""},
		{"feed: 0 mm/s", "feed", 0, "f:1:7: feed of 0 mm/s is out of range\n  hint: from 1 mm/min to 9000 mm/min"},
		{"push: 51 mm/s2", "push", 0, "f:1:7: push of 51 mm/s2 is out of range\n  hint: from 0 mm/s2 to 50 mm/s2"},
		{"start: 1 min", "start", 60, ""},
		{"ramp: 45 deg", "ramp", 0.7853981633974483, ""},
		{"ramp: 0.2 deg", "ramp", 0.0034906585039886592, ""},
		{"ramp: 46 deg", "ramp", 0, "f:1:7: that is no ramp\n  hint: 0.2 deg to 45 deg; 3 deg is usual"},
		{"lean: -1 mm per 100 mm", "lean", -0.01, ""},
		{"lean: -3 mm per 100 mm", "lean", 0, "f:1:7: lean of -3 mm per 100 mm is out of range\n  hint: from -2 mm per 100 mm to 2 mm per 100 mm"},
		{"lean: -3 mm", "lean", 0, "f:1:7: lean: \"3 mm\" is a length, not a slope\n  hint: write it like 0.12 mm per 100 mm, or -0.12 mm per 100 mm"},
		{"tabs: 50", "tabs", 50, ""},
		{"tabs: 1", "tabs", 0, "f:1:7: 1 tab hold nothing\n  hint: from 2 to 50"},
		{"speed: 99.5", "speed", 0, "f:1:8: speed of 99.5 is out of range\n  hint: from 100 to 900"},
		{"wood: mdf", "width", 0, "f:1:1: the key \"width\" is missing\n  hint: add width: 40 mm"},
		{"wood: mdf", "feed", 0, ""},
		{"wood: mdf", "depth", 0, ""},
		{"width:", "width", 0, "f:1:1: \"width\" has no value\n  hint: write width: and a value, or remove the key"},
	} {
		s, _, faults := section(t, "", c.text)
		v, ok := s.Quantity(c.name)
		require.Equal(t, c.want, v, "%s: %s", c.text, c.name)
		require.Equal(t, c.fault == "" && c.text != "wood: mdf", ok, c.text)
		require.Equal(t, c.fault, faults(), c.text)
		if k := s.Key(c.name); k.Is(Length) {
			s, r, again := section(t, "", c.text)
			l, ok2 := s.Length(c.name)
			require.Equal(t, v, l.MM)
			require.Equal(t, ok, ok2)
			require.Equal(t, c.fault, again())
			require.Equal(t, c.text == "width: 1 in" || c.text == "width: 4 in", r.Inches, c.text)
		}
	}
}

// What is left out is taken as the catalogue says for the form, and told where it says so.
func TestTaken(t *testing.T) {
	s, r, faults := section(t, "", "width: 4 mm\nshelf: {a: {}, b: {long: 5 mm}}\nhole: 3 mm\n")
	require.Equal(t, 8.0, s.Amount("floor"))
	require.Equal(t, 5.0, s.Amount("start"))
	require.Equal(t, "round", s.Word("shape"))
	require.Equal(t, "mdf", s.TextOr("wood"))
	require.Empty(t, s.Text("wood"))
	require.False(t, s.YesNo("arcs"))
	require.Zero(t, s.Amount("plate"))
	s.Took("depth", "2 mm")
	shelf, ok := s.Section("shelf")
	require.True(t, ok)
	a, _ := shelf.Section("a")
	b, _ := shelf.Section("b")
	require.Equal(t, []float64{4, 5}, []float64{a.Amount("long"), b.Amount("long")})
	n, hole, ok := s.Main("hole", "across")
	require.True(t, ok)
	require.Equal(t, []float64{3, 2}, []float64{n, hole.Amount("deep")})
	none := s.In("posts").In("#") // nothing is missed in it
	require.Equal(t, []float64{0, 4}, []float64{none.Amount("x"), shelf.In("c").Amount("long")})
	require.Equal(t, []Default{{"floor", "8 mm", "stiff; 0 mm asks for none"}, {"start", "5 s", "usual"}, {"shape", "round", "as most"}, {"wood", "mdf", "flat"},
		{"arcs", "no", "plain"}, {"depth", "2 mm", "a rule"}, {"length", "4 mm", "usual"}}, r.Taken)
	require.Empty(t, faults())

	s, r, faults = section(t, "thin", "width: 4 mm\n")
	require.Equal(t, 3.0, s.Amount("floor"))
	require.Equal(t, []Default{{"floor", "3 mm", "thin enough; 0 mm asks for none"}}, r.Taken)
	require.Zero(t, s.Amount("plate"))
	require.Contains(t, faults(), "add plate: 3 mm")
	k, _ := tools.Find("floor")
	require.Equal(t, "8 mm; of a thin 3 mm", k.Taken())
	require.Equal(t, "stiff (our own)", k.Reason())
}

// Sections know their keys, places and numbers of entries.
func TestSections(t *testing.T) {
	for text, want := range map[string]string{
		"shelf: {a: {}, b: {}, c: {}}":            "f:1:8: 3 cutters are too many\n  hint: at most 2",
		"shelf: {a: {wide: 3 mm}}":                "f:1:13: the key \"wide\" is not known in \"a\"\n  hint: the keys here are long",
		"shelf: [a]":                              "f:1:8: \"shelf\" holds a list where keys and values are expected\n  hint: write {key: value, key: value}, or one key a line, indented",
		"posts: []":                               "f:1:8: 0 posts make no fence\n  hint: 1 to 2 of them",
		"posts: [{x: 6 mm}, {y: 1 mm}]":           "f:1:13: x of 6 mm is out of range\n  hint: from -5 mm to 5 mm\nf:1:20: the key \"x\" is missing in \"posts, entry 2\"\n  hint: add x: 2 mm\nf:1:21: the key \"y\" is not known in \"posts, entry 2\"\n  hint: the keys here are x",
		"hole: {deep: 3 mm}":                      "f:1:7: the key \"across\" is missing in \"hole\"\n  hint: add across: 6 mm",
		"hole: 30 mm":                             "f:1:7: hole of 30 mm is out of range\n  hint: from 0 mm to 20 mm",
		"sizes: [3 mm, 10 mm]":                    "f:1:15: sizes, entry 2 of 10 mm is out of range\n  hint: from 1 mm to 9 mm",
		"shelf: {1/2 in: {long: 3 mm}}\nhole: {}": "f:2:7: the key \"across\" is missing in \"hole\"\n  hint: add across: 6 mm",
	} {
		s, r, faults := section(t, "", text)
		if shelf, ok := s.Section("shelf"); ok {
			for _, name := range shelf.Keys() {
				one, ok := shelf.Section(name)
				require.True(t, ok)
				one.Amount("long")
				require.Contains(t, r.Places, "shelf/"+name)
			}
		}
		s.EachSection("posts", func(i int, m *Section) {
			m.Like(map[string]string{"x": "2 mm"})
			m.Amount("x")
			require.Contains(t, r.Places, "posts/"+string(rune('0'+i)))
		})
		s.Main("hole", "across")
		if list, ok := s.Entries("sizes"); ok {
			for _, v := range list {
				s.Item(v, "sizes")
			}
		}
		require.Equal(t, want, faults(), text)
	}
	s, _, _ := section(t, "", "width: 4 mm")
	require.Panics(t, func() { s.Amount("breadth") })
}

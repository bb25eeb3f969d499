package strict

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/dish/measure"
)

// open returns a document that can be read; faults of form may be in it.
func open(t *testing.T, text string) *Document {
	t.Helper()
	d, err := Open("job.yaml", []byte(text))
	require.NoError(t, err)
	return d
}

// report returns everything that is wrong with a text, whether Open or Err tells.
func report(text string) string {
	d, err := Open("job.yaml", []byte(text))
	if err == nil {
		err = d.Err()
	}
	if err == nil {
		return ""
	}
	return err.Error()
}

func TestEveryGetter(t *testing.T) {
	d := open(t, `# a comment first
name: a dish, with a comma
radius: 25 ft
inches: "6 1/2\""
count: 3
number: -0.25
word: dish
yes: yes
no: no
true: true
feed: 80 mm/s
acceleration: 250 mm/s2
time: 2 min
angle: 180 deg
map: {z: 1, a: 2}
list: [1 mm, {x: 3 mm}, [4]]
year: 2026
slope: 0.1 mm per 100 mm
`)
	m := d.Root()
	text, ok := m.Text("name")
	require.True(t, ok)
	require.Equal(t, "a dish, with a comma", text)
	l, ok := m.Length("radius")
	require.True(t, ok)
	require.Equal(t, 7620.0, l.MM)
	require.Equal(t, measure.Foot, l.Unit)
	l, ok = m.Length("inches")
	require.True(t, ok)
	require.Equal(t, 165.1, l.MM)
	n, ok := get(m, "count", (*Value).Int)
	require.True(t, ok)
	require.Equal(t, 3, n)
	x, ok := m.Number("number")
	require.True(t, ok)
	require.Equal(t, -0.25, x)
	w, ok := m.Word("word", "board", "dish")
	require.True(t, ok)
	require.Equal(t, "dish", w)
	for key, want := range map[string]bool{"yes": true, "no": false, "true": true} {
		yes, ok := m.YesNo(key)
		require.True(t, ok)
		require.Equal(t, want, yes, key)
	}
	for _, c := range []struct {
		read func(*Value) (float64, bool)
		key  string
		want float64
	}{{(*Value).Feed, "feed", 4800}, {(*Value).Acceleration, "acceleration", 250}, {(*Value).Seconds, "time", 120}, {(*Value).Angle, "angle", math.Pi}, {(*Value).Slope, "slope", 0.001}} {
		x, ok := get(m, c.key, c.read)
		require.True(t, ok)
		require.InDelta(t, c.want, x, 1e-12, c.key)
	}
	sub, ok := m.Map("map")
	require.True(t, ok)
	require.Equal(t, []string{"z", "a"}, sub.Keys())
	list, ok := m.List("list")
	require.True(t, ok)
	require.Len(t, list, 3)
	require.True(t, list[1].IsMap())
	require.True(t, list[2].IsList())
	require.Equal(t, "list, entry 1", list[0].Label())
	require.Equal(t, Pos{Line: 16, Column: 8}, list[0].Pos())
	year, ok := m.Text("year")
	require.True(t, ok)
	require.Equal(t, "2026", year)
	v, ok := m.Value("word")
	require.True(t, ok)
	require.True(t, v.IsWord("dish"))
	require.False(t, v.IsWord("board"))
	require.Equal(t, Pos{Line: 3, Column: 9}, m.Pos("radius"))
	require.Equal(t, Pos{Line: 3, Column: 1}, m.KeyPos("radius"))
	require.Equal(t, Pos{Line: 2, Column: 1}, m.Pos("absent"))
	require.True(t, m.Has("radius"))
	require.False(t, m.Has("absent"))
	require.NoError(t, d.Err())

	// What is absent is neither read nor a fault.
	_, ok = m.Length("absent")
	require.False(t, ok)
	_, ok = m.Map("absent")
	require.False(t, ok)
	require.NoError(t, d.Err())
}

// All faults of a file come at once, in the order of its lines.
func TestFaultsTogether(t *testing.T) {
	d := open(t, `name: ""
radius: 460
radus: 25 ft
flutes: 2.5
speed: 0x10
scallop:
arcs: Yes
form: dsh
quoted: "3"
blank: [1]
list: {a: 1}
deep: {x: 1 mm, X: 2 mm}
`)
	m := d.Root()
	m.Allow("name", "radius", "flutes", "speed", "scallop", "arcs", "form", "quoted", "blank", "list", "deep")
	// Asked from the last line to the first.
	deep, ok := m.Map("deep")
	require.True(t, ok)
	deep.Allow("x", "y")
	deep.Require("y", "3 mm")
	m.List("list")
	m.Map("blank")
	m.Number("quoted")
	m.Word("form", "dish", "board")
	m.YesNo("arcs")
	m.Length("scallop")
	m.Number("speed")
	get(m, "flutes", (*Value).Int)
	m.Length("radius")
	m.Text("name")
	m.Require("machine", "bench-600")
	d.Fault(Pos{Line: 6, Column: 1}, "a range is broken", "another value")
	want := `job.yaml:1:1: the key "machine" is missing
  hint: add machine: bench-600
job.yaml:1:7: "name" is an empty text
  hint: write something, or leave the key out
job.yaml:2:9: radius: "460" has no unit
  hint: write the unit: 460 mm or 460 in
job.yaml:3:1: the key "radus" is not known
  hint: did you mean "radius"?
job.yaml:4:9: flutes: "2.5" is not a whole number of zero or more
  hint: write it like 3
job.yaml:5:8: speed: "0x10" is not a plain decimal number
  hint: write it like 0.25 or 12
job.yaml:6:1: "scallop" has no value
  hint: write scallop: and a value, or remove the key
job.yaml:6:1: a range is broken
  hint: another value
job.yaml:7:7: "arcs" must be yes or no, not "Yes"
  hint: write yes or no
job.yaml:8:7: "form" cannot be "dsh"
  hint: did you mean "dish"?
job.yaml:9:9: "quoted" stands in quotes or over several lines, where a number is expected
  hint: write a number without quotes
job.yaml:10:8: "blank" holds a list where keys and values are expected
  hint: write {key: value, key: value}, or one key a line, indented
job.yaml:11:7: "list" holds keys and values where a list is expected
  hint: write [first, second], or one entry a line that begins with -
job.yaml:12:7: the key "y" is missing in "deep"
  hint: add y: 3 mm
job.yaml:12:17: the key "X" is not known in "deep"
  hint: did you mean "x"?`
	require.EqualError(t, d.Err(), want)
	require.EqualError(t, d.Err(), want) // asking twice changes nothing
	var f Faults
	require.ErrorAs(t, d.Err(), &f)
	require.Len(t, f, 15)
	require.Equal(t, Fault{"job.yaml", 4, 9, `flutes: "2.5" is not a whole number of zero or more`, "write it like 3"}, f[4])
}

func TestForm(t *testing.T) {
	deep := strings.Repeat("[", MaxDepth-1) + "x" + strings.Repeat("]", MaxDepth-1)
	for _, c := range []struct{ name, text, want string }{
		{"good", "a: 1\n---\n", ":2:1: a second document"},
		{"twice", "a: 1\nb: 2\na: 3\n", `:3:1: the key "a" stands here again; it is on line 1 already`},
		{"twice, inside", "x: {a: 1,\n  a: 2}\n", `:2:3: the key "a" stands here again; it is on line 1`},
		{"anchor", "a: &x 1\n", ":1:4: anchors are not used"},
		{"alias", "a: &x 1\nb: *x\n", ":2:4: aliases are not used"},
		{"unknown alias", "a: 1\nb: [*nix]\n", ":2:5: aliases are not used"},
		{"anchor of a key", "&x a: 1\n", ":1:1: anchors and aliases are not used"},
		{"merge", "<<: {a: 1}\n", ":1:1: merging"},
		{"tag", "a: !!str 1\n", ":1:4: tags such as !!str"},
		{"key that is a list", "? [a]\n: b\n", ":1:3: a key must be plain words, not a list"},
		{"no key", "{: 1}", ":1:1: "},
		{"null key", "~: 1\n", ":1:1: a value stands here without its key"},
		{"long key", strings.Repeat("k", MaxName+1) + ": 1\n", "longer than 100 characters"},
		{"odd key", "\"a\\nb\": 1\n", "characters that cannot be printed"},
		{"deep", "a: " + deep + "\n", ""},
		{"too deep", "a: [" + deep + "]\n", ":1:23: lists and maps stand too deep"},
		{"far too deep", strings.Repeat("[", 100000), ":1:1: lists and maps stand too deep"},
		{"too deep in blocks", strings.Repeat("- ", 100000), ":1:1: "},
		{"empty", "", ":1:1: the file is empty"},
		{"blank", "\n\n  \n", ":1:1: the file is empty"},
		{"comment", "# nothing\n", ":1:1: the file is empty"},
		{"dashes", "---\n", ":1:1: the file is empty"},
		{"null", "~\n", ":1:1: the file holds nothing"},
		{"list", "\n- a\n", ":2:1: the file holds a list"},
		{"value", "dish\n", ":1:1: the file holds a single value"},
		{"zero byte", "a: 1\nb: \x00\n", ":2:4: this holds a zero byte"},
		{"not UTF-8", "a: 1\nb: \xe9t\xe9\n", ":2:4: this is not text in UTF-8"},
		{"UTF-16", "\xff\xfea\x00", ":1:1: this is not text in UTF-8"},
		{"bell", "a: \x07\n", ":1:4: there is a character that cannot be seen (U+0007)"},
		{"writing direction", "a: x\u202ey\n", ":1:5: there is a character that cannot be seen (U+202E)"},
		{"mark in front", "\ufeffa: *x\n", ":1:"},
		{"returns", "a: 1\r\nb: \x01\r\n", ":2:4: there is a character"},
		{"large", "a: " + strings.Repeat("x", MaxBytes), "job.yaml: the file is larger than 1 MB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := report(c.text)
			require.Contains(t, got, c.want)
			if c.want == "" {
				require.Empty(t, got)
			}
		})
	}
}

// The line of a fault of syntax is that of the fault, or of the list or map that
// it breaks; comments in front change nothing.
func TestSyntax(t *testing.T) {
	for _, c := range []struct {
		name, text string
		line       int
		want       string
	}{
		{"colon in a text", "a: 1\nb: c: d\n", 2, "a colon where no value can begin"},
		{"indented too far", "a: 1\n b: 2\n", 2, "a colon where no value can begin"},
		{"no blank after a colon", "a:1\nb: 2\n", 2, "a colon where no value can begin"},
		{"tab", "a:\n\tb: 1\n", 2, "a tab in the indentation"},
		{"tab further down", "a: 1\nb: 2\n# c\n\tc: 3\nd: 4\n", 4, "a tab in the indentation"},
		{"entry too far right", "a: {x: 1}\nb:\n  c: {x: 1,\n    y: 2}\n  d: 1\n   e: 2\n  f: 3\n", 6, "a colon where no value can begin"},
		{"entry too far left", "a: 1\nb:\n  c: {x: 1,\n    y: 2}\n  d: {x: 1}\n e: 2\nf: 3\n", 6, "neither a key"},
		{"map too far right", "a: 1\nb:\n  c: {x: 1}\n  d: {x: 1,\n    y: 2}\n   e: {x: 1}\n  f: 3\n", 6, "neither a key"},
		{"open bracket", "a: 1\nb: [1, 2\nc: 3\n", 2, "closing bracket is missing"},
		{"open brace", "a: {x: 1\nc: 3\n", 2, "closing bracket is missing"},
		{"no comma", "a: {x: 1 y: 2}\n", 1, "comma"},
		{"open quote", "a: 1\nb: \"x\nc: 2\n", 2, "inside a quote"},
		{"sign", "a: 1\nb: @x\n", 2, "a character that nothing can begin with"},
		{"bracket too many", "a: 1\nb: ]\n", 2, "a bracket or comma too many"},
		{"neither", "a: |\n  x\n y\n", 3, "neither a key"},
		{"list in a line", "a: 1\nb: - c\n", 2, "a list begins where it cannot"},
		{"list and map", "- a\nb: c\n", 2, "in one column"},
		{"behind the end", "a: 1\n...\nb\n", 3, "behind the end"},
		{"no colon", "a: 1\nb\nc: 2\n", 2, "no colon"},
		{"directive", "%OTHER 1\n---\na: 1\n", 1, "directives are not used"},
		{"second document", "a: 1\n---\nb: [\n", 3, ""},
	} {
		for _, front := range []string{"", "# one\n\n# two\n", "---\n"} {
			if front == "---\n" && strings.HasPrefix(c.text, "%") {
				continue
			}
			t.Run(c.name+" after "+measure.Shorten(front), func(t *testing.T) {
				_, err := Open("job.yaml", []byte(front+c.text))
				if err == nil { // a second document is read later
					d, _ := Open("job.yaml", []byte(front+c.text))
					err = d.Err()
				}
				var f Faults
				require.ErrorAs(t, err, &f)
				require.Contains(t, f[len(f)-1].Message, c.want)
				if c.name == "second document" {
					return // where an open end is blamed is the parser's choice
				}
				require.Equal(t, c.line+strings.Count(front, "\n"), f[len(f)-1].Line, "%v", err)
			})
		}
	}
}

// Names nested in themselves would grow without end if aliases were followed.
func TestAliasBomb(t *testing.T) {
	var b strings.Builder
	b.WriteString("a0: &a0 [x, x]\n")
	for i := 1; i < 40; i++ {
		fmt.Fprintf(&b, "a%d: &a%d [*a%d, *a%d]\n", i, i, i-1, i-1)
	}
	d := open(t, b.String())
	for _, k := range d.Root().Keys() {
		_, ok := d.Root().List(k)
		require.False(t, ok)
	}
	var f Faults
	require.ErrorAs(t, d.Err(), &f)
	require.Len(t, f, 40)
}

func TestManyFaults(t *testing.T) {
	var b strings.Builder
	for i := range 53 {
		fmt.Fprintf(&b, "key%d: 1\n", i)
	}
	d := open(t, b.String())
	d.Root().Allow("name")
	var f Faults
	require.ErrorAs(t, d.Err(), &f)
	require.Len(t, f, 51)
	require.Equal(t, "job.yaml: and 3 more faults", f[50].Error())
	require.Equal(t, 50, f[49].Line)

	d = open(t, "a: 1\n")
	for range maxKept + 10 {
		d.Fault(Pos{Line: 1, Column: 1}, "wrong", "")
	}
	require.ErrorAs(t, d.Err(), &f)
	require.Equal(t, fmt.Sprintf("and %d more faults", maxKept+10-maxReported), f[50].Message)

	d = open(t, "a: 1\n")
	for range maxReported + 1 {
		d.Fault(Pos{Line: 1, Column: 1}, "wrong", "")
	}
	require.ErrorAs(t, d.Err(), &f)
	require.Equal(t, "and 1 more fault", f[50].Message)
}

// Faults at one place keep the order in which they were found.
func TestFaultsAreStable(t *testing.T) {
	d := open(t, "a: 1\n")
	for i := range 40 {
		d.Fault(Pos{Line: 1, Column: 1 + i%2}, fmt.Sprint(i), "")
	}
	var f Faults
	require.ErrorAs(t, d.Err(), &f)
	for i := range 20 {
		require.Equal(t, fmt.Sprint(2*i), f[i].Message)
		require.Equal(t, fmt.Sprint(2*i+1), f[20+i].Message)
	}
}

func TestText(t *testing.T) {
	for _, c := range []struct{ value, want string }{
		{`"a\nb"`, "one line"},
		{`"a\u0000b"`, "one line"},
		{`" a"`, "blanks at its ends"},
		{"|\n  a\n  b\n", "one line"},
		{`"  "`, "empty"},
		{strings.Repeat("x", MaxTextLength+1), "longer than 200"},
		{"[a]", "holds a list where a text is expected"},
		{"~", "has no value"},
	} {
		d := open(t, "name: "+c.value)
		_, ok := d.Root().Text("name")
		require.False(t, ok, c.value)
		require.ErrorContains(t, d.Err(), c.want)
	}
	d := open(t, "name: "+strings.Repeat("\u00e9", MaxTextLength))
	_, ok := d.Root().Text("name")
	require.True(t, ok)
}

func TestNumbersAreStrict(t *testing.T) {
	for _, s := range []string{"1e3", "0x10", "0o10", "010", "1_000", "1:30", ".5", "5.", "+1", ".nan", ".inf", "-.inf", "1,5", `"1"`, "'1'", "yes", "[1]", "{a: 1}", "2026-01-01", "1 mm", "99999999999"} {
		d := open(t, "n: "+s)
		_, ok := d.Root().Number("n")
		require.False(t, ok, s)
		require.Error(t, d.Err(), s)
	}
}

// A value that is faulty in form is not blamed again by the getter.
func TestFaultOnce(t *testing.T) {
	d := open(t, "a: !!str 1\nb: [*x]\nx: &x 2\n"[0:11])
	m := d.Root()
	_, ok := m.Length("a")
	require.False(t, ok)
	var f Faults
	require.ErrorAs(t, d.Err(), &f)
	require.Len(t, f, 1)

	d = open(t, "x: &x 2\nb: [*x, 3 mm]\n")
	list, ok := d.Root().List("b")
	require.True(t, ok)
	require.Len(t, list, 1)
	require.Equal(t, "b, entry 2", list[0].Label())
	require.ErrorAs(t, d.Err(), &f)
	require.Len(t, f, 2)
}

// Where a text goes on behind the end of its document, what the document lacks is not told: it
// stands behind.
func TestTextBehindTheEnd(t *testing.T) {
	_, err := Open("job.yaml", []byte(" name: x\nradius: 5 m\n"))
	var f Faults
	require.ErrorAs(t, err, &f)
	require.Len(t, f, 1)
	require.Equal(t, 2, f[0].Line)
	require.Contains(t, f[0].Hint, "in one column")
}

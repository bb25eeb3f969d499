package machines

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// trip is a profile's text, the machine in it, and back:
//
//	Parse -> Machine -> Text  -> Parse -> the same Machine, with nothing left out
//	                 -> Start -> Parse -> the same Machine, with the same left out
func trip(t require.TestingT, text string) {
	m, err := Parse("m.yaml", []byte(text))
	require.NoError(t, err, text)
	again, err := Parse("show.yaml", m.Text())
	require.NoError(t, err, "%s", m.Text())
	require.Empty(t, again.Defaults, "%s", m.Text())
	start, err := Parse("start.yaml", m.Start())
	require.NoError(t, err, "%s", m.Start())
	require.Equal(t, m, start, "%s", m.Start())
	m.Defaults = nil
	require.Equal(t, m, again, "%s", m.Text())
	for _, l := range strings.Split(strings.TrimSpace(string(m.Text())+string(start.Start())), "\n") {
		require.True(t, !strings.HasPrefix(l, "# ") || len(l) <= 90 && !strings.HasSuffix(l, " "), l)
		require.True(t, l == "" || strings.HasPrefix(l, "#") || strings.Contains(l, "  # "), "no comment: %s", l)
	}
}

func TestTextOfBuiltins(t *testing.T) {
	for _, name := range BuiltinNames() {
		text, _ := ProfileText(name)
		trip(t, string(text))
		m, _ := Builtin(name)
		require.Empty(t, m.Defaults, "a built-in profile says all of it")
	}
}

// Odd texts, marks and numbers come back as they are.
func TestTextOfOddProfiles(t *testing.T) {
	for _, changes := range [][]string{
		{`name: "null"`}, {`name: "a: b # c"`}, {`name: 'it''s "mine" \ yours'`}, {"name: 7"}, {"name: Fräse Nr. 2"}, {`about: "- [x] {y}"`},
		{`spindle: {hand router: {"-": 100, "null": 101, "---": 102.5, 1.0: 103, ".5": 104}}`},
		{"travel: {x: 1/3 in, y: 2 ft 1/7 in, z: 3 in}", "feed: 100.1 ipm", "rapid"}, {"corner rounding: 0.0000001 mm"}, {"corner rounding: 1/999999 in", "units: in"},
		{"collets: [1/7 in, 6.35 mm, 3.17 mm, 10 mm, 0.5 in]"}, {"units: in"}, {"errors: {lean: -0.05 deg, scale: {y: -1/64 in per 12 in}, backlash: {z: 1/1000 in}, corrected: yes}"}, {"errors: {corrected: yes}"},
		{"units: in", "bed: [{x: -200 mm, y: -7 7/8 in, z: 0 mm}, {x: 1/3 in, y: 200.04 mm, z: -0.012 mm}, {x: 8 in, y: -0.1 mm, z: 0.004 in}]"},
		{"hood: {diameter: 4 in, above tip: 0 mm}", "under gantry: 3 7/8 in", "between uprights: 27.3 in", "travel: {x: 25 in, y: 25 in, z: 3 in}"},
	} {
		trip(t, with(changes...))
	}
}

// draw makes a profile, in either unit, with any keys left out that may be.
func draw(t *rapid.T) string {
	inches := rapid.Bool().Draw(t, "inches")
	number := func(what string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, what) }
	quantity := func(what, per string, low, high float64) string { // in mm
		digits := rapid.IntRange(0, 6).Draw(t, "digits")
		if inches {
			return fmt.Sprintf("%.*f in%s", 4+digits, number(what, low/25.4, high/25.4), per)
		}
		return fmt.Sprintf("%.*f mm%s", digits, number(what, low, high), per)
	}
	three := func(key, per string, low, high float64) string {
		return fmt.Sprintf("%s: {x: %s, y: %s, z: %s}", key, quantity(key, per, low, high), quantity(key, per, low, high), quantity(key, per, low, high))
	}
	list := []string{
		"name: " + rapid.StringMatching(`[a-z][a-z0-9 -]{0,9}[a-z0-9]`).Draw(t, "name"), three("travel", "", 10, 4000),
		rapid.SampledFrom([]string{three("feed", "/min", 100, 20_000), "feed: " + quantity("feed", "/min", 100, 20_000)}).Draw(t, "feeds"),
		rapid.SampledFrom([]string{"spindle: {slowest: 6000, fastest: 18000.5}", "spindle: {slowest: 6000, fastest: 18000, start: 7.25 s}", "spindle: {hand router: {a: 9000, b: 12345.6}}"}).Draw(t, "spindle"),
	}
	for _, one := range []string{
		"units: in", "units: mm", "about: " + rapid.StringMatching(`"a[ -!#-Z^-~]{0,20}x"`).Draw(t, "about"), three("rapid", "/min", 20_001, 90_000), three("acceleration", "/s2", 10, 2000),
		"corner rounding: " + quantity("rounding", "", 0, 0.9), "path mode: none", "dwell: none", "longest line: 101", "arcs: yes", "decimals: 6",
		"collets: [" + quantity("collet", "", 1, 5) + ", 1/4 in, 8 mm]", "holder: none", "under gantry: " + quantity("gantry", "", 10, 400), "between uprights: " + quantity("uprights", "", 10, 4000),
	} {
		key, _, _ := strings.Cut(one, ":")
		if rapid.Bool().Draw(t, key) && !strings.Contains(strings.Join(list, "\n"), key+":") {
			list = append(list, one)
		}
	}
	return strings.Join(list, "\n") + "\n"
}

func TestTextOfDrawnProfiles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { trip(t, draw(t)) })
}

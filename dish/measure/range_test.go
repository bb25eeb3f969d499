package measure

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The units that are suggested for a number without one, by what is known of it.
func TestUnitHints(t *testing.T) {
	dome := Range{1, 100_000, 4000, 9000}
	face := Range{20, 3000, 250, 750}
	scallop := Range{0.005, 2, 0.0125, 0.2}
	thick := Range{3, 300, 6, 100}
	feed := Range{1, 1e5, 1000, 10_000}
	read := func(f func(string) (float64, error)) func(string) error {
		return func(s string) error { _, err := f(s); return err }
	}
	length := func(r Range) func(string) error {
		return func(s string) error { _, err := r.Length(s); return err }
	}
	for _, c := range []struct {
		what  string
		parse func(string) error
		text  string
		hint  string
	}{
		{"dome", length(dome), "28", "write the unit: 28 ft"},
		{"dome", length(dome), "15", "write the unit: 15 ft or 15 m"},
		{"dome", length(dome), "7620", "write the unit: 7620 mm"},
		{"dome", length(dome), "9", "write the unit: 9 m or 9 ft"},
		{"dome", length(dome), "4.57", "write the unit: 4.57 m"},
		{"dome", length(dome), "460", "write the unit: 460 cm or 460 in"},
		{"dome", length(dome), "1000000", "write it with its unit, like 460 mm, 6 1/2 in or 25 ft"},
		{"dome", length(dome), "-25", "write it with its unit, like 460 mm, 6 1/2 in or 25 ft"},
		{"face", length(face), "24", "write the unit: 24 in or 24 cm"},
		{"face", length(face), "600", "write the unit: 600 mm"},
		{"face", length(face), "46", "write the unit: 46 cm or 46 in"},
		{"face", length(face), "0.46", "write the unit: 0.46 m"},
		{"face", length(face), "23 3/4", "write the unit: 23 3/4 in"},
		{"scallop", length(scallop), "0.1", "write the unit: 0.1 mm"},
		{"scallop", length(scallop), "0.004", "write the unit: 0.004 in"},
		{"scallop", length(scallop), "1/64", "write the unit: 1/64 in"},
		{"scallop", length(scallop), "0", "write it with its unit, like 460 mm, 6 1/2 in or 25 ft"},
		{"thickness", length(thick), "1", "write the unit: 1 in"},
		{"thickness", length(thick), "25", "write the unit: 25 mm"},
		{"thickness", length(thick), "3/4", "write the unit: 3/4 in"},
		{"place", length(Range{-5000, 5000, 60, 900}), "-235", "write the unit: -235 mm"},
		{"place", length(Range{-5000, 5000, 60, 900}), "-9", "write the unit: -9 in or -9 cm"},
		{"place", length(Range{-5000, 5000, 60, 900}), "0", "write the unit: 0 mm or 0 in"},
		{"nothing known", length(Range{}), "460", "write the unit: 460 mm or 460 in"},
		{"feed", read(feed.Feed), "5000", "write the unit: 5000 mm/min"},
		{"feed", read(feed.Feed), "120", "write the unit: 120 in/min or 120 mm/s"},
		{"feed of Z", read(Range{1, 1e5, 300, 3000}.Feed), "40", "write the unit: 40 in/min or 40 mm/s"},
		{"feed of Z", read(Range{1, 1e5, 300, 3000}.Feed), "1500", "write the unit: 1500 mm/min"},
		{"acceleration", read(Range{1, 50_000, 50, 1000}.Acceleration), "250", "write the unit: 250 mm/s2"},
		{"acceleration", read(Range{1, 50_000, 50, 1000}.Acceleration), "10", "write the unit: 10 in/s2"},
		{"time", read(Range{0, 3600, 2, 32}.Seconds), "8", "write the unit: 8 s"},
		{"time", read(Range{0, 86_400, 120, 1920}.Seconds), "8", "write the unit: 8 min"},
		{"angle", read(ParseAngle), "3", "write the unit: 3 deg"},
	} {
		t.Run(c.what+" "+c.text, func(t *testing.T) {
			var e *Error
			require.ErrorAs(t, c.parse(c.text), &e)
			require.Contains(t, e.Message, "has no unit")
			require.Equal(t, c.hint, e.Hint)
		})
	}
}

// Whatever the range, what is suggested is read and lies within its bounds; and where any
// unit would do, some are suggested.
func TestUnitHintsCanBeTaken(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Range{Least: rapid.Float64Range(-100, 1000).Draw(t, "least")}
		r.Most = r.Least + rapid.Float64Range(0, 1e5).Draw(t, "more")
		if rapid.Bool().Draw(t, "usual") {
			r.From = rapid.Float64Range(0, 1e4).Draw(t, "from")
			r.To = r.From + rapid.Float64Range(0, 1e4).Draw(t, "to")
		}
		text := rapid.StringMatching(`-?[0-9]{1,5}(\.[0-9]{1,4})?`).Draw(t, "text")
		_, err := r.Length(text)
		var e *Error
		require.ErrorAs(t, err, &e)
		fits := false
		for _, u := range []string{" mm", " cm", " m", " in", " ft"} {
			l, err := ParseLength(text + u)
			fits = fits || err == nil && r.Holds(l.MM)
		}
		list, suggests := strings.CutPrefix(e.Hint, "write the unit: ")
		require.Equal(t, fits, suggests, e.Hint)
		if suggests {
			for _, s := range strings.Split(list, " or ") {
				l, err := ParseLength(s)
				require.NoError(t, err)
				require.True(t, r.Holds(l.MM), "%s of %v", s, r)
			}
		}
	})
}

// A range changes nothing of what is read, only what is said of what is not.
func TestRangesReadTheSame(t *testing.T) {
	r := Range{1, 2, 1, 2}
	for _, s := range []string{"25 ft", "-6 1/2 in", "0 mm", "25 yd", "mm", ""} {
		want, wrong := ParseLength(s)
		got, err := r.Length(s)
		require.Equal(t, want, got)
		require.Equal(t, wrong, err)
	}
	feed, err := r.Feed("200 in/min")
	require.NoError(t, err)
	require.InDelta(t, 5080, feed, 1e-9)
}

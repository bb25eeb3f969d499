package post

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"

	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// words are the codes and letters of a text that no comment holds.
func words(text string, m machines.Machine) (list []string) {
	for _, l := range statements(text) {
		if l == m.PathMode {
			list = append(list, l)
			continue
		}
		for _, w := range strings.Fields(l) {
			if w[0] != 'G' && w[0] != 'M' {
				w = w[:1]
			}
			list = append(list, w)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// TestTrial: a trial holds every word that any program for its machine holds, in lines of
// the smallest common language, each announced; nothing goes below Z0 or turns while it
// moves.
func TestTrial(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawSpeaker(t)
		m := p.Machine
		m.Travel = r3.Vec{X: rapid.Float64Range(10, 5000).Draw(t, "x"), Y: rapid.Float64Range(13, 5000).Draw(t, "y"), Z: rapid.Float64Range(5.1, 5000).Draw(t, "z")}
		m.Decimals = rapid.IntRange(m.Decimals-1, 6).Draw(t, "decimals")
		if m.Arcs {
			m.Decimals = max(m.Decimals, 4)
		}
		text, err := Trial(m)
		if err != nil {
			t.Fatal(err)
		}
		if wrong := common(string(text), m); len(wrong) > 0 {
			t.Fatal(strings.Join(wrong, "\n"))
		}
		all := lines(string(text))
		if longest := slices.MaxFunc(all, func(a, b string) int { return len(a) - len(b) }); len(longest) != m.LongestLine {
			t.Fatalf("the longest line has %d characters of %d", len(longest), m.LongestLine)
		}
		tried := words(string(text), m)
		if p.Machine.Dwell != machines.NoDwell {
			var b bytes.Buffer
			if _, err := Write(&b, p); err != nil {
				t.Fatal(err)
			}
			for _, w := range words(b.String(), m) {
				if !slices.Contains(tried, w) {
					t.Fatalf("%s is not tried", w)
				}
			}
		}
		said := false // a message comes before the first line of each kind
		for i, l := range all {
			if fresh := !slices.Contains(all[:i], l) && !strings.HasPrefix(l, "("); fresh && !said && regexp.MustCompile(`^(G2[01]|G9[04]|G17|G18|G19|S|G4|M2|M5)`).MatchString(l) {
				t.Fatalf("%s comes without a message", l)
			}
			said = strings.HasPrefix(l, "(MSG, ")
		}
	})
}

// TestTrialUnfit: what moves too little has no trial.
func TestTrialUnfit(t *testing.T) {
	for travel, fits := range map[r3.Vec]bool{{X: 10, Y: 10, Z: 4}: true, {X: 9.9, Y: 600, Z: 60}: false, {X: 600, Y: 9.9, Z: 60}: false, {X: 600, Y: 600, Z: 3.9}: false} {
		m := machine(t, "bench-600")
		m.Travel = travel
		_, err := Trial(m)
		require.Equal(t, fits, err == nil, "%v: %v", travel, err)
		if !fits {
			require.ErrorIs(t, err, ErrUnfit)
		}
	}
	m := machine(t, "inch-24")
	m.Feed.Z = 0.19 * 25.4
	_, err := Trial(m)
	require.ErrorIs(t, err, ErrUnfit)
}

// TestTrialReadBack: a trial that would break a promise is not given.
func TestTrialReadBack(t *testing.T) {
	m := machine(t, "wide-1250")
	text, err := Trial(m)
	require.NoError(t, err)
	same := &trial{writer: &writer{program: Program{Machine: m}}, half: 25, high: 10, feed: 600}
	require.NoError(t, same.readBack(text))
	for _, c := range [][2]string{
		{"G0 Y-25", "G0 Y-26"}, {"G0 X-25 Y25", "G0 X-26 Y25"}, {"G1 X0 Y0 Z5 F600", "G1 X0 Y0 Z-0.1 F600"}, {"G0 Z10", "G0 Z10.1"}, {"Z9.8766", "Z10.8766"},
		{"G0 Z5", "G0 X1 Z5"}, {"G0 Z5", "G0 Z0"}, {"F300", "F601"}, {"M0\n", ""}, {"M0\n", "M3 S6000\nM0\n"}, {"M5\n", "G0 X1\nM5\n"}, {"M2\n", "M0\n"},
		{"G18\nG3 X0 Z7.5 I-10 K20", "G18\nG3 X0 Z7.5 I-10 K1"}, {"\nG94\n", "\nG55\n"},
	} {
		require.Contains(t, string(text), c[0])
		require.Error(t, same.readBack([]byte(strings.Replace(string(text), c[0], c[1], 1))), "%s for %s", c[1], c[0])
	}
}

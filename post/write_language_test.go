package post

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish/measure"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// numeral is a coordinate, a feed, a speed or a time as every controller reads it.
const numeral = `-?(0|[1-9][0-9]*)(\.[0-9]{0,5}[1-9])?`

// plain are the statements of the smallest common language, each alone on its line; arcs
// are those for machines that take arcs besides.
var (
	plain = []*regexp.Regexp{
		regexp.MustCompile(`^(G20|G21|G90|G94|M0|M2|M3|M5)$`),
		regexp.MustCompile(`^G0( X` + numeral + `( Y` + numeral + `)?| Y` + numeral + `| Z` + numeral + `)$`),
		regexp.MustCompile(`^G1( X` + numeral + `)?( Y` + numeral + `)?( Z` + numeral + `)?( F(0|[1-9][0-9]*)(\.[0-9])?)?$`),
		regexp.MustCompile(`^S[1-9][0-9]*$`),
		regexp.MustCompile(`^G4 P(0|[1-9][0-9]*)(\.[0-9])?$`),
	}
	arcs = []*regexp.Regexp{
		regexp.MustCompile(`^(G17|G18|G19)$`),
		regexp.MustCompile(`^G[23]( [XYZ]` + numeral + `){2,3}( [IJK]` + numeral + `){2}( F[0-9.]+)?$`),
	}
)

// common returns what is wrong with a text as one in the smallest common language of a
// machine, with the extra line of its own path mode.
func common(text string, m machines.Machine) (wrong []string) {
	list := slices.Clone(plain)
	if m.Arcs {
		list = append(list, arcs...)
	}
	for i, l := range lines(text) {
		comment := regexp.MustCompile(`^\([ !-'*-:<-~]+\)$`).MatchString(l)
		spoken := slices.ContainsFunc(list, func(r *regexp.Regexp) bool { return r.MatchString(l) })
		switch {
		case len(l) > m.LongestLine:
			wrong = append(wrong, fmt.Sprintf("%d: %d characters: %s", i+1, len(l), l))
		case m.Dwell == machines.NoDwell && strings.HasPrefix(l, "G4"):
			wrong = append(wrong, fmt.Sprintf("%d: a dwell: %s", i+1, l))
		case m.HandRouter() && (l[0] == 'S' || l == "M3" || l == "M5"):
			wrong = append(wrong, fmt.Sprintf("%d: a hand router is told: %s", i+1, l))
		case !comment && !spoken && (l != m.PathMode || l == ""):
			wrong = append(wrong, fmt.Sprintf("%d: %s", i+1, l))
		}
	}
	return wrong
}

// drawSpeaker draws what changes the words and the lines of a program.
func drawSpeaker(t *rapid.T) Program {
	p := drawProgram(t)
	m := &p.Machine
	least := 64
	if m.Arcs {
		least = 80
	}
	m.LongestLine = max(least, rapid.SampledFrom([]int{64, 65, 80, 256}).Draw(t, "longest line"))
	m.PathMode = rapid.SampledFrom([]string{"", "G61", "G61.1", "G64", "G64 P0.02"}).Draw(t, "path mode")
	m.Dwell = machines.Dwell(rapid.IntRange(0, 2).Draw(t, "dwell"))
	m.Spindle.StartTime = rapid.SampledFrom([]float64{0, 0.1, 4.25, 60}).Draw(t, "start")
	m.Travel = r3.Vec{X: 5000, Y: 5000, Z: 5000} // the widest that a profile may state
	if m.HandRouter() {
		p.Dial = rapid.SampledFrom([]string{"1", "A-2.5", "1234567890"}).Draw(t, "dial")
	}
	if rapid.Bool().Draw(t, "hood") {
		p.HoodHeight = rapid.SampledFrom([]float64{1, 500}).Draw(t, "height")
	}
	if p.SpindleOff = rapid.Bool().Draw(t, "in the air"); p.SpindleOff {
		moves := p.Sections[0].Moves[:1]
		at := moves[0].To
		moves = append(moves, path.Move{Kind: path.Line, From: at, To: r3.Vec{X: at.X + 100*m.Unit.MM(), Y: at.Y, Z: at.Z}, Feed: 254})
		p.Sections[0].Moves = moves
	}
	text := rapid.OneOf(rapid.SampledFrom(nasty), rapid.StringMatching(`([a-z]{1,12}[,.:?] ?){0,30}`))
	for range rapid.IntRange(0, 3).Draw(t, "sentences") {
		p.About = append(p.About, measure.Say(text.Draw(t, "about")))
		p.Before = append(p.Before, text.Draw(t, "before"))
	}
	p.Sections[0].Title = text.Draw(t, "title")
	p.Cutter.Name = strings.Repeat("n", m.LongestLine-len("(cutter: )"))
	p.Set = "program 40 of 40, job 01234567, made as 89abcdef"
	return p
}

// TestCommonLanguage: whatever is written is in the smallest common language of its
// machine, no line longer than that takes, and each program begins, stops and ends as all
// do.
func TestCommonLanguage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawSpeaker(t)
		if p.Machine.Dwell == machines.NoDwell { // a straight way down through the air comes first
			m := p.Sections[0].Moves
			down := path.Move{Kind: path.Traverse, From: m[0].To, To: m[0].To}
			down.To.Z -= p.Clearance / 2
			down.To.Z = math.Round(down.To.Z/p.Machine.Step()) * p.Machine.Step()
			up := path.Move{Kind: path.Traverse, From: down.To, To: down.From}
			if !p.SpindleOff {
				p.Sections[0].Moves = append([]path.Move{m[0], down, up}, m[1:]...)
			}
		}
		var b bytes.Buffer
		if _, err := Write(&b, p); err != nil {
			t.Fatal(err)
		}
		if wrong := common(b.String(), p.Machine); len(wrong) > 0 {
			t.Fatalf("%s", strings.Join(wrong, "\n"))
		}
		framed(t, b.String(), p)
	})
}

// framed holds a text against the order of stop, modes, lift, spindle and end.
func framed(t *rapid.T, text string, p Program) {
	m, s := p.Machine, statements(text)
	want := []string{"M0", [...]string{"G21", "G20"}[m.Unit], "G90", "G94"}
	if m.PathMode != "" {
		want = append(want, m.PathMode)
	}
	head := strings.Join(want, " ") + " G0 Z"
	stops := 1
	switch {
	case p.SpindleOff && m.HandRouter():
		want = []string{"M2"}
	case p.SpindleOff:
		want = []string{"M5", "M2"}
	case m.HandRouter():
		want, stops = []string{"M0", "M2"}, 3
	default:
		want = []string{"M5", "M2"}
	}
	if !strings.HasPrefix(strings.Join(s, " "), head) || !strings.HasSuffix(strings.Join(s, " "), " "+strings.Join(want, " ")) {
		t.Fatalf("begins or ends otherwise:\n%s", text)
	}
	all := lines(text)
	found := 0
	for i, l := range all {
		if l != "M0" {
			continue
		}
		found++
		// The last message before a stop says all: a question, or what is switched.
		if last := all[i-1]; !strings.HasPrefix(last, "(MSG, ") || !strings.Contains(last, "?") && !strings.Contains(last, "Switch the router off") {
			t.Fatalf("before a stop stands %s", last)
		}
	}
	if found != stops {
		t.Fatalf("%d stops, not %d:\n%s", found, stops, text)
	}
}

// TestWidestMessages: each message fits the shortest longest line, whatever is told in it.
func TestWidestMessages(t *testing.T) {
	for name, spoil := range map[string]func(*Program){
		"spindle": func(*Program) {}, "in the air": func(p *Program) { p.SpindleOff = true },
		"by hand":            func(p *Program) { p.Dial = "1234567890" },
		"by hand in the air": func(p *Program) { p.SpindleOff, p.Dial = true, "1234567890" },
	} {
		for _, hood := range []float64{0, 5000} {
			p := small(t)
			p.Machine.LongestLine, p.HoodHeight = 64, hood
			p.Machine.Decimals, p.Machine.Travel.Z = 6, 5000
			p.Machine.Spindle.Fastest, p.Cutter.FastestSpeed, p.Speed = 1e5, 1e5, 1e5
			p.Zero = -4000.123456
			spoil(&p)
			if p.SpindleOff {
				p.Sections[0].Moves = p.Sections[0].Moves[:1]
			}
			if p.Dial != "" {
				p.Machine.Spindle.Dial = []machines.DialSetting{{Mark: p.Dial, Speed: 1e5}}
			}
			text := write(t, p)
			require.Empty(t, common(text, p.Machine), name)
			require.Contains(t, text, "Z4005.123456.)", name)
		}
	}
}

// TestBreakText: nothing is lost and nothing added but what sets lines off; every line
// fits, and a sentence, a clause or a word ends it.
func TestBreakText(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  []string
	}{
		{"", 62, nil},
		{"One. Two. Three.", 62, []string{"One.", "Two.", "Three."}},
		{"One, two: three.", 62, []string{"One, two: three."}},
		{"aaaa bbbb, cccc dddd", 12, []string{"aaaa bbbb,", "cccc dddd"}},
		{"a, bbbbbbbb cccc dddd", 12, []string{"a, bbbbbbbb", "cccc dddd"}}, // so short a clause fills no line
		{"aaaaaa bbbbbb cccccc", 13, []string{"aaaaaa bbbbbb", "cccccc"}},
		{"aaaaaa bbbbbbb cccccc", 13, []string{"aaaaaa", "bbbbbbb", "cccccc"}},
		{"cutter: x", 12, []string{"- cutter: x"}},
		{"Really? cutter: x", 20, []string{"Really?", "- cutter: x"}},
		{"s et: xyz", 12, []string{"- s et: xyz"}},
		{"0123456789abcdef", 12, []string{"0123456789", "abcdef"}},
		{"0123456789msg,f", 12, []string{"0123456789", "- msg,f"}},
		{"msg,6789abcd", 12, []string{"- msg,6789ab", "cd"}},
		{"one point five is 1.5 mm", 12, []string{"one point", "five is 1.5", "mm"}},
	} {
		require.Equal(t, c.want, breakText(c.text, c.width), c.text)
	}
	mark := regexp.MustCompile(`^- ?`)
	rapid.Check(t, func(t *rapid.T) {
		text := CommentText(rapid.OneOf(rapid.SampledFrom(nasty), rapid.String(), rapid.StringMatching(`((msg,|cutter|set:|log|-|[a-z]{1,20})[:,.?! ]?){0,20}`)).Draw(t, "text"))
		width := rapid.SampledFrom([]int{62, 78, 254}).Draw(t, "width")
		got := breakText(text, width)
		kept := ""
		for _, l := range got {
			if len(l) > width || l == "" || strings.TrimSpace(l) != l || instructs(strings.Fields(l)) {
				t.Fatalf("%q of %q", l, text)
			}
			if strings.HasPrefix(l, "- ") && instructs(strings.Fields(mark.ReplaceAllString(l, ""))) {
				l = l[2:]
			}
			kept += l
		}
		// But for blanks, and for marks that the text has itself.
		bare := strings.NewReplacer(" ", "", "-", "")
		if want := bare.Replace(text); bare.Replace(kept) != want {
			t.Fatalf("%q became %q", want, kept)
		}
		if again := breakText(text, width); !slices.Equal(got, again) {
			t.Fatalf("once %q, then %q", got, again)
		}
	})
}

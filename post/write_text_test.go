package post

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"dishwright/cam/path"
	"dishwright/dish/measure"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// lines returns the lines of a program and the places of some of them.
func lines(text string) []string { return strings.Split(strings.TrimSuffix(text, "\n"), "\n") }

// statements leaves the comments out.
func statements(text string) (list []string) {
	for _, l := range lines(text) {
		if !strings.HasPrefix(l, "(") {
			list = append(list, l)
		}
	}
	return list
}

// TestHead: a stop before anything moves or turns; then the modes, each on its
// own line; the lift before the spindle; speed, start and dwell before the
// first move sideways.
func TestHead(t *testing.T) {
	s := statements(write(t, small(t)))
	require.Equal(t, []string{"M0", "G21", "G90", "G94", "G0 Z5", "S16000", "M3", "G4 P5", "G0 X-10 Y2.5"}, s[:9])
	require.Equal(t, []string{"G0 Z5", "M5", "M2"}, s[len(s)-3:])
}

// TestBegins: each section begins with its sentence on the line that is told.
func TestBegins(t *testing.T) {
	p := small(t)
	p.Sections = append(p.Sections, p.Sections[0])
	p.Sections[1].Title = "Again."
	var b strings.Builder
	done, err := Write(&b, p)
	require.NoError(t, err)
	list := lines(b.String())
	require.Len(t, done.Begins, 2)
	require.Contains(t, p.Sections[0].Title, strings.Trim(list[done.Begins[0]-1], "()"))
	require.Equal(t, "(Again.)", list[done.Begins[1]-1])
}

// TestHandRouterStops: no S and no M3; a second stop after the lift, with the
// dial before it; at the end a stop at clearance, and nothing moves after it.
func TestHandRouterStops(t *testing.T) {
	p := small(t)
	p.Machine, p.Dial = machine(t, "bench-400"), "3"
	p.Speed = 17000
	text := write(t, p)
	s := statements(text)
	require.Equal(t, []string{"M0", "G21", "G90", "G94", "G0 Z5", "M0", "G4 P4", "G0 X-10 Y2.5"}, s[:8])
	require.Equal(t, []string{"G0 Z5", "M0", "M2"}, s[len(s)-3:])
	require.NotRegexp(t, regexp.MustCompile(`(?m)^(S|M3|M5)`), text)
	all := lines(text)
	said := map[int]string{}
	stops := 0
	for i, l := range all {
		if l == "M0" {
			for k := i - 1; strings.HasPrefix(all[k], "(MSG, "); k-- {
				said[stops] = all[k] + said[stops]
			}
			stops++
		}
	}
	require.Equal(t, 3, stops)
	require.Contains(t, said[0], "(MSG, Are the touch plate and its clip away?)")
	require.Contains(t, said[0], "(MSG, Router off, zero, work right? Plate off? All clear?)")
	require.Equal(t, "(MSG, The dial at 3 is about 17000 rpm.)(MSG, Dial at 3? Switch the router on, keep clear.)", said[1])
	require.Contains(t, said[2], "Switch the router off. Hands away until it stands still.")
}

// TestNoHandsNearTheCutter: what is said at a stop sends nobody to the cutter
// while it may turn: the touch plate is asked after before the first start, and
// at the end nothing is asked but to keep away.
func TestNoHandsNearTheCutter(t *testing.T) {
	for _, name := range []string{"bench-600", "bench-400"} {
		p := small(t)
		p.Machine = machine(t, name)
		if p.Machine.HandRouter() {
			p.Dial, p.Speed = "3", 17000
		}
		text := write(t, p)
		require.Contains(t, text, "(Never reach near the cutter on the strength of it.)")
		require.Contains(t, text, "keep hands away until it stands still")
		for _, word := range []string{"brush", "clean", "wipe", "remove the", "take away"} {
			require.NotContains(t, strings.ToLower(text), word)
		}
	}
}

// TestDwell: tenths of a second, rounded up, in the unit that the controller counts in;
// none where the spindle is up to speed at once.
func TestDwell(t *testing.T) {
	for start, want := range map[float64][2]string{5: {"P5", "P5000"}, 2.5: {"P2.5", "P2500"}, 2.51: {"P2.6", "P2600"}, 0.01: {"P0.1", "P100"}, 1.1: {"P1.1", "P1100"}, 120: {"P120", "P120000"}} {
		p := small(t)
		p.Machine.Spindle.StartTime = start
		require.Contains(t, statements(write(t, p)), "G4 "+want[0])
		p.Machine.Dwell = machines.Milliseconds
		require.Contains(t, statements(write(t, p)), "G4 "+want[1])
	}
	p := small(t)
	p.Machine.Spindle.StartTime = 0
	require.NotContains(t, write(t, p), "G4")
}

// TestNoDwell: where the controller takes no dwell, the first way down through the air
// takes the spindle's start, and no other is slower for it; what leaves no such way is
// refused.
func TestNoDwell(t *testing.T) {
	at := func(start float64, spoil func(*Program)) (string, error) {
		p := small(t)
		p.Machine.Dwell, p.Machine.Spindle.StartTime = machines.NoDwell, start
		spoil(&p)
		var b bytes.Buffer
		_, err := Write(&b, p)
		return b.String(), err
	}
	same := func(*Program) {}
	hand := func(p *Program) {
		p.Machine.Spindle.Dial = []machines.DialSetting{{Mark: "3", Speed: 16000}}
		p.Dial = "3"
	}
	again := func(p *Program) { p.Sections = append(p.Sections, p.Sections[0]) }
	for _, spoil := range []func(*Program){same, hand, again} {
		text, err := at(5, spoil)
		require.NoError(t, err)
		require.NotContains(t, text, "G4")
		require.Contains(t, text, "G0 X-10 Y2.5\n(Slowly down: the spindle comes up to speed.)\nG1 Z1 F48\nG1 Z-0.5 F800\n") // 4 mm in 5 s
		require.Equal(t, 1, strings.Count(text, "Slowly down"))
	}
	text, err := at(0, same)
	require.NoError(t, err)
	require.Contains(t, text, "G0 X-10 Y2.5\nG0 Z1\n")
	text, err = at(5, func(p *Program) { // below the blank's top it is at speed
		p.Sections[0].Moves[1].To.Z, p.Sections[0].Moves[2].From.Z = -0.25, -0.25
	})
	require.NoError(t, err)
	require.Contains(t, text, "G1 Z0.0001 F59.9\nG0 Z-0.25\nG1 Z-0.5 F800\n") // a step above the top
	text, err = at(0.01, same)                                                // no faster than Z may, however short the start is
	require.NoError(t, err)
	require.Contains(t, text, "G1 Z1 F1500\n")
	fed := func(feed float64) func(*Program) {
		return func(p *Program) { m := &p.Sections[0].Moves[1]; m.Kind, m.Feed = path.Line, feed }
	}
	text, err = at(5, fed(48))
	require.NoError(t, err)
	require.Contains(t, text, "G0 X-10 Y2.5\nG1 Z1 F48\n")
	_, err = at(5, fed(48.1))
	require.ErrorContains(t, err, "the controller takes no dwell")
	_, err = at(5, func(p *Program) {
		fed(48)(p)
		p.Sections[0].Moves[1].To.X++
		p.Sections[0].Moves[2].From.X++
	})
	require.ErrorContains(t, err, "the controller takes no dwell")
}

// TestSpeedIsNeverRoundedUp: S is a whole number at most the speed allowed.
func TestSpeedIsNeverRoundedUp(t *testing.T) {
	p := small(t)
	p.Speed = 15999.9
	require.Contains(t, statements(write(t, p)), "S15999")
}

// form is what each line must look like, whatever the names: a comment without
// inner parentheses, or words.
var form = regexp.MustCompile(`^(\([ !-'*-:<-~]*\)|[GMSXYZIJKFP0-9. -]+)$`)

// nasty names: each tries to be something else than a comment.
var nasty = []string{
	"plain", "(nested)", "((((", "))))", "half) G0 X100 (", "a;b", "; M3", "MSG, press start", "msg,x", " M S G , x", "MSG,\tx",
	"cutter: other", "CUTTER:other", "ACTIVE, x", "debug, x", "print,#1", "LOGOPEN,file", "probeopen file", "PY,x",
	"piece: caul", "SET: 12ab", "setup: 2 of 4, turned 90 degrees, shifted X0 Y0 mm, sector at 45 degrees", "s e t u p : 1 of 2", "log, x", "LOGAPPEND,file", "logclose", "probeclose", "ABORT, x",
	"é ü 日本語 🎻", "a\nM3\nb", "a\r\nG0 Z-50", "tab\there", "\x00\x1b[31m", "%", "% \n%", "{curly} [square]", `"quoted" 'too'`,
	strings.Repeat("x", 10_000), "MSG," + strings.Repeat("x", 300), strings.Repeat("MSG, ", 2000), strings.Repeat("y", 100) + " MSG, x",
	strings.Repeat("word ", 19) + "cutter: x", "cutter:" + strings.Repeat("z", 94), "", "   ", "\u2028", "\ufeff", "\xff\xfe",
}

// harmlessText writes a program with the name everywhere that a name can stand,
// and checks that it commands just what the plain one does.
func harmlessText(t require.TestingT, name string) {
	p := small(t)
	plain := write(t, p)
	p.Cutter.Name = name[:min(len(name), 60)]
	if CommentText(p.Cutter.Name) == "" { // no job has such a name
		p.Cutter.Name = "x"
	}
	p.About = []measure.Said{measure.Say("%s", name), measure.Say("%s: program 1 of 1", name), measure.Say("Fit %s", name)}
	p.Sections[0].Title = name
	text := write(t, p)
	require.Equal(t, statements(plain), statements(text))
	messages, cutters := 0, 0
	for _, l := range lines(text) {
		require.LessOrEqual(t, len(l), p.Machine.LongestLine)
		require.Regexp(t, form, l)
		low := strings.ToLower(strings.ReplaceAll(l, " ", ""))
		switch {
		case strings.HasPrefix(low, "(msg,"):
			messages++
		case strings.HasPrefix(low, "(cutter:"):
			cutters++
			require.Equal(t, "(cutter: "+CommentText(p.Cutter.Name)+")", l)
		}
		require.NotRegexp(t, `^\((piece:|set:|setup:|active,|debug,|print,|log(,|open|append|close)|probe(open|close)|py,|abort,)`, low)
	}
	require.Equal(t, 5, messages)
	require.Equal(t, 1, cutters)
}

// TestNamesAreHarmless: no name changes what a program does or says of itself.
func TestNamesAreHarmless(t *testing.T) {
	for _, name := range nasty {
		harmlessText(t, name)
	}
}

// TestAnyNameIsHarmless: nor does any other.
func TestAnyNameIsHarmless(t *testing.T) {
	piece := rapid.OneOf(rapid.SampledFrom(nasty), rapid.String(), rapid.StringMatching(`[()%; ]{0,5}(MSG|msg|cutter|log)?[,: ]?`))
	rapid.Check(t, func(t *rapid.T) {
		harmlessText(t, piece.Draw(t, "a")+piece.Draw(t, "b")+piece.Draw(t, "c"))
	})
}

// TestPlain: what a name becomes.
func TestPlain(t *testing.T) {
	for in, want := range map[string]string{
		"half-inch ball": "half-inch ball", "a (b) {c} [d]": "a [b] [c] [d]", "a;b": "a,b", "é": "?", "日本": "??", "\ta\nb ": "a b", "\x7f": "?", "~ !": "~ !",
	} {
		require.Equal(t, want, CommentText(in), "%q", in)
	}
}

// TestExtents: the head says how far the tip really goes, an arc's middle too,
// in the program's own units and from its own zero.
func TestExtents(t *testing.T) {
	require.Contains(t, write(t, small(t)), "(The tip moves over X -10 to 10.01, Y 2.5 to 3, Z -0.5 to 5 mm.)")
	p := small(t)
	p.Machine.Arcs = true
	moves := p.Sections[0].Moves[:3:3]
	from := moves[2].To
	to := from
	to.X = 10
	centre := from
	centre.X, centre.Z = 0, 99.5
	p.Sections[0].Moves = append(moves, path.Move{Kind: path.Arc, Plane: path.ZX, Clockwise: true, From: from, To: to, Centre: centre, Feed: 600})
	p.Zero = -25
	// The arc's lowest place: 99.5 - sqrt(100² + 10²) = -0.99876 in the face frame.
	require.Contains(t, write(t, p), "X -10 to 10, Y 2.5 to 2.5, Z 24 to 30 mm.)")
}

package shop_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// lostStarts are ways to lose, or to garble, where a program's first cut begins; each
// returns the last line at which that must have been found.
var lostStarts = map[string]func(p pages) (pages, int){
	"its place": func(p pages) (pages, int) {
		k := p.find("G0 X", 1)
		return p.without(k, k), k + 2
	},
	"its X": func(p pages) (pages, int) {
		k := p.find("G0 X", 1)
		_, y, _ := strings.Cut(*p.line(k), " Y")
		*p.line(k) = "G0 Y" + y
		return p, k + 1
	},
	"its Y": func(p pages) (pages, int) {
		k := p.find("G0 X", 1)
		*p.line(k), _, _ = strings.Cut(*p.line(k), " Y")
		return p, k + 1
	},
	"its lift": func(p pages) (pages, int) {
		k := p.find("G0 Z", 1)
		return p.without(k, k), p.find("G0 X", 1) - 1
	},
	"its lift, and the way by a feed": func(p pages) (pages, int) {
		k := p.find("G0 X", 1)
		*p.line(k) = "G1" + (*p.line(k))[2:] + " F1000"
		k = p.find("G0 Z", 1)
		return p.without(k, k), p.find("G1 X", 1) - 1
	},
	"its lift, aslant along X, then along Y": func(p pages) (pages, int) {
		x, y, _ := strings.Cut(*p.line(p.find("G0 X", 1)), " Y")
		*p.line(p.find("G0 X", 1)) = "G0 Y" + y
		k := p.find("G0 Z", 1)
		*p.line(k) = x + " Z" + word(p, k, "Z")
		return p, k
	},
	"its place, and a feed comes down to the next": func(p pages) (pages, int) {
		k := p.find("G0 X", 1)
		p = p.without(k, k)
		for !strings.HasPrefix(*p.line(k), "G1 X") {
			p = p.without(k, k)
		}
		if !strings.Contains(*p.line(k), " F") {
			*p.line(k) += " F900"
		}
		return p, k
	},
}

// Whichever line or word of a program's start is lost, in one setup or turned, level or
// not, it is found before anything is cut.
func TestLostStart(t *testing.T) {
	t.Parallel()
	all, err := goodOnes()
	require.NoError(t, err)
	turned, r := smallDivided("4", "two fences").made(t)
	all = map[string]sound{"two": all["two"], "hand": all["hand"], "inches": all["inches"], "turned": {job: turned}}
	s := all["turned"]
	s.names, s.texts = printed(r)
	s.names, s.texts = s.names[1:], s.texts[1:]
	all["turned"] = s
	for name, s := range all {
		for file := range s.texts {
			for what, change := range lostStarts {
				p, line := change(strings.Split(s.texts[file], "\n"))
				text := strings.Join(p[:line+2], "\n") + "\nM5\nM2\n" // what comes after is not asked
				v := prove(t, s.job, s.names[file:file+1], []string{text})
				require.NotEmpty(t, v.Findings, "%s %d without %s", name, file+1, what)
				require.Positive(t, v.Findings[0].Line, "%s %d without %s: %+v", name, file+1, what, v.Findings[0])
				require.LessOrEqual(t, v.Findings[0].Line, line, "%s %d without %s: %+v", name, file+1, what, v.Findings[0])
				require.Contains(t, []string{"order", "traverse"}, v.Findings[0].Kind, "%s %d without %s: %+v", name, file+1, what, v.Findings[0])
			}
		}
	}
}

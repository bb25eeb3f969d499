package shop_test

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// skimmed loads a job whose blank is skimmed first.
func skimmed(t *testing.T, o order, skim string) (job.Job, *shop.Result) {
	t.Helper()
	j, err := job.Load("job.yaml", append(o.yaml(), "skim: "+skim+"\n"...))
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	require.Equal(t, "skim", r.Report.Programs[1].Purpose)
	return j, r
}

// Every place of the raw top, of every shape of blank, is passed by the level end of the
// cutter at Z0, and nothing bites deeper than it may; the evaluator reads the text.
func TestSkim(t *testing.T) {
	face, land, apart := milli(110), 60.0, 3.4
	if chance.Long() {
		face, apart = milli(200), 1.7
	}
	for _, c := range []struct{ outline, cutter, skim string }{
		{"square", "inch flat", "0.6 mm"}, {"round", "inch flat", "{off: 3 mm}"}, {"octagon", "big bull", "{off: 0.4 mm, cutter: big bull}"},
		{"rectangle", "big bull", "5 mm"}, {"square", "half-inch ball", "{off: 1 mm, cutter: inch flat}"},
	} {
		t.Run(c.outline+" "+c.cutter, func(t *testing.T) {
			t.Parallel()
			o := dishFor("skimmed", milli(4572), face, milli(0.1), c.cutter, c.cutter).with(func(o *order) {
				o.outline, o.long, o.wide = c.outline, milli(face.mm+land), milli(face.mm+land-20)
			})
			j, r := skimmed(t, o, c.skim)
			w := o.wanted()
			text := r.Texts[1].Bytes
			s, err := readScript(text, 0)
			require.NoError(t, err)
			tool := w.tools[s.cutter]
			require.NoError(t, rules(s, w.machine, []pin{{height: j.Work.Skim.Off}}))
			require.NoError(t, limits(s, w.machine, tool, w.board, w.floor))
			var level []sweep // what is cut at Z0
			for _, st := range s.steps {
				if st.what == "move" && st.g == 1 && st.from[2] == 0 && st.to[2] == 0 {
					level = append(level, straight(0, st.from, st.to))
				}
			}
			least := 0.0
			for x := -130.0; x <= 130; x += apart {
				for y := -130.0; y <= 130; y += apart {
					if !w.board.holds(x, y) {
						continue
					}
					near := math.Inf(1)
					for _, p := range level {
						a := math.Min(math.Max((x-p.x)*p.dx+(y-p.y)*p.dy, 0), p.long)
						near = math.Min(near, math.Hypot(x-p.x-a*p.dx, y-p.y-a*p.dy))
					}
					least = math.Max(least, near)
				}
			}
			require.Less(t, least, tool.flat)
			for _, st := range s.steps {
				if st.what == "move" && st.g == 1 {
					require.GreaterOrEqual(t, st.to[2], 0.0, "line %d", st.line)
				}
			}
			require.LessOrEqual(t, r.Report.Programs[1].BiteMM, tool.depth)
			require.Contains(t, r.Report.Order[1].Touch[1], fmt.Sprintf("highest place of the blank's raw top, a slip of paper or a plate of known thickness between: Z set to %g mm and that thickness", j.Work.Skim.Off))
			require.NotContains(t, string(r.Texts[2].Bytes), "raw top")
		})
	}
}

// firstOnTop is where a program first comes down to the new top.
var firstOnTop = regexp.MustCompile(`(?m)^G1 .*Z0\b`)

// A skim that is not made as it should be is found out.
func TestDoctoredSkim(t *testing.T) {
	t.Parallel()
	o := dishFor("skimmed", milli(4572), milli(200), milli(0.1), "inch flat", "inch flat").with(func(o *order) { o.long = milli(260) })
	j, r := skimmed(t, o, "0.6 mm")
	names, good := printed(r)
	require.True(t, prove(t, j, names, good).Proven)
	first := slices.IndexFunc(strings.Split(good[1], "\n"), func(l string) bool { return strings.HasPrefix(l, "G1 ") })
	for _, line := range []int{first + 6, first + 13} {
		out, err := r.Resume(shop.Stopped{Program: r.Texts[1].Bytes, File: "p", Line: line, Overlap: 20})
		require.NoError(t, err)
		require.Empty(t, out.Broken, "gone on with from line %d", line)
	}
	lines := strings.Split(good[1], "\n")
	last := 0
	for i, l := range lines {
		if strings.HasPrefix(l, "G1 Y") {
			last = i
		}
	}
	for name, change := range map[string]func([]string) []string{
		"a row is lost": func(l []string) []string { return slices.Delete(l, last-5, last-1) },
		"the last rows": func(l []string) []string { return slices.Delete(l, last-2, last+2) },
		"too high": func(l []string) []string {
			at := firstOnTop.FindStringIndex(good[1])
			return strings.Split(good[1][:at[1]]+".05"+good[1][at[1]:], "\n")
		},
		"straight down": func(l []string) []string { return strings.Split(strings.Replace(good[1], "G1 Z1.1", "G1 Z0", 1), "\n") },
		"across, too low": func(l []string) []string {
			return strings.Split(strings.Replace(good[1], "G0 Z5.6", "G0 Z0.3", 1), "\n")
		},
		"in no spindle": func(l []string) []string { return strings.Split(strings.Replace(good[1], "\nM3\n", "\n", 1), "\n") },
		"ends in the stock": func(l []string) []string {
			return strings.Split(strings.Replace(good[1], "\nM5\n", "\nG1 Z0.2\nM5\n", 1), "\n")
		},
	} {
		texts := slices.Clone(good)
		texts[1] = strings.Join(change(slices.Clone(lines)), "\n")
		require.NotEqual(t, good[1], texts[1], name)
		require.False(t, prove(t, j, names, texts).Proven, name)
	}
	v := prove(t, j, slices.Delete(slices.Clone(names), 1, 2), slices.Delete(slices.Clone(good), 1, 2))
	require.False(t, v.Proven)
	require.Contains(t, fmt.Sprint(v.Findings), "was to be skimmed off")
}

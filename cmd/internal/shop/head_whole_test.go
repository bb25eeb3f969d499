package shop

import (
	"bytes"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A job may be called otherwise by now, and a head hold remarks that say they are; a sentence
// before the name is none of it, nor is a step a remark.
func TestHeadsMayDiffer(t *testing.T) {
	for _, name := range []string{"plain", "inches", "in turns"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := headMade(t, name)
			now := *r
			now.Job.Work.Name = "Octave no. 3: the back"
			for i, text := range r.Texts {
				lines := strings.Split(string(text.Bytes), "\n")
				if i == 1 {
					out, err := r.Resume(Stopped{Program: text.Bytes, File: "p", Line: len(lines) - 13, Overlap: 20})
					require.NoError(t, err)
					lines = strings.Split(string(out.Text), "\n")
				}
				require.Empty(t, headFindings(t, &now, strings.Join(lines, "\n")))
				put := func(at int, line string) []Finding {
					return headFindings(t, &now, strings.Join(slices.Insert(slices.Clone(lines), at, line), "\n"))
				}
				require.NotEmpty(t, put(0, "(Then take the clamps off.)"))
				for _, title := range []string{"(Loosen the clamps now: hold the blank by hand, air lap.)", "(- : , air lap.)", "(" + r.Plan.Work.Name + ": program, air lap.)"} {
					require.NotEmpty(t, headFindings(t, &now, strings.Join(append([]string{title}, lines[1:]...), "\n")), title)
				}
				for at := range slices.Index(lines, "M0") {
					require.Empty(t, put(at, "(Note: cut on 3 May, of the sheet behind the door.)"))
					require.NotEmpty(t, put(at, "(note: 0: Take the clamps off.)"))
				}
			}
		})
	}
}

// A job renamed to the end of its own name is still the same, and a text whose coordinates were
// rounded once more moves as far as its head says.
func TestHeadsAreReadFromTheirStart(t *testing.T) {
	r := headMade(t, "plain")
	text := string(r.Texts[1].Bytes)
	now := *r
	now.Job.Work.Name = r.Job.Work.Name[2:]
	require.Empty(t, headFindings(t, &now, text))
	place := regexp.MustCompile(`(?s)over\sX (-?[\d.]+)`).FindStringSubmatchIndex(text)
	x, err := strconv.ParseFloat(text[place[2]:place[3]], 64)
	require.NoError(t, err)
	for by, found := range map[float64]bool{-0.01: false, 0.01: false, 0.02: true, 0.5: true} {
		other := text[:place[2]] + strconv.FormatFloat(x+by, 'f', 2, 64) + text[place[3]:]
		require.Equal(t, found, len(headFindings(t, r, other)) > 0, "%v", by)
	}
}

// Of a program that stands in its set no line of the head can be lost, and none put in, whatever
// it says; between the moves anyone may say what he likes.
func TestDoctoredWholeHeads(t *testing.T) {
	for _, name := range []string{"plain", "hand router", "hood", "inches", "in turns"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := headMade(t, name)
			texts := []string{string(r.Texts[0].Bytes), string(r.Texts[len(r.Texts)-1].Bytes)}
			cut := r.Texts[1].Bytes
			out, err := r.Resume(Stopped{Program: cut, File: "p", Line: bytes.Count(cut, []byte("\n")) - 12, Overlap: 20})
			require.NoError(t, err)
			for _, text := range append(texts, string(out.Text)) {
				doctorWhole(t, r, strings.Split(text, "\n"))
			}
		})
	}
}

func doctorWhole(t *testing.T, r *Result, lines []string) {
	t.Helper()
	const false1, false2 = "(0: Leave the spindle turning and take the clamps off.)", "(Then take the clamps off.)"
	first := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "(MSG") })
	for i := range first + 1 {
		for _, more := range []string{false1, false2} {
			list := headFindings(t, r, strings.Join(slices.Insert(slices.Clone(lines), i, more), "\n"))
			require.NotEmpty(t, list, "%s before line %d", more, i+1)
			require.Equal(t, "order", list[0].Kind)
		}
		if i == first || regexp.MustCompile(`^\((cutter|set|setup): `).MatchString(lines[i]) {
			continue // these are read, and missed elsewhere
		}
		list := headFindings(t, r, strings.Join(slices.Delete(slices.Clone(lines), i, i+1), "\n"))
		require.NotEmpty(t, list, "without %s", lines[i])
	}
	over := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "(The tip moves over X") })
	number := regexp.MustCompile(`-?\d+\.?\d*`)
	for _, at := range number.FindAllStringIndex(lines[over], -1) {
		bad := slices.Clone(lines)
		bad[over] = lines[over][:at[0]] + "7" + lines[over][at[0]:]
		if lines[over][at[0]] == '-' {
			bad[over] = lines[over][:at[0]+1] + "7" + lines[over][at[0]+1:]
		}
		require.Len(t, headFindings(t, r, strings.Join(bad, "\n")), 1, bad[over])
	}
	last := slices.Index(lines, "M2")
	require.Empty(t, headFindings(t, r, strings.Join(slices.Insert(slices.Clone(lines), last, false2), "\n")))
}

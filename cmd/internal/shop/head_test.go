package shop

import (
	"bytes"
	"context"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"dishwright/cam/job"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/outset"
	"dishwright/machines"
	"dishwright/post"

	"github.com/stretchr/testify/require"
)

// headJobs are small jobs that between them say all that a head can say.
var headJobs = map[string]string{
	"plain":       "machine: bench-600\n",
	"hand router": "machine: bench-400\n",
	"hood":        "machine: bench-600\nextras: {centre hole: 8 mm}\n",
	"skim":        "machine: bench-600\nskim: 0.6 mm\n",
	"touch off":   "machine: bench-600\ntouch off: {on: corner, block: 0.1 mm}\n",
	"inches":      "machine: inch-24\ntouch off: {on: edges}\n",
	"bed":         "machine: bench-600\nzero: centre-bed\n",
	"in turns":    "machine: desktop-300\nsetups: 4\nindex by: two fences\nindex error: 0.1 mm, 0.05 deg\n",
	"about a pin": "machine: desktop-300\nsetups: 3\nindex by: pin\nextras: {centre hole: 8 mm}\nindex error: 0.1 mm, 0.05 deg\n",
	"slid":        "machine: desktop-300\nsetups: 2\nindex by: one fence\nindex error: 0.1 mm, 0.05 deg\n",
}

const headShelf = `scallop: 0.3 mm
pattern: raster
spindle tilt: 0 mm per 100 mm
undersize: 0 mm
rough: one
finish: one
shelf:
  one: {shape: flat, diameter: 16 mm, flutes: 2, flute length: 20 mm, speed: 18000, chip load: 0.06 mm, depth of cut: 3 mm}
  straight: {shape: flat, diameter: 6 mm, flutes: 2, flute length: 28 mm, speed: 18000, chip load: 0.05 mm, depth of cut: 2.5 mm, shank: 6 mm, stick out: 34 mm}
`

// headMade makes one of them.
func headMade(t *testing.T, name string) *Result {
	t.Helper()
	blank := "radius: 5 m\ndiameter: 100 mm\nblank: {size: 160 mm, thickness: 25 mm}\n"
	if strings.Contains(headJobs[name], "setups") {
		blank = "radius: 5 m\ndiameter: 240 mm\nblank: {size: 290 mm, thickness: 25 mm}\n"
	}
	j, err := job.Load("job.yaml", []byte("name: small\n"+blank+headJobs[name]+headShelf))
	require.NoError(t, err)
	r, err := Run(context.Background(), j)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	return r
}

// headFindings reads texts and returns what their heads and messages lack.
func headFindings(t *testing.T, r *Result, texts ...string) []Finding {
	t.Helper()
	v := &Verdict{}
	var programs []proof.Program
	for _, text := range texts {
		p, _, err := read(&r.Job.Work, Source{Name: "p", Text: strings.NewReader(text)}, newRoom())
		require.NoError(t, err)
		cutter, f := cutterOf(r.Job.Work.Shelf, Source{Name: "p"}, p.Path)
		require.Nil(t, f)
		p.Cutter = cutter
		l, _, fault := setupOf(p.Path)
		require.Nil(t, fault)
		p.Setup = l.setup
		_, ok := ontoBlank(&p)
		require.True(t, ok)
		programs = append(programs, p)
	}
	v.heads(r.Job, programs, r.Extras, r.Plan.Layout, nil)
	return v.Findings
}

// linesOf returns the lines of a text that hold a sentence, and nothing else.
func linesOf(t *testing.T, lines []string, sentence string) (from, to int) {
	t.Helper()
	for from = range lines {
		all := ""
		for to = from; to < len(lines) && strings.HasPrefix(lines[to], "(") && len(all) < len(dense(sentence)); to++ {
			all += dense(strings.Trim(lines[to], "()"))
		}
		if to > from && all == dense(sentence) {
			return from, to
		}
	}
	require.Fail(t, "not in the head", sentence)
	return 0, 0
}

// altered changes a digit that is not the sentence's number, or a word.
func altered(lines []string) []string {
	out := slices.Clone(lines)
	digit := regexp.MustCompile(`[0-9]`)
	for i, l := range out {
		from := 0
		if i == 0 {
			from = strings.Index(l, ": ") + 1
		}
		if at := digit.FindStringIndex(l[from:]); at != nil {
			k := from + at[0]
			out[i] = l[:k] + strconv.Itoa((int(l[k]-'0')+1)%10) + l[k+1:]
			return out
		}
	}
	out[0] = regexp.MustCompile(`[a-z]{3,} `).ReplaceAllString(out[0], "some ")
	return out
}

// Every sentence of every head, and every message, is missed where it is removed, altered,
// doubled or stands after the stop; a head that is broken elsewhere is none that lacks any.
func TestDoctoredHeads(t *testing.T) {
	for name := range headJobs {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := headMade(t, name)
			for i, text := range r.Texts {
				good := string(text.Bytes)
				require.Empty(t, headFindings(t, r, good))
				require.Empty(t, headFindings(t, r, strings.ToLower(good)))
				require.Empty(t, headFindings(t, r, strings.ReplaceAll(good, " towards ", "  towards\t")))
				lines := strings.Split(good, "\n")
				doctorSentences(t, r, lines, r.Report.Order[i].Before())
				doctorMessages(t, r, lines)
			}
		})
	}
}

func doctorSentences(t *testing.T, r *Result, lines, sentences []string) {
	t.Helper()
	stop := slices.Index(lines, "M0")
	for _, s := range sentences {
		a, b := linesOf(t, lines, s)
		require.Less(t, a, stop)
		without := append(slices.Clone(lines[:a]), lines[b:]...)
		after := slices.Insert(slices.Clone(without), stop+1-(b-a), lines[a:b]...)
		for what, change := range map[string][]string{
			"removed": without, "moved after the stop": after,
			"altered": append(append(slices.Clone(lines[:a]), altered(lines[a:b])...), lines[b:]...),
			"doubled": append(slices.Clone(lines[:b]), lines[a:]...),
		} {
			list := headFindings(t, r, strings.Join(change, "\n"))
			require.Len(t, list, 1, "%s %s: %v", s, what, list)
			require.Equal(t, "order", list[0].Kind)
			if what != "doubled" {
				require.Equal(t, a+1, list[0].Line, "where it should stand: %s %s", s, what)
				require.Contains(t, list[0].Message.String(), s[:20])
			}
		}
	}
}

func doctorMessages(t *testing.T, r *Result, lines []string) {
	t.Helper()
	for i, l := range lines {
		if !strings.HasPrefix(l, "(MSG, ") {
			continue
		}
		without := append(slices.Clone(lines[:i]), lines[i+1:]...)
		stop := i + slices.Index(lines[i:], "M0")
		for what, change := range map[string][]string{
			"removed": without, "altered": append(append(slices.Clone(lines[:i]), strings.Replace(l, "MSG, ", "MSG, Turn the blank. ", 1)), lines[i+1:]...),
			"doubled": append(slices.Clone(lines[:i+1]), lines[i:]...), "moved after the stop": slices.Insert(slices.Clone(without), stop, l),
			"lost with its stop": append(slices.Clone(lines[:stop]), lines[stop+1:]...),
		} {
			list := headFindings(t, r, strings.Join(change, "\n"))
			require.NotEmpty(t, list, "%s %s", l, what)
			require.Equal(t, "order", list[0].Kind)
		}
	}
	more := slices.Insert(slices.Clone(lines), len(lines)-2, "(MSG, Turn the blank now.)", "M0")
	require.NotEmpty(t, headFindings(t, r, strings.Join(more, "\n")), "a stop that asks for hands")
	pause := slices.Insert(slices.Clone(lines), len(lines)-2, "M0")
	require.Empty(t, headFindings(t, r, strings.Join(pause, "\n")), "a pause asks nothing")
}

// What a program says of itself is held against its head: another cutter, another setup,
// another place to touch.
func TestHeadsAgainstTheirMarks(t *testing.T) {
	swap := func(text, old, now string) string {
		require.Contains(t, text, old)
		return strings.Replace(text, old, now, 1)
	}
	r := headMade(t, "in turns")
	two := string(r.Texts[2].Bytes)
	list := headFindings(t, r, swap(two, "(cutter: one)", "(cutter: straight)"))
	require.Contains(t, list[0].Message.String(), "Fit straight")
	list = headFindings(t, r, swap(two, "(setup: 2 of 4, turned 90,", "(setup: 3 of 4, turned 180,"))
	require.Contains(t, list[0].Message.String(), "Setup 3 of 4: mark 3 towards you")
	// Of another job, or of another hand, nothing is asked.
	require.Empty(t, headFindings(t, r, swap(two, ", job ", ", job 0")))
	require.Empty(t, headFindings(t, r, regexp.MustCompile(`\(set: .*\)`).ReplaceAllString(regexp.MustCompile(`(?m)^\((\d|MSG|Before this).*$`).ReplaceAllString(two, ""), "")))

	r = headMade(t, "plain")
	var sources []Source
	for _, text := range r.Texts {
		bad := regexp.MustCompile(`such as at X\S+ Y\S+ mm`).ReplaceAllString(string(text.Bytes), "such as at X1 Y1 mm")
		bad = regexp.MustCompile(`X\S+ Y\S+ mm, never`).ReplaceAllString(bad, "X1 Y1 mm, never")
		require.NotEqual(t, string(text.Bytes), bad)
		sources = append(sources, Source{Name: text.Name, Text: bytes.NewReader([]byte(bad))})
	}
	v, _, err := Prove(r.Job, sources)
	require.NoError(t, err)
	require.Len(t, v.Findings, len(r.Texts), "%v", v.Findings)
	require.Contains(t, v.Findings[0].Message.String(), "Z0 is touched off at X1 Y1 mm, where the blank's top does not stay as it is")
}

// No comment more or less takes a program out of its set.
func TestDoctoredHeadsOfOneComment(t *testing.T) {
	r := headMade(t, "plain")
	for i, text := range r.Texts {
		lines := strings.Split(string(text.Bytes), "\n")
		a, b := linesOf(t, lines, r.Report.Order[i].Sentences(nil)[3].String())
		require.Contains(t, lines[a], ": Fit ")
		other := append(append(slices.Clone(lines[:a]), "(4: Fit the 100 mm planer.)"), lines[b:]...)
		require.Len(t, headFindings(t, r, strings.Join(other, "\n")), 1)
		require.Len(t, headFindings(t, r, strings.Join(slices.Insert(slices.Clone(other), 1, "("+outset.Mark+")"), "\n")), 2)
		less := func(lines []string, begin string) []string {
			k := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, begin) })
			return slices.Delete(slices.Clone(lines), k, k+1)
		}
		list := headFindings(t, r, strings.Join(less(lines, "(set: "), "\n"))
		require.Len(t, list, 1)
		require.Contains(t, list[0].Message.String(), "a line (set: ...)")
		require.Len(t, headFindings(t, r, strings.Join(less(less(other, "(set: "), "("+post.BeforeLead), "\n")), 3)
	}
}

// A program that goes on where another was stopped is held against the job as any other.
func TestDoctoredHeadsOfResumed(t *testing.T) {
	for _, name := range []string{"plain", "in turns", "skim", "hand router", "hood", "bed", "inches"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := headMade(t, name)
			i := min(2, len(r.Texts)-1)
			if name == "skim" {
				i = 1
			}
			last := bytes.Count(r.Texts[i].Bytes, []byte("\n"))
			out, err := r.Resume(Stopped{Program: r.Texts[i].Bytes, File: "p", Line: last - 12, Overlap: 20})
			require.NoError(t, err)
			require.Empty(t, out.Broken)
			text := string(out.Text)
			require.Empty(t, headFindings(t, r, text))
			doctorSentences(t, r, strings.Split(text, "\n"), out.Order.Before())
			if name == "skim" {
				require.Contains(t, out.Order.Touch[1], cutAlready)
			}
		})
	}
}

// How high the hood hangs is read from what a head and its messages say before the first stop,
// in either unit and broken anywhere; of several the least. What stands later, a remark
// and what says something else of such a height raise nothing.
func TestHoodIsReadFromTheHead(t *testing.T) {
	for text, want := range map[string]float64{
		"(5: The hood 35 mm or more above the tip, lower again afterwards.)\nM0\n":                        35,
		"(MSG, Does the hood hang 35 mm or more above the tip?)\nM0\n":                                    35,
		"(the HOOD 1 7/16)\n(in or more above)\n(the tip)\nM0\n":                                          1.4375 * 25.4,
		"(The hood 36 mm or more above the tip.)\n(MSG, Does the hood hang 35 mm or more above the tip?)": 35,
		"M0\n(The hood 35 mm or more above the tip.)\n":                                                   0,
		"(The hood 35 mm or more above the tip)\n(Dust harms lungs.)\nM0\n":                               35,
		"(The hood 35 mm or more above the tip.)\n(The hood 25 mm above the tip.)\nM0\n":                  25,
		"(note: The hood 35 mm or more above the tip.)\nM0\n":                                             0,
		"(The hood 35 mm or more above the tip is too high.)\nM0\n":                                       0,
		"(Do not hang the hood 35 mm or more above the tip.)\nM0\n":                                       0,
		"(Was the hood 35 mm or more above the tip?)\nM0\n":                                               0,
		"(MSG, Take off the hood 35 mm or more above the tip)\nM0\n":                                      0,
		"(Watch that the hood clears all by 35 mm or more.)\nM0\n":                                        0,
		"(The hood 35 or more above the tip.)\nM0\n":                                                      0,
	} {
		m, ok := machines.Builtin("bench-600")
		require.True(t, ok)
		p, _, err := read(&work.Work{Machine: m}, Source{Name: "p", Text: strings.NewReader(text + "M2\n")}, newRoom())
		require.NoError(t, err, text)
		require.InDelta(t, want, p.HoodAbove, 1e-9, text)
	}
}

package shop_test

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// doctoring changes the text of one of the full job's programs: 1 the air lap, 2 the
// face, 3 the lines, 4 holes and cut-out.
type doctoring struct {
	name   string
	file   int
	kind   string // "" where it does no harm
	change func(lines []string) []string
}

// shift adds to a word of every line from one that begins so to the next G0.
func shift(after string, word byte, by float64) func([]string) []string {
	return func(lines []string) []string {
		on := false
		re := regexp.MustCompile(string(word) + `(-?[\d.]+)`)
		for i, l := range lines {
			switch {
			case strings.Contains(l, after):
				on = true
			case on && strings.HasPrefix(l, "(") && !strings.HasPrefix(lines[i-1], "("):
				on = false
			case on && strings.HasPrefix(l, "G"):
				lines[i] = re.ReplaceAllStringFunc(l, func(w string) string {
					v, _ := strconv.ParseFloat(w[1:], 64)
					if word == 'Z' && v > 0 {
						return w
					}
					return fmt.Sprintf("%c%.4f", word, v+by)
				})
			}
		}
		return lines
	}
}

// without leaves out the lines between the first that contains a text and the next comment.
func without(after string) func([]string) []string {
	return func(lines []string) []string {
		i := slices.IndexFunc(lines, func(l string) bool { return strings.Contains(l, after) })
		for strings.HasPrefix(lines[i+1], "(") { // the rest of the same title
			i++
		}
		j := i + 1
		for !strings.HasPrefix(lines[j], "(") {
			j++
		}
		first := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "G") && strings.Contains(l, " F") })
		feed := lines[first][strings.LastIndex(lines[first], " F"):]
		lines = slices.Delete(lines, i+1, j)
		for k := i; !strings.Contains(lines[k], " F"); k++ { // what comes next needs a feed
			if strings.HasPrefix(lines[k], "G1") {
				lines[k] += feed
				break
			}
		}
		return lines
	}
}

func doctorings() []doctoring {
	return []doctoring{
		{"nothing", 4, "", func(l []string) []string { return slices.Insert(l, slices.Index(l, "M0")+1, "(looked at)") }},
		{"the air lap comes down", 1, "spindle|gouge|contact|bite", func(l []string) []string {
			for i := range l {
				if strings.HasPrefix(l[i], "G1 ") {
					l[i] += " Z-0.5"
				}
			}
			return l
		}},
		{"the lines too deep", 3, "gouge|extra", shift("centre lines", 'Z', -0.1)},
		{"the lines too shallow", 3, "extra", shift("centre lines", 'Z', 0.1)},
		{"the lines aside", 3, "gouge", shift("centre lines", 'Y', 0.3)},
		{"the centre hole aside", 4, "gouge|floor", shift("the centre hole", 'X', 0.2)},
		{"the centre hole not made", 4, "extra", without("the centre hole")},
		{"the holes too deep", 4, "extra", shift("3 holes on a circle", 'Z', -0.5)},
		{"the holes not deep enough", 4, "extra", shift("3 holes on a circle", 'Z', 0.5)},
		{"the cut-out inward", 4, "gouge|floor", shift("the cut-out", 'X', 0.3)},
		{"the cut-out not through", 4, "extra", shift("the cut-out", 'Z', 0.5)},
		{"the cut-out into the bed", 4, "extra", shift("the cut-out", 'Z', -0.2)},
		{"the cut-out without tabs", 4, "gouge|floor", func(l []string) []string {
			top := regexp.MustCompile(` Z-12\.5( |$)`) // no deeper on its way over a tab
			from := slices.IndexFunc(l, func(line string) bool { return strings.Contains(line, "the cut-out, through") })
			for i := from; i < len(l); i++ {
				l[i] = top.ReplaceAllString(l[i], " Z-15.3$1")
			}
			return l
		}},
		{"another cutter", 4, "cutter|gouge|floor|spindle", func(l []string) []string {
			for i := range l {
				l[i] = strings.Replace(l[i], "(cutter: quarter straight)", "(cutter: inch flat)", 1)
			}
			return l
		}},
	}
}

// smallFullJob is the full job on a dish of half the size, whose proof is quick.
var smallFullJob = strings.NewReplacer("diameter: 120 mm", "diameter: 60 mm", "size: 190 mm", "size: 120 mm", "circle: 90 mm", "circle: 42 mm", "index flat: 50 mm", "index flat: 25 mm", "tab length: 8 mm", "tab length: 6 mm").Replace(fullJob)

// Without LONG on the small dish alone.
func TestDoctoredExtras(t *testing.T) {
	t.Parallel()
	if chance.Long() {
		r, err := fullOne()
		require.NoError(t, err)
		doctorExtras(t, r)
	}
	t.Run("small", func(t *testing.T) {
		j, err := job.Load("full.yaml", []byte(smallFullJob))
		require.NoError(t, err)
		r, err := shop.Run(context.Background(), j)
		require.NoError(t, err)
		require.Empty(t, r.Report.Broken)
		doctorExtras(t, r)
	})
}

// doctorExtras doctors each of the four programs of a dish with every extra.
func doctorExtras(t *testing.T, r *shop.Result) {
	t.Helper()
	require.Len(t, r.Texts, 4)
	for _, d := range doctorings() {
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			if d.name == "another cutter" && !chance.Long() { // of a face TestDoctored has it
				t.Skip("LONG=1 takes it too")
			}
			var texts, names []string
			for _, text := range r.Texts {
				texts, names = append(texts, string(text.Bytes)), append(names, text.Name)
			}
			before := texts[d.file-1]
			texts[d.file-1] = strings.Join(d.change(strings.Split(before, "\n")), "\n")
			require.NotEqual(t, before, texts[d.file-1], "nothing was changed")
			v := prove(t, r.Job, names, texts)
			if d.kind == "" {
				require.True(t, v.Proven, "%v", v.Findings)
				return
			}
			require.NotEmpty(t, v.Findings)
			require.True(t, slices.ContainsFunc(v.Findings, func(f shop.Finding) bool { return slices.Contains(strings.Split(d.kind, "|"), f.Kind) }), "%+v", v.Findings)
			if d.name != "the centre hole not made" { // by which program, nobody can tell
				require.Equal(t, names[d.file-1], v.Findings[0].Program)
			}
		})
	}
	// A program of the set that is missing.
	for drop := range 4 {
		if drop%2 == 1 && !chance.Long() {
			continue
		}
		var texts, names []string
		for i, text := range r.Texts {
			if i != drop {
				texts, names = append(texts, string(text.Bytes)), append(names, text.Name)
			}
		}
		require.Equal(t, drop == 0, prove(t, r.Job, names, texts).Proven, "without program %d", drop+1)
	}
}

// A hole wider than its cutter goes round in at a time is looked at all over: with one of
// the rounds on its bottom left out it is not proven, though its middle and wall are cut.
func TestDoctoredWideHole(t *testing.T) {
	t.Parallel()
	j, err := job.Load("wide.yaml", []byte(strings.Replace(fullJob, "  holes: [{diameter: 9 mm, circle: 90 mm, count: 3, depth: 8 mm}]\n  cut out: {tabs: 3, tab length: 8 mm, tab height: 2.5 mm}\n  index flat: 50 mm\n",
		"  holes: [{diameter: 32 mm, circle: 210 mm, count: 1, from: 45 deg, depth: 4 mm, cutter: quarter straight}]\n", 1)))
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	names, texts := printed(r)
	last := len(texts) - 1
	lines := strings.Split(texts[last], "\n")
	bottom := slices.IndexFunc(lines, func(l string) bool { return strings.HasSuffix(l, "Z-4") || strings.Contains(l, "Z-4 ") })
	require.Positive(t, bottom)
	place := regexp.MustCompile(`^(?:G1 )?X(\S+) Y(\S+)`)
	middle := 105 / math.Sqrt2
	rounds, now := 0, append([]string{}, lines[:bottom+1]...)
	for _, l := range lines[bottom+1:] {
		if m := place.FindStringSubmatch(l); m != nil {
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			if d := math.Hypot(x-middle, y-middle); d > 4 && d < 12 {
				rounds++
				continue
			}
		}
		now = append(now, l)
	}
	require.Greater(t, rounds, 20)
	require.True(t, prove(t, j, names, texts).Proven)
	texts[last] = strings.Join(now, "\n")
	v := prove(t, j, names, texts)
	require.Len(t, v.Findings, 1)
	require.Equal(t, "extra", v.Findings[0].Kind)
	require.Equal(t, names[last], v.Findings[0].Program)
}

// Once a cut-out is begun nothing else is cut, whoever wrote the texts: not by another
// program, nor in the same one.
func TestDoctoredCutOutFirst(t *testing.T) {
	t.Parallel()
	j, err := job.Load("full.yaml", []byte(smallFullJob))
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	names, texts := printed(r)
	require.Len(t, texts, 4)
	for i := range texts { // as another hand writes them
		texts[i] = "(cutter: " + r.Texts[i].Program.Cutter.Name + ")\n" + regexp.MustCompile(`(?m)^\(.*\n`).ReplaceAllString(texts[i], "")
	}
	require.Empty(t, prove(t, j, names, texts).Findings)

	// firstCut is the first line from one on that feeds below the top.
	firstCut := func(text string, from int) int {
		below := regexp.MustCompile(`Z-`)
		for i, l := range strings.Split(text, "\n") {
			if i+1 >= from && below.MatchString(l) {
				return i + 1
			}
		}
		return 0
	}
	told := func(t *testing.T, texts []string, names []string, line int) {
		t.Helper()
		list := prove(t, j, names, texts).Findings
		require.Len(t, list, 1, "%+v", list)
		require.Equal(t, []any{"order", names[len(names)-1], line}, []any{list[0].Kind, list[0].Program, list[0].Line})
		require.Contains(t, list[0].Message.String(), "this cuts after the cut-out is begun")
	}
	for what, last := range map[string]int{"the face": 1, "the lines": 2} {
		t.Run(what, func(t *testing.T) {
			var n, now []string
			for _, i := range append(slices.DeleteFunc([]int{0, 1, 2, 3}, func(i int) bool { return i == last }), last) {
				n, now = append(n, names[i]), append(now, texts[i])
			}
			told(t, now, n, firstCut(texts[last], 1))
		})
	}
	t.Run("the holes once more", func(t *testing.T) {
		lines := strings.Split(string(r.Texts[3].Bytes), "\n")
		begins := func(what string) int {
			return slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, "(") && strings.Contains(l, what) })
		}
		holes, out := begins("the centre hole"), begins("the cut-out, through")
		require.Less(t, holes, out)
		end := out + slices.IndexFunc(lines[out:], func(l string) bool { return strings.HasPrefix(l, "M5") })
		require.Greater(t, end, out)
		again := slices.Insert(slices.Clone(lines), end, lines[holes:out]...)
		now := slices.Clone(texts)
		now[3] = strings.Join(again, "\n")
		told(t, now, names, firstCut(now[3], end+1))
		now[3] = strings.Join(slices.Insert(slices.Clone(lines), end, lines[out:end]...), "\n")
		require.Empty(t, prove(t, j, names, now).Findings, "the cut-out once more")
	})
}

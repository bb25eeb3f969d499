package shop_test

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// scrapShelf are cutters of each kind, all invented.
const scrapShelf = `
  inch flat: {shape: flat, diameter: 1 in, flutes: 2, flute length: 12 mm, speed: 16000, chip load: 0.10 mm, depth of cut: 2 mm}
  two-inch flat: {shape: flat, diameter: 2 in, flutes: 2, flute length: 12 mm, speed: 12000, chip load: 0.10 mm, depth of cut: 2 mm}
  small flat: {shape: flat, diameter: 6 mm, flutes: 2, flute length: 15 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}
  thin flat: {shape: flat, diameter: 3 mm, flutes: 2, flute length: 8 mm, speed: 16000, chip load: 0.03 mm, depth of cut: 0.8 mm, ramp: 2 deg}
  half-inch ball: {shape: ball, diameter: 1/2 in, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}
  big bull: {shape: bull, diameter: 1 1/4 in, corner: 1/4 in, flutes: 2, flute length: 16 mm, speed: 14000, chip load: 0.10 mm, depth of cut: 2 mm}
`

// scrapJob is a job of which a scrap is cut.
func scrapJob(t *testing.T, machine string) job.Job {
	t.Helper()
	j, err := job.Load("job.yaml", []byte("name: dish\nform: dish\nradius: 25 ft\ndiameter: 200 mm\nblank: {size: 300 mm, thickness: 25 mm, material: mdf}\nmachine: "+machine+"\nfinish: inch flat\nshelf:"+scrapShelf))
	require.NoError(t, err)
	return j
}

// aScrap makes the scrap of a job's cutter.
func aScrap(t *testing.T, j job.Job, cutter string) (r *shop.Result, names, texts []string) {
	t.Helper()
	s, err := j.Scrap(cutter)
	require.NoError(t, err)
	r, err = shop.Run(context.Background(), s)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken, cutter)
	for _, one := range r.Texts {
		names, texts = append(names, one.Name), append(texts, string(one.Bytes))
	}
	return r, names, texts
}

// Each cutter cuts its scrap on each machine, and the texts are proven against the job that it
// was made for, nothing but them being given: on a machine in inches, one with a hand router,
// one of small travel too. It takes minutes. Without LONG other machines cut with one cutter.
func TestScraps(t *testing.T) {
	for _, machine := range []string{"bench-600", "inch-24", "bench-400", "desktop-300"} {
		j := scrapJob(t, machine)
		for _, c := range j.Work.Shelf {
			if machine != "bench-600" && c.Name != "small flat" && !chance.Long() {
				continue
			}
			t.Run(machine+", "+c.Name, func(t *testing.T) {
				r, names, texts := aScrap(t, j, c.Name)
				require.Len(t, texts, 2, "an air lap and the marks")
				require.Less(t, r.Report.TimeS, 480.0)
				v := prove(t, j, names, texts)
				require.True(t, v.Proven, "%v", v.Findings)
				require.Equal(t, "dish scrap", v.Job)
				table := string(r.Added[0].Data)
				require.Equal(t, 1+3*len(r.Job.Marks.Marks), strings.Count(table, "\n"))
				require.Contains(t, table, ",,"+r.Job.Mark()+"\n")
				require.Contains(t, texts[1], r.Job.Mark())
			})
		}
	}
}

// The inch flat's scrap on bench-600 is cut in five minutes at most, its air lap left out.
func TestScrapTakesMinutes(t *testing.T) {
	r, _, _ := aScrap(t, scrapJob(t, "bench-600"), "inch flat")
	require.Less(t, r.Report.Programs[1].TimeS, 300.0)
	require.Greater(t, r.Report.Programs[1].TimeS, 30.0)
}

// scrapLine is the first line after one that holds a text which matches.
func scrapLine(lines []string, after, pattern string) int {
	i := slices.IndexFunc(lines, func(l string) bool { return strings.Contains(l, after) })
	re := regexp.MustCompile(pattern)
	return i + slices.IndexFunc(lines[i:], re.MatchString)
}

// What is changed in a scrap's text is found: every mark rests on where its runs are, how
// deep, from which side they are come to, in which order, and with what.
func TestDoctoredScrap(t *testing.T) {
	j := scrapJob(t, "bench-600")
	r, names, texts := aScrap(t, j, "inch flat")
	first := strings.Split(texts[1], "\n")
	cuts := scrapLine(first, "marks to measure", "^G0 X")
	// Each run begins with G0 Z5 of the one before, or the head, and ends with one.
	var begins []int
	for i := cuts; i < len(first); i++ {
		if strings.HasPrefix(first[i], "G0 Z5") {
			begins = append(begins, i+1)
		}
	}
	begins = append([]int{cuts}, begins...)
	require.Len(t, begins, len(r.Job.Marks.Cuts)+1)
	replaced := func(in []string, line int, pattern, with string) []string {
		out := slices.Clone(in)
		out[line] = regexp.MustCompile(pattern).ReplaceAllString(out[line], with)
		require.NotEqual(t, in[line], out[line])
		return out
	}
	moved := func(run int, pattern, with string) []string {
		out := slices.Clone(first)
		for i := begins[run]; i < begins[run+1]; i++ {
			out[i] = regexp.MustCompile(pattern).ReplaceAllString(out[i], with)
		}
		return out
	}
	swapped := func(a, b int) []string {
		return slices.Concat(first[:begins[a]], first[begins[b]:begins[b+1]], first[begins[a+1]:begins[b]], first[begins[a]:begins[a+1]], first[begins[b+1]:])
	}
	side := 9 // of the first block: it slopes
	for _, bad := range []struct {
		name string
		text []string
		kind string
		says string
	}{
		{"a moved groove", moved(0, `X-7\.3\b`, "X-7.35"), "extra|gouge", ""},
		{"a wall that is moved by a step", moved(0, `X-7\.3\b`, "X-7.3001"), "extra|gouge", ""},
		{"a shallower floor", moved(0, `Z-2\b`, "Z-1.99"), "extra", "it ends"},
		{"a deeper floor", moved(0, `Z-2\b`, "Z-2.01"), "extra|gouge", ""},
		{"a level floor for a slope", replaced(first, begins[side+1]-2, `Z-\S+`, "Z-0.86"), "extra", "it ends"},
		{"from the wrong side", replaced(first, begins[0], `X-6\.3`, "X-8.3"), "extra", "does not come in the air from the side"},
		{"from no side", slices.Delete(slices.Clone(first), begins[0]+1, begins[0]+2), "extra|gouge", ""},
		{"a missing run", slices.Delete(slices.Clone(first), begins[3], begins[4]), "extra", "is not cut as it should be"},
		{"two runs swapped", swapped(8, 9), "order", "which comes later"},
		{"a traverse through the boss", slices.Insert(slices.Clone(first), begins[8], "G0 X-26.3 Y-7.3", "G0 Z-1", "G0 Y-45.3", "G0 Z5"), "traverse", ""},
		{"a groove through the boss", slices.Insert(slices.Clone(first), begins[8], "G0 X-26.3 Y-7.3", "G1 Z-1 F500", "G1 Y-45.3 F1000", "G0 Z5"), "gouge|extra", ""},
		{"a deeper bite", slices.Delete(slices.Clone(first), begins[0]+4, begins[0]+6), "bite|ramp", ""},
		{"another cutter", replaced(first, slices.Index(first, "(cutter: inch flat)"), "inch flat", "two-inch flat"), "cutter|order", ""},
	} {
		t.Run(bad.name, func(t *testing.T) {
			v := prove(t, j, names, []string{texts[0], strings.Join(bad.text, "\n")})
			require.False(t, v.Proven)
			kinds := fmt.Sprint(v.Findings)
			require.True(t, slices.ContainsFunc(v.Findings, func(f shop.Finding) bool {
				return slices.Contains(strings.Split(bad.kind, "|"), f.Kind) && strings.Contains(f.Message.String(), bad.says)
			}), kinds)
		})
	}
	t.Run("the job has changed", func(t *testing.T) {
		other := j
		other.Work.Shelf = slices.Clone(j.Work.Shelf)
		other.Work.Shelf[0].Diameter = 25
		v := prove(t, other, names, texts)
		require.False(t, v.Proven)
		require.Contains(t, fmt.Sprint(v.Findings), "made for another job, or for this one before it was changed")
	})
	t.Run("with the job's own programs", func(t *testing.T) {
		own, err := shop.Run(context.Background(), j)
		require.NoError(t, err)
		all, list := slices.Clone(names), slices.Clone(texts)
		for _, one := range own.Texts {
			all, list = append(all, one.Name), append(list, string(one.Bytes))
		}
		v := prove(t, j, all, list)
		require.True(t, v.Proven, "%v", v.Findings)
	})
}

// Whatever the cutter and the wood: a scrap is refused in words, or keeps every bound.
func TestAnyScrap(t *testing.T) {
	made := 0
	rapid.Check(t, chance.Few(20, func(t *rapid.T) {
		shape := rapid.SampledFrom([]string{"flat", "ball", "bull"}).Draw(t, "shape")
		d := rapid.Float64Range(1, 60).Draw(t, "diameter")
		corner := ""
		if shape == "bull" {
			corner = fmt.Sprintf(", corner: %.2f mm", max(0.05, d*rapid.Float64Range(0.02, 0.45).Draw(t, "corner")))
		}
		text := fmt.Sprintf("name: dish\nradius: 25 ft\ndiameter: 200 mm\nmachine: %s\nzero: %s\nblank: {size: 300 mm, thickness: %.1f mm}\nshelf:\n  one: {shape: %s, diameter: %.2f mm%s, flutes: 2, flute length: %.1f mm, speed: 12000, chip load: 0.02 mm, depth of cut: %.2f mm, ramp: %.1f deg}\n",
			rapid.SampledFrom([]string{"bench-600", "inch-24", "wide-1250"}).Draw(t, "machine"), rapid.SampledFrom([]string{"centre-top", "centre-bed"}).Draw(t, "zero"), rapid.Float64Range(8, 50).Draw(t, "thickness"),
			shape, d, corner, rapid.Float64Range(max(1.5, d/2), max(10, d+4)).Draw(t, "flutes"), rapid.Float64Range(0.15, min(4, d/2)).Draw(t, "deep"), rapid.Float64Range(1, 10).Draw(t, "ramp"))
		j, err := job.Load("job.yaml", []byte(text))
		if err != nil { // flutes shorter than what a ball's shape takes, and the like
			return
		}
		s, err := j.Scrap("one")
		if err != nil {
			require.ErrorContains(t, err, "hint: ")
			return
		}
		r, err := shop.Run(context.Background(), s)
		if err != nil {
			require.ErrorContains(t, err, "hint: ", text)
			return
		}
		require.Empty(t, r.Report.Broken, text)
		require.Less(t, r.Report.TimeS, 3600.0, text) // at 0.02 mm a tooth
		made++
	}))
	require.Positive(t, made)
}

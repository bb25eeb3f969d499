package shop_test

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/cmd/internal/shop"
)

// coordinates changes X and Y of every motion of a text.
func coordinates(text string, change func(x, y float64) (float64, float64)) string {
	word := regexp.MustCompile(`([XY])(-?[\d.]+)`)
	at := map[string]float64{}
	var out []string
	for _, l := range strings.Split(text, "\n") {
		if !strings.HasPrefix(l, "(") && word.MatchString(l) {
			for _, m := range word.FindAllStringSubmatch(l, -1) {
				at[m[1]], _ = strconv.ParseFloat(m[2], 64)
			}
			x, y := change(at["X"], at["Y"])
			rest := strings.Fields(word.ReplaceAllString(l, ""))
			l = rest[0] + fmt.Sprintf(" X%.4f Y%.4f ", x+0, y+0) + strings.Join(rest[1:], " ")
		}
		out = append(out, l)
	}
	return strings.Join(out, "\n")
}

// Sets of several setups in which something is wrong with one of them are found out.
func TestDoctoredSetups(t *testing.T) {
	t.Parallel()
	sets := map[string]*struct {
		job   job.Job
		texts []string
		names []string
	}{}
	for _, by := range []string{"two fences", "one fence"} {
		d := smallDivided("4", by)
		if by == "one fence" {
			d = slid()
		}
		j, r := d.made(t)
		set := sets[by]
		if set == nil {
			set = &struct {
				job   job.Job
				texts []string
				names []string
			}{job: j}
			sets[by] = set
		}
		set.names, set.texts = printed(r)
		v := prove(t, j, set.names, set.texts)
		require.True(t, v.Proven, "%v", v.Findings)
		require.Equal(t, r.Report.Scallop.CertifiedMM, *v.Scallop.CertifiedMM)
	}
	shift := func(dx, dy float64) func(string) string {
		return func(s string) string {
			return coordinates(s, func(x, y float64) (float64, float64) { return x + dx, y + dy })
		}
	}
	swap := func(old, now string) func(string) string {
		return func(s string) string { return strings.Replace(s, old, now, 1) }
	}
	turned := func(s string) string {
		return coordinates(s, func(x, y float64) (float64, float64) { return -y, x })
	}
	last := func(c string) int { return len(sets[c].texts) - 1 }
	for _, d := range []struct {
		name, set string
		file      int
		change    func(string) string
		kinds     string
	}{
		{"turned the wrong way", "two fences", last("two fences"), turned, "scallop|gouge|bite|travel|traverse"},
		{"said to be turned the wrong way", "two fences", 2, swap("of 4, turned 90,", "of 4, turned 270,"), "order"},
		{"said to be turned by half", "two fences", 2, swap("of 4, turned 90,", "of 4, turned 45,"), "order"},
		{"mirrored", "two fences", 3, func(s string) string {
			return coordinates(s, func(x, y float64) (float64, float64) { return -x, y })
		}, "scallop|travel"},
		{"1 mm off along X", "two fences", 2, shift(1, 0), "gouge"},
		{"1 mm off along Y", "two fences", 3, shift(0, -1), "gouge"},
		{"0.2 mm off", "two fences", 2, shift(0.2, 0), "gouge"},
		{"lies as the first", "two fences", 2, swap("setup: 2 of 4, turned 90,", "setup: 1 of 4, turned 0,"), "scallop|order"},
		{"of six", "two fences", 2, swap("setup: 2 of 4", "setup: 2 of 6"), "order"},
		{"about another direction", "two fences", 2, swap("sector 45", "sector 60"), "order"},
		{"no line", "two fences", 2, func(s string) string { return regexp.MustCompile(`\(setup:.*\)\n`).ReplaceAllString(s, "") }, "order"},
		{"a line that cannot be read", "two fences", 2, swap("of 4, turned 90,", "of 4, turned a quarter,"), "order"},
		{"two lines", "two fences", 2, swap("G21", "(setup: 3 of 4, turned 180, X0 Y0 mm, sector 45)\nG21"), "order"},
		{"slid 1 mm short", "one fence", last("one fence"), shift(1, 0), "gouge"},
		{"said to be slid elsewhere", "one fence", last("one fence"), func(s string) string {
			return regexp.MustCompile(`turned 0, X-(\d+)`).ReplaceAllString(s, "turned 0, X-1$1")
		}, "gouge|scallop|travel|traverse|bite"},
	} {
		if !chance.Long() && slices.Contains([]string{"said to be turned by half", "mirrored", "1 mm off along X", "1 mm off along Y", "about another direction", "a line that cannot be read"}, d.name) {
			continue
		}
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			set := sets[d.set]
			texts := slices.Clone(set.texts)
			texts[d.file] = d.change(texts[d.file])
			require.NotEqual(t, set.texts[d.file], texts[d.file], "nothing was changed")
			v := prove(t, set.job, set.names, texts)
			require.False(t, v.Proven)
			require.Contains(t, strings.Split(d.kinds, "|"), v.Findings[0].Kind, "%+v", v.Findings)
		})
	}
	t.Run("lost", func(t *testing.T) {
		set := sets["two fences"]
		for lost := 1; lost < len(set.texts); lost++ {
			if !chance.Long() && lost != 2 {
				continue
			}
			v := prove(t, set.job, slices.Delete(slices.Clone(set.names), lost, lost+1), slices.Delete(slices.Clone(set.texts), lost, lost+1))
			require.False(t, v.Proven, "without program %d", lost+1)
		}
	})
	t.Run("order", func(t *testing.T) {
		set := sets["two fences"]
		names, texts := slices.Clone(set.names), slices.Clone(set.texts)
		names[2], names[3], texts[2], texts[3] = names[3], names[2], texts[3], texts[2]
		v := prove(t, set.job, names, texts)
		require.Equal(t, "order", v.Findings[0].Kind)
	})
}

// Programs of a job that is cut in one name no setup, and are accused where they do.
func TestSetupWithoutNeed(t *testing.T) {
	t.Parallel()
	d := smallDivided("auto", "")
	d.x, d.y = 620, 620
	j, err := d.load()
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Nil(t, r.Report.Setups, "the face fits")
	var names, texts []string
	for _, one := range r.Texts {
		names, texts = append(names, one.Name), append(texts, string(one.Bytes))
		require.NotContains(t, string(one.Bytes), "(setup:")
	}
	require.True(t, prove(t, j, names, texts).Proven)
	j.Work.Setups.Count = 0
	texts[1] = strings.Replace(texts[1], "G21", "(setup: 1 of 4, turned 0, X0 Y0 mm, sector 45)\nG21", 1)
	v := prove(t, j, names, texts)
	require.Equal(t, "order", v.Findings[0].Kind, "%+v", v.Findings)
}

// Programs that were laid for a smaller index error do not keep a larger one: a blank that
// lies turned more than they run on leaves a sector uncut. (A wide flat
// clears so much beside its ways that it may keep both.)
func TestLaidForLess(t *testing.T) {
	t.Parallel()
	d := smallDivided("4", "two fences")
	d.order = d.with(func(o *order) { o.finish, o.pattern = "half-inch ball", "raster" })
	d.err = "0.01 mm, 0.01 deg"
	j, err := d.load()
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	names, texts := printed(r)
	require.True(t, prove(t, j, names, texts).Proven)
	d.err = "0.01 mm, 1.9 deg"
	j, err = d.load()
	require.NoError(t, err)
	v := prove(t, j, names, texts)
	require.False(t, v.Proven)
	require.Equal(t, "scallop", v.Findings[0].Kind)
}

// An obstacle stands on the machine: in the one setup in which it stands there, a program
// runs into it, whatever lies there of the blank; a hold-down lies with the blank.
func TestObstacleInOneSetup(t *testing.T) {
	t.Parallel()
	j, r := smallDivided("4", "two fences").made(t)
	names, texts := printed(r)
	accused := func(keep, hold []path.Obstacle) (list []string) {
		k := j
		k.Work.Obstacles, k.Work.HoldDowns = keep, hold
		for _, f := range prove(t, k, names, texts).Findings {
			if f.Kind == "obstacle" && !slices.Contains(list, f.Program) {
				list = append(list, f.Program)
			}
		}
		return list
	}
	in := path.Obstacle{X: 110, Y: 80, Radius: 10, Height: 9, In: 3} // within the sector
	require.Equal(t, names[3:4], accused([]path.Obstacle{in}, nil))
	out := path.Obstacle{X: -110, Y: -80, Radius: 10, Height: 9, In: 3} // not reached on the machine
	require.Empty(t, accused([]path.Obstacle{out}, nil))
	require.Equal(t, names[3:4], accused(nil, []path.Obstacle{out}), "turned by half it lies in the sector")
	require.Empty(t, accused(nil, []path.Obstacle{in}))
	short := j
	short.Work.Machine.Travel.X = 150
	kinds := map[string]bool{}
	for _, f := range prove(t, short, names, texts).Findings {
		kinds[f.Kind] = true
	}
	require.Equal(t, map[string]bool{"travel": true}, kinds, "wherever the zero lies on the machine")
	in.In = 0
	require.Equal(t, names[1:2], accused(nil, []path.Obstacle{in}), "only the first setup cuts there")
	require.Equal(t, names[1:], accused([]path.Obstacle{in}, nil), "they all run there")
}

// Nothing runs in another setup before the hole is cut that the blank is turned about.
func TestPinHoleFirst(t *testing.T) {
	t.Parallel()
	d := smallDivided("4", "pin")
	text := strings.Replace(string(d.text()), "shelf:\n", "shelf:\n  long straight: {shape: flat, diameter: 6 mm, flutes: 2, flute length: 60 mm, speed: 17000, chip load: 0.05 mm, depth of cut: 2.5 mm, stick out: 70 mm}\n", 1)
	j, err := job.Load("pin.yaml", []byte(text))
	require.NoError(t, err)
	j.Work.Machine.Travel.X, j.Work.Machine.Travel.Y = d.x, d.y
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	names, texts := printed(r)
	hole := slices.IndexFunc(r.Texts, func(one shop.Text) bool { return one.Program.Purpose() == work.Extra })
	require.Positive(t, hole)
	for i := range texts { // as another hand writes them, in the order in which they are given
		texts[i] = regexp.MustCompile(`(?m)^\((set:|[0-9]|MSG|Before).*\n`).ReplaceAllString(texts[i], "")
	}
	order := func(at int) (list []shop.Finding) {
		n, now := slices.Delete(slices.Clone(names), hole, hole+1), slices.Delete(slices.Clone(texts), hole, hole+1)
		for _, f := range prove(t, j, slices.Insert(n, at, names[hole]), slices.Insert(now, at, texts[hole])).Findings {
			if strings.Contains(f.Message.String(), "over a pin") {
				list = append(list, f)
			}
		}
		return list
	}
	require.Empty(t, order(hole))
	require.Empty(t, order(1), "before the face")
	for _, at := range []int{hole + 1, len(texts) - 1} {
		list := order(at)
		require.Len(t, list, 1)
		require.Equal(t, []any{"order", names[hole+1], 1}, []any{list[0].Kind, list[0].Program, list[0].Line})
	}
}

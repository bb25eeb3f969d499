package choose_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"dishwright/cam"
	"dishwright/cam/chance"
	"dishwright/cam/choose"
	"dishwright/cam/job"
	"dishwright/cam/motion"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"

	"github.com/stretchr/testify/require"
)

// small is a job that is planned in a few milliseconds.
const small = `radius: 15 ft
diameter: 160 mm
blank: {size: 240 mm, thickness: 20 mm}
machine: bench-600
scallop: 0.2 mm
allowance: 0.2 mm
`

const (
	half  = "half: {shape: ball, diameter: 1/2 in, flutes: 2, flute length: 25 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}"
	inch  = "inch: {shape: flat, diameter: 1 in, flutes: 2, flute length: 12 mm, speed: 16000, chip load: 0.10 mm, depth of cut: 2 mm}"
	thin  = "thin: {shape: flat, diameter: 6 mm, flutes: 1, flute length: 12 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 0.5 mm}"
	quick = "quick: {shape: bull, diameter: 30 mm, corner: 6 mm, flutes: 2, flute length: 16 mm, speed: 5000, chip load: 0.1 mm, depth of cut: 2 mm}" // bench-600 cannot run so slowly
	wide  = "wide: {shape: flat, diameter: 150 mm, flutes: 2, flute length: 16 mm, speed: 9000, chip load: 0.1 mm, depth of cut: 2 mm}"
)

func load(t testing.TB, extra string, cutters ...string) job.Job {
	t.Helper()
	return read(t, small+extra, cutters...)
}

// loadSmaller is load for what plans every way there is: its face is a third as large,
// but with LONG.
func loadSmaller(t testing.TB, extra string, cutters ...string) job.Job {
	t.Helper()
	text := small
	if !chance.Long() {
		text = strings.NewReplacer("diameter: 160 mm", "diameter: 90 mm", "size: 240 mm", "size: 170 mm").Replace(text)
		require.NotEqual(t, small, text)
	}
	return read(t, text+extra, cutters...)
}

func read(t testing.TB, text string, cutters ...string) job.Job {
	t.Helper()
	if len(cutters) > 0 {
		text += "shelf:\n  " + strings.Join(cutters, "\n  ") + "\n"
	}
	j, err := job.Load("job.yaml", []byte(text))
	require.NoError(t, err)
	return j
}

// byHand plans every way that the work allows, times the plans from their moves
// and returns the time of each, by "rough>finish>pattern". A change of cutter
// costs three minutes, as the package says.
func byHand(w work.Work) map[string]float64 {
	times := map[string]float64{}
	for _, finish := range w.Shelf {
		roughs := []string{""}
		for _, c := range w.Shelf {
			roughs = append(roughs, c.Name)
		}
		for _, rough := range roughs {
			if w.Finish != work.Auto && w.Finish != finish.Name || w.Rough != work.Auto && w.Rough != rough {
				continue
			}
			for _, pattern := range pass.Patterns() {
				p, err := cam.Make(work.Whole(&w).By(work.Method{Rough: rough, Finish: finish.Name, Pattern: pattern, Share: 1}))
				if err != nil {
					continue
				}
				times[rough+">"+finish.Name+">"+pattern] = seconds(p)
			}
		}
	}
	return times
}

// planOf plans the whole of a work.
func planOf(w work.Work) (choose.Choice, error) { return choose.Plan(work.Whole(&w)) }

// seconds counts a plan's moves, and three minutes for each change of cutter.
func seconds(p cam.Plan) float64 {
	total := 180 * float64(len(p.Programs)-1)
	for _, pr := range p.Programs {
		for _, s := range pr.Sections {
			total += motion.Estimate(p.Work.Machine, path.Path{Moves: s.Moves}).Total
		}
	}
	return total
}

// TestQuickest: the plan is that of the quickest way, by a count of our own of
// all ways. The search times finishing at the allowance and the count at what
// roughing really leaves, so that the ramps differ; and passes that did not keep
// the scallop at first stand a little closer in the end.
func TestQuickest(t *testing.T) {
	for name, j := range map[string]job.Job{
		"usual shelf":   loadSmaller(t, ""),
		"two":           loadSmaller(t, "", half, inch),
		"three":         loadSmaller(t, "", thin, half, inch),
		"finish named":  loadSmaller(t, "finish: half\n", half, inch),
		"rough named":   loadSmaller(t, "rough: half\n", half, inch),
		"crown":         loadSmaller(t, "form: caul\n", half, inch),
		"one":           loadSmaller(t, "", half),
		"with the rest": loadSmaller(t, "", quick, wide, thin, inch),
		"both named":    loadSmaller(t, "rough: inch\nfinish: half\n", half, inch),
		"pattern named": loadSmaller(t, "pattern: spokes\n", half, inch),
	} {
		t.Run(name, func(t *testing.T) {
			w := j.Work
			c, err := planOf(w)
			require.NoError(t, err)
			all := w
			if all.Pattern != work.Auto {
				all.Pattern = work.Auto
			}
			times := byHand(all)
			least, best := math.Inf(1), ""
			for way, s := range times {
				if s < least && (w.Pattern == work.Auto || strings.HasSuffix(way, ">"+w.Pattern)) {
					least, best = s, way
				}
			}
			const slack, closer = 15, 1.15 // s; and how much closer passes may come to stand
			got := c.Plan.Rough + ">" + c.Plan.Finish + ">" + c.Plan.Pattern
			require.LessOrEqual(t, seconds(c.Plan), closer*least+slack, "%s is not quicker than %s: %v", got, best, times)
			if len(c.Among) > 1 {
				require.Contains(t, c.Why, c.Plan.Finish)
				require.Contains(t, c.Why, c.Plan.Rough)
				require.Contains(t, c.Why, c.Plan.Pattern)
			}
			for _, one := range c.Among {
				way := one.Rough + ">" + one.Finish + ">" + one.Pattern
				if one.Out.String() != "" {
					require.Zero(t, one.Seconds)
					continue
				}
				require.Contains(t, times, way)
				require.GreaterOrEqual(t, one.Seconds, times[way]/1.1-slack, way)
				require.LessOrEqual(t, one.Seconds, closer*times[way]+slack, way)
			}
		})
	}
}

// TestRuledOut: cutters that will not do are listed with their reasons, and the
// others are chosen from.
func TestRuledOut(t *testing.T) {
	c, err := planOf(load(t, "", quick, inch, wide).Work)
	require.NoError(t, err)
	require.Equal(t, "inch", c.Plan.Finish)
	out := map[string]string{}
	for _, one := range c.Among {
		if one.Out.String() != "" {
			out[one.Rough+">"+one.Finish] = one.Out.String()
		}
	}
	require.Contains(t, out[">quick"], "cannot run slowly enough for quick")
	require.Contains(t, out["quick>inch"], "cannot run slowly enough for quick")
	require.Contains(t, out[">wide"], "the level end of wide cannot go lower")
}

// TestHoldDownRulesOut: the quickest cutter gives way where it would come near a
// hold-down and another does not, and the reason is told. A flat
// runs on past the rim where a ball need not.
func TestHoldDownRulesOut(t *testing.T) {
	c, err := planOf(load(t, "", inch, half).Work)
	require.NoError(t, err)
	require.Equal(t, "inch", c.Plan.Finish)
	j := load(t, "hold downs: [{x: 90 mm, y: 0 mm, radius: 1 mm, height: 0.5 mm}]\n", inch, half)
	c, err = planOf(j.Work)
	require.NoError(t, err)
	require.Equal(t, "half", c.Plan.Finish)
	require.NotEqual(t, "inch", c.Plan.Rough)
	require.Equal(t, "inch", c.Among[0].Finish)
	require.Contains(t, c.Among[0].Out.String(), "the cutter of inch comes within")
	// Alone on its shelf it is refused, at the hold-down.
	j = load(t, "hold downs: [{x: 90 mm, y: 0 mm, radius: 1 mm, height: 0.5 mm}]\n", inch)
	_, err = planOf(j.Work)
	var fs strict.Faults
	require.ErrorAs(t, j.Locate(err), &fs)
	require.Equal(t, strict.Pos{Line: 7, Column: 14}, strict.Pos{Line: fs[0].Line, Column: fs[0].Column})
	require.Contains(t, fs[0].Hint, "further from the apex")
}

// TestNothing: where nothing will do, each cutter's reason comes at its place,
// with a hint that helps.
func TestNothing(t *testing.T) {
	j := load(t, "", quick, wide)
	_, err := planOf(j.Work)
	var fs strict.Faults
	require.ErrorAs(t, j.Locate(err), &fs)
	require.Len(t, fs, 2)
	require.Equal(t, []int{8, 5}, []int{fs[0].Line, fs[1].Line}, "the speed of one, the scallop that the other cannot keep")
	require.Contains(t, fs[0].Message, "no cutter of the shelf will do; quick: ")
	require.Contains(t, fs[1].Message, "no cutter of the shelf will do; wide: ")
	for _, f := range fs {
		require.NotEmpty(t, f.Hint)
		require.Greater(t, f.Column, 3)
	}
	// One cutter alone: its own problems, as they are.
	j = load(t, "", quick)
	_, err = planOf(j.Work)
	require.ErrorAs(t, j.Locate(err), &fs)
	require.Len(t, fs, 1)
	require.Contains(t, fs[0].Message, "cannot run slowly enough for quick")
	require.Equal(t, 8, fs[0].Line)
}

// TestTooFine: a scallop that takes over a million moves is refused with one
// that does not, whether the cutter is named or chosen, and that one is enough.
func TestTooFine(t *testing.T) {
	const text = `radius: 25 ft
diameter: 1200 mm
blank: {size: 1250 mm, thickness: 60 mm}
machine: wide-1250
pattern: raster
scallop: %s
shelf:
  pin: {shape: flat, diameter: 1.5 mm, flutes: 2, flute length: 30 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}
  ball: {shape: ball, diameter: 1 mm, flutes: 2, flute length: 30 mm, speed: 16000, chip load: 0.05 mm, depth of cut: 3 mm}
finish: ball
`
	j, err := job.Load("job.yaml", fmt.Appendf(nil, text, "0.005 mm"))
	require.NoError(t, err)
	_, err = planOf(j.Work)
	var ps work.Problems
	require.True(t, errors.As(err, &ps), "%v", err)
	require.Equal(t, work.KeyScallop, ps[0].Key)
	require.Contains(t, ps[0].Message.String(), "over 400000 moves")
	require.Len(t, ps[0].Instead, 1)
	require.Equal(t, work.KeyScallop, ps[0].Instead[0].Key)
	j, err = job.Load("job.yaml", fmt.Appendf(nil, text, measure.MM(ps[0].Instead[0].MM).In(measure.Ruler{})))
	require.NoError(t, err)
	w := j.Work
	finish, _ := w.Cutter("ball")
	_, err = pass.Finishing(work.Whole(&w), finish, w.Allowance)
	require.NoError(t, err, "the scallop that was said to be enough")
}

// TestSameEveryTime: the same work, the same choice.
func TestSameEveryTime(t *testing.T) {
	a, err := planOf(loadSmaller(t, "", thin, half, inch).Work)
	require.NoError(t, err)
	b, err := planOf(loadSmaller(t, "", thin, half, inch).Work)
	require.NoError(t, err)
	require.Equal(t, a, b)
}

// A core that reaches beyond a cutter's level end leaves wood that only the field of what stands
// knows of: what would break a bound is not planned, and where another cutter of the shelf can
// rough, that does.
func TestCoreBeyondTheLevelEnd(t *testing.T) {
	const job = "form: board\nradius: 2 m\nlength: 200 mm\nwidth: 110 mm\nblank: {length: 240 mm, width: 150 mm, thickness: 15 mm}\nfloor: 5 mm\nmachine: bench-600\nscallop: 0.5 mm\n"
	round := "round: {shape: bull, diameter: 8.6 mm, corner: 3.56 mm, core: %s, ramp: 5 deg, flutes: 2, flute length: 20 mm, speed: 16000, chip load: 0.08 mm, depth of cut: 2 mm, shank: 1/4 in}"
	narrow, wide := fmt.Sprintf(round, "1 mm"), fmt.Sprintf(round, "6 mm")
	roughs := func(cutters ...string) (string, error) {
		j := read(t, job+"finish: round\n", cutters...)
		c, err := choose.Plan(work.Whole(&j.Work))
		return c.Plan.Rough, err
	}
	rough, err := roughs(narrow)
	require.NoError(t, err)
	require.Equal(t, "round", rough)
	_, err = roughs(wide)
	var ps work.Problems
	require.ErrorAs(t, err, &ps)
	require.Equal(t, work.Key("shelf/round/core"), ps[0].Key)
	rough, err = roughs(wide, inch)
	require.NoError(t, err)
	require.Equal(t, "inch", rough)
}

package shop_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/dish/measure/strict"
)

// divided is a job that a machine of so much travel cuts in several setups.
type divided struct {
	order
	x, y   float64 // travel, mm
	setups string
	by     string
	err    string // the index error
}

// text writes the job file.
func (d divided) text() []byte {
	text := string(d.yaml()) + fmt.Sprintf("setups: %s\nindex error: %s\n", d.setups, d.err)
	if d.by != "" {
		text += "index by: " + d.by + "\n"
	}
	if d.by == "pin" {
		text += "extras: {centre hole: 14 mm}\n"
	}
	return []byte(text)
}

// load reads the job, for a machine that is bench-600 but for its travel.
func (d divided) load() (job.Job, error) {
	j, err := job.Load("job.yaml", d.text())
	j.Work.Machine.Travel.X, j.Work.Machine.Travel.Y = d.x, d.y
	return j, err
}

// dividedMade are the results of divided jobs, by what the jobs and their machines say.
var dividedMade sync.Map

// made loads the job and makes it, once for all tests that ask for it; nobody may change
// the result.
func (d divided) made(t require.TestingT) (job.Job, *shop.Result) {
	j, err := d.load()
	require.NoError(t, err)
	once, _ := dividedMade.LoadOrStore(fmt.Sprintf("%g %g\n%s", d.x, d.y, d.text()), sync.OnceValues(func() (*shop.Result, error) { return shop.Run(context.Background(), j) }))
	r, err := once.(func() (*shop.Result, error))()
	require.NoError(t, err)
	return j, r
}

func (d divided) wanted() wanted {
	w := d.order.wanted()
	w.machine.Travel.X, w.machine.Travel.Y = d.x, d.y
	return w
}

// setupsOfPrograms are how the blank lies for each of a result's programs but the air lap, as the
// report says it.
func setupsOfPrograms(r *shop.Result) (list []laid) {
	for _, p := range r.Report.Programs[1:] {
		list = append(list, laid{turn: p.Setup.TurnDeg, x: p.Setup.ShiftX, y: p.Setup.ShiftY})
	}
	return list
}

// small is a dish of 300 mm for machines that travel less.
func smallDivided(setups, by string) divided {
	o := dishFor("divided "+setups+" "+by, milli(4572), milli(300), milli(0.1), "inch flat", "inch flat").with(func(o *order) { o.long = milli(360) })
	return divided{o, 200, 200, setups, by, "0.1 mm, 0.05 deg, height 0.01 mm"}
}

// slid is the dish whose blank is slid along one fence.
func slid() divided {
	d := smallDivided("2", "one fence")
	d.x, d.y = 180, 310
	return d
}

// dividedTable are the fixed jobs: every number of setups, every way to bring the blank
// round, both forms, and cutters that leave notches.
func dividedTable() []divided {
	list := []divided{
		smallDivided("4", "two fences"), smallDivided("6", "marks"), smallDivided("4", "pin"), smallDivided("3", "marks"),
		smallDivided("2", "two fences"), slid(), smallDivided("auto", ""), smallDivided("4", ""), smallDivided("6", ""),
	}
	list[3].x, list[3].y = 240, 240
	list[4].x, list[4].y = 310, 180
	list[7].order = list[7].with(func(o *order) {
		o.name, o.form, o.long, o.rough, o.finish = "divided caul", "caul", milli(440), "half-inch ball", "half-inch ball"
	})
	list[7].x, list[7].y = 230, 230
	steep := smallDivided("3", "marks")
	steep.order = steep.with(func(o *order) {
		o.name, o.radius, o.direction, o.pattern = "divided uphill", milli(2000), "uphill", "raster"
	})
	steep.x, steep.y = 240, 240
	list = append(list, steep)
	list[8].order = list[8].with(func(o *order) {
		o.name, o.rough, o.finish, o.pattern = "divided bull", "big bull", "big bull", "spokes"
	})
	return list
}

// Every divided job, by the tests' own evaluation of all its programs together: nothing
// stands higher than certified, nothing is gouged, bitten off or run into. Without LONG
// three of them, at fewer places.
func TestDivided(t *testing.T) {
	quick := []string{"divided 4 two fences", "divided 2 one fence", "divided caul"}
	points := 10_000
	if chance.Long() {
		points = 60_000
	}
	for _, d := range dividedTable() {
		if !chance.Long() && !slices.Contains(quick, d.name) {
			continue
		}
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			_, r := d.made(t)
			require.Empty(t, r.Report.Broken)
			require.NotNil(t, r.Report.Setups)
			checkDivided(t, d, r, points)
			if d.setups != "auto" {
				require.Equal(t, d.setups, fmt.Sprint(r.Report.Setups.Count))
			}
			require.LessOrEqual(t, r.Report.Setups.XMM, d.x)
			require.LessOrEqual(t, r.Report.Setups.YMM, d.y)
		})
	}
}

// checkDivided evaluates a result of several setups.
func checkDivided(t require.TestingT, d divided, r *shop.Result, points int) {
	require.Empty(t, plainFaults(r, speaks(builtIn(d.machine))))
	w := d.wanted()
	v, what := w.carryOut(texts(r), setupsOfPrograms(r))
	if len(r.Extras.Holes) > 0 { // it gouges where it should
		v.faults = nil
	}
	v.search(w, what, points)
	require.Empty(t, v.faults)
	require.LessOrEqual(t, v.ridge.over, r.Report.Scallop.CertifiedMM+agree)
}

// TestDividedByChance: any job of a round face on a machine of less travel is refused,
// with a reason, or kept in every bound.
func TestDividedByChance(t *testing.T) {
	t.Parallel()
	if !chance.Long() {
		t.Skip("LONG=1 draws them; TestCampaign draws some among others")
	}
	made, n := 0, 14
	if all, err := strconv.Atoi(os.Getenv("RANDOM_JOBS")); err == nil {
		n = all
	}
	for seed := range n {
		d := drawDivided(rand.New(rand.NewPCG(uint64(seed), 9)))
		j, err := d.load()
		require.NoError(t, err, "%s", d.yaml())
		r, err := shop.Run(context.Background(), j)
		if err != nil {
			var faults strict.Faults
			require.ErrorAs(t, j.Locate(err), &faults, "%s", d.yaml())
			for _, f := range faults {
				require.NotEmpty(t, f.Hint, "%s\n%s", f.Message, d.yaml())
			}
			t.Logf("refused: %s", faults[0].Message)
			continue
		}
		require.Empty(t, r.Report.Broken, "%s", d.yaml())
		checkDivided(t, d, r, 20_000)
		if r.Report.Setups != nil {
			made++
		}
	}
	t.Logf("%d of %d jobs made", made, n)
	require.Greater(t, made, n/3)
}

// drawDivided draws a job and a machine that is too small for it.
func drawDivided(r *rand.Rand) divided {
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	size := 160 + 20*float64(r.IntN(8))
	d := divided{order: dishFor("by chance", milli(3000+500*float64(r.IntN(12))), milli(size), milli(0.05+0.05*float64(r.IntN(3))), "auto", "auto")}
	d.shelf = []cutter{inchFlat, halfBall, bigBull}[:1+r.IntN(3)]
	if r.IntN(3) == 0 {
		d.shelf = []cutter{bigBull}
	}
	d.form, d.long, d.outline = pick("dish", "dish", "caul"), milli(size+140), pick("square", "round", "octagon")
	d.setups, d.by, d.err = pick("auto", "2", "3", "4", "6"), pick("marks", "marks", "one fence"), pick("0.05 mm, 0.02 deg", "0.2 mm, 0.1 deg, height 0.01 mm", "0 mm, 0 deg, height 0 mm")
	d.pattern = pick("auto", "auto", "raster")
	d.x = size/2 + 30 + 10*float64(r.IntN(8))
	d.y = d.x
	if d.by == "one fence" {
		d.setups, d.outline, d.y = "2", "square", size+60
	}
	return d
}

// The figures that are asked of a dish of 600 mm on a machine of 400 mm by 400 mm, against
// the same dish in one setup.
func TestDividedFigures(t *testing.T) {
	if !chance.Long() {
		t.Skip("LONG=1 makes the large dish in one setup and in four")
	}
	one := 0
	for i, o := range table {
		if o.name == "600 flat" {
			one = i
		}
	}
	whole, err := made[one]()
	require.NoError(t, err)
	d := divided{table[one], 400, 400, "4", "", "0.05 mm, 0.02 deg"}
	j, err := d.load()
	require.NoError(t, err)
	r, err := shop.Run(context.Background(), j)
	require.NoError(t, err)
	require.Empty(t, r.Report.Broken)
	length := func(r *shop.Result) (cut, all float64) {
		for _, p := range r.Report.Programs[1:] {
			cut, all = cut+p.CutLengthMM/1000, all+(p.CutLengthMM+p.TraverseLength)/1000
		}
		return cut, all
	}
	cut1, all1 := length(whole)
	cut4, all4 := length(r)
	t.Logf("cutting %.2f m in one, %.2f m in four: %.3f; with traverses %.2f m and %.2f m: %.3f; certified %.4f mm", cut1, cut4, cut4/cut1, all1, all4, all4/all1, r.Report.Scallop.CertifiedMM)
	require.LessOrEqual(t, cut4, 1.2*cut1)
	require.LessOrEqual(t, all4, 1.2*all1)
	require.LessOrEqual(t, r.Report.Scallop.CertifiedMM, 0.05)
	require.Zero(t, r.Report.Setups.HeightAddsMM)
	require.Less(t, r.Report.Setups.SidewaysMM, 0.0021)
}

// BenchmarkDivided plans, writes and proves that dish.
func BenchmarkDivided(b *testing.B) {
	d := divided{dishFor("600 flat", milli(7620), milli(600), milli(0.05), "inch flat", "inch flat"), 400, 400, "4", "", "0.05 mm, 0.02 deg"}
	j, err := d.load()
	require.NoError(b, err)
	for b.Loop() {
		_, err := shop.Run(context.Background(), j)
		require.NoError(b, err)
	}
}

package shop_test

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// drawSize draws a length between two numbers of mm, in any unit and with as
// many decimals as a person may write.
func drawSize(t *rapid.T, name string, least, most float64) size {
	units := []struct {
		make   func(float64) size
		mm     float64
		digits float64
	}{{milli, 1, 100}, {centi, 10, 1000}, {metre, 1000, 1e5}, {inch, 25.4, 1e4}, {foot, 304.8, 1e5}}
	u := units[rapid.IntRange(0, len(units)-1).Draw(t, name+" unit")]
	lo, hi := int(math.Ceil(least/u.mm*u.digits)), int(math.Floor(most/u.mm*u.digits))
	return u.make(float64(rapid.IntRange(lo, max(lo, hi)).Draw(t, name)) / u.digits)
}

// drawCutter draws a cutter that some workshop may own, not too small for the
// face: a wide one finished with a thin ball takes a second alone.
func drawCutter(t *rapid.T, name string, face, shank size) cutter {
	c := cutter{name: name, shape: rapid.SampledFrom([]string{"ball", "flat", "bull"}).Draw(t, name+" shape"), shank: shank}
	c.diameter = drawSize(t, name+" diameter", math.Max(6.5, face.mm/25), 32)
	if c.shape == "bull" {
		c.corner = drawSize(t, name+" corner", 0.5, 0.4*c.diameter.mm)
	}
	c.flutes = rapid.IntRange(1, 3).Draw(t, name+" flutes")
	c.speed = 1000 * rapid.IntRange(10, 20).Draw(t, name+" speed")
	c.deep = drawSize(t, name+" depth of cut", 1, 4)
	c.fluteLong = drawSize(t, name+" flute length", 12, 30)
	c.chip = drawSize(t, name+" chip load", 0.04, 0.15)
	c.stickOut = milli(rapid.SampledFrom([]float64{32, 40, 55}).Draw(t, name+" stick out"))
	return c
}

// drawOrder draws a job that is sensible in each of its lines, though not
// always as a whole.
func drawOrder(t *rapid.T) order {
	machines := []string{"bench-600", "bench-400", "desktop-300", "inch-24", "wide-1250"}
	widest := []float64{450, 300, 150, 450, 450}
	k := rapid.IntRange(0, len(machines)-1).Draw(t, "machine")
	o := order{name: "by chance", machine: machines[k], form: rapid.SampledFrom([]string{"dish", "caul"}).Draw(t, "form")}
	o.radius = drawSize(t, "radius", 1500, 12000)
	o.diameter = drawSize(t, "diameter", 80, widest[k])
	o.direction = rapid.SampledFrom([]string{"both", "uphill", "along x", "along y"}).Draw(t, "direction")
	o.pattern = rapid.SampledFrom([]string{"auto", "auto", "auto", "auto", "auto", "spokes"}).Draw(t, "pattern")
	if o.machine == "wide-1250" && o.pattern == "auto" {
		o.pattern = "raster" // a spiral in arcs takes the tests' own search too long
	}
	o.scallop = drawSize(t, "scallop", 0.03, 0.3)
	o.allowance = drawSize(t, "allowance", 0.2, 0.6)
	o.zeroError = drawSize(t, "zero error", 0.01, 0.1)
	o.thickness, o.floor = drawSize(t, "thickness", 18, 30), milli(5)
	o.bed = rapid.Bool().Draw(t, "zero at the bed")
	if rapid.Bool().Draw(t, "covered") {
		o.covering = drawSize(t, "covering", 0.3, 2)
	}
	// A crown wants land for its moat.
	land := 20.0
	if o.form == "caul" {
		land = 80
	}
	o.outline = rapid.SampledFrom([]string{"square", "round", "octagon", "rectangle"}).Draw(t, "outline")
	o.long = drawSize(t, "blank", o.diameter.mm+land, o.diameter.mm+land+60)
	o.wide = drawSize(t, "width", o.diameter.mm+land, o.diameter.mm+land+60)
	if rapid.IntRange(0, 3).Draw(t, "pins") == 0 && o.outline == "square" {
		at, h := math.Floor(o.long.mm/2-6), rapid.Float64Range(0, 15).Draw(t, "pin height")
		o.pins = []pin{{at, at, 5, math.Round(h)}, {-at, at, 5, math.Round(h)}, {-at, -at, 5, math.Round(h)}, {at, -at, 5, math.Round(h)}}
	}
	for i := range rapid.IntRange(1, 2).Draw(t, "cutters") {
		o.shelf = append(o.shelf, drawCutter(t, fmt.Sprintf("cutter %d", i+1), o.diameter, inch(0.25)))
	}
	o.rough, o.finish = "auto", "auto"
	if rapid.Bool().Draw(t, "named") {
		o.rough, o.finish = o.shelf[0].name, o.shelf[len(o.shelf)-1].name
	}
	switch rapid.IntRange(0, 3).Draw(t, "bench") {
	case 0:
		trueBench(&o)
	case 1:
		o.tilt = stated(float64(rapid.IntRange(1, 150).Draw(t, "tilt")) / 1000)
		o.undersize = stated(float64(rapid.IntRange(1, 300).Draw(t, "undersize")) / 1000)
	}
	return o
}

const (
	// randomCases on each of two cores take about seven seconds; randomQuick are those
	// without LONG.
	randomCases, randomQuick = 14, 5
	// randomPoints is a place for every square millimetre or two.
	randomPoints, randomPointsQuick = 60_000, 15_000
)

// casesToRun is randomCases, randomQuick, or half the number in RANDOM_JOBS: the soak that
// DEVELOPERS.md asks for before a change of a pattern or of the proof.
func casesToRun(t *testing.T) int {
	all := os.Getenv("RANDOM_JOBS")
	switch {
	case all == "" && chance.Long():
		return randomCases
	case all == "":
		return randomQuick
	}
	n, err := strconv.Atoi(all)
	require.NoError(t, err, "RANDOM_JOBS")
	require.GreaterOrEqual(t, n, 2, "RANDOM_JOBS")
	return n / 2
}

// TestRandomJobs: a job by chance is refused, each fault with its place and a
// hint, or made with every bound kept, by the tests' own evaluation too.
func TestRandomJobs(t *testing.T) {
	cases := casesToRun(t)
	for _, set := range [][2]string{{"rapid.checks", fmt.Sprint(cases)}, {"rapid.shrinktime", "5s"}} {
		f := flag.Lookup(set[0])
		before := f.Value.String()
		require.NoError(t, f.Value.Set(set[1]))
		t.Cleanup(func() { require.NoError(t, f.Value.Set(before)) })
	}
	var made atomic.Int64
	for i, half := range [...]string{"one", "other"} {
		t.Run(half, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				// Both halves have the seed; what is drawn first makes them two.
				rapid.SliceOfN(rapid.Bool(), i, i).Draw(t, "half")
				if randomJob(t, drawOrder(t)) {
					made.Add(1)
				}
			})
		})
	}
	// Most are made: a test that only ever sees refusals proves nothing. Half is
	// far below the usual share (more than nine in ten).
	t.Cleanup(func() {
		t.Logf("%d of %d jobs made, the others refused; seed %s", made.Load(), 2*cases, flag.Lookup("rapid.seed").Value)
		if !t.Failed() && made.Load() < int64(cases) {
			t.Errorf("only %d of %d jobs were made", made.Load(), 2*cases)
		}
	})
}

// randomJob runs and evaluates one job and reports whether it was made.
func randomJob(t *rapid.T, o order) bool {
	r, err := run(o)
	if err != nil {
		var faults strict.Faults
		if !errors.As(err, &faults) || len(faults) == 0 {
			t.Fatalf("not refused with faults: %v\n%s", err, o.yaml())
		}
		for _, f := range faults {
			if f.Line < 1 || f.Column < 1 || f.Hint == "" || f.Message == "" {
				t.Fatalf("a fault without place or hint: %+v\n%s", f, o.yaml())
			}
		}
		return false
	}
	if len(r.Report.Broken) > 0 {
		t.Fatalf("broken: %s\n%s", strings.Join(measure.Texts(r.Report.Broken, measure.Ruler{}), "\n"), o.yaml())
	}
	points := randomPointsQuick
	if chance.Long() {
		points = randomPoints
	}
	v := evaluate(o.wanted(), texts(r), points)
	if len(v.faults) > 0 {
		t.Fatalf("%s\n%s", strings.Join(v.faults, "\n"), o.yaml())
	}
	if most := r.Report.Scallop.CertifiedMM; v.ridge.over > most+agree {
		t.Fatalf("a scallop of %.6f mm at X%.3f Y%.3f over the certified %.6f\n%s", v.ridge.over, v.ridge.x, v.ridge.y, most, o.yaml())
	}
	return true
}

// TestSameBytes: the same job gives the same programs and the same report on
// any number of processors.
func TestSameBytes(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	small, processors := []string{"300 ball from the bed", "300 ball arcs caul along y", "160 bull desktop"}, []int{1, 2, 8} // the first all auto
	if !chance.Long() {
		small, processors = small[2:], []int{1, 8}
	}
	for _, o := range table {
		if !slices.Contains(small, o.name) {
			continue
		}
		j, err := job.Load("job.yaml", o.yaml())
		require.NoError(t, err)
		var first []byte
		for _, n := range processors {
			runtime.GOMAXPROCS(n)
			r, err := shop.Run(context.Background(), j)
			require.NoError(t, err)
			all, err := json.Marshal(r.Report)
			require.NoError(t, err)
			for _, text := range r.Texts {
				all = append(append(all, text.Name...), text.Bytes...)
			}
			if first == nil {
				first = all
			}
			require.Equal(t, string(first), string(all), "%s on %d processors", o.name, n)
		}
	}
}

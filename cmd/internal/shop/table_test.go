package shop_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"dishwright/cam/chance"
	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
)

// dishFor returns the order of a hollow in a square of MDF on bench-600, as
// most rows of the table vary it.
func dishFor(name string, radius, diameter, scallop size, rough, finish string) order {
	return order{name: name, form: "dish", radius: radius, diameter: diameter, outline: "square", long: milli(diameter.mm + 20), thickness: milli(25),
		floor: milli(10), machine: "bench-600", scallop: scallop, allowance: milli(0.4), direction: "both", zeroError: milli(0.05),
		shelf: threeCutters, rough: rough, finish: finish}
}

// with changes a copy of an order.
func (o order) with(change func(*order)) order {
	change(&o)
	return o
}

// table is the fixed table of jobs.
var table = []order{
	dishFor("600 ball", milli(7620), milli(600), milli(0.05), "inch flat", "half-inch ball"),
	dishFor("600 flat", milli(7620), milli(600), milli(0.05), "inch flat", "inch flat"),
	dishFor("600 bull", milli(7620), milli(600), milli(0.05), "big bull", "big bull"),
	dishFor("600 two inch flat", milli(7620), milli(600), milli(0.05), "auto", "two inch").with(func(o *order) { o.shelf = fourCutters }).with(trueBench), // whose wide end would take all of the scallop,
	dishFor("450 flat steep", milli(3000), milli(450), milli(0.05), "inch flat", "inch flat"),
	dishFor("300 bull rings", milli(7620), milli(300), milli(0.1), "inch flat", "big bull").with(func(o *order) { o.pattern = "rings" }),
	dishFor("300 flat spokes caul", milli(7620), milli(300), milli(0.05), "inch flat", "inch flat").with(func(o *order) { o.pattern, o.form, o.long = "spokes", "caul", milli(420) }),
	dishFor("460 auto covered", foot(15), milli(460), milli(0.1), "auto", "auto").with(func(o *order) {
		o.covering, o.long = milli(0.6), milli(500)
		o.pins = []pin{{235, 235, 12, 15}, {-235, 235, 12, 15}, {-235, -235, 12, 15}, {235, -235, 12, 15}}
	}),
	dishFor("460 ball arcs", foot(15), milli(460), milli(0.05), "inch flat", "half-inch ball").with(func(o *order) { o.machine, o.pattern = "wide-1250", "raster" }),
	dishFor("300 ball arcs caul along y", milli(7620), milli(300), milli(0.05), "auto", "half-inch ball").with(func(o *order) {
		o.form, o.machine, o.direction, o.outline, o.long, o.wide = "caul", "wide-1250", "along y", "rectangle", milli(460), milli(420)
	}),
	dishFor("460 flat inches", foot(15), inch(18), inch(0.004), "inch flat", "inch flat").with(func(o *order) {
		o.machine, o.outline, o.long, o.covering, o.zeroError = "inch-24", "octagon", inch(19.5), inch(0.03125), inch(0.002)
	}),
	dishFor("300 ball caul inches", foot(25), inch(12), inch(0.003), "half-inch ball", "half-inch ball").with(func(o *order) {
		o.form, o.machine, o.long, o.covering = "caul", "inch-24", inch(17), milli(2)
	}),
	dishFor("300 bull caul", foot(15), milli(300), milli(0.05), "big bull", "big bull").with(func(o *order) {
		o.form, o.long, o.direction = "caul", milli(440), "along y"
	}),
	dishFor("300 flat caul uphill", milli(7620), milli(300), milli(0.1), "inch flat", "inch flat").with(func(o *order) {
		o.form, o.outline, o.long, o.direction = "caul", "round", milli(450), "uphill"
	}),
	dishFor("300 flat uphill", foot(15), milli(300), milli(0.05), "auto", "inch flat").with(func(o *order) { o.direction = "uphill" }),
	dishFor("300 ball from the bed", foot(15), milli(300), milli(0.1), "auto", "auto").with(func(o *order) {
		o.bed, o.outline, o.long, o.machine, o.shelf = true, "round", milli(300), "bench-400", smallCutters
	}),
	dishFor("160 bull desktop", metre(2.5), centi(16), milli(0.1), "small flat", "small bull").with(func(o *order) {
		o.machine, o.shelf, o.direction = "desktop-300", smallCutters, "along y"
	}),
	dishFor("300 bull inches from the bed", foot(25), milli(300), milli(0.05), "inch flat", "big bull").with(func(o *order) {
		o.machine, o.bed, o.direction = "inch-24", true, "uphill"
	}),
}

// made runs each job of the table once, for all tests that look at it.
var made = func() []func() (*shop.Result, error) {
	list := make([]func() (*shop.Result, error), len(table))
	for i, o := range table {
		list[i] = sync.OnceValues(func() (*shop.Result, error) { return run(o) })
	}
	return list
}()

// large reports whether a job of the table is one for LONG alone; without it a small
// one stands for it.
func (o order) large() bool {
	return o.diameter.mm > 320 || slices.Contains([]string{"300 ball caul inches", "300 bull caul", "300 flat caul uphill", "300 bull inches from the bed"}, o.name)
}

// small is the same job with a face of a third of the size and the same land about it.
func (o order) small() order {
	less := o.diameter.mm * 2 / 3
	shrunk := func(s size) size {
		v, unit, _ := strings.Cut(s.text, " ")
		mm := s.mm / number(v)
		return in(unit, mm, math.Round((s.mm-less)/mm*1e6)/1e6)
	}
	o.name = "small " + o.name
	o.diameter, o.long = shrunk(o.diameter), shrunk(o.long)
	if o.wide.text != "" {
		o.wide = shrunk(o.wide)
	}
	o.pins = slices.Clone(o.pins)
	for i := range o.pins {
		p := &o.pins[i]
		p.x, p.y = p.x-math.Copysign(less/2, p.x), p.y-math.Copysign(less/2, p.y)
	}
	return o
}

// tableNow returns the jobs of the table, the large ones made small without LONG, and
// what makes each of them.
func tableNow() (orders []order, making []func() (*shop.Result, error)) {
	for i, o := range table {
		make := made[i]
		if o.large() && !chance.Long() {
			o = o.small()
			make = func() (*shop.Result, error) { return run(o) }
		}
		orders, making = append(orders, o), append(making, make)
	}
	return orders, making
}

// run takes an order all the way.
func run(o order) (*shop.Result, error) {
	j, err := job.Load("job.yaml", o.yaml())
	if err != nil {
		return nil, fmt.Errorf("%s: %w", o.name, err)
	}
	return shop.Run(context.Background(), j)
}

func texts(r *shop.Result) [][]byte {
	var list [][]byte
	for _, t := range r.Texts[1:] {
		list = append(list, t.Bytes)
	}
	return list
}

const (
	// tablePoints is how many places of a face are evaluated at least, with LONG and
	// without.
	tablePoints, tablePointsQuick = 1_000_000, 30_000
	// slack is how far a certified scallop may lie over the highest one that is
	// found: a micrometre of the certificate's own, and one for the search.
	slack = 0.002
	// agree is how far two exact ways to the same length may differ: coordinates
	// of up to 8 m carry 1e-12 mm, square roots near a ball's side a thousand times that.
	agree = 1e-6
)

// TestTable: what the written text of every job of the table does and leaves,
// by the tests' own evaluation. LONG looks at a million places of each in place of
// 50,000, and at the large ones as they are.
func TestTable(t *testing.T) {
	orders, making := tableNow()
	slow := []string{"small 600 ball", "small 600 bull", "300 ball from the bed", "300 bull rings"}
	for i, o := range orders {
		t.Run(o.name, func(t *testing.T) {
			t.Parallel()
			if !chance.Long() && slices.Contains(slow, o.name) {
				t.Skip("LONG=1 takes it too")
			}
			r, err := making[i]()
			require.NoError(t, err)
			require.Empty(t, r.Report.Broken)
			require.Empty(t, plainFaults(r, speaks(builtIn(o.machine))))
			points := tablePointsQuick
			if chance.Long() {
				points = tablePoints
			}
			if strings.HasSuffix(o.name, "600 bull") {
				points /= 10 // whose underside is searched for at every place, for nearly a minute else
			}
			if o.name == "300 ball from the bed" {
				points = max(points, 4*tablePointsQuick) // whose highest place is narrow
			}
			v := evaluate(o.wanted(), texts(r), points)
			require.Empty(t, v.faults)
			require.GreaterOrEqual(t, v.points, points)
			got := r.Report
			t.Logf("scallop %.5f found at X%.2f Y%.2f, %.5f certified, %g asked; gouge %.6f (%.6f); bite %.3f (%.3f); %d points",
				v.ridge.over, v.ridge.x, v.ridge.y, got.Scallop.CertifiedMM, o.scallop.mm, v.gouge, got.GougeMM, v.bite, got.DeepestBiteMM, v.points)
			require.LessOrEqual(t, v.ridge.over, got.Scallop.CertifiedMM+agree)
			// The certificate takes for each pass its own worst tilt, the search one of a few
			// for all: over half of an end they differ by up to its radius times the tilt.
			w := o.wanted()
			require.GreaterOrEqual(t, v.ridge.over, got.Scallop.CertifiedMM-slack-w.tilt*w.widestEnd())
			require.InDelta(t, v.gouge, got.GougeMM, 1e-4, "the proof's gouge")
			require.LessOrEqual(t, v.bite, got.DeepestBiteMM+agree)
			length := 0.0
			for _, p := range got.Programs[1:] { // the air lap cuts nothing
				length += p.CutLengthMM
			}
			require.InDelta(t, v.cutLength, length, 1e-3)
		})
	}
}

package shop

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/machines"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// divisions are all ways to divide a face of a blank, with how it is brought round.
func divisions(each func(name string, w work.Work, l work.Layout)) {
	for _, shape := range []dish.BlankShape{dish.Square, dish.Rectangle, dish.Round, dish.Octagon} {
		b := dish.Blank{Shape: shape, Length: 620, Width: 620, Thickness: 25}
		if shape == dish.Rectangle {
			b.Width = 540
		}
		w := work.Work{Blank: b, Face: dish.Face{Radius: 6000, Rim: 260}, Machine: machines.Machine{Travel: r3.Vec{X: 600, Y: 600, Z: 90}}}
		for _, by := range []string{work.ByMarks, work.ByPin, work.ByFences} {
			for _, n := range work.Counts() {
				w.Setups = work.Setups{Count: n, By: by}
				if l, ok := work.LayoutAs(&w, n, 45, path.Setup{}); ok {
					each(fmt.Sprintf("%v, %d by %s", shape, n, by), w, l)
				}
			}
		}
		for _, s := range []path.Setup{{X: -247}, {Y: -247}, {X: 123}, {Y: 12.7}} {
			w.Setups = work.Setups{Count: 2, By: work.ByFence}
			if l, ok := work.LayoutAs(&w, 2, 180, s); ok && shape != dish.Round {
				each(fmt.Sprintf("%v, slid by %g %g", shape, s.X, s.Y), w, l)
			}
		}
	}
}

// In setup k it is mark k that lies towards the builder, at -Y, as the proof turns the
// blank; and every mark of a blank that is laid by marks alone lies on a line that was
// drawn on the bed in setup 1. Of one that is slid, mark k comes to lie where mark 1 lay.
func TestMarksLieWhereTheProofTurnsThem(t *testing.T) {
	seen := 0
	divisions(func(name string, w work.Work, l work.Layout) {
		marks := indexMarks(&w, l)
		at := func(m indexMark, s path.Setup) r3.Vec { return s.Machine(r3.Vec{X: m.at.X, Y: m.at.Y}) }
		slid := w.Setups.By == work.ByFence
		k := 0
		for _, tile := range l {
			for _, s := range tile.Setups {
				k++
				require.Equal(t, s.Number, k, name)
				require.Equal(t, s.Number, marks[k-1].number, name)
				require.InDelta(t, 0, w.Blank.Inside(marks[k-1].at.X, marks[k-1].at.Y), 1e-9, "%s: on the edge", name)
				p := at(marks[k-1], s)
				if slid {
					first := at(marks[0], path.Setup{})
					require.InDelta(t, 0, r3.Norm(r3.Sub(p, first)), 1e-9, name)
					continue
				}
				require.InDelta(t, 0, p.X, 1e-9, name)
				require.Negative(t, p.Y, name)
				if w.Setups.By != work.ByMarks {
					continue
				}
				require.GreaterOrEqual(t, len(marks), 3, "%s: fewer leave it free to slide", name)
				for _, m := range marks {
					q, on := at(m, s), false
					for _, line := range marks { // as they lie in setup 1
						c, n := line.at.X, line.at.Y
						on = on || math.Abs(q.X*n-q.Y*c)/math.Hypot(c, n) < 1e-9 && q.X*c+q.Y*n > 0
					}
					require.True(t, on, "%s, setup %d: mark %d on no line of the bed", name, k, m.number)
				}
			}
		}
		seen++
	})
	require.Greater(t, seen, 40)
}

// What the sentences say of a mark's place is where it lies, to what a pencil marks.
func TestMarksAreToldWhereTheyLie(t *testing.T) {
	told := regexp.MustCompile(`Mark (\d): the (middle of the )?([a-z ]+?) side(?:, ([\d.]+) mm from its middle towards the ([a-z ]+))?\.`)
	middle := map[string][2]float64{"right": {1, 0}, "back": {0, 1}, "left": {-1, 0}, "front": {0, -1}}
	divisions(func(name string, w work.Work, l work.Layout) {
		if w.Blank.Shape != dish.Square && w.Blank.Shape != dish.Rectangle {
			return
		}
		b := bench{work: &w, words: job.Dish{}.Words(job.Job{Work: w}, nil), layout: l, setup: l[0].Setups[0]}
		list := told.FindAllStringSubmatch(strings.Join(b.once(), " "), -1)
		require.Len(t, list, l.Count(), "%s: %v", name, b.once())
		for _, m := range list {
			n, to := middle[m[3]], middle[m[5]]
			along, _ := strconv.ParseFloat("0"+m[4], 64)
			k, _ := strconv.Atoi(m[1])
			at := indexMarks(&w, l)[k-1].at
			require.InDelta(t, at.X, n[0]*w.Blank.Length/2+to[0]*along, 0.051, name)
			require.InDelta(t, at.Y, n[1]*w.Blank.Width/2+to[1]*along, 0.051, name)
		}
	})
}

// The line of every setup that a job may have fits a line of 64 characters and is read
// back as it is; any other is not read.
func TestSetupLine(t *testing.T) {
	for _, l := range []statedSetup{
		{setup: path.Setup{Number: 2, Turn: 120}, n: 3, middle: 45},
		{setup: path.Setup{Number: 6, Turn: 300}, n: 6, middle: -165},
		{setup: path.Setup{Number: 2, X: -4999.999}, n: 2, middle: -105},
		{setup: path.Setup{Number: 2, X: -4999.999, Y: -4999.999}, n: 2, middle: -105}, // none has both
		{setup: path.Setup{Number: 2, Y: -123.952}, n: 2, middle: 270},
		{setup: path.Setup{Number: 2, Y: -4.9 * 25.4}, n: 2, middle: 270, inches: true},
		{setup: path.Setup{Number: 2, X: -196.8504 * 25.4, Y: -196.8504 * 25.4}, n: 2, middle: -105, inches: true},
	} {
		require.LessOrEqual(t, len("("+l.String()+")"), 64, l.String())
		got, ok := parseSetup(l.String())
		require.True(t, ok, l.String())
		require.Equal(t, l, got)
		got, ok = parseSetup(strings.ToUpper(l.String()))
		require.True(t, ok)
		require.Equal(t, l, got)
	}
	const good = "setup: 2 of 3, turned 120, X0 Y0 mm, sector 45"
	_, ok := parseSetup(good)
	require.True(t, ok)
	for _, change := range [][2]string{{"setup: 2", "setup: 02"}, {"120", "0120"}, {"120", "121"}, {"120", "120 degrees"}, {"X0", "X0.0"}, {"X0", "X-0"}, {"X0", "X.5"},
		{"X0", "X1e2"}, {"X0 Y0", "X0Y0"}, {"X0 Y0", "X0  Y0"}, {"mm", "cm"}, {" 45", " 045"}, {"45", "45."}, {"45", "45 "}, {"sector 45", ""}, {"2 of 3, ", ""}, {"X0", "X1.0000001"}, {"X0", "X..5"}} {
		bad := strings.Replace(good, change[0], change[1], 1)
		require.NotEqual(t, good, bad)
		_, ok := parseSetup(bad)
		require.False(t, ok, bad)
	}
}

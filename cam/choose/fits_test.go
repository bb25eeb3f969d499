package choose_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"dishwright/cam"
	"dishwright/cam/chance"
	"dishwright/cam/choose"
	"dishwright/cam/work"
	"dishwright/dish"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// RunsOver returns how much of the travel a plan in one setup takes about X0 Y0.
func runsOver(p cam.Plan) (x, y float64) {
	for _, pr := range p.Programs {
		e := pr.Extents()
		x, y = max(x, 2*e.Max.X, -2*e.Min.X), max(y, 2*e.Max.Y, -2*e.Min.Y)
	}
	return x, y
}

// travelErr returns those problems of a refused work that more travel would solve.
func travelErr(t require.TestingT, err error) work.Problems {
	var ps work.Problems
	require.ErrorAs(t, err, &ps)
	ps = slices.DeleteFunc(slices.Clone(ps), func(p work.Problem) bool { return p.Kind != work.KindTravel })
	require.NotEmpty(t, ps, "%v", err)
	return ps
}

// A machine that travels just as far as a plan's programs run over takes the same job; a
// millimetre less, and it is planned in another way, within that, or refused, with hints each of
// which makes it fit.
func TestTravelIsTight(t *testing.T) {
	refused, otherwise, several := 0, 0, 0
	rapid.Check(t, chance.Few(8, func(t *rapid.T) {
		w := anyWork(t)
		w.ZeroAtBed = rapid.Bool().Draw(t, "bed")
		if rapid.Bool().Draw(t, "one cutter") {
			w.Shelf = w.Shelf[:1]
		}
		if rapid.Bool().Draw(t, "raster") {
			w.Pattern = "raster"
		}
		choice, err := planOf(w)
		if err != nil {
			return // for another reason: the machine is large
		}
		x, y := runsOver(choice.Plan)
		const rounding = 1e-6 // of a product of two floats, many times over
		w.Machine.Travel.X, w.Machine.Travel.Y = math.Ceil(x*10+rounding)/10, math.Ceil(y*10+rounding)/10
		tight, err := planOf(w)
		if work.KindLand.In(err) { // no land within the travel
			w.ZeroAtBed = true
			tight, err = planOf(w)
		}
		require.NoError(t, err)
		within := func(p cam.Plan) {
			x, y := runsOver(p)
			require.LessOrEqual(t, x, w.Machine.Travel.X)
			require.LessOrEqual(t, y, w.Machine.Travel.Y)
			if tx, ty, ok := cam.TouchPlace(work.Whole(&p.Work)); !w.ZeroAtBed && ok {
				require.LessOrEqual(t, 2*math.Abs(tx), w.Machine.Travel.X)
				require.LessOrEqual(t, 2*math.Abs(ty), w.Machine.Travel.Y)
			}
		}
		within(tight.Plan)
		w.Machine.Travel.X--
		less, err := planOf(w)
		if err == nil {
			within(less.Plan)
			otherwise++
			return
		}
		if work.KindLand.In(err) {
			return
		}
		refused++
		travelErr(t, err)
		fits := choose.Fits(&w)
		require.NotEmpty(t, fits)
		hint := travelErr(t, choose.Hinted(&w, err, nil))[0].Hint.String()
		for _, f := range fits {
			require.Contains(t, hint, f.Hint.String())
			c, err := planOf(f.Work)
			require.NoError(t, err, f.Hint.String())
			if f.Work.Setups.Count != 0 {
				several++
				require.Equal(t, f.Work.Setups.Count, c.Plan.Layout.Count())
				continue
			}
			within(c.Plan)
		}
	}))
	t.Logf("%d refused, %d planned otherwise, %d hints of several setups", refused, otherwise, several)
	require.Positive(t, refused)
	require.Positive(t, several)
}

// What a hint names is about the largest that fits: a fiftieth more does not.
func TestLargestDiameter(t *testing.T) {
	w := load(t, "pattern: raster\nfinish: inch\nrough: inch\n", inch, half).Work
	w.Blank.Length, w.Blank.Width = 700, 700
	w.Machine.Travel.X, w.Machine.Travel.Y = 300, 260
	with := func(d float64) work.Work {
		v := w
		f, err := dish.NewFace(dish.Hollow, w.Face.Radius, d/2)
		require.NoError(t, err)
		v.CutAll(f)
		return v
	}
	_, err := planOf(with(400))
	travelErr(t, err)
	var hinted []string
	large := with(400)
	for _, f := range choose.Fits(&large) {
		hinted = append(hinted, f.Hint.String())
		if strings.HasPrefix(f.Hint.String(), "a diameter") {
			d := 2 * f.Work.Face.Rim
			require.Greater(t, d, 260.0, "a flat stays within the rim")
			_, err := planOf(with(d))
			require.NoError(t, err)
			_, err = planOf(with(d + 2))
			travelErr(t, err)
		}
	}
	require.Len(t, hinted, 2, "%v", hinted) // the ball of the shelf needs more, and 140 mm is no cutter
	require.Regexp(t, `^a diameter of at most \d+ mm$`, hinted[0])
	require.Regexp(t, `^setups: [2-6] with index error: 0.1 mm, 0.05 deg, height 0.05 mm$`, hinted[1])
}

// A cutter of the shelf that the job does not name, or one of another diameter, may do.
func TestOtherCutterFits(t *testing.T) {
	w := load(t, "pattern: raster\nfinish: half\nrough: half\n", half, inch).Work
	w.Machine.Travel.X, w.Machine.Travel.Y = 157, 157
	_, err := planOf(w)
	travelErr(t, err)
	require.Equal(t, "rough: inch, finish: inch", choose.Fits(&w)[0].Hint.String())
	w = load(t, "pattern: raster\n", inch).Work
	c, err := planOf(w)
	require.NoError(t, err)
	w.Machine.Travel.X, _ = runsOver(c.Plan)
	w.Machine.Travel.X -= 0.5
	_, err = planOf(w)
	travelErr(t, err)
	fits := choose.Fits(&w)
	require.Regexp(t, `^a flat of at least 2[6-9] mm in place of inch$`, fits[len(fits)-1].Hint.String())
}

// An index error is asked for where it comes to several setups, and named so that it does.
func TestIndexErrorOnlyForSeveral(t *testing.T) {
	w := load(t, "", inch).Work
	w.Setups.Count, w.Setups.Unstated = work.AutoSetups, true
	w.Setups.By, _ = w.IndexBy()
	_, err := planOf(w)
	require.NoError(t, err, "one is enough")
	w.Machine.Travel.X, w.Machine.Travel.Y = 120, 120
	_, err = planOf(w)
	var ps work.Problems
	require.True(t, errors.As(err, &ps))
	require.Equal(t, work.KeySetups, ps[0].Key)
	require.Equal(t, "index error: 0.1 mm, 0.05 deg, height 0.05 mm, if the blank lies as well as that", ps[0].Hint.String())
	w.Setups.Unstated = false
	w.Setups.Error = work.IndexError{Shift: 0.1, Turn: 0.05 * math.Pi / 180, Height: 0.05}
	c, err := planOf(w)
	require.NoError(t, err)
	require.Greater(t, c.Plan.Layout.Count(), 1)
}

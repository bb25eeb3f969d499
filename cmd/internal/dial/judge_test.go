package dial_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	plan "dishwright/cam/dial"
	"dishwright/cam/job"
	"dishwright/cmd/internal/dial"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/machines"
)

// machine is a simulated one with errors that nobody told it of: where its tip goes when it is
// told x, y and z.
type machine struct {
	scaleX, scaleY, lean, scaleZ float64
	tiltX, tiltY                 float64 // of its bed under its ways
	sag                          float64 // of its gantry in the middle of X, mm over 600 mm
}

func (m machine) goes(x, y, z float64) (ax, ay, az float64) {
	ax, ay = x*(1+m.scaleX)+m.lean*y, y*(1+m.scaleY)
	return ax, ay, z*(1+m.scaleZ) + m.tiltX*x + m.tiltY*y - m.sag*(1-4*x*x/(600*600))
}

// reads cuts the job's face with the machine and reads it with the same one, at the places of a
// set: time and wood add bent to what was cut. The face that is cut stands where the machine
// goes when it is told the face's place, and the gauge comes down where it goes when it is told
// the same place again.
func (m machine) reads(j job.Job, s *dial.Set, bent func(x, y float64) float64, noise func() float64, step float64) (list []float64) {
	for _, p := range s.List {
		_, _, cut := m.goes(p.X, p.Y, j.Work.Face.Height(j.Work.Face.Distance(p.X, p.Y)))
		ax, ay, tip := m.goes(p.X, p.Y, s.Plan.Low)
		list = append(list, math.Round((cut+bent(ax, ay)+noise()-tip)/step)*step)
	}
	return list
}

func straight(float64, float64) float64 { return 0 }

// table fills a set's table in.
func table(s *dial.Set, list []float64) string {
	u, b := s.Job.Ruler, strings.Builder{}
	lines := strings.Split(string(s.CSV()), "\n")
	fmt.Fprintln(&b, lines[0])
	fmt.Fprintln(&b, lines[1])
	for i, v := range list {
		fmt.Fprintln(&b, strings.Replace(lines[i+2], ",,", ","+u.Short(v, 3)+",", 1))
	}
	return b.String()
}

func judged(t *testing.T, s *dial.Set, list []float64) dial.Found {
	f, err := dial.Read("readings.csv", []byte(table(s, list)), s.Job)
	require.NoError(t, err)
	found, err := dial.Judge(f, 0)
	require.NoError(t, err)
	return found
}

func set(t *testing.T, text, of string) *dial.Set {
	s, err := dial.Make(load(t, text), dial.Asked{Of: of, Gauge: gauge(t, "15 mm", "1 mm")})
	require.NoError(t, err)
	return s
}

// A machine that cuts a dish and then reads it, whatever its scale, lean, tilt and sag: the
// readings agree with the job's face, to the gauge's step, and of the radius nothing is said.
func TestMachineReadsItsOwnDish(t *testing.T) {
	rng := rand.New(rand.NewPCG(29, 7))
	some := func(v float64) float64 { return v * (2*rng.Float64() - 1) }
	for _, text := range []string{dish, strings.Replace(dish, "name: a", "form: caul\nname: a", 1)} {
		s := set(t, text, plan.Face)
		for range 20 {
			m := machine{scaleX: some(0.02), scaleY: some(0.02), lean: some(0.01), tiltX: some(0.005), tiltY: some(0.005), sag: some(0.5)}
			r := judged(t, s, m.reads(s.Job, s, straight, func() float64 { return 0 }, 0.01))
			require.Less(t, r.RMSMM, 0.004)
			require.Less(t, math.Abs(r.Bow.MM), 0.01)
			require.False(t, r.Bow.Sure)
			require.False(t, r.Twist.Sure)
			require.Equal(t, "machine", r.Source)
			require.Equal(t, "none", r.Patterns[0].Kind)
			require.Len(t, r.Cannot, 4)
			data, err := json.Marshal(r)
			require.NoError(t, err)
			require.Contains(t, string(data), `"radius_mm":null`)
			require.Contains(t, string(data), `"scale_x":null`)
			require.NotContains(t, string(data), "corrected")
			var b bytes.Buffer
			r.Answer(measure.Ruler{}, true).Text(&b, 79)
			require.NotContains(t, b.String(), "next time")
			require.NotRegexp(t, `radius\s+\d`, b.String())
			require.Contains(t, b.String(), "straightedge")
		}
	}
}

// Z's own scale is seen, for the dial measures and not Z: a hundredth of the depth comes out as a
// bow, and is told as what it may be.
func TestDialSeesTheScaleOfZ(t *testing.T) {
	s := set(t, dish, plan.Face)
	m := machine{scaleZ: 0.02}
	r := judged(t, s, m.reads(s.Job, s, straight, func() float64 { return 0 }, 0.01))
	deep := s.Job.Work.Face.Height(190) - s.Job.Work.Face.Height(0)
	require.InDelta(t, 0.02*deep, r.Bow.MM, 0.01)
	require.True(t, r.Bow.Sure)
	require.Contains(t, fmt.Sprint(r.Patterns), "Z's own scale")
}

// A dish that warps after it was freed: its bow and its twist come out within their intervals in
// at least 93 of 100 seeded trials, whatever the machine, and in at most 97 where noise exceeds
// rounding.
func TestWarpedDishIsTold(t *testing.T) {
	rng := rand.New(rand.NewPCG(29, 3))
	some := func(v float64) float64 { return v * (2*rng.Float64() - 1) }
	s := set(t, dish, plan.Face)
	const reach, trials, noise = 190.0, 5000, 0.02
	held := 0
	for range trials {
		m := machine{scaleX: some(0.01), scaleY: some(0.01), lean: some(0.005), tiltX: some(0.005), sag: some(0.3)}
		bow, twist := some(0.3), some(0.2)
		bent := func(x, y float64) float64 { return (bow*(x*x+y*y) + twist*(x*x-y*y)) / (reach * reach) }
		f, err := dial.Read("readings.csv", []byte(table(s, m.reads(s.Job, s, bent, func() float64 { return noise * rng.NormFloat64() }, 0.01))), s.Job)
		require.NoError(t, err)
		r, err := dial.Judge(f, 0)
		require.NoError(t, err)
		if math.Abs(r.Bow.MM-bow) <= r.Bow.HalfMM {
			held++
		}
	}
	t.Logf("held %.4f", float64(held)/trials)
	require.GreaterOrEqual(t, float64(held)/trials, 0.93)
	require.LessOrEqual(t, float64(held)/trials, 0.97)
	cupped := func(x, y float64) float64 { return 0.25 * x * x / (reach * reach) }
	r := judged(t, s, machine{}.reads(s.Job, s, cupped, func() float64 { return 0 }, 0.01))
	require.InDelta(t, 0.125, r.Bow.MM, 0.01)
	require.InDelta(t, 0.125, r.Twist.MM, 0.01)
	require.InDelta(t, 0, *r.Twist.AngleDeg, 3)
	require.True(t, r.Twist.Sure)
	require.Contains(t, fmt.Sprint(r.Patterns), "cupped along its grain")
}

// A board's bow along its length and the twist of its corners.
func TestBoardsBowAndTwist(t *testing.T) {
	s := set(t, "name: b\nform: board\nradius: 7000 mm\nlength: 500 mm\nwidth: 90 mm\nblank: {shape: rectangle, length: 560 mm, width: 130 mm, thickness: 30 mm}\nmachine: bench-600\n", plan.Face)
	require.Len(t, s.List, 16)
	bent := func(x, y float64) float64 { return -0.2*x*x/(240*240) + 0.15*x*y/(240*35) }
	r := judged(t, s, machine{tiltX: 0.002}.reads(s.Job, s, bent, func() float64 { return 0 }, 0.01))
	require.InDelta(t, -0.2, r.Bow.MM, 0.01)
	require.InDelta(t, 0.15, r.Twist.MM, 0.01)
	require.Contains(t, fmt.Sprint(r.Patterns), "higher against the edge")
	require.Contains(t, fmt.Sprint(r.Patterns), "its corners stand")
}

// One place that is a turn off, and a gauge that moved meanwhile.
func TestPatternsOfFaults(t *testing.T) {
	s := set(t, dish, plan.Face)
	rng := rand.New(rand.NewPCG(1, 1))
	list := machine{}.reads(s.Job, s, straight, func() float64 { return 0.005 * rng.NormFloat64() }, 0.01)
	list[7]++
	r := judged(t, s, list)
	require.True(t, r.Places[7].Outlier)
	require.True(t, strings.HasPrefix(r.Verdict.String(), "the reading of place 8 was left out as wrong: the face is"))
	require.Contains(t, fmt.Sprint(r.Patterns), "a turn of the dial that was miscounted")
	require.NotEqual(t, 8, r.Largest.Place)
	list[7]--
	for i := range list {
		list[i] += 0.3 * float64(i) / float64(len(list)-1)
	}
	r = judged(t, s, list)
	require.InDelta(t, 0.3, r.DriftMM, 0.03)
	require.Contains(t, fmt.Sprint(r.Patterns), "at the end than at the start")
}

// The lines for a top's plane, put into the job, take the plane out: the job then lays its
// programs for it.
func TestTopGivesItsPoints(t *testing.T) {
	s := set(t, dish, plan.Top)
	var list []float64
	for _, p := range s.List {
		list = append(list, math.Round((3+0.004*p.X-0.002*p.Y)*100)/100)
	}
	r := judged(t, s, list)
	require.InDelta(t, 0.4, r.Plane.X, 0.003)
	require.InDelta(t, -0.2, r.Plane.Y, 0.003)
	require.Nil(t, r.Bow)
	j := load(t, dish+strings.Join(r.Lines, "\n")+"\n")
	require.NotNil(t, j.Work.Top)
	require.InDelta(t, 0.004, j.Work.Top.A, 3e-5)
	require.InDelta(t, -0.002, j.Work.Top.B, 3e-5)
	// Its Z0 is that of place 1.
	require.InDelta(t, 0, 0.004*s.List[0].X-0.002*s.List[0].Y+j.Work.Top.C, 0.01+math.Abs(0.004*s.List[0].X-0.002*s.List[0].Y)*2)
	require.InDelta(t, 0, j.Work.Top.A*s.List[0].X+j.Work.Top.B*s.List[0].Y+j.Work.Top.C, 0.01)
}

// A bed is told as the machine sees it: how far from its lowest to its highest place, its plane
// taken out, and what it does to a job at worst.
func TestBedIsMapped(t *testing.T) {
	for text, kind := range map[string]string{dish: "lies", dish + "zero: centre-bed\n": "zero"} {
		s := set(t, text+"top points: [{x: -100 mm, y: -90 mm, z: 1.9 mm}, {x: 110 mm, y: -80 mm, z: 0 mm}, {x: 0 mm, y: 100 mm, z: -1.7 mm}]\n", plan.Bed)
		require.Len(t, s.List, 26)
		require.Equal(t, s.List[0], s.List[25])
		var list, all []float64
		for _, p := range s.List {
			require.Equal(t, s.List[0].Rest, p.Rest, "whatever the blank's top")
			list = append(list, math.Round(100*(1+0.001*p.X+0.2*p.Y*p.Y/(220*220)))/100)
		}
		all = append(all, list...)
		r := judged(t, s, list)
		require.InDelta(t, 0.44+0.2, *r.BedMM, 0.021)
		require.InDelta(t, 0.1, r.Plane.X, 0.006)
		require.Nil(t, r.Bow)
		require.Equal(t, kind, r.Patterns[0].Kind)
		require.Equal(t, "floor", r.Patterns[1].Kind)
		for i := range all {
			all[i] = 1 + 0.01*float64(i%2)
		}
		require.Equal(t, "flat", judged(t, s, all).Patterns[0].Kind)
	}
}

// A made-up bed that is warped comes back through the profile's lines under the blank of the job,
// with the same figures, in either unit; a slip at one place is left out of them, place 1 stays
// though one of its two readings slipped.
func TestBedComesBackThroughTheProfile(t *testing.T) {
	profile, known := machines.ProfileText("bench-600")
	require.True(t, known)
	for _, slip := range []int{-1, 0, 7, 25} {
		for _, inches := range []bool{false, true} {
			s := set(t, dish, plan.Bed)
			s.Job.Ruler.Inches = inches
			var list []float64
			for i, p := range s.List {
				z := 1.1 + 0.0008*p.X - 0.0003*p.Y + 0.1*(p.X*p.X+p.Y*p.Y)/(220*220) + 0.05*p.X*p.Y/(220*220)
				if i == slip {
					z++
				}
				list = append(list, math.Round(100*z)/100)
			}
			r := judged(t, s, list)
			m, err := machines.Parse("mine.yaml", []byte(string(profile)+strings.Join(r.Profile, "\n")+"\n"))
			require.NoError(t, err)
			w := s.Job.Work
			w.Machine = m
			b, ok := w.Bed()
			require.True(t, ok)
			require.True(t, b.Under)
			require.Equal(t, map[int]int{-1: 25, 0: 25, 7: 24, 25: 25}[slip], b.Places)
			written := map[bool]float64{false: 1e-6, true: 0.002}[inches] // as finely as lines are
			require.InDelta(t, r.Plane.X, 100*b.A, 10*written)
			require.InDelta(t, r.Plane.Y, 100*b.B, 10*written)
			require.InDelta(t, math.Abs(r.Largest.Off), b.Off, max(written, 1e-5))
			require.InDelta(t, r.RMSMM, b.RMS, max(written, 1e-5))
			require.InDelta(t, 0.08, 100*b.A, 0.006)
			require.InDelta(t, -0.03, 100*b.B, 0.006)
			require.Empty(t, r.Lines)
		}
	}
}

// What can be wrong with a filled table: each where it stands, all at once.
func TestTablesThatAreWrong(t *testing.T) {
	s := set(t, dish, plan.Face)
	good := table(s, machine{}.reads(s.Job, s, straight, func() float64 { return 0 }, 0.01))
	lines := strings.Split(strings.TrimSpace(good), "\n")
	change := func(f func(l []string) []string) string {
		return strings.Join(f(append([]string{}, lines...)), "\n") + "\n"
	}
	replace := func(line int, old, by string) string {
		return change(func(l []string) []string { l[line-1] = strings.Replace(l[line-1], old, by, 1); return l })
	}
	field := func(line, n int) string { return strings.Split(lines[line-1], ",")[n] }
	for name, k := range map[string]struct {
		text, says, hint string
		line, column     int
	}{
		"missing":      {change(func(l []string) []string { return append(l[:6:6], l[8:]...) }), "no reading of place 5, 6", "each of the 14 places", 14, 1},
		"empty":        {replace(5, field(5, 3), ""), "place 3 has no reading", "whole turns", 5, 9},
		"twice":        {change(func(l []string) []string { l[8] = l[7]; return l }), "place 6 comes twice", "line 8 already", 9, 1},
		"swapped":      {change(func(l []string) []string { l[4], l[5] = "3"+l[5][1:], "4"+l[4][1:]; return l }), "is not where place 3 is", "what stands here is place 4: were two rows swapped?", 5, 3},
		"moved":        {replace(4, ",95,", ",90,"), "X90 Y0 mm is not where place 2 is", "place 2 is at X95 Y0 mm", 4, 3},
		"in inches":    {replace(2, "x_mm,y_mm", "x_in,y_in"), "is not where place 2 is", "place 2 is at", 4, 3},
		"dial inches":  {strings.Replace(good, ",dial_mm", ",dial_in", 1), "are rather millimetres", "dial_mm in the header", 3, 7},
		"no such":      {replace(5, "3,", "33,"), "the set has no place 33", "places 1 to 14", 5, 1},
		"another set":  {strings.ReplaceAll(good, ","+s.ID, ",01234567"), "these readings are of set \"01234567\"", "as it was when its program was made", 3, 9},
		"two sets":     {replace(6, ","+s.ID, ",01234567"), "this row is of set \"01234567\"", "one set in one table", 6, 14},
		"no sign":      {replace(6, ","+s.ID, ","), "does not say to which set", "in every row", 6, 14},
		"no number":    {replace(6, field(6, 3), "three"), "is no number", "plain number", 6, 9},
		"free tip":     {replace(5, field(5, 3), "0.05"), "place 3 reads 0.05 mm, as a free tip does", "a larger --press", 5, 8},
		"below it":     {replace(5, field(5, 3), "-0.4"), "place 3 reads -0.4 mm: a gauge that is pressed shows more than 0", "read it again", 5, 8},
		"past travel":  {replace(5, field(5, 3), "99.9"), "place 3 reads 99.9 mm: the gauge's travel is 15 mm", "turn that was miscounted", 5, 8},
		"no head":      {strings.Replace(replace(5, field(5, 3), "99.9"), lines[0], "", 1), "over the face no gauge shows more than", "turn that was miscounted", 5, 8},
		"quoted head":  {"\ufeff\"" + strings.Replace(replace(5, field(5, 3), "15.1"), lines[0], lines[0]+"\"", 1), "the gauge's travel is 15 mm", "turn that was miscounted", 5, 8},
		"nothing":      {lines[0] + "\n" + lines[1] + "\n", "no readings", "a row for each place", 1, 1},
		"other column": {replace(2, "dial_mm", "dial"), "is not known", "unit", 2, 17},
	} {
		t.Run(name, func(t *testing.T) {
			require.NotEqual(t, good, k.text)
			_, err := dial.Read("readings.csv", []byte(k.text), s.Job)
			var faults strict.Faults
			require.True(t, errors.As(err, &faults), "%v", err)
			require.Contains(t, faults[0].Message, k.says)
			require.Contains(t, faults[0].Hint, k.hint)
			if name != "empty" && name != "no number" && name != "two sets" && name != "no sign" {
				require.Equal(t, [2]int{k.line, k.column}, [2]int{faults[0].Line, faults[0].Column})
			}
			require.Equal(t, k.line, faults[0].Line)
			require.Equal(t, "readings.csv", faults[0].File)
		})
	}
	// A dial that counts down, and divisions in place of lengths.
	for says, by := range map[string]float64{"fall where the face rises": -1, "a power of ten": 100, "are rather inches": 1 / 25.4} {
		var list []float64
		for i := range s.List {
			list = append(list, by*s.Plan.Pressed(i))
		}
		_, err := dial.Read("readings.csv", []byte(table(s, list)), s.Job)
		require.ErrorContains(t, err, says)
	}
	// A gauge pressed too little touches not everywhere: all those places, and another fault.
	low := machine{}.reads(s.Job, s, straight, func() float64 { return 0 }, 0.01)
	for _, i := range []int{0, 4, 13} {
		low[i] = 0
	}
	low[7] = -0.01
	_, err := dial.Read("readings.csv", []byte(strings.Replace(table(s, low), "\n2,95,", "\n2,90,", 1)), s.Job)
	var all strict.Faults
	require.True(t, errors.As(err, &all))
	var at []int
	for _, f := range all {
		at = append(at, f.Line)
	}
	require.Equal(t, []int{3, 4, 7, 10, 16}, at)
	// Two faults of two rows come together.
	_, err = dial.Read("readings.csv", []byte(strings.NewReplacer("\n2,95,", "\n2,90,", "\n5,", "\n55,").Replace(good)), s.Job)
	var faults strict.Faults
	require.True(t, errors.As(err, &faults))
	require.Len(t, faults, 3) // and place 5 is missing
	_, err = dial.Read("readings.csv", []byte(good), load(t, strings.Replace(dish, "7000 mm", "7010 mm", 1)))
	require.ErrorContains(t, err, "these readings are of set")
}

func FuzzTables(f *testing.F) {
	j, err := job.Source{File: "job.yaml", Data: []byte(dish + shelf)}.Load()
	require.NoError(f, err)
	s, err := dial.Make(j, dial.Asked{Of: plan.Face, Gauge: gauge(f, "15 mm", "1 mm")})
	require.NoError(f, err)
	f.Add(table(s, machine{}.reads(j, s, straight, func() float64 { return 0 }, 0.01)))
	f.Add(string(s.CSV()))
	f.Fuzz(func(t *testing.T, text string) {
		filled, err := dial.Read("a.csv", []byte(text), j)
		if err != nil {
			var faults strict.Faults
			require.True(t, errors.As(err, &faults), "%v", err)
			return
		}
		r, err := dial.Judge(filled, 0)
		if err == nil {
			_, err = json.Marshal(r)
			require.NoError(t, err)
		}
	})
}

package scrap_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"dishwright/cam/chance"
	"dishwright/dish"
	"dishwright/dish/scrap"
)

// machine is what a machine is off by.
type machine struct {
	lacks             float64 // the cutter
	bx, by, tx, ty    float64
	sx, sy, sz, touch float64
}

// true lengths of the marks, by the package's own account of the machine: the tests of the
// whole cut the text.
func (m machine) cuts(l scrap.Layout, mark scrap.Mark) float64 {
	d := 2*l.Body.Radius() - m.lacks
	b, s, t := [2]float64{m.bx, m.by}, [2]float64{m.sx, m.sy}, [2]float64{m.tx, m.ty}
	switch mark.Kind {
	case scrap.Boss:
		return l.Across*(1+s[mark.Axis]) - d - mark.Sense*b[mark.Axis]
	case scrap.Pocket:
		return l.Across*(1+s[mark.Axis]) + d - mark.Sense*b[mark.Axis]
	case scrap.Strip:
		return mark.Nominal - mark.Sense*t[mark.Axis]*l.Beside/scrap.Slope
	}
	return mark.Nominal*(1+m.sz) + m.touch
}

// usual are figures of MDF, a calliper of 0.02 mm and a rule of half a millimetre: invented.
var usual = scrap.Leaves{Texture: 0.01, Edge: 0.02, Repeat: 0.005, Calliper: 0.02, Rule: 0.5}

// lost is how well the end of a strip is seen, mm: invented.
const lost = 0.3

// exact reads each mark n times without noise.
func (m machine) exact(l scrap.Layout, n int) (list []scrap.Reading) {
	for i, mark := range l.Marks {
		for range n {
			list = append(list, scrap.Reading{Mark: i, Length: m.cuts(l, mark)})
		}
	}
	return list
}

// read reads each mark n times with the noise that the leaves say.
func (m machine) read(l scrap.Layout, v scrap.Leaves, n int, rng *rand.Rand) (list []scrap.Reading) {
	round := func(x, step float64) float64 {
		return math.Round(x/step) * step
	}
	for i, mark := range l.Marks {
		long := m.cuts(l, mark)
		switch mark.Kind {
		case scrap.Strip:
			long += (math.Sqrt2*v.Texture*rng.NormFloat64() + v.Repeat*rng.NormFloat64()) / scrap.Slope
		case scrap.Floor:
			long += v.Repeat * rng.NormFloat64()
		}
		for range n {
			switch mark.Kind {
			case scrap.Strip:
				list = append(list, scrap.Reading{Mark: i, Length: round(long+lost*rng.NormFloat64(), v.Rule)})
			case scrap.Floor:
				list = append(list, scrap.Reading{Mark: i, Length: round(long+v.Texture*rng.NormFloat64(), v.Calliper)})
			default:
				list = append(list, scrap.Reading{Mark: i, Length: round(long+v.Edge*(rng.NormFloat64()+rng.NormFloat64()), v.Calliper)})
			}
		}
	}
	return list
}

// told are the quantities of a machine and what was found of them.
func (m machine) told(f scrap.Found) (names []string, list []scrap.Quantity, want []float64) {
	return []string{"undersize", "backlash x", "backlash y", "tilt x", "tilt y", "scale x", "scale y", "scale z", "touch-off"},
		[]scrap.Quantity{f.Undersize, f.Backlash[0], f.Backlash[1], f.Tilt[0], f.Tilt[1], f.Scale[0], f.Scale[1], f.Scale[2], f.TouchOff},
		[]float64{m.lacks, m.bx, m.by, m.tx, m.ty, m.sx, m.sy, m.sz, m.touch}
}

// Readings without noise tell exactly what the machine is off by, whatever the cutter.
func TestExactReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := lay(t, scrap.Given{Body: dish.Body{Flat: rapid.Float64Range(3, 20).Draw(t, "flat"), Corner: rapid.Float64Range(0, 6).Draw(t, "corner")}})
		some := func(most float64, name string) float64 { return rapid.Float64Range(-most, most).Draw(t, name) }
		most := 0.13 / l.Beside
		m := machine{some(0.3, "lacks"), some(0.4, "bx"), some(0.4, "by"), some(most, "tx"), some(most, "ty"), some(0.01, "sx"), some(0.01, "sy"), some(0.02, "sz"), some(0.2, "touch")}
		names, list, want := m.told(l.Find(m.exact(l, 2), scrap.Leaves{}))
		for i, q := range list {
			require.InDelta(t, want[i], q.Value, 1e-9, names[i])
			require.Less(t, q.Half, 1e-9, names[i])
		}
	})
}

// The set Norris of NIST's Statistical Reference Datasets (linear regression, lower level of
// difficulty): 36 pairs and their certified line, from memory, which the agreement of all
// digits bears out. Depths of floors are a line too.
func TestNorris(t *testing.T) {
	x := []float64{.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777, 558.2, .4, .6, 775.5, 666.9, 338, 447.5, 11.6, 556, 228.1, 995.8, 887.6, 120.2, .3, .3, 556.8, 339.1, 887.2, 999, 779, 11.1, 118.3, 229.2, 669.1, 448.9, .5}
	y := []float64{.1, 338.8, 118.1, 888, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, .3, .1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998, 888.8, 119.6, .3, .6, 557.6, 339.3, 888, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, .2}
	f := floors(x, y)
	require.InEpsilon(t, 1.00211681802045, f.Scale[2].Value+1, 1e-13)
	require.InEpsilon(t, -0.262323073774029, f.TouchOff.Value, 1e-11)
	student := distuv.StudentsT{Sigma: 1, Nu: 34}.Quantile(0.975)
	require.InEpsilon(t, 0.429796848199937e-3*student, f.Scale[2].Half, 1e-12)
	require.InEpsilon(t, 0.232818234301152*student, f.TouchOff.Half, 1e-12)
}

// Example H.3 of the GUM (JCGM 100:2008), the line through eleven corrections of a
// thermometer about 20 degrees: from memory.
func TestThermometer(t *testing.T) {
	at := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	for i := range at {
		at[i] -= 20
	}
	f := floors(at, []float64{-.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160})
	student := distuv.StudentsT{Sigma: 1, Nu: 9}.Quantile(0.975)
	require.InDelta(t, -0.1712, f.TouchOff.Value, 5e-5)
	require.InDelta(t, 0.00218, f.Scale[2].Value+1, 5e-6)
	require.InDelta(t, 0.0029, f.TouchOff.Half/student, 5e-5)
	require.InDelta(t, 0.00067, f.Scale[2].Half/student, 5e-6)
}

// floors finds the line of depths y for floors told x, each read once.
func floors(x, y []float64) scrap.Found {
	var l scrap.Layout
	var list []scrap.Reading
	for i := range x {
		l.Marks = append(l.Marks, scrap.Mark{Kind: scrap.Floor, Nominal: x[i], Axis: 2})
		list = append(list, scrap.Reading{Mark: i, Length: y[i]})
	}
	l.Across = 1
	return l.Find(list, scrap.Leaves{})
}

// trials counts, of n scraps of a machine that are read, how often each interval holds the
// truth, and how often something is resolved.
func (m machine) trials(l scrap.Layout, v scrap.Leaves, n int) (names []string, held, resolved []float64, odd float64) {
	rng := rand.New(rand.NewPCG(29, 1))
	held, resolved = make([]float64, 9), make([]float64, 9)
	for range n {
		f := l.Find(m.read(l, v, scrap.Repeats, rng), v)
		odd += float64(min(1, len(f.Odd))) / float64(n)
		var list []scrap.Quantity
		var want []float64
		names, list, want = m.told(f)
		for i, q := range list {
			if math.Abs(q.Value-want[i]) <= q.Half {
				held[i] += 1 / float64(n)
			}
			if q.State == scrap.Resolved {
				resolved[i] += 1 / float64(n)
			}
		}
	}
	return names, held, resolved, odd
}

// Of 5,000 scraps read with a calliper of 0.02 mm each interval holds the truth in 93 to
// 97 %. What is nothing is resolved in at most 5 %, what is three times the resolution in at
// least 99 %; and good marks are called odd in 1 % of each system.
func TestScrapCoverage(t *testing.T) {
	for name, g := range map[string]scrap.Given{"inch flat": flat(25.4), "half-inch flat": flat(12.7), "bull": {Body: dish.Body{Flat: 9.525, Corner: 6.35}}} {
		if name != "inch flat" && !chance.Long() {
			continue
		}
		l := lay(t, g)
		_, q, _ := machine{}.told(l.Find(machine{}.exact(l, 1), usual))
		for what, m := range map[string]machine{
			"true": {},
			"off":  {3 * q[0].Resolution, 3 * q[1].Resolution, 3 * q[2].Resolution, 3 * q[3].Resolution, 0, 3 * q[5].Resolution, -3 * q[6].Resolution, 3 * q[7].Resolution, 0.06},
		} {
			names, held, resolved, odd := m.trials(l, usual, 5000)
			_, _, want := m.told(scrap.Found{})
			for i := range held {
				require.GreaterOrEqual(t, held[i], 0.93, "%s %s %s", name, what, names[i])
				require.LessOrEqual(t, held[i], 0.97, "%s %s %s", name, what, names[i])
				if want[i] == 0 {
					require.LessOrEqual(t, resolved[i], 0.06, "%s %s %s", name, what, names[i])
				} else {
					require.GreaterOrEqual(t, resolved[i], 0.99, "%s %s %s", name, what, names[i])
				}
			}
			require.LessOrEqual(t, odd, 0.03, "%s %s", name, what)
			t.Logf("%s, %s: %v held %.3f resolved %.3f odd %.3f", name, what, names, held, resolved, odd)
		}
	}
}

// Where rounding is most of what there is, the intervals still hold the truth.
func TestRoundedReadings(t *testing.T) {
	l := lay(t, flat(25.4))
	n, least := 500, 0.91 // three deviations √(p(1 − p)/n) under 0.94
	if chance.Long() {
		n, least = 5000, 0.93
	}
	for _, noise := range []float64{0, 0.001, 0.002, 0.003, 0.004, 0.006, 0.008} {
		v := scrap.Leaves{Texture: noise, Edge: noise, Repeat: 0.001, Calliper: 0.02, Rule: 0.5}
		for _, m := range []machine{{}, {lacks: 0.043, bx: 0.017, by: 0.009, tx: 0.0013, sz: 0.003, touch: 0.031}} {
			names, held, _, _ := m.trials(l, v, n)
			for i := range held {
				require.GreaterOrEqual(t, held[i], least, "%s, noise %g", names[i], noise)
			}
		}
	}
}

// A tilt that the strips cannot show is told as more than what they can, never as a number.
func TestBeyond(t *testing.T) {
	l := lay(t, flat(25.4))
	for sign := -1.0; sign <= 1; sign += 2 {
		list := machine{tx: sign * 0.02}.exact(l, 3)
		for i, r := range list {
			m := l.Marks[r.Mark]
			least, most := l.Limits(m)
			list[i].Length = max(least, min(most, r.Length))
		}
		f := l.Find(list, usual)
		require.Equal(t, scrap.Beyond, f.Tilt[0].State)
		require.InDelta(t, sign*0.0062, f.Tilt[0].Value, 0.0005)
		require.Equal(t, scrap.Unresolved, f.Tilt[1].State)
	}
}

// A mark that was read wrong is found; what was not read is not told.
func TestOddAndUnread(t *testing.T) {
	l := lay(t, flat(25.4))
	rng := rand.New(rand.NewPCG(3, 1))
	list := machine{}.read(l, usual, 3, rng)
	for i := range list {
		if l.Marks[list[i].Mark].Letter == "F" {
			list[i].Length += 0.3
		}
	}
	f := l.Find(list, usual)
	require.Len(t, f.Odd, 1)
	require.Equal(t, "F", l.Marks[f.Odd[0]].Letter)
	require.Equal(t, scrap.Found{}, l.Find(nil, usual))
	var some []scrap.Reading
	for _, r := range list {
		if m := l.Marks[r.Mark]; m.Axis == 0 {
			some = append(some, r)
		}
	}
	f = l.Find(some, usual)
	require.Equal(t, scrap.Unread, f.Backlash[1].State)
	require.Equal(t, scrap.Unread, f.Tilt[1].State)
	require.Equal(t, scrap.Unread, f.Scale[2].State)
	require.NotEqual(t, scrap.Unread, f.Tilt[0].State)
}

// What a good scrap resolves, in closed form (own derivation: means of three readings of each
// mark, their variances added): as manual scrap tells it.
func TestResolutions(t *testing.T) {
	l := lay(t, flat(25.4))
	f := l.Find(machine{}.exact(l, 3), usual)
	width := math.Sqrt(2*0.02*0.02 + 0.02*0.02/12) // of one reading: two edges, a rounded step
	require.InDelta(t, 1.96*width/math.Sqrt(24), f.Undersize.Resolution, 1e-5)
	require.InDelta(t, 1.96*width/math.Sqrt(12), f.Backlash[0].Resolution, 1e-5)
	require.InDelta(t, 1.96*width/math.Sqrt(12)/l.Across, f.Scale[0].Resolution, 1e-6)
	// Two strips of two floors each, Z between them; all roundings of a rule may be alike.
	floors := 1.96 * math.Sqrt(2*(2*0.01*0.01+0.005*0.005)) / (2 * l.Beside)
	require.InDelta(t, math.Hypot(floors, 0.25*scrap.Slope/l.Beside), f.Tilt[0].Resolution, 1e-6)
	// The slope over floors at 1, 3 and 5: Σ(z − 3)² is 8.
	depth := (0.01*0.01+0.02*0.02/12)/3 + 0.005*0.005
	require.InDelta(t, 1.96*math.Sqrt(depth/8), f.Scale[2].Resolution, 1e-5)
	for d, tilt := range map[float64]float64{25.4: 0.11, 12.7: 0.23, 6.35: 0.46} {
		l := lay(t, flat(d))
		require.InDelta(t, tilt, 100*l.Find(machine{}.exact(l, 3), usual).Tilt[0].Resolution, 0.006, "%g", d)
	}
}

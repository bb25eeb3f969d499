package rim_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"dishwright/cam/chance"
	"dishwright/dish/rim"
)

// sanded is a rim that is sanded by the same each round, and how it is read.
type sanded struct {
	places       int
	rounds       int     // that were read, from 0
	lost         float64 // share of readings that were not taken
	left         float64 // before the first, mm
	uneven       float64 // how far apart places start, mm, and go, as a share of the pace
	pace         float64 // mm a round
	noise, round float64 // of a reading: its deviation, and the step that it is written to, mm
}

// log draws one such log and tells how many rounds are really to come for the mean of the
// places, and for the first of them.
func (k sanded) log(rng *rand.Rand, stations []rim.Station) (l rim.WidthLog, mean, first float64) {
	l.Step = k.round
	var left, pace float64
	for i := range k.places {
		p := rim.LoggedPlace{Station: stations[i], Wanted: stations[i].Width}
		start, off := k.left+k.uneven*(rng.Float64()-0.5), k.pace*(1+k.uneven*(rng.Float64()-0.5))
		for n := range k.rounds {
			w := p.Wanted + start - off*float64(n) + k.noise*rng.NormFloat64()
			if k.round > 0 {
				w = math.Round(w/k.round) * k.round
			}
			if rng.Float64() >= k.lost || n == 0 || n == k.rounds-1 {
				p.Read = append(p.Read, rim.RoundWidth{Round: n, Width: w})
			}
		}
		now := start - off*float64(k.rounds-1)
		left, pace = left+now, pace+off
		if i == 0 {
			first = now / off
		}
		l.Places = append(l.Places, p)
	}
	return l, left / pace, first
}

// trials are how many logs are drawn of each kind; with LONG 5,000.
func trials() int {
	if chance.Long() {
		return 5000
	}
	return 400
}

// slack is how far a share of so many logs, 95 of 100 in truth, may come out lower or higher
// beside that, in 997 of 1,000 cases: three deviations of a binomial share; with LONG none.
func slack(n int) float64 {
	if chance.Long() {
		return 0
	}
	return 3 * math.Sqrt(0.95*0.05/float64(n))
}

// Fieller's interval holds the rounds that are really to come in 95 of 100 logs: here at
// least 93, and where noise is more than rounding at most 97. A log without a wrong reading is
// hardly ever told to have one.
func TestLogIntervals(t *testing.T) {
	b := guitarBody(t)
	stations := b.NamedStations()
	for i, k := range []struct {
		name string
		sanded
	}{
		{"eight places", sanded{8, 5, 0, 4, 0.4, 0.4, 0.1, 0.05}},
		{"three rounds", sanded{8, 3, 0, 3, 0.4, 0.4, 0.08, 0.05}},
		{"two places", sanded{2, 6, 0, 3, 0.3, 0.3, 0.06, 0.05}},
		{"one place", sanded{1, 7, 0, 3, 0.3, 0.3, 0.06, 0.01}},
		{"gaps", sanded{6, 8, 0.4, 5, 0.5, 0.4, 0.12, 0.1}},
		{"nearly done", sanded{8, 6, 0, 2.1, 0.1, 0.4, 0.1, 0.05}},
		{"a rule of mm", sanded{8, 6, 0, 5, 0.8, 0.4, 0.1, 0.5}},
		{"rounding alone", sanded{8, 6, 0, 5, 0.8, 0.37, 0, 0.5}},
		{"a rule of 1/32 in", sanded{6, 6, 0, 5, 0.5, 0.5, 0.05, 25.4 / 32}},
	} {
		t.Run(k.name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(11, uint64(i)))
			n, told, one, held, first, wrong := trials(), 0, 0, 0, 0, 0
			for range n {
				l, mean, at := k.log(rng, stations)
				p := b.Pace(l)
				if p.Mean.Spread {
					told++
					if p.Mean.Low <= mean && mean <= p.Mean.High {
						held++
					}
				}
				if s := p.Places[0]; s.Spread {
					one++
					if s.Low <= at && at <= s.High {
						first++
					}
				}
				wrong += min(1, len(p.Wrong))
			}
			share, shareOfOne := float64(held)/float64(told), float64(first)/float64(one)
			t.Logf("told of %d and of one place %d of %d logs, held in %.4f and %.4f; a wrong reading told in %.4f", told, one, n, share, shareOfOne, float64(wrong)/float64(n))
			require.Greater(t, told, n*95/100)
			require.GreaterOrEqual(t, share, 0.93-slack(n))
			require.GreaterOrEqual(t, shareOfOne, 0.93-slack(n))
			if k.noise > k.round {
				require.LessOrEqual(t, share, 0.97+slack(n))
				require.LessOrEqual(t, shareOfOne, 0.97+slack(n))
			}
			require.Less(t, wrong, n*2/100+1)
		})
	}
}

// Where rounds take off more or less, a straight line is too sure of itself: that they do is
// seen, and the interval is wider for it. Where they are alike that is told of one log in ten.
func TestLogRoundsThatVary(t *testing.T) {
	b := guitarBody(t)
	stations := b.NamedStations()
	const pace, left, rounds = 0.4, 5.0, 8
	for _, k := range []struct{ vary, leastSeen, mostSeen, leastHeld float64 }{{0, 0, 0.2, 0.93}, {0.2, 0.85, 1, 0.88}, {0.3, 0.95, 1, 0.9}} {
		rng := rand.New(rand.NewPCG(7, uint64(100*k.vary)))
		n, seen, held := trials(), 0.0, 0.0
		off := func() float64 { return pace * max(0.1, 1+k.vary*rng.NormFloat64()) }
		for range n {
			l := rim.WidthLog{Step: 0.05}
			for _, s := range stations {
				l.Places = append(l.Places, rim.LoggedPlace{Station: s, Wanted: s.Width})
			}
			now := left
			for round := range rounds {
				for i, p := range l.Places {
					w := math.Round((p.Wanted+now+0.05*rng.NormFloat64())/l.Step) * l.Step
					l.Places[i].Read = append(p.Read, rim.RoundWidth{Round: round, Width: w})
				}
				if round < rounds-1 {
					now -= off()
				}
			}
			truth := 0.0
			for d := off(); ; d = off() {
				if d >= now {
					truth += now / d
					break
				}
				now, truth = now-d, truth+1
			}
			p := b.Pace(l)
			if p.Unlike > 0 {
				seen++
			}
			if !p.Mean.Spread || p.Mean.Low <= truth && truth <= p.Mean.High {
				held++
			}
		}
		t.Logf("rounds that vary by %g of the pace: seen in %.4f, held in %.4f", k.vary, seen/float64(n), held/float64(n))
		require.GreaterOrEqual(t, seen/float64(n), k.leastSeen)
		require.LessOrEqual(t, seen/float64(n), k.mostSeen)
		require.GreaterOrEqual(t, held/float64(n), k.leastHeld-slack(n))
	}
}

// A width misread by a millimetre is found in nine of ten logs at least, and nearly never
// another is told in its place; two digits in the wrong order are found in all but few.
func TestLogFindsAMisreadWidth(t *testing.T) {
	b := guitarBody(t)
	stations := b.NamedStations()
	for i, k := range []struct {
		name string
		sanded
	}{
		{"eight places, three rounds", sanded{8, 3, 0, 3, 0.3, 0.4, 0.05, 0.05}},
		{"eight places, five rounds", sanded{8, 5, 0, 3, 0.3, 0.4, 0.08, 0.05}},
		{"four places, four rounds", sanded{4, 4, 0, 3, 0.3, 0.4, 0.05, 0.05}},
		{"two places, six rounds", sanded{2, 6, 0, 3, 0.3, 0.4, 0.05, 0.05}},
	} {
		for how, misread := range map[string]func(rng *rand.Rand, w float64) float64{
			"a millimetre": func(rng *rand.Rand, w float64) float64 { return w + float64(2*rng.IntN(2)-1) },
			"two digits": func(_ *rand.Rand, w float64) float64 { // 97.25 is 92.75, or 95.45 is 95.54
				whole, tenth := math.Floor(w), math.Mod(math.Floor(10*w), 10)
				unit := math.Mod(whole, 10)
				if math.Abs(unit-tenth) < 1 {
					return w + 1
				}
				return w + (tenth - unit) + (unit-tenth)/10
			},
		} {
			t.Run(k.name+", "+how, func(t *testing.T) {
				rng := rand.New(rand.NewPCG(5, uint64(i)))
				n, found, other := trials(), 0, 0
				for range n {
					l, _, _ := k.log(rng, stations)
					place, read := rng.IntN(k.places), rng.IntN(k.rounds)
					w := &l.Places[place].Read[read].Width
					*w = misread(rng, *w)
					for _, w := range b.Pace(l).Wrong {
						if w.Place == place && w.Read == read {
							found++
						} else {
							other++
						}
					}
				}
				t.Logf("found in %.4f, another told in %.4f", float64(found)/float64(n), float64(other)/float64(n))
				require.GreaterOrEqual(t, found, n*90/100)
				require.LessOrEqual(t, other, n*3/100)
			})
		}
	}
}

// one is a place of a log, read from round 0 on, by what was left.
func one(s rim.Station, left ...float64) rim.LoggedPlace {
	p := rim.LoggedPlace{Station: s, Wanted: s.Width}
	for round, e := range left {
		p.Read = append(p.Read, rim.RoundWidth{Round: round, Width: s.Width + e})
	}
	return p
}

// By hand: 3, 2.5, 2.1 and 1.5 mm left after rounds 0 to 3 lie about a line that falls by
// 0.49 mm a round to 1.54, with residuals of 0.007 mm² over two degrees of freedom. Student's
// factor for two is 4.302653 (from memory), so that (1.54 − 0.49 θ)² is at most
// 4.302653² 0.0035 (0.7 + 0.6 θ + 0.2 θ²) between θ = 2.23671 and 4.57877.
func TestLogByHand(t *testing.T) {
	b := guitarBody(t)
	p := b.Pace(rim.WidthLog{Places: []rim.LoggedPlace{one(b.Station(0), 3, 2.5, 2.1, 1.5)}})
	got := p.Places[0]
	require.InDelta(t, 1.54, got.AtLast, 1e-9)
	require.InDelta(t, 0.49, got.PerRound, 1e-9)
	require.InDelta(t, math.Sqrt(0.0035), p.Noise, 1e-9)
	require.Equal(t, 2, p.DOF)
	require.InDelta(t, 1.54/0.49, got.Rounds, 1e-9)
	require.InDelta(t, 2.23671, got.Low, 2e-4) // six digits of the factor, less what cancels
	require.InDelta(t, 4.57877, got.High, 2e-4)
	require.InDelta(t, 1.5, got.Left, 1e-9, "what was read, not the line")
	require.Equal(t, got.Trend.Rounds, p.Mean.Rounds, "the mean over one place is that place")
	require.InDelta(t, got.High, p.Mean.High, 1e-9)
}

// A second way to the interval's ends: a line that is made to reach nothing after just so many
// rounds fits worse, by Student's factor squared times the noise's variance.
func TestLogIntervalEnds(t *testing.T) {
	b := guitarBody(t)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(4, 9).Draw(t, "rounds")
		pace := rapid.Float64Range(0.2, 1).Draw(t, "pace")
		var left []float64
		for i := range n {
			left = append(left, 8-pace*float64(i)+rapid.Float64Range(-0.1, 0.1).Draw(t, "noise"))
		}
		p := b.Pace(rim.WidthLog{Places: []rim.LoggedPlace{one(b.Station(0), left...)}})
		got := p.Places[0]
		if !got.Spread || len(p.Wrong) > 0 || p.Noise < 1e-3 { // too little to divide by
			return
		}
		squares := func(slope, at float64) (sum float64) { // about a line through nothing at that round
			for i, e := range left {
				sum += math.Pow(e-slope*(float64(i)-at), 2)
			}
			return sum
		}
		free := squares(-got.PerRound, float64(p.Last)+got.Rounds)
		student := distuv.StudentsT{Sigma: 1, Nu: float64(n - 2)}.Quantile(0.975)
		for _, end := range []float64{got.Low, got.High} {
			at, xy, xx := float64(p.Last)+end, 0.0, 0.0
			for i, e := range left {
				xy, xx = xy+e*(float64(i)-at), xx+math.Pow(float64(i)-at, 2)
			}
			require.InEpsilon(t, student*student*p.Noise*p.Noise, squares(xy/xx, at)-free, 1e-5)
		}
		require.LessOrEqual(t, got.Low, got.Rounds)
		require.GreaterOrEqual(t, got.High, got.Rounds)
	})
}

// Few readings tell little, and that is said: one round no pace; two rounds a pace and no
// spread; places that do not come down no rounds.
func TestShortLogs(t *testing.T) {
	b := guitarBody(t)
	s := b.NamedStations()
	p := b.Pace(rim.WidthLog{Places: []rim.LoggedPlace{one(s[0], 2), one(s[4], 3)}})
	require.False(t, p.Mean.Known)
	require.InDelta(t, 1, p.Left.Along, 1e-9)
	require.True(t, p.Left.AlongSure)
	require.InDelta(t, 3, p.Places[1].Left, 1e-9)

	p = b.Pace(rim.WidthLog{Step: 0.1, Places: []rim.LoggedPlace{one(s[0], 2, 1.5), one(s[4], 3, 2.5)}})
	require.True(t, p.Mean.Resolved)
	require.False(t, p.Mean.Spread)
	require.InDelta(t, 4, p.Mean.Rounds, 1e-9)
	require.Equal(t, 0.1, p.Tolerance)

	p = b.Pace(rim.WidthLog{Step: 0.1, Places: []rim.LoggedPlace{one(s[0], 2, 2, 1.9, 2), one(s[4], 3, 2.5, 2, 1.5)}})
	require.False(t, p.Places[0].Resolved)
	require.True(t, p.Places[1].Resolved)
	require.Equal(t, 3, p.Last)

	require.Equal(t, 0.8, b.Pace(rim.WidthLog{Step: 0.8, Places: []rim.LoggedPlace{one(s[0], 2)}}).Tolerance, "no finer than it is read")

	// What is written to a step is no surer than that, however well it fits.
	p = b.Pace(rim.WidthLog{Step: 0.5, Places: []rim.LoggedPlace{one(s[0], 4, 3.5, 3, 2.5, 2)}})
	require.InDelta(t, 0.5/math.Sqrt(12), p.Noise, 1e-12)

	// A place that was not read last is brought on along its line.
	p = b.Pace(rim.WidthLog{Places: []rim.LoggedPlace{one(s[0], 4, 3.5, 3, 2.5), one(s[4], 4, 3.5, 3)}})
	require.InDelta(t, 2.5, p.Places[1].Left, 1e-9)
	require.Equal(t, 2, p.Places[1].Round)
}

// A width that grows by more than wood does is wrong: where the others tell which of the two
// it is, that one; of two readings the later. A fifth of a millimetre is no slip.
func TestLogGrown(t *testing.T) {
	b := guitarBody(t)
	s := b.NamedStations()
	for name, k := range map[string]struct {
		left []float64
		read int // that is wrong, or −1
	}{
		"a little":           {[]float64{2, 2.2}, -1},
		"two readings":       {[]float64{2, 2.9}, 1},
		"the one before":     {[]float64{4, 2.5, 3, 2.5}, 1},
		"the one that grew":  {[]float64{4, 3.5, 4.6, 2.5}, 2},
		"the first of three": {[]float64{3.1, 3.5, 3}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			other := one(s[4], 4, 3.5, 3, 2.5)
			other.Read = other.Read[:len(k.left)]
			p := b.Pace(rim.WidthLog{Step: 0.05, Places: []rim.LoggedPlace{one(s[0], k.left...), other}})
			if k.read < 0 {
				require.Empty(t, p.Wrong)
				return
			}
			require.Len(t, p.Wrong, 1)
			require.Equal(t, [2]int{0, k.read}, [2]int{p.Wrong[0].Place, p.Wrong[0].Read})
			if len(k.left) > 3 {
				require.InDelta(t, s[0].Width+4-0.5*float64(k.read), p.Wrong[0].Expect, 0.02)
			}
			require.Equal(t, len(k.left)-1, p.Places[0].Count)
		})
	}
}

// What leans is told by how much, end to end and side to side: of what is left, and of the
// pace; what noise makes of it is not.
func TestLogLeans(t *testing.T) {
	b := guitarBody(t)
	widest := math.Abs(b.Outline.At(b.Outline.Head() / 2).At.Y)
	for _, k := range []struct{ along, across, faster float64 }{{0.9, 0, 0}, {0, -0.6, 0.2}, {0.03, 0.02, 0.01}} {
		rng := rand.New(rand.NewPCG(2, 9))
		l := rim.WidthLog{Step: 0.01}
		for _, s := range b.NamedStations() {
			x, y := s.At.X/b.Outline.Length()-0.5, s.At.Y/(2*widest)
			var left []float64
			for round := range 5 {
				left = append(left, 4+k.along*x+k.across*y-(0.4+k.faster*x)*float64(round-4)+0.02*rng.NormFloat64())
			}
			l.Places = append(l.Places, one(s, left...))
		}
		p := b.Pace(l)
		require.InDelta(t, k.along, p.Left.Along, 0.05)
		require.InDelta(t, k.across, p.Left.Across, 0.05)
		require.InDelta(t, k.faster, p.PerRound.Along, 0.02)
		require.Equal(t, math.Abs(k.along) > 0.1, p.Left.AlongSure)
		require.Equal(t, math.Abs(k.across) > 0.1, p.Left.AcrossSure)
		require.Equal(t, k.faster > 0.1, p.PerRound.AlongSure)
	}
}

// Where too much is gone a lower rim is right there, and so is a top of another radius: of a
// rim that was sanded in such a dish that radius is found.
func TestLogRemedy(t *testing.T) {
	b := guitarBody(t)
	const radius = 1.2
	other, err := b.TopInDish(radius * b.Top.Radius)
	require.NoError(t, err)
	log := func(lower func(s rim.Station) float64) (l rim.WidthLog) {
		for _, s := range b.NamedStations() {
			l.Places = append(l.Places, one(s, -lower(s)))
		}
		return l
	}
	l := log(func(s rim.Station) float64 { return s.Top - other.Height(s.At) })
	r, ok := b.Remedy(l, b.Pace(l))
	require.True(t, ok)
	worst := b.NamedStations()[r.Place]
	require.InDelta(t, worst.Top-other.Height(worst.At), r.Missing, 1e-9)
	require.InEpsilon(t, radius*b.Top.Radius, r.Radius, 1e-6)
	require.InDelta(t, 0, r.Most, 1e-6)

	l = log(func(s rim.Station) float64 { return map[string]float64{"tail": 0.3, "right waist": 0.25}[s.Name] })
	r, ok = b.Remedy(l, b.Pace(l))
	require.True(t, ok)
	require.InDelta(t, 0.3, r.Missing, 1e-9)
	require.Zero(t, r.Radius, "an end is a depth, no radius")

	l = log(func(s rim.Station) float64 { return map[string]float64{"right lower bout": 1}[s.Name] })
	r, _ = b.Remedy(l, b.Pace(l))
	require.Zero(t, r.Radius, "none near does")

	l = log(func(rim.Station) float64 { return 0.09 })
	_, ok = b.Remedy(l, b.Pace(l))
	require.False(t, ok, "within the tolerance")
}

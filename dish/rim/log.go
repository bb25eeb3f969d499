package rim

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// WidthLog is the widths of the sides as they were read round by round, while one edge is
// sanded: places of the rim, each with what it was read in some of the rounds.
type WidthLog struct {
	Places []LoggedPlace
	Step   float64 // the finest figure that was written, mm; 0 where that is not known
}

// LoggedPlace is a place, the width that it is sanded to, and its readings in the order of
// their rounds, of which each is there once at most.
type LoggedPlace struct {
	Station Station
	Wanted  float64 // mm
	Read    []RoundWidth
}

// RoundWidth is a width as it was read after a round, mm; round 0 is before sanding.
type RoundWidth struct {
	Round int
	Width float64
}

// Pace is what a log tells: what is left where, how fast it goes and how long it takes.
type Pace struct {
	Last      int     // the round that was read last
	Tolerance float64 // by how much a width may be off and be right, mm
	Coarse    bool    // are readings coarser than a width may be off by hand? then they tell no end
	Zone      Zone    // that is being sanded: Mean, Unlike, Wrong, Left and PerRound are of its places
	Noise     float64 // standard deviation of one reading, mm; rounding alone where DOF is 0
	DOF       int     // degrees of freedom behind Noise: readings less two for each line
	Places    []PlacePace
	Mean      Trend   // of the mean over the places that have a trend
	Unlike    float64 // by how much rounds vary, a standard deviation, mm; 0 where they are alike
	Wrong     []WrongWidth
	Left      Lean // of what is left
	PerRound  Lean // of what comes off in a round
}

// PlacePace is a place by the readings that count.
type PlacePace struct {
	Count int     // of readings that count, 0 or more
	Has   float64 // the last of them, mm
	Round int     // its round
	Left  float64 // what is left to come off after the last round, mm: negative where too much is gone
	Zone  Zone    // with whose sanding it has its width
	Now   bool    // is that being sanded, and Left known after the last round?
	Trend
}

// Trend is a straight line through what was left after each round.
type Trend struct {
	Known    bool    // are there two rounds or more?
	AtLast   float64 // what the line has left after the last round, mm
	PerRound float64 // what comes off in a round, mm
	Resolved bool    // is PerRound told from nothing?
	Rounds   float64 // to come until nothing is left, where Resolved; negative where that is past
	Spread   bool    // are Low and High known?
	Low      float64 // the interval that holds Rounds in 95 of 100 logs
	High     float64

	// Variances of AtLast and PerRound and what they share, in those of one reading.
	left, rate, both float64
}

// Lean is by how much something is more at one end or side than at the other, mm: the plane
// that fits it best, over the length of the body and over its width half way.
type Lean struct {
	Along, Across         float64 // towards the head, towards the left
	AlongSure, AcrossSure bool    // told from the readings' noise, and more than the tolerance
}

// logChance is the chance that an interval misses the truth.
const logChance = 0.05

// HandTolerance is by how much a width may be off, mm: a vernier caliper on wood repeats
// within about that (common practice), and where one end of a body of half a metre is off by
// it, the apex of a dome of 8 m comes 2 mm beside its place.
const HandTolerance = 0.1

// tolerance is by how much a width may be off, mm: no less than a step of what it is read by.
func (l WidthLog) tolerance() float64 { return max(HandTolerance, l.Step) }

// rounding is the standard deviation that writing down to a step adds: an even spread's.
func (l WidthLog) rounding() float64 { return l.Step / math.Sqrt(12) }

// last returns the round that was read last.
func (l WidthLog) last() int {
	last := 0
	for _, p := range l.Places {
		if n := len(p.Read); n > 0 {
			last = max(last, p.Read[n-1].Round)
		}
	}
	return last
}

// Pace works out how the sanding goes. Each place with two readings or more has its own
// straight line; all readings share one noise, pooled over the residuals, and no less than
// rounding makes it. Readings that do not fit are left out and listed. Lines are drawn for the
// zone that is being sanded alone, from the round on after which that began.
func (b Body) Pace(l WidthLog) Pace {
	kept, all, zones, zone, wrong := b.weedZones(l)
	p := Pace{Last: l.last(), Tolerance: l.tolerance(), Coarse: l.Step > HandTolerance, Zone: zone, Wrong: wrong}
	f := kept.fit()
	p.Noise, p.DOF = f.noise(l.rounding()), f.dof
	sum, count := Trend{}, 0.0
	for i, place := range kept.Places {
		one := PlacePace{Zone: zones[i], Trend: f.lines[i].trend(p.Last)}
		if t := one.Trend; t.Known {
			sum.AtLast, sum.PerRound, count = sum.AtLast+t.AtLast, sum.PerRound+t.PerRound, count+1
			sum.left, sum.rate, sum.both = sum.left+t.left, sum.rate+t.rate, sum.both+t.both
		}
		one.Trend.forecast(p.Noise, p.DOF)
		if zones[i] != zone || len(place.Read) == 0 { // of another zone, or read before this one began
			place = all.Places[i]
		}
		if one.Count = len(place.Read); one.Count > 0 {
			r := place.Read[one.Count-1]
			one.Has, one.Round, one.Left = r.Width, r.Round, r.Width-place.Wanted
			if one.Known && r.Round < p.Last { // as far as it has come since
				one.Left = one.AtLast
			}
			one.Now = one.Zone == zone && (one.Known || r.Round == p.Last)
		}
		p.Places = append(p.Places, one)
	}
	if count > 0 {
		p.Mean = Trend{Known: true, AtLast: sum.AtLast / count, PerRound: sum.PerRound / count,
			left: sum.left / (count * count), rate: sum.rate / (count * count), both: sum.both / (count * count)}
		p.Mean.forecast(p.Noise, p.DOF)
		p.widen(kept, f)
	}
	b.leans(&p, l)
	return p
}

// line is a straight line through the readings of one place: what is left over the round.
type line struct {
	n         int
	middle    float64 // mean of the rounds
	spread    float64 // squares of the rounds about it
	mean      float64 // of what is left, mm
	slope     float64 // mm a round
	squares   float64 // of the residuals, mm²
	residuals []float64
}

// lineThrough fits a line; one reading has none, and its residual is 0.
func lineThrough(p LoggedPlace) line {
	g := line{n: len(p.Read), residuals: make([]float64, len(p.Read))}
	for _, r := range p.Read {
		g.middle += float64(r.Round) / float64(g.n)
		g.mean += (r.Width - p.Wanted) / float64(g.n)
	}
	share := 0.0
	for _, r := range p.Read {
		u := float64(r.Round) - g.middle
		g.spread += float64(u * u)
		share += float64(u * (r.Width - p.Wanted))
	}
	if g.n > 1 {
		g.slope = share / g.spread
	}
	for i, r := range p.Read {
		g.residuals[i] = r.Width - p.Wanted - g.at(r.Round)
		g.squares += float64(g.residuals[i] * g.residuals[i])
	}
	return g
}

// at returns what the line has left after a round.
func (g line) at(round int) float64 {
	return g.mean + float64(g.slope*(float64(round)-g.middle))
}

// leverage is the share that a reading has in the line's value at its round.
func (g line) leverage(round int) float64 {
	u := float64(round) - g.middle
	return 1/float64(g.n) + squareOf(u)/g.spread
}

// trend returns the line as it is seen from the last round.
func (g line) trend(last int) Trend {
	if g.n < 2 {
		return Trend{}
	}
	u := g.middle - float64(last)
	return Trend{Known: true, AtLast: g.at(last), PerRound: -g.slope,
		left: 1/float64(g.n) + squareOf(u)/g.spread, rate: 1 / g.spread, both: u / g.spread}
}

// forecast fills in how many rounds are to come: AtLast over PerRound, a quotient of two
// normal estimates, whose interval is Fieller's [EF] with Student's factor: the θ for which
// AtLast − θ PerRound is told from 0 by less than that. Where the pace itself is not told
// from 0 the interval has no end, and nothing is filled in. Readings that leave no degree of
// freedom know no noise: then the pace has to be more than twice what rounding makes of it.
func (t *Trend) forecast(noise float64, dof int) {
	if !t.Known {
		return
	}
	k := squareOf(float64(student(dof) * noise))
	a := squareOf(t.PerRound) - float64(k*t.rate)
	if !(t.PerRound > 0 && a > 0) {
		return
	}
	t.Resolved, t.Rounds = true, t.AtLast/t.PerRound
	if dof == 0 {
		return
	}
	b := float64(t.AtLast*t.PerRound) - float64(k*t.both)
	c := squareOf(t.AtLast) - float64(k*t.left)
	root := math.Sqrt(max(0, squareOf(b)-float64(a*c)))
	t.Spread, t.Low, t.High = true, (b-root)/a, (b+root)/a
}

// student is Student's factor of an interval; 2 where no degree of freedom is left.
func student(dof int) float64 {
	if dof == 0 {
		return 2
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(dof)}.Quantile(1 - logChance/2)
}

func squareOf(v float64) float64 { return float64(v * v) }

// fitted is the lines of all places.
type fitted struct {
	lines   []line
	squares float64
	dof     int
}

func (l WidthLog) fit() (f fitted) {
	for _, p := range l.Places {
		g := lineThrough(p)
		f.lines = append(f.lines, g)
		f.squares += g.squares
		f.dof += max(0, g.n-2)
	}
	return f
}

// noise returns the standard deviation of one reading, no less than rounding alone.
func (f fitted) noise(rounding float64) float64 {
	if f.dof == 0 {
		return rounding
	}
	return max(rounding, math.Sqrt(f.squares/float64(f.dof)))
}

// leans fills in which end or side has more left, and which comes down faster. How surely:
// the planes are linear in what they fit, so that a reading's share in them is what they make
// of that reading alone.
func (b Body) leans(p *Pace, l WidthLog) {
	var stations []Station
	var left, leftNoise, rate, rateNoise []float64
	var paced []Station
	for i, one := range p.Places {
		if !one.Now {
			continue
		}
		s := l.Places[i].Station
		stations, left = append(stations, s), append(left, one.Left)
		v := 1.0
		if one.Known && one.Round < p.Last {
			v = one.left
		}
		leftNoise = append(leftNoise, v)
		if one.Known {
			paced, rate, rateNoise = append(paced, s), append(rate, one.PerRound), append(rateNoise, one.rate)
		}
	}
	noise := float64(student(p.DOF) * p.Noise)
	p.Left = b.lean(stations, left, leftNoise, noise, p.Tolerance)
	if p.DOF > 0 { // else nothing tells how sure a pace is
		p.PerRound = b.lean(paced, rate, rateNoise, noise, 0)
	}
}

// lean fits a plane to values at places, with the variance of each in those of one reading,
// and says what of it is more than the noise and than so much.
func (b Body) lean(stations []Station, values, variances []float64, noise, least float64) (out Lean) {
	if len(stations) == 0 {
		return out
	}
	out.Along, out.Across = b.EndToEnd(b.plane(stations, values))
	var along, across float64
	for i, v := range variances {
		alone := make([]float64, len(values))
		alone[i] = 1
		x, y := b.EndToEnd(b.plane(stations, alone))
		along += float64(v * squareOf(x))
		across += float64(v * squareOf(y))
	}
	out.AlongSure = math.Abs(out.Along) > max(least, float64(noise*math.Sqrt(along)))
	out.AcrossSure = math.Abs(out.Across) > max(least, float64(noise*math.Sqrt(across)))
	return out
}

// plane is the Attitude of a rim that has so much too much at its places.
func (b Body) plane(stations []Station, values []float64) Attitude {
	var list []MeasuredWidth
	for i, s := range stations {
		list = append(list, MeasuredWidth{Station: s, Width: s.Width + values[i]})
	}
	return b.Attitude(list)
}

// EndToEnd returns how much more an attitude has at the head than at the tail, and at the
// left than at the right half way between them, mm.
func (b Body) EndToEnd(a Attitude) (along, across float64) {
	o := b.Outline
	return float64(math.Tan(a.Pitch) * o.Length()), float64(2 * math.Tan(a.Roll) * math.Abs(o.At(o.Head()/2).At.Y))
}

// without returns the log with a reading left out.
func (l WidthLog) without(place, reading int) WidthLog {
	l.Places = slices.Clone(l.Places)
	l.Places[place].Read = slices.Delete(slices.Clone(l.Places[place].Read), reading, reading+1)
	return l
}

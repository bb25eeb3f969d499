package rim

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Rounds of sanding need not be alike: what one takes too much stays off, so that a straight
// line through what is left promises more than it knows. Where the places, all together, go
// off their lines by more than the readings' noise makes them, what comes off in a round is
// taken to be drawn anew each time.

// widenChance is the chance that a log whose rounds are alike has its intervals widened: a
// round that varies by a tenth is hard to see, and the price of seeing it is a wider interval.
const widenChance = 0.1

// fewestDrops are the fewest steps from round to round that tell how these vary: from two of
// them Student's factor is 12.7, and no forecast is left.
const fewestDrops = 3

// together is how far all places stand, on the mean, above their own lines after each round.
type together struct {
	rounds []int     // that were read, ascending
	above  []float64 // after each, mm
	within float64   // noise of one reading apart from that, mm
	dof    int       // behind it
	places float64   // how many were read in a round, on the mean
}

// together parts what all places do in a round from what each does alone.
func (l WidthLog) together(f fitted) (t together) {
	var count []float64
	for i, p := range l.Places {
		if f.lines[i].n < 2 {
			continue
		}
		for j, r := range p.Read {
			k, there := slices.BinarySearch(t.rounds, r.Round)
			if !there {
				t.rounds, t.above, count = slices.Insert(t.rounds, k, r.Round), slices.Insert(t.above, k, 0), slices.Insert(count, k, 0)
			}
			t.above[k] += f.lines[i].residuals[j]
			count[k]++
		}
	}
	squares := f.squares
	for k, n := range count {
		t.above[k] /= n
		t.places += n / float64(len(count))
		squares -= float64(n * float64(t.above[k]*t.above[k]))
	}
	if t.dof = f.dof - max(0, len(t.rounds)-2); t.dof > 0 {
		t.within = max(l.rounding(), math.Sqrt(max(0, squares)/float64(t.dof)))
	}
	return t
}

// unlike returns the standard deviation of what comes off in a round, mm, beside the
// readings' noise; 0 where that is enough to make it, by F for the quotient of two variances.
//
// Of n steps D from reading to reading, each with the noise v of its two readings, which it
// shares with its neighbours, Σ(D − mean)² is 2v (n + 1)(n − 1)/n on the mean.
func (t together) unlike() float64 {
	n := float64(len(t.rounds) - 1)
	if n < fewestDrops || t.dof < 1 {
		return 0
	}
	sum := 0.0
	for k := range len(t.rounds) - 1 {
		d := t.above[k] - t.above[k+1]
		sum += squareOf(d) / float64(t.rounds[k+1]-t.rounds[k])
	}
	has, noise := sum/(n-1), float64(2*t.within*t.within)/t.places*(n+1)/n
	if has < noise*(distuv.F{D1: n - 1, D2: float64(t.dof)}).Quantile(1-widenChance) {
		return 0
	}
	return math.Sqrt(has - noise)
}

// wander fills in the forecast of a log whose rounds vary by so much, mm, from what was left
// after the first and the last round of it, its readings of the variance noise: as Fieller's
// interval, with what the rounds to come, and those that were, may be off beside.
func (t *Trend) wander(vary, noise float64, first, last RoundWidth, gap, dof int) {
	span := float64(last.Round - first.Round)
	k, s := squareOf(student(dof)), squareOf(vary)
	t.PerRound = (first.Width - last.Width) / span
	t.AtLast = last.Width - float64(t.PerRound*float64(gap))
	t.Resolved, t.Spread = false, false
	// (W − θ PerRound)² ≤ k (noise (1 + 2θ/span + 2θ²/span²) + s (θ + θ²/span)), W the last width.
	a := squareOf(t.PerRound) - float64(k*(float64(2*noise)/(span*span)+s/span))
	if !(t.PerRound > 0 && a > 0) {
		return
	}
	b := float64(last.Width*t.PerRound) + float64(k*(noise/span+s/2))
	c := squareOf(last.Width) - float64(k*noise)
	root := math.Sqrt(max(0, squareOf(b)-float64(a*c)))
	t.Resolved, t.Spread = true, true
	t.Rounds, t.Low, t.High = t.AtLast/t.PerRound, (b-root)/a-float64(gap), (b+root)/a-float64(gap)
}

// widen makes the forecasts of a log those of rounds that vary, where they do.
func (p *Pace) widen(kept WidthLog, f fitted) {
	t := kept.together(f)
	if p.Unlike = t.unlike(); p.Unlike == 0 {
		return
	}
	n, dof := len(t.rounds), len(t.rounds)-2
	level := func(k int) RoundWidth {
		before := float64(p.Last - t.rounds[k])
		return RoundWidth{t.rounds[k], p.Mean.AtLast + float64(p.Mean.PerRound*before) + t.above[k]}
	}
	first, last := level(0), level(n-1)
	p.Mean.wander(p.Unlike, squareOf(t.within)/t.places, first, last, p.Last-last.Round, dof)
	for i, place := range kept.Places {
		if len(place.Read) < 2 {
			continue
		}
		first, last := place.Read[0], place.Read[len(place.Read)-1]
		first.Width, last.Width = first.Width-place.Wanted, last.Width-place.Wanted
		p.Places[i].wander(p.Unlike, squareOf(t.within), first, last, p.Last-last.Round, dof)
	}
}

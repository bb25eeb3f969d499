package work

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/measure"
	"dishwright/machines"
)

// Feeds is how a cutter runs on a machine, and what held it back.
type Feeds struct {
	Speed    float64 // of the spindle, rpm
	Dial     string  // the mark on a hand router's dial; empty where S sets the speed
	Feed     float64 // mm/min, a multiple of what the program can write
	Plunge   float64 // the same, for moves that go down into stock
	ChipLoad float64 // mm a tooth at Feed and Speed, before thinning
	Limits   []measure.Said
}

const (
	// mostThinning caps what a thin chip may add to the feed: the first pass and
	// the links cut full width.
	mostThinning = 1.5
	// plungeShare of the feed on the way down into stock: common practice.
	plungeShare = 0.5
)

// FeedStep returns the steps in which a program writes feeds: 1 mm/min, or 0.1 in/min.
func FeedStep(m machines.Machine) float64 {
	if m.Unit == machines.Inches {
		return 2.54
	}
	return 1
}

// FloorFeed rounds a feed down to what the program can write.
func FloorFeed(m machines.Machine, f float64) float64 {
	s := FeedStep(m)
	return float64(math.Floor(f/s+Fuzz) * s)
}

// Runs reports whether the machine can run the cutter slowly enough, and at
// which speed and dial mark.
func Runs(m machines.Machine, c path.Cutter) (speed float64, dial string, ok bool) {
	return m.SpindleSpeed(min(c.Speed, c.FastestSpeed))
}

// NewFeeds returns how cutter c runs on machine m. step is the widest step
// between passes and depth the depth of the layer they cut, both in mm; they
// decide how thin the chip is: over a side step of the share q of the width of
// cut the thickest chip is 2 √(q(1 − q)) of the chip load, for q under a half: a tooth
// on a circle (its way forward left out) enters at the angle φ with cos φ = 1 − 2q,
// where the chip is sin φ of the chip load thick. A ball's width of cut at depth a is
// the chord 2 √(a(2r − a)) [MH]. step 0 means full width, at any depth.
//
// The first pass and the links cut full width at the same feed, so that is raised no further
// than the depth lies below the depth of cut: a tooth then cuts off no more than at the
// cutter's own chip load and depth of cut, wherever it runs.
func NewFeeds(m machines.Machine, c path.Cutter, step, depth float64) (Feeds, bool) {
	speed, dial, ok := Runs(m, c)
	if !ok {
		return Feeds{}, false
	}
	f := Feeds{Speed: speed, Dial: dial}
	if speed < c.Speed {
		f.Limits = append(f.Limits, measure.Say("spindle speed %.0f rpm instead of %.0f: what the spindle and the cutter allow", speed, c.Speed))
	}
	most := min(m.Feed.X, m.Feed.Y)
	teeth := float64(float64(c.Flutes) * c.ChipLoad)
	if want := float64(speed * teeth); want > most {
		if slower, mark, ok := m.SpindleSpeed(most / teeth); ok {
			f.Speed, f.Dial = slower, mark
		} else {
			f.Speed, f.Dial = slowest(m)
		}
		f.Limits = append(f.Limits, measure.Say("the machine's feed of %s caps the %s wanted; spindle speed brought down to %.0f rpm", measure.Rate(most), measure.Rate(want), f.Speed))
	}
	f.Speed = math.Floor(f.Speed)
	f.Feed = min(most, f.Speed*teeth)
	f.ChipLoad = f.Feed / (f.Speed * float64(c.Flutes))
	if q := step / c.Body().Width(depth); step > 0 && q < 0.5 {
		thinning := min(mostThinning, max(1, c.DepthOfCut/depth), 1/(2*math.Sqrt(float64(q*(1-q)))))
		raised := min(most, f.Feed*thinning)
		if raised >= 1.01*f.Feed { // less is not worth telling
			f.Limits = append(f.Limits, measure.Say("steps of at most %s make thin chips: feed raised %.2f times", measure.MM(step), raised/f.Feed))
		}
		f.Feed = raised
	}
	f.Feed = FloorFeed(m, f.Feed)
	f.Plunge = max(FeedStep(m), FloorFeed(m, f.Feed*plungeShare))
	return f, f.Feed > 0
}

// slowest returns the slowest speed of the spindle, and its dial mark.
func slowest(m machines.Machine) (float64, string) {
	if m.HandRouter() {
		return m.Spindle.Dial[0].Speed, m.Spindle.Dial[0].Mark
	}
	return m.Spindle.Slowest, ""
}

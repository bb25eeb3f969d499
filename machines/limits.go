package machines

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// FeedAlong returns the highest feed, in mm/min and at most want, at which no
// axis exceeds its Feed on a straight move along dir: one at speed f moves an axis at
// f |dir_i| / |dir|. The length of dir does not matter; along no direction at all it
// returns want. It is a feed in float64: who writes it rounds it down.
func (m Machine) FeedAlong(dir r3.Vec, want float64) float64 {
	// The largest component is made 1 first, so that no square overflows or
	// vanishes.
	x, y, z := math.Abs(dir.X), math.Abs(dir.Y), math.Abs(dir.Z)
	largest := max(x, max(y, z))
	if !(largest > 0) {
		return want
	}
	x, y, z = x/largest, y/largest, z/largest
	n := math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
	speed := want
	for _, axis := range [...]struct{ component, limit float64 }{{x / n, m.Feed.X}, {y / n, m.Feed.Y}, {z / n, m.Feed.Z}} {
		if axis.component == 0 || speed*axis.component <= axis.limit {
			continue
		}
		// A division rounds: step down until the product keeps the limit.
		for speed = axis.limit / axis.component; speed*axis.component > axis.limit; {
			speed = math.Nextafter(speed, 0)
		}
	}
	return speed
}

// SpindleSpeed returns what the spindle can run at, in rpm: the wanted
// speed, or the highest below it that the spindle has. For a hand router
// dial is the mark to set, else empty. Where the spindle cannot run as slowly as
// wanted ok is false, and the slowest speed is returned.
func (m Machine) SpindleSpeed(wanted float64) (speed float64, dial string, ok bool) {
	s := m.Spindle
	if len(s.Dial) == 0 {
		if ok = wanted >= s.Slowest; !ok { // a NaN too
			return s.Slowest, "", false
		}
		return min(wanted, s.Fastest), "", true
	}
	speed, dial = s.Dial[0].Speed, s.Dial[0].Mark
	for _, d := range s.Dial {
		if d.Speed <= wanted {
			speed, dial, ok = d.Speed, d.Mark, true
		}
	}
	return speed, dial, ok
}

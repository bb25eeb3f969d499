package scrap

import "math"

// unknown is what the readings depend on linearly.
type unknown int

const (
	diameter  unknown = iota
	backlashX         // the two axes follow one another
	backlashY         //
	acrossX           // between the middle lines of the ring's sides, as it was cut
	acrossY           //
	tiltX             // the cutter's bottom at (u, v) beside its axis is at −tiltX u − tiltY v
	tiltY             //
	stripX            // length of the strips that tell of the tilt in X, were there none
	stripY            //
	touchOff          // by how much all depths are too large
	deepening         // depth cut for depth told
	unknowns
)

// row is how a mark's reading goes with the unknowns.
func (l *Layout) row(m Mark) (r [unknowns]float64) {
	on := func(of unknown) unknown { return of + unknown(m.Axis) }
	switch m.Kind {
	case Boss, Pocket:
		r[diameter] = 1
		if m.Kind == Boss {
			r[diameter] = -1
		}
		r[on(backlashX)], r[on(acrossX)] = -m.Sense, 1
	case Strip:
		r[on(tiltX)], r[on(stripX)] = -m.Sense*l.Beside/Slope, 1
	case Floor:
		r[touchOff], r[deepening] = 1, m.Nominal
	}
	return r
}

// span returns how far the lengths of a strip may be from their nominal one before its end
// lies where the side pass begins or ends, and tells nothing more.
func span() float64 { return halfDrop / Slope }

// Limits returns between which lengths a reading of the mark can be at all: a machine and a
// cutter that are off by more were found out otherwise.
func (l *Layout) Limits(m Mark) (least, most float64) {
	switch m.Kind {
	case Strip:
		walls := chord(l.Body.HalfWidth(blockDepth), l.Beside/2) // the level pass is no longer than twice this
		return 0, blockLength + 4*walls + mostOff
	case Floor:
		gap := math.Inf(1)
		for _, o := range l.Marks {
			if o.Kind == Floor && o.Letter != m.Letter {
				gap = min(gap, math.Abs(o.Nominal-m.Nominal))
			}
		}
		return m.Nominal - float64(0.45*gap), m.Nominal + float64(0.45*gap)
	}
	return m.Nominal - mostOff, m.Nominal + mostOff
}

// mostOff is the most that a width or the end of a strip is off by, mm.
const mostOff = 2.0

// Group is a number that marks share which tell something together only: all of them are
// read, or none.
func (m Mark) Group() int {
	if m.Kind == Pocket {
		return int(Boss)*3 + m.Axis
	}
	return int(m.Kind)*3 + m.Axis
}

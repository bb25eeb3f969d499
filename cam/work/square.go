package work

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"
	"dishwright/dish/measure"
)

// OutOfSquare returns how far the spindle may be out of square to the blank's top, rise
// over length: by its tilt, and by as much as the top was found to lean.
func (w *Work) OutOfSquare() float64 {
	if w.Top == nil {
		return w.Tilt
	}
	return w.Tilt + w.Top.Slope()
}

// tiltTakes returns how much of the scallop a spindle out of square adds at most,
// mm: over the edge of a level end of radius f, touched off at its lowest point,
// 2 f t. What is certified counts t for every millimetre beyond that edge as
// well, on a corner: c times the sine of the steepest slope, and what a scallop
// between two corners is wide. A ball does not mind.
func tiltTakes(w *Work, c path.Cutter, ridge float64) float64 {
	f, t := c.Body().Flat, w.OutOfSquare()
	if !(t > 0) || !(f > 0) {
		return 0
	}
	k := c.Body().Corner
	beyond := min(k, float64(k*w.Face.RimSlope())+math.Sqrt(float64(2*k*max(0, ridge))))
	return float64(t * (2*f + beyond))
}

// leastRidge is what must be left for the scallops, mm: a micrometre, as much as a proof
// may be off by. Below it the passes lie so close that they never end.
const leastRidge = 0.001

// bridged reports whether nothing of use is left for the scallops: less than
// leastRidge, or less than a level end leaves over the apex of a hollow.
func bridged(w *Work, c path.Cutter) bool {
	b, t := NewBudget(w, c, 1), WornTool(w, c)
	return b.Ridge-t.Alone() < leastRidge || BridgesApex(w, c, t, b.Ridge) != nil
}

// MostTilt returns the largest tilt, as rise over length, at which passes with c
// can be planned that keep the work's scallop; +Inf for a ball, 0 where not even
// a square spindle would do.
func MostTilt(w *Work, c path.Cutter) float64 {
	if c.Body().Flat <= 0 {
		return math.Inf(1)
	}
	v := *w
	v.Tilt = 0
	if bridged(&v, c) {
		return 0
	}
	most, _ := exact.Bisect(0, w.Scallop/(2*c.Body().Flat), 50, func(tilt float64) bool {
		v.Tilt = tilt
		return !bridged(&v, c)
	})
	return most
}

// Per100 returns a slope in mm per 100 mm, as a job writes it.
func Per100(slope float64) float64 { return float64(slope * 100) }

// SquareProblems refuses a cutter for which tilt and undersize leave nothing of
// the scallop, or nothing of itself.
func SquareProblems(w *Work, c path.Cutter) (ps Problems) {
	if w.Undersize >= c.Diameter && w.Undersize > 0 {
		ps.Add(KindCutter, KeyUndersize, measure.Say("an undersize of %s leaves nothing of %s", measure.MM(w.Undersize), c.Name), measure.Say("a smaller undersize, or a larger cutter"))
		return ps
	}
	plain := *w
	plain.Tilt, plain.Undersize, plain.Top = 0, 0, nil
	if !bridged(w, c) || bridged(&plain, c) { // the latter is told elsewhere
		return ps
	}
	other := measure.Say("a narrower cutter or a ball")
	if c.Body().Flat <= 0 {
		other = measure.Say("another ball")
	}
	var would []Instead
	if s, ok := EnoughScallop(w, c); ok {
		would = []Instead{{KeyScallop, s, measure.Say("a scallop of at least %s with this cutter", measure.Enough(s, 3))}}
	}
	square, named := *w, *w
	square.Tilt, named.Undersize = 0, 0
	key, message := KeyTilt, measure.Say("a spindle out of square by %s takes %s with %s: of the scallop of %s too little is left for its passes",
		measure.Tan(w.OutOfSquare()), measure.MM(tiltTakes(w, c, w.Scallop)), c.Name, measure.MM(w.Scallop))
	most := math.Floor(Per100(MostTilt(w, c))*1000) / 1e5
	better := measure.Say("for a spindle squared to it, spindle tilt: %s", measure.Tan(most))
	switch helps := !bridged(&square, c); {
	case !helps && !bridged(&named, c):
		key, message = KeyUndersize, measure.Say("an undersize of %s takes too much of the scallop of %s with %s", measure.MM(w.Undersize), measure.MM(w.Scallop), c.Name)
		better = measure.Say("for cutters of their named diameters, undersize: %s", measure.MM(0))
	case !helps:
		better = measure.Say("for a square spindle and cutters of their named diameters, spindle tilt: %s and undersize: %s", measure.Tan(0), measure.MM(0))
	}
	return append(ps, Problem{KindScallop, key, message, measure.Say("%s; or, %s", other, better), would})
}

// EnoughScallop returns a scallop, in whole micrometres, that leaves the passes of
// c what they need.
func EnoughScallop(w *Work, c path.Cutter) (float64, bool) {
	const most = 2.0 // the largest that a job may ask for
	v := *w
	for s := w.Scallop; s <= most; s += max(0.001, s/64) {
		v.Scallop = math.Ceil(s*1000) / 1000
		if !bridged(&v, c) {
			return v.Scallop, true
		}
	}
	return 0, false
}

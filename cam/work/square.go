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

// wornRidge returns the scallop that cutters of their named diameter may leave so
// that cutters which lack δ of it leave no more than ridge.
//
// Of a ball r the scallop h between passes 2 w apart has w² = 2 r h − h²; with the
// smaller radius in it, that is the width at which the larger must stop. Touched
// off at its tip it also hangs δ/2 (1 − cos θ) over a slope θ.
//
// A level end f that moves along the slope θ leaves θ (f − √(f² − w²)) at w aside,
// above where its edge touches. Both edge and width lose δ/2, so that with g =
// f − δ/2 it leaves θ (f − √(g² − w²)): again the width at which that is the scallop
// has to be reached with the whole cutter, or that at which two such passes still
// overlap. It is worst at the rim, or on a crown where a cutter over the rim
// touches. A corner that the scallops reach (θ f is less than they are) is steeper
// there: by √(2 h/c) more.
func wornRidge(w *Work, c path.Cutter, ridge float64) float64 {
	d := w.Undersize
	if !(d > 0) || !(ridge > 0) {
		return ridge
	}
	f, k, slope := c.Body().Flat, c.Body().Corner, w.Face.RimSlope()
	if f <= 0 {
		r := max(0, k-d/2)
		h := min(ridge, r)
		wide := float64((2*r - h) * h)
		return wide/(k+math.Sqrt(max(0, float64(k*k)-wide))) - float64(d/4*exact.Square(slope))
	}
	if k > 0 && float64(slope*f) < ridge {
		return ridge - float64(d/2*(slope+math.Sqrt(2*ridge/k)))
	}
	if slope == 0 { // nothing stands between level passes that meet
		return ridge
	}
	worst := wornFlat(f, d, slope, ridge)
	if in := w.Face.Rim - 2*f; w.Face.Falls() && in > 0 {
		worst = min(worst, wornFlat(f, d, in/exact.HalfChord(w.Face.Radius, in), ridge))
	}
	return worst
}

// wornFlat is wornRidge for a level end of radius f on one slope.
func wornFlat(f, d, slope, ridge float64) float64 {
	left := max(math.Sqrt(float64(2*f*CoverEdge)), f-ridge/slope)
	return float64(slope * (f - math.Sqrt(float64(left*left)+float64(d*(f-d/4)))))
}

// leastRidge is what must be left for the scallops, mm: as much as a proof itself
// is off by. Below it the passes lie so close that they never end.
const leastRidge = boundSlack

// bridged reports whether nothing of use is left for the scallops: less than
// leastRidge, or less than a level end leaves over the apex of a hollow.
func bridged(w *Work, c path.Cutter) bool {
	b := NewBudget(w, c, 1)
	return b.Ridge < leastRidge || BridgesApex(w, c, NewTool(w.Face, c), b) != nil
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
	if s, ok := EnoughScallop(w, c); ok {
		other = measure.Say("a scallop of at least %s with this cutter, %s", measure.MM(s), other)
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
	ps.Add(KindScallop, key, message, measure.Say("%s; or, %s", other, better))
	return ps
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

package work

import (
	"math"

	"dishwright/dish/exact"
)

// RidgePlaces is at how many places along two neighbouring passes the scallop
// between them is worked out. The scallop changes slowly along a pass and is
// highest at one of its ends or, on a hollow near the apex, close to u = 0;
// what is planned here is certified afterwards.
const RidgePlaces = 24

// ridgeTries places a scallop within 2e-7 of the gap between two contacts even
// where only halving helps (the side of a flat, where an underside ends in a
// jump); on the steepest side that is under 1e-6 mm of height. RidgeEqual is a
// difference of two heights that no program can write.
const (
	ridgeTries = 22
	RidgeEqual = 1e-8
)

// Ridge returns the height of the scallop that passes at v1 < v2 leave between
// them, where the first has its cutter at u ≥ 0, and the scallop's place.
//
// Each pass touches the face along its contact curve and leaves more with
// distance from it, so the scallop is where the two undersides are equal, between
// the contacts: found by a secant that never leaves its bracket. Where one
// underside ends (a flat's side) the higher of the two sides of the jump counts.
func (t Tool) Ridge(u, v1, v2 float64) (h, x, y float64) {
	x1, y1 := t.Contact(u, v1)
	x2, y2 := t.Contact(u, v2)
	at := func(k float64) (z, gap float64) {
		x, y = x1+float64(k*(x2-x1)), y1+float64(k*(y2-y1))
		z1, _ := t.Under(v1, math.Abs(x), y)
		z2, _ := t.Under(v2, math.Abs(x), y)
		return min(z1, z2), z1 - z2
	}
	b := exact.Bracket{Lo: 0, Hi: 1}
	_, b.AtLo = at(b.Lo)
	_, b.AtHi = at(b.Hi)
	for range ridgeTries {
		k := b.Next(1.0 / 256)
		z, gap := at(k)
		if math.Abs(gap) < RidgeEqual {
			return t.Face.Over(exact.Dist(x, y), z), x, y
		}
		b.Narrow(k, gap)
	}
	z, _ := at(b.Hi)
	h = t.Face.Over(exact.Dist(x, y), z)
	z, _ = at(b.Lo)
	return max(h, t.Face.Over(exact.Dist(x, y), z)), x, y
}

// Highest returns the highest scallop between whole passes at v1 and v2. Outside
// the rim of a crown the passes are level and touch no sphere: there the scallop
// counts as far as it runs inside the rim, and then where it meets it.
func (t Tool) Highest(v1, v2 float64) float64 {
	most, top := 0.0, 0.0 // and its place along the pass
	crown := t.Face.Falls()
	if crown {
		most = t.rimRidge(v1, v2)
	}
	at := func(u float64) (inside bool) {
		h, x, y := t.Ridge(u, v1, v2)
		if inside = !crown || exact.Dist(x, y) <= t.Face.Rim; inside && h > most {
			most, top = h, u
		}
		return inside
	}
	end := exact.HalfChord(t.RimReach(), v1)
	// Squared, so that places stand closer near u = 0, where a flat turns its side.
	place := func(i float64) float64 { return float64(end * exact.Square(max(0, i)/RidgePlaces)) }
	for i := range RidgePlaces + 1 {
		if !at(place(float64(i))) {
			break
		}
	}
	// Between two places it may be a little higher still.
	for step := 0.5; end > 0 && step > 0.1; step /= 2 {
		i := float64(RidgePlaces * math.Sqrt(top/end))
		at(place(i - step))
		at(min(end, place(i+step)))
	}
	return most
}

// rimRidge returns the height of the scallop between passes at v1 < v2 at the very
// rim, between the places where the two touch it.
func (t Tool) rimRidge(v1, v2 float64) float64 {
	rim := t.Face.Rim
	over := func(y float64) (h, gap float64) {
		x := exact.HalfChord(rim, y)
		z1, _ := t.Under(v1, x, y)
		z2, _ := t.Under(v2, x, y)
		return t.Face.Over(rim, min(z1, z2)), z1 - z2
	}
	k := rim / (rim - float64(t.Face.Curve()*(t.Worn.Flat+float64(t.Worn.Corner*rim)/t.Face.Radius))) // of a contact to its axis
	lo, hi := exact.Bisect(float64(v1*k), min(rim, float64(v2*k)), ridgeTries, func(y float64) bool {
		_, gap := over(y)
		return gap <= 0
	})
	h1, _ := over(lo)
	h2, _ := over(hi)
	return max(h1, h2)
}

// Spacing returns the largest step from a pass at v ≥ 0 to the next one out
// that leaves no scallop above h, from a guess.
func (t Tool) Spacing(v, h, guess float64) float64 {
	most := float64(2 * t.Worn.Radius() * 0.98) // beyond it nothing is covered
	return WidestStep(most, h, guess, func(s float64) float64 { return t.Highest(v, v+s) })
}

// WidestStep returns the widest step up to most for which a scallop, which grows with it, is
// no higher than h: by a secant through the last two that were tried, kept inside a bracket,
// from a guess.
func WidestStep(most, h, guess float64, scallop func(step float64) float64) float64 {
	if scallop(most) <= h {
		return most
	}
	lo, hi := 0.0, most
	s, before, ridge := min(most/2, guess), 0.0, 0.0
	for range 40 {
		r := scallop(s)
		if r <= h {
			lo = s
		} else {
			hi = s
		}
		if hi-lo < float64(spacingShare*lo) || (r <= h && r >= h*(1-4*spacingShare)) {
			break
		}
		next := s + float64((float64(h*(1-2*spacingShare))-r)*(s-before))/(r-ridge)
		before, ridge = s, r
		if !(next > lo) || !(next < hi) {
			next = (lo + hi) / 2
		}
		s = next
	}
	return lo
}

// spacingShare is how close to the best step the search comes: a thousandth of
// the path is less than a minute of an hour's cutting.
const spacingShare = 0.0005

// CoverEdge is how far, in mm, a pass must reach beyond what it is counted on to
// cover: more than rounding moves it, less than it would cost.
const CoverEdge = 0.02

// coversRim reports whether, beyond a pass at v ≥ 0, the rest of the face up to
// its rim keeps within h without a further pass.
func (t Tool) coversRim(v, h float64) bool {
	R := t.Face.Rim
	// Where the pass's contact meets the rim; all rim beyond it, up to u = 0, is its own.
	x, _ := t.Contact(exact.HalfChord(t.RimReach(), v), v)
	x = min(math.Abs(x), R)
	for i := range RidgePlaces + 1 {
		px := float64(x * (float64(i) / RidgePlaces))
		py := exact.HalfChord(R, px)
		z, _ := t.Under(v, px, py)
		if edge, _ := t.Under(v, px, py+CoverEdge); math.IsInf(edge, 1) || !(t.Face.Over(R, z) <= h) {
			return false
		}
	}
	return true
}

// Rows returns the places v ≥ 0 of parallel passes, from the middle out, that
// leave no scallop above h anywhere on the face, its rim included. At most limit
// of them; ok is false where that is not enough.
func (t Tool) Rows(h, widest float64, limit int) (vs []float64, ok bool) {
	if t.RimReach() <= 0 {
		return nil, false
	}
	// The pass nearest to the middle that still serves the rim.
	last, _ := exact.Bisect(t.RimReach(), 0, 50, func(v float64) bool { return t.coversRim(v, h) })
	vs = []float64{0}
	s := math.Sqrt(float64(8 * h * (t.Worn.Corner + t.Worn.Flat/8)))
	for v := 0.0; v < last; {
		s = min(widest, t.Spacing(v, h, s)) // neighbouring steps differ little
		if !(s > 0) || len(vs) >= limit {
			return vs, false
		}
		v = min(v+s, last)
		vs = append(vs, v)
	}
	return vs, true
}

// endEdge is how far, in mm, a pass with a square edge runs beyond what it and its
// neighbour serve together at an end: the place where their edges cross lies within it, not
// on it, by more than the smallest cell in which a certificate looks.
const endEdge = 0.001

// RunsOver returns how far beyond its last place a pass ends: the rounding of coordinates,
// and endEdge where it counts.
func (t Tool) RunsOver(step float64) float64 {
	if t.Corner == 0 {
		return max(step, endEdge)
	}
	return step
}

// RunOn returns how far from its middle a pass at v must run so that the face
// up to its rim is served, given its neighbours at v − in and v + out (0 for none).
func (t Tool) RunOn(v, in, out float64) float64 {
	end := exact.HalfChord(t.RimReach(), v)
	serve := func(v1, v2 float64) {
		// The place along the passes where their scallop crosses the rim.
		_, crossing := exact.Bisect(0, t.Face.Rim, 40, func(u float64) bool {
			_, x, y := t.Ridge(u, v1, v2)
			return exact.Dist(x, y) < t.Face.Rim
		})
		_, x, y := t.Ridge(crossing, v1, v2)
		if _, u := t.Under(v, math.Abs(x), y); !math.IsInf(u, 0) {
			end = max(end, u)
		}
	}
	if in > 0 {
		serve(v-in, v)
	}
	if out > 0 {
		serve(v, v+out)
	}
	return end
}

package cam

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"
)

// tool is a cutter against a face: the closed forms that the patterns need.
type tool struct {
	dish.Body // of the cutter
	face      dish.Face
	low       float64 // the tip never goes below it: of a crown the depth of its moat
	foot      float64 // of a crown: distance from the apex at which the tip comes down to low
}

func newTool(f dish.Face, c path.Cutter) tool {
	t := tool{Body: c.Body(), face: f, low: math.Inf(-1), foot: math.Inf(1)}
	if f.Falls() {
		t = t.sunk(t.moatDepth())
	}
	return t
}

// moatDepth returns how deep a crown's moat is: so deep that a rounded corner
// comes to touch the very rim, below which it then hangs by c(1 − cos θ), θ
// being the slope there. At the depth of the rim alone it would leave a fillet.
func (t tool) moatDepth() float64 {
	s := t.face.Sagitta()
	return s + float64(t.Corner*s)/t.face.Radius
}

// sunk returns the tool with a crown's moat of that depth.
func (t tool) sunk(depth float64) tool {
	centre := t.face.Radius + t.Corner
	t.low, t.foot = -depth, t.Flat+exact.HalfChord(centre, centre-depth)
	return t
}

// tip returns the height of the tip at (u, v): the lowest that does not gouge,
// but not below the level of a crown's moat.
func (t tool) tip(u, v float64) float64 {
	d := t.face.Distance(u, v)
	if d >= t.foot {
		return t.low
	}
	return max(t.low, t.face.Tip(t.Body, d))
}

// rise returns the slope of tip along u at (u, v), for u ≥ 0, as if a crown had
// no moat.
func (t tool) rise(u, v float64) float64 {
	d, curve := t.face.Distance(u, v), t.face.Curve()
	e := d + float64(curve*t.Flat)
	if e <= 0 {
		return 0
	}
	share := 1.0
	if d > 0 {
		share = u / d
	}
	return float64(curve*share*e) / exact.HalfChord(t.face.Radius-float64(curve*t.Corner), e)
}

// axis returns where the axis stands when the cutter touches the face at D; not of a flat.
func (t tool) axis(D float64) float64 {
	R, curve := t.face.Radius, t.face.Curve()
	return float64(D*(R-float64(curve*t.Corner)))/R - float64(curve*t.Flat)
}

// rimReach returns the distance from the apex at which the cutter's axis stands
// when the cutter touches the face exactly at its rim.
func (t tool) rimReach() float64 {
	if t.face.Level() {
		return t.face.Rim
	}
	return t.axis(t.face.Rim)
}

// contact returns where the cutter touches the face when its axis stands at
// (u, v): over the very apex of a hollow, in the direction of +v; at the apex of
// a crown wherever the level end covers it.
func (t tool) contact(u, v float64) (x, y float64) {
	d := exact.Dist(u, v)
	if d == 0 {
		u, v, d = 0, 1, 0
	}
	f, k := t.face, 1.0
	if curve := f.Curve(); !f.Level() {
		k = float64(max(0, d+float64(curve*t.Flat)) / exact.Dist(u, v) * (f.Radius / (f.Radius - float64(curve*t.Corner))))
	}
	return float64(u * k), float64(v * k)
}

// under returns the height that a pass along u at v leaves at (x, y), x ≥ 0,
// and the place u of the pass that does it: the lowest, over the pass, of the
// cutter's underside. +Inf where the pass does not cover (x, y).
func (t tool) under(v, x, y float64) (height, u float64) {
	w := math.Abs(y - v)
	if w > t.Radius() {
		return math.Inf(1), x
	}
	switch {
	case t.face.Level():
		return t.ProfileWithin(w), x
	case t.Corner == 0:
		// The lowest place that still covers (x, y): in on a hollow, out on a crown.
		u = max(0, x-float64(t.face.Curve()*exact.HalfChord(t.Flat, w)))
		return t.tip(u, v), u
	case t.Flat == 0:
		return t.underBall(v, x, w)
	}
	return t.underBull(v, x, w)
}

// underBall is under for a ball at w beside its pass. Its centre runs on an
// upright circle of radius ρ = √((R ∓ r)² − v²) about the sphere's centre, so
// that it sweeps a torus: at w aside the torus has the radius ρ ± √(r² − w²).
func (t tool) underBall(v, x, w float64) (height, u float64) {
	R, k, curve := t.face.Radius, exact.HalfChord(t.Corner, w), t.face.Curve()
	rho := exact.HalfChord(R-float64(curve*t.Corner), v)
	torus := rho + float64(curve*k)
	if u = float64(x*rho) / torus; exact.Dist(u, v) > t.foot {
		u = max(x, exact.HalfChord(t.foot, v))
		return t.low + t.ProfileWithin(exact.Dist(u-x, w)), u
	}
	return t.face.Centre() - float64(curve*exact.HalfChord(torus, x)), u
}

// underBull is under for a bull at w beside its pass. Towards the lower end of
// the pass the tip falls by rise and the corner climbs; the two slopes are equal
// once, between the edge of the flat and that of the cutter.
func (t tool) underBull(v, x, w float64) (height, u float64) {
	lo, hi, out := exact.HalfChord(t.Flat, w), exact.HalfChord(t.Radius(), w), -t.face.Curve()
	if t.face.Rises() {
		if lo >= x { // the lowest place of the pass serves, with its flat or right beside it
			return t.tip(0, v) + t.ProfileWithin(exact.Dist(x, w)), 0
		}
		hi = min(hi, x)
	}
	at := func(s float64) float64 {
		u := x + float64(out*s)
		if exact.Dist(u, v) >= t.foot { // in a crown's moat nothing is gained further out
			return t.steeper(s, w, 0)
		}
		return t.steeper(s, w, math.Abs(t.rise(u, v)))
	}
	b := exact.Bracket{Lo: lo, Hi: hi, AtLo: at(lo), AtHi: at(hi)}
	s := lo
	for range bullTries {
		before := s
		s = b.Next(1.0 / 64)
		b.Narrow(s, at(s))
		if math.Abs(s-before) < float64(bullPlace*t.Corner) {
			break
		}
	}
	u = x + float64(out*s)
	return t.tip(u, v) + t.ProfileWithin(exact.Dist(s, w)), u
}

// bullPlace is how closely, as a share of the corner, the place is searched: the
// height is level there, so that its own error is of the second order, under
// 1e-9 mm. bullTries are enough even where only halving helps.
const (
	bullPlace = 1.0 / (1 << 18)
	bullTries = 24
)

// steeper compares the slope of the profile along the pass, at s along and w
// aside, with a slope ≥ 0: positive where the profile is steeper. The two are
// multiplied by what makes them finite at the cutter's side, where it is upright.
func (t tool) steeper(s, w, slope float64) float64 {
	e := exact.Dist(s, w)
	h := min(max(0, e-t.Flat), t.Corner)
	return float64(h*s) - float64(float64(slope*e)*exact.HalfChord(t.Corner, h))
}

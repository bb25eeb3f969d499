package work

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/exact"
)

// Tool is a cutter against a face: the closed forms that the patterns need. Where its tip
// goes is said by the cutter of its named diameter, what it leaves by one that is worn.
type Tool struct {
	dish.Body           // of the cutter
	Worn      dish.Body // of one that lacks as much of its diameter as it may
	Face      dish.Face
	Low       float64 // the tip never goes below it: of a crown the depth of its moat
	Foot      float64 // of a crown: distance from the apex at which the tip comes down to low
}

// NewTool returns a cutter against a face, not worn; over a crown the moat is as deep as
// the cutter's corner needs.
func NewTool(f dish.Face, c path.Cutter) Tool {
	t := Tool{Body: c.Body(), Worn: c.Body(), Face: f, Low: math.Inf(-1), Foot: math.Inf(1)}
	if f.Falls() {
		t = t.Sunk(t.MoatDepth())
	}
	return t
}

// WornTool returns a cutter against the work's face, worn by its undersize.
func WornTool(w *Work, c path.Cutter) Tool {
	t := NewTool(w.Face, c)
	t.Worn = c.Undersized(w.Undersize).Body()
	return t
}

// MoatDepth returns how deep a crown's moat is: so deep that a rounded corner
// comes to touch the very rim, below which it then hangs by c(1 − cos θ), θ
// being the slope there. At the depth of the rim alone it would leave a fillet.
func (t Tool) MoatDepth() float64 {
	s := t.Face.Sagitta()
	return s + float64(t.Corner*s)/t.Face.Radius
}

// Sunk returns the tool with a crown's moat of that depth.
func (t Tool) Sunk(depth float64) Tool {
	centre := t.Face.Radius + t.Corner
	t.Low, t.Foot = -depth, t.Flat+exact.HalfChord(centre, centre-depth)
	return t
}

// Tip returns the height of the tip at (u, v): the lowest that does not gouge,
// but not below the level of a crown's moat.
func (t Tool) Tip(u, v float64) float64 {
	d := t.Face.Distance(u, v)
	if d >= t.Foot {
		return t.Low
	}
	return max(t.Low, t.Face.Tip(t.Body, d))
}

// Alone returns what a worn cutter leaves at the rim even where it runs, mm square to the
// face: its level end stands back by what it lacks of its width, its corner is lower by
// what it lacks of its radius.
func (t Tool) Alone() float64 {
	cos := 1 / math.Hypot(1, t.Face.RimSlope())
	return float64((t.Flat-t.Worn.Flat)*exact.HalfChord(1, cos)) + float64((t.Corner-t.Worn.Corner)*(1-cos))
}

// Rise returns the slope of tip along u at (u, v), for u ≥ 0, as if a crown had
// no moat.
func (t Tool) Rise(u, v float64) float64 {
	d, curve := t.Face.Distance(u, v), t.Face.Curve()
	e := d + float64(curve*t.Flat)
	if e <= 0 {
		return 0
	}
	share := 1.0
	if d > 0 {
		share = u / d
	}
	return float64(curve*share*e) / exact.HalfChord(t.Face.Radius-float64(curve*t.Corner), e)
}

// Axis returns where the axis stands when the cutter touches the face at D; not of a flat.
func Axis(t Tool, D float64) float64 {
	R, curve := t.Face.Radius, t.Face.Curve()
	return float64(D*(R-float64(curve*t.Corner)))/R - float64(curve*t.Flat)
}

// RimReach returns the distance from the apex at which the cutter's axis stands
// when the cutter touches the face exactly at its rim.
func (t Tool) RimReach() float64 {
	if t.Face.Level() {
		return t.Face.Rim
	}
	return Axis(t, t.Face.Rim)
}

// Contact returns where the cutter touches the face when its axis stands at
// (u, v), a worn one where it comes nearest to it: over the very apex of a hollow, in the
// direction of +v; at the apex of a crown wherever the level end covers it.
func (t Tool) Contact(u, v float64) (x, y float64) {
	d := exact.Dist(u, v)
	if d == 0 {
		u, v, d = 0, 1, 0
	}
	f, k := t.Face, 1.0
	if curve := f.Curve(); !f.Level() {
		sine := max(0, d+float64(curve*t.Flat)) / (f.Radius - float64(curve*t.Corner))
		k = max(0, d+float64(curve*(t.Worn.Flat+float64(t.Worn.Corner*sine)))) / exact.Dist(u, v)
	}
	return float64(u * k), float64(v * k)
}

// Under returns the height that a pass along u at v leaves at (x, y), x ≥ 0,
// and the place u of the pass that does it: the lowest, over the pass, of the
// worn cutter's underside. +Inf where the pass does not cover (x, y).
func (t Tool) Under(v, x, y float64) (height, u float64) {
	w := math.Abs(y - v)
	if w > t.Worn.Radius() {
		return math.Inf(1), x
	}
	switch {
	case t.Face.Level():
		return t.Worn.ProfileWithin(w), x
	case t.Corner == 0:
		// The lowest place that still covers (x, y): in on a hollow, out on a crown.
		u = max(0, x-float64(t.Face.Curve()*exact.HalfChord(t.Worn.Flat, w)))
		return t.Tip(u, v), u
	case t.Flat == 0:
		return t.underBall(v, x, w)
	}
	return t.underBull(v, x, w)
}

// underBall is under for a ball at w beside its pass. Its centre runs on an
// upright circle of radius ρ = √((R ∓ r)² − v²) about the sphere's centre, so
// that it sweeps a torus: at w aside the torus has the radius ρ ± √(r² − w²). That of a
// worn ball stands lower by what it lacks of its radius.
func (t Tool) underBall(v, x, w float64) (height, u float64) {
	R, k, curve := t.Face.Radius, exact.HalfChord(t.Worn.Corner, w), t.Face.Curve()
	rho := exact.HalfChord(R-float64(curve*t.Corner), v)
	torus := rho + float64(curve*k)
	if u = float64(x*rho) / torus; exact.Dist(u, v) > t.Foot {
		u = max(x, exact.HalfChord(t.Foot, v))
		return t.Low + t.Worn.ProfileWithin(exact.Dist(u-x, w)), u
	}
	return t.Face.Centre() - (t.Corner - t.Worn.Corner) - float64(curve*exact.HalfChord(torus, x)), u
}

// underBull is under for a bull at w beside its pass. Towards the lower end of
// the pass the tip falls by rise and the corner climbs; the two slopes are equal
// once, between the edge of the flat and that of the cutter.
func (t Tool) underBull(v, x, w float64) (height, u float64) {
	lo, hi, out := exact.HalfChord(t.Worn.Flat, w), exact.HalfChord(t.Worn.Radius(), w), -t.Face.Curve()
	if t.Face.Rises() {
		if lo >= x { // the lowest place of the pass serves, with its flat or right beside it
			return t.Tip(0, v) + t.Worn.ProfileWithin(exact.Dist(x, w)), 0
		}
		hi = min(hi, x)
	}
	at := func(s float64) float64 {
		u := x + float64(out*s)
		if exact.Dist(u, v) >= t.Foot { // in a crown's moat nothing is gained further out
			return t.steeper(s, w, 0)
		}
		return t.steeper(s, w, math.Abs(t.Rise(u, v)))
	}
	b := exact.Bracket{Lo: lo, Hi: hi, AtLo: at(lo), AtHi: at(hi)}
	s := lo
	for range bullTries {
		before := s
		s = b.Next(1.0 / 64)
		b.Narrow(s, at(s))
		if math.Abs(s-before) < float64(bullPlace*t.Worn.Corner) {
			break
		}
	}
	u = x + float64(out*s)
	return t.Tip(u, v) + t.Worn.ProfileWithin(exact.Dist(s, w)), u
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
func (t Tool) steeper(s, w, slope float64) float64 {
	e := exact.Dist(s, w)
	h := min(max(0, e-t.Worn.Flat), t.Worn.Corner)
	return float64(h*s) - float64(float64(slope*e)*exact.HalfChord(t.Worn.Corner, h))
}

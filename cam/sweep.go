package cam

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
)

// tool is a cutter against a face: the closed forms that the patterns need.
type tool struct {
	face dish.Face
	flat float64 // radius of the level part of the cutter's end
	ball float64 // radius of its corner
	low  float64 // the tip never goes below it: of a crown the depth of its moat
	foot float64 // of a crown: distance from the apex at which the tip comes down to low
}

func newTool(f dish.Face, c path.Cutter) tool {
	t := tool{face: f, flat: c.FlatRadius(), ball: c.CornerRadius(), low: math.Inf(-1), foot: math.Inf(1)}
	if f.Kind == dish.Crown {
		t = t.sunk(t.moatDepth())
	}
	return t
}

// moatDepth returns how deep a crown's moat is: so deep that a rounded corner
// comes to touch the very rim, below which it then hangs by c(1 − cos θ), θ
// being the slope there. At the depth of the rim alone it would leave a fillet.
func (t tool) moatDepth() float64 {
	s := t.face.Sagitta()
	return s + float64(t.ball*s)/t.face.Radius
}

// sunk returns the tool with a crown's moat of that depth.
func (t tool) sunk(depth float64) tool {
	centre := t.face.Radius + t.ball
	t.low, t.foot = -depth, t.flat+reach(centre, centre-depth)
	return t
}

func sq(x float64) float64 { return float64(x * x) }

// reach is √(a² − b²), or 0 where b is the greater.
func reach(a, b float64) float64 {
	if b >= a {
		return 0
	}
	return math.Sqrt(float64((a - b) * (a + b)))
}

// dist is √(x² + y²) with each step rounded by itself.
func dist(x, y float64) float64 { return math.Sqrt(sq(x) + sq(y)) }

func (t tool) radius() float64 { return t.flat + t.ball }

// tip returns the height of the tip at (u, v): the lowest that does not gouge,
// but not below the level of a crown's moat.
func (t tool) tip(u, v float64) float64 {
	d := t.face.Distance(u, v)
	if d >= t.foot {
		return t.low
	}
	return max(t.low, t.face.Tip(t.flat, t.ball, d))
}

// rise returns the slope of tip along u at (u, v), for u ≥ 0, as if a crown had
// no moat.
func (t tool) rise(u, v float64) float64 {
	d := t.face.Distance(u, v)
	switch t.face.Kind {
	case dish.Hollow:
		e := d + t.flat
		share := 1.0
		if d > 0 {
			share = u / d
		}
		return float64(share*e) / reach(t.face.Radius-t.ball, e)
	case dish.Crown:
		e := d - t.flat
		if e <= 0 {
			return 0
		}
		return -float64(u/d*e) / reach(t.face.Radius+t.ball, e)
	}
	return 0
}

// rimReach returns the distance from the apex at which the cutter's axis stands
// when the cutter touches the face exactly at its rim.
func (t tool) rimReach() float64 {
	f := t.face
	switch f.Kind {
	case dish.Hollow:
		return float64(f.Rim*(f.Radius-t.ball))/f.Radius - t.flat
	case dish.Crown:
		return float64(f.Rim*(f.Radius+t.ball))/f.Radius + t.flat
	}
	return f.Rim
}

// contact returns where the cutter touches the face when its axis stands at
// (u, v): over the very apex of a hollow, in the direction of +v; at the apex of
// a crown wherever the level end covers it.
func (t tool) contact(u, v float64) (x, y float64) {
	d := dist(u, v)
	if d == 0 {
		u, v, d = 0, 1, 0
	}
	f, k := t.face, 1.0
	n := dist(u, v)
	switch f.Kind {
	case dish.Hollow:
		k = float64((d + t.flat) / n * (f.Radius / (f.Radius - t.ball)))
	case dish.Crown:
		k = float64(max(0, d-t.flat) / n * (f.Radius / (f.Radius + t.ball)))
	}
	return float64(u * k), float64(v * k)
}

// under returns the height that a pass along u at v leaves at (x, y), x ≥ 0,
// and the place u of the pass that does it: the lowest, over the pass, of the
// cutter's underside. +Inf where the pass does not cover (x, y).
func (t tool) under(v, x, y float64) (height, u float64) {
	w := math.Abs(y - v)
	if w > t.radius() {
		return math.Inf(1), x
	}
	switch {
	case t.face.Kind == dish.Flat:
		return t.corner(w), x
	case t.ball == 0:
		// The lowest place that still covers (x, y): in on a hollow, out on a crown.
		u = x + reach(t.flat, w)
		if t.face.Kind == dish.Hollow {
			u = max(0, x-reach(t.flat, w))
		}
		return t.tip(u, v), u
	case t.flat == 0:
		return t.underBall(v, x, w)
	}
	return t.underBull(v, x, w)
}

// underBall is under for a ball at w beside its pass. Its centre runs on an
// upright circle of radius ρ = √((R ∓ r)² − v²) about the sphere's centre, so
// that it sweeps a torus: at w aside the torus has the radius ρ ± √(r² − w²).
func (t tool) underBall(v, x, w float64) (height, u float64) {
	R, k := t.face.Radius, reach(t.ball, w)
	if t.face.Kind == dish.Hollow {
		rho := reach(R-t.ball, v)
		return R - t.face.Sagitta() - reach(rho+k, x), float64(x*rho) / (rho + k)
	}
	rho := reach(R+t.ball, v)
	if u = float64(x*rho) / (rho - k); dist(u, v) > t.foot {
		u = max(x, reach(t.foot, v))
		return t.low + t.corner(dist(u-x, w)), u
	}
	return reach(rho-k, x) - R, u
}

// underBull is under for a bull at w beside its pass. Towards the lower end of
// the pass the tip falls by rise and the corner climbs; the two slopes are equal
// once, between the edge of the flat and that of the cutter.
func (t tool) underBull(v, x, w float64) (height, u float64) {
	lo, hi, out := reach(t.flat, w), reach(t.radius(), w), 1.0
	if t.face.Kind == dish.Hollow {
		out = -1
		if lo >= x { // the lowest place of the pass serves, with its flat or right beside it
			return t.tip(0, v) + t.corner(dist(x, w)), 0
		}
		hi = min(hi, x)
	}
	at := func(s float64) float64 {
		u := x + float64(out*s)
		if dist(u, v) >= t.foot { // in a crown's moat nothing is gained further out
			return t.steeper(s, w, 0)
		}
		return t.steeper(s, w, math.Abs(t.rise(u, v)))
	}
	s, side, gLo, gHi := lo, 0, at(lo), at(hi)
	for range bullTries {
		before := s
		s = (lo + hi) / 2
		if d := gHi - gLo; d > 0 {
			s = hi - float64(gHi*(hi-lo))/d
			s = min(max(s, lo+(hi-lo)/64), hi-(hi-lo)/64)
		}
		g := at(s)
		// The end that stays a second time counts half: so neither stays for long.
		if g < 0 {
			if lo, gLo = s, g; side < 0 {
				gHi /= 2
			}
			side = -1
		} else {
			if hi, gHi = s, g; side > 0 {
				gLo /= 2
			}
			side = 1
		}
		if math.Abs(s-before) < float64(bullPlace*t.ball) {
			break
		}
	}
	u = x + float64(out*s)
	return t.tip(u, v) + t.corner(dist(s, w)), u
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
	e := dist(s, w)
	h := min(max(0, e-t.flat), t.ball)
	return float64(h*s) - float64(float64(slope*e)*reach(t.ball, h))
}

// corner returns the cutter's profile at distance e from its axis.
func (t tool) corner(e float64) float64 {
	h := e - t.flat
	if h <= 0 || t.ball == 0 { // a square edge has no height, rounded outwards or not
		return 0
	}
	return dish.Drop(t.ball, min(h, t.ball))
}

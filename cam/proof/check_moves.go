package proof

import (
	"math"

	"dishwright/cam/path"

	"gonum.org/v1/gonum/spatial/r3"
)

// rateShare is the share by which a rate may exceed its limit: the rounding of
// float64 and of a feed written in tenths, nothing that a machine could feel.
const rateShare = 1e-6

// moves holds each move against the limits of machine, blank and hold-downs.
func (j *judge) moves() {
	lowest := j.c.Floor - j.c.Blank.Thickness
	for _, m := range j.p.Path.Moves {
		if m.Kind == path.Arc && !j.c.Machine.Arcs {
			j.find(KindArc, m.Source, m.To.X, m.To.Y, 0, "%s takes no arcs", j.c.Machine.Name)
		}
		if m.Kind == path.Traverse {
			j.traverse(m)
		} else {
			j.feed(m)
		}
		lo, hi := bounds(m)
		j.travel(m, lo, hi)
		if lo.Z < lowest-GougeLimit {
			j.find(KindFloor, m.Source, m.To.X, m.To.Y, lowest-lo.Z, "the tip goes to %.3f mm below the blank's top; %.3f mm of wood must stay", -lo.Z, j.c.Floor)
		}
		j.obstacles(m, lo.Z)
	}
}

// bounds returns the box of a move's tip; NaN where a coordinate is unknown at
// both ends.
func bounds(m path.Move) (lo, hi r3.Vec) {
	pick := func(a, b float64, f func(x, y float64) float64) float64 {
		switch {
		case math.IsNaN(a):
			return b
		case math.IsNaN(b):
			return a
		}
		return f(a, b)
	}
	lo = r3.Vec{X: pick(m.From.X, m.To.X, math.Min), Y: pick(m.From.Y, m.To.Y, math.Min), Z: pick(m.From.Z, m.To.Z, math.Min)}
	hi = r3.Vec{X: pick(m.From.X, m.To.X, math.Max), Y: pick(m.From.Y, m.To.Y, math.Max), Z: pick(m.From.Z, m.To.Z, math.Max)}
	if m.Kind != path.Arc {
		return lo, hi
	}
	// An arc reaches the ends of the axes of its plane that lie within its turn.
	for _, a := range axisTurns(m) {
		v := m.At(a)
		lo = r3.Vec{X: math.Min(lo.X, v.X), Y: math.Min(lo.Y, v.Y), Z: math.Min(lo.Z, v.Z)}
		hi = r3.Vec{X: math.Max(hi.X, v.X), Y: math.Max(hi.Y, v.Y), Z: math.Max(hi.Z, v.Z)}
	}
	return lo, hi
}

// axisTurns returns the shares of an arc at which it crosses an axis of its
// plane through its centre.
func axisTurns(m path.Move) (shares []float64) {
	angle, _, _ := m.Sweep()
	first, second, _ := m.Plane.Axes()
	get := func(v r3.Vec, k int) float64 { return [...]float64{v.X, v.Y, v.Z}[k] }
	start := math.Atan2(get(m.From, second)-get(m.Centre, second), get(m.From, first)-get(m.Centre, first))
	for q := -4.0; q <= 4; q++ {
		if t := (q*math.Pi/2 - start) / angle; t > 0 && t < 1 {
			shares = append(shares, t)
		}
	}
	return shares
}

// traverse holds a G0 against the rules of its own: never slanting, never
// sideways below clearance over the blank or a hold-down.
func (j *judge) traverse(m path.Move) {
	sideways := m.From.X != m.To.X || m.From.Y != m.To.Y
	unknown := math.IsNaN(m.From.X) && math.IsNaN(m.To.X) && math.IsNaN(m.From.Y) && math.IsNaN(m.To.Y)
	if !sideways || unknown {
		return
	}
	if m.From.Z != m.To.Z {
		j.find(KindTraverse, m.Source, m.To.X, m.To.Y, math.Abs(m.From.Z-m.To.Z), "a traverse changes Z together with X or Y")
	}
	if low := j.c.safe() - math.Min(m.From.Z, m.To.Z); !(low <= 0) && j.overBlank(m) {
		j.find(KindTraverse, m.Source, m.To.X, m.To.Y, low, "a traverse sideways at Z %.3f mm is not clear of the blank and the hold-downs", math.Min(m.From.Z, m.To.Z))
	}
}

// overBlank reports whether the cutter passes over the blank or a hold-down.
func (j *judge) overBlank(m path.Move) bool {
	r := j.p.Cutter.Radius()
	for _, h := range j.c.HoldDowns {
		if planDistance(m, h.X, h.Y) < r+h.Radius+sideRoom {
			return true
		}
	}
	const pieces = 64
	for k := range pieces + 1 {
		v := m.At(float64(k) / pieces)
		if !(j.c.Blank.Inside(v.X, v.Y) < -r) {
			return true
		}
	}
	return false
}

// feed holds each axis against its own limit, at the steepest place of an arc.
func (j *judge) feed(m path.Move) {
	if !(m.Feed > 0) {
		j.find(KindFeed, m.Source, m.To.X, m.To.Y, 0, "a feed move without a feed")
		return
	}
	share := [3]float64{}
	if m.Kind == path.Arc {
		share = arcShares(m)
	} else {
		d := r3.Sub(m.To, m.From)
		n := r3.Norm(d)
		if !(n > 0) {
			return
		}
		share = [3]float64{math.Abs(d.X) / n, math.Abs(d.Y) / n, math.Abs(d.Z) / n}
	}
	limit := j.c.Machine.Feed
	for k, most := range [...]float64{limit.X, limit.Y, limit.Z} {
		if v := m.Feed * share[k]; v > most*(1+rateShare) {
			j.find(KindFeed, m.Source, m.To.X, m.To.Y, v-most, "%c moves at %.0f mm/min; %s may feed it at %.0f", "XYZ"[k], v, j.c.Machine.Name, most)
			return
		}
	}
}

// arcShares returns the greatest share of the feed that each axis takes on an
// arc: at its ends, and all of it where its tangent runs along the axis.
func arcShares(m path.Move) (share [3]float64) {
	first, second, normal := m.Plane.Axes()
	get := func(v r3.Vec, k int) float64 { return [...]float64{v.X, v.Y, v.Z}[k] }
	rise := get(m.To, normal) - get(m.From, normal)
	n := m.Length()
	if !(n > 0) {
		return share
	}
	share[normal] = math.Abs(rise) / n
	flat := math.Sqrt(math.Max(0, 1-share[normal]*share[normal]))
	at := func(t float64) {
		v := m.At(t)
		a, b := get(v, first)-get(m.Centre, first), get(v, second)-get(m.Centre, second)
		r := math.Hypot(a, b)
		if r > 0 {
			share[first] = math.Max(share[first], flat*math.Abs(b)/r)
			share[second] = math.Max(share[second], flat*math.Abs(a)/r)
		}
	}
	at(0)
	at(1)
	for _, t := range axisTurns(m) {
		at(t)
	}
	return share
}

// travel holds a move against the machine's travel: the blank stands in the
// middle of X and Y, and on the bed.
func (j *judge) travel(m path.Move, lo, hi r3.Vec) {
	t := j.c.Machine.Travel
	over := math.Max(math.Max(hi.X, -lo.X)-t.X/2, math.Max(hi.Y, -lo.Y)-t.Y/2)
	if over > GougeLimit {
		j.find(KindTravel, m.Source, m.To.X, m.To.Y, over, "%.3f mm beyond the travel of %s, with the blank in its middle", over, j.c.Machine.Name)
	}
	if over := math.Max(hi.Z+j.c.Blank.Thickness-t.Z, -j.c.Blank.Thickness-lo.Z); over > GougeLimit {
		j.find(KindTravel, m.Source, m.To.X, m.To.Y, over, "%.3f mm beyond the travel of %s in Z", over, j.c.Machine.Name)
	}
}

// obstacles holds cutter, shank, holder and hood against the hold-downs.
func (j *judge) obstacles(m path.Move, low float64) {
	c := j.p.Cutter
	for _, h := range j.c.HoldDowns {
		away := math.NaN()
		near := func(name string, diameter, above float64) bool {
			if low+above >= h.Height+roomAbove {
				return false
			}
			if math.IsNaN(away) {
				away = planDistance(m, h.X, h.Y)
			}
			short := diameter/2 + h.Radius + sideRoom - away
			if !(short > GougeLimit) {
				return false
			}
			j.find(KindObstacle, m.Source, h.X, h.Y, short, "the %s comes within %.2f mm of the hold-down at X%.1f Y%.1f", name, math.Max(0, sideRoom-short), h.X, h.Y)
			return true
		}
		if near("cutter", c.Diameter, 0) || near("shank", c.Shank, c.FluteLength) || near("holder", j.c.Machine.Holder.Diameter, c.StickOut) {
			continue
		}
		if hood := j.c.Machine.Hood; hood != nil {
			near("hood", hood.Diameter, hood.AboveTip)
		}
	}
}

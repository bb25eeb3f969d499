package rim

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish"
	"dishwright/dish/exact"
)

// DomeKind is the kind of a plate's face.
type DomeKind uint8

// The kinds.
const (
	Sphere         DomeKind = iota
	CylinderAcross          // a cylinder curved across the body: its axis runs along the centre line
	CylinderAlong           // a cylinder curved along the body: its axis runs across
	Plane
)

// Dome is the face of one plate where it meets the rim: z over the plan.
type Dome struct {
	Kind   DomeKind
	Radius float64 // mm; not used by a plane
	Apex   r2.Vec  // where it is highest (a top) or lowest (a back), mm
	Level  float64 // its height at the apex; a plane's at x = 0
	Pitch  float64 // of a plane, or a cylinder across: rise per mm towards the head
	Back   bool    // does it curve up from its apex?

	// FlatFrom, where not 0, is the distance from the tail from which a top is kept
	// flat up to the head: the flat's plane goes through the dome there on the centre
	// line, and is level across. It leans as the dome does there, or, where FlatLeans,
	// falls by FlatFall per mm towards the head. A plane that falls no steeper than the
	// dome stands above it from there on: over Blend before that it goes over from the
	// one to the other. One that falls steeper cuts the dome: the lower of the two counts.
	FlatFrom, Blend float64
	FlatLeans       bool
	FlatFall        float64
}

// fromApex returns the vector from the apex that counts for the curve.
func (d Dome) fromApex(p r2.Vec) r2.Vec {
	v := r2.Sub(p, d.Apex)
	switch d.Kind {
	case CylinderAcross:
		v.X = 0
	case CylinderAlong:
		v.Y = 0
	case Plane:
		v = r2.Vec{}
	}
	return v
}

// curved returns the height of the curved face and its rise per mm.
func (d Dome) curved(p r2.Vec) (z float64, rise r2.Vec) {
	sign := -1.0
	if d.Back {
		sign = 1
	}
	z, rise = d.Level, r2.Vec{}
	if d.Kind != Plane {
		v := d.fromApex(p)
		u := exact.Norm2(v)
		z += float64(sign * dish.Drop(d.Radius, u))
		rise = exact.Scale2(sign/math.Sqrt(float64(d.Radius*d.Radius)-float64(u*u)), v)
	}
	if d.Kind == Plane || d.Kind == CylinderAcross {
		x := p.X
		if d.Kind == CylinderAcross {
			x -= d.Apex.X
		}
		z += float64(d.Pitch * x)
		rise.X += d.Pitch
	}
	return z, rise
}

// Height returns z at a place, mm; NaN where the sphere does not reach.
func (d Dome) Height(p r2.Vec) float64 {
	z, _ := d.Surface(p)
	return z
}

// Surface returns z at a place and its rise per mm in X and Y.
func (d Dome) Surface(p r2.Vec) (z float64, rise r2.Vec) {
	z, rise = d.curved(p)
	if d.FlatFrom == 0 {
		return z, rise
	}
	flat, lean, cuts := d.flat(p)
	switch {
	case cuts && flat < z, !cuts && p.X >= d.FlatFrom:
		return flat, lean
	case cuts, p.X <= d.FlatFrom-d.Blend:
		return z, rise
	}
	// 3t² − 2t³ goes over without a corner at either end.
	t := 1 - (d.FlatFrom-p.X)/d.Blend
	w, dw := float64(float64(t*t)*(3-float64(2*t))), float64(6*t)*(1-t)/d.Blend
	rise = exact.AddScaled2(exact.Scale2(1-w, rise), lean, w)
	rise.X += float64(dw * (flat - z))
	return z + float64(w*(flat-z)), rise
}

// Extent returns the greatest distance from the apex at which an outline needs the
// dome, mm: it must be less than the radius.
func (d Dome) Extent(o *Outline) float64 {
	farthest := 0.0
	for _, p := range o.Polygon(chordsPerPiece) {
		farthest = max(farthest, exact.Norm2(d.fromApex(p)))
	}
	return farthest
}

// Depths are the widths of the side on the centre line, mm.
type Depths struct{ Head, Tail float64 }

// BackThrough returns the back of a kind and radius (mm, beyond half the length)
// whose edge lies the depths below the top's at the head and at the tail. A sphere
// or a cylinder along then has its lowest place where it must; a plane or a
// cylinder across leans.
func BackThrough(kind DomeKind, radius float64, top Dome, length float64, d Depths) (Dome, error) {
	a := top.Height(r2.Vec{}) - d.Tail
	b := top.Height(r2.Vec{X: length}) - d.Head
	back := Dome{Kind: kind, Radius: radius, Level: a, Back: true}
	if kind == Plane || kind == CylinderAcross {
		back.Pitch = (b - a) / length
		return back, nil
	}
	// The circle of that radius through (0, a) and (length, b), its centre above.
	half := math.Hypot(length, b-a) / 2
	if !(radius > half) {
		return Dome{}, fmt.Errorf("a back of radius %.5g mm does not reach from the head to the tail", radius)
	}
	up := math.Sqrt(float64((radius - half) * (radius + half)))
	cx, cz := length/(2*half), (b-a)/(2*half)
	back.Apex = r2.Vec{X: length/2 - float64(cz*up)}
	back.Level = (a+b)/2 + float64(cx*up) - radius
	return back, nil
}

// BackAt returns the back of a kind and radius with its apex at a place, one depth
// given: at the head, or else at the tail.
func BackAt(kind DomeKind, radius float64, apex r2.Vec, top Dome, length, depth float64, atHead bool) Dome {
	end := r2.Vec{}
	if atHead {
		end.X = length
	}
	back := Dome{Kind: kind, Radius: radius, Apex: apex, Back: true}
	back.Level = top.Height(end) - depth - back.Height(end)
	return back
}

// WidthAt returns the width of the side on the centre line at a distance from the
// tail.
func WidthAt(top, back Dome, x float64) float64 {
	at := r2.Vec{X: x}
	return top.Height(at) - back.Height(at)
}

package dish

import (
	"fmt"
	"math"

	"dishwright/dish/exact"
)

// Kind says which way a face is curved.
type Kind uint8

// The kinds of face.
const (
	Hollow Kind = iota // lowest at the apex: a dish
	Crown              // highest at the apex: a caul
	Flat               // no curve
)

func (k Kind) String() string { return [...]string{"hollow", "crown", "flat"}[k] }

// Face is a round piece of a sphere (or plane) to be cut in a blank, in the
// face frame: X0 Y0 over the apex, Z up, Z0 in the blank's top.
//
// A hollow's rim lies at Z0 and its apex at −Sagitta; a crown's apex lies at Z0
// and its rim at −Sagitta; a flat lies at Z0. The zero value is invalid: use NewFace.
type Face struct {
	Kind   Kind
	Radius float64 // of the sphere that the wood is cut to, mm; +Inf for a flat
	Rim    float64 // distance of the rim from the apex, mm; the rim belongs to the face
	// Cylinder says that the face is curved along X alone, and straight along Y.
	Cylinder bool
}

// Distance returns what the heights of the face depend on at the place (x, y): its
// distance from the apex, or of a cylinder from the line over which that lies.
func (f Face) Distance(x, y float64) float64 {
	if f.Cylinder {
		return math.Abs(x)
	}
	return exact.Dist(x, y)
}

// Rises reports whether the face rises away from its apex: a hollow.
func (f Face) Rises() bool { return f.Kind == Hollow }

// Falls reports whether the face falls away from its apex: a crown. Wood beside its rim
// then stands above it, and a chord along it runs below.
func (f Face) Falls() bool { return f.Kind == Crown }

// Level reports whether the face is a plane.
func (f Face) Level() bool { return f.Kind == Flat }

// Curve returns 1 for a hollow, −1 for a crown and 0 for a flat: what is at x outside of
// the sphere of one is at −x outside of that of the other.
func (f Face) Curve() float64 { return [...]float64{Hollow: 1, Crown: -1, Flat: 0}[f.Kind] }

// Lift returns the share of its own sagitta by which a chord along the face has to be lifted:
// 1 over a crown, below which it runs, 0 over any other.
func (f Face) Lift() float64 { return max(0, -f.Curve()) }

// Centre returns z of the sphere's centre; not for a flat.
func (f Face) Centre() float64 {
	if f.Kind == Crown {
		return -f.Radius
	}
	return f.Radius - f.Sagitta()
}

// RimSlope returns the slope of the face at its rim, as a tangent: 0 of a flat, +Inf of a
// half sphere.
func (f Face) RimSlope() float64 { return f.Rim / halfChord(f.Radius, f.Rim) }

// Bend returns the greatest curvature, 1/mm, with which a section of the face bends
// downward: of a crown that of its rim along the slope, h″ of √(R² − d²). It is 0 for
// others: no chord runs below them.
func (f Face) Bend() float64 {
	s := f.Rim / f.Radius
	if f.Kind != Crown || !(s < 1) {
		return 0
	}
	q := 1 - float64(s*s)
	return 1 / float64(f.Radius*float64(q*math.Sqrt(q)))
}

// WithRim returns the face with its rim at another distance, as NewFace does.
func (f Face) WithRim(rim float64) (Face, error) {
	g, err := NewFace(f.Kind, f.Radius, rim)
	g.Cylinder = f.Cylinder
	return g, err
}

// OffSphere returns the most, in mm, that the face leaves the sphere of the radius R across
// a width w, along its middle: w²/8R of a cylinder of that radius, to the digits that the
// exact sagitta has.
func (f Face) OffSphere(R, w float64) float64 {
	if f.Cylinder {
		return Drop(R, w/2)
	}
	return 0
}

// NewFace returns a face; it is an error where the radius does not exceed the
// rim's distance: the sphere then does not reach the rim at a slope that a cutter can
// follow.
func NewFace(k Kind, radius, rim float64) (Face, error) {
	if !(rim > 0) || math.IsInf(rim, 0) {
		return Face{}, fmt.Errorf("a face needs a rim outside its apex, not %g mm from it", rim)
	}
	if k == Flat {
		return Face{Kind: Flat, Radius: math.Inf(1), Rim: rim}, nil
	}
	if !(radius > rim) || math.IsInf(radius, 0) {
		return Face{}, fmt.Errorf("a sphere of radius %g mm does not reach a rim %g mm from its apex", radius, rim)
	}
	return Face{Kind: k, Radius: radius, Rim: rim}, nil
}

// Sagitta returns the depth of a hollow, or the height of a crown, at its rim.
func (f Face) Sagitta() float64 {
	if f.Kind == Flat {
		return 0
	}
	return Drop(f.Radius, f.Rim)
}

// Height returns z of the face at distance d from the apex; beyond the rim, of
// the sphere it belongs to. NaN where the sphere does not reach.
func (f Face) Height(d float64) float64 {
	switch f.Kind {
	case Hollow:
		return Drop(f.Radius, d) - Drop(f.Radius, f.Rim)
	case Crown:
		return -Drop(f.Radius, d)
	}
	return 0
}

// Over returns how far the point at height z, at distance d from the apex, lies
// above the face, measured along the face's normal: positive where wood is
// left, negative where it is missing. It is exact for a sphere: the difference
// of two distances to its centre.
func (f Face) Over(d, z float64) float64 {
	R := f.Radius
	switch f.Kind {
	case Hollow:
		// R − √(d² + (zc − z)²) with zc = R − sagitta, in the form that keeps digits.
		v := R - f.Sagitta() - z
		return (float64((R-v)*(R+v)) - exact.Square(d)) / (R + exact.Dist(d, v))
	case Crown:
		v := z + R
		return (float64((v-R)*(v+R)) + exact.Square(d)) / (R + exact.Dist(d, v))
	}
	return z
}

// Tip returns the lowest height of a cutter's tip, its axis at distance d from
// the apex, that does not gouge the sphere of the face (extended beyond the
// rim).
//
// Hollow: the corner's centre circle, of radius Flat, runs inside the sphere
// R − c and is tightest on its outer side, at d + Flat. Crown: it runs outside
// R + c and is tightest on its inner side, at d − Flat, or at the apex where
// the flat covers it. NaN where the sphere does not reach.
func (f Face) Tip(b Body, d float64) float64 {
	switch f.Kind {
	case Hollow:
		return Drop(f.Radius-b.Corner, d+b.Flat) - Drop(f.Radius, f.Rim)
	case Crown:
		return -Drop(f.Radius+b.Corner, max(0, d-b.Flat))
	}
	return 0
}

package proof

import (
	"math"

	"dishwright/dish"
)

// localFace measures height above the face over one cell: exactly over a crown and
// a flat; over a hollow by the tangent plane of height-above-the-face at the
// point (px, py, pz) of the face, which nowhere lies below it.
type localFace struct {
	face                   dish.Face
	px, py, pz, nx, ny, nz float64
}

func newLocalFace(face dish.Face, x, y float64) localFace {
	g := localFace{face: face, nz: 1}
	if face.Kind == dish.Flat {
		return g
	}
	if face.Cylinder {
		y = 0 // all points of a line along Y are alike
	}
	d := math.Hypot(x, y)
	if d > face.Rim { // any point of the face will do
		x, y, d = x*face.Rim/d, y*face.Rim/d, face.Rim
	}
	g.px, g.py, g.pz = x, y, face.Height(d)
	g.nx, g.ny, g.nz = -x/face.Radius, -y/face.Radius, 1-dish.Drop(face.Radius, d)/face.Radius
	if face.Kind == dish.Crown {
		g.nx, g.ny = -g.nx, -g.ny
	}
	return g
}

// height is convex in the place wherever z is, and never below the height above
// the face. Over a crown z is held above the middle of the sphere, under which
// it would count as high again.
func (g *localFace) height(x, y, z float64) float64 { return g.over(g.base(x, y), z) }

// base returns what the height at a place depends on besides z.
func (g *localFace) base(x, y float64) float64 {
	switch g.face.Kind {
	case dish.Hollow:
		return float64(g.nx*(x-g.px)) + float64(g.ny*(y-g.py))
	case dish.Crown:
		return g.face.Distance(x, y)
	}
	return 0
}

// over is height at the place of a base.
func (g *localFace) over(base, z float64) float64 {
	if g.face.Kind == dish.Hollow {
		return base + float64(g.nz*(z-g.pz))
	}
	return g.overOther(base, z)
}

func (g *localFace) overOther(base, z float64) float64 {
	if g.face.Kind == dish.Flat || math.IsInf(z, 1) {
		return z
	}
	return g.face.Over(base, fastMax(z, -g.face.Radius))
}

// leastShare returns the least share of the curvature of a surface nowhere below low that its
// height above the face has, at most d from the middle of the face: how the height grows with z.
func (g *localFace) leastShare(d, low float64) float64 {
	if g.face.Kind != dish.Crown {
		return g.nz
	}
	z := max(0, low+g.face.Radius)
	return z / math.Hypot(d, z)
}

package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// spheres draws moves over and beside small faces, where spheres end: arcs in all planes
// and lines, with sizes that are equal or nearly so: of sphere and corner, of ways and the
// distance at which the cutter leaves the sphere.
func (a adversary) spheres() *deceit {
	R := round4(a.scale(4, 80))
	if a.often(50) {
		R = math.Round(R)
	}
	t := a.cutter(1, 30)
	if a.often(15) { // the sphere's own radius
		t.Shape, t.Diameter = path.Ball, 2*R
	} else if a.often(15) {
		t.Shape, t.Corner, t.Diameter = path.Bull, R, 2*R+a.scale(0.1, 10)
	}
	e := endOf(t)
	kind := dish.Crown
	if a.often(30) {
		kind = dish.Hollow
	}
	rim := R * a.within(0.3, 0.999)
	if a.often(20) {
		rim = R * (1 - a.scale(1e-9, 1e-3))
	}
	c := Case{Face: must(dish.NewFace(kind, R, rim)), Blank: dish.Blank{Shape: dish.Square, Length: 6 * R, Width: 6 * R, Thickness: 4 * R}, Machine: spindleMachine(), MaxScallop: 100, CellSize: R / 4}
	if a.often(20) {
		c.Face.Cylinder = true
	}
	// Distances at which something changes.
	edges := []float64{R, R + e.corner, R + e.wide(), R - e.corner, math.Abs(R - e.wide()), rim, rim + e.flat, math.Abs(rim - e.flat), e.flat, rim + e.wide()}
	distance := func() float64 {
		d := edges[a.IntN(len(edges))]
		if a.often(40) {
			d += (2*a.Float64() - 1) * a.scale(1e-6, 1) * R
		}
		if a.often(20) {
			d = a.within(0, 1.5) * (R + e.wide())
		}
		return d
	}
	height := func() float64 {
		if a.often(30) {
			return -a.scale(1e-3, 2) * R
		}
		return -a.within(0, 1) * R
	}
	r := newRoute("1-sphere.ngc", t, r3.Vec{X: round4(distance()), Z: round4(height())})
	for range 1 + a.IntN(3) {
		switch a.IntN(5) {
		case 0: // about the apex, or somewhere
			x, y := 0.0, 0.0
			if a.often(60) {
				x, y = round4(a.within(-1, 1)*R), round4(a.within(-1, 1)*R)
			}
			r.turn(x, y, a.within(-6.2, 6.2), height()*a.Float64()*a.Float64())
		case 1: // from one distance to another, sharply bent or hardly
			sin, cos := math.Sincos(a.within(0, 2*math.Pi))
			d := distance()
			end := r3.Vec{X: round4(d * cos), Y: round4(d * sin), Z: round4(height())}
			mid, way := r3.Scale(0.5, r3.Add(r.tip, end)), r3.Sub(end, r.tip)
			off := a.scale(0.01, 3) * float64(1-2*a.IntN(2))
			r.add(path.Move{Kind: path.Arc, From: r.tip, To: end, Centre: r3.Vec{X: mid.X - off*way.Y, Y: mid.Y + off*way.X, Z: r.tip.Z}, Clockwise: a.often(50), Feed: 600})
		case 2: // upright, over the face
			d := distance()
			m := path.Move{Kind: path.Arc, Plane: path.ZX, From: r.tip, To: r3.Vec{X: -round4(d), Y: r.tip.Y, Z: r.tip.Z}, Clockwise: a.often(50), Feed: 600}
			m.Centre = r3.Vec{X: (m.From.X + m.To.X) / 2, Y: r.tip.Y, Z: r.tip.Z + a.scale(0.1, 10)*R*float64(1-2*a.IntN(2))}
			r.add(m)
		default:
			sin, cos := math.Sincos(a.within(0, 2*math.Pi))
			d := distance()
			r.to(path.Kind(a.IntN(2)), d*cos, d*sin, height())
		}
	}
	return &deceit{limits: c, programs: []Program{r.Program}}
}

// wanted is the height of what may not be cut at a place: the face, and beside a hollow
// the blank's top; −Inf beside a crown
// and outside the blank.
func (d *deceit) wanted(x, y float64) float64 {
	f := d.limits.Face
	far := math.Hypot(x, y)
	if f.Cylinder {
		far = math.Abs(x)
	}
	switch {
	case d.limits.Blank.Inside(x, y) < 0:
		return math.Inf(-1)
	case f.Kind == dish.Hollow && far <= f.Rim:
		return math.Sqrt(f.Radius*f.Radius-f.Rim*f.Rim) - math.Sqrt(f.Radius*f.Radius-far*far)
	case f.Kind == dish.Crown && far <= f.Rim:
		return math.Sqrt(f.Radius*f.Radius-far*far) - f.Radius
	case f.Kind == dish.Crown:
		return math.Inf(-1)
	}
	return 0
}

// gougeAt returns how far a cutter with its tip at v reaches below what is wanted: at the
// places of its end along the line to the apex, and some others.
func (d *deceit) gougeAt(e end, v r3.Vec) float64 {
	ux, uy := 1.0, 0.0
	if far := math.Hypot(v.X, v.Y); far > 0 && !d.limits.Face.Cylinder {
		ux, uy = v.X/far, v.Y/far
	}
	at := func(u float64) float64 {
		return d.wanted(v.X+u*ux, v.Y+u*uy) - v.Z - e.rise(math.Abs(u))
	}
	const parts = 16
	best, first := math.Inf(-1), 0.0
	step := e.wide() / parts
	for k := -parts; k <= parts; k++ {
		if z := at(float64(k) * step); z > best {
			best, first = z, float64(k)*step
		}
	}
	for _, u := range [...]float64{e.flat, -e.flat} {
		if z := at(u); z > best {
			best, first = z, u
		}
	}
	low, high := math.Max(first-step, -e.wide()), math.Min(first+step, e.wide())
	for range 30 {
		p, q := low+(high-low)/3, high-(high-low)/3
		zp, zq := at(p), at(q)
		best = math.Max(best, math.Max(zp, zq))
		if zp > zq {
			high = q
		} else {
			low = p
		}
	}
	return best
}

// judgeGouge holds what is said of gouges against the places of the moves.
func (d *deceit) judgeGouge(adversary) (lies []lie) {
	said := d.says()
	for _, p := range d.programs {
		e := endOf(p.Cutter)
		for _, m := range p.Path.Moves {
			const parts = 64
			best, at, share := math.Inf(-1), m.To, 0.0
			look := func(t float64) {
				v := placeOf(m, t)
				if g := d.gougeAt(e, v); g > best {
					best, at, share = g, v, t
				}
			}
			for k := range parts + 1 {
				look(float64(k) / parts)
			}
			for step := 0.5 / parts; step > 1e-5; step /= 2 {
				look(math.Max(0, share-step))
				look(math.Min(1, share+step))
			}
			where := fmt.Sprintf("%s:%d", p.Name, m.Source.Line)
			if best > said.Gouge.Amount+sameHeight && best > GougeTolerance {
				lies = append(lies, lie{KindGouge, best, said.Gouge.Amount, at.X, at.Y, where})
			}
			if best > GougeTolerance+sameHeight && !accused(said, p.Name, m.Source.Line, KindGouge) {
				lies = append(lies, lie{KindGouge, best, GougeTolerance, at.X, at.Y, where + ", not found"})
			}
		}
	}
	return lies
}

// accused reports whether a line is found to do something.
func accused(r Result, program string, line int, k Kind) bool {
	for _, f := range r.Findings {
		if f.Kind == k && f.Program == program && f.Line == line {
			return true
		}
	}
	return false
}

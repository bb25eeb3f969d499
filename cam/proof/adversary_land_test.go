package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// lands draws moves beside a face: along the land of a board, outside the moat of a crown,
// over their edges and corners, at little depth and at much.
func (a adversary) lands() *deceit {
	c := Case{Blank: dish.Blank{Shape: dish.Square, Length: 140, Width: 140, Thickness: 60}, MinWood: 2, Machine: spindleMachine(), MaxScallop: 100, CellSize: 2}
	var cleared dish.Region
	R := a.scale(80, 2000)
	edge := 0.0 // where the land begins, about
	if a.often(50) {
		c.Face = must(dish.NewFace(dish.Crown, R, 30))
		edge = 30 + a.within(5, 25)
		cleared = dish.Disc{Radius: edge}
	} else {
		strip := dish.Strip{Length: a.within(60, 90), Width: a.within(15, 60)}
		c.Face = must(dish.NewFace([...]dish.Kind{dish.Hollow, dish.Hollow, dish.Crown}[a.IntN(3)], R, strip.OuterRadius()+1))
		c.Face.Cylinder = c.Face.Kind == dish.Hollow && a.often(50)
		c.Region = strip
		over := a.within(0, 8)
		edge = strip.Width/2 + over
		cleared = dish.Strip{Length: strip.Length + 2*over, Width: strip.Width + 2*over}
	}
	c.Cleared = func(path.Cutter, path.Cutter) dish.Region { return cleared }
	t := a.cutter(2, 20)
	r := newRoute("1-lands.ngc", t, r3.Vec{X: a.within(-60, 60), Y: a.within(-60, 60), Z: 5})
	for range 1 + a.IntN(4) {
		// So that the cutter's side, or the part of its end that is in the wood, comes near.
		deep := -a.scale(0.002, 4)
		off := edge + a.within(-1.2, 1.2)*t.Body().HalfWidth(-deep)
		if a.often(30) {
			off = a.within(0, 70)
		}
		sin, cos := math.Sincos(a.within(0, 2*math.Pi))
		long := a.scale(0.01, 60)
		x, y := off*cos-long*sin, off*sin+long*cos
		if c.Region != nil && a.often(70) { // along a side of the board
			x, y = a.within(-1, 1)*60, off*float64(1-2*a.IntN(2))
		}
		r.to(path.Traverse, x, y, 5)
		r.to(path.Line, x, y, math.Min(0, deep+a.scale(0.001, 1)*float64(a.IntN(2))))
		switch a.IntN(3) {
		case 0:
			r.to(path.Kind(a.IntN(2)), off*cos+long*sin, off*sin-long*cos, deep)
		case 1:
			r.turn(0, 0, a.within(-6, 6), deep-r.tip.Z)
		default:
			r.to(path.Line, r.tip.X+a.within(-1, 1)*long, r.tip.Y, deep)
		}
		r.to(path.Traverse, r.tip.X, r.tip.Y, 5)
	}
	return &deceit{limits: c, programs: []Program{r.Program}}
}

// judgeLand looks for wood that is taken where nothing is stated to be cut.
func (d *deceit) judgeLand(a adversary) (lies []lie) {
	said := d.says()
	c := d.limits
	for _, p := range d.programs {
		e := endOf(p.Cutter)
		// No deeper in a moat than a corner hangs that touches the rim: c (1 − cos θ).
		floor := math.Inf(-1)
		if c.Region == nil {
			sink := 1 - math.Sqrt(1-math.Pow(c.Face.Rim/c.Face.Radius, 2))
			floor = -(c.Face.Radius + e.corner) * sink
		}
		cleared := c.Cleared(p.Cutter, p.Cutter)
		stays := func(x, y float64) bool { // beyond what an extra may leave its volume by
			by, _ := cleared.Off(x, y)
			if c.Region != nil {
				more, _ := c.Region.Off(x, y)
				by = math.Min(by, more)
			} else {
				by = math.Min(by, math.Hypot(x, y)-c.Face.Rim)
			}
			return by > volumeTolerance+1e-3 && c.Blank.Inside(x, y) > 0
		}
		for _, m := range p.Path.Moves {
			if math.Min(m.From.Z, m.To.Z) >= 0 {
				continue
			}
			best, at := 0.0, m.To
			for range 300 {
				v := placeOf(m, a.Float64())
				if a.often(20) {
					v = placeOf(m, float64(a.IntN(2)))
				}
				if v.Z >= 0 {
					continue
				}
				if deep := floor - v.Z; deep > best && c.Blank.Inside(v.X, v.Y) > 0 {
					best, at = deep, v
				}
				u := p.Cutter.Body().HalfWidth(-v.Z)
				if a.often(30) {
					u *= a.Float64()
				}
				sin, cos := math.Sincos(a.within(0, 2*math.Pi))
				if x, y := v.X+u*cos, v.Y+u*sin; stays(x, y) && -v.Z-e.rise(u) > best {
					best, at = -v.Z-e.rise(u), r3.Vec{X: x, Y: y}
				}
			}
			if best > 2*GougeTolerance && !accused(said, p.Name, m.Source.Line, KindGouge) {
				lies = append(lies, lie{KindGouge, best, 2 * GougeTolerance, at.X, at.Y, fmt.Sprintf("%s:%d, not found", p.Name, m.Source.Line)})
			}
		}
	}
	return lies
}

package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// tilts draws feeds of a machine over a blank whose top does not lie level and whose axes
// go wrong, which slant across the height at which nothing is cut any more: close over a
// crown, or into the side of a hollow. The moves are the machine's.
func (a adversary) tilts() *deceit {
	kind := dish.Crown
	if a.often(10) {
		kind = dish.Hollow
	}
	rim := a.within(40, 200)
	face := must(dish.NewFace(kind, rim*a.scale(1.5, 20), rim))
	t := a.cutter(3, 25)
	c := Case{Face: face, Blank: dish.Blank{Shape: dish.Square, Length: 2.2 * rim, Width: 2.2 * rim, Thickness: 2 * rim}, Machine: spindleMachine(), MaxScallop: 100, CellSize: rim / 20}
	c.Warp.A, c.Warp.B, c.Warp.C = a.within(-0.02, 0.02), a.within(-0.02, 0.02), a.within(-1, 1)
	if a.often(40) {
		c.Warp.Scale = r3.Vec{X: a.within(-0.01, 0.01), Y: a.within(-0.01, 0.01), Z: a.within(-0.01, 0.01)}
		c.Warp.Lean = a.within(-0.01, 0.01)
	}
	c.Warp.Zero = a.within(-20, 20)
	c.Warp.High = 3 + 1.6*rim*(math.Abs(c.Warp.A)+math.Abs(c.Warp.B)) + math.Abs(c.Warp.C)
	r := newRoute("1-tilts.ngc", t, r3.Vec{})
	for range 1 + a.IntN(3) {
		// Over some place of the face the line touches it, or stands a little lower or higher.
		at := -a.within(0.3, 0.95) * rim
		turn := a.within(0, 2*math.Pi)
		if a.often(70) { // up to where the top stands highest, so that the tip is lowest
			turn = math.Atan2(c.Warp.B, c.Warp.A) + 0.5*a.NormFloat64()
		}
		sin, cos := math.Sincos(turn)
		low := at - a.within(0.05, 0.8)*rim
		slope := -at / math.Sqrt(face.Radius*face.Radius-at*at)
		if a.often(20) {
			slope *= a.within(0.8, 1.2)
		}
		by := a.scale(0.002, 0.5)
		if a.often(70) {
			by = -by
		}
		z0 := face.Height(-at) + by + slope*(low-at)
		high := low + (c.Warp.High+a.within(0, 5)-z0)/slope
		r.tip = c.sentTo(r3.Vec{X: low * cos, Y: low * sin, Z: z0})
		end := c.sentTo(r3.Vec{X: high * cos, Y: high * sin, Z: z0 + slope*(high-low)})
		if a.often(50) {
			end.Z = c.Warp.High // just there
		}
		r.tip, end = rounded(r.tip), rounded(end)
		if a.often(50) {
			r.tip, end = end, r.tip
		}
		r.to(path.Line, end.X, end.Y, end.Z)
	}
	return &deceit{limits: c, programs: []Program{r.Program}}
}

func rounded(v r3.Vec) r3.Vec { return r3.Vec{X: round4(v.X), Y: round4(v.Y), Z: round4(v.Z)} }

// goesTo returns where the tip of a machine goes, over the blank's top, when it is sent to
// p: axes too long by their shares, a Y axis that leans, and a plane that is subtracted.
// At no height does a machine go any other way.
func (c Case) goesTo(p r3.Vec) r3.Vec {
	w := c.Warp
	y := p.Y + w.Scale.Y*p.Y
	return r3.Vec{X: p.X + w.Scale.X*p.X + w.Lean*y, Y: y, Z: w.Zero + (p.Z - w.Zero) + w.Scale.Z*(p.Z-w.Zero) - w.A*p.X - w.B*p.Y - w.C}
}

// sentTo returns where to send it for the tip to go to p.
func (c Case) sentTo(p r3.Vec) r3.Vec {
	q := p
	for range 30 { // the shares are small: each round leaves a fiftieth
		q = r3.Add(q, r3.Sub(p, c.goesTo(q)))
	}
	return q
}

// judgeTilted holds what is said of gouges against where the machine really goes. A
// straight move stays one.
func (d *deceit) judgeTilted(adversary) (lies []lie) {
	told := *d
	told.programs = nil
	for _, p := range d.programs {
		q := p
		q.Path.Moves = nil
		for _, m := range p.Path.Moves {
			actual, _ := d.limits.Warp.ActualMove(m)
			q.Path.Moves = append(q.Path.Moves, actual)
		}
		told.programs = append(told.programs, q)
	}
	said := told.says()
	for _, p := range d.programs {
		e := endOf(p.Cutter)
		for _, m := range p.Path.Moves {
			best, at := math.Inf(-1), m.To
			for k := range 201 {
				v := d.limits.goesTo(placeOf(m, float64(k)/200))
				if g := d.gougeAt(e, v); g > best {
					best, at = g, v
				}
			}
			if best > GougeTolerance+sameHeight && !accused(said, p.Name, m.Source.Line, KindGouge) {
				lies = append(lies, lie{KindGouge, best, GougeTolerance, at.X, at.Y, fmt.Sprintf("%s:%d, not found", p.Name, m.Source.Line)})
			}
		}
	}
	return lies
}

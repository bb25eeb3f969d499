package proof

import (
	"math"

	"dishwright/cam/path"

	"gonum.org/v1/gonum/spatial/r3"
)

// slots draws a slot of the cutter's whole width, too deep, in short moves: straight on,
// to and fro, in small arcs, swaying, sinking, with small lifts between; from the side of
// the blank, or through what was cut before.
func (a adversary) slots() *deceit {
	d := &deceit{limits: a.block()}
	if a.often(40) {
		d.programs = append(d.programs, a.earlier(d.limits).Program)
	}
	t := a.cutter(2, 10)
	deep := -t.DepthOfCut * a.scale(0.8, 5)
	step := a.scale(0.02, 0.6)
	side := d.limits.Blank.Length / 2
	turn := a.within(0, 2*math.Pi)
	if a.often(30) {
		turn = math.Pi / 2 * float64(a.IntN(4))
	}
	sin, cos := math.Sincos(turn)
	// From outside the blank, or from within, where the cutter comes down first.
	start := -a.within(0, 0.3) * side
	outside := a.often(70)
	if outside {
		start = -side*math.Sqrt2 - t.Diameter
	}
	off := a.within(-0.3, 0.3) * side
	at := func(s, v float64) (x, y float64) { return s*cos - (v+off)*sin, s*sin + (v+off)*cos }
	x, y := at(start, 0)
	r := newRoute("2-slot.ngc", t, r3.Vec{X: round4(x), Y: round4(y), Z: 10})
	r.to(path.Line, x, y, deep)
	s := start
	if outside { // up to the blank in one move
		s = -side*(math.Abs(sin)+math.Abs(cos)) - t.Diameter/2
		x, y = at(s, 0)
		r.to(path.Line, x, y, deep)
	}
	most := min(150, int(1.6*t.Diameter/step)+8)
	way := a.IntN(6)
	back, sway, lift, sink := a.within(0.3, 0.95)*step, a.scale(0.01, 0.5), a.scale(1e-4, 0.02), -a.scale(1e-4, 0.02)
	for k := range most {
		s += step
		x, y = at(s, 0)
		switch way {
		default:
			r.to(path.Line, x, y, r.tip.Z)
		case 1: // to and fro
			r.to(path.Line, x, y, r.tip.Z)
			if s -= back; k%2 == 1 {
				s += back * a.within(0, 1)
			}
			x, y = at(s, 0)
			r.to(path.Line, x, y, r.tip.Z)
		case 2: // small arcs
			mx, my := (x+r.tip.X)/2, (y+r.tip.Y)/2
			half := math.Pi * float64(1-2*(k%2))
			r.turn(round4(mx), round4(my), half, 0)
		case 3: // swaying
			x, y = at(s, sway*float64(1-2*(k%2)))
			r.to(path.Line, x, y, r.tip.Z)
		case 4: // lifts between
			r.to(path.Line, x, y, r.tip.Z)
			kind := path.Kind(a.IntN(2))
			r.by(kind, 0, 0, lift)
			r.by(path.Line, 0, 0, -lift)
		case 5: // sinking
			r.to(path.Line, x, y, r.tip.Z+sink)
		}
	}
	d.programs = append(d.programs, r.Program)
	return d
}

// plunges draws ways straight down, or nearly, into wood: in traverses, one or many, in
// pecks with small lifts between, with a middle that cannot cut, after others.
func (a adversary) plunges() *deceit {
	d := &deceit{limits: a.block()}
	for a.often(50) && len(d.programs) < 3 {
		d.programs = append(d.programs, a.earlier(d.limits).Program)
	}
	t := a.cutter(2, 12)
	if a.often(60) { // the least rounding there is
		t.Shape, t.Corner = path.Bull, round4(a.scale(0.05, 0.49*t.Diameter))
	}
	side := d.limits.Blank.Length / 2
	r := newRoute("2-plunge.ngc", t, r3.Vec{X: round4(a.within(-0.7, 0.7) * side), Y: round4(a.within(-0.7, 0.7) * side), Z: 10})
	if a.often(40) { // no wood is met for some way
		r.to(path.Traverse, r.tip.X, r.tip.Y, 0)
	}
	deep := -a.scale(0.1, 6)
	down, lift := a.scale(0.01, 1), a.scale(1e-4, 0.05)
	aside := 0.0
	if a.often(40) {
		aside = a.scale(1e-4, 0.3) * down
	}
	kind := path.Kind(a.IntN(2)) // by traverses, or feeds
	switch a.IntN(5) {
	case 0: // at once
		r.to(kind, r.tip.X, r.tip.Y, deep)
	case 1: // in steps
		r.to(kind, r.tip.X, r.tip.Y, math.Min(0, r.tip.Z))
		for n := 0; r.tip.Z > deep && n < 100; n++ {
			if aside > 0 {
				r.by(path.Line, aside, 0, 0)
			}
			r.by(kind, 0, 0, -down)
		}
	case 2: // in pecks, lifting a little
		r.to(kind, r.tip.X, r.tip.Y, math.Min(0, r.tip.Z))
		for n := 0; r.tip.Z > deep && n < 100; n++ {
			r.by(kind, 0, 0, -down)
			r.by(path.Kind(a.IntN(2)), 0, 0, math.Min(lift, down/2))
		}
	case 3: // now this way, now that
		r.to(kind, r.tip.X, r.tip.Y, math.Min(0, r.tip.Z))
		for n := 0; r.tip.Z > deep && n < 100; n++ {
			r.by(path.Kind(a.IntN(2)), 0, 0, -down*a.Float64())
			if a.often(30) {
				r.by(path.Line, aside*a.within(-1, 1), aside*a.within(-1, 1), 0)
			}
		}
	case 4: // out and down again a little farther on, each time
		sin, cos := math.Sincos(a.within(0, 2*math.Pi))
		step := a.scale(0.01, 0.5)
		r.to(path.Line, r.tip.X, r.tip.Y, deep)
		for n := 0; n < 3+int(t.Diameter/step) && n < 60; n++ {
			r.by(path.Traverse, 0, 0, a.within(0.01, 2)-r.tip.Z)
			r.by(path.Traverse, step*cos, step*sin, 0)
			r.by(path.Traverse, 0, 0, deep-r.tip.Z)
		}
	}
	r.to(path.Line, r.tip.X, r.tip.Y, 10)
	d.programs = append(d.programs, r.Program)
	return d
}

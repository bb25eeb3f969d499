package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/extra"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// edges draws holes, cut-outs and grooves that are left unfinished in narrow places: nubs
// at an edge, rings and pillars on a floor, gaps in a groove.
func (a adversary) edges() *deceit {
	d := &deceit{limits: Case{Face: must(dish.NewFace(dish.Flat, 0, 100)), TemplatesOnly: true, MaxScallop: 0.1, CellSize: 2, MinWood: 0,
		Blank: dish.Blank{Shape: dish.Square, Length: 200, Width: 200, Thickness: 10}, Machine: spindleMachine()}}
	t := path.Cutter{Name: "drawn", Shape: path.Flat, Diameter: round4(a.scale(1, 8)), Flutes: 2, FluteLength: 20, Shank: 1, StickOut: 60, FastestSpeed: 18000, DepthOfCut: 20, Ramp: 2}
	r := newRoute("1-edges.ngc", t, r3.Vec{Z: 10})
	draw := [...]func(adversary, *deceit, *route){adversary.unevenHole, adversary.brokenEdge, adversary.brokenGroove}
	draw[a.IntN(len(draw))](a, d, r)
	d.programs = []Program{r.Program}
	return d
}

// unevenHole bores with places round its wall, or chords, some left out, and laps inside
// it that leave something between.
func (a adversary) unevenHole(d *deceit, r *route) {
	e := endOf(r.Cutter)
	h := extra.Hole{Name: "a hole", X: round4(a.within(-50, 50)), Y: round4(a.within(-50, 50)), Bottom: -8}
	h.Radius = e.wide() * a.scale(1.02, 6)
	d.limits.Extras.Holes = []extra.Hole{h}
	n := 3 + int(a.scale(1, 120))
	turn, missing := a.within(0, 6), a.IntN(3*n)
	wide := h.Radius - e.wide()
	for lap := wide; lap > 0; lap -= e.wide() * a.within(1.4, 2.05) {
		if a.often(30) { // an arc, perhaps not all the way round
			sin, cos := math.Sincos(turn)
			r.by(path.Traverse, 0, 0, 2-r.tip.Z)
			r.to(path.Traverse, h.X+lap*cos, h.Y+lap*sin, 2)
			r.to(path.Line, r.tip.X, r.tip.Y, h.Bottom)
			r.turn(h.X, h.Y, 2*math.Pi-a.scale(1e-3, 3)*float64(a.IntN(2)), 0)
			continue
		}
		first := true
		for k := 0; k <= n; k++ {
			sin, cos := math.Sincos(turn + 2*math.Pi*float64(k)/float64(n))
			x, y := h.X+lap*cos, h.Y+lap*sin
			if first || k == missing || k == missing+1 {
				r.by(path.Traverse, 0, 0, 2-r.tip.Z)
				r.to(path.Traverse, x, y, 2)
				first = k == missing
				if !first {
					r.to(path.Line, x, y, h.Bottom)
				}
				continue
			}
			r.to(path.Line, x, y, h.Bottom)
		}
	}
	r.by(path.Traverse, 0, 0, 2-r.tip.Z)
	if a.often(70) { // the middle
		r.to(path.Traverse, h.X, h.Y, 2)
		r.to(path.Line, h.X, h.Y, h.Bottom)
	}
}

// brokenEdge cuts round a rectangle with short places left out.
func (a adversary) brokenEdge(d *deceit, r *route) {
	e := endOf(r.Cutter)
	w, h := a.within(10, 40), a.within(10, 40)
	line := []r2.Vec{{X: -w, Y: -h}, {X: w, Y: -h}, {X: w, Y: h}, {X: -w, Y: h}}
	band, err := dish.NewBand(line, 2*e.wide()+0.02)
	if err != nil {
		panic(err)
	}
	d.limits.Extras.CutOuts = []extra.CutOut{{Name: "a cut-out", Slot: band, Bottom: -10, CutterRadius: e.wide()}}
	off := e.wide() + a.within(0, 0.01)
	d.limits.TemplatesOnly = a.often(70)
	for i, p := range line {
		q := line[(i+1)%4]
		way := r2.Sub(q, p)
		long := r2.Norm(way)
		ux, uy := way.X/long, way.Y/long
		at := func(s float64) (x, y float64) { return p.X + s*ux + off*uy, p.Y + s*uy - off*ux }
		x, y := at(-off)
		r.to(path.Traverse, x, y, 2)
		r.to(path.Line, x, y, -10)
		for range a.IntN(3) { // a place left out, or passed a little too far out
			s, gap := a.within(1, long-4), e.wide()*a.scale(0.05, 1)
			x, y = at(s)
			if math.Hypot(x-r.tip.X, y-r.tip.Y) > long || (x-r.tip.X)*ux+(y-r.tip.Y)*uy < 0 {
				continue
			}
			r.to(path.Line, x, y, -10)
			x, y = at(s + gap)
			if a.often(50) {
				r.by(path.Traverse, 0, 0, 12)
				r.to(path.Traverse, x, y, 2)
				r.to(path.Line, x, y, -10)
				continue
			}
			out := a.scale(0.01, 0.3) * float64(1-2*a.IntN(2)) // or too far in
			r.to(path.Line, r.tip.X+out*uy, r.tip.Y-out*ux, -10)
			r.to(path.Line, x+out*uy, y-out*ux, -10)
			r.to(path.Line, x, y, -10)
		}
		x, y = at(long + off)
		r.to(path.Line, x, y, -10)
		r.by(path.Traverse, 0, 0, 12)
	}
}

// brokenGroove scribes a line with gaps.
func (a adversary) brokenGroove(d *deceit, r *route) {
	sin, cos := math.Sincos(a.within(0, 2*math.Pi))
	long := a.within(5, 60)
	at := func(s float64) (x, y float64) { return round4(s * cos), round4(s * sin) }
	x, y := at(long)
	d.limits.TemplatesOnly = false
	d.limits.Extras.Grooves = []extra.Groove{{Name: "a groove", Path: []r3.Vec{{Z: -0.3}, {X: x, Y: y, Z: -0.3}}, Depth: 0.3, Width: r.Cutter.Diameter}}
	r.to(path.Line, 0, 0, -0.3)
	for s := 0.0; s < long; {
		s += a.scale(0.05, 20)
		x, y = at(math.Min(s, long))
		r.to(path.Line, x, y, -0.3)
		if gap := a.scale(0.02, 3); a.often(40) && s+gap < long {
			s += gap
			x, y = at(s)
			r.by(path.Traverse, 0, 0, 2)
			r.to(path.Traverse, x, y, r.tip.Z)
			r.to(path.Line, x, y, -0.3)
		}
	}
	r.by(path.Traverse, 0, 0, 2)
}

// short is how far a place lies outside what is cut down to a height.
func (d *deceit) short(x, y, bottom float64) float64 {
	least := math.Inf(1)
	for _, p := range d.programs {
		e := endOf(p.Cutter)
		for _, m := range p.Path.Moves {
			if m.Kind == path.Traverse || math.Max(m.From.Z, m.To.Z) > bottom+1e-6 {
				continue
			}
			for _, s := range strokesOf(m) {
				_, off := s.nearest(x, y)
				least = math.Min(least, off-e.flat)
			}
		}
	}
	return least
}

// judgeEdges holds what is said of extras against places all along their edges, closest
// about the worst.
func (d *deceit) judgeEdges(a adversary) (lies []lie) {
	said, err := Check(d.limits, d.programs)
	if err != nil {
		return []lie{{of: KindExtra, true: math.Inf(1), where: fmt.Sprint(err)}}
	}
	at, bottom, bound := func(float64, float64) r2.Vec { return r2.Vec{} }, 0.0, edgeTolerance
	x := d.limits.Extras
	switch {
	case len(x.Holes) > 0:
		h := x.Holes[0]
		bottom = h.Bottom
		at = func(s, in float64) r2.Vec {
			sin, cos := math.Sincos(2 * math.Pi * s)
			return r2.Vec{X: h.X + h.Radius*in*cos, Y: h.Y + h.Radius*in*sin}
		}
	case len(x.CutOuts) > 0:
		bottom = x.CutOuts[0].Bottom
		line, _ := x.CutOuts[0].Slot.Line()
		at = func(s, _ float64) r2.Vec {
			k := s * float64(len(line))
			i := int(k) % len(line)
			return r2.Add(line[i], r2.Scale(k-math.Floor(k), r2.Sub(line[(i+1)%len(line)], line[i])))
		}
	default:
		g := x.Grooves[0].Path
		bottom, bound = g[0].Z, 0.1 // the tip may pass beside it by less
		at = func(s, _ float64) r2.Vec {
			return r2.Vec{X: g[0].X + s*(g[1].X-g[0].X), Y: g[0].Y + s*(g[1].Y-g[0].Y)}
		}
	}
	worst := lie{of: KindExtra, true: math.Inf(-1), told: bound, where: "unfinished"}
	bs, bi := 0.0, 1.0
	look := func(s, in float64) {
		s -= math.Floor(s)
		p := at(s, math.Min(1, math.Abs(in)))
		off := d.short(p.X, p.Y, bottom)
		if len(x.Grooves) > 0 {
			off += endOf(d.programs[0].Cutter).flat // the tip counts
		}
		if off > worst.true {
			worst.true, worst.x, worst.y, bs, bi = off, p.X, p.Y, s, in
		}
	}
	for k := range 400 {
		look(float64(k)/400, 1)
	}
	for range 200 {
		look(a.Float64(), math.Sqrt(a.Float64()))
	}
	for step := 1.0 / 400; step > 1e-7; step /= 3 {
		for range 6 {
			look(bs+step*a.NormFloat64(), bi+100*step*a.NormFloat64()*float64(a.IntN(2)))
		}
	}
	if len(x.CutOuts) > 0 {
		lies = append(lies, d.judgeInto(said)...)
	}
	if worst.true > bound+1e-3 && !found(said, d.programs[0].Name, KindExtra) {
		lies = append(lies, worst)
	}
	if d.limits.TemplatesOnly && len(x.CutOuts) > 0 && worst.true > said.Scallop.Certified+sameHeight && !found(said, d.programs[0].Name, KindExtra) {
		worst.told, worst.where = said.Scallop.Certified, "certified"
		lies = append(lies, worst)
	}
	return lies
}

// judgeInto holds what is said of a cut-out against how far a cutter comes inside its edge,
// which is that of a rectangle about the apex.
func (d *deceit) judgeInto(said Result) []lie {
	p := d.programs[0]
	line, _ := d.limits.Extras.CutOuts[0].Slot.Line()
	w, h := math.Abs(line[0].X), math.Abs(line[0].Y)
	l := lie{of: KindExtra, true: math.Inf(-1), told: 2 * volumeTolerance}
	if d.limits.TemplatesOnly {
		l.told = said.Scallop.Certified
	}
	for _, m := range p.Path.Moves {
		for k := range 11 {
			v := placeOf(m, float64(k)/10)
			dx, dy := math.Abs(v.X)-w, math.Abs(v.Y)-h
			in := p.Cutter.Diameter/2 - math.Hypot(math.Max(0, dx), math.Max(0, dy)) - math.Min(0, math.Max(dx, dy))
			if v.Z < 0 && in > l.true {
				l.true, l.x, l.y, l.where = in, v.X, v.Y, fmt.Sprintf("%s:%d, inside", p.Name, m.Source.Line)
			}
		}
	}
	if l.true <= l.told+1e-3 || found(said, p.Name, KindExtra, KindGouge, KindFloor) {
		return nil
	}
	return []lie{l}
}

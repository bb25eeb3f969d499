package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// patch is a disc of a face: what is held against the scallop where all else does not
// matter.
type patch struct{ x, y, radius float64 }

func (p patch) Off(x, y float64) (by float64, away r2.Vec) {
	x, y = x-p.x, y-p.y
	d := math.Hypot(x, y)
	if by = d - p.radius; by > 0 {
		away = r2.Vec{X: x / d, Y: y / d}
	}
	return by, away
}

// gaps draws arcs of every sweep and radius about a narrow gap that they leave, with
// lines all round it so that nothing else stands high: over a face of any kind, level or
// rising, of one cutter.
func (a adversary) gaps() *deceit {
	kind := dish.Kind(a.IntN(3))
	t := a.cutter(2, 9)
	r := t.Diameter / 2
	rim := r * a.scale(5, 300) // cells begin as large as the face is
	face := must(dish.NewFace(kind, rim*a.scale(2, 60), rim))
	near := math.Min(0.4*rim, 15*r)
	gap := r3xy{a.within(-1, 1) * near, a.within(-1, 1) * near}
	deep := face.Height(math.Hypot(gap.x, gap.y)) + a.scale(0.001, 0.1)
	way := newRoute("1-gaps.ngc", t, r3.Vec{X: gap.x, Y: gap.y, Z: 10})
	turn := a.within(0, 2*math.Pi)
	for range 1 + a.IntN(2) {
		a.ringAbout(way, gap, turn+0.1*a.NormFloat64(), r, deep)
	}
	sides := 2 // lines that pass the gap: on both sides of it, or all round
	if a.often(30) {
		sides = 5 + a.IntN(4)
	}
	other := way // of the lines, some may be another cutter's
	if a.often(30) {
		other = newRoute("2-gaps.ngc", a.cutter(2, 12), way.tip)
	}
	for k := range sides {
		line, angle := way, turn+2*math.Pi*float64(k)/float64(sides)+a.within(-0.2, 0.2)*a.Float64()
		if a.often(50) {
			line = other
		}
		a.linesBeside(line, gap, angle, deep)
	}
	if a.often(20) { // across the gap, from nowhere: only where it ends is sure
		way.tip.X = math.NaN()
		way.to(path.Line, gap.x+2*r*math.Cos(turn), gap.y+2*r*math.Sin(turn), deep)
	}
	d := &deceit{top: deep + a.scale(0.3, 5), limits: Case{Face: face, MaxScallop: 0.05, Region: patch{gap.x, gap.y, r * a.within(0.3, 1)}}, programs: []Program{way.Program}, places: []r3xy{gap}}
	if other != way && len(other.Path.Moves) > 0 {
		d.programs = append(d.programs, other.Program)
	}
	if a.often(20) {
		d.limits.Tilt = a.scale(1e-4, 0.01)
	}
	if a.often(30) {
		d.limits.Undersize = a.scale(1e-3, 0.3) * r
	}
	return d
}

// linesBeside goes two lines beside a gap, level or bowed upright, the nearer with the
// cutter's side at the gap.
func (a adversary) linesBeside(way *route, gap r3xy, angle, deep float64) {
	r := way.Cutter.Diameter / 2
	off, z := r*(1+a.scale(0.002, 0.4)), deep+0.05*a.Float64()
	if a.often(30) { // far above the face
		z += a.scale(0.05, 2)
	}
	bowed := a.often(20)
	if bowed {
		angle = math.Pi / 2 * float64(1-2*a.IntN(2))
	}
	sin, cos := math.Sincos(angle)
	for range 2 {
		x, y := gap.x+off*cos, gap.y+off*sin
		way.to(path.Traverse, x-3*r*sin, y+3*r*cos, 10)
		way.to(path.Line, way.tip.X, way.tip.Y, z)
		if end := (r3.Vec{X: round4(x + 3*r*sin), Y: way.tip.Y, Z: way.tip.Z}); bowed {
			middle := r3.Vec{X: (way.tip.X + end.X) / 2, Y: end.Y, Z: end.Z + r*a.scale(5, 500)*float64(1-2*a.IntN(2))}
			over := middle.Z > end.Z // then the way under it is the short one
			way.add(path.Move{Kind: path.Arc, Plane: path.ZX, From: way.tip, To: end, Centre: middle, Clockwise: over == (end.X > way.tip.X), Feed: 600})
		} else {
			way.to(path.Line, x+3*r*sin, y-3*r*cos, z)
		}
		way.by(path.Traverse, 0, 0, 10-z)
		off += r * a.within(0.5, 1.5)
	}
}

// ringAbout goes an arc whose ends come near a gap: one behind its centre, or beside.
func (a adversary) ringAbout(way *route, gap r3xy, turn, r, deep float64) {
	rho, sweep := r*a.scale(0.9, 3), a.within(90, 350)*math.Pi/180
	// The centre lies so that the gap is behind it, about where the ends' discs meet.
	behind := a.within(-0.2, 1.2) * math.Max(0, r-rho*math.Cos(sweep/2))
	if a.often(30) {
		behind = a.within(-1, 1) * rho
	}
	sin, cos := math.Sincos(turn)
	cx, cy := round4(gap.x+behind*cos), round4(gap.y+behind*sin)
	from := turn - sweep/2
	x, y := cx+rho*math.Cos(from), cy+rho*math.Sin(from)
	way.to(path.Traverse, x, y, 10)
	way.to(path.Line, x, y, deep)
	rise := 0.0
	if a.often(30) {
		rise = a.scale(1e-4, 1) * float64(1-2*a.IntN(2))
	}
	if a.often(50) { // the other way round, with the same end
		way.turn(cx, cy, sweep, rise)
	} else {
		way.turn(cx, cy, sweep/2, rise/2)
		way.turn(cx, cy, sweep/2, rise/2)
	}
	way.by(path.Traverse, 0, 0, 10-way.tip.Z)
}

// behind draws an arc of about half a turn, and a raster with a strip left out that passes
// just behind the disc that the arc's footprint goes round: the footprints of its two ends
// cover the strip's ends, and not its middle. All lies so that cells as long as the whole
// fit exactly into it: the face is divided into maxTilesAcross tiles about its apex.
func (a adversary) behind() *deceit {
	t := a.cutter(2, 9)
	r := t.Diameter / 2
	left := r * a.within(2.2, 2.3) // of the arc's middle, to where both ends' discs still are
	long := left + r*a.within(0.7, 0.8)
	face := must(dish.NewFace(dish.Flat, 0, maxTilesAcross/2*long*float64(int(1)<<a.IntN(3))))
	rho, half := r*(1.4999+a.scale(1e-4, 0.05)), (90-a.scale(0.05, 2))*math.Pi/180
	thin := long / float64(int(16)<<a.IntN(3))
	cx := long*float64(a.IntN(12)-6) + left
	cy := thin*float64(a.IntN(200)-100) + rho - r + r*a.scale(1e-4, 0.02)
	deep := -a.scale(0.3, 3)
	way := newRoute("1-behind.ngc", t, r3.Vec{Z: 10})
	x, y := cx+rho*math.Sin(half), cy+rho*math.Cos(half)
	way.to(path.Traverse, x, y, 10)
	way.to(path.Line, x, y, deep)
	way.turn(round4(cx), round4(cy), 2*half, 0)
	way.by(path.Traverse, 0, 0, 10-deep)
	upper := cy - (rho - r) - thin*a.scale(0.01, 0.3)
	lower := upper - thin*a.scale(0.1, 1)
	step := r * a.within(0.2, 0.5)
	for k := range 5 {
		for _, v := range [...]float64{upper + r + step*float64(k), lower - r - step*float64(k)} {
			way.to(path.Traverse, cx-6*r, v, 10)
			way.to(path.Line, way.tip.X, way.tip.Y, deep)
			way.to(path.Line, cx+6*r, v, deep)
			way.by(path.Traverse, 0, 0, 10-deep)
		}
	}
	gap := r3xy{cx, (upper + lower) / 2}
	d := &deceit{limits: Case{Face: face, MaxScallop: 0.05, Region: patch{gap.x, gap.y, r * a.within(0.7, 1.2)}}, programs: []Program{way.Program}, places: []r3xy{gap}}
	if a.often(30) { // turned by a quarter
		for i, m := range d.programs[0].Path.Moves {
			for _, v := range []*r3.Vec{&m.From, &m.To, &m.Centre} {
				v.X, v.Y = -v.Y, v.X
			}
			d.programs[0].Path.Moves[i] = m
		}
		d.places[0] = r3xy{-gap.y, gap.x}
		d.limits.Region = patch{-gap.y, gap.x, r}
	}
	return d
}

// stands returns how high a place stands over the face, along its normal, once all is cut.
func (d *deceit) stands(x, y float64) float64 {
	z := d.top
	for _, p := range d.programs {
		e := endOf(p.Cutter)
		if less := d.limits.Undersize / 2; less > 0 { // of a flat or a bull the flat is smaller
			e.flat -= less
			if e.flat < 0 {
				e.flat, e.corner = 0, e.corner+e.flat
			}
		}
		for _, m := range p.Path.Moves {
			if m.Kind == path.Traverse {
				continue
			}
			for _, s := range strokesOf(m) {
				z = math.Min(z, s.lowest(e, x, y, e.wide(), math.Inf(-1)))
			}
		}
	}
	R, far := d.limits.Face.Radius, math.Hypot(x, y)
	switch d.limits.Face.Kind {
	case dish.Hollow:
		middle := R - (R - math.Sqrt(R*R-d.limits.Face.Rim*d.limits.Face.Rim))
		return R - math.Hypot(far, middle-z)
	case dish.Crown:
		return math.Hypot(far, z+R) - R
	}
	return z
}

// judgeStanding holds what is certified against what stands: at places drawn, then
// climbing from the highest of them.
func (d *deceit) judgeStanding(a adversary) (lies []lie) {
	c := d.limits
	cuts := make([]Cut, len(d.programs))
	for i, p := range d.programs {
		cuts[i] = Cut{p.Cutter, p.Path.Moves}
	}
	told, err := Certify(c.Face, d.top, cuts, CertifyOptions{Expected: c.MaxScallop, Tilt: c.Tilt, Undersize: c.Undersize, Region: c.Region, MaxCells: 20_000})
	if err != nil {
		return []lie{{of: KindScallop, true: math.Inf(1), where: fmt.Sprint(err)}}
	}
	best := lie{of: KindScallop, true: math.Inf(-1), told: told.Certified, where: "standing"}
	look := func(x, y float64) {
		if by, _ := c.Region.Off(x, y); by > 0 || math.Hypot(x, y) > c.Face.Rim {
			return
		}
		if h := d.stands(x, y); h > best.true {
			best.true, best.x, best.y = h, x, y
		}
	}
	r := d.programs[0].Cutter.Diameter / 2
	for _, p := range d.places {
		look(p.x, p.y)
		for range 30 {
			look(p.x+0.4*r*a.NormFloat64(), p.y+0.4*r*a.NormFloat64())
		}
	}
	for step := 0.1 * r; step > 1e-3*r; step /= 3 {
		for range 8 {
			look(best.x+step*a.NormFloat64(), best.y+step*a.NormFloat64())
		}
	}
	if best.over() > sameHeight+2*fineChord {
		lies = append(lies, best)
	}
	return lies
}

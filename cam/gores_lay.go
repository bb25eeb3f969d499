package cam

import (
	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish/exact"
)

// inner returns the way from a pass's outer end to its inner one.
func (g *gores) inner(p gorePass) []r2.Vec {
	way := []r2.Vec{g.spot(p.gore, p.end, p.v), g.spot(p.gore, p.in, p.v)}
	if p.apex {
		way = append(way, r2.Vec{})
	}
	return way
}

// way returns a unit's way from rim to rim in plan.
func (g *gores) way(u goreUnit) []r2.Vec {
	way := append(g.inner(u.passes[0]), u.turn[1:]...)
	if len(u.passes) == 1 {
		return way
	}
	out := g.inner(u.passes[1])
	for i := len(out) - 2; i >= 0; i-- {
		way = append(way, out[i])
	}
	return way
}

// link returns the way at the rim from a unit to the next one of a hollow, in the air.
func (g *gores) link(u, next goreUnit) []r2.Vec {
	a, b := u.passes[1], next.passes[0]
	first := pose{g.spot(a.gore, a.end, a.v), g.axes[a.gore]}
	second := pose{g.spot(b.gore, b.end, b.v), exact.Scale2(-1, g.axes[b.gore])}
	return turnPlaces(first, second, g.turns, turnChord)
}

// linkShare is the radius of a turn at the rim as a share of the widest step, where the
// travel does not end before that.
const linkShare = 0.25

// measure returns the length of all passes and turns in plan.
func (g *gores) measure() float64 {
	n := 0.0
	for m, u := range g.units {
		n += wayLength(g.way(u))
		if m+1 == len(g.units) {
			break
		}
		if g.moat == 0 {
			n += wayLength(g.link(u, g.units[m+1]))
		} else {
			a, b := g.way(u), g.way(g.units[m+1])
			n += dist(a[len(a)-1].X-b[0].X, a[len(a)-1].Y-b[0].Y)
		}
	}
	return n
}

// lay lays the passes down. stands is how high stock may stand above the tip's
// own height before finishing.
func (g *gores) lay(b *builder, stands float64) error {
	r := raster{work: g.work, cutter: g.cutter, tool: g.tool, budget: g.budget, moat: g.moat}
	for m, u := range g.units {
		way := g.way(u)
		start := b.place(way[0].X, way[0].Y, g.height)
		switch {
		case m == 0 && g.moat > 0:
			g.clear(r, b, way[0], stands)
		case m == 0:
			b.over(start, 0)
			b.line(start, b.feeds.Plunge)
		case g.moat > 0:
			r.along(b, start)
			b.line(start, b.feeds.Feed)
		default:
			g.around(b, g.link(g.units[m-1], u))
		}
		for i := 1; i < len(way); i++ {
			g.straight(b, way[i-1], way[i])
		}
	}
	b.lift()
	return nil
}

// clear takes the moat of a crown down; the cutter ends where the first pass begins.
func (g *gores) clear(r raster, b *builder, first r2.Vec, stands float64) {
	depth := -r.height(g.moat, 0)
	h := helix{turn: newTurn(g.moat, roundChord), radius: g.moat, cos: first.X / g.moat, sin: first.Y / g.moat}
	h.sink(b, g.cutter, -depth+stands, -depth)
	b.line(b.place(first.X, first.Y, g.height), b.feeds.Feed)
}

// around goes round a turn at the rim, evenly from the height at its start to
// that at its end: both above the blank's top, but on small and steep faces, where it
// keeps above the face as that would go on.
func (g *gores) around(b *builder, way []r2.Vec) {
	last := way[len(way)-1]
	end := b.place(last.X, last.Y, g.height)
	from, all, done := b.at.Z, wayLength(way), 0.0
	for i := 1; i < len(way)-1; i++ {
		p := way[i]
		done += wayLength(way[i-1 : i+1])
		z := from + float64(done/all*(end.Z-from))
		b.line(b.place(p.X, p.Y, func(x, y float64) float64 {
			if min(from, end.Z) < 0 {
				return max(z, g.height(x, y))
			}
			return z
		}), b.feeds.Feed)
	}
	b.line(end, b.feeds.Feed)
}

// straight goes straight in plan from p to q, as low as the face allows.
func (g *gores) straight(b *builder, p, q r2.Vec) {
	d := r2.Sub(q, p)
	n := dist(d.X, d.Y)
	if n == 0 {
		return
	}
	d = exact.Scale2(1/n, d)
	at := func(u float64) r2.Vec { return along(p, u, d) }
	curve := func(u float64) float64 { a := at(u); return g.height(a.X, a.Y) }
	stops := []float64{0}
	// Where a pass leaves the face for the level of the moat it has a kink.
	v, lo := cross(d, p), dot(d, p)
	if k := reach(g.tool.foot, v); g.moat > 0 && k > 0 {
		for _, kink := range [...]float64{-k - lo, k - lo} {
			if kink > 0 && kink < n {
				stops = append(stops, kink)
			}
		}
	}
	stops = append(stops, n)
	for i := 1; i < len(stops); i++ {
		for _, u := range chords(curve, stops[i-1], stops[i], g.budget.chord)[1:] {
			a := at(u)
			if u == n {
				a = q
			}
			b.lineIn(g.cutter, a.X, a.Y, g.height, b.feeds.Feed)
		}
	}
}

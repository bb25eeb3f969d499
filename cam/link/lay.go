package link

import (
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// laying is a course on its way to moves.
type laying struct {
	Linker
	course Course
	above  float64             // how high stock may stand above the face, mm
	paces  map[float64]float64 // feeds by the step that is cut
	before []r3.Vec            // places of the way before
	other  []r3.Vec            // of the way after, where that begins at the same place
}

// Lay lays a course for a cutter where stock stands up to above over the face, mm; of a tile
// so much of it as lies no farther than over beyond the bare sector, mm. Each way is cut
// from its nearer end where it may be cut both ways.
func (o Course) Lay(b *Builder, c path.Cutter, above, over float64) {
	l := laying{course: o, above: above, paces: map[float64]float64{}}
	l.Linker = Linker{Builder: b, Cutter: c, Face: &o.Tool, Moat: o.Moat}
	sector := b.Piece.Tile.Sector
	sector.Margin = over
	if b.Piece.Divided() { // a way to a border does not keep to the moat
		l.Moat = 0
	}
	var parts []part
	for _, w := range append(o.moats(), o.Ways...) {
		w.Legs = o.split(w.Legs)
		for _, stops := range within(sector, chain(w.Legs, o.height, o.Wide, o.Tol)) {
			parts = append(parts, part{w, stops})
		}
	}
	for i, p := range parts {
		l.other = nil
		if i+1 < len(parts) && p.way.OneWay && parts[i+1].stops[0].at == p.stops[0].at {
			l.other = l.stretch(parts[i+1].way, parts[i+1].stops).Places
		}
		l.way(p.way, p.stops)
	}
}

// part is what lies in a sector of a way.
type part struct {
	way   Way
	stops []stop
}

// height is that of the tip along a way.
func (o Course) height(x, y float64) float64 { return o.Tool.Tip(x, y) + o.Lift }

// place returns a place of a way, so much higher than its height.
func (l *laying) place(p r2.Vec, lift float64) r3.Vec {
	return l.Builder.Place(p.X, p.Y, func(x, y float64) float64 { return l.course.height(x, y) + lift })
}

// way lays a way of which the places in plan are known.
func (l *laying) way(w Way, stops []stop) {
	s, b := l.stretch(w, stops), l.Builder
	back, turned := l.nearer(s)
	if turned = turned && !w.OneWay && len(b.Moves) > 0; turned {
		s = back
	}
	l.enter(w, &s)
	if b.Piece.Machine.Arcs && !b.Piece.Divided() && l.bends(w) {
		if turned {
			w = w.back()
		}
		l.GoTo(s)
		l.arcs(w)
	} else {
		l.Cut(s)
	}
	l.before = s.Places
}

// stretch returns a way at its heights.
func (l *laying) stretch(w Way, stops []stop) Stretch {
	s := Stretch{Places: []r3.Vec{l.place(stops[0].at, 0)}, Clear: w.Clear}
	for i := 1; i < len(stops); i++ {
		a, p := s.Places[len(s.Places)-1], l.place(stops[i].at, 0)
		if p == a {
			continue
		}
		feed := l.pace(trail(w.Legs).step(stops[i-1].on, stops[i].on))
		// A chord that comes in over a rim ends in stock and may be steeper than the face is
		// there, by what it runs through air: it is divided where the tip comes to the
		// blank's top.
		if steep := work.Steep(l.Cutter); l.Cutter.Core > 0 && float64(a.Z*p.Z) < 0 && (TooSteep(a, p, steep) || TooSteep(p, a, steep)) {
			from, step := stops[i-1].at, r2.Sub(stops[i].at, stops[i-1].at)
			air, _ := exact.Bisect(0, 1, 40, func(t float64) bool {
				q := exact.AddScaled2(from, step, t)
				return (l.course.height(q.X, q.Y) > 0) == (a.Z > 0)
			})
			s = s.on(l.place(exact.AddScaled2(from, step, air), 0), feed)
		}
		s = s.on(p, feed)
	}
	return s
}

// pace returns the feed with which a step is cut, the usual one where that is 0: the wider
// the step, the thicker are the chips.
func (l *laying) pace(step float64) float64 {
	f, known := l.paces[step]
	if known {
		return f
	}
	f = l.Builder.Feeds.Feed
	if w := l.Builder.Piece; step > 0 {
		if g, ok := work.NewFeeds(w.Machine, l.Cutter, step, min(l.above-w.ZeroError, l.Cutter.DepthOfCut)); ok {
			f = min(f, g.Feed)
		}
	}
	l.paces[step] = f
	return f
}

// steepCrown is the slope of a crown's rim from which on the way down into its moat keeps
// from both walls: what is left of its side stands high.
const steepCrown = 0.1

// justCut is what stands where a way has been cut: the rounding of heights, so that no cutter
// with a blunt middle is sent straight down on it.
func justCut(p r3.Vec) float64 { return p.Z + 2*Enough }

// enter settles what stands where a way begins, and how it is come to.
func (l *laying) enter(w Way, s *Stretch) {
	start, face := s.Places[0], l.course.Tool.Face
	l.Stands, l.Beside, l.Near = OverFace(l.above), nil, math.Inf(1)
	if l.Builder.Piece.Divided() {
		l.Near = NearLink
	}
	s.Lead = s.round()
	switch {
	case (Approach{Places: s.Places}).reach() < min((Approach{Places: l.other}).reach(), max(leastOut, l.Cutter.Core)):
		s.Lead = Approach{Places: l.other}
	case l.before == nil:
	case l.before[0] == start:
		// Down the groove of the way before; no traverse goes down into that, as wide as the
		// cutter.
		s.Lead = Approach{Places: l.before}
		l.Stands, l.Beside = justCut, OverFace(l.above)
	case l.inMoat(start) && w.OneWay:
		d, radius := exact.Dist(start.X, start.Y), l.Moat
		if face.Rim > steepCrown*face.Radius {
			radius += WideMoat / 2
		}
		s.Lead = l.Builder.Round(r2.Vec{}, radius, RoundChord, r2.Vec{X: start.X / d, Y: start.Y / d}, start.Z).Lead
		l.Stands, l.Near = justCut, -1
		if l.Builder.Piece.Method.Rough == "" { // the moat's chords lie elsewhere than these, and its side stands as high
			l.Beside = OverFace(l.above)
		}
	}
}

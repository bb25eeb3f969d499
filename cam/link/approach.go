package link

import (
	"slices"

	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// approach is the places before the first of a stretch, as far back as may be wanted: of a
// closed one those of its round, over and over; of an open one its beginning, back and forth.
type approach struct {
	places []r3.Vec
	closed bool
	long   float64 // of a round, or of a way out and back, mm in plan
}

const (
	// shortestRamp is the shortest way, in mm, that is gone back and forth; a cutter goes
	// straight down on what is shorter.
	shortestRamp = 0.3
	// leastOut is how far, in mm, a way back and forth goes out where the stretch lets it:
	// shorter ones hammer the machine.
	leastOut = 2.0
	// mostAside is how far a way goes aside of a stretch at most, mm.
	mostAside = 3.0
	// mostDown is far more places than any way down takes.
	mostDown = 50_000
)

// period returns after how many places the approach comes again to the same.
func (a approach) period() int {
	if a.closed {
		return len(a.places)
	}
	return 2 * (len(a.places) - 1)
}

// at returns the place k before the beginning, k ≥ 0.
func (a approach) at(k int) r3.Vec {
	n := a.period()
	k %= n
	switch {
	case k == 0:
	case a.closed:
		k = n - k
	case k > n/2:
		k = n - k
	}
	return a.places[k]
}

// approach returns that of a stretch. An open one is gone out along as far as, from its
// beginning, it climbs nowhere above what the cutter goes down on the way back; where that is
// hardly anywhere, a way aside of it is taken, along the contour of the face. ok is false
// where there is nothing to go along.
func (l *Linker) approach(s Stretch) (a approach, ok bool) {
	if s.Round != nil {
		a = approach{places: s.Round, closed: true}
		for i, p := range s.Round {
			a.long += InPlan(p, s.Round[(i+1)%len(s.Round)])
		}
		return a, a.long > shortestRamp
	}
	a.places = s.Places[:1:1]
	out, z := 0.0, s.Places[0].Z
	for i, p := range s.Places[1:] {
		from := s.Places[i]
		piece := InPlan(from, p)
		down := l.Builder.fall(l.Cutter, piece)
		if over := p.Z - z - down; over > 0 {
			share := (z - from.Z - 2*l.Builder.Grid.Step) / (over + z - from.Z) // less than the raising of its height
			if share*piece > shortestRamp {
				a.places = append(a.places, l.between(from, p, share))
				out += float64(share * piece)
			}
			if beside, ok := l.contour(s.Places[0]); ok && out < leastOut {
				return beside, true
			}
			break
		}
		a.places = append(a.places, p)
		out, z = out+piece, z+down
	}
	a.long = 2 * out
	return a, out > shortestRamp
}

// between returns the place of the grid at a share of a piece.
func (l *Linker) between(a, b r3.Vec, share float64) r3.Vec {
	q := exact.AddScaled3(a, r3.Sub(b, a), share)
	if l.Face != nil {
		return l.Builder.above(*l.Face, q, 0)
	}
	g := l.Builder.Grid
	return r3.Vec{X: g.Near(q.X), Y: g.Near(q.Y), Z: g.Raise(q.Z)}
}

// contour is the approach along the contour of the face at a place. A straight line that
// touches the contour goes on where a crown lies lower, so that its height is that of the
// place; of a tile it goes towards the middle.
func (l *Linker) contour(at r3.Vec) (a approach, ok bool) {
	d := exact.Dist(at.X, at.Y)
	if d == 0 || l.Face == nil {
		return a, false
	}
	u := r2.Vec{X: -at.Y / d, Y: at.X / d}
	if t := l.Builder.Piece.Tile; t != nil {
		if mx, my := dish.UnitVector(t.Sector.Middle); float64(u.X*mx)+float64(u.Y*my) < 0 {
			u = exact.Scale2(-1, u)
		}
	}
	q := l.Builder.above(*l.Face, r3.Vec{X: at.X + float64(mostAside*u.X), Y: at.Y + float64(mostAside*u.Y), Z: at.Z}, 0)
	return approach{places: []r3.Vec{at, q}, long: 2 * mostAside}, true
}

// fall returns how far the cutter may go down over a piece of the approach.
func (l *Linker) fall(a approach, piece float64) float64 {
	down := l.Builder.fall(l.Cutter, piece)
	if l.Bite > 0 {
		down = min(down, float64(l.Bite*piece/a.long))
	}
	return down
}

// down returns a way down to the beginning of a stretch, from there backward along its
// approach up to where it is as high as high says. There is none where that takes too long.
func (l *Linker) down(a approach, high func(p r3.Vec) float64) []r3.Vec {
	from := a.at(0)
	way, z := []r3.Vec{from}, from.Z
	for k := 1; z < high(from); k++ {
		if k > mostDown {
			return nil
		}
		p := a.at(k)
		piece := InPlan(from, p)
		up, lack := max(p.Z, z+l.fall(a, piece)), high(from)-z
		if over := up - high(p); over > 0 { // it is high enough on the way there
			share := lack / (lack + over)
			if float64(share*piece) > shortestRamp {
				p = l.between(from, p, share)
				up = max(p.Z, z+l.fall(a, InPlan(from, p)))
			}
			return append(way, r3.Vec{X: p.X, Y: p.Y, Z: l.Builder.Grid.Raise(up)})
		}
		way = append(way, r3.Vec{X: p.X, Y: p.Y, Z: l.Builder.Grid.Raise(up)})
		from, z = p, up
	}
	return way
}

// downFrom returns a way down to the beginning of a stretch that begins where its approach
// comes nearest to where the cutter stands, and goes along it at this height as far as it may.
// There is none where stock may stand higher.
func (l *Linker) downFrom(a approach) []r3.Vec {
	at := l.Builder.At
	way := l.down(a, func(r3.Vec) float64 { return at.Z })
	if way == nil {
		return nil
	}
	best, far, n := len(way), InPlan(way[len(way)-1], at), len(way)
	for k := n; k < n+a.period(); k++ {
		p := a.at(k - 1)
		way = append(way, r3.Vec{X: p.X, Y: p.Y, Z: max(p.Z, at.Z)})
		if d := InPlan(p, at); d < far {
			best, far = len(way), d
		}
	}
	way = way[:best]
	for _, p := range way {
		if l.Stands(p) > at.Z+Enough {
			return nil
		}
	}
	return way
}

// turned returns places in the other order.
func turned(places []r3.Vec) []r3.Vec {
	out := slices.Clone(places)
	slices.Reverse(out)
	return out
}

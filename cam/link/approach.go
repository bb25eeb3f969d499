package link

import (
	"math"
	"slices"

	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Approach is the places before the first of a stretch, as far back as may be wanted: of a
// closed one those of its round, over and over; of an open one its beginning, back and forth.
// places begin with the first; those of a round are in the order in which it is run.
type Approach struct {
	Places []r3.Vec
	Closed bool
	long   float64 // of a round, or of a way out and back, mm in plan
}

const (
	// shortestRamp is the shortest way, in mm, that is gone back and forth; a cutter goes
	// straight down on what is shorter.
	shortestRamp = 0.3
	// leastOut is how far, in mm, a way back and forth goes out where the stretch lets it,
	// or the core's width where that is more: shorter ones hammer the machine.
	leastOut = 2.0
	// fitSteps are the shares of a piece by which less of it is tried.
	fitSteps = 1.0 / 32
	// mostAside is how far a way goes aside of a stretch at most, mm, or a little more than
	// the core's width where that is more.
	mostAside = 3.0
	// mostDown is far more places than any way down takes.
	mostDown = 50_000
)

// period returns after how many places the approach comes again to the same.
func (a Approach) period() int {
	if a.Closed {
		return len(a.Places)
	}
	return 2 * (len(a.Places) - 1)
}

// at returns the place k before the beginning, k ≥ 0.
func (a Approach) at(k int) r3.Vec {
	n := a.period()
	k %= n
	switch {
	case k == 0:
	case a.Closed:
		k = n - k
	case k > n/2:
		k = n - k
	}
	return a.Places[k]
}

// approach returns that of a stretch. ok is false where there is nothing to go along, or too
// little for the core to leave what stands there.
func (l *Linker) approach(s Stretch) (a Approach, ok bool) {
	a, ok = l.along(s)
	return a, ok && (a.reach() >= l.Cutter.Core || l.Stands(a.Places[0])-a.Places[0].Z <= 2*l.Cutter.Core*work.Steep(l.Cutter))
}

// reach returns how far an approach leads from the beginning, mm. Where that is the core's
// width or more the core leaves every place in between, and what it stands over in the
// meantime is no deeper than a ramp twice as long.
func (a Approach) reach() (far float64) {
	for _, p := range a.Places {
		far = max(far, InPlan(p, a.Places[0]))
	}
	return far
}

// along returns what leads to the beginning of a stretch.
func (l *Linker) along(s Stretch) (a Approach, ok bool) {
	if a = s.Lead; a.Closed {
		for i, p := range a.Places {
			a.long += InPlan(p, a.Places[(i+1)%len(a.Places)])
		}
		return a, a.long > shortestRamp
	}
	if a.Places == nil {
		a.Places = s.Places
	}
	return l.open(a.Places)
}

// open returns the approach back and forth along the beginning of places: out as far as it
// climbs nowhere above what the cutter goes down on the way back. Where that is hardly
// anywhere, a way aside is taken, along the contour of the face.
func (l *Linker) open(places []r3.Vec) (a Approach, ok bool) {
	a.Places = places[:1:1]
	out, z := 0.0, places[0].Z
	fits := func(p r3.Vec) bool {
		piece := InPlan(a.Places[len(a.Places)-1], p)
		down := l.fall(piece, 0)
		if p.Z > z+down {
			return false
		}
		a.Places = append(a.Places, p)
		out, z = out+piece, z+down
		return true
	}
	for i, p := range places[1:] {
		if fits(p) {
			continue
		}
		for share := 1 - fitSteps; share > 0 && !fits(l.between(places[i], p, share)); share -= fitSteps {
		}
		break
	}
	a.long = 2 * out
	if far := a.reach(); far < max(leastOut, l.Cutter.Core) {
		if beside, ok := l.contour(places[0]); ok && beside.reach() > far {
			return beside, true
		}
	}
	return a, out > shortestRamp
}

// between returns the place of the grid at a share of a piece, of a hollow down on the face
// below it.
func (l *Linker) between(a, b r3.Vec, share float64) r3.Vec {
	q := exact.AddScaled3(a, r3.Sub(b, a), share)
	if l.Face != nil {
		if l.Face.Face.Bend() == 0 {
			q.Z = min(q.Z, l.Face.Tip(q.X, q.Y))
		}
		return l.Builder.above(*l.Face, q, 0)
	}
	g := l.Builder.Grid
	return r3.Vec{X: g.Near(q.X), Y: g.Near(q.Y), Z: g.Raise(q.Z)}
}

// contour is the approach along the contour of the face at a place. A straight line that
// touches the contour goes on where a crown lies lower, so that its height is that of the
// place; where a hollow rises it is as short as that takes; of a tile it goes towards the
// middle.
func (l *Linker) contour(at r3.Vec) (a Approach, ok bool) {
	d := exact.Dist(at.X, at.Y)
	if d == 0 || l.Face == nil {
		return a, false
	}
	u := r2.Vec{X: -at.Y / d, Y: at.X / d}
	if piece := l.Builder.Piece; piece.Divided() {
		if mx, my := dish.UnitVector(piece.Tile.Sector.Middle); float64(u.X*mx)+float64(u.Y*my) < 0 {
			u = exact.Scale2(-1, u)
		}
	}
	for long := max(mostAside, 1.05*l.Cutter.Core); long > shortestRamp; long /= 2 {
		q := l.Builder.above(*l.Face, r3.Vec{X: at.X + float64(long*u.X), Y: at.Y + float64(long*u.Y), Z: at.Z}, 0)
		if q.Z <= at.Z+l.fall(InPlan(q, at), 0) {
			return Approach{Places: []r3.Vec{at, q}, long: 2 * long}, true
		}
	}
	return a, false
}

// fall returns how far the cutter may go down into stock over a piece, mm, a share of a way of
// long mm on which Bite holds; of any length where long is 0. Coordinates are rounded, so
// that one end may lie a step too high and both a step too near, and once more where the
// machine is told others. Over a piece so short that this would take most of it, it goes down
// by whole steps of the lattice, which nothing rounds; by none where not even one may be.
func (l *Linker) fall(piece, long float64) float64 {
	step, told, steep := l.Builder.Grid.Step, 0.0, work.Steep(l.Cutter)
	if !l.Builder.Piece.Warp().IsIdentity() {
		told = step
	}
	bite := math.Inf(1)
	if l.Bite > 0 && long > 0 {
		bite = float64(l.Bite * piece / long)
	}
	most, off := float64(steep*piece), step+told
	if down := min(most, float64(steep/work.Kept*(piece-off))-off); down > most/4 {
		return min(down, bite)
	}
	down := min(float64(steep*(piece-told))-told, bite)
	return max(0, float64(math.Floor(down/step)*step))
}

// down returns a way down to the beginning of a stretch, from there backward along its
// approach up to where it is as high as high says. There is none where that takes too long.
func (l *Linker) down(a Approach, high func(p r3.Vec) float64) []r3.Vec {
	from := a.at(0)
	way, z := []r3.Vec{from}, from.Z
	for k := 1; z < high(from); k++ {
		if k > mostDown {
			return nil
		}
		p := a.at(k)
		piece := InPlan(from, p)
		up, lack := max(p.Z, z+l.fall(piece, a.long)), high(from)-z
		if over := up - high(p); over > 0 { // it is high enough on the way there
			share := lack / (lack + over)
			if float64(share*piece) > shortestRamp {
				p = l.between(from, p, share)
				up = max(p.Z, z+l.fall(InPlan(from, p), a.long))
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
func (l *Linker) downFrom(a Approach) []r3.Vec {
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

// Turned returns a list in the other order.
func Turned[T any](list []T) []T {
	out := slices.Clone(list)
	slices.Reverse(out)
	return out
}

package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// tileWay makes the ways of one layer of a tile's roughing.
type tileWay struct {
	rounds
	sector dish.Sector
	level  float64
	b      *link.Builder
}

// place returns the place of the tip at (x, y), lifted over a crown by what chords of
// piece mm run below it.
func (w tileWay) place(x, y, piece float64) r3.Vec {
	return w.b.Place(x, y, func(u, v float64) float64 {
		d := exact.Dist(u, v)
		h := w.height(u, v)
		// A round at the very foot has the middles of its chords on the face.
		if bend := w.piece.Face.Bend(); bend > 0 && d < w.tool.Foot+link.RoundChord {
			h += float64(exact.Square(piece)*bend/8*1.01) + float64(link.RoundChord*2*math.Abs(w.tool.Rise(d, 0)))
		}
		return max(h, w.level)
	})
}

// round returns a round from border to border; side is 1 where it goes
// counter-clockwise, else -1. To either side of the sector's middle it takes the angle
// of the sector and, where the borders lie by beyond it, asin(by/d) more.
//
// Its corners lie at the same fractions of every TurnStep, and its ends on the chords
// between them: turned setups then run over the same places, and leave no slivers
// between their chords.
func (w tileWay) round(r ring, side float64) (way []r3.Vec) {
	d, a := r.d, math.Pi
	if d > r.by {
		a = float64(w.sector.Half)*math.Pi/180 + math.Asin(r.by/d)
	}
	const turnStep = dish.TurnStep * math.Pi / 180
	part := turnStep / math.Ceil(turnStep/math.Sqrt(8*link.RoundChord/max(d, link.RoundChord)))
	corner := func(k float64) r3.Vec {
		x, y := w.direction(float64(side * k * part))
		return r3.Vec{X: float64(d * x), Y: float64(d * y)}
	}
	put := func(p r3.Vec) { way = append(way, w.place(p.X, p.Y, float64(d*part))) }
	last := math.Floor(a/part - 1e-9)
	share := math.Sin(a-float64(last*part)) / (math.Sin(a-float64(last*part)) + math.Sin(float64((last+1)*part)-a)) // of the chord to the next corner
	end := func(k, next float64) r3.Vec {
		return exact.AddScaled3(corner(k), r3.Sub(corner(next), corner(k)), share)
	}
	put(end(-last, -last-1))
	for k := -last; k <= last; k++ {
		put(corner(k))
	}
	put(end(last, last+1))
	return way
}

// whole returns a whole round of radius d, from the sector's middle.
func (w tileWay) whole(d float64) (way []r3.Vec) {
	n := max(8, math.Ceil(2*math.Pi/math.Sqrt(8*link.RoundChord/max(d, link.RoundChord))))
	for k := 0.0; k <= n; k++ {
		x, y := w.direction(2 * math.Pi * k / n)
		way = append(way, w.place(float64(d*x), float64(d*y), 2*math.Pi*d/n))
	}
	return way
}

// direction returns the unit vector at an angle from the sector's middle. Rounded to
// twelve digits it is the same on every machine.
func (w tileWay) direction(a float64) (x, y float64) {
	mx, my := dish.UnitVector(w.sector.Middle)
	sin, cos := math.Sincos(a)
	sin, cos = math.Round(sin*1e12)/1e12, math.Round(cos*1e12)/1e12
	return float64(cos*mx) - float64(sin*my), float64(cos*my) + float64(sin*mx)
}

// overSag is how much lower a way over a crown might run if its pieces were not as short
// as it takes, mm. They are lifted by as much, and what they leave is met by rounds that
// go straight in.
const overSag = 0.003

// longest is how long the pieces of a way over the face are at most, mm.
func (w tileWay) longest() float64 {
	if bend := w.piece.Face.Bend(); bend > 0 {
		return min(link.LinkPiece, math.Sqrt(8*overSag/bend))
	}
	return link.LinkPiece
}

// border returns the way along a border that lies by beyond the bare sector, from the
// distance from to the distance to from the apex, or as near to it as the border comes;
// side is 1 for the one that lies counter-clockwise from the middle. Where the face comes
// up through the level, so far from the apex as through, a piece ends: one that led over
// that place would leave stock there.
func (w tileWay) border(by, from, through, to, side float64) (way []r3.Vec) {
	if through > min(from, to) && through < max(from, to) {
		way = w.border(by, from, through, through, side)
		rest := w.border(by, through, through, to, side)
		if len(way) > 0 && len(rest) > 0 {
			rest = rest[1:]
		}
		return append(way, rest...)
	}
	along := func(d float64) float64 { return math.Sqrt(max(0, exact.Square(d)-exact.Square(by))) }
	a, z, piece := along(from), along(to), w.longest()
	ux, uy := dish.UnitVector(w.sector.Middle + int(side)*w.sector.Half)
	nx, ny := float64(-side*uy), float64(side*ux)
	n := math.Ceil(math.Abs(z-a) / piece)
	for k := 0.0; k <= n && n > 0; k++ {
		l := a + float64((z-a)*(k/n))
		way = append(way, w.place(float64(l*ux)+float64(by*nx), float64(l*uy)+float64(by*ny), piece))
	}
	return way
}

// join puts the way over from a place before a way. Over a hollow it is straight, which
// never gouges: down along the face and up again it would be steeper than the cutter may
// go down, over scallops that rounds have left.
func (w tileWay) join(from r3.Vec, way []r3.Vec) []r3.Vec {
	piece := w.longest()
	n := math.Ceil(link.InPlan(from, way[0]) / piece)
	var over []r3.Vec
	for k := 1.0; k < n; k++ {
		q := exact.AddScaled3(from, r3.Sub(way[0], from), k/n)
		p := w.place(q.X, q.Y, piece)
		if w.piece.Face.Rises() {
			p.Z = max(p.Z, w.b.Grid.Raise(q.Z))
		}
		over = append(over, p)
	}
	return append(over, way...)
}

// feed goes along a way.
func (w tileWay) feed(way []r3.Vec) {
	for _, p := range way {
		w.b.Line(p, w.b.Feeds.Feed)
	}
}

package rim

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish/exact"
)

// A flat that stands above the dome, and the blend before it, must not come onto the dish at all:
// the dish's edge, and all places that it comes to as the rim is swung, stay on the tail's side of
// the line across the body where the blend begins. A circle meets that line at the lining on either
// side, and bends away from it farther out: near the line, at the sides, is a stretch of the dome
// that the dish does not reach, and towards the tail of that one which it reaches in a part of the
// strokes alone.

// Beside is an edge to be sanded in a dish beside one that must not be.
type Beside struct {
	part Seat
	hold []r3.Vec // of the part: on the dish at every stroke
	off  []r3.Vec // never on it
	room float64  // to be left between the dish's edge and those, mm along the face
	from r2.Vec   // the middle of the part's least circle
}

// Beside returns the points of the seat, which is laid beside others, in plan: towards the head from
// a line across the body, mm from the tail, in the order of which nothing matters. Of a seat that
// ends before the line all has to lie in the dish at every stroke, of one that reaches it the half
// that is nearer to the tail, by the distance from the tail to the line. Between the dish's edge
// and the others room mm are left.
func (s Seat) Beside(off []r2.Vec, line, room float64) Beside {
	b := Beside{part: s, off: s.dome.Seat(off).points, room: room, from: s.Least().At}
	first, last := math.Inf(1), math.Inf(-1)
	for _, p := range s.points {
		first, last = min(first, p.X), max(last, p.X)
	}
	half := last
	if last >= line-room {
		half = (first + line) / 2
	}
	for _, p := range s.points {
		if p.X <= half {
			b.hold = append(b.hold, p)
		}
	}
	return b
}

// within reports whether places of the face lie within an arc about another, or else all beyond it.
func (s Seat) within(middle r3.Vec, points []r3.Vec, arc float64, inside bool) bool {
	chord := arc
	if !s.flat() {
		chord = float64(2 * s.dome.Radius * math.Sin(min(math.Pi, max(0, arc/s.dome.Radius))/2))
	}
	for _, p := range points {
		far := exact.Norm3(r3.Sub(p, middle))
		if inside && !(far <= chord) || !inside && !(far >= chord) {
			return false
		}
	}
	return arc >= 0
}

// Place returns where in plan the middle of a dish of half a diameter comes, mm: the middle of the
// part's least circle, or so far from it towards the tail that a swing, mm along the face, to any
// side takes none of the others into the dish. False where the dish then does not hold what it has
// to hold.
func (b Beside) Place(half, swing float64) (at r2.Vec, ok bool) {
	s, arc := b.part, b.part.Arc(half)
	to := func(by float64) r2.Vec { return r2.Vec{X: b.from.X - by, Y: b.from.Y} }
	meets := func(by float64) bool { return !s.within(s.on(to(by)), b.off, arc+swing+b.room, false) }
	by := 0.0
	if meets(0) {
		far := arc + swing + b.room
		for _, p := range b.off {
			far = max(far, b.from.X-p.X+arc+swing+b.room)
		}
		_, by = exact.Bisect(0, far, placings, meets)
	}
	at = to(by)
	return at, s.within(s.on(at), b.hold, arc-swing, true)
}

// placings are the halvings that find a place to less than a thousandth of a millimetre.
const placings = 24

// Swing returns the largest swing up to one that is asked for with which a dish of half a diameter
// has a place, and that place; false where not even the least does. The shorter the swing, the
// farther towards the head the dish comes, and the more of the part it holds.
func (b Beside) Swing(half, least, asked float64) (at r2.Vec, swing float64, ok bool) {
	if at, ok = b.Place(half, asked); ok {
		return at, asked, true
	}
	if at, ok = b.Place(half, least); !ok {
		return at, least, false
	}
	swing, _ = exact.Bisect(least, asked, placings, func(swing float64) bool {
		_, ok := b.Place(half, swing)
		return ok
	})
	at, _ = b.Place(half, swing)
	return at, swing, true
}

// Needs returns half the diameter of the smallest dish up to one of half another that has a place
// with a swing, mm; +Inf where none has. The wider a dish, the less its edge bends away from the
// line, and the more it holds.
func (b Beside) Needs(swing, most float64) float64 {
	fits := func(half float64) bool { _, ok := b.Place(half, swing); return ok }
	if !fits(most) {
		return math.Inf(1)
	}
	_, half := exact.Bisect(0, most, placings, func(half float64) bool { return !fits(half) })
	return half
}

// Left says what lies beyond a dish about a place: whether a place in plan of the edge is never in
// the dish, and whether it is not at every stroke of a swing.
func (s Seat) Left(p, at r2.Vec, half, swing float64) (never, partly bool) {
	far, arc := s.between(s.on(p), s.on(at)), s.Arc(half)
	return !(far <= arc+swing), !(far <= arc-swing)
}

// EdgeFrom returns places of the gluing edge from its outside to its inner side that lie at or
// beyond a line across the body, mm from the tail, or on that line: on average no farther apart
// than the given mm along the outside, in five rows across the edge.
func (b Body) EdgeFrom(line, apart float64) (list []r2.Vec) {
	const rows = 5
	n := int(math.Ceil(b.Outline.Perimeter() / apart))
	var before [rows]r2.Vec
	for i := range n + 1 {
		o := b.Outline.At(float64(b.Outline.Perimeter() * (float64(i) / float64(n))))
		for k := range rows {
			p := o.Inward(float64(b.EdgeWidth() * (float64(k) / (rows - 1))))
			if q := before[k]; i > 0 && (q.X < line) != (p.X < line) {
				list = append(list, exact.AddScaled2(q, r2.Sub(p, q), (line-q.X)/(p.X-q.X)))
			}
			if p.X >= line {
				list = append(list, p)
			}
			before[k] = p
		}
	}
	return list
}

package link

import (
	"math"

	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// Way is where a cutter goes in plan: pieces one after another, each from where the one
// before ended.
type Way struct {
	Legs   []Leg
	OneWay bool // is it cut in this sense alone?
	Clear  bool // is nothing left under the cutter's middle wherever it goes down?
}

// back returns the way from its end to its beginning.
func (w Way) back() Way {
	w.Legs = Turned(w.Legs)
	for i, p := range w.Legs {
		w.Legs[i].From, w.Legs[i].To = p.To, p.From
	}
	return w
}

// Course is ways over a face in the order in which they are cut, and what it takes to lay
// them.
type Course struct {
	Tool work.Tool // over the face
	Ways []Way
	Lift float64 // added to every height, so that no chord gouges, mm
	Wide float64 // how far in plan a chord may leave an arc, mm; 0 where there are none
	Tol  float64 // how far in height a chord may leave the face, mm
	Moat float64 // of a crown: radius on which the axis runs round it before all else; 0 where it does not
}

// Straight returns the straight pieces from place to place.
func Straight(places ...r2.Vec) (legs []Leg) {
	for i := range len(places) - 1 {
		legs = append(legs, Leg{From: places[i], To: places[i+1], cos: 1})
	}
	return legs
}

// ArcAbout returns the arc of less than half a turn from one place to another that is as
// far from a centre.
func ArcAbout(centre, from, to r2.Vec) Leg {
	half := r2.Sub(exact.Scale2(0.5, r2.Add(from, to)), centre)
	square := exact.Dot2(half, half) / exact.Dot2(r2.Sub(from, centre), r2.Sub(from, centre))
	return Leg{From: from, To: to, corner: exact.AddScaled2(centre, half, 1/square), cos: math.Sqrt(square), Drawn: true}
}

// Length returns how far the cutter goes in plan, from way to way included, mm.
func (o Course) Length() (long float64) {
	for i, w := range o.Ways {
		for _, p := range w.Legs {
			long += p.length()
		}
		if i > 0 {
			start, end := w.Legs[0].From, w.Legs[len(w.Legs)-1].To
			last := o.Ways[i-1].Legs
			at := last[len(last)-1].To
			long += min(exact.Dist(start.X-at.X, start.Y-at.Y), exact.Dist(end.X-at.X, end.Y-at.Y))
		}
	}
	return long
}

// split returns legs of which straight ones that are more than a chord end where the height
// has a kink: where a crown's face goes over into the level of its moat, and at a hollow's
// apex under a level end.
func (o Course) split(legs []Leg) (list []Leg) {
	for _, p := range legs {
		step := r2.Sub(p.To, p.From)
		long := exact.Dist(step.X, step.Y)
		if p.arc() || long == 0 || trail([]Leg{p}).strays(0, 1, o.height, o.Wide, o.Tol) <= 1 {
			list = append(list, p)
			continue
		}
		middle := -exact.Dot2(p.From, step) / exact.Square(long) // the share where it comes nearest to the apex
		off := math.Abs(exact.Cross2(p.From, step)) / long
		half := exact.HalfChord(o.Tool.Foot, off) / long
		kinks := []float64{middle - half, middle + half}
		if o.Tool.Flat > 0 && off < leastLeg && o.Tool.Face.Rises() {
			kinks = []float64{middle}
		}
		at, to := p, p.To
		for _, share := range kinks {
			if float64(share*long) < leastLeg || float64((1-share)*long) < leastLeg {
				continue
			}
			at.To = exact.AddScaled2(p.From, step, share)
			list = append(list, at)
			at.From = at.To
		}
		at.To = to
		list = append(list, at)
	}
	return list
}

// leastLeg is what is left of a leg where it is split at least, mm.
const leastLeg = 1e-3

// circle returns the places of a Round.
func circle(about r2.Vec, radius, chord float64, from r2.Vec) (places []r2.Vec) {
	t := work.NewTurn(radius, chord)
	for k := range t.Steps() + 1 {
		x, y := t.Dir(k)
		turned := r2.Vec{X: float64(x*from.X) - float64(y*from.Y), Y: float64(x*from.Y) + float64(y*from.X)}
		places = append(places, exact.AddScaled2(about, turned, radius))
	}
	return places
}

// moats returns the ways that take a crown's moat down, to where the first of the others
// begins.
//
// Where these only climb, the cutter comes down in the moat again for each of them, and the
// outer wall of a single round, made of chords, stands up to RoundChord in its way: a first
// round then runs further out.
func (o Course) moats() []Way {
	if o.Moat == 0 || len(o.Ways) == 0 {
		return nil
	}
	from := r2.Vec{X: 1}
	if p := o.Ways[0].Legs[0].From; p != (r2.Vec{}) {
		from = exact.Unit2(p)
	}
	round := func(radius float64) Way {
		return Way{Legs: Straight(circle(r2.Vec{}, radius, RoundChord, from)...)}
	}
	if !o.Ways[0].OneWay {
		return []Way{round(o.Moat)}
	}
	return []Way{round(o.Moat + WideMoat), round(o.Moat)}
}

// stop is a place of a way in plan, and how far on it lies: the number of its leg plus a
// share of that.
type stop struct {
	at r2.Vec
	on float64
}

// shortest is the length in mm below which what a sector's border leaves of a way is not
// worth its way there; what is left with it is found by the certificate.
const shortest = 0.3

// within returns what of a chain of places lies in a sector, in its order.
func within(s dish.Sector, chain []stop) (parts [][]stop) {
	var now []stop
	flush := func() {
		long := 0.0
		for i := 1; i < len(now); i++ {
			long += exact.Dist(now[i].at.X-now[i-1].at.X, now[i].at.Y-now[i-1].at.Y)
		}
		if len(now) > 0 && (long > shortest || len(now) == len(chain)) {
			parts = append(parts, now)
		}
		now = nil
	}
	for i := 1; i < len(chain); i++ {
		a, b := chain[i-1], chain[i]
		at := func(share float64) stop {
			switch share {
			case 0:
				return a
			case 1:
				return b
			}
			return stop{exact.AddScaled2(a.at, r2.Sub(b.at, a.at), share), a.on + float64((b.on-a.on)*share)}
		}
		in := s.Clip(a.at, b.at)
		if len(in) == 0 || in[0].From > 0 {
			flush()
		}
		for _, span := range in {
			if now == nil {
				now = []stop{at(span.From)}
			}
			if now = append(now, at(span.To)); span.To < 1 {
				flush()
			}
		}
	}
	flush()
	return parts
}

package dish

import "math"

// side is a straight side of a blank.
type side struct {
	x, y float64 // outward unit vector, square to it
	far  float64 // from the apex, mm
	name string  // as someone calls it who stands at the front, where Y is least
}

// sides returns the sides of a blank that is not round, counter-clockwise from +X.
func (b Blank) sides() (list []side) {
	for k, name := range [...]string{"right", "back right", "back", "back left", "left", "front left", "front", "front right"} {
		if b.Shape != Octagon && k%2 == 1 {
			continue
		}
		x, y := UnitVector(45 * k)
		far := b.Length / 2
		if k%4 == 2 {
			far = b.Width / 2
		}
		list = append(list, side{x, y, far, name})
	}
	return list
}

// Edge is a place of a blank's edge, seen from its side: Along is how far it lies from
// the side's middle, mm, and Towards the side that it lies nearer to. Of a round blank
// they say nothing.
type Edge struct {
	X, Y    float64
	Side    string
	Along   float64
	Towards string
}

// EdgeFrom returns where the line from (x, y), a place inside the blank, meets its edge
// in the direction of a unit vector.
func (b Blank) EdgeFrom(x, y, ux, uy float64) Edge {
	if b.Shape == Round {
		r, along := b.Length/2, float64(x*ux)+float64(y*uy)
		t := math.Sqrt(max(0, float64(r*r)-float64(x*x)-float64(y*y)+float64(along*along))) - along
		return Edge{X: x + float64(t*ux), Y: y + float64(t*uy)}
	}
	list := b.sides()
	best, at := math.Inf(1), 0
	for i, s := range list {
		if out := float64(s.x*ux) + float64(s.y*uy); out > 1e-12 {
			if t := (s.far - float64(s.x*x) - float64(s.y*y)) / out; t < best-1e-9 {
				best, at = t, i
			}
		}
	}
	s, n := list[at], len(list)
	e := Edge{X: x + float64(best*ux), Y: y + float64(best*uy), Side: s.name}
	// Along the side counter-clockwise lies the next one.
	if e.Along = float64(s.x*e.Y) - float64(s.y*e.X); e.Along >= 0 {
		e.Towards = list[(at+1)%n].name
	} else {
		e.Along, e.Towards = -e.Along, list[(at+n-1)%n].name
	}
	return e
}

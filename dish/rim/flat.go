package rim

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish/exact"
)

// Zone is a part of a top that is sanded in a way of its own.
type Zone uint8

// The zones, from the tail to the head.
const (
	Domed Zone = iota // by the dish or a domed board
	Blend             // by hand, from the dome into a flat that stands above it
	Flat              // by a flat board
	Zones             // how many there are
)

// flat returns the height of the flat's plane at a place, its rise per mm, and whether
// it cuts the dome rather than touching it or standing above it.
func (d Dome) flat(p r2.Vec) (z float64, rise r2.Vec, cuts bool) {
	z, rise = d.curved(r2.Vec{X: d.FlatFrom})
	rise.Y = 0 // flat across
	if d.FlatLeans {
		cuts, rise.X = -d.FlatFall < rise.X, -d.FlatFall
	}
	return z + float64(rise.X*(p.X-d.FlatFrom)), rise, cuts
}

// FlatCuts reports whether the top's flat cuts its dome, and so lies below it.
func (d Dome) FlatCuts() bool {
	_, _, cuts := d.flat(r2.Vec{})
	return d.FlatFrom != 0 && cuts
}

// TouchingFall returns by how much the plane that touches the dome where the flat
// begins falls per mm towards the head.
func (d Dome) TouchingFall() float64 {
	_, rise := d.curved(r2.Vec{X: d.FlatFrom})
	return -rise.X
}

// Fall returns by how much the flat's plane falls per mm towards the head.
func (d Dome) Fall() float64 {
	if d.FlatLeans {
		return d.FlatFall
	}
	return d.TouchingFall()
}

// OverDome returns how far the face stands above the dome alone at a place, mm: over 0
// on a flat that touches it or stands above it, below 0 on one that cuts it.
func (d Dome) OverDome(p r2.Vec) float64 {
	z, _ := d.curved(p)
	return d.Height(p) - z
}

// Zone returns the zone that a place lies in.
func (d Dome) Zone(p r2.Vec) Zone {
	if d.FlatFrom == 0 {
		return Domed
	}
	flat, _, cuts := d.flat(p)
	z, _ := d.curved(p)
	switch {
	case cuts && flat < z, !cuts && p.X >= d.FlatFrom:
		return Flat
	case !cuts && p.X > d.FlatFrom-d.Blend:
		return Blend
	}
	return Domed
}

// FlatCircle returns the circle in which a flat's plane cuts a sphere: its centre, the
// foot of the sphere's centre on the plane, from above, and its radius √(R² − d²), d the
// distance of the two, mm.
func (d Dome) FlatCircle() (centre r2.Vec, radius float64) {
	z, _ := d.curved(r2.Vec{X: d.FlatFrom})
	long := math.Sqrt(1 + float64(d.Fall()*d.Fall()))
	sin, cos := d.Fall()/long, 1/long
	far := float64(sin*(d.FlatFrom-d.Apex.X)) + float64(cos*(z-d.Level+d.Radius))
	return r2.Vec{X: d.Apex.X + float64(sin*far), Y: d.Apex.Y}, exact.HalfChord(d.Radius, far)
}

// OutAgain returns the first place of the outline at which a flat that cuts the dome has
// come out of it again on the way to the head, or never went in; nil where there is none.
// There the dome lies below the plane and falls steeper than it: between dome and plane, along
// the body, is a hill, and such a place lies behind its top.
func (d Dome) OutAgain(o *Outline) *r2.Vec {
	for _, arc := range o.lapArcs() {
		p := o.At(arc).At
		flat, lean, _ := d.flat(p)
		if z, rise := d.curved(p); z < flat && rise.X < lean.X {
			return &p
		}
	}
	return nil
}

// steepest is the steepest flat that is looked for, as a fall per mm: 45 degrees.
const steepest = 1.0

// LeastCuttingFall returns the gentlest fall per mm, to a millionth, with which the flat cuts the
// dome and stays in it as far as the head; false where none up to 45 degrees does. A steeper
// plane through the same place lies lower from there on, so that a steeper one does too.
func (d Dome) LeastCuttingFall(o *Outline) (fall float64, ok bool) {
	out := func(fall float64) bool {
		d.FlatLeans, d.FlatFall = true, fall
		return d.OutAgain(o) != nil
	}
	if out(steepest) {
		return 0, false
	}
	_, fall = exact.Bisect(d.TouchingFall(), steepest, 20, out)
	return fall, true
}

// lapArcs returns places of one lap, a millimetre or less apart on a guitar, with the tail
// and the head among them.
func (o *Outline) lapArcs() (list []float64) {
	for _, half := range [...][2]float64{{0, o.Head()}, {o.Head(), o.Perimeter()}} {
		for i := range lapSamples {
			list = append(list, half[0]+float64((half[1]-half[0])*(float64(i)/lapSamples)))
		}
	}
	return list
}

// Stretch is a part of the lap that lies in one zone, between two arcs, mm.
type Stretch struct {
	From, To float64
	Zone     Zone
}

// Stretches returns the lap in the order of its arcs, divided where the outside comes from one
// zone into another.
func (b Body) Stretches() []Stretch {
	if b.Top.FlatFrom == 0 {
		return []Stretch{{To: b.Outline.Perimeter()}}
	}
	zone := func(arc float64) Zone { return b.Top.Zone(b.Outline.At(arc).At) }
	list := []Stretch{{Zone: zone(0)}}
	at := 0.0
	for _, next := range append(b.Outline.lapArcs()[1:], b.Outline.Perimeter()) {
		// Between two such places the outside may come through all zones once.
		for range Zones {
			last := &list[len(list)-1]
			last.To = next
			if zone(next) == last.Zone {
				break
			}
			last.To, at = exact.Bisect(at, next, halvings, func(arc float64) bool { return zone(arc) == last.Zone })
			list = append(list, Stretch{at, next, zone(at)})
		}
		at = next
	}
	return list
}

// halvings of an interval leave nothing of it that a float64 tells.
const halvings = 60

// DomedTo returns how far from the tail the domed part of the top reaches on the centre line, mm.
func (b Body) DomedTo() float64 {
	switch d := b.Top; {
	case d.FlatFrom == 0:
		return b.Outline.Length()
	case d.FlatCuts():
		return d.FlatFrom
	default:
		return d.FlatFrom - d.Blend
	}
}

// OverDome returns where in a zone the outside lies lowest over the dome alone, or under it, and
// where highest; the zone has a part of the rim.
func (b Body) OverDome(zone Zone) (lowest, highest Station) {
	least, most := math.Inf(1), math.Inf(-1)
	for _, part := range b.stretchesIn([]Zone{zone}) {
		for _, arc := range b.piecesOf(part) {
			s := b.Station(arc)
			over := b.Top.OverDome(s.At)
			if over < least {
				least, lowest = over, s
			}
			if over > most {
				most, highest = over, s
			}
		}
	}
	return lowest, highest
}

// zoneEdges are the places of one side at which a zone begins or ends, in the order in which
// they are met on the way from one arc to another.
func (b Body) zoneEdges(from, to float64, side string) (list []Station) {
	lap := b.Stretches()
	met := map[string]int{}
	for i := 1; i < len(lap); i++ {
		k := i
		if from > to {
			k = len(lap) - i
		}
		before, after, arc := lap[k-1].Zone, lap[k].Zone, lap[k].From
		if from > to {
			before, after = after, before
		}
		if arc <= min(from, to) || arc >= max(from, to) {
			continue
		}
		name := side + max(before, after).String() + " begins"
		if after < before {
			name = side + before.String() + " ends"
		}
		if met[name]++; met[name] > 1 {
			name += " " + strconv.Itoa(met[name])
		}
		list = append(list, b.namedStation(arc, name))
	}
	return list
}

var zoneNames = [Zones]string{"dome", "blend", "flat"}

// String returns the zone's name.
func (z Zone) String() string { return zoneNames[z] }

// FlatLines returns the lines, seen from above, along which the blend and the flat begin within
// the outline, in places a hundredth of each apart.
func (b Body) FlatLines() (lines [][]r2.Vec) {
	lap := b.Stretches()
	for _, zone := range [...]Zone{Blend, Flat} {
		var ends []r2.Vec
		for i := 1; i < len(lap); i++ {
			if (lap[i-1].Zone < zone) != (lap[i].Zone < zone) && (zone == Flat || !b.Top.FlatCuts()) {
				ends = append(ends, b.Outline.At(lap[i].From).At)
			}
		}
		slices.SortFunc(ends, func(p, q r2.Vec) int { return cmp.Compare(p.Y, q.Y) })
		for ; len(ends) >= 2; ends = ends[2:] {
			lines = append(lines, b.Top.lineFrom(ends[0], ends[1], zone))
		}
	}
	return lines
}

// lineFrom returns the line along which a zone begins, from one of its places to another: the zone
// and what lies behind it holds the straight line between the two, for a dome bends one way.
func (d Dome) lineFrom(a, b r2.Vec, zone Zone) (line []r2.Vec) {
	const parts = 100
	for k := range parts + 1 {
		p := exact.AddScaled2(a, r2.Sub(b, a), float64(k)/parts)
		p.X, _ = exact.Bisect(p.X, min(p.X, d.FlatFrom-d.Blend)-1, halvings, func(x float64) bool { return d.Zone(r2.Vec{X: x, Y: p.Y}) >= zone })
		line = append(line, p)
	}
	return line
}

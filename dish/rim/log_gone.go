package rim

import "math"

// Remedy is what can be done where too much is gone.
type Remedy struct {
	Place   int     // of the log: where the most is missing
	Missing float64 // there, mm: all of the rim made so much lower is right again

	// Radius is that of a top which goes through what is left at that place, at the head and
	// at the tail, mm; 0 where none near the wanted one does and leaves no place too low. Least
	// and Most are then what comes off at the places of the log, mm.
	Radius, Least, Most float64
}

// otherRadius is how far a top's radius may lie from the wanted one, as a factor, and still be
// told as another way to finish: beyond it the instrument is another one.
const otherRadius = 1.5

// Remedy says what can be done where a place of the log is lower than its width by more than
// the tolerance; false where none is.
func (b Body) Remedy(l WidthLog, p Pace) (r Remedy, ok bool) {
	for i, one := range p.Places {
		if one.Count > 0 && p.Low(one.Left) && -one.Left > r.Missing {
			r.Place, r.Missing, ok = i, -one.Left, true
		}
	}
	if ok {
		b.otherTop(&r, l, p)
	}
	return r, ok
}

// otherTop looks for a sphere through what is left: its height at the place falls or rises
// all the way with its radius, head and tail held.
func (b Body) otherTop(r *Remedy, l WidthLog, p Pace) {
	if b.Top.Kind != Sphere || b.Top.FlatFrom > 0 || b.Top.Apex.Y != 0 {
		return
	}
	o := b.Outline
	ends := Depths{Head: b.Top.Height(o.At(o.Head()).At), Tail: b.Top.Height(o.At(0).At)}
	for i, one := range p.Places {
		if missing := min(0, one.Left); one.Count > 0 {
			switch l.Places[i].Station.Arc {
			case 0:
				ends.Tail += missing
			case o.Head():
				ends.Head += missing
			}
		}
	}
	s := l.Places[r.Place].Station
	over := func(radius float64) float64 {
		d, err := b.topBetween(radius, b.Outline.Length(), ends)
		if err != nil {
			return math.NaN()
		}
		return d.Height(s.At) - (s.Top - r.Missing)
	}
	low, high := b.Top.Radius/otherRadius, float64(b.Top.Radius*otherRadius)
	from := over(low)
	if !(from*over(high) < 0) {
		return
	}
	for range 60 { // a doubling less each time: to the last digit
		if mid := (low + high) / 2; over(mid)*from > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	d, err := b.topBetween(low, b.Outline.Length(), ends)
	if err != nil {
		return
	}
	least, most := math.Inf(1), 0.0
	for i, one := range p.Places {
		if one.Count > 0 {
			at := l.Places[i].Station
			off := at.Top + one.Left - d.Height(at.At)
			least, most = min(least, off), max(most, off)
		}
	}
	if least >= -p.Tolerance {
		r.Radius, r.Least, r.Most = low, max(0, least), most
	}
}

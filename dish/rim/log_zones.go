package rim

import "slices"

// The zones of a top are sanded one after another, each in a way of its own: what a round takes off
// one tells nothing of another.

// SandingOrder returns the zones of the top in the order in which they are sanded: a flat that
// stands above the dome first, and its blend last; one that cuts the dome after it.
func (d Dome) SandingOrder() []Zone {
	switch {
	case d.FlatFrom == 0:
		return []Zone{Domed}
	case d.FlatCuts():
		return []Zone{Domed, Flat}
	}
	return []Zone{Flat, Domed, Blend}
}

// FinishedWith returns the zone with whose sanding a place has its width: of those that meet
// there the one that is sanded first.
func (b Body) FinishedWith(s Station) Zone {
	var meet []Zone
	for _, k := range b.Stretches() {
		if k.From-hardly <= s.Arc && s.Arc <= k.To+hardly {
			meet = append(meet, k.Zone)
		}
	}
	for _, z := range b.Top.SandingOrder() {
		if slices.Contains(meet, z) {
			return z
		}
	}
	return b.Top.Zone(s.At)
}

// sandedNow returns the zone of each place of a log, the zone that is being sanded, and for each zone
// from which round on its readings lie on one line. What is sanded is the first zone of which a
// place has more than the tolerance left by its last reading, and the last one where none has; it
// began when the one before was done: when each of that one's places had come within the tolerance.
func (b Body) sandedNow(l WidthLog) (zones []Zone, now Zone, from [Zones]int) {
	for _, p := range l.Places {
		zones = append(zones, b.FinishedWith(p.Station))
	}
	begun := 0
	for _, z := range b.Top.SandingOrder() {
		any, finished, done := false, true, begun
		for i, p := range l.Places {
			if zones[i] != z || len(p.Read) == 0 {
				continue
			}
			within := func(r RoundWidth) bool { return !more(r.Width-p.Wanted, l.tolerance()) }
			any, finished = true, finished && within(p.Read[len(p.Read)-1])
			if k := slices.IndexFunc(p.Read, within); k >= 0 {
				done = max(done, p.Read[k].Round)
			}
		}
		if !any {
			continue
		}
		if begun > 0 { // the zone before was done then, and stands still since
			from[now] = begun
		}
		if now, from[z] = z, begun; !finished {
			break
		}
		begun = done
	}
	return zones, now, from
}

// weedZones leaves out the readings that do not fit, of the zone that is being sanded and of the
// others each for themselves, and all that were read before the lines of their zones begin. now is
// what is kept of the zone that is being sanded, kept what is of all.
func (b Body) weedZones(l WidthLog) (now, kept WidthLog, zones []Zone, zone Zone, wrong []WrongWidth) {
	zones, zone, from := b.sandedNow(l)
	kept = WidthLog{Step: l.Step, Places: slices.Clone(l.Places)}
	for _, sanded := range [...]bool{true, false} {
		part, before := WidthLog{Step: l.Step, Places: slices.Clone(l.Places)}, make([]int, len(l.Places))
		for i, p := range l.Places {
			before[i] = len(p.Read)
			if k := slices.IndexFunc(p.Read, func(r RoundWidth) bool { return r.Round >= from[zones[i]] }); k >= 0 && (zones[i] == zone) == sanded {
				before[i] = k
			}
			part.Places[i].Read = p.Read[before[i]:]
		}
		good, bad := part.weed()
		for _, w := range bad {
			w.Read += before[w.Place]
			wrong = append(wrong, w)
		}
		for i := range good.Places {
			if len(part.Places[i].Read) > 0 {
				kept.Places[i] = good.Places[i]
			}
		}
		if sanded {
			now = good
		}
	}
	return now, kept, zones, zone, wrong
}

// hardly is finer than any reading, mm: a width that is off by the tolerance to the last digit
// is within it.
const hardly = 1e-4

// more and less report whether more or less is left than the tolerance allows.
func more(left, tolerance float64) bool { return left > tolerance+hardly }
func less(left, tolerance float64) bool { return left < -tolerance-hardly }

// More reports whether so much left, mm, is still to come off; Low whether too much is gone.
func (p Pace) More(left float64) bool { return more(left, p.Tolerance) }
func (p Pace) Low(left float64) bool  { return less(left, p.Tolerance) }

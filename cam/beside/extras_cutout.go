package beside

import (
	"cmp"
	"math"

	"dishwright/cam/link"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/exact"
	"dishwright/dish/extra"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// cornerMiss is how much nearer to a hollow line than it should the way round it
	// may come, mm: what the chords of the line make of it.
	cornerMiss = 0.006
	// sharpestCut is 1 + the cosine of the sharpest bend of a line, 120 degrees.
	sharpestCut = 0.5
)

// cutOut plans a slot round a line with a straight cutter whose flutes outreach the
// blank: ramped laps down to the tabs, one level lap there, and between the tabs
// down through the blank.
func (e *extrasPlanner) cutOut(o work.CutOutWanted) {
	bottom := e.through()
	best, why := path.Cutter{}, measure.Say("no straight cutter is on the shelf")
	var ring *dish.Band
	var round []r2.Vec
	for _, c := range e.candidates(o.Cutter) {
		able := e.able(c, -bottom)
		switch {
		case c.Shape != path.Flat:
			if o.Cutter != "" {
				why = measure.Say("%s is a %s, which would leave its own shape in the bed and the edge", c.Name, c.Shape)
			}
			continue
		case !able.Empty():
			why = measure.Say("%s: %s", c.Name, able)
			continue
		case best.Name != "" && slotRate(best) >= slotRate(c):
			continue
		}
		r, way, ok, err := slotOf(o.Line, c, e.w.Machine.Step())
		if err != nil {
			e.problems.Add(work.KindExtra, o.Key, measure.Say("%s: %v", o.Name, err), measure.Say("another line"))
			return
		}
		if !ok {
			why = measure.Say("%s does not go round it", c.Name)
			continue
		}
		if short := e.slotRoom(way, c.Radius()); short < 0 {
			why = measure.Say("the slot of %s reaches %s beyond the blank", c.Name, measure.MM(-short))
			continue
		}
		best, ring, round = c, r, way
	}
	if best.Name == "" {
		e.cannot(o.Name, o.Key, o.Cutter, why, measure.Say("a straight (flat) cutter with flutes of at least %s that sticks out at least %s, and a blank with room for its slot; or saw it out by hand", measure.MM(-bottom), measure.MM(-bottom+work.HolderGap)))
		return
	}
	cut := extra.CutOut{Name: o.Name, Slot: ring, Bottom: bottom, CutterRadius: best.Radius(), ChordTolerance: o.Chord}
	top := e.w.Grid().Raise(-e.w.Blank.Thickness + o.TabHeight)
	for _, at := range o.Tabs {
		cut.Tabs = append(cut.Tabs, extra.Tab{At: at, Outward: ring.Normal(at.X, at.Y), HalfLength: o.TabLength / 2, Top: top})
	}
	s := slot{cutter: best, round: round, cut: cut, top: top}
	if ps := s.problems(o); len(ps) > 0 {
		e.problems = append(e.problems, ps...)
		return
	}
	e.out.Set.CutOuts = append(e.out.Set.CutOuts, cut)
	e.add(jobOf{best, measure.Say("%s, through %v, with %d tabs of %v by %v", cmp.Or(o.Group, o.Name), measure.MM(e.w.Blank.Thickness), len(cut.Tabs), measure.MM(o.TabLength), measure.MM(o.TabHeight)), o.Group, -bottom, s.lay})
}

// slotRate compares how quickly cutters go through a blank: depth a lap × feed.
func slotRate(c path.Cutter) float64 {
	return float64(c.DepthOfCut * c.ChipLoad * float64(c.Flutes) * min(c.Speed, c.FastestSpeed))
}

// slotRoom returns how far inside the blank the slot stays at least.
func (e *extrasPlanner) slotRoom(way []r2.Vec, r float64) float64 {
	least := math.Inf(1)
	for _, p := range way {
		least = min(least, e.w.Blank.Inside(p.X, p.Y)-r)
	}
	return least
}

// slotOf returns the slot of a cutter round a line, and the closed way of its axis.
// At a corner the way runs on to where the two sides' ways meet: there the slot is
// wider, on the side of the waste. ok is false where the way would come nearer to the
// line than it should.
func slotOf(line []r2.Vec, c path.Cutter, shy float64) (ring *dish.Band, way []r2.Vec, ok bool, err error) {
	by := c.Radius() + shy
	if ring, err = dish.NewBand(line, c.Diameter+slotOver); err != nil {
		return nil, nil, false, err
	}
	points, normals := ring.Line()
	n, far := len(points), by
	for i, p := range points {
		a, b := normals[(i+n-1)%n], normals[i]
		k := 1 + float64(a.X*b.X) + float64(a.Y*b.Y)
		if k < sharpestCut {
			return ring, nil, false, nil
		}
		way = append(way, exact.AddScaled2(p, r2.Add(a, b), by/k))
		far = max(far, by*math.Sqrt(2/k))
	}
	for i, p := range way {
		q := way[(i+1)%len(way)]
		for _, v := range [...]r2.Vec{p, exact.Scale2(0.5, r2.Add(p, q))} {
			if out := ring.Outside(v.X, v.Y); out < by-cornerMiss {
				return ring, nil, false, nil
			}
		}
	}
	ring, err = dish.NewBand(line, far+c.Radius()+slotOver)
	return ring, way, err == nil, err
}

// slot is a cut-out, worked out and not yet laid down.
type slot struct {
	cutter path.Cutter
	round  []r2.Vec // the way of the axis, closed
	cut    extra.CutOut
	top    float64 // z of the tabs' tops
}

// slotSpot is a place of the way round; free where the cutter may go to the bottom.
type slotSpot struct {
	at   r2.Vec
	free bool
}

// spots returns the way round from the middle of the first tab on, with the places
// where a tab begins and ends.
func (s slot) spots() []slotSpot {
	r := s.cutter.Radius() + tabShy
	free := func(p r2.Vec) bool { return s.cut.TabClearance(p.X, p.Y) >= r }
	var list []slotSpot
	n := len(s.round)
	for i, p := range s.round {
		q := s.round[(i+1)%n]
		// A long side may pass a tab between its ends.
		k := max(1, int(math.Ceil(exact.Dist(q.X-p.X, q.Y-p.Y)/2)))
		for j := range k {
			a := exact.AddScaled2(p, r2.Sub(q, p), float64(j)/float64(k))
			b := exact.AddScaled2(p, r2.Sub(q, p), float64(j+1)/float64(k))
			fa, fb := free(a), free(b)
			if j == 0 || fa != fb {
				list = append(list, slotSpot{a, fa})
			}
			if fa == fb {
				continue
			}
			lo, hi := exact.Bisect(0, 1, 40, func(t float64) bool { return free(exact.AddScaled2(a, r2.Sub(b, a), t)) == fa })
			edge := lo // the free side
			if fb {
				edge = hi
			}
			list = append(list, slotSpot{exact.AddScaled2(a, r2.Sub(b, a), edge), true})
			if j+1 < k {
				list = append(list, slotSpot{b, fb})
			}
		}
	}
	for i, p := range list {
		if !p.free {
			return append(append([]slotSpot(nil), list[i:]...), list[:i]...)
		}
	}
	return list
}

// tabShy keeps the cutter from a tab's ends by the rounding of coordinates, mm.
const tabShy = 0.005

// problems returns why the tabs do not suit the line.
func (s slot) problems(o work.CutOutWanted) (ps work.Problems) {
	long := 0.0
	for i, p := range s.round {
		q := s.round[(i+1)%len(s.round)]
		long += exact.Dist(q.X-p.X, q.Y-p.Y)
	}
	need := float64(float64(len(o.Tabs)) * (o.TabLength + 2*s.cutter.Diameter))
	switch {
	case len(o.Tabs) == 0:
		ps.Add(work.KindExtra, o.Key, measure.Say("%s has no tabs: what comes free under a cutter flies", o.Name), measure.Say("3 to 8 tabs"))
	case need > long:
		ps.Add(work.KindExtra, o.Key, measure.Say("%d tabs of %s leave nothing of a line of %s to cut", len(o.Tabs), measure.MM(o.TabLength), measure.MM(long)), measure.Say("fewer or shorter tabs, or a narrower cutter"))
	case s.top > -0.5:
		ps.Add(work.KindExtra, o.Key, measure.Say("tabs of %s are nearly as high as the blank is thick", measure.MM(o.TabHeight)), measure.Say("about %s", measure.MM(3)))
	case s.cutter.DepthOfCut < work.BiteMargin+pass.LeastLayer:
		ps.Add(work.KindBite, work.DepthOfCutKey(s.cutter), measure.Say("%s may bite only %s", s.cutter.Name, measure.MM(s.cutter.DepthOfCut)), measure.Say("at least %s", measure.MM(work.BiteMargin+pass.LeastLayer)))
	}
	return ps
}

// lay lays the slot down: a ramp round and round to the tabs' tops, once round there, and
// between the tabs back and forth through the blank.
func (s slot) lay(b *link.Builder) {
	spots := s.spots()
	place := func(p r2.Vec, z float64) r3.Vec { return b.Place(p.X, p.Y, link.Level(z)) }
	var round []r3.Vec
	for i := range len(spots) + 1 {
		round = append(round, place(spots[i%len(spots)].at, s.top))
	}
	l := link.Linker{Builder: b, Cutter: s.cutter, Stands: link.FlatTop(0), Beside: link.FlatTop(0), Bite: s.cutter.DepthOfCut - work.BiteMargin}
	l.Cut(link.Closed(b.Along(round)))
	l.Stands = link.FlatTop(s.top)
	for i := 0; i < len(spots); i++ {
		b.Line(place(spots[i].at, s.top), b.Feeds.Feed)
		var run []r3.Vec
		for ; i < len(spots) && spots[i].free; i++ {
			run = append(run, place(spots[i].at, s.cut.Bottom))
		}
		if len(run) == 0 {
			continue
		}
		i--
		if len(run) > 1 {
			l.Cut(b.Along(run))
			b.Line(r3.Vec{X: b.At.X, Y: b.At.Y, Z: s.top}, b.Feeds.Feed)
		}
	}
	b.Lift()
}

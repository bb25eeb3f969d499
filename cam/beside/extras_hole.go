package beside

import (
	"cmp"
	"math"

	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/extra"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// hole plans a bore. A cutter narrower than the hole goes round in a helix; a cutter
// as wide as it would have to go straight down, which only one that cuts to its
// middle can.
func (e *extrasPlanner) hole(h work.HoleWanted) {
	bottom := e.through()
	if h.Depth > 0 {
		bottom = e.w.Grid().Raise(-h.Depth)
	}
	if top := e.faceOver(h); bottom >= top {
		e.problems.Add(work.KindExtra, h.Key, measure.Say("%s ends %v below the blank's top, above the face, which lies %v deep there or deeper", h.Name, measure.MM(-bottom), measure.MM(-top)), measure.Say("a depth of more than %v, for it counts from the blank's top, or none: through the blank", measure.MM(-top)))
		return
	}
	best, why, orElse := path.Cutter{}, measure.Say("no straight cutter is on the shelf"), ""
	most := h.Diameter - 2*leastOrbit
	for _, c := range e.candidates(h.Cutter) {
		room := h.Diameter/2 - c.Radius()
		switch able := e.able(c, -bottom); {
		case c.Shape != path.Flat:
			if h.Cutter != "" {
				why = measure.Say("%s is a %s, which leaves no straight wall to the bottom", c.Name, c.Shape)
			}
		case room < leastOrbit:
			why = measure.Say("%s, %s wide, does not go round in a hole of %s", c.Name, measure.MM(c.Diameter), measure.MM(h.Diameter))
		case boreRounds(room-e.w.Grid().Step, c.Radius())[0] < c.Core/2:
			why = measure.Say("%s would press its core of %s, which does not cut, down on the middle of a hole of %s", c.Name, measure.MM(c.Core), measure.MM(h.Diameter))
			orElse = "core: 0 mm for one whose edges meet in the middle, "
			most = min(most, h.Diameter/(1+c.Core/c.Diameter))
		case !able.Empty():
			why = measure.Say("%s: %s", c.Name, able)
		case best.Diameter < c.Diameter:
			best = c
		}
	}
	if best.Name == "" {
		e.cannot(h.Name, h.Key, h.Cutter, why, measure.Say("a straight (flat) cutter of at most %s with flutes of at least %s, %sor drill it by hand from X0 Y0", measure.MM(math.Floor(most*10)/10), measure.MM(-bottom), orElse))
		return
	}
	if in := e.w.Blank.Inside(h.X, h.Y) - h.Diameter/2; in < 0 {
		e.problems.Add(work.KindSize, h.Key, measure.Say("%s at %v reaches %s beyond the blank", h.Name, measure.At(h.X, h.Y), measure.MM(-in)), measure.Say("a place on the blank, in the face frame: X0 Y0 is over the apex"))
		return
	}
	rounds := boreRounds(h.Diameter/2-best.Radius()-e.w.Grid().Step, best.Radius())
	if min(float64(2*math.Pi*rounds[0]*work.Steep(best)), best.DepthOfCut-work.BiteMargin) < leastPitch {
		e.problems.Add(work.KindRamp, work.RampKey(best), measure.Say("%s goes down too slowly for a hole", best.Name), measure.Say("a steeper ramp, a wider hole, or another cutter"))
		return
	}
	e.out.Set.Holes = append(e.out.Set.Holes, extra.Hole{Name: h.Name, X: h.X, Y: h.Y, Radius: h.Diameter / 2, Bottom: bottom})
	e.add(jobOf{best, measure.Say("%s, %v wide and %v deep", cmp.Or(h.Group, h.Name), measure.MM(h.Diameter), measure.MM(-bottom)), h.Group, -bottom,
		func(b *link.Builder) { bore(b, best, r2.Vec{X: h.X, Y: h.Y}, rounds, bottom) }})
}

// faceOver returns the highest that a face leaves over a hole, mm: 0 where the hole reaches out
// of it, or up to the middle of a crown.
func (e *extrasPlanner) faceOver(h work.HoleWanted) float64 {
	if !e.w.HasFace() || !e.w.Face.Rises() {
		return 0
	}
	if off, _ := e.w.Region.Off(h.X, h.Y); off > -h.Diameter/2 {
		return 0
	}
	return e.w.Face.Height(min(e.w.Face.Rim, e.w.Face.Distance(h.X, h.Y)+h.Diameter/2))
}

// leastOrbit is the smallest circle that a bore goes round on, mm.
const leastOrbit = 0.25

// bore cuts a round hole down a helix no steeper than the cutter's ramp. A hole too
// wide for one round is cut in layers no deeper than the cutter may bite, each down
// the innermost round and from there outward.
func bore(b *link.Builder, c path.Cutter, at r2.Vec, rounds []float64, bottom float64) {
	bite := c.DepthOfCut - work.BiteMargin
	layers := 1.0
	if len(rounds) > 1 {
		layers = math.Ceil(-bottom / bite)
	}
	l := link.Linker{Builder: b, Cutter: c, Bite: bite, Near: 2 * rounds[len(rounds)-1], Beside: link.FlatTop(0)}
	for k := 1.0; k <= layers; k++ {
		l.Stands = link.FlatTop(float64(bottom * ((k - 1) / layers)))
		for _, r := range rounds {
			s := b.Round(at, r, wallChord, r2.Vec{X: 1}, float64(bottom*(k/layers)))
			for i := range s.Feeds {
				s.Feeds[i] = b.Feeds.Plunge
			}
			l.Cut(s)
		}
	}
	b.Lift()
}

// boreRounds returns the radii on which a cutter of radius r goes round to clear a disc
// of room + r: the first clears the middle, and none lies so near to the next that it
// would leave it but a sliver to cut.
func boreRounds(room, r float64) []float64 {
	if room <= 0.95*r {
		return []float64{room}
	}
	inner := min(0.8*r, room-float64(0.4*r))
	rounds := []float64{inner}
	for n, k := math.Ceil((room-inner)/(1.2*r)), 1.0; k <= n; k++ {
		rounds = append(rounds, inner+float64(k/n*(room-inner)))
	}
	return rounds
}

// leastPitch is the least that a helix goes down in a turn, mm.
const leastPitch = 0.01

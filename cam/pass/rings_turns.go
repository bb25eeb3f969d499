package pass

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/work"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r2"
)

// ringPieces says into how many chords or arcs a turn is divided. Turns with the same
// number of chords have them side by side, so that the gap between them is the
// same all along; therefore the number stays while it can, and where it changes
// the step is smaller by what a chord may leave its circle.
type ringPieces struct {
	arcs   bool
	bands  []ringBand // from the middle out
	beyond int        // pieces of a turn outside the last of them
}

// ringBand is what lies inside out: so many pieces a turn, the chords of which leave
// their circle by sag at most.
type ringBand struct {
	out   float64
	count int
	sag   float64
}

const (
	fewestPieces = 16
	bandGrows    = 1.2 // from one band to the next: a tenth more chords than without bands
)

// newRingPieces divides the turns of r, chords from the middle out as the rim needs them.
func newRingPieces(r rings) ringPieces {
	if r.piece.Machine.Arcs {
		return ringPieces{arcs: true, beyond: r.quarters()}
	}
	far := max(r.outer, r.moat)
	sag := func(d float64) float64 { return r.sag(min(d, r.outer)) }
	p := ringPieces{}
	for n := fewestPieces; ; n = int(math.Ceil(float64(n)*bandGrows/4)) * 4 {
		// A chord over the angle 2δ leaves a circle by d(1 − cos δ), about dδ²/2.
		keeps := func(d float64) bool { return d*exact.Square(math.Pi/float64(n))/2 <= sag(d) }
		if keeps(far) || n > work.MostMoves {
			p.beyond = n
			return p
		}
		lo, _ := exact.Bisect(0, far, 50, keeps)
		p.bands = append(p.bands, ringBand{lo, n, sag(lo)})
	}
}

// quarters returns into how many arcs a turn is divided: four, or eight, or more
// where the distance from the apex would stray too far from the spiral's. An arc
// that takes δ of it, over the angle 2a, strays by about 0.033 a² δ.
func (r rings) quarters() int {
	slope := math.Abs(r.tool.Rise(r.outer, 0))
	s := math.Sqrt(float64(8 * r.target * r.tool.Corner))
	if slope > 0 && r.tool.Flat > 0 {
		s += min(2*r.tool.Flat, r.target/slope)
	}
	for n := 4; ; n *= 2 {
		a := math.Pi / float64(n)
		if 0.033*exact.Square(a)*s/float64(n)*slope <= r.tol || n >= 128 {
			return n
		}
	}
}

// at returns how many pieces make up a turn that begins at d.
func (p ringPieces) at(d float64) int {
	for _, b := range p.bands {
		if d <= b.out {
			return b.count
		}
	}
	return p.beyond
}

// beside returns what a step s inward from d is made smaller by: the sag of the
// inner of two turns that are divided differently, and gently less around them.
func (p ringPieces) beside(d, s float64) float64 {
	most := 0.0
	for _, b := range p.bands {
		off := math.Abs(d-b.out) / s
		most = max(most, b.sag*min(1, max(0, 3-2*off)))
	}
	return min(most, s/2)
}

// wind lays out the spiral from the rim in, or from the moat.
func (r *rings) wind() error {
	last := []float64{r.outer, r.outer} // distances on the turn before, evenly round
	t := 0.0
	r.spots = r.transit()
	r.spots = r.round(r.spots, r.outer, 0)
	r.least = math.Inf(1)
	met := math.Inf(1) // when it comes to the innermost
	if r.outer <= r.inner {
		met = -1
	}
	for first := true; math.IsInf(met, 1); first = false {
		t++
		from := last[len(last)-1]
		n := r.pieces.at(from)
		now := []float64{from}
		for i := 1; i <= n; i++ {
			share := float64(i) / float64(n)
			d := ringBetween(last, share)
			s := r.step(d)
			if first { // from the round to the first place a step inside
				s = float64(s * share)
			}
			d -= s
			if d <= r.inner {
				met = t + share
				r.spots = r.round(append(r.spots, ringSpot{r.inner, met}), r.inner, met)
				break
			}
			if !first {
				r.least, r.most = min(r.least, s), max(r.most, s)
			}
			now = append(now, d)
			r.spots = append(r.spots, ringSpot{d, t + share})
		}
		if len(r.spots) > work.MostMoves {
			return tooLong(float64(len(r.spots)) * exact.Square(r.outer/now[len(now)-1]))
		}
		last = now
	}
	r.turns = int(math.Ceil(r.spots[len(r.spots)-1].turns - 1e-9))
	if r.most == 0 { // a spiral of hardly a turn, or none
		r.most = max(0, r.outer-r.inner)
		r.least = r.most
	}
	return nil
}

// ringBetween returns the value at a share of evenly spaced ones.
func ringBetween(v []float64, share float64) float64 {
	x := float64(share * float64(len(v)-1))
	i := min(int(x), len(v)-2)
	return v[i] + float64((v[i+1]-v[i])*(x-float64(i)))
}

// round adds a full turn at d.
func (r rings) round(spots []ringSpot, d, turns float64) []ringSpot {
	n := r.pieces.at(d)
	for i := range n + 1 {
		if i > 0 || len(spots) == 0 {
			spots = append(spots, ringSpot{d, turns + float64(i)/float64(n)})
		}
	}
	return spots
}

// transit leads from the moat to the round at the rim, in turns that take no more
// than half the cutter's width at a time.
func (r rings) transit() (spots []ringSpot) {
	if r.moat == 0 {
		return nil
	}
	turns := int(math.Ceil((r.moat - r.outer) / r.tool.Radius()))
	n := turns * r.pieces.at(r.moat)
	for i := range n + 1 {
		share := float64(i) / float64(n)
		spots = append(spots, ringSpot{r.moat + float64((r.outer-r.moat)*share), float64(float64(turns) * (share - 1))})
	}
	return spots
}

// place returns where a spot lies in plan.
func (s ringSpot) place() r2.Vec {
	x, y := work.Unit(s.turns)
	return r2.Vec{X: float64(s.d * x), Y: float64(s.d * y)}
}

// arc returns the arc from one place of the spiral to the next, about a centre off the apex:
// with unit vectors u and v to the two, it is κ(u − v), with κ = (d₁ − d₂) / (2 − 2 u·v). Then
// both are equally far from it, and two arcs that take as much of the distance as each other
// touch without a bend.
func arc(a, b ringSpot) link.Leg {
	ux, uy := work.Unit(a.turns)
	vx, vy := work.Unit(b.turns)
	k := (a.d - b.d) / (2 - 2*(float64(ux*vx)+float64(uy*vy)))
	return link.ArcAbout(r2.Vec{X: float64(k * (ux - vx)), Y: float64(k * (uy - vy))}, a.place(), b.place())
}

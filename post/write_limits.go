package post

import (
	"errors"
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"

	"gonum.org/v1/gonum/spatial/r3"
)

// limitSlack is the share by which a computed rate may exceed a limit: the
// rounding of a float64, nothing that a machine could feel.
const limitSlack = 1e-9

// validate returns why the program as a whole may not be written.
func (p Program) validate() error {
	m, c := p.Machine, p.Cutter
	if !p.SpindleOff && (!(p.Speed > 0) || p.Speed > min(c.FastestSpeed, m.Spindle.Fastest)*(1+limitSlack) || p.Speed < m.Spindle.Slowest*(1-limitSlack)) {
		return fmt.Errorf("a spindle speed of %g is outside what %s (%g to %g) and %s (at most %g) allow", p.Speed, m.Name, m.Spindle.Slowest, m.Spindle.Fastest, c.Name, c.FastestSpeed)
	}
	if !p.SpindleOff && m.HandRouter() != (p.Dial != "") {
		return errors.New("a dial setting belongs to a hand router, and to no other spindle")
	}
	if p.Thickness+p.Clearance > m.Travel.Z {
		return fmt.Errorf("clearance %g mm above a blank of %g mm is beyond the travel of %s in Z (%g mm)", p.Clearance, p.Thickness, m.Name, m.Travel.Z)
	}
	if !(p.Clearance > 0) {
		return fmt.Errorf("clearance must lie above the blank's top, not at %g mm", p.Clearance)
	}
	low, high, moves := p.bounds()
	if moves == 0 {
		return errors.New("a program without moves")
	}
	size := r3.Sub(high, low)
	if size.X > m.Travel.X*(1+limitSlack) || size.Y > m.Travel.Y*(1+limitSlack) {
		return fmt.Errorf("the moves run over %g by %g mm, beyond the travel of %s (%g by %g mm)", size.X, size.Y, m.Name, m.Travel.X, m.Travel.Y)
	}
	if p.SpindleOff && low.Z < p.Clearance {
		return fmt.Errorf("with the spindle off the tip would go to %g mm, below clearance (%g mm)", low.Z, p.Clearance)
	}
	if low.Z <= -p.Thickness && low.Z < p.LowestTip {
		return fmt.Errorf("the tip would go to %g mm, through a blank of %g mm", low.Z, p.Thickness)
	}
	if high.Z > p.Clearance {
		return fmt.Errorf("the tip would rise to %g mm, above clearance (%g mm)", high.Z, p.Clearance)
	}
	return nil
}

// checkMove returns why a move may not be written.
func (p Program) checkMove(m path.Move) error {
	for _, v := range [...]float64{m.From.X, m.From.Y, m.From.Z, m.To.X, m.To.Y, m.To.Z, m.Centre.X, m.Centre.Y, m.Centre.Z, m.Feed} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return errors.New("a coordinate or a feed is not a number")
		}
	}
	d := r3.Sub(m.To, m.From)
	switch m.Kind {
	case path.Traverse:
		if d.Z != 0 && (d.X != 0 || d.Y != 0) {
			return errors.New("a traverse may not change Z together with X or Y")
		}
		if d.Z == 0 && m.To.Z < p.Clearance {
			return fmt.Errorf("a traverse sideways at %g mm is below clearance (%g mm)", m.To.Z, p.Clearance)
		}
		return nil
	case path.Arc:
		if !p.Machine.Arcs {
			return fmt.Errorf("%s takes no arcs", p.Machine.Name)
		}
		if _, from, to := m.Sweep(); math.Abs(from-to) > maxRadiiMismatch[p.Machine.Unit] {
			return fmt.Errorf("the two radii of an arc, %g and %g mm, differ by more than the language allows", from, to)
		}
	}
	if !(m.Feed > 0) {
		return errors.New("a feed move has no feed")
	}
	return p.checkFeed(m)
}

// checkFeed checks every axis against its own limit where the move runs most
// along it: at both ends of an arc, and where it crosses an axis of its plane.
// The tip advances at most by what the cutter may take of it, thin chips counted.
func (p Program) checkFeed(m path.Move) error {
	c := p.Cutter
	if maxFeed := float64(maxThinning * p.Speed * float64(c.Flutes) * c.ChipLoad); !p.SpindleOff && !(m.Feed <= float64(maxFeed*(1+limitSlack))+feedRounding) {
		return fmt.Errorf("a feed of %g mm/min is more than %s may take at a speed of %g (%g mm/min)", m.Feed, c.Name, p.Speed, maxFeed)
	}
	axisLimit := p.Machine.Feed
	dirs := []r3.Vec{r3.Sub(m.To, m.From)}
	if m.Kind == path.Arc {
		dirs = []r3.Vec{r3.Sub(m.At(tangentFraction), m.From), r3.Sub(m.To, m.At(1-tangentFraction))}
		for _, t := range quadrantFractions(m) {
			dirs = append(dirs, r3.Sub(m.At(min(1, t+tangentFraction/2)), m.At(max(0, t-tangentFraction/2))))
		}
	}
	for _, d := range dirs {
		n := r3.Norm(d)
		if n == 0 {
			continue
		}
		for _, a := range [...]struct {
			name             string
			component, limit float64
		}{{"X", d.X, axisLimit.X}, {"Y", d.Y, axisLimit.Y}, {"Z", d.Z, axisLimit.Z}} {
			if m.Feed*math.Abs(a.component)/n > float64(a.limit*(1+limitSlack))+feedRounding {
				return fmt.Errorf("a feed of %g mm/min moves %s faster than %s may (%g mm/min)", m.Feed, a.name, p.Machine.Name, a.limit)
			}
		}
	}
	return nil
}

const (
	tangentFraction = 1e-4 // share of an arc that stands for its tangent
	feedRounding    = 1e-3 // mm/min; the tangent of an arc is taken from a short chord
	maxThinning     = 1.5  // by how much thin chips may raise the feed
)

// maxRadiiMismatch is how far an arc's two radii may differ, in mm [NGC 3.5.3.2].
var maxRadiiMismatch = [...]float64{0.002, 0.0002 * 25.4}

// quadrantFractions returns the shares of an arc at which it runs along an axis of its
// plane, and stands furthest out along the other.
func quadrantFractions(m path.Move) (fractions []float64) {
	angle, _, _ := m.Sweep()
	d := r3.Sub(m.From, m.Centre)
	i, j, _ := m.Plane.Axes()
	component := [...]float64{d.X, d.Y, d.Z}
	from := math.Atan2(component[j], component[i]) / (math.Pi / 2)
	to := from + angle/(math.Pi/2)
	for q := math.Ceil(min(from, to)); q <= max(from, to); q++ {
		fractions = append(fractions, min(max((q-from)/(to-from), 0), 1))
	}
	return fractions
}

// bounds returns the least and greatest coordinates that the tip comes to, and
// how many moves there are; zeros where there are none.
func (p Program) bounds() (low, high r3.Vec, moves int) {
	low = r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}
	high = exact.Scale3(-1, low)
	grow := func(v r3.Vec) {
		low = r3.Vec{X: min(low.X, v.X), Y: min(low.Y, v.Y), Z: min(low.Z, v.Z)}
		high = r3.Vec{X: max(high.X, v.X), Y: max(high.Y, v.Y), Z: max(high.Z, v.Z)}
	}
	for _, s := range p.Sections {
		for _, m := range s.Moves {
			moves++
			grow(m.To)
			if m.Kind == path.Arc {
				for _, t := range quadrantFractions(m) {
					grow(m.At(t))
				}
			}
		}
	}
	if moves == 0 {
		return r3.Vec{}, r3.Vec{}, 0
	}
	return low, high, moves
}

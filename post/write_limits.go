package post

import (
	"errors"
	"fmt"
	"math"

	"dishwright/cam/path"

	"gonum.org/v1/gonum/spatial/r3"
)

// overLimit is the share by which a computed rate may exceed a limit: the
// rounding of a float64, nothing that a machine could feel.
const overLimit = 1e-9

// refuse returns why the program as a whole may not be written.
func (p Program) refuse() error {
	m, c := p.Machine, p.Cutter
	if !(p.Speed > 0) || p.Speed > math.Min(c.FastestSpeed, m.Spindle.Fastest)*(1+overLimit) || p.Speed < m.Spindle.Slowest*(1-overLimit) {
		return fmt.Errorf("a spindle speed of %g is outside what %s (%g to %g) and %s (at most %g) allow", p.Speed, m.Name, m.Spindle.Slowest, m.Spindle.Fastest, c.Name, c.FastestSpeed)
	}
	if m.Hand() != (p.Dial != "") {
		return errors.New("a dial setting belongs to a hand router, and to no other spindle")
	}
	if p.Thickness+p.Clearance > m.Travel.Z {
		return fmt.Errorf("clearance %g mm above a blank of %g mm is beyond the travel of %s in Z (%g mm)", p.Clearance, p.Thickness, m.Name, m.Travel.Z)
	}
	low := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}
	high := r3.Scale(-1, low)
	for _, s := range p.Sections {
		for _, v := range s.Moves {
			low = r3.Vec{X: math.Min(low.X, v.To.X), Y: math.Min(low.Y, v.To.Y), Z: math.Min(low.Z, v.To.Z)}
			high = r3.Vec{X: math.Max(high.X, v.To.X), Y: math.Max(high.Y, v.To.Y), Z: math.Max(high.Z, v.To.Z)}
		}
	}
	size := r3.Sub(high, low)
	if size.X > m.Travel.X || size.Y > m.Travel.Y {
		return fmt.Errorf("the moves run over %g by %g mm, beyond the travel of %s (%g by %g mm)", size.X, size.Y, m.Name, m.Travel.X, m.Travel.Y)
	}
	if low.Z <= -p.Thickness {
		return fmt.Errorf("the tip would go to %g mm, through a blank of %g mm", low.Z, p.Thickness)
	}
	if high.Z > p.Clearance {
		return fmt.Errorf("the tip would rise to %g mm, above clearance (%g mm)", high.Z, p.Clearance)
	}
	return nil
}

// allowed returns why a move may not be written.
func (p Program) allowed(m path.Move) error {
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
	}
	if !(m.Feed > 0) {
		return errors.New("a feed move has no feed")
	}
	return p.feedAllowed(m)
}

// feedAllowed checks every axis against its own limit, at both ends of an arc
// and in its middle: an arc of a pass is steepest at an end and most level in
// its middle.
func (p Program) feedAllowed(m path.Move) error {
	limit := p.Machine.Feed
	dirs := []r3.Vec{r3.Sub(m.To, m.From)}
	if m.Kind == path.Arc {
		dirs = []r3.Vec{r3.Sub(m.At(arcEnd), m.From), r3.Sub(m.At(0.5+arcEnd), m.At(0.5)), r3.Sub(m.To, m.At(1-arcEnd))}
	}
	for _, d := range dirs {
		n := r3.Norm(d)
		if n == 0 {
			continue
		}
		for _, a := range [...]struct {
			name       string
			part, most float64
		}{{"X", d.X, limit.X}, {"Y", d.Y, limit.Y}, {"Z", d.Z, limit.Z}} {
			if m.Feed*math.Abs(a.part)/n > a.most*(1+overLimit)+feedRounding {
				return fmt.Errorf("a feed of %g mm/min moves %s faster than %s may (%g mm/min)", m.Feed, a.name, p.Machine.Name, a.most)
			}
		}
	}
	return nil
}

const (
	arcEnd       = 1e-4 // share of an arc that stands for its tangent
	feedRounding = 1e-3 // mm/min; the tangent of an arc is taken from a short chord
)

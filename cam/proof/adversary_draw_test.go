package proof

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"dishwright/cam/path"
	"dishwright/dish"

	"gonum.org/v1/gonum/spatial/r3"
)

// deceit is a set of programs that are made to deceive the proof, and what they are held
// against.
type deceit struct {
	trick    string
	number   uint64
	limits   Case
	top      float64 // of what stands before, where the scallop alone counts
	programs []Program
	places   []r3xy // where it is likely worst
}

// adversary draws deceits. The same seed and number draw the same on every machine.
type adversary struct{ *rand.Rand }

func newAdversary(seed, number uint64) adversary {
	return adversary{rand.New(rand.NewPCG(seed, number))}
}

func (a adversary) within(least, most float64) float64 { return least + (most-least)*a.Float64() }

// scale draws so that each octave is as likely as any other.
func (a adversary) scale(least, most float64) float64 {
	return least * math.Exp(a.Float64()*math.Log(most/least))
}

// often is true in so many of a hundred cases.
func (a adversary) often(percent int) bool { return a.IntN(100) < percent }

// route is a program as it is put together, on the four decimals of a text.
type route struct {
	Program
	tip r3.Vec
}

func newRoute(name string, c path.Cutter, at r3.Vec) *route {
	return &route{Program{Name: name, Cutter: c}, at}
}

// to goes straight to a place.
func (r *route) to(kind path.Kind, x, y, z float64) {
	end := r3.Vec{X: round4(x), Y: round4(y), Z: round4(z)}
	r.add(path.Move{Kind: kind, From: r.tip, To: end, Feed: 600})
}

// by goes straight by so much.
func (r *route) by(kind path.Kind, x, y, z float64) {
	r.to(kind, r.tip.X+x, r.tip.Y+y, r.tip.Z+z)
}

// turn goes an angle (radians, counter-clockwise) about a centre in plan, and rises.
func (r *route) turn(x, y, angle, rise float64) {
	sin, cos := math.Sincos(angle)
	dx, dy := r.tip.X-x, r.tip.Y-y
	end := r3.Vec{X: round4(x + dx*cos - dy*sin), Y: round4(y + dx*sin + dy*cos), Z: round4(r.tip.Z + rise)}
	r.add(path.Move{Kind: path.Arc, From: r.tip, To: end, Centre: r3.Vec{X: x, Y: y, Z: r.tip.Z}, Clockwise: angle < 0, Feed: 600})
}

func (r *route) add(m path.Move) {
	m.Source = path.Source{Line: len(r.Path.Moves) + 1, Column: 1}
	r.Path.Moves, r.tip = append(r.Path.Moves, m), m.To
}

// text prints a deceit so that it can be tried again by hand.
func (d *deceit) text() string {
	var b strings.Builder
	c := d.limits
	fmt.Fprintf(&b, "%s, number %d\nface %+v, top %g, blank %+v, cell %g, tilt %g, undersize %g, region %+v\nextras %+v, warp %+v\n", d.trick, d.number, c.Face, d.top, c.Blank, c.CellSize, c.Tilt, c.Undersize, c.Region, c.Extras, c.Warp)
	for _, p := range d.programs {
		fmt.Fprintf(&b, "(%s, cutter %+v)\n", p.Name, p.Cutter)
		for i, m := range p.Path.Moves {
			if i == 0 || p.Path.Moves[i-1].To != m.From {
				fmt.Fprintf(&b, "(from X%.4f Y%.4f Z%.4f)\n", m.From.X, m.From.Y, m.From.Z)
			}
			word := [...]string{path.Traverse: "G0", path.Line: "G1", path.Arc: "G3"}[m.Kind]
			if m.Kind == path.Arc && m.Clockwise {
				word = "G2"
			}
			fmt.Fprintf(&b, "%s X%.4f Y%.4f Z%.4f", word, m.To.X, m.To.Y, m.To.Z)
			if m.Kind == path.Arc {
				v := r3.Sub(m.Centre, m.From)
				fmt.Fprintf(&b, " I%.4f J%.4f K%.4f (in %s)", v.X, v.Y, v.Z, m.Plane)
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// cutter draws a cutter of so many mm.
func (a adversary) cutter(least, most float64) path.Cutter {
	c := path.Cutter{Name: "drawn", Shape: path.Shape(a.IntN(3)), Diameter: round4(a.scale(least, most)), Flutes: 2, FastestSpeed: 18000, ChipLoad: 0.05, StickOut: 60, Ramp: math.Pi / 60}
	if c.Shape == path.Bull {
		c.Corner = round4(math.Min(a.scale(0.05, 3), 0.49*c.Diameter))
	}
	c.DepthOfCut = round4(a.scale(0.5, 3))
	c.FluteLength = round4(c.DepthOfCut * a.within(1, 4))
	c.Shank = c.Diameter
	if a.often(20) {
		c.Shank = round4(c.Diameter * a.within(1.05, 2))
	}
	if a.often(70) {
		c.Core = round4(c.Diameter * a.within(0.05, 0.6))
	}
	return c
}

// block is a case in which hardly anything but wood counts: a thick square blank, and a
// hollow in it too deep to be reached, its rim near the edge.
func (a adversary) block() Case {
	side := round4(a.within(30, 60))
	face := must(dish.NewFace(dish.Hollow, side*0.45, side*0.44))
	return Case{Face: face, Blank: dish.Blank{Shape: dish.Square, Length: side, Width: side, Thickness: 60}, MinWood: 5,
		Machine: spindleMachine(), MaxScallop: 100, CellSize: a.scale(0.25, 2)}
}

// earlier draws a program of another cutter that goes a few ways through the wood, so
// that what the field knows of corners and walls is another's.
func (a adversary) earlier(c Case) *route {
	t := a.cutter(2, 12)
	far := c.Blank.Length
	r := newRoute("1-earlier.ngc", t, r3.Vec{X: -far, Z: 10})
	for range 1 + a.IntN(4) {
		sin, cos := math.Sincos(a.within(0, 2*math.Pi))
		off, deep := a.within(-0.4, 0.4)*far, -a.scale(0.05, 2)
		r.to(path.Traverse, -far*cos-off*sin, -far*sin+off*cos, 10)
		r.by(path.Traverse, 0, 0, deep-10)
		r.to(path.Line, far*cos-off*sin, far*sin+off*cos, deep)
		r.by(path.Traverse, 0, 0, 10-deep)
	}
	return r
}

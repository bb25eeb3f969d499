package scrap

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/dish"
)

// Sizes of the marks, mm.
const (
	Size        = 120.0 // of the scrap, where the marks have room on it
	leastLand   = 2.0   // between marks, and at the scrap's edge
	Under       = 6.0   // left under the deepest mark
	leastBoss   = 12.0  // the ring's boss for a wide cutter
	mostBoss    = 24.0  // and for a narrow one
	straight    = 2.0   // of the ring's wall that stands upright over a corner
	overBall    = 1.5   // the same over a ball
	blockDepth  = 1.0   // of a tilt block's level floor
	blockLength = 14.0  // of its side passes
	halfDrop    = 0.14  // how far a side pass is above the level floor at its high end, and below at its low one
	leastFlat   = 3.0   // radius of the flat of a cutter whose tilt shows
	stairDepth  = 5.0
	stairLength = 8.0 // of each floor
	stairTop    = 1.0
)

// Slope is how steeply the side passes of a tilt block go down. Less of it would make lengths
// longer and the tilts that they can show smaller; a floor of wood is not even enough for
// that to tell more.
const Slope = 2 * halfDrop / blockLength

// Cut is one straight pass of the cutter's tip. It runs from From to To in one line along X
// or Y, and never goes up. Before it comes down the machine moves in the air in the
// direction Side, square to the cut, and from then on along the cut alone.
type Cut struct {
	Name     string
	From, To r3.Vec
	Side     r2.Vec
}

// Kind is what a mark is.
type Kind int

// The kinds of marks.
const (
	Boss   Kind = iota // a width between the calliper's outside jaws
	Pocket             // a width between its inside jaws
	Strip              // a length along a rule
	Floor              // a depth by the calliper's rod
)

// Mark is what is measured.
type Mark struct {
	Letter   string
	Kind     Kind
	What     string
	At       r2.Vec // where its letter stands
	From, To r2.Vec // in plan, from where to where; of a depth both are where the rod stands
	Nominal  float64
	Axis     int     // 0: it tells of X, 1: of Y, 2: of Z
	Sense    float64 // of a width 1 where its walls were come to outward, −1 inward; of a strip 1 on the side of the greater coordinate, −1 on the other
}

// Missing is what the scrap cannot tell, and why.
type Missing struct{ What, Why string }

// What a scrap may lack.
const (
	TiltMissing  = "the spindle's tilt"
	StairMissing = "the scale of Z"
)

// Layout is the whole scrap. Cuts are in running order: those of a block and of the stair
// rest on what stands before them.
type Layout struct {
	Body      dish.Body
	Size      float64 // of the square scrap
	Deepest   float64 // z of the deepest floor
	Thickness float64 // that the scrap needs at least
	Cuts      []Cut
	Marks     []Mark
	Missing   []Missing
	Across    float64 // between the middle lines of the ring's opposite sides
	Beside    float64 // between a block's level pass and its side passes; 0 without blocks
}

// Given is what a scrap is made for. Flutes and Thickness are 0 where they are not stated;
// Core is the width of the cutter's middle that does not cut.
type Given struct {
	Body                    dish.Body
	Flutes, Thickness, Core float64
}

// Short is a scrap too thin, or flutes too short, for the marks.
type Short struct {
	Flutes     bool
	Has, Needs float64 // mm
}

func (e *Short) Error() string {
	return fmt.Sprintf("%g mm are too few for the marks: they need %g", e.Has, e.Needs)
}

// Plan lays out the scrap for a cutter.
func Plan(g Given) (Layout, error) {
	p := plan{Layout: Layout{Body: g.Body}, wide: 2 * g.Body.Radius()}
	boss := max(leastBoss, min(mostBoss, 38-p.wide))
	p.Across = tidy(math.Ceil, p.wide+boss)
	depth := p.ringDepth()
	if g.Flutes > 0 && g.Flutes < depth {
		return Layout{}, &Short{true, g.Flutes, depth}
	}
	if g.Thickness > 0 && g.Thickness < depth+Under {
		return Layout{}, &Short{false, g.Thickness, depth + Under}
	}
	if g.Body.Flat >= leastFlat {
		// A side pass and the level floor share a strip of half the flat's radius.
		p.Beside = tidy(math.Floor, float64(1.5*g.Body.Flat))
		p.lead = tidy(math.Ceil, p.front())
	}
	p.last = max(stairLength, tidy(math.Ceil, g.Core))
	long := max(p.Across+p.wide, 2*p.Beside+p.wide)
	short := max(blockLength+p.lead, p.last+2*p.step()) + p.wide
	p.Size = max(Size, 10*math.Ceil((long+short+3*leastLand)/10))
	land := (p.Size - long - short) / 3
	near, far := tidy(math.Round, p.Size/2-land-long/2), tidy(math.Round, p.Size/2-land-short/2)
	p.Deepest = -depth
	p.ring(r2.Vec{X: -near, Y: -near}, depth)
	p.blocks(r2.Vec{X: far, Y: -near}, r2.Vec{X: -near, Y: far})
	p.stair(r2.Vec{X: far, Y: far}, g)
	p.Thickness = Under - p.Deepest
	return p.Layout, nil
}

// plan is a layout in the making.
type plan struct {
	Layout
	wide float64 // the cutter
	lead float64 // by how much a block's level pass is longer than its side passes, at their high end
	last float64 // length of the stair's last cut: on the way down the core leaves what stands there
}

// tidy rounds a place to a tenth of a millimetre.
func tidy(how func(float64) float64, mm float64) float64 { return how(float64(mm*10)) / 10 }

// ringDepth returns how deep the ring is cut, so that its walls stand upright above.
func (p *plan) ringDepth() float64 {
	if p.Body.Flat == 0 {
		return tidy(math.Ceil, p.Body.Corner+overBall)
	}
	return max(straight, tidy(math.Ceil, p.Body.Corner+straight))
}

// at returns a place in space.
func at(xy r2.Vec, z float64) r3.Vec { return r3.Vec{X: xy.X, Y: xy.Y, Z: z} }

// turned returns v turned by so many right angles to the left.
func turned(v r2.Vec, quarters int) r2.Vec {
	for range quarters {
		v = r2.Vec{X: 0 - v.Y, Y: v.X}
	}
	return v
}

// axes are the words of the axes.
var axes = [...]string{"X", "Y", "Z"}

// name returns the word of the direction of a vector along an axis.
func name(v r2.Vec) string {
	sign, axis := "+", 0
	if v.X+v.Y < 0 {
		sign = "-"
	}
	if v.X == 0 {
		axis = 1
	}
	return sign + axes[axis]
}

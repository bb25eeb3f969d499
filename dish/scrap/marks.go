package scrap

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/dish/exact"
)

// ring cuts the slot round the boss at c, left about, and lays out its widths.
func (p *plan) ring(c r2.Vec, depth float64) {
	half := p.Across / 2
	for k := range 4 {
		out := turned(r2.Vec{X: 1}, k)
		along := turned(out, 1)
		mid := exact.AddScaled2(c, out, half)
		// The halves at greater Y of the sides at ±X, and at greater X of those at ±Y, are
		// come to outward.
		for _, h := range [2]float64{-1, 0} {
			from, to := exact.AddScaled2(mid, along, float64(h*half)), exact.AddScaled2(mid, along, float64((h+1)*half))
			end := exact.Scale2(2*h+1, along)
			side := out
			if end.X+end.Y < 0 {
				side = turned(out, 2)
			}
			p.Cuts = append(p.Cuts, Cut{fmt.Sprintf("the ring's %s side, its half at %s", name(out), name(end)), at(from, -depth), at(to, -depth), side})
		}
	}
	letters := "ABCDEFGH"
	for _, kind := range []Kind{Boss, Pocket} {
		for axis := range 2 {
			for _, sense := range []float64{1, -1} {
				p.width(c, kind, axis, sense, letters[:1])
				letters = letters[1:]
			}
		}
	}
}

// width lays out one width of the ring at c, on the half of the axis that its walls stand
// along where the coordinate has the sign sense.
func (p *plan) width(c r2.Vec, kind Kind, axis int, sense float64, letter string) {
	across, along := turned(r2.Vec{X: 1}, axis), exact.Scale2(sense, turned(r2.Vec{Y: 1}, 3*axis))
	boss := p.Across - p.wide
	what, wide, off := "boss", boss, float64(0.375*boss)
	if kind == Pocket {
		what, wide, off = "pocket", p.Across+p.wide, boss/2+p.wide/4
	}
	mid := exact.AddScaled2(c, along, off)
	m := Mark{Letter: letter, Kind: kind, Axis: axis, Sense: sense, Nominal: wide, At: mid,
		What: fmt.Sprintf("width of the %s along %s, its half at %s", what, axes[axis], name(along)),
		From: exact.AddScaled2(mid, across, -(wide / 2)), To: exact.AddScaled2(mid, across, wide/2)}
	if kind == Pocket { // the letter stands in the slot
		m.At = exact.AddScaled2(mid, across, p.Across/2)
	}
	p.Marks = append(p.Marks, m)
}

// blocks lays out the tilt blocks at c, or says why there are none.
func (p *plan) blocks(c ...r2.Vec) {
	switch {
	case p.Body.Flat == 0:
		p.Missing = append(p.Missing, Missing{TiltMissing, "a ball cuts the same however it leans"})
	case p.Beside == 0:
		p.Missing = append(p.Missing, Missing{TiltMissing, "the level part of this cutter is too narrow to show it"})
	default:
		letters := []string{"JK", "LM"}
		for k := range c {
			p.block(c[k], k, letters[k])
		}
	}
}

// block cuts a tilt block at c, its passes along the axis.
//
// Where a strip ends is seen at the level floor's outer edge: on the side of the high end the
// floor beyond it stands higher, on the other side it is all one. There the level pass cuts
// with the outermost of its flat, at the height of its tip whatever way the cutter leans
// along the pass, and the side pass with what is front() ahead of its tip, as long as it has
// front() to go. So a tilt along the passes moves the ends of both strips alike.
func (p *plan) block(c r2.Vec, axis int, letters string) {
	along, across := turned(r2.Vec{X: 1}, axis), turned(r2.Vec{Y: 1}, 3*axis)
	low := exact.AddScaled2(c, along, (blockLength+p.lead)/2)
	pass := func(name string, off, drop, long float64) {
		end := exact.AddScaled2(low, across, off)
		p.Cuts = append(p.Cuts, Cut{fmt.Sprintf("tilt block %s, its %s", axes[axis], name), at(exact.AddScaled2(end, along, -long), drop-blockDepth), at(end, -drop-blockDepth), across})
	}
	pass("level pass", 0, 0, blockLength+p.lead)
	walls := chord(p.Body.HalfWidth(blockDepth), p.Beside/2) // from the tips' end to where the walls meet
	for k, sense := range []float64{1, -1} {
		way := exact.Scale2(sense, across)
		pass("side pass at "+name(way), float64(sense*p.Beside), halfDrop, blockLength)
		m := Mark{Letter: letters[k : k+1], Kind: Strip, Axis: 1 - axis, Sense: sense, Nominal: blockLength/2 + walls + p.front(),
			What: fmt.Sprintf("strip at %s of tilt block %s, from where the round walls meet at its low end to where the line along the level floor's edge begins", name(way), axes[axis])}
		m.From = exact.AddScaled2(exact.AddScaled2(low, way, p.Beside/2), along, walls)
		m.To = exact.AddScaled2(m.From, along, -m.Nominal)
		m.At = exact.AddScaled2(low, way, p.Beside)
		p.Marks = append(p.Marks, m)
	}
}

// front returns how far the flat of a side pass reaches ahead of its tip over the level
// floor's outer edge.
func (p *plan) front() float64 { return chord(p.Body.Flat, p.Beside-p.Body.Flat) }

// chord returns half the chord of a circle at the distance from its middle.
func chord(radius, distance float64) float64 {
	return math.Sqrt(exact.Square(radius) - exact.Square(distance))
}

// stair cuts three floors about c, the deepest last, or says why there are none.
func (p *plan) stair(c r2.Vec, g Given) {
	deepest := stairDepth
	if g.Flutes > 0 {
		deepest = min(deepest, tidy(math.Floor, g.Flutes))
	}
	if g.Thickness > 0 {
		deepest = min(deepest, tidy(math.Floor, g.Thickness-Under))
	}
	if deepest < 3*stairTop {
		p.Missing = append(p.Missing, Missing{StairMissing, "the flutes or the scrap are too short for a stair"})
		return
	}
	step := p.step()
	from := c.X - step - p.last/2
	for k, z := range []float64{stairTop, tidy(math.Round, (stairTop+deepest)/2), deepest} {
		end := from + p.last + float64(step*float64(2-k))
		p.Cuts = append(p.Cuts, Cut{fmt.Sprintf("the stair, its floor %d", k+1), at(r2.Vec{X: from, Y: c.Y}, -z), at(r2.Vec{X: end, Y: c.Y}, -z), r2.Vec{Y: 1}})
		// As far from the end of each floor: there a tilt makes the same of each.
		rod := r2.Vec{X: end + p.Body.Flat - stairLength/2, Y: c.Y}
		p.Marks = append(p.Marks, Mark{Letter: "NPQ"[k : k+1], Kind: Floor, What: fmt.Sprintf("depth of the stair's floor %d under the scrap's top", k+1), At: rod, From: rod, To: rod, Nominal: z, Axis: 2})
	}
	p.Deepest = min(p.Deepest, -deepest)
}

// step returns how much longer each floor of the stair is than the next, so that stairLength
// of it stays level.
func (p *plan) step() float64 { return tidy(math.Ceil, stairLength+p.Body.Corner) }

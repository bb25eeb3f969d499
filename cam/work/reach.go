package work

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r3"
)

// In one setup X0 Y0 stands in the middle of the machine's travel. Where the blank is
// turned or slid between programs, the middle of what is cut in one setup does.

// TipTravel returns how far to either side of that middle the tip may go along X and Y:
// half the travel, less what the machine is told beyond it for its own errors.
func (w *Work) TipTravel() (x, y float64) {
	x, y = w.Machine.Travel.X/2, w.Machine.Travel.Y/2
	warp := w.Warp()
	if warp.IsIdentity() {
		return x, y
	}
	overX, overY := 0.0, 0.0
	for _, sign := range [...]float64{-1, 1} { // the map is symmetrical about X0 Y0
		q := warp.Compensated(r3.Vec{X: x, Y: float64(sign * y), Z: warp.High})
		overX, overY = max(overX, math.Abs(q.X)-x), max(overY, math.Abs(q.Y)-y)
	}
	// One step for what is told is rounded too.
	return x - overX - w.Machine.Step(), y - overY - w.Machine.Step()
}

// Land returns how far inside the blank a place lies to which the tip can be brought, in steps
// of half a millimetre, as places to touch are given; -Inf where it cannot; of a tile in the
// setup in which it lies least far inside.
func (w Piece) Land(x, y float64) float64 {
	// Roughing begins with rounds about the apex that are narrower than its cutter.
	lo, hi := w.Tile.Sector.Box(w.leastReach(), w.Tile.Sector.Margin+WidestNamed(w)/2)
	tx, ty := w.TipTravel()
	in := func(v, middle, travel float64) bool {
		return v >= math.Ceil(2*(middle-travel))/2 && v <= math.Floor(2*(middle+travel))/2
	}
	if !in(x, (lo.X+hi.X)/2, tx) || !in(y, (lo.Y+hi.Y)/2, ty) {
		return math.Inf(-1)
	}
	least := math.Inf(1)
	for _, s := range w.Tile.Setups {
		p := path.Setup{Turn: s.Turn}.Blank(r3.Vec{X: x, Y: y})
		least = min(least, w.Blank.Inside(p.X, p.Y))
	}
	return least
}

// TurnRoom returns how far a turn in the air may reach beyond passes that end so far from the
// apex: to the end of the travel, about a lattice step short of it.
func (w Piece) TurnRoom(end, step float64) float64 {
	return max(0, w.spare(end, w.RunsOn(step))-w.Machine.Step())
}

// spare returns how much farther than end from the apex the axis may run everywhere,
// before the travel ends; so far beyond a tile's border.
func (w Piece) spare(end, over float64) float64 {
	lo, hi := w.Tile.Sector.Box(end, over)
	x, y := w.TipTravel()
	return min(x-(hi.X-lo.X)/2, y-(hi.Y-lo.Y)/2)
}

// leastReach returns how far from the apex the axis of some cutter has to run at least: over
// a crown as far as the rim, else short of it by the radius of the cutter, which touches it
// with its side.
func (w Piece) leastReach() float64 {
	if w.Face.Falls() {
		return w.Face.Rim
	}
	return w.Face.Rim - WidestNamed(w)/2
}

// ReachesFace reports whether the travel is as wide as the least that the axis of any cutter
// has to run over to cut a round face, or a tile of it.
func (w Piece) ReachesFace() bool {
	return !w.Round() || w.spare(w.leastReach(), 0) >= 0
}

// ReachProblems compares the travel with what is known before planning that the tip must
// reach: the face, and the sides of the blank where they are touched.
func ReachProblems(w Piece) (ps Problems) {
	m := w.Machine
	if !w.ReachesFace() && !w.Divided() {
		wide := 2 * w.leastReach()
		ps.Add(KindTravel, KeyMachine, measure.Say("the passes run over at least %s by %s; %s travels %s by %s", measure.MM(wide), measure.MM(wide), m.Name, measure.MM(m.Travel.X), measure.MM(m.Travel.Y)), measure.Say("a smaller diameter, or a machine with more travel"))
	}
	if w.TouchOff.On != TouchCorner && w.TouchOff.On != TouchEdges {
		return ps
	}
	out := WidestNamed(w)/2 + w.TouchOff.Block
	if x, y := w.TipTravel(); w.Blank.Length/2+out > x || w.Blank.Width/2+out > y {
		ps.Add(KindRoom, KeyTouchOn, measure.Say("to touch the blank's sides the tip has to go to %s, beyond what %s travels about the blank's middle", measure.At(-w.Blank.Length/2-out, -w.Blank.Width/2-out), m.Name), measure.Say("on: diagonals, or centre hole"))
	}
	return ps
}

// UprightProblems compares the width of the blank along X, as it lies in each setup, with
// what passes between the machine's uprights.
func UprightProblems(w Piece) (ps Problems) {
	b, m := w.Blank, w.Machine
	if !(m.BetweenUprights > 0) {
		return nil
	}
	if b.Length > m.BetweenUprights {
		ps.Add(KindRoom, sizeKey(b, false), measure.Say("a blank of %s along X does not pass between the uprights of %s (%s)", measure.MM(b.Length), m.Name, measure.MM(m.BetweenUprights)), measure.Say("a smaller blank, or its shorter side along X"))
		return ps
	}
	for _, s := range w.Tile.Setups {
		if wide := b.Across(s.Turn); wide > m.BetweenUprights {
			ps.Add(KindTravel, sizeKey(b, false), measure.Say("turned by %d degrees the blank is %s wide along X, more than passes between the uprights of %s (%s)", s.Turn, measure.MM(math.Ceil(wide*10)/10), m.Name, measure.MM(m.BetweenUprights)), measure.Say("a smaller or a round blank, or another number of setups"))
			return ps
		}
	}
	return nil
}

// overSteps is how many steps beyond what counts finishing passes run on at first.
const overSteps = 0.3

// RunsOn returns how far beyond its bare sector a tile's finishing passes run, of which the
// widest step is known; 0 where there is no border.
func (w Piece) RunsOn(step float64) float64 {
	if w.Over > 0 || !w.Divided() {
		return w.Over
	}
	return w.Tile.Sector.Margin + float64(overSteps*step)
}

package shop

import (
	"fmt"
	"math"

	"dishwright/cam"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
)

// touchIn returns the place at which the blank's top is touched in a setup; nil where
// there is none.
func (r *Result) touchIn(s path.Setup) *Place {
	w := r.Plan.Piece()
	if w.ZeroAtBed {
		return nil
	}
	x, y, ok := 0.0, 0.0, false
	if s.Number > 0 {
		x, y, ok = cam.TouchIn(w, r.Plan.Layout, s)
	} else {
		x, y, ok = cam.TouchBeside(w, r.Extras)
	}
	if !ok {
		return nil
	}
	return &Place{x, y}
}

// touching are the sentences that say what is touched off, and what the machine's display
// is then set to: X and Y first, then Z.
func (b bench) touching() []string {
	xy := b.touchXY()
	if b.setup.Number == 1 {
		xy += " They are not the middle of the travel here: all that the tip moves over, as this head says, lies within it."
	}
	return []string{xy, b.touchZ()}
}

// touchXY says how X0 and Y0 are found; after the first setup they are kept.
func (b bench) touchXY() string {
	w, t := b.work, b.work.TouchOff
	if b.setup.Number > 1 {
		const kept = "X0 and Y0 stay where they were set for setup 1"
		if b.setup.X != 0 || b.setup.Y != 0 {
			return kept + ", which is no longer the middle of the blank."
		}
		return kept + "."
	}
	between := ""
	if t.Block > 0 {
		between = fmt.Sprintf(" with %s between", b.own(t.Block))
	}
	const lead = "X0 and Y0, set once for this blank and kept: "
	switch t.On {
	case work.TouchCorner:
		return lead + fmt.Sprintf("the cutter's side on the blank's left side%s, X set to %s. On its front side%s, Y set to %s.",
			between, b.own(-w.Blank.Length/2-b.cutter.Radius()-t.Block), between, b.own(-w.Blank.Width/2-b.cutter.Radius()-t.Block))
	case work.TouchEdges:
		return lead + fmt.Sprintf("the cutter's side on the blank's left and right sides%s, at the same Y: X0 is half way. On its front and back sides, at X0: Y0 is half way.", between)
	case work.TouchHole:
		return lead + "a pin that fits the centre hole, or the cutter's side on the hole's left and right walls: X0 is half way. On its front and back walls: Y0 is half way."
	}
	over := "the crossing of the blank's diagonals"
	switch {
	case w.Blank.Shape == dish.Round:
		over = "the crossing of two diameters of the blank"
	case b.words.Apex() != "":
		over = b.words.Apex()
	}
	return lead + "the tip over " + over + ", X and Y set to 0."
}

// touchZ says how Z is set.
func (b bench) touchZ() string {
	w, t := b.work, b.work.TouchOff
	const lead = "Z0, set again after each change of cutter and each laying: the tip on "
	on, high := "the blank's top, outside the face, never inside it", 0.0
	switch {
	case w.ZeroAtBed:
		on = "the bed, beside the blank"
	case b.raw() && b.gone != nil:
		on, high = "the top at "+b.at(b.gone.at.X, b.gone.at.Y)+cutAlready, b.gone.at.Z
	case b.raw():
		on, high = "the highest place of the blank's raw top", w.Skim.Off
	case t.On == work.TouchApex && b.setup.Number <= 1:
		on, high = "the blank's top at X0 Y0, the apex", w.TopAt(0, 0)
	case b.touch != nil:
		on, high = "the blank's top"+placeBeside+b.at(b.touch.X, b.touch.Y)+", never inside the face", b.topAtTold(*b.touch)
	}
	switch {
	case t.On != "" && t.Block > 0:
		return fmt.Sprintf("%s%s, %s between: Z set to %s.", lead, on, b.own(t.Block), b.own(high+t.Block))
	case t.On != "":
		return fmt.Sprintf("%s%s: Z set to %s.", lead, on, b.own(high))
	case high != 0:
		return fmt.Sprintf("%s%s, a slip of paper or a plate of known thickness between: Z set to %s and that thickness.", lead, on, b.own(high))
	}
	return lead + on + ", a slip of paper or a plate of known thickness between: Z set to that thickness."
}

// topAtTold is how high the top lies at a place as the text tells it, to what is written of it.
func (b bench) topAtTold(p Place) float64 {
	step := [...]float64{0.1, 0.254}[b.work.Machine.Unit]
	return b.work.TopAt(math.Round(p.X/step)*step, math.Round(p.Y/step)*step)
}

// cutAlready stands behind the place at which a top that is being skimmed is touched.
const cutAlready = ", which this program has cut already"

// placeBeside stands before the place at which the blank's top is touched.
const placeBeside = ", beside what is cut, such as at "

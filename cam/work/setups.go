package work

import (
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/machines"
)

// IndexError is how well a blank that was turned or slid lies where it should, at
// most; the first setup is what the others are measured by.
type IndexError struct {
	Shift  float64 // of the apex in plan, mm
	Turn   float64 // radians
	Height float64 // of its seat and of touching off Z again, mm
}

// Setups is how a face that is too large for the machine is divided. The zero value
// cuts it in one.
type Setups struct {
	Count    int    // how many; AutoSetups leaves it to the planner, 0 turns nothing
	By       string // one of the By words
	Error    IndexError
	Unstated bool // Error is not known: then it may come to one setup alone
}

// AutoSetups is the count that leaves it to the planner: as few as will do.
const AutoSetups = -1

// How the blank is brought from setup to setup: the By words.
const (
	ByPin    = "pin"        // turned about a pin in its centre hole
	ByFences = "two fences" // turned, and laid against two fences square to one another
	ByMarks  = "marks"      // turned to a mark that was made under the tip before
	ByFence  = "one fence"  // slid along a fence
)

// CentreHole reports whether the blank has a centre hole, and whether that goes through.
func (w *Work) CentreHole() (hole, through bool) {
	for _, h := range w.Extras.Holes {
		if h.Key == KeyCentreHole {
			hole, through = true, h.Depth == 0 || h.Depth >= w.Blank.Thickness
		}
	}
	return hole, through
}

// IndexBy returns how the work's blank is brought from setup to setup where nothing is said of
// it, and why so.
func (w *Work) IndexBy() (by, why string) {
	n := w.Setups.Count
	if _, through := w.CentreHole(); through {
		return ByPin, "the blank has a centre hole"
	}
	if square := w.Blank.Shape == dish.Square || w.Blank.Shape == dish.Octagon; square && (n == 2 || n == 4 || n == AutoSetups) {
		return ByFences, "the blank is square and has no centre hole"
	}
	return ByMarks, "the blank has no centre hole, and its sides do not lie square each time"
}

// Counts are the numbers of setups that a job may ask for, fewest first.
func Counts() []int { return []int{2, 3, 4, 6} }

// Shifted returns how far an index error moves a place of the face sideways at most:
// the shift, and the turn at the rim.
func (w *Work) Shifted() float64 {
	return w.Setups.Error.Shift + float64(w.Setups.Error.Turn*w.Face.Rim)
}

// Adds returns what an index error may add to the scallop: sideways, the shift times the
// slope of the face at its rim (turned about the apex a sphere is the same), and in
// height, one to one.
func (w *Work) Adds() (sideways, height float64) {
	return float64(w.Setups.Error.Shift * w.Face.RimSlope()), w.Setups.Error.Height
}

// Turns returns the n setups between which a blank is turned by equal angles.
func Turns(n int) (list []path.Setup) {
	for k := range n {
		list = append(list, path.Setup{Number: k + 1, Turn: k * 360 / n})
	}
	return list
}

// Layout is one way of dividing a face: its tiles, in running order.
type Layout []Tile

// Count returns how many setups there are.
func (l Layout) Count() (n int) {
	for _, t := range l {
		n += len(t.Setups)
	}
	return n
}

// Layouts returns the ways to divide the piece's face that may fit its machine, the
// fewest setups first.
func Layouts(w Piece) (list []Layout) {
	for _, n := range Counts() {
		if w.Setups.Count != AutoSetups && w.Setups.Count != n {
			continue
		}
		if w.Setups.By == ByFence {
			if n == 2 {
				list = append(list, Slid(w)...)
			}
			continue
		}
		if w.Setups.By == ByFences && n != 2 && n != 4 {
			continue
		}
		for _, middle := range [...]int{45, 90, 0, 60, 30, 75, 15} {
			l := w.turned(n, middle)
			if w.In(l[0]).spare(w.leastReach(), l[0].Sector.Margin) >= 0 {
				list = append(list, l)
			}
		}
	}
	return list
}

// turned returns the layout of the sector about a direction, degrees, that n setups share.
func (w *Work) turned(n, middle int) Layout {
	return Layout{{Sector: dish.Sector{Middle: middle, Half: 180 / n, Margin: w.Shifted()}, Setups: Turns(n)}}
}

// slid returns the layout of two halves, the first about a direction, degrees, the second with
// the blank slid.
func (w *Work) slid(middle int, x, y float64) Layout {
	first := dish.Sector{Middle: middle, Half: 90, Margin: w.Shifted()}
	second := first
	second.Middle -= 180
	return Layout{{Sector: first, Setups: []path.Setup{{Number: 1}}}, {Sector: second, Setups: []path.Setup{{Number: 2, X: x, Y: y}}}}
}

// Slid returns the two halves of a face that are cut one after the other, the blank
// slid between them along X or along Y, whichever the travel is too short in.
func Slid(w Piece) (list []Layout) {
	reach := w.leastReach()
	for _, alongY := range [...]bool{w.Machine.Travel.Y < w.Machine.Travel.X, w.Machine.Travel.Y >= w.Machine.Travel.X} {
		middle, travel, side := 180, w.Machine.Travel.X, w.Machine.Travel.Y
		if alongY {
			middle, travel, side = 270, side, travel
		}
		if 2*reach > side || reach > travel {
			continue
		}
		// So far that both halves lie in the same place, in steps that a stop block and a
		// program have.
		unit := 1.0
		if w.Machine.Unit == machines.Inches {
			unit = 2.54
		}
		x, y := float64(-math.Floor(reach/unit)*unit), 0.0
		if alongY {
			x, y = y, x
		}
		list = append(list, w.slid(middle, x, y))
	}
	return list
}

// Part returns the part of the face that is cut in one of a tile's setups, as the blank
// sees it, and as far beyond it as an index error may move it.
func (t Tile) Part(s path.Setup) dish.Sector {
	p := t.Sector
	p.Middle -= s.Turn
	return p
}

// LayoutAs returns the layout of so many setups of which the first cuts the sector about
// the direction middle, degrees; second is the second setup, from which a slid one is
// told. ok is false where no job makes such a one.
func LayoutAs(w *Work, n, middle int, second path.Setup) (Layout, bool) {
	if !slices.Contains(Counts(), n) || w.Setups.Count != AutoSetups && w.Setups.Count != n || middle%dish.TurnStep != 0 {
		return nil, false
	}
	if w.Setups.By != ByFence {
		return w.turned(n, middle), true
	}
	return w.slid(middle, second.X, second.Y), n == 2
}

// all is the tile of what is cut in one.
var all = Tile{Sector: dish.Everything, Setups: []path.Setup{{}}}

// Tile is the part of a round face that is cut in one setup, or in each of several
// between which the blank is turned.
type Tile struct {
	Sector dish.Sector  // as it lies when it is planned; Beyond is how far an index error may move it
	Setups []path.Setup // in running order; turned, so that each brings another part of the blank there
}

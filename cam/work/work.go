package work

import (
	"slices"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/fit"
	"dishwright/dish/measure"
	"dishwright/machines"
)

// Strip is the region of a board.
func (w *Work) Strip() dish.Strip { return w.Region.(dish.Strip) }

// Band is the region of a mould's edge.
func (w *Work) Band() *dish.Band { return w.Region.(*dish.Band) }

// LeastScallop is the smallest scallop that a job may ask for: below it the
// steps of the coordinates and the chords eat too much of it.
const LeastScallop = 0.005

// MostMoves is the longest plan made: far beyond any sensible program, and
// small enough for the memory of a small computer.
const MostMoves = 400_000

// What a dish lies on while it is used.
const (
	OnBench = "bench" // loosely, on something about flat: so where nothing is said
	OnBoard = "board" // held down all over on a flat board
	OnRim   = "rim"   // nothing under it but at its rim
	OnRibs  = "ribs"  // glued on ribs that run side by side across its back
)

// Direction says what a pattern of passes may do.
type Direction uint8

// The directions.
const (
	Both   Direction = iota // back and forth, along the axis that is quicker
	Uphill                  // each pass only climbs
	AlongX                  // back and forth along X
	AlongY                  // back and forth along Y
)

func (d Direction) String() string {
	return [...]string{"both", "uphill", "along x", "along y"}[d]
}

// Auto is the name that leaves the choice of a cutter or a pattern to the planner.
const Auto = "auto"

// Work is what is to be cut, in what, with which cutters, on which machine.
// Lengths are in mm, places in the face frame.
type Work struct {
	Name      string
	Face      dish.Face // of the wood, the covering taken off
	Region    dish.Part // what of it is cut: a Disc for all of it, a Strip, a Band, or Nowhere
	Extras    Extras    // what is cut beside the face
	Wanted    float64   // radius of the finished face, covering included
	Covering  float64   // thickness, 0 for none
	Uneven    float64   // by how much it differs where it was measured; 0 where that is not said
	Blank     dish.Blank
	Material  string
	Support   string  // of a dish, what it lies on while it is used: one of the On words; empty where that is not said
	Ribs      float64 // of such a support, how far they are apart; 0 for others
	Layers    int     // that the blank is glued from; 0 for a single one
	Floor     float64 // least wood left under the deepest point
	HoldDowns []path.Obstacle
	Setups    Setups          // whether the blank is turned or slid between the programs
	Obstacles []path.Obstacle // whatever else stands about: nothing comes near to it
	Machine   machines.Machine
	ZeroAtBed bool // Z0 on the bed; else in the blank's top
	TouchOff  TouchOff
	Skim      Skimmed    // what is taken off its top first
	Top       *fit.Plane // of the blank, as it was touched off; nil where it lies level
	ZeroError float64    // how well Z is set again after a change of cutter
	Scallop   float64    // largest scallop allowed
	Tilt      float64    // of the spindle to the bed, at most, in any direction: rise over length
	Undersize float64    // of the cutters' diameters, at most
	Allowance float64    // left by roughing for finishing
	Pattern   string     // of the finishing passes
	Direction Direction
	Shelf     []path.Cutter
	Rough     string // a name on the shelf, or Auto
	Finish    string // a name on the shelf, or Auto
}

// TouchOff is how the zero is found by hand; the zero value says nothing of it.
type TouchOff struct {
	On    string  // one of the Touch words; empty where the job says nothing
	Block float64 // thickness of what is laid between cutter and work, paper or a block, mm
}

// What is touched to find X0 and Y0, and of a crown Z0.
const (
	TouchDiagonals = "diagonals"   // their crossing
	TouchCorner    = "corner"      // the blank's left and front sides, at their corner
	TouchEdges     = "edges"       // opposite sides, the zero half way between
	TouchHole      = "centre hole" // its walls, the zero half way between
	TouchApex      = "apex"        // as diagonals, and Z0 on a crown's apex
)

// Cutter returns the cutter of that name on the shelf.
func (w *Work) Cutter(name string) (path.Cutter, bool) {
	for _, c := range w.Shelf {
		if c.Name == name {
			return c, true
		}
	}
	return path.Cutter{}, false
}

// Round reports whether all of the face is cut, round its apex.
func (w *Work) Round() bool { _, ok := w.Region.(dish.Disc); return ok }

// HasFace reports whether any of a face is cut: templates have none.
func (w *Work) HasFace() bool { return w.Region != dish.Part(dish.Nowhere{}) }

// CutAll makes all of a face, round its apex, what is cut.
func (w *Work) CutAll(f dish.Face) { w.Face, w.Region = f, dish.Disc{Radius: f.Rim} }

// Grid returns the lattice of coordinates that the machine's programs can write.
func (w *Work) Grid() Grid {
	return NewGrid(w.Machine.Unit.MM(), w.Machine.Decimals, w.ProgramZero())
}

// ProgramZero returns z of the program's Z0 in the face frame.
func (w *Work) ProgramZero() float64 {
	if w.ZeroAtBed {
		return -w.Blank.Thickness
	}
	return 0
}

// Clearance returns the height of the tip at which everything on the blank is
// passed over: 5 mm above the blank's top and above the tallest hold-down, on
// the lattice of the program's coordinates.
func (w *Work) Clearance() float64 {
	top := 0.0
	// All of them, in whichever setup they stand: every program of a set has the same.
	for _, h := range slices.Concat(w.HoldDowns, w.Obstacles) {
		top = max(top, h.Height)
	}
	return w.Grid().Raise(max(top, w.Skim.Off) + w.rises() + clearanceGap)
}

// thing is something that stands about: a hold-down, or an obstacle, which holds nothing.
type thing struct {
	path.Obstacle
	Key   Key
	Holds bool
}

func (t thing) String() string {
	if t.Holds {
		return "hold-down"
	}
	return "obstacle"
}

// Things are everything that stands about: hold-downs first, then obstacles. Of a tile
// they are as the machine sees them before it is shifted, in each setup in which they
// stand: the hold-downs lie with the blank, the obstacles stay where they are.
func (w Piece) Things() (list []thing) {
	for i, h := range w.HoldDowns {
		for _, s := range w.Tile.Setups {
			if h.StandsIn(s) {
				list = append(list, thing{path.Setup{Turn: s.Turn}.ObstacleOnMachine(h), HoldDownKey(i), true})
			}
		}
	}
	for i, k := range w.Obstacles {
		for _, s := range w.Tile.Setups {
			if k.StandsIn(s) {
				list = append(list, thing{path.Setup{X: s.X, Y: s.Y}.Obstacle(k), ObstacleKey(i), false})
			}
		}
	}
	return list
}

// Standing returns everything that stands about: hold-downs first, then obstacles.
func (w Piece) Standing() (list []path.Obstacle) {
	for _, t := range w.Things() {
		list = append(list, t.Obstacle)
	}
	return list
}

// clearanceGap is room enough for a blank that bows and a hand that touches off
// by paper (common practice).
const clearanceGap = 5.0

// Warning is something that the builder should know before cutting; it stops
// nothing. Kind is a short stable word for machines to sort by.
type Warning struct {
	Kind    string       `json:"kind"`
	Message measure.Said `json:"message"`
	Hint    measure.Said `json:"hint"`
}

// WarnUphill is the kind of a warning of a face that is steeper than the finishing cutter
// may go down.
const WarnUphill = "uphill"

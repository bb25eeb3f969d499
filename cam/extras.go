package cam

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish/exact"
	"dishwright/dish/extra"

	"gonum.org/v1/gonum/spatial/r2"
)

// Extras is what is to be cut beside the face, as the job asks for it: what, not how.
type Extras struct {
	Holes   []HoleWanted
	Lines   *LinesWanted
	CutOuts []CutOutWanted
	Letters []LettersWanted
}

// Empty reports whether nothing is asked for.
func (e Extras) Empty() bool {
	return len(e.Holes)+len(e.CutOuts)+len(e.Letters) == 0 && e.Lines == nil
}

// HoleWanted is a round hole. Cutter is a name on the shelf, empty where any will
// do; then a hole that no cutter suits is left out with a warning.
type HoleWanted struct {
	Name     string // what it is called
	Key      Key    // where the job asks for it
	Group    string // what all holes of its circle are called
	X, Y     float64
	Diameter float64
	Depth    float64 // 0 goes through the blank
	Cutter   string
}

// LinesWanted are the scribed centre lines, along X and along Y.
type LinesWanted struct {
	Key    Key
	Depth  float64
	Face   bool // over the face too; else on the land alone
	Cutter string
}

// CutOutWanted is something cut out of the blank along a closed line.
type CutOutWanted struct {
	Name      string
	Key       Key
	Group     string   // of cut-outs that are laid together
	Line      []r2.Vec // counter-clockwise, the first point not repeated
	Chord     float64  // how far the line may leave the edge that is wanted
	Tabs      []r2.Vec // places on the line, in its sense
	TabLength float64
	TabHeight float64
	Cutter    string
}

// LettersWanted is a text of strokes.
type LettersWanted struct {
	Name    string
	Key     Key
	Group   string // of texts that are laid together
	Strokes [][]r2.Vec
	Depth   float64
	Widest  float64 // of a stroke
	Cutter  string
}

const (
	// throughBed is how far an extra that goes through the blank cuts into the board
	// of waste below it, mm: enough for a blank that is a little thicker.
	throughBed = 0.3
	// wallChord is how far the chords of a round hole's wall may leave it, mm: far less
	// than a pin or a bolt has room, and a third fewer lines than half of it.
	wallChord = 0.01
	// widestLine is the widest groove that passes for a line, mm.
	widestLine = 4.0
	// slotOver is how much wider than the cutter a slot is allowed to be, mm.
	slotOver = 0.04
)

// Beside is what is cut beside the face: the volumes, and the programs that cut them.
type Beside struct {
	Set      extra.Set
	Programs []Program
	Warnings []Warning
}

// jobOf is one extra with the cutter that makes it.
type jobOf struct {
	cutter path.Cutter
	title  string
	group  string // jobs of one group and one cutter are laid together
	depth  float64
	lay    func(b *builder) error
}

// add adds what is to be cut, to the job before it where they belong together.
func (e *extrasPlanner) add(j jobOf) {
	if n := len(e.jobs); n > 0 && j.group != "" && e.jobs[n-1].group == j.group && e.jobs[n-1].cutter.Name == j.cutter.Name {
		before := e.jobs[n-1].lay
		e.jobs[n-1].lay = func(b *builder) error {
			if err := before(b); err != nil {
				return err
			}
			return j.lay(b)
		}
		return
	}
	e.jobs = append(e.jobs, j)
}

// MakeExtras plans the work's extras: lines and letters first, then holes, then the
// cut-outs, each with the cutter of the shelf that suits it best. The errors are
// Problems.
func MakeExtras(w *Work) (Beside, error) {
	var out Beside
	if w.Extras.Empty() {
		return out, nil
	}
	e := extrasPlanner{w: Whole(w), out: &out}
	e.lines()
	for _, l := range w.Extras.Letters {
		e.letters(l)
	}
	for _, h := range w.Extras.Holes {
		e.hole(h)
	}
	for _, c := range w.Extras.CutOuts {
		e.cutOut(c)
	}
	if len(e.problems) > 0 {
		return out, e.problems
	}
	if err := e.assemble(); err != nil {
		return out, err
	}
	e.warn()
	if held := nearHoldDowns(e.raised(), out.Programs); len(held) > 0 {
		return out, held
	}
	for _, far := range beyondTravel(w, out.Programs) {
		return out, Problems{{KindTravel, KeyExtras, far.Message, "leave out what lies so far out and make it by hand, or a machine with more travel"}}
	}
	return out, nil
}

// extrasPlanner gathers what is to be cut, in running order.
type extrasPlanner struct {
	w        Piece
	jobs     []jobOf
	out      *Beside
	problems Problems
}

// cannot notes an extra that no cutter of the shelf makes: a fault where the job
// names the cutter, or where nothing else is made at all, else a warning.
func (e *extrasPlanner) cannot(name string, key Key, cutter, why, hint string) {
	if cutter != "" || !e.w.HasFace() {
		e.problems.add(KindExtra, key, fmt.Sprintf("%s cannot be cut: %s", name, why), hint)
		return
	}
	e.out.Warnings = append(e.out.Warnings, Warning{"extras-not-cut", fmt.Sprintf("the programs leave out %s: %s", name, why), hint})
}

// raised is the work with its hood as high as the extras need it.
func (e *extrasPlanner) raised() Piece {
	w := e.w
	if h := w.Machine.Hood; h != nil && e.out.Set.Deepest() < holderGap-h.AboveTip {
		up := *h
		up.AboveTip = holderGap - e.out.Set.Deepest()
		high := *w.Work
		high.Machine.Hood = &up
		w = w.Of(high)
	}
	return w
}

// HoodFor returns how high above the tip the hood must be set for a program whose tip
// goes down to low, in mm of the face frame; 0 where it may stay as it is.
func HoodFor(w *Work, low float64) float64 {
	if h := w.Machine.Hood; h != nil && low+hoodSlack < holderGap-h.AboveTip {
		return math.Ceil(holderGap - low - hoodSlack)
	}
	return 0
}

// hoodSlack is by how much a height read back from a program may lie beside the planned
// one, mm: several steps of its last decimal. It is no part of holderGap that counts.
const hoodSlack = 0.005

// assemble makes one program a cutter, in the order in which each is first needed,
// the cut-outs last.
func (e *extrasPlanner) assemble() error {
	for _, j := range e.jobs {
		f, ok := NewFeeds(e.w.Machine, j.cutter, 0, j.depth)
		if !ok {
			return Problems{cannotRun(e.w.Work, j.cutter)}
		}
		b := newBuilder(e.w, f)
		if err := j.lay(b); err != nil {
			return err
		}
		b.lift()
		if len(b.moves) > mostMoves {
			return Problems{{KindMoves, KeyExtras, fmt.Sprintf("%s takes over %d moves", j.title, mostMoves), "fewer or larger extras"}}
		}
		s := Section{Purpose: Extra, Pattern: Origin{Way: WayBeside, Figures: j.title}, Passes: 1, Feeds: f, Moves: b.moves}
		if n := len(e.out.Programs); n > 0 && e.out.Programs[n-1].Cutter.Name == j.cutter.Name {
			e.out.Programs[n-1].Sections = append(e.out.Programs[n-1].Sections, s)
			continue
		}
		e.out.Programs = append(e.out.Programs, Program{Cutter: j.cutter, Speed: f.Speed, Dial: f.Dial, Sections: []Section{s}})
	}
	return nil
}

// warn says what the builder must see to.
func (e *extrasPlanner) warn() {
	add := func(kind, message, hint string) {
		e.out.Warnings = append(e.out.Warnings, Warning{kind, message, hint})
	}
	if low := e.out.Set.Deepest(); low < -e.w.Blank.Thickness {
		add("waste-board", fmt.Sprintf("extras go %s below the blank", mm(-e.w.Blank.Thickness-low)), "a flat board of waste under all of the blank; no screw or nail of it in the way of a cutter")
	}
	for _, c := range e.out.Set.CutOuts[:min(1, len(e.out.Set.CutOuts))] {
		if n := len(c.Tabs); n > 0 {
			add("tabs", fmt.Sprintf("when it is cut round, %d tabs of %s by %s are all that holds %s", n, mm(2*c.Tabs[0].HalfLength), mm(c.Tabs[0].Top+e.w.Blank.Thickness), e.w.ground().piece()),
				"hold its middle too, by double-sided tape under it or a screw from below where nothing is cut; saw the tabs by hand when all stands still")
		}
	}
	for _, p := range e.out.Programs {
		if up := HoodFor(e.w.Work, p.Extents().Min.Z); up > 0 {
			add("raise-hood", fmt.Sprintf("for the extras with %s the hood must hang %s or more above the tip: it would touch the blank", p.Cutter.Name, mm(up)), "the program's head and order.txt say it too; lower the hood again afterwards")
		}
	}
}

// candidates returns the cutters that may make an extra: the one that is named, or all.
func (e *extrasPlanner) candidates(named string) []path.Cutter {
	if named == "" {
		return e.w.Shelf
	}
	c, _ := e.w.Cutter(named)
	return []path.Cutter{c}
}

// able returns why a cutter cannot go so deep beside a wall, empty where it can.
func (e *extrasPlanner) able(c path.Cutter, deep float64) string {
	_, _, runs := runs(e.w.Machine, c)
	switch {
	case !runs:
		return "the spindle cannot run slowly enough for it"
	case !collet(e.w.Machine.Collets, c.Shank):
		return "there is no collet for its shank"
	case c.FluteLength < deep-1e-9:
		return fmt.Sprintf("its flutes, %s long, do not outreach the depth of %s", mm(c.FluteLength), mm(deep))
	case c.StickOut < deep+holderGap:
		return fmt.Sprintf("it sticks out %s, too little for a depth of %s", mm(c.StickOut), mm(deep))
	}
	return ""
}

// through returns z of the bottom of what goes through the blank.
func (e *extrasPlanner) through() float64 {
	return e.w.grid().raise(-e.w.Blank.Thickness - throughBed)
}

// TouchBeside returns a place where the blank's top stays as it is to the very end,
// so that it can be touched again after every change of cutter: TouchPlace's, or
// where an extra takes that another one. ok is false where there is none.
func TouchBeside(w Piece, set extra.Set) (x, y float64, ok bool) {
	free := func(x, y float64) float64 {
		room := math.Inf(1)
		for _, h := range set.Holes {
			room = min(room, exact.Dist(h.X-x, h.Y-y)-h.Radius)
		}
		for _, g := range set.Grooves {
			off, _ := g.NearestBottom(x, y)
			room = min(room, off-g.Width/2)
		}
		for _, c := range set.CutOuts {
			room = min(room, c.Slot.Outside(x, y)-c.Slot.Width)
		}
		return room
	}
	const least = touchLand / 2
	if w.HasFace() {
		if x, y, ok = TouchPlace(w); !ok || free(x, y) >= least {
			return x, y, ok
		}
	}
	cut, l := w.ground().reached(w), w.lands()
	l.steps = besideSteps
	x, y, _, ok = w.roomiest(l.lattice(), least, func(x, y float64) float64 {
		off, _ := cut.Off(x, y)
		return min(free(x, y), w.land(x, y), off)
	})
	return x, y, ok
}

// besideSteps are those of the lattice on which land is looked for that extras leave.
const besideSteps = 60

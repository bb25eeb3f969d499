package beside

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/extra"
	"dishwright/dish/measure"
)

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

// Extras is what is cut beside the face: the volumes, and the programs that cut them.
type Extras struct {
	Set      extra.Set
	Programs []work.Program
	Warnings []work.Warning
}

// jobOf is one extra with the cutter that makes it.
type jobOf struct {
	cutter path.Cutter
	title  measure.Said
	group  string  // jobs of one group and one cutter are laid together
	deep   float64 // how deep it goes along a wall, mm; 0 where it leaves none
	lay    func(b *link.Builder)
}

// add adds what is to be cut, to the job before it where they belong together.
func (e *extrasPlanner) add(j jobOf) {
	if n := len(e.jobs); n > 0 && j.group != "" && e.jobs[n-1].group == j.group && e.jobs[n-1].cutter.Name == j.cutter.Name {
		before := e.jobs[n-1].lay
		e.jobs[n-1].lay = func(b *link.Builder) {
			before(b)
			j.lay(b)
		}
		return
	}
	e.jobs = append(e.jobs, j)
}

// Make plans the work's extras: lines and letters first, then holes, then the
// cut-outs, each with the cutter of the shelf that suits it best. The errors are
// Problems.
func Make(w *work.Work) (Extras, error) {
	var out Extras
	if w.Extras.Empty() {
		return out, nil
	}
	e := extrasPlanner{w: work.Whole(w), out: &out}
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
	for _, r := range w.Extras.Runs {
		e.run(r)
	}
	if len(e.problems) > 0 {
		return out, e.problems
	}
	if err := e.assemble(); err != nil {
		return out, err
	}
	e.warn()
	if held := work.NearHoldDowns(e.raised(), out.Programs); len(held) > 0 {
		return out, held
	}
	if beyond := work.BeyondTravel(w, out.Programs); len(beyond) > 0 {
		key, hint := work.KeyExtras, measure.Say("leave out what lies so far out and make it by hand, or a machine with more travel")
		if runs := w.Extras.Runs; len(runs) > 0 {
			key, hint = work.CutterKey(runs[0].Cutter), measure.Say("a narrower cutter, whose marks take less, or a machine with more travel")
		}
		return out, work.Problems{{Kind: work.KindTravel, Key: key, Message: beyond[0].Message, Hint: hint}}
	}
	return out, nil
}

// extrasPlanner gathers what is to be cut, in running order.
type extrasPlanner struct {
	w        work.Piece
	jobs     []jobOf
	out      *Extras
	left     []leftOut
	problems work.Problems
}

// cannot notes an extra that no cutter of the shelf makes: a fault where the job
// names the cutter, or where nothing else is made at all, else a warning.
func (e *extrasPlanner) cannot(name string, key work.Key, cutter string, why, hint measure.Said) {
	if cutter != "" || !e.w.HasFace() {
		e.problems.Add(work.KindExtra, key, measure.Say("%s cannot be cut: %s", name, why), hint)
		return
	}
	e.leaveOut(name, why, hint)
}

// leftOut are extras that the programs leave out for the same reason.
type leftOut struct {
	names     string
	why, hint measure.Said
}

// leaveOut notes an extra that the programs leave out.
func (e *extrasPlanner) leaveOut(name string, why, hint measure.Said) {
	for i, l := range e.left {
		if l.why.String() == why.String() {
			e.left[i] = leftOut{l.names + ", " + name, why, measure.Say("%v; %s: %v", l.hint, name, hint)}
			return
		}
	}
	e.left = append(e.left, leftOut{name, why, hint})
}

// raised is the work with its hood as high as the extras need it.
func (e *extrasPlanner) raised() work.Piece {
	w := e.w
	if h := w.Machine.Hood; h != nil && e.out.Set.Deepest() < work.HolderGap-h.AboveTip {
		up := *h
		up.AboveTip = work.HolderGap - e.out.Set.Deepest()
		high := *w.Work
		high.Machine.Hood = &up
		w = w.Of(high)
	}
	return w
}

// HoodFor returns how high above the tip the hood must be set for a program whose tip
// goes down to low, in mm of the face frame; 0 where it may stay as it is.
func HoodFor(w *work.Work, low float64) float64 {
	if h := w.Machine.Hood; h != nil && low+hoodSlack < work.HolderGap-h.AboveTip {
		return math.Ceil(work.HolderGap - low - hoodSlack)
	}
	return 0
}

// hoodSlack is by how much a height read back from a program may lie beside the planned
// one, mm: several steps of its last decimal. It is no part of HolderGap that counts.
const hoodSlack = 0.005

// assemble makes one program a cutter, in the order in which each is first needed,
// the cut-outs last.
func (e *extrasPlanner) assemble() error {
	for _, j := range e.jobs {
		f, ok := work.NewFeeds(e.w.Machine, j.cutter, 0, 0)
		if !ok {
			return work.Problems{work.CannotRun(e.w.Work, j.cutter)}
		}
		b := link.NewBuilder(e.w, f)
		j.lay(b)
		moves, err := b.Path()
		if err != nil {
			return err
		}
		if len(moves) > work.MostMoves {
			return work.Problems{{Kind: work.KindMoves, Key: work.KeyExtras, Message: measure.Say("%s takes over %d moves", j.title, work.MostMoves), Hint: measure.Say("fewer or larger extras")}}
		}
		s := work.Section{Purpose: work.Extra, Pattern: work.Origin{Way: work.WayBeside, Figures: j.title}, Passes: 1, Deep: j.deep, Feeds: f, Moves: moves}
		e.out.Programs = work.Then(e.out.Programs, j.cutter, s)
	}
	return nil
}

// warn says what the builder must see to.
func (e *extrasPlanner) warn() {
	add := func(kind string, message measure.Said, hint string) {
		e.out.Warnings = append(e.out.Warnings, work.Warning{Kind: kind, Message: message, Hint: measure.Say(hint)})
	}
	for _, l := range e.left {
		e.out.Warnings = append(e.out.Warnings, work.Warning{Kind: "extras-not-cut", Message: measure.Say("the programs leave out %s: %s", l.names, l.why), Hint: l.hint})
	}
	if low := e.out.Set.Deepest(); low < -e.w.Blank.Thickness {
		add("waste-board", measure.Say("extras go %v below the blank", measure.MM(-e.w.Blank.Thickness-low)), "a flat board of waste under all of the blank; no screw or nail of it in the way of a cutter")
	}
	for _, c := range e.out.Set.CutOuts[:min(1, len(e.out.Set.CutOuts))] {
		if n := len(c.Tabs); n > 0 {
			add("tabs", measure.Say("when it is cut round, %d tabs of %v by %v are all that holds %s", n, measure.MM(2*c.Tabs[0].HalfLength), measure.MM(c.Tabs[0].Top+e.w.Blank.Thickness), pass.GroundOf(e.w.Work).Piece),
				"hold its middle too, by double-sided tape under it or a screw from below where nothing is cut; saw the tabs by hand when all stands still")
		}
	}
	for _, p := range e.out.Programs {
		if up := HoodFor(e.w.Work, p.Extents().Min.Z); up > 0 {
			add("raise-hood", measure.Say("for the extras with %s the hood must hang %v or more above the tip: it would touch the blank", p.Cutter.Name, measure.MM(up)), "the program's head and order.txt say it too; lower the hood again afterwards")
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
func (e *extrasPlanner) able(c path.Cutter, deep float64) measure.Said {
	_, _, runs := work.Runs(e.w.Machine, c)
	switch {
	case !runs:
		return measure.Say("the spindle cannot run slowly enough for it")
	case !work.TakesShank(e.w.Machine.Collets, c.Shank):
		return measure.Say("there is no collet for its shank")
	case c.FluteLength < deep-1e-9:
		return measure.Say("its flutes, %s long, do not outreach the depth of %s", measure.MM(c.FluteLength), measure.MM(deep))
	case c.StickOut < deep+work.HolderGap:
		return measure.Say("it sticks out %s, too little for a depth of %s", measure.MM(c.StickOut), measure.MM(deep))
	}
	return measure.Said{}
}

// through returns z of the bottom of what goes through the blank.
func (e *extrasPlanner) through() float64 {
	return e.w.Grid().Raise(-e.w.Blank.Thickness - throughBed)
}

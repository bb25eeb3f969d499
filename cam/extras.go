package cam

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish/extra"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
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
	Name, Key string // what it is called, and where the job asks for it
	Group     string // what all holes of its circle are called
	X, Y      float64
	Diameter  float64
	Depth     float64 // 0 goes through the blank
	Cutter    string
}

// LinesWanted are the scribed centre lines, along X and along Y.
type LinesWanted struct {
	Key    string
	Depth  float64
	Face   bool // over the face too; else on the land alone
	Cutter string
}

// CutOutWanted is something cut out of the blank along a closed line.
type CutOutWanted struct {
	Name, Key string
	Group     string   // of cut-outs that are laid together
	Line      []r2.Vec // counter-clockwise, the first point not repeated
	Tabs      []r2.Vec // places on the line, in its sense
	TabLength float64
	TabHeight float64
	Cutter    string
}

// LettersWanted is a text of strokes.
type LettersWanted struct {
	Name, Key string
	Group     string // of texts that are laid together
	Strokes   [][]r2.Vec
	Depth     float64
	Widest    float64 // of a stroke
	Cutter    string
}

const (
	// throughBed is how far an extra that goes through the blank cuts into the board
	// of waste below it, mm: enough for a blank that is a little thicker.
	throughBed = 0.3
	// wallChord is how far the chords of a round wall may leave it, mm.
	wallChord = 0.004
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
func MakeExtras(w Work) (Beside, error) {
	var out Beside
	if w.Extras.Empty() {
		return out, nil
	}
	e := extrasPlanner{w: w, out: &out}
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
	if far := beyondTravel(w, out.Programs); len(far) > 0 {
		return out, far
	}
	return out, nil
}

// extrasPlanner gathers what is to be cut, in running order.
type extrasPlanner struct {
	w        Work
	jobs     []jobOf
	out      *Beside
	problems Problems
}

// cannot notes an extra that no cutter of the shelf makes: a fault where the job
// names the cutter, or where nothing else is made at all, else a warning.
func (e *extrasPlanner) cannot(name, key, cutter, why, hint string) {
	if cutter != "" || e.w.Gauge {
		e.problems.add(key, fmt.Sprintf("%s is not possible: %s", name, why), hint)
		return
	}
	e.out.Warnings = append(e.out.Warnings, Warning{"extras-not-cut", fmt.Sprintf("the programs leave out %s: %s", name, why), hint})
}

// raised is the work with its hood as high as the extras need it.
func (e *extrasPlanner) raised() Work {
	w := e.w
	if h := w.Machine.Hood; h != nil && e.out.Set.Deepest() < holderGap-h.AboveTip {
		up := *h
		up.AboveTip = holderGap - e.out.Set.Deepest()
		w.Machine.Hood = &up
	}
	return w
}

// HoodFor returns how high above the tip the hood must be set for a program; 0
// where it may stay as it is.
func HoodFor(w Work, p Program) float64 {
	if h := w.Machine.Hood; h != nil {
		if low := p.Extents().Min.Z; low < holderGap-h.AboveTip {
			return math.Ceil(holderGap - low)
		}
	}
	return 0
}

// assemble makes one program a cutter, in the order in which each is first needed,
// the cut-outs last.
func (e *extrasPlanner) assemble() error {
	for _, j := range e.jobs {
		f, ok := NewFeeds(e.w.Machine, j.cutter, 0, j.depth)
		if !ok {
			return Problems{cannotRun(e.w, j.cutter)}
		}
		b := newBuilder(e.w, f)
		if err := j.lay(b); err != nil {
			return err
		}
		b.lift()
		if len(b.moves) > mostMoves {
			return Problems{{"extras", fmt.Sprintf("%s takes over %d moves", j.title, mostMoves), "fewer or larger extras"}}
		}
		s := Section{Purpose: Extra, Pattern: j.title, Passes: 1, Feeds: f, Moves: b.moves}
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
			add("tabs", fmt.Sprintf("when it is cut round, %d tabs of %s by %s are all that holds %s", n, mm(2*c.Tabs[0].Half), mm(c.Tabs[0].Top+e.w.Blank.Thickness), held(e.w)),
				"hold its middle too, by double-sided tape under it or a screw from below where nothing is cut; saw the tabs by hand when all stands still")
		}
	}
	for i, p := range e.out.Programs {
		if up := HoodFor(e.w, p); up > 0 {
			add("raise-hood", fmt.Sprintf("for the extras with %s the hood must hang %s or more above the tip: it would touch the blank", e.out.Programs[i].Cutter.Name, mm(up)), "the program's first message asks for it; lower the hood again afterwards")
		}
	}
}

// held names what is cut out.
func held(w Work) string {
	switch {
	case w.Gauge:
		return "each template"
	case w.Board != nil:
		return "the board"
	}
	return "the dish"
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

// hole plans a bore. A cutter narrower than the hole goes round in a helix; a cutter
// as wide as it would have to go straight down, which only one that cuts to its
// middle can.
func (e *extrasPlanner) hole(h HoleWanted) {
	bottom := e.through()
	if h.Depth > 0 {
		bottom = e.w.grid().raise(-h.Depth)
	}
	best, why := path.Cutter{}, "no straight cutter is on the shelf"
	for _, c := range e.candidates(h.Cutter) {
		room := h.Diameter/2 - c.Radius()
		switch able := e.able(c, -bottom); {
		case c.Shape != path.Flat:
			if h.Cutter != "" {
				why = fmt.Sprintf("%s is a %s, which leaves no straight wall to the bottom", c.Name, c.Shape)
			}
		case room < leastOrbit:
			why = fmt.Sprintf("%s, %s wide, does not go round in a hole of %s", c.Name, mm(c.Diameter), mm(h.Diameter))
		case able != "":
			why = c.Name + ": " + able
		case best.Diameter < c.Diameter:
			best = c
		}
	}
	if best.Name == "" {
		e.cannot(h.Name, h.Key, h.Cutter, why, fmt.Sprintf("a straight (flat) cutter of at most %s with flutes of at least %s, or drill it by hand from X0 Y0", mm(math.Floor((h.Diameter-2*leastOrbit)*10)/10), mm(-bottom)))
		return
	}
	if in := e.w.Blank.Inside(h.X, h.Y) - h.Diameter/2; in < 0 {
		e.problems.add(h.Key, fmt.Sprintf("%s at X%.1f Y%.1f reaches %s beyond the blank", h.Name, h.X, h.Y, mm(-in)), "a place on the blank, in the face frame: X0 Y0 is over the apex")
		return
	}
	e.out.Set.Holes = append(e.out.Set.Holes, extra.Hole{Name: h.Name, X: h.X, Y: h.Y, Radius: h.Diameter / 2, Bottom: bottom})
	called := h.Name
	if h.Group != "" {
		called = h.Group
	}
	e.add(jobOf{best, fmt.Sprintf("%s, %s wide and %s deep", called, mm(h.Diameter), mm(-bottom)), h.Group, best.DepthOfCut,
		func(b *builder) error { return bore(b, best, h.X, h.Y, h.Diameter/2, bottom) }})
}

// leastOrbit is the smallest circle that a bore goes round on, mm.
const leastOrbit = 0.25

// bore cuts a round hole down a helix no steeper than the cutter's ramp. A hole too
// wide for one round is cut in layers no deeper than the cutter may bite, each down
// the innermost round and from there outward.
func bore(b *builder, c path.Cutter, x, y, radius, bottom float64) error {
	room := radius - c.Radius() - b.grid.step
	inner := math.Min(room, 0.8*c.Radius())
	rounds := []float64{inner}
	for n, k := math.Ceil((room-inner)/(1.2*c.Radius())), 1.0; k <= n; k++ {
		rounds = append(rounds, inner+float64(k/n*(room-inner)))
	}
	t := newTurn(inner, wallChord)
	pitch := math.Min(0.8*float64(2*math.Pi*inner*steep(c)), c.DepthOfCut-biteMargin)
	if pitch < leastPitch {
		return Problems{{"shelf/" + c.Name + "/ramp", fmt.Sprintf("%s goes down too slowly for a hole", c.Name), "a steeper ramp, a wider hole, or another cutter"}}
	}
	at := func(t turn, k int, r, z float64) r3.Vec {
		u, v := t.dir(k)
		return b.place(x+float64(r*u), y+float64(r*v), level(z))
	}
	circle := func(r, z float64) {
		t := newTurn(r, wallChord)
		for i := 0; i <= t.steps(); i++ {
			b.line(at(t, i, r, z), b.feeds.Plunge)
		}
	}
	top, layers := airGap/2, 1.0
	if len(rounds) > 1 {
		layers = math.Ceil(-bottom / (c.DepthOfCut - biteMargin))
	}
	b.over(at(t, 0, inner, top), top)
	z := top
	for k := 1.0; k <= layers; k++ {
		down := float64(bottom * (k / layers))
		b.line(at(t, 0, inner, z), b.feeds.Plunge)
		steps := int(math.Ceil((z-down)/pitch)) * t.steps()
		for i := 1; i <= steps; i++ {
			b.line(at(t, i, inner, z+float64((down-z)*(float64(i)/float64(steps)))), b.feeds.Plunge)
		}
		for _, r := range rounds {
			circle(r, down)
		}
		z = down
	}
	b.lift()
	return nil
}

// leastPitch is the least that a helix goes down in a turn, mm.
const leastPitch = 0.01

// TouchBeside returns a place where the blank's top stays as it is to the very end,
// so that it can be touched again after every change of cutter: TouchPlace's, or
// where an extra takes that another one. ok is false where there is none.
func TouchBeside(w Work, set extra.Set) (x, y float64, ok bool) {
	room := func(x, y float64) float64 {
		free := w.Blank.Inside(x, y)
		for _, h := range w.HoldDowns {
			free = math.Min(free, dist(h.X-x, h.Y-y)-h.Radius)
		}
		for _, h := range set.Holes {
			free = math.Min(free, dist(h.X-x, h.Y-y)-h.Radius)
		}
		for _, g := range set.Grooves {
			off, _ := g.Nearest(x, y)
			free = math.Min(free, off-g.Wide/2)
		}
		for _, c := range set.CutOuts {
			free = math.Min(free, c.Ring.Outside(x, y)-c.Ring.Width)
		}
		return free
	}
	if !w.Gauge {
		if x, y, ok = TouchPlace(w); !ok || room(x, y) >= touchLand/2 {
			return x, y, ok
		}
		ok = false
	}
	const across = 60
	best := touchLand / 2
	for i := range across + 1 {
		for k := range across + 1 {
			px := whole(w.Blank.Length * (float64(i)/across - 0.5))
			py := whole(w.Blank.Width * (float64(k)/across - 0.5))
			free := room(px, py)
			switch {
			case w.Gauge:
			case w.Part() != nil:
				off, _ := w.Part().Off(px, py)
				free = math.Min(free, off-boardReach(w))
			default:
				free = math.Min(free, dist(px, py)-outer(w))
			}
			if free >= best+1e-6 || (!ok && free >= best) {
				best, x, y, ok = free, px, py, true
			}
		}
	}
	return x, y, ok
}

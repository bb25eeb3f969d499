package proof

import (
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/extra"
	"dishwright/dish/measure"
	"dishwright/machines"
)

// Case is what programs are held against, in the face frame.
type Case struct {
	Face          dish.Face
	Blank         dish.Blank
	MinWood       float64         // least thickness of wood that must stay, mm
	Obstacles     []path.Obstacle // hold-downs and whatever else is in the way; of setups what stands on the blank
	Machine       machines.Machine
	MaxScallop    float64     // largest scallop allowed, mm
	CellSize      float64     // of the field of heights, mm; 0 where the blank and the cutters decide
	Tilt          float64     // of the spindle, at most, rise over length: the scallop is certified for it
	Undersize     float64     // of the cutters' diameters, at most, mm: likewise
	Region        dish.Region // the scallop counts in it alone; nil, or a disc, for all of the face
	Extras        extra.Set   // volumes that may, and must, be cut away beside the face
	TemplatesOnly bool        // no face: the edges of the cut-outs are held against MaxScallop
	SkimDepth     float64     // how much stands above the blank's top before it is skimmed, mm
	Setups        Setups      // where the blank is turned or slid between programs
	Warp          path.Warp   // what the programs compensate: feeds and travel are those of compensated moves
	// Cleared is the region in which passes of a cutter may cut the wood, where finish comes
	// after it or is the same: the part of the face that is cut, with the moat round a crown
	// or what cutters reach over the sides of a board or a mould's edge. A func of nil is for
	// nothing beside the face. A hollow dish needs none: its rim ends all cutting.
	Cleared func(c, finish path.Cutter) dish.Region

	Known *Known // what was certified before of the same moves; nil for nothing

	budget *budget // of the proof in hand
}

// Program is one program as it was read, with the cutter that it runs with.
type Program struct {
	Name        string // of its file
	Cutter      path.Cutter
	Setup       path.Setup // how the blank lies while it runs
	Path        path.Path  // as the blank sees it
	PathModes   []PathMode // in the order in which the text selects them
	Interrupted bool       // it was stopped part-way, so its end is missing
	HoodAbove   float64    // how high above the tip its head has the hood hung, mm; 0 where it says nothing
}

// PathMode is a line that selects how the machine takes corners, as it stands in
// the text, from the move of index Before on.
type PathMode struct {
	Text   string
	Before int
	Source path.Source
}

// Result is what Check proves of a set of programs.
type Result struct {
	Scallop   Scallop
	Gouge     Gouge
	Bites     []float64 // deepest bite of each program, mm
	Steepest  []float64 // steepest way down into stock of each program, radians
	Findings  []Finding // in the order of the programs and their lines, a scallop last
	Remaining *Stock    // the stock after all of them

	// CornerRounding is how much a controller that rounds corners as Machine.CornerRounding
	// states may add to the scallop and to the gouge, mm; neither figure counts it.
	CornerRounding float64
}

// Check proves programs in running order: stock carries over from one to the
// next, and the scallop is that of all of them together. The error is that of
// Certify: a case or a program that no figure can be given for, or more work than a proof
// may take.
func Check(c Case, programs []Program) (Result, error) {
	if c.budget == nil {
		c.budget = newBudget()
	}
	r, err := c.check(programs)
	if over := c.budget.err(); over != nil {
		return Result{}, over
	}
	for i := range r.Findings {
		r.Findings[i].place(programs)
	}
	return r, err
}

// check is Check but for what the proof may take.
func (c Case) check(programs []Program) (Result, error) {
	cuts := make([]Cut, len(programs))
	for i, p := range programs {
		cuts[i] = Cut{p.Cutter, p.Path.Moves}
	}
	extras := make([]*programExtras, len(programs))
	var face []Cut
	for i, p := range programs {
		extras[i] = &programExtras{limits: c, program: p, tally: &tally{of: c.budget}}
		if !extras[i].cutsOnlyExtras() && !p.cutsNothing() {
			face = append(face, cuts[i])
		}
	}
	// The scallop and the other checks are independent.
	var scallop Scallop
	var err error
	done := make(chan struct{})
	go func() {
		defer close(done)
		if !c.TemplatesOnly {
			if len(c.Setups.Parts) > 0 {
				scallop, err = c.certifySetups(programs, extras)
			} else {
				scallop, err = c.certify(face)
			}
		}
	}()
	r := checkPrograms(c, programs, cuts, extras)
	r.Findings = append(c.turnedTooSoon(programs), r.Findings...)
	r.CornerRounding = c.cornerRounding(programs, extras)
	<-done
	if err != nil {
		return r, err
	}
	missing, edgeError := c.unfinishedExtras(programs, extras)
	r.Findings = append(append(r.Findings, missing...), c.emptySetups(programs, extras)...)
	if r.Scallop = scallop; c.TemplatesOnly {
		r.Scallop = Scallop{Certified: edgeError, Found: edgeError}
		if breaks(edgeError, c.MaxScallop) {
			r.Findings = append(r.Findings, Finding{Kind: KindExtra, Amount: edgeError - c.MaxScallop, Message: measure.Say("an edge is up to %v off; %v are allowed", measure.To(edgeError, 4).Against(c.MaxScallop), measure.To(c.MaxScallop, 4).Against(edgeError))})
		}
		return r, nil
	}
	if breaks(scallop.Certified, c.MaxScallop) {
		r.Findings = append(r.Findings, scallopFinding(c, scallop, programs))
	}
	return r, nil
}

// certify certifies the scallop. What the last program leaves by itself is an upper
// bound of what all of them leave, and quicker to find: the passes of roughing lie
// close above the face and rarely lower a scallop, but each has to be examined.
func (c Case) certify(cuts []Cut) (Scallop, error) {
	options := CertifyOptions{Expected: c.MaxScallop, Tilt: c.Tilt, Undersize: c.Undersize, Region: c.Region, Known: c.Known, budget: c.budget}
	if n := len(cuts); n > 1 {
		if r, err := Certify(c.Face, 0, cuts[n-1:], options); err != nil || r.Certified <= c.MaxScallop {
			return r, err
		}
	}
	return Certify(c.Face, 0, cuts, options)
}

// checkPrograms checks everything but the scallop.
func checkPrograms(c Case, programs []Program, cuts []Cut, extras []*programExtras) (r Result) {
	narrowest := math.Inf(1) // of the cutters over the face
	for i, p := range programs {
		if !extras[i].cutsOnlyExtras() && !p.cutsNothing() {
			narrowest = min(narrowest, p.Cutter.Diameter)
		}
	}
	stock, travelled, stays, hung := c.newStock(c.cellSize(narrowest)), newTravelBox(), c.besideFace(programs, extras), &hanging{}
	for i, p := range programs {
		j := checker{limits: c.withHoodOf(p).inSetup(p.Setup), program: p, top: c.topOf(stock), extras: extras[i], travelled: travelled, stays: stays[i], counts: map[Kind]int{}, tally: extras[i].tally}
		j.checkSetup()
		j.checkOrder()
		j.checkCutOutsLast(hung)
		j.checkPathModes()
		j.checkMoves()
		j.checkGouges(cuts[i], &r.Gouge, i)
		field := stock
		if cell := c.cellSize(p.Cutter.Diameter); cell < stock.CellSize() && extras[i].cutsOnlyExtras() {
			field = stock.refined(cell, cuts[:i], cuts[i])
		}
		j.checkBites(field, &r)
		if field != stock {
			field.tally.flush()
			stock.cutAll(cuts[i])
		}
		j.tally.flush()
		r.Findings = append(r.Findings, j.sorted()...)
	}
	stock.tally.flush()
	r.Remaining = stock
	// A program says heights in whole steps, nothing is cut below the top, and of a line in
	// parts the field knows no more than joinTolerance.
	if over, x, y := stock.highestCell(); c.SkimDepth > 0 && breaks(over, max(GougeTolerance, c.Machine.Step())+joinTolerance) {
		r.Findings = append(r.Findings, Finding{Kind: KindExtra, X: x, Y: y, Amount: over, Message: measure.Say("up to %v of what was to be skimmed off the blank's top still stand", measure.MM(over))})
	}
	return r
}

// topOf returns how high the blank stands above its top: as high as what is to be skimmed,
// until it is.
func (c Case) topOf(s *Stock) float64 {
	if c.SkimDepth == 0 {
		return 0
	}
	top, _, _ := s.highestCell()
	return max(0, top)
}

// newStock returns the uncut blank with cells of about the given size.
func (c Case) newStock(cell float64) *Stock {
	s := NewStock(c.Blank, cell)
	s.tally.of = c.budget
	s.Raise(c.SkimDepth)
	if !c.Face.Level() {
		s.Slope = math.Asin(min(1, c.Face.Rim/c.Face.Radius))
	}
	return s
}

// cellSize returns the size of the cells in which a cutter of that diameter is followed, mm.
func (c Case) cellSize(diameter float64) float64 {
	if c.CellSize > 0 {
		return c.CellSize
	}
	return CellSize(c.Blank, diameter)
}

// checker checks one program against the case.
type checker struct {
	limits    Case
	program   Program
	top       float64 // how high the blank stands above its top when the program begins, mm
	extras    *programExtras
	travelled *travelBox // by all programs so far, where the blank is turned or slid
	stays     *beside    // wood beside the face; nil where the face alone decides
	findings  []Finding
	counts    map[Kind]int
	tally     *tally
	raised    []float64 // of each move, how many times the chip load it makes; none where no move makes more than one
	rests     []rest
}

// checkBites runs the program through the stock. The search for bites uses the least
// of the cutter's depth of cut, what is left of it at a raised feed, and its flute length,
// so one search finds bites beyond each.
func (j *checker) checkBites(s *Stock, r *Result) {
	j.checkRests(s)
	moves, c := j.program.Path.Moves, j.program.Cutter
	if c.FluteLength > 0 {
		c.DepthOfCut = min(c.DepthOfCut, c.FluteLength)
	}
	for _, k := range j.raised {
		c.DepthOfCut = min(c.DepthOfCut, j.mostBite(k))
	}
	rep := s.RunOnMachine(j.limits.Machine, c, moves)
	r.Bites, r.Steepest = append(r.Bites, rep.Depth), append(r.Steepest, rep.Steepest)
	for _, b := range rep.TooDeep {
		// A bound within biteTolerance is not searched further: so much may be no bite at all,
		// as where layers are just as deep as the cutter may take.
		if over := b.Depth - j.program.Cutter.DepthOfCut; breaks(over, biteTolerance) {
			j.report(KindBite, moves[b.Index].Source, b.X, b.Y, over, "a bite of %v; %s may take %v", measure.MM(b.Depth).Against(j.program.Cutter.DepthOfCut), c.Name, measure.MM(j.program.Cutter.DepthOfCut).Against(b.Depth))
		}
	}
	j.checkThickChips(s, rep.TooDeep)
	for _, b := range rep.TooDeep {
		if c.FluteLength > 0 && breaks(b.Depth, c.FluteLength) {
			j.report(KindBite, moves[b.Index].Source, b.X, b.Y, b.Depth-c.FluteLength, "a bite of %v is deeper than the flutes of %s are long", measure.MM(b.Depth), c.Name)
			break
		}
	}
	for _, t := range rep.TooSteep {
		m := moves[t.Index]
		const degrees = 180 / math.Pi
		steep, may := float64(t.Angle*degrees), float64(j.program.Cutter.Ramp*degrees)
		j.report(KindRamp, m.Source, m.To.X, m.To.Y, float64((t.Angle-j.program.Cutter.Ramp)*degrees), "%v degrees down with %v of stock under the core; %s may go down at %v", measure.Number(steep, 2).Against(may), measure.MM(t.Depth), j.program.Cutter.Name, measure.Number(may, 2).Against(steep))
	}
	for _, t := range rep.Posts {
		j.report(KindRamp, moves[t.Index].Source, t.X, t.Y, t.Depth-t.Allowed, "%v of wood stays under the core on the way down, which does not cut it; %s may press %v of it", measure.MM(t.Depth).Against(t.Allowed), c.Name, measure.MM(t.Allowed).Against(t.Depth))
	}
	for _, t := range rep.Traverses {
		j.report(KindTraverse, moves[t.Index].Source, t.X, t.Y, t.Depth, "a traverse runs %v deep through stock", measure.MM(t.Depth))
	}
	for _, t := range rep.Contacts {
		hangs := measure.Say("")
		if t.MachinePart == Hood {
			hangs = measure.Say(", where it hangs %v above the tip as far as the text says before its first stop", measure.MM(j.limits.Machine.Hood.AboveTip))
		}
		j.report(KindContact, moves[t.Index].Source, t.X, t.Y, t.Amount, "the %s touches standing wood, %v deep%v", t.MachinePart, measure.MM(t.Amount), hangs)
	}
}

package proof

import (
	"math"
	"slices"

	"dishwright/cam/path"
	"dishwright/machines"
)

// RunReport tells what a sequence of moves cuts. An index is that of a move, -1 where
// there is none.
type RunReport struct {
	Depth  float64 // deepest bite of all moves, mm: see Bite.Depth
	Index  int     // of the move that takes it
	X, Y   float64 // where, mm
	Volume float64 // mm³ taken by all moves, an estimate

	Traverses []MoveBite // traverses that meet stock, by more than Slack(s.Slope), in order

	Steepest      float64 // steepest way down of a cutting move with stock under the core, radians; 0 where none
	SteepestIndex int
	SteepestDepth float64 // how much stood above the tip there, mm

	TooDeep  []MoveBite // cutting moves that bite deeper than the cutter's DepthOfCut, in order
	TooSteep []Descent  // cutting moves that go down more steeply than its Ramp with stock under the core, in order
	Posts    []Post     // moves not in TooSteep that go down into what stays under the core, in order

	Contacts []MoveContact // moves that bring a part above the flutes against stock, in order
}

// MoveBite is a move and its bite: of a cutting move too deep, or of a traverse any.
type MoveBite struct {
	Index int
	Depth float64 // mm, an upper bound
	X, Y  float64 // where, mm
}

// Descent is a move that goes down into stock too steeply.
type Descent struct {
	Index int
	Angle float64 // radians
	Depth float64 // how much stood above the tip under the core, mm
}

// Post is wood that the core stays over while the cutter goes down, which cuts nothing of
// it, and the first move that goes too deep into it.
type Post struct {
	MoveBite
	Allowed float64 // how deep it may be, mm
}

// MoveContact is a move that brings a part of the machine against stock.
type MoveContact struct {
	Index int
	Contact
}

// Run carries out all moves with the cutter and reports on them. Of the parts above the
// flutes only the shank is checked for contact. See RunOnMachine.
func (s *Stock) Run(c path.Cutter, moves []path.Move) RunReport {
	return s.RunOnMachine(machines.Machine{}, c, moves)
}

// RunOnMachine carries out all moves with the cutter in the machine and reports on
// them.
//
// A traverse meets stock, and stock stands under the core, where the bite exceeds
// Slack(s.Slope): less may be the field's own excess, as where a cutter runs just over a
// finished face. A traverse that meets less removes nothing, so what many of them meet adds
// up, whatever is done between them.
//
// For the core, successive moves that go down are compared with what stood before the
// first of them, until they have gone down twice the slack: each of many short moves by
// itself would find too little to count. What the core stays over is not cut, and found
// however it goes down there: see stays. For bites, moves that plunge at one place are
// one: see plunge; and traverses too: see rush.
func (s *Stock) RunOnMachine(machine machines.Machine, c path.Cutter, moves []path.Move) RunReport {
	s.top, _, _ = s.highestCell()
	s.edge.clear()
	s.posts = nil
	r := runner{stock: s, machine: machine, cutter: c, moves: moves, slack: s.Slack(s.Slope)}
	r.report.Index, r.report.SteepestIndex = -1, -1
	r.findStays()
	for i, m := range moves {
		if s.tally.add(1) { // nothing of it counts any more
			return r.report
		}
		down := r.descentOf(i)
		if r.descent += down; down > 0 && r.descent < 2*r.slack {
			continue
		}
		if down <= 0 && r.descent > 0 && r.idle+m.Length() <= s.EdgeMargin() {
			r.idle += m.Length()
			continue
		}
		if down <= 0 {
			r.carryOutTo(i)
		}
		r.carryOutTo(i + 1)
	}
	r.carryOutTo(len(moves))
	r.finishPlunge()
	r.report.Posts = slices.DeleteFunc(r.report.Posts, func(p Post) bool { return r.reported(p.Index, 0) })
	return r.report
}

// runner is the state of RunOnMachine.
type runner struct {
	stock   *Stock
	machine machines.Machine
	cutter  path.Cutter
	moves   []path.Move
	slack   float64
	next    int     // the first move not yet carried out
	descent float64 // how far the moves from next on go down
	idle    float64 // how long those of them are that do not
	stays   []bool  // for each move whether it is of a stay; none without a core
	plunge  plunge
	rush    rush
	report  RunReport
}

// descentOf returns how far a cutting move goes down; 0 for a traverse, and for a move
// that nowhere goes down.
func (r *runner) descentOf(i int) float64 {
	if !(r.cutter.Core > 0) {
		return 0
	}
	return fallOf(r.moves[i])
}

// fallOf returns how far a cutting move goes down.
func fallOf(m path.Move) float64 {
	m, ok := knownMove(m)
	if !ok || m.Kind == path.Traverse {
		return 0
	}
	if m.Kind == path.Arc && m.Plane != path.XY {
		return max(0, m.From.Z-lowestTip(m))
	}
	return max(0, m.From.Z-m.To.Z)
}

// carryOutTo carries out the moves from next to end.
func (r *runner) carryOutTo(end int) {
	for i := r.next; i < end; i++ {
		if r.descentOf(i) > 0 {
			r.checkCore(i)
		}
	}
	for i := r.next; i < end; i++ {
		r.carryOut(i)
	}
	r.next, r.descent, r.idle = max(r.next, end), 0, 0
}

// ignoredRampShare is the share of the cutter's ramp up to which a descent is not checked:
// a spiral descends so all the way, and that harms no cutter.
const ignoredRampShare = 0.2

// coreSlackFactor is by how many times its slack the field may overstate what stands under
// the core: where short chords of a bull meet, it overstates by up to
// 1.15 times the slack (measured).
const coreSlackFactor = 1.25

// checkCore searches for stock under the core along the parts of a move that go down.
// A chord of an upright arc is less steep than the arc by up to half its angle.
func (r *runner) checkCore(i int) {
	m, _ := knownMove(r.moves[i])
	n, _ := chordCount(m)
	bend := 0.0
	if m.Kind == path.Arc && m.Plane != path.XY {
		angle, _, _ := m.Sweep()
		bend = math.Abs(angle) / float64(2*n)
	}
	for k := range n {
		part := path.Move{Kind: path.Line, From: m.At(float64(k) / float64(n)), To: m.At(float64(k+1) / float64(n))}
		fall := part.From.Z - part.To.Z
		if !(fall > 0) {
			continue
		}
		along := math.Hypot(part.To.X-part.From.X, part.To.Y-part.From.Y)
		slope := min(math.Pi/2, bend+math.Atan2(fall, along))
		if step := r.written(); fall-step <= float64(math.Tan(r.cutter.Ramp)*(along+step)) && bend == 0 {
			slope = min(slope, r.cutter.Ramp) // but for the last digit
		}
		if slope <= min(max(r.report.Steepest, ignoredRampShare*r.cutter.Ramp), r.cutter.Ramp) || r.reported(i, slope) {
			continue
		}
		if d := r.stock.coreDepth(r.cutter, part); breaks(d, float64(coreSlackFactor*r.slack)) {
			if slope > r.report.Steepest {
				r.report.Steepest, r.report.SteepestIndex, r.report.SteepestDepth = slope, i, d
			}
			if n := len(r.report.TooSteep); slope > r.cutter.Ramp {
				if n > 0 && r.report.TooSteep[n-1].Index == i {
					r.report.TooSteep = r.report.TooSteep[:n-1] // a steeper part of the same move
				}
				r.report.TooSteep = append(r.report.TooSteep, Descent{i, slope, d})
			}
		}
	}
}

// written returns the step of the coordinates that the machine is told, mm; 0 of no machine.
func (r *runner) written() float64 {
	if r.machine.Decimals == 0 {
		return 0
	}
	return r.machine.Step()
}

// reported reports whether the move is listed already with a part as steep.
func (r *runner) reported(i int, slope float64) bool {
	for n := len(r.report.TooSteep) - 1; n >= 0 && r.report.TooSteep[n].Index >= i; n-- {
		if r.report.TooSteep[n].Index == i && r.report.TooSteep[n].Angle >= slope {
			return true
		}
	}
	return false
}

// isLift reports whether m goes straight up from where the move before it ended. The
// cutter then stays above what it has just cleared, so it cuts nothing; the field, which
// knows a steep wall beside it only roughly, might find a bite.
func isLift(before, m path.Move) bool {
	return m.Kind != path.Arc && m.From == before.To && m.To.X == m.From.X && m.To.Y == m.From.Y && m.To.Z >= m.From.Z
}

// carryOut carries out one move.
func (r *runner) carryOut(i int) {
	m := r.moves[i]
	if i > 0 && isLift(r.moves[i-1], m) {
		if m.To.Z > r.plunge.lowest+r.slack {
			r.finishPlunge()
		}
		r.stock.lift(m.To.Z)
		return
	}
	joins := r.plunge.takes(m, r.stock.EdgeMargin(), r.slack)
	if !joins {
		r.finishPlunge()
	}
	if t := r.stock.Contact(r.cutter, m, r.machine); t.MachinePart != NoPart {
		r.report.Contacts = append(r.report.Contacts, MoveContact{i, t})
	}
	known := min(r.report.Depth, r.cutter.DepthOfCut)
	if r.stock.SkipAllowedBites {
		known = r.cutter.DepthOfCut
	}
	if m.Kind == path.Traverse {
		known = min(known, r.slack)
	}
	b := r.stock.cut(r.cutter, m, known)
	below := r.rush.follow(m, r.stock.EdgeMargin())
	if joins && m.Kind == path.Traverse { // the moves before it have cut that far
		b.Depth = min(b.Depth, max(known, r.plunge.lowest-m.To.Z))
	}
	if breaks(b.Depth, max(known, r.report.Depth)) {
		r.report.Depth, r.report.Index, r.report.X, r.report.Y = b.Depth, i, b.X, b.Y
	}
	if m.Kind != path.Traverse && breaks(b.Depth, r.cutter.DepthOfCut) {
		r.report.TooDeep = append(r.report.TooDeep, MoveBite{i, b.Depth, b.X, b.Y})
	}
	if m.Kind == path.Traverse && breaks(b.Depth, r.slack) {
		r.report.Traverses = append(r.report.Traverses, MoveBite{i, b.Depth, b.X, b.Y})
	}
	if below > 0 && b.Depth > 0 && !(b.Depth > r.slack) {
		took, x, y := r.stock.deepest(&r.stock.scratch.cutter, r.stock.EdgeMargin(), 0, false)
		if r.rush.taken += min(took, below); r.rush.taken > r.slack {
			r.report.Traverses = append(r.report.Traverses, MoveBite{i, r.rush.taken, x, y})
		}
	}
	how := cutting{known: max(known, r.report.Depth), core: r.cutter.Core / 2, stay: len(r.stays) > 0 && r.stays[i]}
	switch {
	case m.Kind == path.Traverse && !breaks(b.Depth, r.slack):
		r.stock.followMove(&r.stock.scratch.cutter, m)
	case joins || r.plunge.starts(m):
		r.plunge.add(i, m, how)
	default:
		r.apply(i, how)
	}
}

// apply removes what the move in the scratch memory cuts.
func (r *runner) apply(i int, how cutting) {
	var b Bite
	r.stock.apply(&b, how, func(cell int, k *straightRun) { r.checkPost(i, cell, k) })
	r.stock.lift(r.moves[i].To.Z)
	r.report.Volume += b.Volume
}

// finishPlunge removes what the moves of the plunge cut.
func (r *runner) finishPlunge() {
	for _, p := range r.plunge.moves {
		r.stock.sweep(&r.stock.scratch.cutter, r.cutter, r.moves[p.index], 0)
		r.apply(p.index, p.how)
	}
	r.plunge = plunge{moves: r.plunge.moves[:0]}
}

// cutAll carries out all moves of a cutter without a report.
func (s *Stock) cutAll(c Cut) {
	s.top, _, _ = s.highestCell()
	s.cutOn(c.Cutter, c.Moves)
}

// cutOn carries out moves of the cutter that cutAll was called with.
func (s *Stock) cutOn(c path.Cutter, moves []path.Move) {
	s.edge.clear()
	for i, m := range moves {
		if s.tally.over || m.Kind == path.Traverse || i > 0 && isLift(moves[i-1], m) {
			continue
		}
		b := s.cut(c, m, math.Inf(1))
		s.apply(&b, cutting{known: math.Inf(1)}, nil)
	}
}

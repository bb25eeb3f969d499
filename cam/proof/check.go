package proof

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/machines"
)

// Kind says what a finding is about. The list is closed.
type Kind string

// The kinds of finding.
const (
	KindText     Kind = "text"    // the text cannot be read as a machine would read it
	KindCutter   Kind = "cutter"  // the program names no cutter, or one that is not on the shelf
	KindOrder    Kind = "order"   // stop, lift, spindle and work do not follow one another
	KindSpindle  Kind = "spindle" // it does not turn where it must, or not within its limits
	KindFeed     Kind = "feed"    // an axis moves faster than it may
	KindTravel   Kind = "travel"  // beyond the machine's travel
	KindArc      Kind = "arc"     // an arc for a machine that has none
	KindPathMode Kind = "path mode"
	KindTraverse Kind = "traverse" // slanting, below clearance, or through stock
	KindObstacle Kind = "obstacle" // near a hold-down
	KindFloor    Kind = "floor"    // into the wood that must stay
	KindGouge    Kind = "gouge"
	KindBite     Kind = "bite"    // deeper than the cutter may
	KindRamp     Kind = "ramp"    // down into stock too steeply
	KindContact  Kind = "contact" // shank, holder or hood against standing wood
	KindScallop  Kind = "scallop"
)

// Case is what programs are held against, in the face frame.
type Case struct {
	Face      dish.Face
	Blank     dish.Blank
	Floor     float64 // least wood left, mm
	HoldDowns []path.Obstacle
	Machine   machines.Machine
	Scallop   float64 // largest ridge allowed, mm
	Cell      float64 // of the field of heights, mm
}

// Program is one program as it was read, with the cutter that it runs with.
type Program struct {
	Name     string // of its file
	Cutter   path.Cutter
	Path     path.Path
	PathMode string // the path mode that it works in, as it stands in its text
}

// Finding is one thing that a program does and may not. Amount is how far it
// goes beyond the bound, in mm, mm/min, 1/min or degrees.
type Finding struct {
	Program      string
	Line, Column int
	Kind         Kind
	X, Y         float64 // place on the blank, mm
	Amount       float64
	Message      string
}

// Result is what is proven of a set of programs.
type Result struct {
	Ridge     Ridge
	Gouge     GougeAt
	Bites     []float64 // deepest bite of each program, mm
	Steepest  []float64 // steepest way down into stock of each program, radians
	Findings  []Finding // in the order of the programs and their lines
	MoreOf    map[Kind]int
	Certified bool // whether the ridge was looked for
}

// mostOfKind is how many findings of a kind are listed for a program: who has
// that many has seen enough, and memory stays bounded.
const mostOfKind = 20

// Check proves programs in running order: stock carries over from one to the
// next, and the ridge is that of all of them together. The error is that of
// Scallop: a case or a program that no figure can be given for.
func Check(c Case, programs []Program) (Result, error) {
	var r Result
	stock := NewStock(c.Blank, c.Cell)
	if c.Face.Kind != dish.Flat {
		stock.Slope = math.Asin(math.Min(1, c.Face.Rim/c.Face.Radius))
	}
	cuts := make([]Cut, len(programs))
	for i, p := range programs {
		cuts[i] = Cut{p.Cutter, p.Path.Moves}
	}
	// The ridge and the rest do not depend on one another.
	var ridge Ridge
	var err error
	done := make(chan struct{})
	go func() {
		defer close(done)
		ridge, err = Scallop(c.Face, 0, cuts, ScallopOptions{})
	}()
	for i, p := range programs {
		j := judge{c: c, p: p, counts: map[Kind]int{}}
		j.order()
		j.moves()
		j.gouges(cuts[i], &r.Gouge, i)
		j.field(stock, &r)
		r.Findings = append(r.Findings, j.sorted()...)
	}
	<-done
	if err != nil {
		return r, err
	}
	r.Ridge, r.Certified = ridge, true
	if !(ridge.Certified <= c.Scallop) {
		r.Findings = append(r.Findings, tooHigh(c, ridge, programs))
	}
	return r, nil
}

// judge holds one program against the case.
type judge struct {
	c      Case
	p      Program
	list   []Finding
	counts map[Kind]int
}

// find notes a finding at a place of the text.
func (j *judge) find(k Kind, at path.Source, x, y, amount float64, format string, args ...any) {
	if j.counts[k]++; j.counts[k] > mostOfKind {
		return
	}
	if math.IsNaN(x) || math.IsNaN(y) {
		x, y = 0, 0
	}
	j.list = append(j.list, Finding{j.p.Name, at.Line, at.Column, k, x, y, amount, fmt.Sprintf(format, args...)})
}

// sorted returns the findings in the order of lines, those of one line in the
// order in which they were made.
func (j *judge) sorted() []Finding {
	l := j.list
	for i := 1; i < len(l); i++ {
		for k := i; k > 0 && l[k].Line < l[k-1].Line; k-- {
			l[k], l[k-1] = l[k-1], l[k]
		}
	}
	return l
}

// gouges lists the moves that gouge, and keeps the worst of all programs.
func (j *judge) gouges(cut Cut, worst *GougeAt, program int) {
	w, over := Gouge(j.c.Face, []Cut{cut})
	if w.Move >= 0 && (program == 0 || w.Amount > worst.Amount) {
		w.Cut = program
		*worst = w
	}
	for _, g := range over {
		j.find(KindGouge, g.Source, g.X, g.Y, g.Amount, "the cutter goes %.4f mm below the face", g.Amount)
	}
}

// field runs the program through what stands.
func (j *judge) field(s *Stock, r *Result) {
	moves := j.p.Path.Moves
	rep := s.RunOn(j.c.Machine, j.p.Cutter, moves)
	r.Bites, r.Steepest = append(r.Bites, rep.Depth), append(r.Steepest, rep.Steepest)
	for _, b := range rep.Deeper {
		j.find(KindBite, moves[b.Index].Source, b.X, b.Y, b.Depth-j.p.Cutter.DepthOfCut, "a bite of %.3f mm; %s may take %.3f mm", b.Depth, j.p.Cutter.Name, j.p.Cutter.DepthOfCut)
	}
	for _, b := range rep.Deeper {
		if b.Depth > j.p.Cutter.FluteLength {
			j.find(KindBite, moves[b.Index].Source, b.X, b.Y, b.Depth-j.p.Cutter.FluteLength, "a bite of %.3f mm is deeper than the flutes of %s are long", b.Depth, j.p.Cutter.Name)
			break
		}
	}
	for _, t := range rep.Steeper {
		m := moves[t.Index]
		const degrees = 180 / math.Pi
		j.find(KindRamp, m.Source, m.To.X, m.To.Y, (t.Angle-j.p.Cutter.Ramp)*degrees, "%.2f degrees down with %.3f mm of stock under the core; %s may go down at %.2f", t.Angle*degrees, t.Depth, j.p.Cutter.Name, j.p.Cutter.Ramp*degrees)
	}
	for _, t := range rep.Traverses {
		j.find(KindTraverse, moves[t.Index].Source, t.X, t.Y, t.Depth, "a traverse runs %.3f mm deep through stock", t.Depth)
	}
	for _, t := range rep.Contacts {
		j.find(KindContact, moves[t.Index].Source, t.X, t.Y, t.Amount, "the %s touches standing wood, %.3f mm deep", t.Part, t.Amount)
	}
}

// tooHigh is the finding of a ridge over the bound, at the line that leaves it.
func tooHigh(c Case, ridge Ridge, programs []Program) Finding {
	f := Finding{Kind: KindScallop, X: ridge.X, Y: ridge.Y, Amount: ridge.Certified - c.Scallop,
		Message: fmt.Sprintf("a ridge of up to %.4f mm stands; %.4f mm are allowed", ridge.Certified, c.Scallop)}
	if len(programs) == 0 {
		return f
	}
	last := programs[len(programs)-1]
	f.Program = last.Name
	if m, ok := culprit(c.Face, last, ridge.X, ridge.Y); ok {
		f.Line, f.Column = m.Source.Line, m.Source.Column
	}
	return f
}

// culprit returns the cutting move that is most likely to have left a ridge: of
// those that pass close by, the first that stands clearly too high, else the
// nearest.
func culprit(face dish.Face, p Program, x, y float64) (best path.Move, ok bool) {
	near := math.Inf(1)
	for _, m := range p.Path.Moves {
		if d := planDistance(m, x, y); m.Kind != path.Traverse && d < near {
			near, best, ok = d, m, true
		}
	}
	g, most := newFloor(face, p.Cutter), ridgeShare
	reach := math.Max(2*near, near+p.Cutter.Radius()/2)
	for _, m := range p.Path.Moves {
		if m.Kind == path.Traverse || planDistance(m, x, y) > reach {
			continue
		}
		if high := m.To.Z - g.allowed(math.Hypot(m.To.X, m.To.Y)); high > most*(1+1e-6) {
			most, best = high, m
		}
	}
	return best, ok
}

// ridgeShare is how far above the face, in mm, a move's end must stand to be
// blamed for a ridge: a tenth of the least scallop that any job may ask for is
// too little to tell.
const ridgeShare = 0.003

// planDistance returns the distance in plan from (x, y) to a move, +Inf where it
// is not known; for an arc in the XY plane that to 64 chords of it.
func planDistance(m path.Move, x, y float64) float64 {
	if m.Kind == path.Arc && m.Plane == path.XY {
		least := math.Inf(1)
		for k := range arcPieces {
			a, b := m.At(float64(k)/arcPieces), m.At(float64(k+1)/arcPieces)
			least = math.Min(least, segmentDistance(a.X, a.Y, b.X, b.Y, x, y))
		}
		return least
	}
	return segmentDistance(m.From.X, m.From.Y, m.To.X, m.To.Y, x, y)
}

const arcPieces = 64

// segmentDistance returns the distance from (x, y) to a straight piece. An end
// that is not known leaves the other.
func segmentDistance(ax, ay, bx, by, x, y float64) float64 {
	if math.IsNaN(ax + ay) {
		ax, ay = bx, by
	}
	if math.IsNaN(ax + ay + bx + by) {
		return math.Inf(1)
	}
	dx, dy := bx-ax, by-ay
	t, n := 0.0, float64(dx*dx)+float64(dy*dy)
	if n > 0 {
		t = math.Min(1, math.Max(0, (float64((x-ax)*dx)+float64((y-ay)*dy))/n))
	}
	return math.Hypot(x-ax-float64(t*dx), y-ay-float64(t*dy))
}

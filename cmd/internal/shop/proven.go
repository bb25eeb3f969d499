package shop

import (
	"math"
	"slices"

	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/extra"
)

// provePiece finds out what the programs of a piece do.
func (r *Result) provePiece() error {
	// The table of other scallops does not depend on the proof.
	table := make(chan []Step, 1)
	go func() { table <- r.steps() }()
	if err := r.prove(); err != nil {
		return err
	}
	r.Report.Steps = <-table
	r.ownErrors()
	r.finish()
	tell.Tidy(&r.Report)
	return nil
}

// newCase returns what the work's programs are held against.
func newCase(w work.Piece, extras extra.Set, layout work.Layout) proof.Case {
	c := proof.Case{Face: w.Face, Blank: w.Blank, MinWood: w.Floor, Obstacles: w.Standing(), Machine: w.Machine, MaxScallop: w.Scallop,
		Tilt: w.OutOfSquare(), Undersize: w.Undersize, Region: w.Part(), Extras: extras, TemplatesOnly: !w.HasFace(), Setups: divided(w.Work, layout), Warp: w.Warp(), SkimDepth: w.Skim.Off}
	c.Cleared = func(cutter, finish path.Cutter) dish.Region { return pass.Cleared(w, cutter, finish) }
	if len(layout) > 0 { // what stands on the machine is another thing then
		c.Obstacles = w.HoldDowns
		middle := slices.IndexFunc(extras.Holes, func(h extra.Hole) bool { return h.X == 0 && h.Y == 0 })
		if w.Setups.By == work.ByPin && middle >= 0 {
			c.Setups.Pin = &extras.Holes[middle]
		}
	}
	return c
}

// prove holds what was read back against the job.
func (r *Result) prove() error {
	programs := r.readBack()
	c := newCase(r.Plan.Piece(), r.Extras, r.Plan.Layout)
	c.Known = r.known
	p, err := proof.Check(c, programs)
	if err != nil {
		return err
	}
	r.left = p.Remaining
	r.Report.Scallop = newScallop(r.covers(), p.Scallop)
	r.inSetups(p.Scallop)
	if err := r.tilt(programs, p.Scallop); err != nil {
		return err
	}
	r.Report.GougeMM = max(0, p.Gouge.Amount)
	r.Report.CornerMM = roundUp(p.CornerRounding)
	r.Report.Certificate = r.covers().sentence(r.Report.Scallop.CertifiedMM, r.Report.CornerMM)
	for i, depth := range p.Bites {
		one := &r.Report.Programs[i]
		one.BiteMM, one.FluteNeedMM = depth, depth
		for _, s := range r.Plan.Programs[i].Sections {
			one.FluteNeedMM = max(one.FluteNeedMM, s.Deep)
		}
		one.SteepestIntoDeg = p.Steepest[i] * 180 / math.Pi
		r.Report.DeepestBiteMM = max(r.Report.DeepestBiteMM, depth)
	}
	for _, f := range p.Findings {
		r.kinds = append(r.kinds, f.Kind)
		r.Report.Broken = append(r.Report.Broken, broken(f))
	}
	return nil
}

// newScallop is the scallop as it is told.
func newScallop(c covers, ridge proof.Scallop) Scallop {
	w := c.work
	return Scallop{w.Scallop, roundUp(max(0, ridge.Certified)), ridge.X, ridge.Y, work.Per100(w.Tilt), w.Undersize, c.condition()}
}

// roundUp rounds a bound up to a millionth, so that what is printed is still one.
func roundUp(v float64) float64 { return math.Ceil(v*1e6) / 1e6 }

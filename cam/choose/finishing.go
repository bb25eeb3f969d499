package choose

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"dishwright/cam"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// finishing is one way to finish: a cutter and a pattern.
type finishing struct {
	cutter   path.Cutter
	piece    work.Piece // with the pattern, spaced as it is tried at the time
	extended extension
	passes   pass.Passes
	section  work.Section
	forgot   bool // passes and moves, which are planned again where they are wanted
	seconds  float64
	ridge    float64 // certified, mm
	sure     bool    // certified, and within the scallop
	spaced   bool    // by certify
	err      error
	steep    error // why it goes down into stock too steeply, where that was found
	closed   int   // how often its passes were laid closer for that
}

// finishings returns, for each cutter of the shelf that the method allows, the ways
// to finish with it, each planned for all of the scallop and none certified. They
// are worked out side by side, and come in the order of shelf and patterns.
func finishings(w work.Piece) [][]*finishing {
	ways := make([][]*finishing, len(w.Shelf))
	var all []*finishing
	for i, c := range w.Shelf {
		if only := w.Method.Finish; only != work.Auto && only != c.Name {
			continue
		}
		if ps := work.Fits(w.Work, c); len(ps) > 0 {
			ways[i] = []*finishing{{cutter: c, err: ps}}
			continue
		}
		for _, name := range pass.PatternsFor(w.Work) {
			if asked := w.Method.Pattern; asked == name || asked == work.Auto && pass.Suits(w.Work, name, c) == "" {
				f := newFinishing(w, c, name)
				ways[i], all = append(ways[i], f), append(all, f)
			}
		}
	}
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), mostAtOnce, len(all)) {
		group.Go(func() {
			for k := next.Add(1) - 1; k < int64(len(all)); k = next.Add(1) - 1 {
				if all[k].plan(); len(all[k].section.Moves) > mostKept/len(all) {
					all[k].forget()
				}
			}
		})
	}
	group.Wait()
	return ways
}

// newFinishing returns a way to finish a piece, not yet planned.
func newFinishing(w work.Piece, c path.Cutter, pattern string) *finishing {
	w.Method.Pattern = pattern
	return &finishing{cutter: c, piece: w}
}

// forget lets the moves go: of a shelf of forty cutters most are never wanted again.
func (f *finishing) forget() {
	f.passes.Ways, f.section.Moves, f.forgot = nil, nil, true
}

// recall plans the moves again where they were let go.
func (f *finishing) recall() {
	if f.forgot {
		f.plan()
	}
}

// plan works the passes out for the share at hand.
func (f *finishing) plan() {
	f.forgot = false
	if f.passes, f.err = pass.Plan(f.piece, f.cutter); f.err == nil {
		f.lay()
	}
}

// lay makes moves of the passes, which run as far beyond a tile as the piece says.
func (f *finishing) lay() {
	p := f.piece
	if f.section, f.err = f.passes.Section(p, f.cutter, p.Allowance); f.err != nil {
		return
	}
	f.piece.Over = f.section.Over
	if ps := work.InTheWay(p, f.cutter, f.section); len(ps) > 0 {
		f.err = ps
		return
	}
	f.seconds = seconds(p.Machine, f.section)
}

const (
	// mostCloser is how often passes are laid closer together that go down into stock too
	// steeply, closerShare by which share of the scallop each time: less then stands between
	// two that are cut, where they go down.
	mostCloser  = 3
	closerShare = 0.7
)

// closer lays passes closer together that go down too steeply into what the field says still
// stands there, which is more than does; ok is false where that was done often enough. They
// leave less than before, and the proof of the programs decides.
func (f *finishing) closer() (ok bool) {
	if f.closed == mostCloser {
		return false
	}
	f.closed++
	f.piece.Share, f.sure, f.spaced, f.ridge = float64(f.piece.Share*closerShare), true, false, 0
	f.plan()
	return f.err == nil
}

// aim is by how much less than the scallop is aimed at when passes are spaced again, as a share
// of it, once more each time: spokes in another number leave some 0.3 % more or less (measured).
const aim = 0.004

// mostTries is how often a pattern is spaced again: each time brings it most of
// the way, for the scallop grows about with the share.
const mostTries = 8

// farOver is by how much a scallop of a tile may exceed what is allowed before nothing more is
// asked about it.
const farOver = 1.1

// mostCertified is how many moves are certified ahead of the programs' own proof:
// a fine pattern of a ball takes more, and it is spaced by the exact scallop.
const mostCertified = 60_000

// certify spaces the passes more closely until the certified scallop is within
// the one asked for, once.
func (f *finishing) certify(left *effort) error {
	if f.recall(); f.err != nil || f.spaced {
		return f.err
	}
	err := f.space(left)
	f.spaced = err == nil
	return err
}

func (f *finishing) space(left *effort) error {
	p := &f.piece
	if len(f.section.Moves) > mostCertified || spacedExactly(*p) { // the proof of the programs decides
		if err := left.certifiable(*p, f.cutter, f.section); err != nil {
			return err
		}
		f.sure = true
		if p.Divided() {
			p.Over = max(p.Over, p.Tile.Sector.Margin+float64(surelyOver*f.section.Widest))
			f.lay()
		}
		return f.err
	}
	tries, opt, allowed := mostTries, proof.CertifyOptions{}, p.PlannedScallop()
	if p.Divided() { // most tries only show that its passes end too soon
		tries, opt.StopAbove = 2*mostTries, float64(farOver*allowed)
	}
	for try := range tries {
		cut := proof.Cut{Cutter: f.cutter, Moves: f.section.Moves}
		r, err := left.scallop(*p, opt, cut)
		if err != nil {
			return err
		}
		if f.ridge = r.Certified; math.IsInf(f.ridge, 1) { // it was far over
			f.ridge = r.Found
		}
		if f.ridge <= allowed {
			f.sure = true
			return nil
		}
		if f.further(r) {
			if f.lay(); f.err != nil {
				return f.err
			}
			continue
		}
		// What is set aside for rounding and chords stays the same; a little more for good measure.
		p.Share = float64(p.Share * max(0.5, float64((1-float64(float64(try+1)*aim))*allowed)/r.Found))
		if f.plan(); f.err != nil {
			return f.err
		}
	}
	return work.Problems{{Kind: work.KindScallop, Key: work.KeyPattern, Message: measure.Say("%s with %s leaves %v however close its passes", p.Method.Pattern, f.cutter.Name, measure.To(f.ridge, 4)), Hint: measure.Say("another pattern or cutter")}}
}

// spacedExactly reports whether a piece's passes are spaced by the exact scallop, so that
// the proof of the programs decides.
func spacedExactly(w work.Piece) bool {
	return !w.Divided() && pass.PatternOf(w.Method.Pattern).Exact
}

// made plans the candidate whole.
func (c *Candidate) made() (cam.Plan, error) {
	if c.finishing.recall(); c.finishing.err != nil {
		return cam.Plan{}, c.finishing.err
	}
	p := c.finishing.piece
	p.Method.Rough, p.Method.Finish = c.Rough, c.Finish
	return cam.With(p, c.finishing.passes)
}

// certify certifies the candidate's finishing, which others may share.
func (c *Candidate) certify(left *effort) error {
	if c.finishing.steep != nil {
		return c.finishing.steep
	}
	if !c.finishing.sure {
		if c.finishing.err == nil {
			c.finishing.err = c.finishing.certify(left)
		}
		if c.finishing.err != nil {
			return c.finishing.err
		}
	}
	c.sure, c.Certified = true, c.finishing.ridge
	c.Seconds = c.roughing + c.finishing.seconds
	return nil
}

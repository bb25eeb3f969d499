package choose

import (
	"errors"

	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// effort is what a search may still spend on certifying. Counting cells instead of
// seconds gives the same choice on every machine.
type effort struct {
	cells int
	known *proof.Known // what is certified, for the proof of the programs
}

const (
	// mostTried is how many cells all tries of a plan may take together: about half a
	// minute on two cores, as the proof of the programs may take.
	mostTried = 4_000_000
	// mostKept is how many moves all ways together keep in memory, 120 bytes each.
	mostKept = 600_000
	// mostAtOnce is how many ways are planned side by side: each may hold as many
	// moves as a plan may have.
	mostAtOnce = 4
)

// spent is why a way cannot be certified any more.
var spent = work.Problem{Kind: work.KindEffort, Key: work.KeyScallop, Message: measure.Say("to certify the passes of this job takes too long"),
	Hint: measure.Say("one cutter and one pattern named, a larger scallop, or a smaller face")}

// scallop certifies what one cutter leaves, for what the work states, with what is left
// to spend. It is a problem where nothing is.
func (e *effort) scallop(w work.Piece, cut proof.Cut, opt proof.CertifyOptions) (proof.Scallop, error) {
	if e.cells <= 0 {
		return proof.Scallop{}, work.Problems{spent}
	}
	opt.Expected, opt.Tilt, opt.Undersize, opt.Region, opt.Known = w.Scallop, w.OutOfSquare(), w.Undersize, w.Part(), e.known
	if opt.MaxCells == 0 || opt.MaxCells > e.cells {
		opt.MaxCells = e.cells
	}
	r, err := proof.Certify(w.Face, 0, []proof.Cut{cut}, opt)
	e.cells -= r.CellCost
	if _, ok := errors.AsType[proof.TooMuchWorkError](err); ok {
		err = work.Problems{spent}
	}
	return r, err
}

package choose

import (
	"errors"

	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// effort is what a search may still spend on certifying. Counting looks instead of
// seconds gives the same choice on every machine.
type effort struct {
	looks int64        // see proof.MaxLooks
	known *proof.Known // what is certified, for the proof of the programs
}

const (
	// mostTried is how many looks all tries of a plan may take together: some four seconds
	// on two cores. Passes that lie where builders lay them take a twentieth of that.
	mostTried = 250_000_000
	// mostKept is how many moves all ways together keep in memory, 104 bytes each.
	mostKept = 600_000
	// mostAtOnce is how many ways are planned side by side: each may hold as many
	// moves as a plan may have.
	mostAtOnce = 4
)

// spent is why a way cannot be certified, or run over the blank, any more.
var spent = work.Problem{Kind: work.KindEffort, Key: work.KeyScallop, Message: measure.Say("to certify the passes of this job, or to find what they bite, takes too long"),
	Hint: measure.Say("one cutter and one pattern named, a larger scallop, or a smaller face")}

// part is what one way may spend of it: all of it where no other way is left, else three
// quarters, for one that keeps the scallop barely or not at all takes many times what another
// does. A fine scallop that is kept at the third try takes two thirds.
func (e *effort) part(alone bool, spend func(*effort) error) error {
	way := effort{looks: e.looks / 4 * 3, known: e.known}
	if alone {
		way.looks = e.looks
	}
	e.looks -= way.looks
	err := spend(&way)
	e.looks += way.looks
	return err
}

// scallop certifies what cutters leave, for what the work states, with what is left
// to spend. It is a problem where nothing is, or where that is not enough to tell.
func (e *effort) scallop(w work.Piece, opt proof.CertifyOptions, cuts ...proof.Cut) (proof.Scallop, error) {
	if e.looks <= 0 {
		return proof.Scallop{}, work.Problems{spent}
	}
	opt.Expected, opt.Tilt, opt.Undersize, opt.Region, opt.Known = w.PlannedScallop(), w.OutOfSquare(), w.Undersize, w.Part(), e.known
	opt.MaxLooks = e.looks
	r, err := proof.Certify(w.Face, 0, cuts, opt)
	e.looks -= min(r.Looks, e.looks)
	if _, ok := errors.AsType[proof.TooMuchWorkError](err); ok {
		err = work.Problems{spent}
	}
	return r, err
}

// mostCells is how many cells of a certificate are left to the proof of the programs: some
// fewer than it may take, for they are estimated.
const mostCells = proof.DefaultMaxCells / 10 * 9

// certifiable returns why what a cutter leaves cannot be certified: that would take more cells
// than it may.
func (e *effort) certifiable(w work.Piece, c path.Cutter, does ...work.Section) error {
	var cuts []proof.Cut
	for _, s := range does {
		cuts = append(cuts, proof.Cut{Cutter: c, Moves: s.Moves})
	}
	r, err := e.scallop(w, proof.CertifyOptions{Sample: true}, cuts...)
	if err != nil {
		return err
	}
	if r.CellCost > mostCells {
		return pass.Uncertifiable(w, c)
	}
	return nil
}

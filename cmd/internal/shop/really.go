package shop

import (
	"dishwright/cam/proof"
	"dishwright/cam/work"
)

// Really returns the highest scallop of the programs, of a pair of either piece, with a
// spindle and cutters as they were found: planned for what the job states, proven for what is.
func (r *Result) Really(tilt, undersize float64) (Scallop, error) {
	w := r.Plan.Work
	w.Tilt, w.Undersize = tilt, undersize
	p, err := proof.Check(newCase(work.Whole(&w).By(r.Plan.Method), r.Extras, r.Plan.Layout), r.readBack())
	if err != nil {
		return Scallop{}, err
	}
	s := newScallop(r.covers(), p.Scallop)
	s.TiltMM, s.UndersizeMM = work.Per100(tilt), undersize
	if r.Mate != nil {
		mate, err := r.Mate.Really(tilt, undersize)
		if err == nil && mate.CertifiedMM > s.CertifiedMM {
			s = mate
		}
		return s, err
	}
	return s, nil
}

package shop

import (
	"fmt"

	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// The pieces of a pair.
const (
	pieceDish = "dish"
	pieceCaul = "caul"
)

// piece names the piece that these programs cut; empty where there is only one.
func (r *Result) piece() string {
	switch {
	case r.Job.Mate != nil:
		return pieceDish
	case r.Job.Paired:
		return pieceCaul
	case r.Job.Marks != nil:
		return pieceScrap
	}
	return ""
}

// number says which program of how many it is.
func (r *Result) number(i int) string {
	s := fmt.Sprintf("program %d of %d", i+1, len(r.Plan.Programs))
	if p := r.piece(); p == pieceDish || p == pieceCaul {
		s = fmt.Sprintf("program %d, %d of %d for the %s", r.first+i+1, i+1, len(r.Plan.Programs), p)
	}
	return s
}

// pair puts the caul's programs into the report, and the worse of the two's figures
// where one figure stands for the set; the caul's own report stays beside it.
func (r *Result) pair() {
	p, m := &r.Report, r.Mate.Report
	p.Mate = &m
	p.Programs = append(append([]Program(nil), p.Programs...), m.Programs...)
	p.Order = append(append([]BenchStep(nil), p.Order...), m.Order...)
	if m.Scallop.CertifiedMM > p.Scallop.CertifiedMM {
		p.Scallop = m.Scallop
	}
	p.GougeMM = max(p.GougeMM, m.GougeMM)
	p.DeepestBiteMM = max(p.DeepestBiteMM, m.DeepestBiteMM)
	p.CornerMM = max(p.CornerMM, m.CornerMM)
	p.TimeS += m.TimeS
	p.Broken = append(append([]measure.Said(nil), p.Broken...), m.Broken...)
	p.Warnings = append([]work.Warning{{Kind: "pair", Message: measure.Say("the programs cut two blanks: the first %d the dish, the other %d the caul", len(r.Texts), len(r.Mate.Texts)), Hint: measure.Say("mark both blanks before the first is cut")}}, p.Warnings...)
}

package shop

import (
	"fmt"

	"dishwright/cam/job"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// numberOf says which program of how many one is: the i-th of n of its piece, of a pair with
// first before it.
func numberOf(piece string, first, i, n int) measure.Said {
	s := fmt.Sprintf("program %d of %d", i+1, n)
	if piece == job.PieceDish || piece == job.PieceCaul {
		s = fmt.Sprintf("program %d, %d of %d for the %s", first+i+1, i+1, n, piece)
	}
	return measure.Say("%v", measure.Figures(s))
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

// pair holds programs of a pair against the piece that each says it cuts.
func (v *Verdict) pair(j job.Job, programs []proof.Program) error {
	pieces := map[string][]proof.Program{}
	for _, p := range programs {
		name := pieceOf(p.Path)
		if name != job.PieceDish && name != job.PieceCaul {
			v.add(proof.Finding{Program: p.Name, Line: 1, Column: 1, Kind: proof.KindOrder, Message: measure.Say("the program does not say which of the pair it cuts: a line (piece: dish) or (piece: caul)")})
		}
		pieces[name] = append(pieces[name], p)
	}
	for i, name := range [...]string{job.PieceDish, job.PieceCaul} {
		from, own := len(v.Findings), pieces[name]
		if len(own) == 0 && len(programs) > 0 {
			v.add(proof.Finding{Kind: proof.KindOrder, Message: measure.Say("no program cuts the %s of the pair", name)})
		}
		if err := v.piece([...]job.Job{j, *j.Mate}[i], own); err != nil {
			return err
		}
		if len(own) == 0 && len(programs) > 0 { // told where the set begins, for it has no program of its own
			for k := range v.Findings[from:] {
				f := &v.Findings[from+k]
				f.Program, f.Line, f.Column = programs[0].Name, 1, 1
			}
		}
	}
	return nil
}

package pass

import (
	"dishwright/cam/link"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// CanSkipRoughing reports whether finishing alone bites no deeper than the
// cutter may, anywhere.
func CanSkipRoughing(w *work.Work, finish path.Cutter) bool {
	return Alone(w, finish) <= finish.DepthOfCut-work.BiteMargin-w.ZeroError
}

// Alone returns the deepest bite of finishing without roughing.
func Alone(w *work.Work, finish path.Cutter) float64 { return GroundOf(w).deepest(w, finish) }

// Roughing plans roughing with c ahead of finishing with finish. left is the
// most that then stands above the face. A section without moves means that
// nothing stands above the allowance, and that finish may bite all of it.
func Roughing(w work.Piece, c, finish path.Cutter) (s work.Section, left float64, err error) {
	enough := room(w.Work, finish) >= leastLeft-work.Fuzz
	if !enough && (Alone(w.Work, finish) > w.Allowance || !CanSkipRoughing(w.Work, finish)) {
		return s, 0, leavesTooMuch(w.Work, finish)
	}
	if enough {
		s, left, err = roughed(GroundOf(w.Work).layers(w, c, finish))
	}
	if err == nil && len(s.Moves) == 0 && !CanSkipRoughing(w.Work, finish) {
		return s, 0, work.Problems{{Kind: work.KindBite, Key: work.KeyAllowance, Message: measure.Say("nothing stands above an allowance of %s where %s reaches, and the whole is more than %s may bite (%s)", measure.MM(w.Allowance), c.Name, finish.Name, measure.MM(finish.DepthOfCut)),
			Hint: measure.Say("a smaller allowance, or a smaller cutter for roughing")}}
	}
	return s, left, err
}

// Finishing plans finishing with c, in the piece's pattern, where at most stands
// stands above the face.
func Finishing(w work.Piece, c path.Cutter, stands float64) (work.Section, error) {
	p, err := Plan(w, c)
	if err != nil {
		return work.Section{}, err
	}
	return p.Section(w, c, stands)
}

// Section lays passes that were planned of the piece with c, where at most stands stands above
// the face. How far they run beyond a tile may have become another since.
func (p Passes) Section(w work.Piece, c path.Cutter, stands float64) (work.Section, error) {
	depth := min(stands, c.DepthOfCut)
	f, ok := work.NewFeeds(w.Machine, c, p.Widest, depth)
	if !ok {
		return work.Section{}, work.Problems{work.CannotRun(w.Work, c)}
	}
	s := work.Section{Purpose: work.Finishing, Pattern: p.Origin, Passes: p.Count, Widest: p.Widest, Feeds: f, Over: w.RunsOn(p.Widest)}
	b := link.NewBuilder(w, f)
	p.Lay(b, c, stands+w.ZeroError, s.Over)
	var err error
	if s.Moves, err = b.Path(); err != nil {
		return work.Section{}, err
	}
	if len(s.Moves) > work.MostMoves {
		return work.Section{}, work.Problems{{Kind: work.KindMoves, Key: work.KeyScallop, Message: measure.Say("a scallop of %s with %s takes over %d moves", measure.MM(w.Scallop), c.Name, work.MostMoves), Hint: measure.Say("a larger scallop or cutter")}}
	}
	return s, nil
}

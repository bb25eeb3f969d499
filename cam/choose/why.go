package choose

import (
	"fmt"

	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// noPairProblem says why no pair of cutters will do: where there is only one cutter to
// blame, all of its own problems; else one of each, with what would help.
func noPairProblem(w *work.Work, among []Candidate) error {
	if len(w.Shelf) == 1 {
		var first error
		for _, c := range among {
			first = keep(first, c.err)
		}
		if first != nil {
			return first
		}
	}
	var ps work.Problems
	seen := map[[2]string]bool{}
	for _, c := range among {
		name := c.Finish
		if c.Rough != "" {
			name = c.Rough
		}
		line := [2]string{name, c.Out.String()}
		if c.Out.Empty() || seen[line] {
			continue
		}
		seen[line] = true
		p := c.problem
		p.Message = measure.Say("no cutter of the shelf will do; %s: %s", name, c.Out)
		if p.Key == "" {
			p.Key = work.CutterKey(name)
		}
		if p.Hint.Empty() && len(p.Instead) == 0 {
			p.Hint = measure.Say("another cutter, or other limits for this one")
		}
		ps = append(ps, p)
	}
	return ps
}

// reason says why the best is best, and by how much the runner-up loses.
func reason(best *Candidate, among []Candidate) string {
	why := label(*best) + ": the quickest of the shelf that keeps every bound"
	if next := quickest(among, best); next != nil {
		why += fmt.Sprintf("; next comes %s, %s longer", label(*next), minutes(next.Seconds-best.Seconds))
	}
	return why
}

// minutes writes a difference of time; under half a minute it is no difference
// to choose by.
func minutes(s float64) string {
	if s < 30 {
		return "less than a minute"
	}
	return fmt.Sprintf("%.0f min", s/60)
}

// label names a way.
func label(c Candidate) string {
	s := "rough with " + c.Rough + ", finish with " + c.Finish
	switch c.Rough {
	case "":
		s = c.Finish + " alone"
	case c.Finish:
		s = c.Finish + " for both"
	}
	return s + ", " + c.Pattern
}

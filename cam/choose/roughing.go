package choose

import (
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
)

// roughKey is all that roughing depends on, beside the work: its cutter, and of
// the finishing cutter how deep it bites and what of it decides how far out is cleared
// for it. A long shelf is gone through once for each, not for each pair.
type roughKey struct {
	name  string
	depth float64
	ahead any
}

// roughTime is how long roughing takes, and whether there is nothing to rough.
type roughTime struct {
	seconds float64
	none    bool
}

// roughings returns the ways to rough ahead of finishing, none first; an empty rough
// allows that alone. What was
// worked out before is in done.
func roughings(w work.Piece, finish path.Cutter, done map[roughKey]roughTime) (list []Candidate) {
	only := w.Method.Rough
	if (only == work.Auto || only == "") && pass.CanSkipRoughing(w.Work, finish) {
		list = append(list, Candidate{Finish: finish.Name})
	}
	for _, c := range w.Shelf {
		if only != work.Auto && only != c.Name {
			continue
		}
		one := Candidate{Rough: c.Name, Finish: finish.Name}
		key := roughKey{c.Name, finish.DepthOfCut, pass.Ahead(w.Work, finish)}
		time, known := done[key]
		if !known {
			var err error
			if time, err = roughing(w, c, finish); err != nil {
				one.ruleOut(err)
				list = append(list, one)
				continue
			}
			done[key] = time
		}
		if time.none && len(list) > 0 && list[0].Rough == "" {
			continue // the same as finishing alone
		}
		if one.Seconds = time.seconds; c.Name != finish.Name && !time.none {
			one.Seconds += changeOver
		}
		list = append(list, one)
	}
	return list
}

// roughing returns how long roughing with c ahead of finishing takes, or why it
// cannot.
func roughing(w work.Piece, c, finish path.Cutter) (roughTime, error) {
	if ps := work.Fits(w.Work, c); len(ps) > 0 {
		return roughTime{}, ps
	}
	s, _, err := pass.Roughing(w, c, finish)
	if err != nil || len(s.Moves) == 0 {
		return roughTime{none: true}, err
	}
	if ps := work.InTheWay(w, c, s); len(ps) > 0 {
		return roughTime{}, ps
	}
	return roughTime{seconds: seconds(w.Machine, s)}, nil
}

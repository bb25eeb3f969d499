package choose

import (
	"slices"

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

// roughTime is how long roughing takes, and whether there is nothing to rough; or why it
// cannot be done ahead of a finishing cutter, which that may name.
type roughTime struct {
	seconds float64
	none    bool
	err     error
	finish  string
}

// roughTimes holds what was worked out before.
type roughTimes map[roughKey]roughTime

// newRoughTimes works out side by side how long roughing takes ahead of each cutter of the
// shelf that was found to finish in some way.
func newRoughTimes(w work.Piece, found [][]*finishing) roughTimes {
	type pair struct {
		key       roughKey
		c, finish path.Cutter
	}
	var pairs []pair
	for i, finish := range w.Shelf {
		if !slices.ContainsFunc(found[i], func(f *finishing) bool { return f.err == nil }) {
			continue
		}
		for _, c := range w.Shelf {
			key := keyOf(w, c, finish)
			known := slices.ContainsFunc(pairs, func(p pair) bool { return p.key == key })
			if only := w.Method.Rough; !known && (only == work.Auto || only == c.Name) {
				pairs = append(pairs, pair{key, c, finish})
			}
		}
	}
	times := make([]roughTime, len(pairs))
	sideBySide(len(pairs), func(i int) { times[i] = roughing(w, pairs[i].c, pairs[i].finish) })
	done := roughTimes{}
	for i, p := range pairs {
		done[p.key] = times[i]
	}
	return done
}

// keyOf returns what roughing with c ahead of finishing depends on.
func keyOf(w work.Piece, c, finish path.Cutter) roughKey {
	return roughKey{c.Name, finish.DepthOfCut, pass.Ahead(w.Work, finish)}
}

// roughings returns the ways to rough ahead of finishing, none first; an empty rough
// allows that alone.
func (done roughTimes) roughings(w work.Piece, finish path.Cutter) (list []Candidate) {
	only := w.Method.Rough
	if (only == work.Auto || only == "") && pass.CanSkipRoughing(w.Work, finish) {
		list = append(list, Candidate{Finish: finish.Name})
	}
	for _, c := range w.Shelf {
		if only != work.Auto && only != c.Name {
			continue
		}
		one := Candidate{Rough: c.Name, Finish: finish.Name}
		time := done[keyOf(w, c, finish)]
		if time.err != nil && time.finish != finish.Name {
			time = roughing(w, c, finish)
		}
		if time.err != nil {
			one.ruleOut(time.err)
			list = append(list, one)
			continue
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
func roughing(w work.Piece, c, finish path.Cutter) roughTime {
	if ps := work.Fits(w.Work, c); len(ps) > 0 {
		return roughTime{err: ps, finish: finish.Name}
	}
	s, _, err := pass.Roughing(w, c, finish)
	if err != nil || len(s.Moves) == 0 {
		return roughTime{none: true, err: err, finish: finish.Name}
	}
	if ps := work.InTheWay(w, c, s); len(ps) > 0 {
		return roughTime{err: ps, finish: finish.Name}
	}
	return roughTime{seconds: seconds(w.Machine, s)}
}

// Package choose picks what a job leaves to the planner: a Work whose rough or
// finish says auto goes in, the Plan of the quickest cutters that keep every
// bound comes out, with the reason for each choice.
package choose

import (
	"errors"
	"slices"

	"dishwright/cam"
	"dishwright/cam/motion"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/measure"
	"dishwright/machines"
)

// changeOver is the time in seconds that another cutter costs at the bench:
// stop, change, touch off again (common practice: a few minutes).
const changeOver = 180.0

// Candidate is one way of doing the work.
type Candidate struct {
	Rough, Finish string       // Rough is empty where finishing alone is enough
	Pattern       string       // of the finishing passes
	Seconds       float64      // machine time and changes of cutter
	Certified     float64      // scallop in mm; 0 where it was too slow to be worth certifying
	Out           measure.Said // why it is ruled out; empty where it is not

	err       error        // why it is ruled out, whole
	problem   work.Problem // what Out is the message of
	finishing *finishing
	roughing  float64 // seconds of Seconds, changes of cutter included
	sure      bool    // keeps the scallop for certain
}

// ruleOut notes why a candidate will not do.
func (c *Candidate) ruleOut(err error) {
	c.err = err
	var ps work.Problems
	if errors.As(err, &ps) && len(ps) > 0 {
		c.problem = ps[0]
	} else {
		c.problem = work.Problem{Message: measure.Say("%v", err)}
	}
	c.Out, c.Seconds = c.problem.Message, 0
}

// Choice is a plan and what it was chosen among.
type Choice struct {
	Plan  cam.Plan
	Why   string // empty where the job left nothing to choose
	Among []Candidate
	Known *proof.Known // what was certified on the way, for the proof of the programs
}

// Plan plans a whole work, choosing what its method leaves open.
func Plan(w work.Piece) (Choice, error) {
	left := &effort{looks: mostTried, known: new(proof.Known)}
	way := inOne
	if w.Setups.Count != 0 {
		way = inSetups
	}
	c, err := way(w, left)
	c.Known = left.known
	return c, err
}

// inOne plans what is done in one setup.
func inOne(w work.Piece, left *effort) (Choice, error) {
	if ps := cam.Feasible(w); len(ps) > 0 {
		return Choice{}, ps
	}
	found := finishings(w)
	return search(w, list(w, found, newRoughTimes(w, found)), left, &bites{onlyTooDeep: true})
}

// search tries every way that is listed.
func search(w work.Piece, among []Candidate, left *effort, b *bites) (Choice, error) {
	c := Choice{Among: among}
	for {
		best := quickest(c.Among, nil)
		if best == nil {
			return c, noPairProblem(w.Work, c.Among)
		}
		// The time before certifying is the least that it can be: only the quickest has to be certified.
		if !best.sure {
			err := error(nil)
			if w.Divided() { // what does not fit as it is fits no better when it runs further on
				_, err = best.made()
			}
			if err == nil {
				alone := !slices.ContainsFunc(c.Among, func(o Candidate) bool { return o.Out.Empty() && o.finishing != best.finishing })
				err = left.part(alone, best.certify)
			}
			if err != nil {
				best.ruleOut(err)
			}
			continue
		}
		// What is planned as a whole may still meet what its parts did not.
		p, err := best.made()
		if err == nil && p.Rough == p.Finish && !w.Divided() { // the proof sees both at once
			last := p.Programs[len(p.Programs)-1]
			err = left.certifiable(best.finishing.piece, last.Cutter, last.Sections...)
		}
		if err == nil && unseen(p) {
			h := b.hold(p)
			if h.rough != nil {
				ruleOutRoughing(w, c.Among, best, h.rough)
				continue
			}
			if err = h.finish; work.KindEffort.In(err) { // no other is quicker
				return c, err
			}
			if err != nil && divesUnseen(p) && best.finishing.closer() {
				for i := range c.Among { // its time is another now
					c.Among[i].sure = c.Among[i].sure && c.Among[i].finishing != best.finishing
				}
				continue
			}
			best.finishing.steep = err // with other roughing it would be the same
		}
		if err == nil {
			c.Plan = p
			if len(c.Among) > 1 {
				c.Why = reason(best, c.Among)
			}
			return c, nil
		}
		best.ruleOut(err)
	}
}

// ruleOutRoughing rules out all candidates that rough as one does.
func ruleOutRoughing(w work.Piece, among []Candidate, as *Candidate, why error) {
	key := func(c *Candidate) roughKey {
		rough, _ := w.Cutter(c.Rough)
		return keyOf(w, rough, c.finishing.cutter)
	}
	like := key(as)
	for i := range among {
		if c := &among[i]; c.Out.Empty() && c.Rough != "" && key(c) == like {
			c.ruleOut(why)
		}
	}
}

// alike is the share by which times may differ that are taken for the same: no
// machine is known better than that.
const alike = 0.01

// list returns every way that the method allows, of those to finish and to rough.
func list(w work.Piece, finishings [][]*finishing, done roughTimes) (among []Candidate) {
	for i, ways := range finishings {
		cutter := w.Shelf[i]
		for _, fin := range ways {
			if fin.err != nil {
				one := Candidate{Finish: cutter.Name, Pattern: fin.piece.Method.Pattern}
				one.ruleOut(fin.err)
				among = append(among, one)
				continue
			}
			for _, one := range done.roughings(w, cutter) {
				one.Pattern, one.finishing = fin.piece.Method.Pattern, fin
				if one.Out.Empty() {
					one.roughing = one.Seconds
					one.Seconds += fin.seconds
					one.sure = fin.sure
				}
				among = append(among, one)
			}
		}
	}
	return among
}

// quickest returns the quickest candidate that is not ruled out and is not the
// one given, of those that are about alike the first; nil where there is none.
func quickest(among []Candidate, but *Candidate) *Candidate {
	var best *Candidate
	for i := range among {
		if c := &among[i]; c.Out.Empty() && c != but && (best == nil || c.Seconds < best.Seconds*(1-alike)) {
			best = c
		}
	}
	return best
}

func seconds(m machines.Machine, s work.Section) float64 {
	return motion.Estimate(m, path.Path{Moves: s.Moves}).Total
}

// keep returns the first of two reasons, but one that is about a pattern only where there is no
// other: another pattern may do where that will not.
func keep(a, b error) error {
	if a == nil || b != nil && ofPattern(a) && !ofPattern(b) {
		return b
	}
	return a
}

// ofPattern reports whether a reason is about a pattern.
func ofPattern(err error) bool {
	var ps work.Problems
	return errors.As(err, &ps) && slices.ContainsFunc(ps, func(p work.Problem) bool { return p.Key == work.KeyPattern || p.Kind == work.KindPattern })
}

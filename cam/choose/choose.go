// Package choose picks what a job leaves to the planner: a Work whose rough or
// finish says auto goes in, the Plan of the quickest cutters that keep every
// bound comes out, with the reason for each choice.
package choose

import (
	"errors"
	"fmt"

	"dishwright/cam"
	"dishwright/cam/motion"
	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/machines"
)

// changeOver is the time in seconds that another cutter costs at the bench:
// stop, change, touch off anew (common practice: a few minutes).
const changeOver = 180.0

// Candidate is one way of doing the work.
type Candidate struct {
	Rough, Finish string  // Rough is empty where finishing alone is enough
	Seconds       float64 // machine time and changes of cutter
	Out           string  // why it is ruled out; empty where it is not

	problem cam.Problem // what Out is the message of
}

// ruleOut notes why a candidate will not do.
func (c *Candidate) ruleOut(err error) {
	var ps cam.Problems
	if errors.As(err, &ps) && len(ps) > 0 {
		c.problem = ps[0]
	} else {
		c.problem = cam.Problem{Message: err.Error()}
	}
	c.Out, c.Seconds = c.problem.Message, 0
}

// Choice is a plan and what it was chosen among.
type Choice struct {
	Plan  cam.Plan
	Why   string // empty where the job left nothing to choose
	Among []Candidate
}

// Plan plans the work, choosing its cutters where the job says auto.
func Plan(w cam.Work) (Choice, error) {
	if ps := cam.Feasible(w, w.Rough, w.Finish); len(ps) > 0 {
		return Choice{}, ps
	}
	if w.Finish != cam.Auto && w.Rough != cam.Auto {
		p, err := cam.Make(w, w.Rough, w.Finish)
		return Choice{Plan: p}, err
	}
	return search(w)
}

// search tries every pair that the job allows.
func search(w cam.Work) (Choice, error) {
	var c Choice
	var firstErr error
	done := map[roughKey]roughTime{}
	for _, finish := range w.Shelf {
		if w.Finish != cam.Auto && w.Finish != finish.Name {
			continue
		}
		fin, err := finishing(w, finish)
		if err != nil {
			one := Candidate{Finish: finish.Name}
			one.ruleOut(err)
			c.Among = append(c.Among, one)
			firstErr = keep(firstErr, err)
			continue
		}
		for _, one := range roughings(w, finish, done) {
			if one.Out == "" {
				one.Seconds += fin
			}
			c.Among = append(c.Among, one)
		}
	}
	// What is planned as a whole may still meet what its parts did not.
	for {
		best := quickest(c.Among, nil)
		if best == nil {
			return c, nothing(w, c.Among, firstErr)
		}
		p, err := cam.Make(w, best.Rough, best.Finish)
		if err == nil {
			c.Plan, c.Why = p, reason(best, c.Among)
			return c, nil
		}
		best.ruleOut(err)
		firstErr = keep(firstErr, err)
	}
}

// quickest returns the quickest candidate that is not ruled out and is not the
// one given, the first of several; nil where there is none.
func quickest(among []Candidate, but *Candidate) *Candidate {
	var best *Candidate
	for i := range among {
		if c := &among[i]; c.Out == "" && c != but && (best == nil || c.Seconds < best.Seconds) {
			best = c
		}
	}
	return best
}

// finishing returns how long finishing with c takes, or why it cannot.
func finishing(w cam.Work, c path.Cutter) (float64, error) {
	if ps := cam.Fits(w, c); len(ps) > 0 {
		return 0, ps
	}
	s, err := cam.FinishingOf(w, c, w.Allowance)
	if err != nil {
		return 0, err
	}
	if ps := cam.InTheWay(w, c, s); len(ps) > 0 {
		return 0, ps
	}
	return seconds(w.Machine, s), nil
}

// roughKey is all that roughing depends on, beside the work: its cutter, and of
// the finishing cutter how deep it bites and, for the moat round a crown, how
// wide it is. A long shelf is gone through once for each, not for each pair.
type roughKey struct {
	name        string
	depth, wide float64
}

// roughTime is how long roughing takes, and whether there is nothing to rough.
type roughTime struct {
	seconds float64
	nought  bool
}

// roughings returns the ways to rough ahead of finishing, none first. What was
// worked out before is in done.
func roughings(w cam.Work, finish path.Cutter, done map[roughKey]roughTime) (list []Candidate) {
	if w.Rough == cam.Auto && cam.CanSkipRoughing(w, finish) {
		list = append(list, Candidate{Finish: finish.Name})
	}
	for _, c := range w.Shelf {
		if w.Rough != cam.Auto && w.Rough != c.Name {
			continue
		}
		one := Candidate{Rough: c.Name, Finish: finish.Name}
		key := roughKey{name: c.Name, depth: finish.DepthOfCut}
		if w.Face.Kind == dish.Crown {
			key.wide = finish.Diameter
		}
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
		if time.nought && len(list) > 0 && list[0].Rough == "" {
			continue // the same as finishing alone
		}
		if one.Seconds = time.seconds; c.Name != finish.Name && !time.nought {
			one.Seconds += changeOver
		}
		list = append(list, one)
	}
	return list
}

// roughing returns how long roughing with c ahead of finishing takes, or why it
// cannot.
func roughing(w cam.Work, c, finish path.Cutter) (roughTime, error) {
	if ps := cam.Fits(w, c); len(ps) > 0 {
		return roughTime{}, ps
	}
	s, _, err := cam.RoughingOf(w, c, finish)
	if err != nil || len(s.Moves) == 0 {
		return roughTime{nought: true}, err
	}
	if ps := cam.InTheWay(w, c, s); len(ps) > 0 {
		return roughTime{}, ps
	}
	return roughTime{seconds: seconds(w.Machine, s)}, nil
}

func seconds(m machines.Machine, s cam.Section) float64 {
	return motion.Estimate(m, path.Path{Moves: s.Moves}).Total
}

func keep(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

// nothing says why no pair of cutters will do: where there is only one cutter to
// blame, all of its own problems; else one of each, with what would help.
func nothing(w cam.Work, among []Candidate, firstErr error) error {
	if len(w.Shelf) == 1 && firstErr != nil {
		return firstErr
	}
	var ps cam.Problems
	seen := map[string]bool{}
	for _, c := range among {
		name := c.Finish
		if c.Rough != "" {
			name = c.Rough
		}
		line := name + "/" + c.Out
		if c.Out == "" || seen[line] {
			continue
		}
		seen[line] = true
		p := cam.Problem{Key: c.problem.Key, Message: fmt.Sprintf("no cutter of the shelf will do; %s: %s", name, c.Out), Hint: c.problem.Hint}
		if p.Key == "" {
			p.Key = "shelf/" + name
		}
		if p.Hint == "" {
			p.Hint = "another cutter, or other limits for this one"
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

func label(c Candidate) string {
	if c.Rough == "" {
		return c.Finish + " alone"
	}
	if c.Rough == c.Finish {
		return c.Finish + " for both"
	}
	return "rough with " + c.Rough + ", finish with " + c.Finish
}

// Package choose picks what a job leaves to the planner: a Work whose rough or
// finish says auto goes in, the Plan of the quickest cutters that keep every
// bound comes out, with the reason for each choice.
package choose

import (
	"errors"
	"fmt"
	"math"

	"dishwright/cam"
	"dishwright/cam/motion"
	"dishwright/cam/path"
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
	best := Candidate{Seconds: math.Inf(1)}
	var firstErr error
	for _, finish := range w.Shelf {
		if w.Finish != cam.Auto && w.Finish != finish.Name {
			continue
		}
		fin, err := finishing(w, finish)
		if err != nil {
			c.Among = append(c.Among, Candidate{Finish: finish.Name, Out: first(err)})
			firstErr = keep(firstErr, err)
			continue
		}
		for _, one := range roughings(w, finish) {
			if one.Out == "" {
				one.Seconds += fin
				if one.Seconds < best.Seconds {
					best = one
				}
			}
			c.Among = append(c.Among, one)
		}
	}
	if math.IsInf(best.Seconds, 1) {
		return c, nothing(w, c.Among, firstErr)
	}
	p, err := cam.Make(w, best.Rough, best.Finish)
	c.Plan, c.Why = p, reason(best, c.Among)
	return c, err
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
	return seconds(w.Machine, s), nil
}

// roughings returns the ways to rough ahead of finishing, none first.
func roughings(w cam.Work, finish path.Cutter) (list []Candidate) {
	if w.Rough == cam.Auto && cam.CanSkipRoughing(w, finish) {
		list = append(list, Candidate{Finish: finish.Name})
	}
	for _, c := range w.Shelf {
		if w.Rough != cam.Auto && w.Rough != c.Name {
			continue
		}
		one := Candidate{Rough: c.Name, Finish: finish.Name}
		if ps := cam.Fits(w, c); len(ps) > 0 {
			one.Out = ps[0].Message
		} else if s, _, err := cam.RoughingOf(w, c, finish); err != nil {
			one.Out = first(err)
		} else {
			one.Seconds = seconds(w.Machine, s)
			if c.Name != finish.Name {
				one.Seconds += changeOver
			}
		}
		list = append(list, one)
	}
	return list
}

func seconds(m machines.Machine, s cam.Section) float64 {
	return motion.Estimate(m, path.Path{Moves: s.Moves}).Total
}

// first returns the first line of an error.
func first(err error) string {
	var ps cam.Problems
	if errors.As(err, &ps) && len(ps) > 0 {
		return ps[0].Message
	}
	return err.Error()
}

func keep(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

// nothing says why no pair of cutters will do: where there is only one cutter to
// blame, its own problems; else one line for each.
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
		ps = append(ps, cam.Problem{Key: "shelf/" + name, Message: fmt.Sprintf("no cutter of the shelf will do; %s: %s", name, c.Out), Hint: "another cutter, or other limits for this one"})
	}
	return ps
}

// reason says why the best is best, and by how much the runner-up loses.
func reason(best Candidate, among []Candidate) string {
	next := Candidate{Seconds: math.Inf(1)}
	for _, c := range among {
		if c.Out == "" && (c.Rough != best.Rough || c.Finish != best.Finish) && c.Seconds < next.Seconds {
			next = c
		}
	}
	why := label(best) + ": the quickest of the shelf that keeps every bound"
	if !math.IsInf(next.Seconds, 1) {
		why += fmt.Sprintf("; next comes %s, %.0f min longer", label(next), (next.Seconds-best.Seconds)/60)
	}
	return why
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

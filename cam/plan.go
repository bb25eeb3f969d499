package cam

import (
	"cmp"
	"slices"

	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/work"
)

// Plan is a work's programs in running order.
type Plan struct {
	Work        work.Work
	work.Method             // how it is cut, nothing left open
	Layout      work.Layout // how the face is divided between setups; empty where it is not
	Left        float64     // most that finishing finds standing above where it runs, mm
	Programs    []work.Program
	Warnings    []work.Warning
}

// Piece returns what the plan cuts, whole.
func (p *Plan) Piece() work.Piece { return work.Whole(&p.Work).By(p.Method) }

// Make plans the piece by its method, which names both cutters. The errors are Problems.
func Make(w work.Piece) (Plan, error) {
	if ps := Feasible(w); len(ps) > 0 {
		return Plan{}, ps
	}
	finish, _ := w.Cutter(w.Method.Finish)
	passes, err := pass.Plan(w, finish)
	if err != nil {
		return Plan{}, err
	}
	return With(w, passes)
}

// With is Make with finishing passes that have been planned of the piece.
func With(w work.Piece, passes pass.Passes) (Plan, error) {
	if ps := Feasible(w); len(ps) > 0 {
		return Plan{}, ps
	}
	p := Plan{Work: *w.Work, Method: w.Method}
	finish, _ := w.Cutter(p.Finish)
	p.Left = pass.Alone(w.Work, finish)
	w.Over = w.RunsOn(passes.Widest)
	if p.Rough != "" {
		c, _ := w.Cutter(p.Rough)
		s, left, err := pass.Roughing(w, c, finish)
		if err != nil {
			return p, err
		}
		if len(s.Moves) > 0 {
			p.Programs, p.Left = work.Then(p.Programs, c, s), left
		}
	}
	s, err := passes.Section(w, finish, p.Left)
	if err != nil {
		return p, err
	}
	p.Programs = work.Then(p.Programs, finish, s)
	if held := work.NearHoldDowns(w, p.Programs); len(held) > 0 {
		return p, held
	}
	if out := work.BeyondTravel(w.Work, p.Programs); len(out) > 0 {
		return p, out
	}
	return p, nil
}

// Choice is one row of the table from which a builder picks a scallop.
type Choice struct {
	Scallop float64 // mm
	Step    float64 // widest step between passes, mm
	Passes  int
	Length  float64 // of the finishing passes and their links, mm
	Share   float64 // of the length at the job's own scallop
}

// Choices works out what other scallops would cost with the finishing cutter c:
// a quarter, a half, once, twice and four times the one asked for.
func Choices(w work.Piece, c path.Cutter) []Choice {
	var table []Choice
	own := 0.0
	for _, k := range [...]float64{1, 0.25, 0.5, 2, 4} {
		v := *w.Work
		v.Scallop = float64(w.Scallop * k)
		if v.Scallop < work.LeastScallop || len(work.SquareProblems(&v, c)) > 0 {
			continue
		}
		r, err := pass.Plan(w.Of(v), c)
		if err != nil {
			continue
		}
		one := Choice{Scallop: v.Scallop, Step: r.Widest, Passes: r.Count, Length: r.Length()}
		if k == 1 {
			own = one.Length
		}
		one.Share = one.Length / own
		table = append(table, one)
	}
	// The job's own was first, for its length.
	slices.SortFunc(table, func(a, b Choice) int { return cmp.Compare(a.Scallop, b.Scallop) })
	return table
}

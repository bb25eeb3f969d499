package choose

import (
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"dishwright/cam"
	"dishwright/cam/motion"
	"dishwright/cam/pass"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/measure"
)

// Row is one finishing cutter with one pattern, roughed ahead in the quickest way
// that there is. Lengths are in mm, times in seconds.
type Row struct {
	Rough, Finish, Pattern string       // Rough is empty where nothing is roughed
	Name                   measure.Said // of the finishing passes, with their parameters

	Seconds, Finishing  float64 // of everything, changes of cutter included; of the finishing passes
	Path, FinishingPath float64 // how far the cutters run, links and traverses included
	Certified           float64 // scallop; 0 where Note says why there is none
	Bite                float64 // the deepest of all programs, an upper bound
	ChipLoad, Feed      float64 // of the finishing passes; mm a tooth, mm/min
	Passes              int
	Widest              float64 // step between finishing passes

	Chosen bool         // what the work takes as it stands
	Note   string       // worth knowing of its figures
	Out    measure.Said // why it is ruled out; empty where it is not

	problem work.Problem
}

// Label names the way in words.
func (r Row) Label() string {
	return label(Candidate{Rough: r.Rough, Finish: r.Finish, Pattern: r.Pattern})
}

// ChangeOver is what another cutter is taken to cost at the bench, in seconds.
const ChangeOver = changeOver

// mostCompared is how many moves a comparison certifies, and allCompared in how many looks
// for all its rows: it is to be had in seconds, and make proves what it writes anyway.
const (
	mostCompared = 40_000
	allCompared  = 250_000_000
	// mostCutters is how many cutters are compared: with more it takes over a minute.
	mostCutters = 10
)

// Compare works out every cutter of the shelf with every pattern, whatever finish
// and pattern the work names; a roughing cutter that is named stays. The rows come
// quickest first, those ruled out last and in the order of shelf and patterns. It
// is an error where all are: that of Plan.
func Compare(w *work.Work) ([]Row, error) {
	all := work.Whole(w)
	all.Method.Finish, all.Method.Pattern = work.Auto, work.Auto
	if n := len(w.Shelf); n > mostCutters {
		return nil, work.Problems{{Kind: work.KindMoves, Key: work.KeyShelf, Message: measure.Say("%d cutters are too many to compare with every pattern", n),
			Hint: measure.Say("at most %d in a job that is compared; make takes all", mostCutters)}}
	}
	if ps := cam.Feasible(all); len(ps) > 0 {
		return nil, ps
	}
	found, b := finishings(all), &bites{}
	times := newRoughTimes(all, found)
	ways := pairs(all, found, times)
	var own Choice
	var ownErr error
	searches := 1 // what the work itself takes, the longest piece
	if mine := work.Whole(w); mine.Method == all.Method && w.Setups.Count == 0 {
		own, ownErr = searchFirst(mine, found, times, b)
		searches = 0
	}
	sideBySide(searches+len(ways), func(i int) {
		if i < searches {
			own, ownErr = Plan(work.Whole(w))
			return
		}
		ways[i-searches].workOut(&effort{looks: allCompared / int64(len(ways))}, b)
	})
	possible := false
	var rows []Row
	for _, v := range ways {
		r := v.Row
		possible = possible || r.Out.Empty()
		r.Chosen = ownErr == nil && r.Out.Empty() && r.Finish == own.Plan.Finish && r.Pattern == own.Plan.Pattern
		rows = append(rows, r)
	}
	if !possible {
		return nil, keep(ownErr, noPairProblem(w, candidates(rows)))
	}
	slices.SortStableFunc(rows, func(a, b Row) int {
		switch {
		case a.Out.Empty() != b.Out.Empty():
			if a.Out.Empty() {
				return -1
			}
			return 1
		case a.Seconds < b.Seconds: // both zero where ruled out
			return -1
		case a.Seconds > b.Seconds:
			return 1
		}
		return 0
	})
	return rows, nil
}

// way is a row, and what it is worked out from.
type way struct {
	Row
	finishing *finishing
	ahead     []Candidate // the ways to rough ahead
}

// pairs returns a way for each cutter and pattern, of those found to finish, ruled out where
// that shows without planning.
func pairs(w work.Piece, found [][]*finishing, times roughTimes) (ways []*way) {
	for i, c := range w.Shelf {
		fits := work.Fits(w.Work, c)
		var ahead []Candidate
		if len(fits) == 0 {
			ahead = times.roughings(w, c)
		}
		for _, name := range pass.PatternsFor(w.Work) {
			v := &way{Row: Row{Finish: c.Name, Pattern: name}, ahead: slices.Clone(ahead)}
			at := slices.IndexFunc(found[i], func(f *finishing) bool { return f.piece.Method.Pattern == name })
			switch {
			case len(fits) > 0:
				v.ruleOut(fits)
			case at < 0:
				v.ruleOut(work.Problems{{Kind: work.KindPattern, Key: work.KeyPattern, Message: measure.Say("%s", pass.Suits(w.Work, name, c)), Hint: measure.Say("another pattern or cutter")}})
			default:
				v.finishing = found[i][at]
			}
			ways = append(ways, v)
		}
	}
	return ways
}

// searchFirst searches for what a work takes among all that was found. What it certifies need
// not be certified again, unless it was given up, or could not be laid closer.
func searchFirst(w work.Piece, found [][]*finishing, times roughTimes, b *bites) (Choice, error) {
	tried := make([][]*finishing, len(found))
	for i, list := range found {
		for _, f := range list {
			g := *f
			tried[i] = append(tried[i], &g)
		}
	}
	c, err := search(w, list(w, tried, times), &effort{looks: mostTried}, b)
	for i, list := range found {
		for k, f := range list {
			g := tried[i][k]
			if g.err == nil && g.sure || g.err != nil && g.closed == 0 && !work.KindEffort.In(g.err) {
				*f = *g
			}
		}
	}
	return c, err
}

// sideBySide does n pieces of work on all processors, begun in their order.
func sideBySide(n int, do func(i int)) {
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		group.Go(func() {
			for i := next.Add(1) - 1; i < int64(n); i = next.Add(1) - 1 {
				do(int(i))
			}
		})
	}
	group.Wait()
}

// ruleOut notes why a row will not do.
func (r *Row) ruleOut(err error) {
	var c Candidate
	c.ruleOut(err)
	r.problem, r.Out = c.problem, c.Out
}

// workOut certifies the way, and plans it with the quickest way to rough that keeps every
// bound.
func (r *way) workOut(left *effort, b *bites) {
	if !r.Out.Empty() {
		return
	}
	f, ways := r.finishing, r.ahead
	if f.recall(); f.err == nil {
		f.err = r.certify(f, left)
	}
	if f.err != nil {
		r.ruleOut(f.err)
		return
	}
	for {
		best := quickest(ways, nil)
		if best == nil {
			r.noRoughing(ways)
			return
		}
		best.Pattern, best.finishing = r.Pattern, f
		p, err := best.made()
		if err == nil {
			h := b.hold(p)
			if r.Bite = h.bite; unseen(p) {
				err = keep(h.rough, h.finish)
			}
			if h.finish != nil && divesUnseen(p) && f.closer() {
				if err = r.certify(f, left); err == nil {
					continue
				}
			}
		}
		if err == nil {
			r.measure(p)
			f.forget()
			return
		}
		best.ruleOut(err)
	}
}

// noRoughing says why no way to rough is left: by the first of them.
func (r *Row) noRoughing(ways []Candidate) {
	if len(ways) == 0 {
		r.ruleOut(work.Problems{{Kind: work.KindCutter, Key: work.KeyRough, Message: measure.Say("there is no cutter to rough with")}})
		return
	}
	first := ways[0].problem
	if ways[0].Rough != "" {
		first.Message = measure.Say("roughing with %s: %s", ways[0].Rough, first.Message)
	}
	r.ruleOut(work.Problems{first})
}

// certify spaces the passes until they keep the scallop and certifies it, also
// where the search for the quickest leaves that to the proof of the programs.
func (r *Row) certify(f *finishing, left *effort) error {
	if err := f.certify(left); work.KindEffort.In(err) {
		r.Note = "not certified here: make proves it"
		return nil
	} else if err != nil {
		return err
	}
	if f.ridge == 0 && len(f.section.Moves) <= mostCompared {
		cut := proof.Cut{Cutter: f.cutter, Moves: f.section.Moves}
		ridge, err := left.scallop(f.piece, proof.CertifyOptions{}, cut)
		switch {
		case work.KindEffort.In(err): // left to make
		case err != nil:
			return err
		case ridge.Certified > f.piece.Scallop:
			return work.Problems{{Kind: work.KindScallop, Key: work.KeyPattern, Message: measure.Say("no more than %v can be certified", measure.To(ridge.Certified, 4)), Hint: measure.Say("another pattern or cutter")}}
		default:
			f.ridge = ridge.Certified
		}
	}
	if r.Certified = f.ridge; r.Certified == 0 {
		r.Note = "not certified here: make proves it"
	}
	return nil
}

// Seconds returns how long a plan's programs take, changes of cutter included.
func Seconds(p cam.Plan) float64 {
	sum := float64(changeOver * float64(len(p.Programs)-1))
	for _, pr := range p.Programs {
		for _, s := range pr.Sections {
			sum += seconds(p.Work.Machine, s)
		}
	}
	return sum
}

// measure takes the row's figures from its plan.
func (r *Row) measure(p cam.Plan) {
	r.Seconds = float64(changeOver * float64(len(p.Programs)-1))
	for _, pr := range p.Programs {
		for _, s := range pr.Sections {
			t := motion.Estimate(p.Work.Machine, path.Path{Moves: s.Moves})
			length := t.CutLength + t.TraverseLength
			r.Path += length
			r.Seconds += t.Total
			if s.Purpose == work.Roughing {
				r.Rough = p.Rough
				continue
			}
			r.Name, r.Passes, r.Widest = s.Pattern.Said(), s.Passes, s.Widest
			r.ChipLoad, r.Feed = s.Feeds.ChipLoad, s.Feeds.Feed
			r.Finishing, r.FinishingPath = t.Total, length
		}
	}
}

// candidates returns the rows as what a search goes through.
func candidates(rows []Row) (list []Candidate) {
	for _, r := range rows {
		list = append(list, Candidate{Finish: r.Finish, Pattern: r.Pattern, Out: r.Out, problem: r.problem})
	}
	return list
}

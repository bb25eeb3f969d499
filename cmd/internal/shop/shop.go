package shop

import (
	"cmp"
	"context"
	"fmt"
	"sync"

	"dishwright/cam"
	"dishwright/cam/beside"
	"dishwright/cam/choose"
	"dishwright/cam/job"
	"dishwright/cam/motion"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/extra"
	"dishwright/dish/measure"
	"dishwright/post"
)

// Text is one program as the machine will read it, and what was read back.
type Text struct {
	Name    string // of its file
	Bytes   []byte
	Program work.Program
	Path    path.Path // read back from Bytes, in the face frame, as the blank sees it
	// PathModes are how the text takes corners, as it stands there.
	PathModes []proof.PathMode
	HoodAbove float64 // as in proof.Program

	begins []int // the line of Bytes with which each section of Program begins
}

// Result is a job taken all the way.
type Result struct {
	Job    job.Job
	Plan   cam.Plan
	Extras extra.Set // what is cut beside the face
	Texts  []Text
	Report Report
	Mate   *Result // of a pair: the caul
	// Drawings belong to the set: the covering's layout.
	Drawings []Drawing
	// Added belong to the set, too: tables to fill in, a job.
	Added []File

	first int // programs that come before these in the set
	// jobMark and cutMark tell programs of other jobs and other makings apart.
	jobMark, cutMark string
	left             *proof.Stock // what still stands after all of them
	kinds            []proof.Kind // of what is broken
	known            *proof.Known // what was certified in planning
}

// All returns the texts of the whole set, in running order.
func (r *Result) All() []Text {
	if r.Mate == nil {
		return r.Texts
	}
	return append(append([]Text(nil), r.Texts...), r.Mate.Texts...)
}

// Run plans the job, writes its programs and finds out what they do. A broken
// bound is no error: it stands in Report.Broken. Of a pair the dish comes first, and
// its caul after it in the same set.
func Run(ctx context.Context, j job.Job) (*Result, error) {
	jobs := []job.Job{j}
	if j.Mate != nil {
		// What the second piece cannot have beside its face is known before the first is proven.
		if _, err := beside.Make(&j.Mate.Work); err != nil {
			return nil, j.Mate.Locate(err)
		}
		jobs = append(jobs, *j.Mate)
	}
	pieces, err := makePieces(ctx, jobs)
	if err != nil {
		return nil, err
	}
	r := pieces[0]
	if j.Mate != nil {
		r.Mate = pieces[1]
		r.pair()
	}
	return r, nil
}

// mostSpaced is how often passes are spaced again whose scallop the proof of the programs
// certifies a little above what is allowed: some ways are spaced by the exact scallop, and the
// certificate may lie a slack above it.
const mostSpaced = 2

// makePieces takes each piece of a set all the way. One is proven while the next is planned
// and written, for that needs of it only how many programs come before.
func makePieces(ctx context.Context, jobs []job.Job) ([]*Result, error) {
	made, errs, shares := make([]*Result, len(jobs)), make([]error, len(jobs)), make([]float64, len(jobs))
	for tries := 0; ; tries++ {
		var proofs sync.WaitGroup
		first, n := 0, float64(len(jobs))
		for i, j := range jobs {
			if tries == 0 {
				shares[i] = 1
			}
			if made[i] == nil || made[i].first != first {
				if made[i], errs[i] = writePiece(tell.Part(ctx, float64(i)/n, float64(i+1)/n), j, shares[i], first); errs[i] != nil {
					break
				}
				proofs.Go(func() { errs[i] = made[i].provePiece() })
			}
			first += len(made[i].Texts)
		}
		proofs.Wait()
		if err := cmp.Or(errs...); err != nil {
			return nil, err
		}
		again := false
		for i, r := range made {
			if tries < mostSpaced && r.nearly() {
				shares[i], made[i], again = shares[i]*0.99/r.over(), nil, true
			}
		}
		if !again {
			return made, nil
		}
	}
}

// nearly reports whether all that is wrong with a face is a scallop by which its passes may
// be spaced more closely.
func (r *Result) nearly() bool {
	for _, b := range r.kinds {
		if b != proof.KindScallop {
			return false
		}
	}
	over := r.over()
	return len(r.kinds) > 0 && over > 1 && over < 1.1
}

// over returns how many times the scallop that is left for its passes a face has: an index
// error takes its part of what is asked for and of what is certified.
func (r *Result) over() float64 {
	adds := 0.0
	if s := r.Report.Setups; s != nil {
		adds = s.SidewaysMM + s.HeightAddsMM
	}
	return (r.Report.Scallop.CertifiedMM - adds) / (r.Job.Work.Scallop - adds)
}

// writePiece plans and writes one piece, its passes spaced for a share of the scallop; first
// programs of the set come before its own.
func writePiece(ctx context.Context, j job.Job, share float64, first int) (*Result, error) {
	tell.Step(ctx, 0, "planning the passes")
	choice, err := plan(j, share)
	if err != nil {
		return nil, j.Locate(err)
	}
	r := &Result{Job: j, Plan: choice.Plan, first: first, known: choice.Known}
	if err := r.beside(); err != nil {
		return nil, j.Locate(err)
	}
	r.price(choice)
	r.jobMark, r.cutMark = j.Mark(), cutMark(r.Plan.Programs)
	r.begin(choice)
	r.sag()
	r.bed()
	if err := r.covering(); err != nil {
		return nil, err
	}
	r.scrap()
	for i := range r.Plan.Programs {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		tell.Step(ctx, planned+written*float64(i)/float64(len(r.Plan.Programs)), "writing the programs")
		if err := r.write(i); err != nil {
			return nil, err
		}
	}
	tell.Step(ctx, planned+written, "proving the programs")
	return r, nil
}

// The shares of a run that planning and writing take, measured over the samples.
const planned, written = 0.35, 0.05

// plan chooses how the face is cut; templates have none.
func plan(j job.Job, share float64) (choose.Choice, error) {
	if j.Work.HasFace() {
		p := work.Whole(&j.Work)
		p.Share = share
		c, err := choose.Plan(p)
		if err != nil {
			err = deeper(choose.Hinted(&j.Work, err, pairOf(j)), j.Mate)
		}
		return c, err
	}
	if ps := work.GaugeProblems(&j.Work); len(ps) > 0 {
		return choose.Choice{}, ps
	}
	return choose.Choice{Plan: cam.Plan{Work: j.Work}}, nil
}

// price says of a face that is steeper than its finishing cutter may go down what it would
// take otherwise.
func (r *Result) price(c choose.Choice) {
	for i, w := range r.Plan.Warnings {
		if w.Kind != work.WarnUphill {
			continue
		}
		if hint := choose.PriceHint(c.Plan, choose.Prices(&r.Job.Work, c)); hint != "" {
			r.Plan.Warnings[i].Hint = measure.Say("%s", hint)
		}
	}
}

// pairOf returns the crown of a pair, nil where a piece is cut by itself.
func pairOf(j job.Job) *work.Work {
	switch {
	case j.Mate != nil:
		return &j.Mate.Work
	case j.Paired:
		return &j.Work
	}
	return nil
}

// beside adds the extras, which come last, and the air lap, which comes first.
func (r *Result) beside() error {
	b, err := beside.Make(&r.Job.Work) // as Prove does, which knows no choices
	if err != nil {
		return err
	}
	r.Extras = b.Set
	all := withExtras(r.Plan.Programs, b.Programs)
	next := r.Plan.Rough
	if next == "" {
		next = r.Plan.Finish
	}
	skim, ok, err := beside.Skim(&r.Plan.Work, next)
	if err != nil {
		return err
	}
	if ok {
		all = append([]work.Program{skim}, all...)
	}
	r.Plan.Warnings = append(cam.Sense(r.Plan.Piece(), all), b.Warnings...)
	lap := beside.AirLap(&r.Plan.Work, all, r.first)
	lap.Setup = all[0].Setup
	r.Plan.Programs = append([]work.Program{lap}, all...)
	return nil
}

// withExtras puts what is cut beside the face after it; where it is cut in several
// setups, after the first, in which the blank lies as it is drawn.
func withExtras(face, beside []work.Program) (all []work.Program) {
	n := len(face)
	for n > 0 && face[n-1].Setup.Number > 1 {
		n--
	}
	all = append(all, face[:n]...)
	for _, p := range beside {
		if n > 0 {
			p.Setup = face[0].Setup
		}
		all = append(all, p)
	}
	return append(all, face[n:]...)
}

// finishing returns the index of the program that finishes the face; -1 where
// there is none.
func (r *Result) finishing() int {
	for i := len(r.Plan.Programs) - 1; i >= 0; i-- {
		if r.Plan.Programs[i].Purpose() == work.Finishing {
			return i
		}
	}
	return -1
}

// write makes the text of program i and reads it back.
func (r *Result) write(i int) error {
	w, pr, p := &r.Plan.Work, r.Plan.Programs[i], r.benchOf(i).program()
	for _, s := range pr.Sections {
		p.Sections = append(p.Sections, post.Section{Title: title(r.Plan.Work.Machine, s), Moves: work.Compensated(w, s.Moves)})
	}
	name := fileName(r.first+i+1, w.Name)
	t, err := writeText(w, fmt.Sprintf("program %d", i+1), name, p)
	if err != nil {
		return err
	}
	r.describe(pr, name, t)
	t.back.Setup = pr.Setup
	if _, ok := ontoBlank(&t.back); !ok {
		return tell.Defect(fmt.Errorf("program %d cannot be followed on a turned blank", i+1))
	}
	r.Texts = append(r.Texts, Text{Name: name, Bytes: t.bytes, Program: pr, Path: t.back.Path, PathModes: t.back.PathModes, HoodAbove: t.back.HoodAbove, begins: t.Begins})
	r.order(i)
	return nil
}

// describe adds the program, as it runs on the machine, to the report.
func (r *Result) describe(pr work.Program, file string, t textRead) {
	last := pr.Sections[len(pr.Sections)-1]
	p := Program{File: file, Piece: r.Job.Piece(), Purpose: string(pr.Purpose()), Pattern: pr.Pattern(), Passes: last.Passes, Lines: t.Lines, Moves: len(t.back.Path.Moves),
		Cutter:   Cutter{pr.Cutter.Name, pr.Cutter.Shape.String(), pr.Cutter.Diameter, pr.Cutter.Body().Corner},
		SpeedRPM: pr.Speed, Dial: pr.Dial, FeedMMMin: last.Feeds.Feed, ChipLoadMM: last.Feeds.ChipLoad,
		CutLengthMM: t.took.CutLength, TraverseLength: t.took.TraverseLength, TimeS: t.took.Total,
		DepthOfCutMM: pr.Cutter.DepthOfCut, Limits: []measure.Said{}, Setup: Setup{pr.Setup.Name(), float64(pr.Setup.Turn), pr.Setup.X, pr.Setup.Y}}
	p.StickOutNeedMM = max(r.Plan.Work.Face.Sagitta()+2, pr.Cutter.FluteLength)
	seen := map[string]bool{}
	for _, s := range pr.Sections {
		for _, l := range s.Feeds.Limits {
			if !seen[l.String()] {
				seen[l.String()] = true
				p.Limits = append(p.Limits, l)
			}
		}
	}
	r.Report.Programs = append(r.Report.Programs, p)
	r.Report.TimeS += t.took.Total
}

// steps is the table stepover, scallop, minutes. Minutes are those of the
// finishing passes, in proportion to the length.
func (r *Result) steps() []Step {
	w := &r.Plan.Work
	c, _ := w.Cutter(r.Plan.Finish)
	n := r.finishing()
	if n < 0 {
		return []Step{}
	}
	last := r.Plan.Programs[n]
	sec := last.Sections[len(last.Sections)-1]
	own := motion.Estimate(w.Machine, path.Path{Moves: sec.Moves}).Total / 60 * float64(max(1, r.Plan.Layout.Count()))
	list := []Step{}
	for _, ch := range cam.Choices(r.Plan.Piece(), c) {
		list = append(list, Step{ch.Scallop, ch.Step, ch.Passes, ch.Length, own * ch.Share, ch.Scallop == w.Scallop})
	}
	return list
}

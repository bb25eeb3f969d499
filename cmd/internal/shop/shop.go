package shop

import (
	"bytes"
	"context"
	"fmt"
	"math"

	"dishwright/cam"
	"dishwright/cam/choose"
	"dishwright/cam/job"
	"dishwright/cam/motion"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/post"
)

// mostGouge is the gouge in mm that counts as none: a micrometre is less than
// the coordinates' own steps and chords add up to.
const mostGouge = 0.001

// Text is one program as the machine will read it, and what was read back.
type Text struct {
	Name    string // of its file
	Bytes   []byte
	Program cam.Program
	Path    path.Path // read back from Bytes, in the face frame
}

// Result is a job taken all the way.
type Result struct {
	Job    job.Job
	Plan   cam.Plan
	Texts  []Text
	Stages []*proof.Stock // what stands after each text
	Report Report
}

// Cell returns the size in mm of the cells in which a blank's field is kept:
// a six-hundredth of its greatest width, within 0.25 to 2 mm.
func Cell(w cam.Work) float64 {
	return math.Min(2, math.Max(0.25, math.Max(w.Blank.Length, w.Blank.Width)/600))
}

// Run plans the job, writes its programs and finds out what they do. A broken
// bound is no error: it stands in Report.Broken.
func Run(ctx context.Context, j job.Job) (*Result, error) {
	choice, err := choose.Plan(j.Work)
	if err != nil {
		return nil, j.Locate(err)
	}
	r := &Result{Job: j, Plan: choice.Plan}
	r.begin(choice)
	for i := range r.Plan.Programs {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := r.write(i); err != nil {
			return nil, err
		}
	}
	if err := r.certify(); err != nil {
		return nil, err
	}
	r.field()
	r.steps()
	r.finish()
	return r, nil
}

// write makes the text of program i and reads it back.
func (r *Result) write(i int) error {
	w, pr := r.Plan.Work, r.Plan.Programs[i]
	p := post.Program{Machine: w.Machine, Zero: w.ProgramZero(), Clearance: w.Clearance(), Thickness: w.Blank.Thickness,
		Cutter: pr.Cutter, Speed: pr.Speed, Dial: pr.Dial, About: r.about(i)}
	for _, s := range pr.Sections {
		p.Sections = append(p.Sections, post.Section{Title: title(s), Moves: s.Moves})
	}
	var b bytes.Buffer
	done, err := post.Write(&b, p)
	if err != nil {
		return fmt.Errorf("program %d is refused: %w", i+1, err)
	}
	read, _, err := post.ReadAll(bytes.NewReader(b.Bytes()), post.ReadOptions{PathMode: w.Machine.PathMode, ZShift: w.ProgramZero(), Start: post.UnknownStart()})
	if err != nil {
		return fmt.Errorf("program %d does not read back (a defect of this program): %w", i+1, err)
	}
	t := Text{Name: fileName(i+1, w.Name), Bytes: b.Bytes(), Program: pr, Path: read}
	r.Texts = append(r.Texts, t)
	r.describe(t, done.Lines)
	return nil
}

// describe adds the program to the report.
func (r *Result) describe(t Text, lines int) {
	pr, time := t.Program, motion.Estimate(r.Plan.Work.Machine, t.Path)
	last := pr.Sections[len(pr.Sections)-1]
	p := Program{File: t.Name, Purpose: string(pr.Purpose()), Pattern: pr.Pattern(), Passes: last.Passes, Lines: lines, Moves: len(t.Path.Moves),
		Cutter:   Cutter{pr.Cutter.Name, pr.Cutter.Shape.String(), pr.Cutter.Diameter, pr.Cutter.CornerRadius()},
		SpeedRPM: pr.Speed, Dial: pr.Dial, FeedMMMin: last.Feeds.Feed, ChipLoadMM: last.Feeds.ChipLoad,
		CutLengthMM: time.CutLength, TraverseLength: time.TraverseLength, TimeS: time.Total,
		DepthOfCutMM: pr.Cutter.DepthOfCut, Limits: []string{}}
	p.StickOutNeedMM = math.Max(r.Plan.Work.Face.Sagitta()+2, pr.Cutter.FluteLength)
	seen := map[string]bool{}
	for _, s := range pr.Sections {
		for _, l := range s.Feeds.Limits {
			if !seen[l] {
				seen[l] = true
				p.Limits = append(p.Limits, l)
			}
		}
	}
	r.Report.Programs = append(r.Report.Programs, p)
	r.Report.TimeS += time.Total
}

// cuts returns what was read back, cutter by cutter.
func (r *Result) cuts() []proof.Cut {
	cuts := make([]proof.Cut, len(r.Texts))
	for i, t := range r.Texts {
		cuts[i] = proof.Cut{Cutter: t.Program.Cutter, Moves: t.Path.Moves}
	}
	return cuts
}

// certify finds the highest ridge and the deepest gouge.
func (r *Result) certify() error {
	w, cuts := r.Plan.Work, r.cuts()
	ridge, err := proof.Scallop(w.Face, 0, cuts, proof.ScallopOptions{})
	if err != nil {
		return err
	}
	r.Report.Scallop = Scallop{w.Scallop, math.Max(0, ridge.Certified), ridge.X, ridge.Y}
	if !(ridge.Certified <= w.Scallop) {
		r.broken("the highest ridge may be %.4f mm, over the %.4f mm asked for, at X%.2f Y%.2f", ridge.Certified, w.Scallop, ridge.X, ridge.Y)
	}
	worst, _ := proof.Gouge(w.Face, cuts)
	r.Report.GougeMM = math.Max(0, worst.Amount)
	if !(worst.Amount <= mostGouge) {
		r.broken("a gouge of %.4f mm at X%.2f Y%.2f", worst.Amount, worst.X, worst.Y)
	}
	return nil
}

// field runs the programs through the blank's field of heights.
func (r *Result) field() {
	w := r.Plan.Work
	s := proof.NewStock(w.Blank, Cell(w))
	s.Slope = math.Asin(math.Min(1, w.Face.Rim/w.Face.Radius))
	for i, t := range r.Texts {
		c := t.Program.Cutter
		rep := s.RunOn(w.Machine, c, t.Path.Moves)
		p := &r.Report.Programs[i]
		p.BiteMM, p.FluteNeedMM = rep.Depth, rep.Depth
		p.SteepestIntoDeg = rep.Steepest * 180 / math.Pi
		r.Report.DeepestBiteMM = math.Max(r.Report.DeepestBiteMM, rep.Depth)
		if !(rep.Depth <= c.DepthOfCut) {
			r.broken("%s bites %.3f mm at X%.1f Y%.1f, more than its %.3f mm", c.Name, rep.Depth, rep.X, rep.Y, c.DepthOfCut)
		}
		if !(rep.Steepest <= c.Ramp) {
			r.broken("%s goes down into stock at %.2f degrees, more than its %.2f", c.Name, p.SteepestIntoDeg, c.Ramp*180/math.Pi)
		}
		for _, m := range rep.Traverses {
			r.broken("a traverse of %s runs %.3f mm deep through stock at X%.1f Y%.1f", c.Name, m.Depth, m.X, m.Y)
			break
		}
		for _, m := range rep.Contacts {
			r.broken("the %s of %s touches standing wood by %.3f mm at X%.1f Y%.1f", m.Part, c.Name, m.Amount, m.X, m.Y)
			break
		}
		r.Stages = append(r.Stages, s.Clone())
	}
}

// broken notes a bound that the programs break.
func (r *Result) broken(format string, args ...any) {
	r.Report.Broken = append(r.Report.Broken, fmt.Sprintf(format, args...))
}

// steps fills the table stepover, scallop, minutes. Minutes are those of the
// finishing program, in proportion to the length.
func (r *Result) steps() {
	w := r.Plan.Work
	c, _ := w.Cutter(r.Plan.Finish)
	last := r.Plan.Programs[len(r.Plan.Programs)-1]
	sec := last.Sections[len(last.Sections)-1]
	own := motion.Estimate(w.Machine, path.Path{Moves: sec.Moves}).Total / 60
	for _, ch := range cam.Choices(w, c) {
		r.Report.Steps = append(r.Report.Steps, Step{ch.Scallop, ch.Step, ch.Passes, ch.Length, own * ch.Share, ch.Share == 1})
	}
}

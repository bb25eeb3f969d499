package main

import (
	"fmt"
	"io"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"

	"github.com/spf13/cobra"
	"gonum.org/v1/gonum/spatial/r3"
)

// resumeFlags are what the call of resume says.
type resumeFlags struct {
	program, at, overlap, diameter, stickOut, file string
	line                                           int
	force, asJSON                                  bool
}

func newResumeCmd(a *app) *cobra.Command {
	var f resumeFlags
	cmd := &cobra.Command{
		Use:   "resume JOB --program FILE --line N",
		Short: "Write the program that goes on where another was stopped",
		Long: `Write the program that finishes one that was stopped part-way: by a stop, a broken
cutter, a power cut. It begins like every program, comes down through the air onto
what was cut already, repeats the last of it, and makes the rest. It is proven with
what was cut before it and with the programs that follow. FILE is the program as make
wrote it; the job must be as it was then.

Where it stopped is a line, or with --at the place that the machine shows, X,Y or
X,Y,Z in the program's own unit: of several lines that pass there the first counts.
A cutter that had to be exchanged may have another diameter or stand out otherwise:
--diameter and --stick-out. Touch off again before the program is run.`,
		Example: `  dishwright resume dish.yaml --program out/2-dish.ngc --line 5210 -o rest.ngc
  dishwright resume dish.yaml --program out/2-dish.ngc --at 112,-40 -o rest.ngc`,
		Args: exactlyOne("job"),
		RunE: func(cmd *cobra.Command, args []string) error { return a.resume(cmd, args[0], f) },
	}
	cmd.Flags().StringVar(&f.program, "program", "", "the `FILE` of the program that was stopped")
	cmd.Flags().IntVar(&f.line, "line", 0, "the line at which it stopped")
	cmd.Flags().StringVar(&f.at, "at", "", "the place at which it stopped, as `X,Y` or X,Y,Z")
	cmd.Flags().StringVar(&f.overlap, "overlap", "50 mm", "how much of what was cut is repeated")
	cmd.Flags().StringVar(&f.diameter, "diameter", "", "diameter of the cutter that goes on, where it is another")
	cmd.Flags().StringVar(&f.stickOut, "stick-out", "", "how far that cutter stands out of the holder")
	cmd.Flags().StringVarP(&f.file, "output", "o", "", "the new `FILE` to write; - for stdout")
	cmd.Flags().BoolVar(&f.force, "force", false, "replace FILE where an earlier one stands")
	cmd.Flags().BoolVar(&f.asJSON, "json", false, "write JSON; the program needs -o then")
	return a.settable(cmd)
}

func (a *app) resume(cmd *cobra.Command, name string, f resumeFlags) error {
	switch {
	case f.program == "":
		return tell.Errorf("--program out/2-dish.ngc", "resume needs the program that was stopped")
	case (f.at != "") == cmd.Flags().Changed("line"):
		return tell.Errorf("--line 5210, or --at 112.5,-40.2", "resume needs the line or the place at which it stopped, one of them")
	case f.asJSON && (f.file == "" || f.file == "-"):
		return tell.Errorf("-o rest.ngc", "with --json the program needs a file of its own")
	}
	j, err := a.loadJob(name)
	if err != nil {
		return err
	}
	s, err := f.stopped(a, &j.Work)
	if err == nil {
		err = a.vacant(f.force, f.file)
	}
	if err != nil {
		return err
	}
	r, err := a.runJob(cmd.Context(), j)
	if err != nil {
		return err
	}
	out, err := r.Resume(s)
	if err != nil {
		return err
	}
	if len(out.Broken) > 0 {
		return tell.Hint(brokenBounds(measure.Texts(out.Broken, j.Ruler)), "nothing was written", "with another cutter: make the job again with it on the shelf, and cut the whole face once more")
	}
	switch {
	case f.asJSON:
		if err := a.json(out); err != nil {
			return err
		}
	case f.file != "" && f.file != "-":
		writeResumption(a.report(), out, j.Ruler)
	}
	return a.product(f.file, f.force, out.Text, "the program that goes on")
}

// stopped reads the flags.
func (f resumeFlags) stopped(a *app, w *work.Work) (s shop.Stopped, err error) {
	s = shop.Stopped{File: f.program, Line: f.line}
	sources, closers, err := a.openPrograms([]string{f.program}, nil)
	defer func() {
		for _, c := range closers {
			c.Close()
		}
	}()
	if err != nil {
		return s, err
	}
	const most = 64_000_000 // as prove reads
	if s.Program, err = io.ReadAll(io.LimitReader(sources[0].Text, most+1)); err != nil {
		return s, err
	}
	if len(s.Program) > most {
		return s, tell.Errorf("a program that dishwright wrote", "%s has more than %d MB", sources[0].Name, most/1_000_000)
	}
	if shop.OfScrap(s.Program) {
		return s, tell.Errorf("cut a new scrap, from its air lap on: it takes minutes", "%s cuts a scrap, whose marks tell nothing unless all of them are cut in one run", measure.Quote(sources[0].Name))
	}
	for _, l := range [...]struct {
		name, text string
		r          measure.Range
		to         *float64
	}{
		{"overlap", f.overlap, measure.Range{Least: 0.1, Most: mostLength, From: 5, To: 50}, &s.Overlap},
		{"diameter", f.diameter, job.Keys().Expected("shelf/*/diameter"), &s.Diameter},
		{"stick-out", f.stickOut, job.Keys().Expected("shelf/*/stick out"), &s.StickOut},
	} {
		if l.text == "" {
			continue
		}
		v, err := lengthFlag(l.name, l.text, l.r)
		if err != nil {
			return s, err
		}
		*l.to = v.MM
	}
	if f.at != "" {
		s.At, s.HasZ, err = placeFlag(f.at, w)
	}
	return s, err
}

// placeFlag reads a place as the machine shows it: plain numbers in the program's
// unit, or lengths.
func placeFlag(text string, w *work.Work) (*r3.Vec, bool, error) {
	parts := strings.Split(text, ",")
	if len(parts) < 2 || len(parts) > 3 {
		return nil, false, tell.Errorf("--at 112.5,-40.2", "--at takes X,Y or X,Y,Z, not %s", measure.Quote(text))
	}
	var v [3]float64
	for i, p := range parts {
		p = strings.TrimSpace(p)
		if n, err := measure.ParseNumber(p); err == nil {
			v[i] = n * w.Machine.Unit.MM()
			continue
		}
		l, err := measure.ParseLength(p)
		if err != nil {
			return nil, false, tell.Wrap("--at", err)
		}
		v[i] = l.MM
	}
	return &r3.Vec{X: v[0], Y: v[1], Z: v[2] + w.ProgramZero()}, len(parts) == 3, nil
}

// writeResumption writes what goes on, for a person.
func writeResumption(w page, r *shop.Resumption, u measure.Ruler) {
	where := fmt.Sprintf("%s stopped at line %d", r.Program, r.Line)
	if r.Others > 0 {
		where += fmt.Sprintf(", the first of %d that pass there", r.Others+1)
	}
	writeWrapped(w, "", where+fmt.Sprintf(": it goes on from line %d, %s before that, at %s Z%s %s", r.FromLine, u.Length(r.OverlapMM, 1), u.XY(r.XMM, r.YMM), u.Short(r.ZMM, 2), u.Unit()))
	fmt.Fprintln(w)
	writeWrapped(w, "  ", fmt.Sprintf("cutter %s, %s %s; %d lines, %s of cutting, %s", r.Cutter.Name, r.Cutter.Shape, u.Length(r.Cutter.DiameterMM, 3), r.Lines, u.Path(r.CutLengthMM), tell.Clock(r.TimeS)))
	writeWrapped(w, "  ", fmt.Sprintf("with all that was cut before it: scallop %s asked, %s. Gouge %s, deepest bite %s.", u.Length(r.Scallop.AskedMM, 4), r.Certificate.In(u), u.Length(r.GougeMM, 4), u.Length(r.BiteMM, 2)))
	fmt.Fprintln(w, "\nbefore it, as its head says it")
	for _, s := range r.Order.Before() {
		writeWrapped(w, "  ", s)
	}
	if len(r.Then) > 0 {
		fmt.Fprintln(w)
		writeWrapped(w, "  ", "then, as before: "+strings.Join(r.Then, ", "))
	}
	writeWrapped(w, "\n", r.Caution)
}

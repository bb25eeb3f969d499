package main

import (
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

func newProveCmd(a *app) *cobra.Command {
	var jobName string
	var cutters []string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "prove PROGRAM... --job JOB",
		Short: "Prove what RS-274 programs of any origin will leave",
		Long: `Read RS-274/NGC programs as the machine would, in running order, and prove what
they do to the job's blank: the highest scallop left with a bound that cannot be
wrong, the deepest gouge, every bite, and every limit of machine, cutter, blank
and hold-downs. Each finding says in which line it begins. Programs that all say
which of a set they are, as make's do, are taken in that order; others as they are
given. A program names its cutter in a line (cutter: NAME); --cutter names it where
it does not, once for each program.`,
		Example: `  dishwright prove out/1-dish.ngc out/2-dish.ngc --job dish.yaml
  dishwright prove edited.ngc --job octave-mandolin --cutter "inch flat" --json`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return tell.Errorf("usage: "+cmd.UseLine(), "prove needs a program")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if jobName == "" {
				return tell.Errorf("name the job that the programs are for: --job dish.yaml", "prove needs a job")
			}
			j, err := a.loadJob(jobName)
			if err != nil {
				return err
			}
			v, err := a.proveFiles(j, args, cutters)
			if err != nil {
				return err
			}
			if asJSON {
				if err := tell.JSON(a.out, v); err != nil {
					return err
				}
			} else {
				writeDocument(a.report(), v.Answer(j.Ruler))
			}
			if !v.Proven {
				return tell.Bound("the proof fails with " + measure.Count(len(v.Findings), "finding"))
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&jobName, "job", "", "the job that the programs are for: a file or a sample")
	cmd.Flags().StringArrayVar(&cutters, "cutter", nil, "the cutter of a program that does not name it, in the order in which the programs are given")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	return a.settable(cmd)
}

// proveFiles opens the programs and proves them.
func (a *app) proveFiles(j job.Job, names, cutters []string) (shop.Verdict, error) {
	sources, closers, err := a.openPrograms(names, cutters)
	defer func() {
		for _, c := range closers {
			c.Close()
		}
	}()
	if err != nil {
		return shop.Verdict{}, err
	}
	v, _, err := shop.Prove(j, sources)
	return v, err
}

// openPrograms opens the files of programs: those of a set in the order that they state, for
// a shell puts a tenth before a second.
func (a *app) openPrograms(names, cutters []string) (sources []shop.Source, closers []io.Closer, err error) {
	if len(cutters) > len(names) {
		return nil, nil, tell.Errorf("one --cutter for each program, in the same order", "%s for %s", measure.Count(len(cutters), "cutter"), measure.Count(len(names), "program"))
	}
	for i, name := range names {
		f, err := strict.OpenFile(name)
		if err != nil {
			return sources, closers, err
		}
		closers = append(closers, f)
		s := shop.Source{Name: filepath.Base(name), Text: f}
		if i < len(cutters) {
			s.Cutter = cutters[i]
		}
		sources = append(sources, s)
	}
	if shop.InOrder(sources) {
		a.note("taken in the order that the programs state, not as given")
	}
	return sources, closers, nil
}

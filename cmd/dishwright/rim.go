package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/sheet"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

func newRimCmd(a *app) *cobra.Command {
	var dir, paper string
	var force, full, asJSON, asCSV bool
	var log logFlags
	cmd := &cobra.Command{
		Use:   "rim JOB",
		Short: "Work out the sanding of sides: heights, patterns, gaps, notches",
		Long: `Work out the rim of bent sides that a plate is glued to: whether it can be sanded,
in which dish, what comes off where, and what to do first. --full tells the heights
of its edges all round, the sides unrolled flat, what a straightedge shows on the
blocks, the braces' notches, and the gap before the glue. JOB is a
file of the form rim, whose keys dishwright manual sides shows, or the name of such
a sample. With -o the patterns of the sides at true size (SVG, for the paper named),
the tables (CSV) and the bench sheet go into the folder DIR, all or none.

With --log the widths measured after each round of sanding (CSV: round, and a column
for each place, such as tail_mm) tell what is left where, how many rounds more, where
to press, and when to stop; -o DIR has an empty one, log.csv.`,
		Example: `  dishwright rim bouzouki-sides
  dishwright rim bouzouki-sides --full
  dishwright rim sides.yaml --json
  dishwright rim sides.yaml --log widths.csv
  dishwright rim sides.yaml -o patterns --paper letter`,
		Args: exactlyOne("job"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if asJSON && asCSV {
				return tell.Errorf("one of them", "rim writes JSON or CSV, not both at once")
			}
			if err := log.check(asCSV); err != nil {
				return err
			}
			sheet, err := sides.PaperNamed(paper)
			if err != nil {
				return tell.Wrap("--paper", err)
			}
			j, err := a.loadRim(args[0])
			if err != nil {
				return err
			}
			r, err := sides.Run(j, beside(j.File))
			if err != nil {
				return err
			}
			if err := log.take(r); err != nil {
				return err
			}
			var set *rimSet
			if dir != "" {
				if set, err = openRimSet(r, sheet, dir, force); err != nil {
					return err
				}
				defer set.Abandon()
			}
			switch {
			case asJSON:
				err = a.json(r.Report)
			case asCSV:
				a.out.Write(r.CSV())
			default:
				a.writeRim(r, full)
			}
			if err == nil && set != nil {
				err = a.commit(set.Set)
			}
			if err != nil {
				return err
			}
			if !asJSON && !asCSV {
				set.tell(a.report())
			}
			return brokenBounds(measure.Texts(r.Report.Broken, r.Job.Ruler))
		},
	}
	cmd.Flags().StringVarP(&dir, "output", "o", "", "folder for the patterns and tables")
	cmd.Flags().StringVar(&paper, "paper", "a4", "paper of the patterns: a4 or letter")
	cmd.Flags().BoolVar(&force, "force", false, "replace an earlier set in DIR")
	cmd.Flags().BoolVar(&full, "full", false, "tell all there is: tables and drawings")
	cmd.Flags().StringVar(&log.file, "log", "", "widths measured round by round: a `FILE` of CSV")
	cmd.Flags().StringVar(&log.back, "back", "", "the back's edge while they were, a `WORD`: unsanded, as the job's start leaves it, or finished")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	cmd.Flags().BoolVar(&asCSV, "csv", false, "write the table of stations as CSV")
	return a.settable(cmd)
}

// writeRim writes a rim for a person, with its caution: of a log what that tells, and all else
// with full.
func (a *app) writeRim(r *sides.Result, full bool) {
	switch logged := r.Report.Log != nil; {
	case logged:
		writeDocument(a.report(), r.LogAnswer())
	case !full:
		writeDocument(a.report(), r.Answer())
	}
	if full {
		writeRim(a.report(), a.drawn(), r, a.look)
	}
	writeWrapped(a.report(), "", r.Report.Caution)
}

// rimSet is the patterns and tables of a rim on their way into a folder.
type rimSet struct {
	*outset.Set
	names []string
}

// openRimSet writes the files beside the folder.
func openRimSet(r *sides.Result, paper sides.Paper, dir string, force bool) (*rimSet, error) {
	files, err := r.Files(paper)
	if err != nil {
		return nil, err
	}
	s := &rimSet{}
	if s.Set, err = outset.Open(dir, force); err != nil {
		return nil, err
	}
	for _, f := range append(files, sides.File{Name: sheetName, Bytes: sheet.OfRim(r, nil)}) {
		if err := s.Write(f.Name, f.Bytes); err != nil {
			s.Abandon()
			return nil, err
		}
		s.names = append(s.names, f.Name)
	}
	return s, nil
}

// tell says what stands in the folder now, if anything does.
func (s *rimSet) tell(w io.Writer) {
	if s == nil {
		return
	}
	fmt.Fprintf(w, "\nwritten to %s\n", s.Dir())
	for _, n := range s.names {
		fmt.Fprintf(w, "  %s\n", n)
	}
}

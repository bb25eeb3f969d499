package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cam/job"
	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
)

func newRimCmd(a *app) *cobra.Command {
	var dir, paper string
	var force, asJSON, asCSV bool
	cmd := &cobra.Command{
		Use:   "rim JOB",
		Short: "Work out the sanding of the sides: heights, patterns, gaps, notches",
		Long: `Work out the rim of bent sides that a plate is glued to: the heights of its edges
all round, how much comes off where, the sides unrolled flat, what a straightedge
shows on the blocks, the braces' notches, and the gap before the glue. JOB is a
file of the form rim or the name of such a sample. With -o the patterns of the
sides at true size (SVG, for the paper named) and the tables (CSV) go into the
folder DIR, all or none.`,
		Example: `  dishwright rim bouzouki-sides
  dishwright rim sides.yaml --json
  dishwright rim sides.yaml -o patterns --paper letter`,
		Args: exactlyOne("job"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if asJSON && asCSV {
				return tell.Errorf("one of them", "rim writes JSON or CSV, not both at once")
			}
			sheet, err := sides.PaperNamed(paper)
			if err != nil {
				return tell.Wrap("--paper", err)
			}
			j, err := loadRim(args[0])
			if err != nil {
				return err
			}
			r, err := sides.Run(j, beside(j.File))
			if err != nil {
				return err
			}
			var files []string
			if dir != "" {
				if files, err = rimSet(r, sheet, dir, force, a); err != nil {
					return err
				}
			}
			switch {
			case asJSON:
				err = tell.JSON(a.out, r.Report)
			case asCSV:
				_, err = a.out.Write(r.CSV())
			default:
				writeRim(a.out, r, a.look)
				writeFiles(a.out, dir, files)
				writeWrapped(a.out, "", r.Report.Caution)
			}
			if err == nil && len(r.Report.Broken) > 0 {
				err = tell.Bound("a bound is broken: " + strings.Join(r.Report.Broken, "; "))
			}
			return err
		},
	}
	cmd.Flags().StringVarP(&dir, "output", "o", "", "folder for the patterns and tables")
	cmd.Flags().StringVar(&paper, "paper", "a4", "paper of the patterns: a4 or letter")
	cmd.Flags().BoolVar(&force, "force", false, "replace an earlier set in DIR")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	cmd.Flags().BoolVar(&asCSV, "csv", false, "write the table of stations as CSV")
	return cmd
}

// writeFiles says what was written to a folder, if anything.
func writeFiles(w io.Writer, dir string, files []string) {
	if dir == "" {
		return
	}
	fmt.Fprintf(w, "\nwritten to %s\n", dir)
	for _, f := range files {
		fmt.Fprintf(w, "  %s\n", f)
	}
}

// rimSet writes the patterns and tables into a folder.
func rimSet(r *sides.Result, paper sides.Paper, dir string, force bool, a *app) ([]string, error) {
	set, err := outset.Open(dir, force)
	if err != nil {
		return nil, err
	}
	defer set.Abandon()
	files, err := r.Files(paper)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, f := range files {
		if err := set.Write(f.Name, f.Bytes); err != nil {
			return nil, err
		}
		names = append(names, f.Name)
	}
	if err := set.Commit(); err != nil {
		return nil, err
	}
	for _, n := range set.Notes() {
		tell.Note(a.err, "%s", n)
	}
	return names, nil
}

// loadRim reads the job of a rim that a command names.
func loadRim(name string) (job.Rim, error) {
	file, data, err := jobBytes(name)
	if err != nil {
		return job.Rim{}, err
	}
	if form := job.FormOf(data); form != "rim" {
		return job.Rim{}, tell.Errorf("dishwright check or make takes a job of the form "+form, "%s is of the form %s, not rim", name, form)
	}
	return job.LoadRim(file, data)
}

package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/sheet"
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
file of the form rim, whose keys dishwright manual sides shows, or the name of such
a sample. With -o the patterns of the sides at true size (SVG, for the paper named),
the tables (CSV) and the bench sheet go into the folder DIR, all or none.`,
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
			j, err := a.loadRim(args[0])
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
				writeRim(a.report(), r, a.look)
				writeFiles(a.report(), dir, files)
				writeWrapped(a.report(), "", r.Report.Caution)
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
	return a.settable(cmd)
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
	page, err := sheet.OfRim(r, nil)
	if err != nil {
		return nil, err
	}
	files = append(files, sides.File{Name: sheetName, Bytes: page})
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
		a.note("%s", n)
	}
	return names, nil
}

package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
)

func newMakeCmd(a *app) *cobra.Command {
	var dir string
	var force, asJSON bool
	cmd := &cobra.Command{
		Use:   "make JOB -o DIR",
		Short: "Write a job's programs and bench sheet into a folder of their own",
		Long: `Plan a job, write its programs, read them back, find out from the bytes what they
leave, and only then put them, with the bench sheet and order.txt, the list of what
is done before each program, into the folder DIR, all or none. DIR must be absent, empty, or hold nothing but an earlier set (then --force replaces it in
one step). JOB is a file or the name of a sample.`,
		Example: `  dishwright make octave-mandolin -o out
  dishwright make dish.yaml -o programs --force --json`,
		Args: exactlyOne("job"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if dir == "" {
				return tell.Errorf("name a folder that is not there yet: dishwright make "+args[0]+" -o out", "make needs a folder to write to")
			}
			j, err := a.loadJob(args[0])
			if err != nil {
				return err
			}
			r, err := makeSet(cmd, j, dir, force, a, func(r *shop.Result) error {
				if asJSON {
					return a.json(r.Report)
				}
				writeReport(a.report(), r)
				return nil
			})
			if err != nil || asJSON {
				return err
			}
			fmt.Fprintf(a.report(), "\nwritten to %s\n", dir)
			for _, t := range r.All() {
				fmt.Fprintf(a.report(), "  %s\n", t.Name)
			}
			for _, d := range r.Drawings {
				fmt.Fprintf(a.report(), "  %s\n", d.Name)
			}
			fmt.Fprintf(a.report(), "  %s\n  %s\n", orderName, sheetName)
			writeWrapped(a.report(), "", r.Report.Caution)
			return nil
		},
	}
	cmd.Flags().StringVarP(&dir, "output", "o", "", "folder for the programs")
	cmd.Flags().BoolVar(&force, "force", false, "replace an earlier set in DIR")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	return a.settable(cmd)
}

package main

import (
	"github.com/spf13/cobra"

	"dishwright/cmd/internal/document"
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
				writeDocument(a.report(), r.Verdict())
				return nil
			})
			if err != nil || asJSON {
				return err
			}
			writeDocument(a.report(), madeParts(r, dir))
			return nil
		},
	}
	cmd.Flags().StringVarP(&dir, "output", "o", "", "folder for the programs")
	cmd.Flags().BoolVar(&force, "force", false, "replace an earlier set in DIR")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	return a.settable(cmd)
}

// madeParts name what was written to a folder and what to read first, with the caution.
func madeParts(r *shop.Result, dir string) document.Document {
	d := append(document.Document{document.Heading("written to " + dir)}, r.Files()...)
	for _, one := range r.Drawings {
		d = append(d, document.Paragraph{Lead: "  " + one.Name})
	}
	for _, one := range r.Added {
		d = append(d, document.Paragraph{Lead: "  " + one.Name + "  ", Text: one.For})
	}
	d = append(d,
		document.Paragraph{Lead: "  " + orderName + "  ", Text: "what is done before each program"},
		document.Paragraph{Lead: "  " + sheetName + "  ", Text: "the sheet for the bench: read it first"})
	return append(append(d, r.Unsafe()...), document.Space{}, document.Paragraph{Text: r.Report.Caution})
}

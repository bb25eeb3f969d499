package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

func newCheckCmd(a *app) *cobra.Command {
	var asJSON, full bool
	cmd := &cobra.Command{
		Use:   "check JOB",
		Short: "Check a job before cutting",
		Long: `Plan a job and tell what can be known before cutting: whether it can be made, how
long that takes and what is certified, the depth at the apex, every program with its
bite and time, what another scallop would cost, and what is worth knowing. --full
tells all of it: passes, feeds, what is done before each program, defaults. Nothing
is written. A rim without a mould to cut is worked out, as rim does. JOB is a file or
the name of a sample.`,
		Example: `  dishwright check octave-mandolin
  dishwright check dish.yaml --full
  dishwright check dish.yaml --json`,
		Args: exactlyOne("job"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if r, err := a.uncut(args[0]); r != nil || err != nil {
				switch {
				case err != nil:
					return err
				case asJSON:
					err = a.json(r.Report)
				default:
					a.writeRim(r, full)
				}
				if err != nil {
					return err
				}
				return brokenBounds(measure.Texts(r.Report.Broken, r.Job.Ruler))
			}
			j, err := a.loadJob(args[0])
			if err != nil {
				return err
			}
			r, err := a.runJob(cmd.Context(), j)
			if err != nil {
				if !asJSON {
					writeDocument(a.report(), shop.Refused(j, err))
				}
				return err
			}
			switch {
			case asJSON:
				if err := tell.JSON(a.out, r.Report); err != nil {
					return err
				}
			case full:
				writeDocument(a.report(), r.Whole())
			default:
				writeDocument(a.report(), r.Answer())
			}
			return brokenError(r)
		},
	}
	cmd.Flags().BoolVar(&full, "full", false, "tell all there is")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	return a.settable(cmd)
}

// brokenError is the error of a run whose programs break a bound.
func brokenError(r *shop.Result) error {
	return brokenBounds(measure.Texts(r.Report.Broken, r.Job.Ruler))
}

// mostBroken is how many broken bounds an error names: the report lists all of them.
const mostBroken = 3

// brokenBounds is the error of the bounds that are broken; nil where none is.
func brokenBounds(list []string) error {
	if len(list) == 0 {
		return nil
	}
	shown := list[:min(mostBroken, len(list))]
	text := "a bound is broken: " + strings.Join(shown, "; ")
	if more := len(list) - len(shown); more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	return tell.Bound(text)
}

package main

import (
	"errors"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/tell"
	"dishwright/machines"
	"dishwright/post"
)

func newMachinesTrialCmd(a *app) *cobra.Command {
	var file string
	cmd := &cobra.Command{
		Use:   "trial NAME",
		Short: "Write a dry program that tries every word on the controller",
		Long: `Write a dry program for a machine: nothing on the bed, no cutter, the spindle off, in
the air and within 50 mm. It holds every word that programs for this profile hold, each
told by a message, so that a controller that refuses a line shows which before any wood
is on the bed. Its head says what is done before it is started. NAME is a built-in
profile or the path of one of your own. A file that exists is never overwritten.`,
		Example: `  dishwright machines trial my-router.yaml -o trial.ngc`,
		Args:    exactlyOne("machine"),
		RunE: func(cmd *cobra.Command, args []string) error {
			m, err := machines.Resolve(args[0], "")
			if err != nil {
				return err
			}
			text, err := post.Trial(m)
			switch {
			case errors.Is(err, post.ErrUnfit):
				return tell.Errorf("a trial needs 10 mm of travel along X and Y and 4 mm along Z, and a feed of 0.2 units a minute", "the machine %s is %w", m.Name, err)
			case err != nil:
				return tell.Defect(err)
			}
			return a.writeProfile(cmd, file, text, "the trial program for "+m.Name)
		},
		ValidArgsFunction: completeJob(machines.BuiltinNames),
	}
	cmd.Flags().StringVarP(&file, "output", "o", "", "the new `FILE` to write; - for stdout")
	return cmd
}

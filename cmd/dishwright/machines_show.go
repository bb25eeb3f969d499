package main

import (
	"github.com/spf13/cobra"

	"dishwright/cmd/internal/outset"
	"dishwright/machines"
)

func newMachinesShowCmd(a *app) *cobra.Command {
	var file string
	cmd := &cobra.Command{
		Use:   "show NAME",
		Short: "Write a machine profile as YAML to copy",
		Long: `Write a machine profile as YAML, to copy and change: a built-in one as it stands, one
of your own as it was understood, with all that it leaves out.`,
		Example: `  dishwright machines show bench-600 -o my-router.yaml`,
		Args:    exactlyOne("machine"),
		RunE: func(cmd *cobra.Command, args []string) error {
			text, builtin := machines.ProfileText(args[0])
			if !builtin {
				m, err := machines.Resolve(args[0], "")
				if err != nil {
					return err
				}
				text = m.Text()
			}
			return a.writeProfile(cmd, file, text, "the profile of "+args[0])
		},
		ValidArgsFunction: completeJob(machines.BuiltinNames),
	}
	cmd.Flags().StringVarP(&file, "output", "o", "", "the new `FILE` to write; - for stdout")
	return cmd
}

// writeProfile writes a profile to a new file, or to stdout where none is named.
func (a *app) writeProfile(cmd *cobra.Command, file string, text []byte, what string) error {
	if !cmd.Flags().Changed("output") || file == "-" {
		_, err := a.out.Write(text)
		return err
	}
	if err := outset.WriteNew(file, text); err != nil {
		return err
	}
	a.note("wrote %s to %s", what, file)
	return nil
}

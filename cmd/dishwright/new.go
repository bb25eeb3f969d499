package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/samples"
)

func newNewCmd(a *app) *cobra.Command {
	var file string
	cmd := &cobra.Command{
		Use:   "new [SAMPLE]",
		Short: "Write a job file to start from",
		Long: `Write the job file of a sample, to stdout or to a new file: change it to what
stands in your shop. A file that exists is never overwritten.

The samples: ` + strings.Join(samples.Names(), ", ") + `.
Without a name it is the first.`,
		Example: `  dishwright new
  dishwright new ukulele-inches -o job.yaml`,
		Args: atMost(1, "sample"),
		RunE: func(cmd *cobra.Command, args []string) error {
			name := samples.Names()[0]
			if len(args) == 1 {
				name = args[0]
			}
			data, ok := samples.Get(name)
			if !ok {
				return unknownSample(name)
			}
			if !cmd.Flags().Changed("output") || file == "-" {
				_, err := a.out.Write(data)
				return err
			}
			if err := outset.WriteNew(file, data); err != nil {
				return err
			}
			a.note("wrote the sample %s to %s", name, file)
			return nil
		},
	}
	cmd.Flags().StringVarP(&file, "output", "o", "", "the new `FILE` to write; - for stdout")
	return cmd
}

func unknownSample(name string) error {
	names := samples.Names()
	hints := []string{"the samples are " + strings.Join(names, ", ")}
	if near, ok := strict.Nearest(name, names); ok {
		hints = append([]string{"did you mean " + near + "?"}, hints...)
	}
	return tell.Hint(fmt.Errorf("there is no sample %s", measure.Quote(name)), hints...)
}

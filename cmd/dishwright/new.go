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
		Long: `Write a job file, to stdout or to a new file, in one of two ways. A file that exists
is never overwritten.

By flags: what is to be made, and on which machine. The job has a comment on every
line, a blank as boards are sold and cutters that the machine can hold and run; it is
planned and proven before it is written, so that check takes it as it stands. What a
shop file in reach says is left out of it.

By the name of a sample: change it to what stands in your shop. The samples:
` + strings.Join(samples.Names(), ", ") + `.
Without a name and without flags it is the first.`,
		Example: `  dishwright new --radius "28 ft" --diameter "24 in" -o dish.yaml
  dishwright new --form board --radius "20 ft" --length "20 in" --width "3 in"
  dishwright new ukulele-inches -o job.yaml`,
		Args: atMost(1, "sample"),
		RunE: func(cmd *cobra.Command, args []string) error {
			for _, f := range append(draftFlags[:], [2]string{"shop"}) {
				if cmd.Flags().Changed(f[0]) {
					if len(args) > 0 {
						return tell.Errorf("leave out one of the two", "a new job is made of the sample %s or of --%s", measure.Quote(args[0]), f[0])
					}
					return a.writeDraft(cmd, file)
				}
			}
			return a.writeSample(cmd, file, args)
		},
	}
	cmd.Flags().StringVarP(&file, "output", "o", "", "the new `FILE` to write; - for stdout")
	for _, f := range draftFlags {
		cmd.Flags().String(f[0], "", f[1])
	}
	return a.shopped(cmd)
}

// writeSample writes a sample as it is.
func (a *app) writeSample(cmd *cobra.Command, file string, args []string) error {
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
}

// writeDraft writes a job that was asked for by flags.
func (a *app) writeDraft(cmd *cobra.Command, file string) error {
	if err := a.vacant(false, file); err != nil {
		return err
	}
	w, err := a.newWish(cmd.Flags(), file)
	if err != nil {
		return err
	}
	m, err := w.plan(cmd.Context())
	if err != nil {
		return err
	}
	if m.try.land > 0 {
		a.note("a smaller blank breaks a bound: this one leaves more land")
	}
	if m.try.setups {
		a.note("the machine does not reach all of it at once: it is cut in setups")
	}
	if file == "" || file == "-" {
		_, err := a.out.Write(m.text)
		return err
	}
	if err := outset.WriteNew(file, m.text); err != nil {
		return err
	}
	a.note("wrote a new job to %s, with %s of cutting", file, tell.Clock(m.result.Report.TimeS))
	a.note("it is proven good as it stands: hold it against your shop")
	return nil
}

func unknownSample(name string) error {
	names := samples.Names()
	hints := []string{"the samples are " + strings.Join(names, ", ")}
	if near, ok := strict.Nearest(name, names); ok {
		hints = append([]string{"did you mean " + near + "?"}, hints...)
	}
	return tell.Hint(fmt.Errorf("there is no sample %s", measure.Quote(name)), hints...)
}

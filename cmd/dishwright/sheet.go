package main

import (
	"io"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/sheet"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
)

// sheetName is the bench sheet's file in a set.
const sheetName = "sheet.html"

func newSheetCmd(a *app) *cobra.Command {
	var file string
	var force bool
	cmd := &cobra.Command{
		Use:   "sheet JOB",
		Short: "Write the bench sheet of a job: pages to print and work down",
		Long: `Take a job all the way, as make does, and write its bench sheet to stdout or to a
new file. Its first page stands at the machine: the section with its measures, the
blank and its zero, cutters and programs. Then come the steps to tick off, with the
messages of the programs, and a page for after: what to measure, the covering, the
first sanding. Of a rim it is the sheet of the sanding. It is one HTML file without
scripts, to print on A4 or letter paper. make and rim -o put the same sheet into
their folder. JOB is a file or the name of a sample.`,
		Example: `  dishwright sheet octave-mandolin -o sheet.html
  dishwright sheet sides.yaml -o sheet.html --force`,
		Args: exactlyOne("job"),
		RunE: func(cmd *cobra.Command, args []string) error {
			data, err := a.sheetOf(cmd, args[0], func() error { return a.vacant(force, file) })
			if err != nil {
				return err
			}
			return a.product(file, force, data, "the bench sheet")
		},
	}
	cmd.Flags().StringVarP(&file, "output", "o", "", "the `FILE` to write; - for stdout")
	cmd.Flags().BoolVar(&force, "force", false, "replace FILE where an earlier one stands")
	return a.settable(cmd)
}

// sheetOf works a job out, once it is read and ready, and writes its sheet.
func (a *app) sheetOf(cmd *cobra.Command, name string, ready func() error) ([]byte, error) {
	f, err := a.jobSource(name)
	if err != nil {
		return nil, err
	}
	if f.Form() == "rim" {
		return a.rimSheet(cmd, name, ready)
	}
	r, err := a.cutWhole(cmd, name, ready)
	if err != nil {
		return nil, err
	}
	return sheet.Of(r), nil
}

// cutWhole takes a job that is cut all the way; a broken bound is an error.
func (a *app) cutWhole(cmd *cobra.Command, name string, ready func() error) (*shop.Result, error) {
	j, err := a.loadJob(name)
	if err == nil {
		err = ready()
	}
	if err != nil {
		return nil, err
	}
	r, err := a.runJob(cmd.Context(), j)
	if err != nil {
		return nil, err
	}
	return r, brokenError(r)
}

// rimSheet writes the sheet of a rim, with the cutting of its mould where it has one.
func (a *app) rimSheet(cmd *cobra.Command, name string, ready func() error) ([]byte, error) {
	j, err := a.loadRim(name)
	if err != nil {
		return nil, err
	}
	r, err := sides.Run(j, beside(j.File))
	if err != nil {
		return nil, err
	}
	if j.Mould == nil {
		return sheet.OfRim(r, nil), nil
	}
	cut, err := a.cutWhole(cmd, name, ready)
	if err != nil {
		return nil, err
	}
	return sheet.OfRim(r, cut), nil
}

// product writes what a command makes to stdout, or to a file, which is only replaced
// with force.
func (a *app) product(file string, force bool, data []byte, what string) error {
	if file == "" || file == "-" {
		_, err := a.out.Write(data)
		return err
	}
	return a.products(force, what, outset.File{Name: file, Data: data})
}

// vacant finds out before long work whether the files may be written; empty names and - are
// none.
func (a *app) vacant(force bool, names ...string) error {
	var files []outset.File
	for _, n := range names {
		if n != "" && n != "-" {
			files = append(files, outset.File{Name: n})
		}
	}
	return outset.Vacant(force, files...)
}

// products writes files, all or none of them where one may not be written.
func (a *app) products(force bool, what string, files ...outset.File) error {
	if err := a.out.Lost(); err != nil {
		return err
	}
	if err := outset.Write(force, files...); err != nil {
		return err
	}
	for _, f := range files {
		a.note("wrote %s to %s", what, f.Name)
	}
	return nil
}

// report is where what a person reads of a job goes: nowhere, where the call asked for
// quiet. Names of any making go through it.
func (a *app) report() page { return a.page(tell.Shown(a.drawn())) }

// drawn is as report for text with drawings in it, which may be coloured.
func (a *app) drawn() io.Writer {
	if a.quiet {
		return io.Discard
	}
	return a.out
}

// text is where text goes that was asked for itself.
func (a *app) text() page { return a.page(tell.Shown(a.out)) }

// json writes a value as JSON. That its bytes cannot be written is no error here: the
// output remembers it (commit, products).
func (a *app) json(v any) error {
	if err := tell.JSON(a.out, v); a.out.Failure() == nil {
		return err
	}
	return nil
}

// note writes a note to stderr, unless the call asked for quiet.
func (a *app) note(format string, args ...any) {
	a.progress.Load().End()
	if !a.quiet {
		tell.Note(a.err, format, args...)
	}
}

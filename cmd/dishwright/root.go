package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"runtime/debug"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"dishwright/cam/job"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/play"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// app is what every command works with. Products go to out, which remembers the
// first failed write; notes go to err.
type app struct {
	in   io.Reader
	out  *tell.Writer
	err  io.Writer
	look picture.Look // what suits the terminal, if out is one

	screen  io.Writer                   // what out writes to
	playing atomic.Pointer[play.Screen] // the terminal, while work runs in it
	told    sync.Once                   // that the run was told to stop

	// runJob is shop.Run; tests put one here that remembers what it was given before.
	runJob func(context.Context, job.Job) (*shop.Result, error)

	progress atomic.Pointer[tell.Progress] // of long work; nil where nobody sees it

	quiet bool     // no report and no notes: faults alone
	units string   // mm or in, in which reports are told; empty for the job's own
	sets  []string // changes of a job's keys for this run, as KEY=VALUE
	shop  string   // the shop file that the call names; empty to look for one
}

// commands makes every command, in the order in which help lists them.
var commands = []func(*app) *cobra.Command{
	newNewCmd,
	newCheckCmd,
	newCompareCmd,
	newPreviewCmd,
	newMakeCmd,
	newSheetCmd,
	newProveCmd,
	newScrapCmd,
	newResumeCmd,
	newRimCmd,
	newReadingsCmd,
	newFitCmd,
	newSagittaCmd,
	newScallopCmd,
	newMachinesCmd,
	newExplainCmd,
	newSchemaCmd,
	newManualCmd,
	newCompletionCmd,
}

func newRootCmd(a *app) *cobra.Command {
	cobra.EnableCommandSorting = false
	root := &cobra.Command{
		Use:   "dishwright COMMAND",
		Short: "Plan and prove the programs that cut radius dishes, and the sanding with them",
		Long: `Dishwright plans and proves the programs that cut radius dishes, hollowed
sanding boards and cauls on a hobby router, from a short job file.

Exit code 0: all went well; 1: a bound is broken or a proof fails; 2: the input
or the call is wrong.`,
		Example: `  dishwright new -o job.yaml
  dishwright sagitta --radius "25 ft" --chord "600 mm"`,
		Version:       version(debug.ReadBuildInfo()),
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(cmd, args[0])
			}
			return tell.Hint(errors.New("no command was given"),
				"dishwright --help lists the commands", "dishwright new -o job.yaml writes a job file to start from")
		},
	}
	root.PersistentPreRunE = func(cmd *cobra.Command, _ []string) error {
		if !a.quiet && picture.Terminal(a.err) {
			p := tell.NewProgress(a.err)
			a.progress.Store(p)
			a.out.Before = p.End
			cmd.SetContext(tell.WithProgress(cmd.Context(), p))
		}
		if err := given(cmd); err != nil {
			return err
		}
		return a.knownUnits()
	}
	root.SetIn(a.in)
	root.SetOut(a.out)
	root.SetErr(a.err)
	root.SetUsageTemplate(usage)
	root.SetVersionTemplate("dishwright {{.Version}}\n")
	root.SetFlagErrorFunc(flagError)
	root.CompletionOptions.DisableDefaultCmd = true
	root.PersistentFlags().BoolVar(&a.quiet, "quiet", false, "no report and no notes: faults, files and JSON alone")
	root.SetHelpCommand(newHelpCmd(root))
	root.SetHelpFunc(func(c *cobra.Command, _ []string) {
		fmt.Fprintf(c.OutOrStdout(), "%s\n%s", a.filled(cmp.Or(c.Long, c.Short)), c.UsageString())
	})
	for _, command := range commands {
		root.AddCommand(command(a))
	}
	completions(root)
	return root
}

// filled is a text in lines that fit a terminal: its paragraphs are filled, and a line that is
// indented stands as it is.
func (a *app) filled(text string) string {
	var out strings.Builder
	var d document.Document
	var words []string
	flush := func() {
		if len(words) > 0 {
			d, words = append(d, document.Paragraph{Text: strings.Join(words, " ")}), nil
		}
	}
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		if strings.HasPrefix(line, " ") || line == "" {
			flush()
			d = append(d, document.Paragraph{Lead: line})
			continue
		}
		words = append(words, strings.Fields(line)...)
	}
	flush()
	writeDocument(a.page(&out), d)
	return out.String()
}

// usage is what --help shows under a command's long text.
const usage = `usage: {{.UseLine}}
{{- if .HasExample}}

examples:
{{.Example}}{{end}}
{{- if .HasAvailableSubCommands}}

commands:
{{- range .Commands}}{{if .IsAvailableCommand}}
  {{rpad .Name .NamePadding}} {{.Short}}{{end}}{{end}}{{end}}
{{- if .HasAvailableLocalFlags}}

flags:
{{.LocalFlags.FlagUsagesWrapped 80 | trimTrailingWhitespaces}}{{end}}
`

// newHelpCmd replaces cobra's own, which takes an unknown command for no error.
func newHelpCmd(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Show what a command does",
		Long:  "Show what a command does and the flags it takes.",
		Args:  atMost(1, "command"),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return root.Help()
			}
			for _, c := range root.Commands() {
				if c.Name() == args[0] {
					c.InitDefaultHelpFlag()
					return c.Help()
				}
			}
			return unknownCommand(root, args[0])
		},
	}
}

func unknownCommand(root *cobra.Command, word string) error {
	var names []string
	for _, c := range root.Commands() {
		if !c.Hidden {
			names = append(names, c.Name())
		}
	}
	return tell.Errorf(strict.Suggest(word, names, "the commands are"), "the command %s is not known", measure.Quote(word))
}

// flagNames finds the names of flags in their usage.
var flagNames = regexp.MustCompile(`(?m)^\s+(?:-\w, )?--([\w-]+)`)

// flagError says what is wrong with a flag, with the nearest known one.
func flagError(cmd *cobra.Command, err error) error {
	var bad *pflag.InvalidValueError
	if errors.As(err, &bad) {
		name, value := bad.GetFlag().Name, measure.Quote(bad.GetValue())
		if bad.GetFlag().Value.Type() == "bool" {
			return tell.Errorf("--"+name+" alone", "--%s takes no value such as %s", name, value)
		}
		return tell.Errorf("write it like --"+name+" 100", "--%s %s is not a whole number", name, value)
	}
	var unknown *pflag.NotExistError
	if !errors.As(err, &unknown) {
		return tell.Hint(err, cmd.CommandPath()+" --help shows the flags")
	}
	word := unknown.GetSpecifiedName()
	var names []string
	for _, m := range flagNames.FindAllStringSubmatch(cmd.Flags().FlagUsages(), -1) {
		names = append(names, m[1])
	}
	hint := cmd.CommandPath() + " --help shows the flags"
	if near, ok := strict.Nearest(word, names); ok {
		hint = "did you mean --" + near + "?"
	}
	dashes := "--"
	if len(word) == 1 {
		dashes = "-"
	}
	return tell.Errorf(hint, "%s has no flag %s", cmd.Name(), measure.Quote(dashes+word))
}

// atMost lets a command take n words at most; what says what they are.
func atMost(n int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) <= n {
			return nil
		}
		hint := "usage: " + cmd.UseLine()
		if n == 0 {
			return tell.Errorf(hint, "%s takes no word such as %s", cmd.Name(), measure.Quote(args[0]))
		}
		return tell.Errorf(hint, "%s takes one %s, and %s is one too many", cmd.Name(), what, measure.Quote(args[n]))
	}
}

// exactlyOne makes a command take one word; what says what it is.
func exactlyOne(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return tell.Errorf("usage: "+cmd.UseLine(), "%s needs a %s", cmd.Name(), what)
		}
		return atMost(1, what)(cmd, args)
	}
}

// The lengths that flags take, in mm, where nothing narrower is known: from less than any
// gauge shows to more than any dome's radius. They catch a slip of the unit.
const leastLength, mostLength = 1e-4, 100_000.0

// within is the range of a job's key with bounds of its own, mm.
func within(path string, least, most float64) measure.Range {
	r := job.Keys().Expected(path)
	r.Least, r.Most = least, most
	return r
}

// lengthFlag reads the length given to a flag, of a range in mm.
func lengthFlag(name, text string, r measure.Range) (measure.Length, error) {
	l, err := r.Length(text)
	switch {
	case err != nil:
		return measure.Length{}, tell.Wrap("--"+name, err)
	case !(l.MM > 0):
		return measure.Length{}, tell.Errorf("write it like 460 mm, 6 1/2 in or 25 ft", "--%s must be more than zero, not %s", name, l)
	case !r.Holds(l.MM):
		return measure.Length{}, tell.Errorf(l.Between(r.Least, r.Most), "--%s of %s is out of range", name, l)
	}
	return l, nil
}

// given refuses options with nothing in them: who writes --sheet "" forgot a name, or
// its shell lost one.
func given(cmd *cobra.Command) (err error) {
	cmd.Flags().Visit(func(f *pflag.Flag) {
		if f.Value.Type() == "string" && strings.TrimSpace(f.Value.String()) == "" && err == nil {
			err = tell.Errorf("write a value behind it, or leave it out", "--%s is empty", f.Name)
		}
	})
	return err
}

// reports gives a command the flag that says in which unit its report is told.
func (a *app) reports(cmd *cobra.Command) *cobra.Command {
	cmd.Flags().StringVar(&a.units, "units", "", "tell lengths in `mm` or in, whatever the job is in; JSON stays in mm")
	return cmd
}

// knownUnits refuses a unit in which no report is told.
func (a *app) knownUnits() error {
	switch a.units {
	case "", "mm", "in":
		return nil
	}
	return tell.Errorf("--units mm, or --units in", "reports are told in mm or in inches, not in %s", measure.Quote(a.units))
}

// ruler returns in what a report is told: as the call says, else in its own unit.
func (a *app) ruler(own measure.Ruler) measure.Ruler {
	switch a.units {
	case "mm":
		return measure.Ruler{}
	case "in":
		own.Inches = true
	}
	return own
}

// pseudo matches the versions that the go command makes up from a commit's date.
var pseudo = regexp.MustCompile(`\d{14}-[0-9a-f]{12}`)

// version says which build this is: its tag or its revision, and no date, so
// that the same source says the same.
func version(info *debug.BuildInfo, ok bool) string {
	if !ok {
		return "of unknown build"
	}
	v := info.Main.Version
	if v == "" || v == "(devel)" || pseudo.MatchString(v) {
		v = "development"
	}
	v, _, _ = strings.Cut(v, "+")
	var revision, modified string
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			revision = ", revision " + s.Value[:min(12, len(s.Value))]
		case s.Key == "vcs.modified" && s.Value == "true":
			modified = ", modified"
		}
	}
	return v + revision + modified + ", " + info.GoVersion
}

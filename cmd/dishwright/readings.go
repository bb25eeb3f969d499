package main

import (
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cam/job"
	"dishwright/cmd/internal/dial"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/sheet"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// readingsFlags are what the call of readings says.
type readingsFlags struct {
	of, travel, press, piece, dir string
	force, asJSON                 bool
}

func newReadingsCmd(a *app) *cobra.Command {
	var f readingsFlags
	cmd := &cobra.Command{
		Use:   "readings JOB --travel LEN -o DIR",
		Short: "Write a program that reads a face with a dial gauge",
		Long: `Write a program that sets a dial gauge down on a finished face, on a blank's top or on the
bed, with the spindle off: straight down at one height over each place, a stop to read the
dial, straight up, on. It is proven from its bytes that the gauge is pressed no further
than its travel and never moved sideways while it touches. DIR gets the program, a
table to fill in, a sheet with the places and order.txt; dishwright fit reads the table.

A machine that cut a face and reads it repeats its own errors: the readings tell what
cutting and time added, such as warping, and never the radius.`,
		Example: `  dishwright readings dish.yaml --travel "10 mm" -o read
  dishwright readings dish.yaml --of top --travel "10 mm" -o top`,
		Args: exactlyOne("job"),
		RunE: func(_ *cobra.Command, args []string) error { return a.readings(args[0], f) },
	}
	cmd.Flags().StringVar(&f.travel, "travel", "", "how far the gauge's tip goes up, such as 10 mm")
	cmd.Flags().StringVar(&f.press, "press", "", "how far it is pressed at the lowest place; as much stays at the highest (default 1 mm, or 0.04 in)")
	cmd.Flags().StringVar(&f.of, "of", dial.Whats()[0], "what is read: the `WHAT` face, the blank's top, or the bed where it will lie")
	cmd.Flags().StringVar(&f.piece, "piece", "", "which of a pair: the `PIECE` dish or caul")
	cmd.Flags().StringVarP(&f.dir, "output", "o", "", "folder for the program, the table and the sheet")
	cmd.Flags().BoolVar(&f.force, "force", false, "replace an earlier set in DIR")
	cmd.Flags().BoolVar(&f.asJSON, "json", false, "write JSON")
	return a.settable(cmd)
}

// asked reads the flags.
func (f readingsFlags) asked() (q dial.Asked, err error) {
	if f.travel == "" {
		return q, tell.Errorf(`--travel "10 mm", as its maker states it`, "readings needs the gauge's travel")
	}
	if q.Of = f.of; !slices.Contains(dial.Whats(), q.Of) {
		return q, tell.Errorf(strict.Suggest(f.of, dial.Whats(), "what is read is "), "--of %s is nothing that is read", measure.Quote(f.of))
	}
	if q.Travel, err = lengthFlag("travel", f.travel, measure.Range{Least: dial.LeastTravel, Most: dial.MostTravel, From: 3, To: 30}); err != nil {
		return q, err
	}
	if f.press != "" {
		q.Press, err = lengthFlag("press", f.press, measure.Range{Least: dial.LeastPress, Most: dial.MostPress, From: 0.5, To: 2})
	}
	return q, err
}

// readings makes a set of readings.
func (a *app) readings(name string, f readingsFlags) error {
	q, err := f.asked()
	if err != nil {
		return err
	}
	if f.dir == "" {
		return tell.Errorf("name a folder that is not there yet: -o read", "readings needs a folder to write to")
	}
	j, err := a.loadJob(name)
	if err != nil {
		return err
	}
	j, ok := dial.Piece(j, f.piece)
	if !ok {
		return tell.Errorf("--piece dish or --piece caul of a pair, and nothing of another job", "the job has no piece %s", measure.Quote(f.piece))
	}
	if f.press == "" {
		q.Press = dial.UsualPress(j.Ruler)
	}
	return a.readingsSet(j, q, f, a.fitCall(filepath.Join(f.dir, dial.CSVName), name))
}

// fitCall is the call that reads a filled table of a job, which ends in the job as it was given.
func (a *app) fitCall(table, name string) string {
	list := []string{"dishwright fit", word(table)}
	if a.shop != "" {
		list = append(list, "--shop", word(a.shop))
	}
	for _, s := range a.sets {
		list = append(list, "--set", word(s))
	}
	return strings.Join(append(list, "--job", word(name)), " ")
}

// plainWord needs no quotes in a shell.
var plainWord = regexp.MustCompile(`^[\pL\pN_./\\:=+,@%-]+$`)

// word is a word as a call has it.
func word(text string) string {
	if plainWord.MatchString(text) {
		return text
	}
	return `"` + text + `"`
}

// readingsSet writes the set of a job; call reads its table.
func (a *app) readingsSet(j job.Job, q dial.Asked, f readingsFlags, call string) error {
	set, err := outset.Open(f.dir, f.force)
	if err != nil {
		return err
	}
	defer set.Abandon()
	s, err := dial.Make(j, q)
	if err != nil {
		return err
	}
	if len(s.Report.Broken) > 0 {
		return tell.Defect(brokenBounds(measure.Texts(s.Report.Broken, j.Ruler)))
	}
	for _, one := range []struct {
		name string
		text []byte
	}{{s.Name, s.Text}, {dial.CSVName, s.CSV()}, {orderName, s.OrderText(call)}, {sheetName, sheet.OfReadings(s, call)}} {
		if err := set.Write(one.name, one.text); err != nil {
			return err
		}
	}
	s.Report.Sheet, s.Report.OrderFile, s.Report.Table = sheetName, orderName, dial.CSVName
	if f.asJSON {
		if err := a.json(s.Report); err != nil {
			return err
		}
		return a.commit(set)
	}
	writeDocument(a.report(), s.Answer())
	if err := a.commit(set); err != nil {
		return err
	}
	writeDocument(a.report(), document.Document{document.Heading("written to " + f.dir),
		document.Paragraph{Lead: "  " + s.Name + "  ", Text: "the program"},
		document.Paragraph{Lead: "  " + dial.CSVName + "  ", Text: "the table to fill in; then " + call},
		document.Paragraph{Lead: "  " + orderName + "  ", Text: "what is done before the program"},
		document.Paragraph{Lead: "  " + sheetName + "  ", Text: "the places and a table for the figures: read it first"},
		document.Space{}, document.Paragraph{Text: dial.Caution}})
	return nil
}

package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/machines"
)

func newMachinesNewCmd(a *app) *cobra.Command {
	var file, dial string
	cmd := &cobra.Command{
		Use:   "new",
		Short: "Write a profile of your own machine from four answers",
		Long: `Write a profile of your own machine: its name, how far and how fast its axes move, and
its spindle. What no flag says is asked for, on the terminal or from a pipe, an answer a
line. Everything else is taken as is usual: it stands in the file, with its reason, to be
changed. A file that exists is never overwritten.

Lengths and feeds have their unit; the last one counts for those before it that have
none. In inches the programs are in inches.`,
		Example: `  dishwright machines new -o my-router.yaml
  dishwright machines new -o my-router.yaml --travel "25, 25, 3 in" \
    --feed "120, 120, 40 in/min" --dial "1: 10000, 2: 14000"
  dishwright machines new --name shop --travel "600, 600, 90 mm" \
    --feed "3000 mm/min" --spindle 8000-24000`,
		Args: atMost(0, ""),
	}
	texts := make([]string, len(profileQuestions))
	for i, q := range profileQuestions {
		cmd.Flags().StringVar(&texts[i], q.flag, "", q.usage)
	}
	cmd.Flags().StringVar(&dial, "dial", "", "of a hand router in place of --spindle: its `SETTINGS`, such as \"1: 10000, 2: 14000\"")
	cmd.Flags().StringVarP(&file, "output", "o", "", "the new `FILE` to write; - for stdout")
	cmd.RunE = func(cmd *cobra.Command, _ []string) error {
		if cmd.Flags().Changed("output") && file != "-" {
			if err := outset.Vacant(false, outset.File{Name: file}); err != nil {
				return err
			}
			if texts[0] == "" {
				texts[0] = strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
			}
		}
		if dial != "" {
			if texts[spindleQuestion] != "" {
				return tell.Errorf("--spindle is for one that programs drive, --dial for a router set by hand", "--spindle and --dial are one too many")
			}
			texts[spindleQuestion] = dial
		}
		m, err := a.describe(texts, dial != "")
		if err != nil {
			return err
		}
		if err := a.writeProfile(cmd, file, m.Start(), "the profile of "+m.Name); err != nil || !cmd.Flags().Changed("output") || file == "-" {
			return err
		}
		a.note("try it next: dishwright machines trial %s", file)
		return nil
	}
	return cmd
}

// question is one thing that a profile needs.
type question struct {
	flag, usage, ask, like string
	line                   func(answer string) (string, error) // what stands in the profile for it
	standIn                string                              // an answer that is right, until there is one
}

// profileQuestions are what has to be known of a machine, a line of its profile each.
var profileQuestions = []question{
	{"name", "its `NAME`; without one that of the file", "What is the machine called?", "my-router",
		func(answer string) (string, error) { return "name: " + strconv.Quote(answer), nil }, "my-router"},
	{"travel", "how far X, Y and Z move, such as `\"600, 600, 90 mm\"`", "How far do X, Y and Z move?", "600, 600, 90 mm or 25 in x 25 in x 3 in",
		func(answer string) (string, error) { return axesLine("travel", answer, 3) }, "600 mm, 600 mm, 90 mm"},
	{"feed", "their highest `FEED` while cutting; one alone is that of X and Y", "How fast may X, Y and Z cut at most?", "3000, 3000, 1000 mm/min or 120, 120, 40 in/min",
		func(answer string) (string, error) { return axesLine("feed", answer, 1, 3) }, "3000 mm/min"},
	{"spindle", "its slowest and fastest `SPEEDS`, such as 8000-24000", "How slowly and how fast does the spindle turn, or what stands on the router's dial?", "8000-24000, or 1: 10000, 2: 14000, 3: 18000",
		spindleLine, "8000-24000"},
}

const spindleQuestion = 3

// mostTries is how often a question is asked: who pipes answers in may have no others.
const mostTries = 5

// describe makes a machine of the answers; those that are empty are asked for. hand says
// that the spindle's is that of --dial.
func (a *app) describe(answers []string, hand bool) (machines.Machine, error) {
	var lines []string
	var faults strict.Faults
	for i, q := range profileQuestions {
		answer := answers[i]
		if answer == "" {
			answer = q.standIn
		}
		line, err := q.take(lines, answer)
		if err != nil {
			flag := "--" + q.flag
			if hand && i == spindleQuestion {
				flag = "--dial"
			}
			faults = append(faults, at(flag, err)...)
			line, _ = q.line(q.standIn)
		}
		lines = append(lines, line)
	}
	if len(faults) > 0 {
		return machines.Machine{}, faults
	}
	if err := a.ask(answers, lines); err != nil {
		return machines.Machine{}, err
	}
	return machines.Parse("the profile", []byte(strings.Join(lines, "\n")+"\n"))
}

// ask asks for the answers that are empty and puts their lines in place.
func (a *app) ask(answers, lines []string) error {
	in := io.Reader(strings.NewReader(""))
	if a.in != nil {
		in = a.in
	}
	scanner := bufio.NewScanner(in)
	for i, q := range profileQuestions {
		for try := 1; answers[i] == ""; try++ {
			fmt.Fprintf(a.err, "%s Such as %s\n", q.ask, q.like)
			if !scanner.Scan() {
				return notTold(answers, scanner.Err())
			}
			line, err := q.take(lines[:i], strings.TrimSpace(scanner.Text()))
			if err == nil {
				answers[i], lines[i] = scanner.Text(), line
				break
			}
			if err = at(q.flag, err); try == mostTries {
				return err
			}
			tell.Print(a.err, err)
		}
	}
	return nil
}

// imperial matches an answer in inches or feet.
var imperial = regexp.MustCompile(`\d ?(?:in|ipm|ft|"|')(?:\W|$)`)

// notTold is the error of answers that do not come.
func notTold(answers []string, err error) error {
	if err != nil {
		return tell.Errorf("answer in one short line", "the answers cannot be read: %w", err)
	}
	var flags, written []string
	u := measure.Ruler{Inches: slices.ContainsFunc(answers, imperial.MatchString)}
	for i, q := range profileQuestions {
		if answers[i] == "" {
			flags, written = append(flags, "--"+q.flag), append(written, "--"+q.flag+" "+strconv.Quote(u.Like(q.standIn)))
		}
	}
	return tell.Errorf("answer what is asked, or write "+strings.Join(written, " "), "machines new is not told %s", strings.Join(flags, ", "))
}

// take makes the line of an answer, below those that are known; the error says what is
// wrong with it.
func (q question) take(above []string, answer string) (string, error) {
	line, err := q.line(answer)
	if err != nil {
		return "", err
	}
	text := append(append([]string{}, above...), line)
	for _, later := range profileQuestions[len(text):] {
		l, _ := later.line(later.standIn)
		text = append(text, l)
	}
	_, err = machines.Parse("", []byte(strings.Join(text, "\n")+"\n"))
	return line, err
}

// at puts the name of what was asked in place of a file and a line.
func at(name string, err error) strict.Faults {
	var faults strict.Faults
	if !errors.As(err, &faults) {
		message, hint := err.Error(), ""
		var e *measure.Error
		if errors.As(err, &e) {
			message, hint = e.Message, e.Hint
		}
		return strict.Faults{{File: name, Message: message, Hint: hint}}
	}
	for i := range faults {
		faults[i] = strict.Fault{File: name, Message: faults[i].Message, Hint: faults[i].Hint}
	}
	return faults
}

// between parts the values of the axes.
var between = regexp.MustCompile(`\s*[,;xX×]\s*`)

// axesLine is the line of a key with one value for all axes, or one for each: a value
// without a unit has that of the last.
func axesLine(key, answer string, counts ...int) (string, error) {
	parts := between.Split(strings.TrimSpace(answer), -1)
	last := parts[len(parts)-1]
	unit := strings.TrimLeft(last, "0123456789./ ")
	for i, p := range parts {
		if strings.Trim(p, "0123456789./ ") == "" && p != "" && unit != "" {
			parts[i] = p + " " + unit
		}
	}
	for _, n := range counts {
		switch {
		case n != len(parts):
		case n == 1:
			return key + ": " + strconv.Quote(parts[0]), nil
		default:
			return fmt.Sprintf("%s: {x: %q, y: %q, z: %q}", key, parts[0], parts[1], parts[2]), nil
		}
	}
	hint := map[string]string{"travel": "write X, Y and Z, like 600, 600, 90 mm or 25 in x 25 in x 3 in", "feed": "write X, Y and Z, like 3000, 3000, 1000 mm/min, or one that X and Y have, like 120 in/min"}[key]
	return "", &measure.Error{Message: fmt.Sprintf("%s holds %s", measure.Quote(answer), measure.Count(len(parts), "value")), Hint: hint}
}

// range of speeds, such as 8000-24000 or 8000 to 24000
var speedRange = regexp.MustCompile(`\s*(?:-|–|,|\bto\b)\s*`)

// spindleLine is the line of the spindle: its speeds, or a dial's settings with theirs.
func spindleLine(answer string) (string, error) {
	if strings.ContainsAny(answer, ":=") {
		return dialLine(answer)
	}
	parts := speedRange.Split(strings.TrimSpace(answer), -1)
	if len(parts) != 2 {
		return "", &measure.Error{Message: measure.Quote(answer) + " is no slowest and fastest speed", Hint: "write 8000-24000, or a dial's settings like 1: 10000, 2: 14000"}
	}
	for _, p := range parts {
		if _, err := measure.ParseNumber(p); err != nil {
			return "", err
		}
	}
	return "spindle: {slowest: " + parts[0] + ", fastest: " + parts[1] + "}", nil
}

func dialLine(answer string) (string, error) {
	var settings []string
	for _, one := range strings.Split(answer, ",") {
		mark, speed, ok := strings.Cut(strings.ReplaceAll(one, "=", ":"), ":")
		mark, speed = strings.TrimSpace(mark), strings.TrimSpace(speed)
		if !ok || mark == "" {
			return "", &measure.Error{Message: measure.Quote(strings.TrimSpace(one)) + " is no setting of a dial with its speed", Hint: "write a dial's settings like 1: 10000, 2: 14000"}
		}
		if _, err := measure.ParseNumber(speed); err != nil {
			return "", err
		}
		settings = append(settings, strconv.Quote(mark)+": "+speed)
	}
	return "spindle: {hand router: {" + strings.Join(settings, ", ") + "}}", nil
}

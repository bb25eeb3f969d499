package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/draft"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/machines"
)

// scrapJobName is the file of a set that holds the job of a scrap that was made without one.
const scrapJobName = "scrap.yaml"

func newScrapCmd(a *app) *cobra.Command {
	var dir string
	var force, asJSON bool
	var f triedFlags
	cmd := &cobra.Command{
		Use:   "scrap [JOB] -o DIR",
		Short: "Write a scrap cut whose marks tell what the machine is off by",
		Long: `Write a program of a few minutes that cuts marks into a scrap: a square ring whose
sides are come to from both sides, blocks whose floors rise ever so little past one
another, and a stair. A calliper and a rule on them tell the spindle's tilt, the
cutter's true diameter, the play of X and Y and the steps of Z, as far as wood lets
them. The set has the program, its air lap, order.txt, a sheet that shows where to
measure, and readings.csv to fill in; dishwright fit --scrap readings.csv reads it.

JOB is a file or the name of a sample: its machine, its wood and the cutter that
finishes it are tried, or --cutter NAME of its shelf. Without a job name a machine and
a cutter: --machine, --cutter and --diameter. dishwright manual scrap tells more.`,
		Example: `  dishwright scrap dish.yaml -o scrap
  dishwright scrap --machine bench-600 --cutter flat --diameter "1 in" -o scrap`,
		Args: atMost(1, "job"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if dir == "" {
				return tell.Errorf("name a folder that is not there yet: -o scrap", "scrap needs a folder to write to")
			}
			j, text, err := a.scrapOf(cmd.Flags(), f, args, dir)
			if err != nil {
				return err
			}
			var added []shop.File
			if text != nil {
				added = append(added, shop.File{Name: scrapJobName, For: "the job of that machine and cutter, for prove and fit", Data: text})
			}
			r, err := makeSet(cmd, j, dir, force, a, func(r *shop.Result) error {
				if asJSON {
					return a.json(r.Report)
				}
				writeDocument(a.report(), scrapParts(r))
				return nil
			}, added...)
			if err != nil || asJSON {
				return err
			}
			fit := document.Document{document.Heading("when its marks are measured"), document.Paragraph{Lead: "  " + a.fitOf(args, dir)}}
			writeDocument(a.report(), append(fit, madeParts(r, dir)...))
			return nil
		},
	}
	f.add(cmd.Flags())
	cmd.Flags().StringVarP(&dir, "output", "o", "", "folder for the programs")
	cmd.Flags().BoolVar(&force, "force", false, "replace an earlier set in DIR")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	return a.settable(cmd)
}

// triedFlags say what a scrap is made for: the cutter of a job, or without a job all of it.
type triedFlags struct{ cutter, machine, diameter, corner string }

func (f *triedFlags) add(flags *pflag.FlagSet) {
	flags.StringVar(&f.cutter, "cutter", "", "the cutter of the job's shelf by its `NAME`; without a job its shape: flat, ball or bull")
	flags.StringVar(&f.machine, "machine", "", "without a job: a built-in machine, or the `FILE` of your own profile")
	flags.StringVar(&f.diameter, "diameter", "", "without a job: the cutter's diameter, a `LENGTH` such as 1 in")
	flags.StringVar(&f.corner, "corner", "", "without a job: a bull's corner radius, a `LENGTH`")
}

// scrapOf returns the job of a scrap that a call asks for: of a job, or of a machine and a
// cutter; then the text of a job that has both comes back too, as it stands in the folder.
func (a *app) scrapOf(flags *pflag.FlagSet, f triedFlags, args []string, dir string) (s job.Job, text []byte, err error) {
	if len(args) == 0 {
		if len(a.sets) > 0 || a.shop != "" {
			return s, nil, tell.Errorf("leave them out, or name a job", "--set and --shop change a job, and none is named")
		}
		if text, err = f.job(filepath.Join(dir, scrapJobName)); err != nil {
			return s, nil, err
		}
		j, err := job.Load(filepath.Join(dir, scrapJobName), text)
		if err != nil {
			return s, nil, err
		}
		j.Ruler = a.ruler(j.Ruler)
		s, err = j.Scrap(j.Work.Finish)
		return s, text, err
	}
	for _, name := range [...]string{"machine", "diameter", "corner"} {
		if flags.Changed(name) {
			return s, nil, tell.Errorf("leave --"+name+" out, or leave the job out", "a job says its machine and its cutters: --%s is for a scrap without one", name)
		}
	}
	j, err := a.loadJob(args[0])
	if err != nil {
		return s, nil, err
	}
	name := f.cutter
	if name == "" {
		if name, err = shop.FinishCutter(j); err != nil {
			return s, nil, err
		}
	}
	s, err = j.Scrap(name)
	return s, nil, err
}

// fitOf is the command that reads the scrap's table, with the job as this call has it.
func (a *app) fitOf(args []string, dir string) string {
	list := []string{"dishwright fit --scrap", typed(filepath.Join(dir, shop.ScrapReadings)), "--job"}
	if len(args) == 0 {
		return strings.Join(append(list, typed(filepath.Join(dir, scrapJobName))), " ")
	}
	list = append(list, typed(args[0]))
	for _, set := range a.sets {
		list = append(list, "--set", typed(set))
	}
	if a.shop != "" {
		list = append(list, "--shop", typed(a.shop))
	}
	return strings.Join(list, " ")
}

// oneWord are texts that a shell takes for one word as they stand.
var oneWord = regexp.MustCompile(`^[\pL\pN_./:=,+@-]+$`)

// typed is a word as it is typed to a shell.
func typed(word string) string {
	switch {
	case oneWord.MatchString(word):
		return word
	case !strings.ContainsAny(word, "\"$`\\!"):
		return `"` + word + `"`
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// job writes the job of a machine and a cutter, as it stands in a file.
func (f triedFlags) job(file string) ([]byte, error) {
	const such = `such as --machine bench-600 --cutter flat --diameter "1 in", or a job`
	for _, one := range [...][2]string{{"machine", f.machine}, {"cutter", f.cutter}, {"diameter", f.diameter}} {
		if one[1] == "" {
			return nil, tell.Errorf(such, "a scrap without a job needs --%s", one[0])
		}
	}
	shapes := []path.Shape{path.Flat, path.Ball, path.Bull}
	which := slices.IndexFunc(shapes, func(s path.Shape) bool { return s.String() == f.cutter })
	if which < 0 {
		return nil, tell.Errorf("flat, ball or bull; the names of a shelf are those of a job", "the shape %s is not known", measure.Quote(f.cutter))
	}
	m, err := machines.Resolve(f.machine, "")
	if err != nil {
		return nil, err
	}
	d, err := lengthFlag("diameter", f.diameter, job.Keys().Expected("shelf/*/diameter"))
	if err != nil {
		return nil, err
	}
	inches := d.Unit.Imperial()
	c := work.UsualCutter(m, shapes[which], d.MM, inches)
	switch bull := shapes[which] == path.Bull; {
	case f.corner != "" && !bull:
		return nil, tell.Errorf("leave --corner out, or --cutter bull", "a bull has a corner, a flat and a ball have none")
	case f.corner == "" && bull:
		return nil, tell.Errorf("its corner's radius, such as --corner "+strconv.Quote(measure.Ruler{Inches: inches}.Written(c.Corner)), "a bull has a corner, a flat and a ball have none")
	case bull:
		k, err := lengthFlag("corner", f.corner, job.Keys().Expected("shelf/*/corner"))
		if err != nil {
			return nil, err
		}
		c.Corner = k.MM
	}
	where, err := besideFile(f.machine, file)
	if err != nil {
		return nil, err
	}
	if _, ok := machines.Builtin(f.machine); ok {
		where = f.machine
	}
	return scrapText(where, f, c, inches), nil
}

// scrapText is the job of a machine and a cutter. Its face is never cut.
func scrapText(machine string, f triedFlags, c path.Cutter, inches bool) []byte {
	u := measure.Ruler{Inches: inches}
	name := f.diameter + " " + f.cutter
	corner := ""
	if c.Shape == path.Bull {
		corner = ", corner: " + f.corner
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "# What a scrap cut is made for: a machine and a cutter. Its face is never cut; speed, chip load\n# and depth of cut are usual ones: hold them against your cutter's own.\n")
	fmt.Fprintf(&b, "name: %s\nform: dish\nradius: %s\ndiameter: %s\nmachine: %s\n", draft.Quoted(name), map[bool]string{false: "8 m", true: "25 ft"}[inches], u.Written(254), draft.Quoted(machine))
	fmt.Fprintf(&b, "shelf:\n  %s: {shape: %s, diameter: %s%s, flutes: %d, flute length: %s, speed: %.0f, chip load: %s, depth of cut: %s}\n", draft.Quoted(name), f.cutter, f.diameter, corner, c.Flutes,
		u.Written(c.FluteLength), c.Speed, u.Written(c.ChipLoad), u.Written(c.DepthOfCut))
	fmt.Fprintf(&b, "finish: %s\n", draft.Quoted(name))
	return b.Bytes()
}

// scrapParts tell what the scrap can be cut in, and what it cannot show.
func scrapParts(r *shop.Result) (d document.Document) {
	d = append(r.Verdict(), document.Space{})
	var list document.Facts
	list = append(list, document.Fact{Label: "scrap", Text: r.ScrapSize()})
	for _, m := range r.Job.Marks.Missing {
		list = append(list, document.Fact{Label: "does not show", Text: m.What + ": " + m.Why})
	}
	return append(d, list)
}

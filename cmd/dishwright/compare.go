package main

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"dishwright/cam/choose"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

func newCompareCmd(a *app) *cobra.Command {
	var asJSON, full bool
	cmd := &cobra.Command{
		Use:   "compare JOB",
		Short: "Rank every cutter and pattern at the job's scallop",
		Long: `Plan a job with every cutter of its shelf in every pattern, each roughed ahead in
the quickest way, certify what they leave, and rank them by time: how much longer
each takes than the quickest, its path, deepest bite and chip load; with --full also
how each goes and what rules the others out. A finish or a pattern that the job names does not narrow the list:
what the job takes is marked. Nothing is written. JOB is a file or the name of a
sample.`,
		Example: `  dishwright compare octave-mandolin
  dishwright compare dish.yaml --full`,
		Args: exactlyOne("job"),
		RunE: func(cmd *cobra.Command, args []string) error {
			j, err := a.loadJob(args[0])
			if err != nil {
				return err
			}
			tell.Step(cmd.Context(), 0, "planning and certifying every cutter and pattern")
			c, err := shop.Compare(j)
			if err != nil {
				return err
			}
			if asJSON {
				return tell.JSON(a.out, c)
			}
			writeComparison(a.report(), c, j.Ruler, full)
			return nil
		},
	}
	cmd.Flags().BoolVar(&full, "full", false, "tell how each way goes and what rules the others out")
	cmd.Flags().BoolVar(&asJSON, "json", false, "write JSON")
	return a.settable(cmd)
}

// mostRanked is how many ways are ranked for a person who did not ask for all.
const mostRanked = 12

// writeComparison writes the ranking for a person: the answer, then the figures.
func writeComparison(w page, c shop.Comparison, u measure.Ruler, full bool) {
	ranked := slices.IndexFunc(c.Ways, func(r shop.Compared) bool { return !r.RuledOut.Empty() })
	if ranked < 0 {
		ranked = len(c.Ways)
	}
	writeWrapped(w, "", quickest(c, u, ranked))
	fmt.Fprintln(w)
	shown := ranked
	if !full {
		shown = min(ranked, mostRanked)
	}
	figures := func(minutes, longer, path, certified, bite, chip string) string {
		return fmt.Sprintf("%7s%7s%7s%10s%6s%7s", minutes, longer, path, certified, bite, chip)
	}
	const label = 35 // columns for rank, cutter and pattern
	pad := func(s string) string { return s + strings.Repeat(" ", max(0, label-utf8.RuneCountInString(s))) }
	fmt.Fprintln(w, pad("")+figures("time", "longer", "path", "certified", "bite", "chip"))
	fmt.Fprintln(w, pad("     finish with")+figures("min", "min", u.FarUnit(), u.Unit(), u.Unit(), u.Unit()))
	chosen := false
	for i, r := range c.Ways[:ranked] {
		if i >= shown && !r.Chosen {
			continue
		}
		mark := " "
		if r.Chosen {
			mark, chosen = ">", true
		}
		name := fmt.Sprintf("%s%3d. %s, %s", mark, r.Rank, r.Finish, r.Pattern)
		if utf8.RuneCountInString(name) > label {
			fmt.Fprintln(w, name)
			name = ""
		}
		certified := "-"
		if r.CertifiedMM != nil {
			certified = u.Fixed(*r.CertifiedMM, 4)
		}
		longer := ""
		if r.Rank > 1 {
			longer = "+" + measure.FormatFixed((r.TimeS-c.Ways[0].TimeS)/60, 1)
		}
		fmt.Fprintln(w, pad(name)+figures(measure.FormatFixed(r.TimeS/60, 1), longer, u.Far(r.PathMM),
			certified, u.Fixed(r.BiteMM, 2), u.Fixed(r.ChipLoadMM, 3)))
	}
	fmt.Fprintln(w)
	if chosen {
		writeWrapped(w, "> ", "what the job takes as it stands")
	} else {
		writeWrapped(w, "", "The job as it stands cannot be planned: check says why.")
	}
	writeWrapped(w, "  ", fmt.Sprintf("time and path of roughing and finishing alone, without the air lap, extras and the spindle's start, with %s min for each change of cutter; certified: the highest scallop that finishing alone leaves, %s; bite: the deepest; chip: the chip load a tooth in finishing", num(choose.ChangeOver/60, 1), c.Condition.In(u)))
	if full {
		writeWays(w, c, u)
		return
	}
	fmt.Fprintln(w)
	writeWrapped(w, "", fmt.Sprintf("--full tells how each goes, and what rules out %s", measure.Count(len(c.Ways)-ranked, "way")))
}

// quickest says which of the ranked ways is, and by how much.
func quickest(c shop.Comparison, u measure.Ruler, ranked int) string {
	first := c.Ways[0]
	s := fmt.Sprintf("%s: %s in %s is the quickest of %d ways to keep a scallop of %s on %s, %s min", c.Job, first.Finish, first.Pattern, ranked, u.Length(c.ScallopMM, 4), c.Machine, measure.FormatFixed(first.TimeS/60, 1))
	if ranked > 1 {
		next := c.Ways[1]
		s += fmt.Sprintf("; %s in %s takes %s min longer", next.Finish, next.Pattern, measure.FormatFixed((next.TimeS-first.TimeS)/60, 1))
	}
	return s
}

// writeWays writes how each way goes, and what rules out the others.
func writeWays(w page, c shop.Comparison, u measure.Ruler) {
	fmt.Fprintln(w, "\nhow they go")
	for _, r := range c.Ways {
		if !r.RuledOut.Empty() {
			continue
		}
		lead := fmt.Sprintf("%4d. ", r.Rank)
		writeWrapped(w, lead, r.Way)
		in := strings.Repeat(" ", len(lead))
		writeWrapped(w, in, r.Name.In(u))
		writeWrapped(w, in, fmt.Sprintf("finishing %s in %s min, at up to %s", u.Path(r.FinishingPathMM), measure.FormatFixed(r.FinishingTimeS/60, 1), u.Feed(r.FeedMMMin)))
		if r.Note != "" {
			writeWrapped(w, in, r.Note)
		}
	}
	// What is true of a cutter in every pattern is said once.
	var lines []string
	for i := 0; i < len(c.Ways); {
		r := c.Ways[i]
		next := i + 1
		for next < len(c.Ways) && c.Ways[next].Finish == r.Finish && c.Ways[next].RuledOut.String() == r.RuledOut.String() {
			next++
		}
		if !r.RuledOut.Empty() {
			patterns := make([]string, 0, next-i)
			for _, one := range c.Ways[i:next] {
				patterns = append(patterns, one.Pattern)
			}
			lines = append(lines, fmt.Sprintf("%s, %s: %s", r.Finish, strings.Join(patterns, ", "), r.RuledOut.In(u)))
		}
		i = next
	}
	if len(lines) > 0 {
		fmt.Fprintln(w, "\nruled out")
	}
	for _, l := range lines {
		writeWrapped(w, "  ", l)
	}
}

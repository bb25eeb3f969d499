package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// textWidth is how wide running text is written: it fits any terminal.
const textWidth = 78

// num writes a number with at most the given decimals.
func num(v float64, decimals int) string { return measure.FormatShort(v, decimals) }

// ruler writes lengths for the builder: in mm, and beside them in inches where
// the job is in inches or feet.
type ruler struct{ inches bool }

// len writes a length with at most so many decimals of a millimetre.
func (u ruler) len(mm float64, decimals int) string {
	s := num(mm, decimals) + " mm"
	if u.inches {
		s += " (" + num(mm/25.4, decimals+1) + " in)"
	}
	return s
}

// depth writes a depth to be measured: in inches also as the nearest mark of a rule.
func (u ruler) depth(mm float64) string {
	s := u.len(mm, 3)
	if !u.inches {
		return s
	}
	mark, over := measure.Fraction(mm, 64)
	s += ", " + mark
	switch off := num(math.Abs(over), 3); {
	case off == "0":
	case over > 0:
		s += " less " + off + " mm"
	default:
		s += " and " + off + " mm"
	}
	return s
}

// place writes a place on the blank's top.
func (u ruler) place(x, y float64) string {
	s := fmt.Sprintf("X%s Y%s mm", num(x, 1), num(y, 1))
	if u.inches {
		s += fmt.Sprintf(" (X%s Y%s in)", num(x/25.4, 2), num(y/25.4, 2))
	}
	return s
}

// writeReport writes what is known of a job's programs, for a person.
func writeReport(w io.Writer, r *shop.Result) {
	p := r.Report
	title := fmt.Sprintf("%s: %s, for %s", p.Name, r.Form().Heading(), p.Machine)
	writeWrapped(w, "", title)
	fmt.Fprintln(w)
	writeFacts(w, r)
	fmt.Fprintln(w, "\nprograms")
	for i, pr := range p.Programs[:len(r.Texts)] { // of a pair the caul's follow with it
		writeProgram(w, r.First()+i+1, pr, ruler{r.Job.Inches})
	}
	writeOrder(w, p.Order[:len(r.Texts)])
	writeSteps(w, p)
	if p.Chosen != "" {
		writeWrapped(w, "\nchosen: ", p.Chosen)
	}
	writeShop(w, p.Shop, p.Values)
	writeDefaults(w, p.Defaults)
	if len(p.Warnings) > 0 {
		fmt.Fprintln(w, "\nworth knowing")
		for i, one := range p.Warnings {
			writeWrapped(w, fmt.Sprintf("  %d. ", i+1), one.Message)
			if one.Hint != "" {
				writeWrapped(w, "     hint: ", one.Hint)
			}
		}
	}
	if r.Mate != nil {
		fmt.Fprint(w, "\nand its caul\n\n")
		writeReport(w, r.Mate)
	}
	writeList(w, "broken", p.Broken)
}

// writeDefaults writes what was taken for keys that are left out, and why.
func writeDefaults(w io.Writer, list []job.Default) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintln(w, "\ndefaults used")
	for _, d := range list {
		writeWrapped(w, "  "+d.Key+": ", fmt.Sprintf("%s (%s)", d.Value, d.Why))
	}
}

// writeShop writes what came from the shop file; nothing where none was read.
func writeShop(w io.Writer, file string, values []job.Value) {
	if file == "" {
		return
	}
	list := job.OfShop(values)
	if len(list) == 0 {
		list = []string{"nothing: the job says all of it, or has no use for it"}
	}
	fmt.Fprintln(w, "\nfrom the shop file "+file)
	for _, one := range list {
		writeWrapped(w, "  ", one)
	}
}

// mostListed is how many things of one kind are listed for a person: more are not read.
const mostListed = 20

// writeList writes the first of a list under a heading, and how many more there are;
// nothing of an empty one.
func writeList(w io.Writer, head string, list []string) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintln(w, "\n"+head)
	for _, one := range list[:min(mostListed, len(list))] {
		writeWrapped(w, "  ", one)
	}
	if more := len(list) - mostListed; more > 0 {
		fmt.Fprintf(w, "  and %d more: --json lists all of them\n", more)
	}
}

// writeFacts writes the figures of the whole.
func writeFacts(w io.Writer, r *shop.Result) {
	p, work, u := r.Report, &r.Plan.Work, ruler{r.Job.Inches}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	if work.HasFace() {
		fmt.Fprintf(t, "  depth\t%s\n", u.depth(p.SagittaMM))
		fmt.Fprintf(t, "  wood under it\t%s; the floor asked for is %s\n", u.len(p.FloorLeftMM, 2), u.len(work.Floor, 2))
	}
	if c := p.Covering; c != nil {
		fmt.Fprintf(t, "  covering\t%d %s with gaps of %s mm; a flat sheet is\n", c.Count, c.Pieces, num(c.GapMM, 2))
		fmt.Fprintf(t, "  \t%s mm too long round the rim: each piece is %s mm\n", num(c.ExcessMM, 2), num(c.NarrowMM, 3))
		fmt.Fprintf(t, "  \tnarrower there\n")
	}
	if p.SpansMM > 0 {
		fmt.Fprintf(t, "  by hand\tspans sides %s apart with its swing;\n", u.len(p.SpansMM, 0))
		fmt.Fprintf(t, "  \tbends %s mm when pressed in the middle\n", num(p.BendsMM, 2))
	}
	if p.OffSphereMM > 0 {
		fmt.Fprintf(t, "  off the sphere\t%s mm across its width, as a cylinder\n", num(p.OffSphereMM, 4))
	}
	if work.Covering > 0 {
		fmt.Fprintf(t, "  wood cut to\t%s, for a covering of %s mm\n", u.len(p.CutRadiusMM, 3), num(work.Covering, 3))
	}
	if p.Touch != nil {
		fmt.Fprintf(t, "  touch Z0 off\ton the blank's top, outside the face\n")
		fmt.Fprintf(t, "  \tsuch as at %s\n", u.place(p.Touch.X, p.Touch.Y))
	} else {
		fmt.Fprintf(t, "  touch Z0 off\ton the bed\n")
	}
	for i, h := range p.HoldPlaces {
		label := ""
		if i == 0 {
			label = "room to hold"
		}
		fmt.Fprintf(t, "  %s\t%s, %s mm all round\n", label, u.place(h.X, h.Y), num(h.Radius, 1))
	}
	if !work.HasFace() {
		fill(t, "edges", p.Certificate)
	} else {
		fill(t, "scallop", fmt.Sprintf("%s asked, highest at X%s Y%s mm,", u.len(p.Scallop.AskedMM, 4), num(p.Scallop.XMM, 1), num(p.Scallop.YMM, 1)))
		fill(t, "", p.Certificate)
	}
	fmt.Fprintf(t, "  gouge\t%s mm\n", num(p.GougeMM, 4))
	fmt.Fprintf(t, "  deepest bite\t%s mm\n", num(p.DeepestBiteMM, 2))
	fmt.Fprintf(t, "  time\t%s, without changes of cutter\n", tell.Clock(p.TimeS))
	t.Flush()
}

// fill writes a figure that takes several lines.
func fill(t io.Writer, label, text string) {
	for _, line := range wrapped(text, textWidth-16) {
		fmt.Fprintf(t, "  %s\t%s\n", label, line)
		label = ""
	}
}

// writeProgram writes one program's figures.
func writeProgram(w io.Writer, n int, p shop.Program, u ruler) {
	writeWrapped(w, fmt.Sprintf("  %d. ", n), fmt.Sprintf("%s with %s, %s %s: %s", p.Purpose, p.Cutter.Name, p.Cutter.Shape, u.len(p.Cutter.DiameterMM, 3), tell.Clock(p.TimeS)))
	writeWrapped(w, "     ", p.Pattern)
	if p.Purpose == string(work.AirLap) {
		writeWrapped(w, "     ", fmt.Sprintf("nothing turns; feed %s mm/min above everything, %s m, %d lines", num(p.FeedMMMin, 0), num(p.CutLengthMM/1000, 1), p.Lines))
		return
	}
	set := fmt.Sprintf("speed %.0f", p.SpeedRPM)
	if p.Dial != "" {
		set = fmt.Sprintf("dial %s (%.0f rpm)", p.Dial, p.SpeedRPM)
	}
	writeWrapped(w, "     ", fmt.Sprintf("%s, feed %s mm/min, chip load %s mm; %s m of cutting, %s m of traverses, %d lines",
		set, num(p.FeedMMMin, 0), num(p.ChipLoadMM, 3), num(p.CutLengthMM/1000, 1), num(p.TraverseLength/1000, 1), p.Lines))
	writeWrapped(w, "     ", fmt.Sprintf("bites %s of %s mm; needs flutes of %s mm and %s mm out of the holder",
		num(p.BiteMM, 2), num(p.DepthOfCutMM, 2), num(p.FluteNeedMM, 2), num(p.StickOutNeedMM, 1)))
	for _, l := range p.Limits {
		writeWrapped(w, "     limited: ", l)
	}
}

// writeOrder writes what is done before each program that is not as it was for the one
// before.
func writeOrder(w io.Writer, list []shop.BenchStep) {
	fmt.Fprintln(w, "\nbefore each program, as its head and order.txt say it")
	var before *shop.BenchStep
	for i := range list {
		s := &list[i]
		fmt.Fprintf(w, "  program %d\n", s.Program)
		for _, one := range s.Sentences(before) {
			if one.Again && one.Act != shop.ActStill && one.Act != shop.ActStart { // those are of every program
				writeWrapped(w, "    ", one.String())
			}
		}
		before = s
	}
}

// writeSteps writes the table from which a builder picks a scallop.
func writeSteps(w io.Writer, p shop.Report) {
	if len(p.Steps) == 0 {
		return
	}
	fmt.Fprintln(w, "\nwhat another scallop costs in finishing")
	t := tabwriter.NewWriter(w, 0, 0, 3, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "scallop mm\twidest step mm\tpasses\tpath m\tminutes\t")
	for _, s := range p.Steps {
		mark := ""
		if s.Own {
			mark = "  <- this job"
		}
		fmt.Fprintf(t, "%s\t%s\t%d\t%s\t%s\t%s\n", num(s.ScallopMM, 4), measure.FormatFixed(s.StepMM, 2), s.Passes, measure.FormatFixed(s.LengthMM/1000, 1), measure.FormatFixed(s.Minutes, 0), mark)
	}
	t.Flush()
}

// writeWrapped writes a paragraph, its later lines under the first one's text.
func writeWrapped(w io.Writer, lead, text string) {
	indent := strings.Repeat(" ", len(strings.TrimLeft(lead, "\n")))
	for _, line := range wrapped(text, textWidth-len(indent)) {
		fmt.Fprintln(w, lead+line)
		lead = indent
	}
}

// wrapped breaks a text into lines, at least one, that are no longer than the width but
// for a word that is.
func wrapped(text string, width int) (lines []string) {
	line := ""
	for i, word := range strings.Fields(text) {
		switch {
		case i == 0:
			line = word
		case len(line)+1+len(word) > width:
			lines, line = append(lines, line), word
		default:
			line += " " + word
		}
	}
	return append(lines, line)
}

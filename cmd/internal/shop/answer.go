package shop

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/work"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// Answer is what a builder asks first: whether the job can be made, how long that takes and
// what is certified; then the figures to set the machine up by, and what is worth knowing, the
// gravest first. Whole has all the rest.
func (r *Result) Answer() (d document.Document) {
	d = append(append(r.Verdict(), document.Space{}), r.brief())
	if r.Mate != nil {
		d = append(d, document.Heading("its caul, from program "+fmt.Sprint(r.Mate.first+1)+" on"), r.Mate.brief())
	}
	worth := r.worth()
	return append(append(d, WorthKnowing(worth[:r.told(worth)], r.ruler())...), document.Space{}, document.Paragraph{Text: "--full tells all: " + r.rest()})
}

// Verdict says whether the job can be made, in what time, and what is certified for what.
func (r *Result) Verdict() document.Document {
	p := &r.Report
	if n := len(p.Broken); n > 0 {
		text := fmt.Sprintf("%s must not be cut as it is: %s", p.Name, p.Broken[0].In(r.ruler()))
		if n > 1 {
			text += fmt.Sprintf("; and %d more", n-1)
		}
		return document.Document{document.Paragraph{Text: text}}
	}
	certificate := p.Certificate
	if r.Mate != nil && r.Mate.Report.Scallop.CertifiedMM == p.Scallop.CertifiedMM {
		certificate = r.Mate.Report.Certificate
	}
	return document.Document{document.Paragraph{Text: fmt.Sprintf("%s can be made on %s in %s, %s", p.Name, p.Machine, tell.Clock(p.TimeS), certificate.In(r.ruler()))}}
}

// Refused says of a job that cannot be planned how much stands in its way: the faults tell what,
// and what would do. Of another error it says nothing.
func Refused(j job.Job, err error) document.Document {
	var faults strict.Faults
	if !errors.As(err, &faults) {
		return nil
	}
	stands := "one thing stands in its way"
	if n := len(faults); n > 1 {
		stands = fmt.Sprintf("%d things stand in its way", n)
	}
	return document.Document{document.Paragraph{Text: fmt.Sprintf("%s cannot be made on %s as it is: %s, told with what would do, the cheapest first", j.Work.Name, j.Work.Machine.Name, stands)}}
}

// brief are the figures of one piece that a machine is set up by.
func (r *Result) brief() (list document.Facts) {
	p, w := r.Report, &r.Plan.Work
	list.Add("it is", "%s", r.Words().Heading())
	if p.Shop != "" {
		list.Add("shop file", "%s", p.Shop)
	}
	if w.HasFace() {
		list.Add("depth", "%s", r.deep())
	}
	setup := ""
	for i := range r.Texts {
		label := fmt.Sprintf("program %d", r.first+i+1)
		if now := p.Programs[i].Setup.Name; p.Setups != nil && now != setup {
			setup = now
			list.Add("setup "+now, "of %d, mark %s towards you", p.Setups.Count, now)
		}
		list.Add(label, "%s", r.does(i))
	}
	if own := slices.IndexFunc(p.Steps, func(s Step) bool { return s.Own }); own >= 0 {
		list.Add("scallop", "%s", scallopCosts(p.Steps, own, r.ruler()))
	}
	if label, text := r.held(); text != "" {
		list.Add(label, "%s", text)
	}
	list.Add("touch Z0 off", "%s", r.touching(", "))
	return list
}

// does says what program i does, with which cutter, how deep it bites, and how long it takes.
func (r *Result) does(i int) string {
	p, u := r.Report.Programs[i], r.ruler()
	if p.SpeedRPM == 0 {
		return fmt.Sprintf("%s with %s, nothing turns: %s", p.Purpose, p.Cutter.Name, tell.Clock(p.TimeS))
	}
	return fmt.Sprintf("%s with %s, bites %s of %s: %s", r.Purposes(i), p.Cutter.Name, u.Short(p.BiteMM, 2), u.Length(p.DepthOfCutMM, 2), tell.Clock(p.TimeS))
}

// Files are the programs of the set and what each does, of a pair the caul's after the dish's.
func (r *Result) Files() (d document.Document) {
	for i, t := range r.Texts {
		d = append(d, document.Paragraph{Lead: "  " + t.Name + "  ", Text: r.does(i)})
	}
	if r.Mate != nil {
		d = append(d, r.Mate.Files()...)
	}
	return d
}

// scallopCosts tells this job's scallop and its neighbours, with the finishing that they take.
func scallopCosts(steps []Step, own int, u measure.Ruler) string {
	list := []string{fmt.Sprintf("%s: %s of finishing", u.Length(steps[own].ScallopMM, 4), steps[own].takes())}
	for _, i := range [...]int{own - 1, own + 1} {
		if i >= 0 && i < len(steps) {
			list = append(list, fmt.Sprintf("%s: %s", u.Length(steps[i].ScallopMM, 4), steps[i].takes()))
		}
	}
	return strings.Join(list, "; ")
}

// unsafe are the kinds of warnings of what can hurt someone, grave of what can spoil the work
// or a cutter; each the gravest first.
var (
	unsafe = []string{"no-hold-downs", "holder", "tabs", "raise-hood", "waste-board", "deep-cut", "thin-shank", "rubbing", "extras-not-cut"}
	grave  = []string{"pair", "covering-uneven", "chip-load", "stick-out", WarnIndexError, "setups", "board-bends", "bed-not-flat", "thin-floor", "extras-not-cut"}
)

// verdictTells is the kind of warning that a verdict tells already.
const verdictTells = "corner-rounding"

// worth are the warnings of all pieces, the gravest first, each once.
func (r *Result) worth() []work.Warning {
	all := slices.Clone(r.Report.Warnings)
	if r.Mate != nil {
		all = append(all, r.Mate.Report.Warnings...)
	}
	all = slices.DeleteFunc(all, func(w work.Warning) bool { return w.Kind == verdictTells })
	kinds := append(slices.Clone(unsafe), grave...)
	rank := func(w work.Warning) int {
		if i := slices.Index(kinds, w.Kind); i >= 0 {
			return i
		}
		return len(kinds)
	}
	slices.SortStableFunc(all, func(a, b work.Warning) int { return rank(a) - rank(b) })
	return slices.CompactFunc(all, func(a, b work.Warning) bool { return a.Message.String() == b.Message.String() })
}

// mostWorth is how much that is worth knowing an answer tells, where no more of it can hurt.
const mostWorth = 3

// told is how many warnings an answer tells, the gravest first: all that can hurt someone.
func (r *Result) told(worth []work.Warning) int {
	n := 0
	for n < len(worth) && (n < mostWorth || slices.Contains(unsafe, worth[n].Kind)) {
		n++
	}
	return n
}

// Unsafe are the notes of what can hurt someone: no answer leaves them out.
func (r *Result) Unsafe() document.Document {
	list := slices.DeleteFunc(r.worth(), func(w work.Warning) bool { return !slices.Contains(unsafe, w.Kind) })
	return WorthKnowing(list, r.ruler())
}

// WorthKnowing are warnings in brief; nothing of none.
func WorthKnowing(list []work.Warning, u measure.Ruler) document.Document {
	if len(list) == 0 {
		return nil
	}
	return document.Document{document.Heading("worth knowing"), document.Notes{List: Notes(list, u, unsafe...), Brief: true}}
}

// rest says what more there is to tell.
func (r *Result) rest() string {
	list := []string{"figures", "steps"}
	if worth := r.worth(); len(worth) > r.told(worth) {
		list = append(list, fmt.Sprintf("%d more worth knowing", len(worth)-r.told(worth)))
	}
	if n := len(r.Report.Defaults); n > 0 {
		list = append(list, measure.Count(n, "default")+" taken")
	}
	return strings.Join(list, ", ")
}

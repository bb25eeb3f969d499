package shop

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"regexp"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// ScrapReadings is the file of a set into which the readings of a scrap go.
const ScrapReadings = "readings.csv"

// FinishCutter is the name of the cutter that finishes a job's face, found out by planning
// where the job leaves it open; of what has no face it is the widest level one.
func FinishCutter(j job.Job) (string, error) {
	w := &j.Work
	if !w.HasFace() {
		var best path.Cutter
		for _, c := range w.Shelf {
			if best.Name == "" || c.Body().Flat > best.Body().Flat {
				best = c
			}
		}
		return best.Name, nil
	}
	if w.Finish != work.Auto {
		return w.Finish, nil
	}
	c, err := plan(j, 1)
	if err != nil {
		return "", tell.Hint(j.Locate(err), "or name the cutter that is to be tried: --cutter NAME")
	}
	return c.Plan.Finish, nil
}

// Scrap is what is measured on a scrap.
type Scrap struct {
	Number      string  `json:"number"` // that its readings name
	SizeMM      float64 `json:"size_mm"`
	ThicknessMM float64 `json:"least_thickness_mm"`
	Marks       []Mark  `json:"marks"`
	Missing     []Shown `json:"does_not_show"`
}

// Mark is one length that is read on it.
type Mark struct {
	Letter    string  `json:"letter"`
	What      string  `json:"what"`
	NominalMM float64 `json:"nominal_mm"`
}

// Shown is what a scrap does not show, and why.
type Shown struct {
	What string `json:"what"`
	Why  string `json:"why"`
}

// rows of the table of readings for each mark, at several places of it.
const markRows = 3

// scrap adds the marks of a scrap to the report, and the table for their readings.
func (r *Result) scrap() {
	l := r.Job.Marks
	if l == nil {
		return
	}
	s := &Scrap{Number: r.jobMark, SizeMM: l.Size, ThicknessMM: l.Thickness, Marks: []Mark{}, Missing: []Shown{}}
	for _, m := range l.Marks {
		s.Marks = append(s.Marks, Mark{m.Letter, m.What, m.Nominal})
	}
	for _, m := range l.Missing {
		s.Missing = append(s.Missing, Shown{m.What, m.Why})
	}
	r.Report.Scrap = s
	var b bytes.Buffer
	fmt.Fprintf(&b, "mark,length_%s,scrap\n", r.ruler().Unit())
	for _, m := range l.Marks {
		for range markRows {
			fmt.Fprintf(&b, "%s,,%s\n", m.Letter, r.jobMark)
		}
	}
	r.Added = append(r.Added, File{ScrapReadings, "a table for what is measured on the scrap", b.Bytes()})
}

// scrapLine is how a program says that it cuts a scrap.
var scrapLine = regexp.MustCompile(`(?im)^\(piece: ` + job.ScrapWord + `\)\s*$`)

// mostHead is far more than the head of a program has, bytes.
const mostHead = 1 << 16

// OfScrap reports whether a program says in its head that it cuts a scrap.
func OfScrap(program []byte) bool { return scrapLine.Match(program[:min(len(program), mostHead)]) }

// headOf returns a program's head; the reader that comes back gives all of it.
func headOf(text io.Reader) (io.Reader, []byte) {
	b := bufio.NewReaderSize(text, mostHead)
	head, _ := b.Peek(mostHead)
	return b, head
}

// scraps holds those programs that cut a scrap against the scrap of the job, and returns the
// others.
func (v *Verdict) scraps(j job.Job, programs []proof.Program) (rest []proof.Program, err error) {
	var list []proof.Program
	for _, p := range programs {
		if pieceOf(p.Path) == job.ScrapWord {
			list = append(list, p)
		} else {
			rest = append(rest, p)
		}
	}
	if len(list) == 0 {
		return rest, nil
	}
	s, err := j.Scrap(list[len(list)-1].Cutter.Name) // the last of them cuts
	if err != nil {
		return rest, err
	}
	for _, p := range list {
		if p.Cutter.Name != s.Work.Extras.Runs[0].Cutter {
			v.add(proof.Finding{Program: p.Name, Line: 1, Column: 1, Kind: proof.KindCutter, Message: measure.Say("a scrap is cut with one cutter, not with %q and with %q", s.Work.Extras.Runs[0].Cutter, p.Cutter.Name)})
		}
	}
	if v.Job = s.Work.Name; len(rest) == 0 {
		v.Defaults = v.Defaults[:0] // nothing of a scrap is certified for a tilt
	}
	return rest, v.piece(s, list)
}

// ScrapSize says what the scrap has to be.
func (r *Result) ScrapSize() string {
	w, u := &r.Plan.Work, r.ruler()
	return fmt.Sprintf("%s, %s of %s, at least %s thick; its number is %s", w.Material, sized(w.Blank, func(mm float64) string { return u.Length(mm, 0) }), u.Length(w.Blank.Thickness, 2), u.Length(r.Job.Marks.Thickness, 1), r.jobMark)
}

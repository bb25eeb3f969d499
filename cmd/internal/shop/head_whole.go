package shop

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"dishwright/cam"
	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/outset"
	"dishwright/dish/measure"
	"dishwright/post"

	"gonum.org/v1/gonum/spatial/r3"
)

// said is a sentence of a head, and the form in which it stands there: what the job does not
// tell, as how long the program takes, is free.
type said struct {
	text string
	form *regexp.Regexp
}

// What stands in a sentence for what is free in it.
const (
	anyNumber = "\x01"
	anyPlace  = "\x02" // in the set
	anyVerb   = "\x03"
	anyTime   = "\x04"
	anyFile   = "\x05"
	anyPoint  = "\x06"
	anyWaste  = "\x07"
)

var free = strings.NewReplacer(anyNumber, `-?[\d.]+`, anyPlace, `program\d+(?:,\d+)?of\d+(?:forthe(?:dish|caul))?`,
	anyVerb, `(?:roughingandfinishing|roughing|finishing|extras|airlap|skim)`, anyTime, `\w+`, anyFile, `[\w.-]+`, anyPoint, `x-?[\d.]+y-?[\d.]+(?:mm|in)`)

// shown is how it is told what is free.
var shown = strings.NewReplacer(anyNumber, "...", anyPlace, "program ...", anyVerb, "...", anyTime, "...", anyFile, "...", anyPoint, "...")

// inForm is a sentence that may say one of several things.
func inForm(texts ...string) said {
	forms := make([]string, len(texts))
	for i, t := range texts {
		forms[i] = free.Replace(regexp.QuoteMeta(dense(t)))
	}
	return said{shown.Replace(texts[0]), regexp.MustCompile("(?:" + strings.Join(forms, "|") + ")")}
}

// sentences are some that say what they say.
func sentences(texts []string) (list []said) {
	for _, t := range texts {
		list = append(list, inForm(post.CommentText(t)))
	}
	return list
}

// certifies are the numbers of a certificate, which the job may state otherwise by now: its programs keep their mark.
var certifies = regexp.MustCompile(`\d+(?:\.\d+)?`)

// goesOn begins the head of a program that goes on where another was stopped.
const goesOn = "This goes on where another program was stopped: " + outset.Mark + "."

// unmoved says what is true of the blank then.
const unmoved = "The blank must not have moved, and X0 Y0 must be where it was: if the machine lost its place, X0 and Y0 are set again at the same marks first. Z0 is set again in any case."

// above are the sentences of a head above the list of what is done, made again from the job.
func (h *head) above(j job.Job, b bench, p proof.Program, s placed) (list []said) {
	r := &Result{Job: j, Plan: cam.Plan{Work: j.Work}, Extras: b.extras, Report: Report{FloorLeftMM: j.Work.Left()}}
	name := post.CommentText(j.Work.Name)
	title := inForm(name + ": " + anyPlace + ", " + anyVerb + ".")
	if strings.Contains(h.text, dense(goesOn)) {
		list = append(list, sentences([]string{goesOn})...)
		list = append(list, inForm(name+": "+anyPlace+", gone on with from line "+anyNumber+" of "+anyFile+", where it stopped at line "+anyNumber+"."),
			inForm("It repeats "+anyNumber+" "+j.Work.Machine.Unit.String()+" of what was cut and comes down at "+anyPoint+", where it has cut already."))
		list = append(list, sentences([]string{unmoved})...)
		if worn := inForm("It is laid for a cutter of " + anyNumber + " " + j.Work.Machine.Unit.String() + " in place of " + anyNumber + " " + j.Work.Machine.Unit.String() + "."); worn.form.MatchString(h.text) {
			list = append(list, worn)
		}
	} else {
		list = append(list, title)
	}
	list = append(list, sentences(r.isMade())...)
	switch {
	case b.air():
		list = append(list, sentences([]string{r.airLap()})...)
	case j.Work.HasFace():
		list = append(list, certified(b)...)
	}
	if told := sentences(r.waste()); !b.air() {
		for _, one := range told {
			if strings.HasSuffix(title.form.FindString(h.text), "extras.") || one.form.MatchString(h.text) {
				list = append(list, one)
			}
		}
	}
	list = append(list, inForm("About "+anyTime+" on "+post.CommentText(j.Work.Machine.Name)+"."))
	list = append(list, sentences([]string{"cutter: " + p.Cutter.Name})...)
	if b.piece != "" {
		list = append(list, sentences([]string{"piece: " + b.piece})...)
	}
	list = append(list, sentences([]string{fmt.Sprintf("set: program %d of %d, job %s, made as %s", s.number, s.of, s.job, s.made)})...)
	if l, ok, _ := setupOf(p.Path); ok {
		list = append(list, sentences([]string{l.String()})...)
	}
	counted, _ := post.After()
	return append(append(list, inForm(fmt.Sprintf(extentsForm, b.work.Machine.Unit))), sentences([]string{counted})...)
}

// behind are the sentences behind that list.
func behind() []said {
	_, list := post.After()
	return sentences(list)
}

// certified are the sentences that say what is certified: for the job's spindle and cutters, or
// for others, level or round.
func certified(b bench) []said {
	var texts [2][]string
	for _, level := range [...]bool{true, false} {
		for _, tilt := range [...]float64{b.work.Tilt, 0.001, 0} {
			for _, under := range [...]float64{b.work.Undersize, 0.1, 0} {
				w := *b.work
				w.Tilt, w.Undersize = tilt, under
				mode := w.Machine.PathMode
				c := covers{work: &w, level: level, exact: proof.ExactPathMode(mode), asked: asks(mode), setups: len(b.layout) > 0}
				for i, t := range c.head() {
					texts[i] = append(texts[i], certifies.ReplaceAllString(post.CommentText(t), anyNumber))
				}
			}
		}
	}
	return []said{inForm(texts[0]...), inForm(texts[1]...)}
}

// extentsForm is what a head says of where the tip goes.
const extentsForm = "The tip moves over X " + anyNumber + " to " + anyNumber + ", Y " + anyNumber + " to " + anyNumber + ", Z " + anyNumber + " to " + anyNumber + " %s."

// extents finds extents that are not those of the program's moves, to what is written of them.
func (h *head) extents(b bench, p proof.Program) {
	form := inForm(fmt.Sprintf(extentsForm, b.work.Machine.Unit)).form
	place := form.FindStringIndex(h.text)
	if place == nil {
		return // found elsewhere
	}
	u := b.work.Machine.Unit.MM()
	low, high, exact := runsOver(b.work, p)
	slack := [...]float64{0.01, 0.001}[b.work.Machine.Unit]*u + heightSlack
	for i, text := range extentNumber.FindAllStringSubmatch(h.text[place[0]:place[1]], -1) {
		v, err := strconv.ParseFloat(text[1], 64)
		k := i / 2
		end, outwards := [...]float64{low[k], high[k]}[i%2], [...]float64{-1, 1}[i%2]
		if k == 2 {
			end -= b.work.ProgramZero()
		}
		if over := (v*u - end) * outwards; err != nil || over < -slack || exact && over > slack {
			h.find(h.line(place[0]), "the head says that the tip moves as far as %c %s; it moves as far as %s", "XYZ"[k], text[1], measure.FormatShort(end/u, 3))
		}
	}
}

var extentNumber = regexp.MustCompile(`(?:over|,|to|[xyz])(-?[\d.]+)`)

// runsOver returns what the tip runs over on the machine, and whether that is all of it: of arcs
// on a machine that errs, or with a blank that is turned, only their ends are known.
func runsOver(w *work.Work, p proof.Program) (low, high [3]float64, exact bool) {
	for k := range low {
		low[k], high[k] = math.Inf(1), math.Inf(-1)
	}
	plain := p.Setup.Still() && w.Top == nil && !w.Machine.Errors.NeedsCorrection()
	exact = true
	grow := func(v r3.Vec) {
		for k, c := range [...]float64{v.X, v.Y, v.Z} {
			if !math.IsNaN(c) {
				low[k], high[k] = math.Min(low[k], c), math.Max(high[k], c)
			}
		}
	}
	for _, m := range p.Path.Moves {
		grow(w.Warp().Compensated(p.Setup.Machine(m.To)))
		if m.Kind == path.Arc {
			if !plain {
				exact = false
				continue
			}
			a, b := m.Box()
			grow(a)
			grow(b)
		}
	}
	return low, high, exact
}

package shop

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/dish/extra"
	"dishwright/dish/measure"
	"dishwright/post"

	"gonum.org/v1/gonum/spatial/r3"
)

// heads finds what a person has to read in programs of this job, and what is not there as
// make writes it: the list of what is done before, made again from the job and what each
// program is found to do, and the messages before its stops. A text that has nothing of
// these, nor the line of its set, is from another hand, and nothing is asked of it. left is
// what the programs leave of the blank.
func (v *Verdict) heads(j job.Job, programs []proof.Program, set extra.Set, layout work.Layout, left *proof.Stock) {
	for _, p := range programs {
		s, ok := placeOf(p.Path)
		if ok && s.job != j.Mark() || len(layout) > 0 && p.Setup.Number == 0 {
			continue // found elsewhere
		}
		h := newHead(p.Path)
		b, runs := benchRead(j, p, set, layout)
		if !runs {
			continue // the job cannot run that cutter
		}
		h.find = func(line int, format string, args ...any) {
			v.add(proof.Finding{Program: p.Name, Line: line, Column: 1, Kind: proof.KindOrder, Message: measure.Say(format, args...)})
		}
		list := func() []string { return append([]string{post.BeforeLead}, b.step().Before()...) }
		if !ok {
			if !h.hasAny(list()) {
				continue
			}
			h.find(1, "the program does not say where in its set it stands: a line (set: ...), as make writes it")
		}
		b.touch = h.touch(b, left)
		if strings.Contains(h.text, dense(cutAlready)) {
			b.resumed = entry(&j.Work, p)
		}
		if ok {
			h.holds(slices.Concat(h.above(j, b, p, s), sentences(list()), behind()), true)
			h.extents(b, p)
		} else {
			h.holds(sentences(list()), false)
		}
		h.asks(b, p.Path)
	}
}

// benchRead is the bench of a program that was read; ok is false where the job's machine
// cannot run its cutter.
func benchRead(j job.Job, p proof.Program, set extra.Set, layout work.Layout) (b bench, ok bool) {
	f, ok := work.NewFeeds(j.Work.Machine, p.Cutter, 0, p.Cutter.DepthOfCut)
	b = bench{work: &j.Work, words: j.Form.Words(j, func(mm float64) string { return j.Work.Machine.Unit.Ruler().Length(mm, 3) }), extras: set, layout: layout, piece: (&Result{Job: j}).piece(), cutter: p.Cutter, setup: p.Setup, lowest: min(j.Work.Clearance(), lowestOf(p.Path.Moves)), speed: f.Speed, dial: f.Dial}
	return b, ok
}

// lowestOf returns how deep moves bring the tip, so far as it is known.
func lowestOf(moves []path.Move) float64 {
	lowest := math.Inf(1)
	for _, m := range moves {
		if low, _ := m.Box(); low.Z < lowest {
			lowest = low.Z
		}
	}
	return lowest
}

// head is what stands in a program's comments before its first stop, without white space,
// which its lines were broken at.
type head struct {
	text  string
	from  []int // where in text each comment begins
	lines []int // in which line it stands
	stop  int   // the line of the first stop
	plain string
	find  func(line int, format string, args ...any)
}

// dense takes a text's white space away, and the dashes with which a line is set off that
// begins as an instruction would; upper and lower case are alike.
func dense(text string) string {
	list := slices.DeleteFunc(strings.Fields(strings.ToLower(text)), func(w string) bool { return w == "-" })
	return strings.Join(list, "")
}

func newHead(p path.Path) *head {
	h := &head{}
	for _, e := range p.Events {
		h.stop = e.Source.Line
		if e.Kind == path.Stop {
			break
		}
		if e.Kind == path.Comment {
			h.from, h.lines = append(h.from, len(h.text)), append(h.lines, e.Source.Line)
			h.text += dense(e.Text)
			h.plain += e.Text + " "
		}
	}
	return h
}

// hoodPattern reads how high the hood hangs in what a list says of it, and in what a stop asks.
var hoodPattern = regexp.MustCompile(`(?i)\bhood (?:hang )?([\d./ ]+ ?(?:mm|in)) or more above the tip`)

// hoodIn returns how high above the tip the hood is hung before anything moves, mm: the least
// that comments and messages before the first stop say of it, and 0 where they say nothing.
func hoodIn(p path.Path) float64 {
	var said []string
	for _, e := range p.Events {
		if e.Kind == path.Stop {
			break
		}
		if e.Kind == path.Comment || e.Kind == path.Message {
			said = append(said, strings.Fields(e.Text)...)
		}
	}
	least := math.Inf(1)
	for _, m := range hoodPattern.FindAllStringSubmatch(strings.Join(said, " "), -1) {
		if l, err := measure.ParseLength(m[1]); err == nil {
			least = min(least, l.MM)
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// hasAny reports whether one of the sentences is there.
func (h *head) hasAny(sentences []string) bool {
	return slices.ContainsFunc(sentences, func(s string) bool { return strings.Contains(h.text, dense(s)) })
}

// entry is where the machine has the tip when a program first cuts sideways, which is where
// one that goes on comes down; nil where it never does.
func entry(w *work.Work, p proof.Program) *r3.Vec {
	for _, m := range p.Path.Moves {
		if m.Kind != path.Traverse && m.Sideways() {
			at := w.Warp().Compensated(p.Setup.Machine(m.From))
			return &at
		}
	}
	return nil
}

// line returns the line in which a place of the text stands.
func (h *head) line(at int) int {
	line := h.stop
	for i, from := range h.from {
		if from <= at {
			line = h.lines[i]
		}
	}
	return line
}

// holds finds sentences that are not there, in their order, and what stands between them;
// where they are all that a head says, also before and behind them.
func (h *head) holds(list []said, all bool) {
	at, whole := 0, all
	for _, s := range list {
		place := s.form.FindStringIndex(h.text[at:])
		if place == nil {
			line := h.stop
			if at > 0 {
				line = h.line(at)
			}
			h.find(line, "before its first stop the program does not say, as the job has it: %s", measure.Quote(s.text))
			whole = false
			continue
		}
		if whole && place[0] > 0 {
			h.find(h.line(at), "before %s the program says what the job's list does not", measure.Quote(s.text))
		}
		at, whole = at+place[1], true
	}
	if rest := h.text[at:]; whole && (all && rest != "" || numbered.MatchString(rest)) {
		h.find(h.line(at), "after what is done before it the program says what the job's list does not")
	}
}

// numbered is how one more sentence of the list would begin.
var numbered = regexp.MustCompile(`^\d+:`)

// placePattern reads the place at which the blank's top is touched.
var placePattern = regexp.MustCompile(`(?i)` + regexp.QuoteMeta(strings.TrimSpace(placeBeside)) + ` X(-?[\d.]+) Y(-?[\d.]+) (?:mm|in), `)

// touchPoint is how far round the tip the top may be looked for, mm: any tip is wider.
const touchPoint = 1.0

// touch returns the place at which a head has the blank's top touched, which the planner
// chose; one that is cut away, or none of the blank's, is found.
func (h *head) touch(b bench, left *proof.Stock) *Place {
	m := placePattern.FindStringSubmatch(strings.Join(strings.Fields(h.plain), " "))
	if m == nil {
		return nil
	}
	x, errX := strconv.ParseFloat(m[1], 64)
	y, errY := strconv.ParseFloat(m[2], 64)
	if errX != nil || errY != nil {
		return nil
	}
	u := b.work.Machine.Unit.MM()
	p := &Place{x * u, y * u}
	q := b.setup.Blank(r3.Vec{X: p.X, Y: p.Y})
	if b.work.Blank.Inside(q.X, q.Y) < 0 || left != nil && left.HighestInDisc(q.X, q.Y, touchPoint) < -heightSlack {
		h.find(h.line(strings.Index(h.text, dense(placeBeside+b.at(p.X, p.Y)))), "Z0 is touched off at %s, where the blank's top does not stay as it is", b.at(p.X, p.Y))
	}
	return p
}

// differ returns the first place in which two lists of messages are not alike; -1 where
// they are.
func differ(a, b []string) int {
	for k := range max(len(a), len(b)) {
		if k >= len(a) || k >= len(b) || dense(a[k]) != dense(b[k]) {
			return k
		}
	}
	return -1
}

// asks finds stops whose messages are not those that make writes, and messages elsewhere. A
// stop without one is a pause, which asks for nothing.
func (h *head) asks(b bench, p path.Path) {
	w := b.work
	want := post.Program{Machine: w.Machine, Zero: w.ProgramZero(), Clearance: w.Clearance(), Thickness: w.Blank.Thickness, Cutter: b.cutter,
		Speed: b.speed, Dial: b.dial, Lies: b.lies(), SpindleOff: b.air(), HoodHeight: b.hood()}.Messages()
	want = slices.DeleteFunc(want, func(group []string) bool { return len(group) == 0 })
	var said []string
	at := 0
	for _, e := range p.Events {
		h.stop = e.Source.Line
		switch {
		case e.Kind == path.Message:
			said = append(said, e.Text)
		case e.Kind != path.Stop || len(said) == 0:
		case at == len(want):
			h.find(e.Source.Line, "the program asks more than the job's programs do: %s", measure.Quote(strings.Join(said, " ")))
			said = nil
		default:
			if k := differ(said, want[at]); k >= 0 {
				asked, asks := strings.Join(want[at][min(k, len(want[at])):], " "), strings.Join(said[min(k, len(said)):], " ")
				switch {
				case asked == "":
					h.find(e.Source.Line, "a stop asks more than the job has it ask: %s", measure.Quote(asks))
				case asks == "":
					h.find(e.Source.Line, "a stop does not ask, as the job has it, %s", measure.Quote(asked))
				default:
					h.find(e.Source.Line, "a stop asks, as the job has it, %s: not %s", measure.Quote(asked), measure.Quote(asks))
				}
			}
			at, said = at+1, nil
		}
	}
	if at < len(want) {
		h.find(h.stop, "no stop asks, as the job has it, %s", measure.Quote(strings.Join(want[at], " ")))
	}
	if len(said) > 0 {
		h.find(h.stop, "a message stands before no stop: %s", measure.Quote(strings.Join(said, " ")))
	}
}

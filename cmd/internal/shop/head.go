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
		h := newHead(p.Path, j.Work.Machine.Unit.Ruler())
		b, runs := h.bench(j, p, set, layout)
		if !runs {
			continue // the job cannot run that cutter
		}
		h.find = func(line int, format string, args ...any) {
			v.add(proof.Finding{Program: p.Name, Line: line, Column: 1, Kind: proof.KindOrder, Message: measure.Say(format, args...)})
		}
		list := func() []measure.Said { return saids(append([]string{post.BeforeLead}, b.step().Before()...)...) }
		if !ok {
			if !h.hasAny(list()...) {
				continue
			}
			h.find(1, "the program does not say where in its set it stands: a line (set: ...), as make writes it")
		}
		b.touch = h.touch(b, left)
		b.set = s.String()
		text := b.program()
		text.About = append(text.About, takes(b.work, 0))
		text.Sections = []post.Section{{Moves: work.Compensated(b.work, work.OnMachine(b.work, p.Setup, knownMoves(p.Path)))}}
		says, asks := text.Says()
		if !ok {
			says = list()
		}
		h.holds(says, ok)
		h.asks(asks, p.Path)
	}
}

// bench is that of a program that was read; ok is false where the job's machine cannot run
// its cutter. The name is open where the job has another by now.
func (h *head) bench(j job.Job, p proof.Program, set extra.Set, layout work.Layout) (b bench, ok bool) {
	w := &j.Work
	f, ok := work.NewFeeds(w.Machine, p.Cutter, 0, p.Cutter.DepthOfCut)
	b = bench{work: w, words: j.Form.Words(j, func(mm float64) string { return w.Machine.Unit.Ruler().Length(mm, 3) }), extras: set, layout: layout, piece: j.Piece(), cutter: p.Cutter, setup: p.Setup, lowest: min(w.Clearance(), lowestOf(p.Path.Moves)), speed: f.Speed, dial: f.Dial,
		name: measure.Say("%s", w.Name), number: numberOf(j.Piece(), 0, 0, 1), doing: measure.Either(doings[0], doings[1:]...), covers: ownCovers(w, true, layout)}
	if !h.begins(measure.Say("%v: %v", b.name, b.number)) {
		b.name = measure.Say("%v", measure.Open(w.Name))
	}
	b.extra = b.lowest < -w.Blank.Thickness
	if l, stated, _ := setupOf(p.Path); stated {
		b.laid = l.String()[len(setupWord):]
	}
	if h.hasAny(measure.Say(goesOn)) {
		b.gone = &goneOn{at: entry(w, p), was: p.Cutter.Diameter}
	}
	return b, ok
}

// knownMoves are those of which it is known where they go.
func knownMoves(p path.Path) []path.Move {
	return slices.DeleteFunc(slices.Clone(p.Moves), func(m path.Move) bool { return math.IsNaN(m.To.X + m.To.Y + m.To.Z) })
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
	ruler measure.Ruler
	find  func(line int, format string, args ...any)
}

// dense takes a text's white space away, and the dashes with which a line is set off that
// begins as an instruction would; upper and lower case are alike.
func dense(text string) string {
	list := slices.DeleteFunc(strings.Fields(strings.ToLower(text)), func(w string) bool { return w == "-" })
	return strings.Join(list, "")
}

// note is how a remark of somebody's own begins, which is not the program's; no step does so.
var note = regexp.MustCompile(`(?i)^note: *[^\d\s]`)

// mostOfHead is how many bytes of a head are read: make writes a tenth of that.
const mostOfHead = 1 << 17

func newHead(p path.Path, u measure.Ruler) *head {
	h := &head{ruler: u}
	var text, plain strings.Builder
	for _, e := range p.Events {
		h.stop = e.Source.Line
		if e.Kind == path.Stop {
			break
		}
		if e.Kind == path.Comment && !note.MatchString(e.Text) && plain.Len() < mostOfHead {
			h.from, h.lines = append(h.from, text.Len()), append(h.lines, e.Source.Line)
			text.WriteString(dense(e.Text))
			plain.WriteString(e.Text + " ")
		}
	}
	h.text, h.plain = text.String(), plain.String()
	return h
}

// hoodPattern reads how high the hood hangs in a sentence of a list that says only that, and in
// what a stop asks.
var hoodPattern = regexp.MustCompile(`(?i)(?:(?:^|\n|[.:?!]\s)the\s+hood\s|\bdoes\s+the\s+hood\s+hang\s)([\d./\s]+?(?:mm|in))(?:\s+or\s+more)?\s+above\s+the\s+tip(?:[.,?]|\n|$)`)

// hoodIn returns how high above the tip the hood is hung before anything moves, mm: the least
// that comments and messages before the first stop say of it, and 0 where they say nothing.
func hoodIn(p path.Path) float64 {
	var said []string
	for _, e := range p.Events {
		if e.Kind == path.Stop {
			break
		}
		if e.Kind == path.Message || e.Kind == path.Comment && !note.MatchString(e.Text) {
			said = append(said, strings.TrimSpace(e.Text))
		}
	}
	least := math.Inf(1)
	for _, m := range hoodPattern.FindAllStringSubmatch(strings.Join(said, "\n"), -1) {
		if l, err := measure.ParseLength(strings.Join(strings.Fields(m[1]), " ")); err == nil {
			least = min(least, l.MM)
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// form is what matches a sentence in the text.
func (h *head) form(s measure.Said) *regexp.Regexp {
	return s.Form(h.ruler, func(text string) string { return dense(post.CommentText(text)) })
}

// hasAny reports whether one of the sentences is there.
func (h *head) hasAny(list ...measure.Said) bool {
	return slices.ContainsFunc(list, func(s measure.Said) bool { return h.form(s).MatchString(h.text) })
}

// begins reports whether the head begins with a sentence, or does behind that it goes on.
func (h *head) begins(s measure.Said) bool {
	text := strings.TrimPrefix(h.text, dense(post.CommentText(goesOn)))
	place := h.form(s).FindStringIndex(text)
	return place != nil && place[0] == 0
}

// entry is where the machine has the tip when a program first cuts sideways, which is where
// one that goes on comes down.
func entry(w *work.Work, p proof.Program) (at r3.Vec) {
	for _, m := range p.Path.Moves {
		if m.Kind != path.Traverse && m.Sideways() {
			return w.Warp().Compensated(p.Setup.Machine(m.From))
		}
	}
	return at
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
func (h *head) holds(list []measure.Said, all bool) {
	at, whole := 0, all
	for _, s := range list {
		place, brief := h.form(s).FindStringIndex(h.text[at:]), s.Brief(h.ruler)
		if place != nil && !s.Near(h.ruler, h.text[at+place[0]:at+place[1]]) {
			place, brief = nil, s.In(h.ruler)
		}
		if place == nil {
			line := h.stop
			if at > 0 {
				line = h.line(at)
			}
			h.find(line, "before its first stop the program does not say, as the job has it: %q", brief)
			whole = false
			continue
		}
		if whole && place[0] > 0 {
			h.find(h.line(at), "before %s the program says what the job's list does not%s", measure.Quote(brief), noteHint)
		}
		at, whole = at+place[1], true
	}
	if rest := h.text[at:]; whole && (all && rest != "" || numbered.MatchString(rest)) {
		h.find(h.line(at), "after what is done before it the program says what the job's list does not%s", noteHint)
	}
}

const noteHint = "; a remark of one's own begins with note: or stands behind the stop"

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
func (h *head) asks(want [][]string, p path.Path) {
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

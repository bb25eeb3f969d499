package shop

import (
	"fmt"
	"math"
	"slices"

	"dishwright/cam/beside"
	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/extra"
	"dishwright/dish/measure"
	"dishwright/post"
)

// BenchStep is what is done at the bench before one program is started, and what the
// program then asks. All of it is a function of the job and the program: the head of the
// program, order.txt, the sheet and the report are made from it, and prove holds the head
// against it. Its texts stand in a program's comments as they are.
type BenchStep struct {
	File    string   `json:"file"`
	Program int      `json:"program"` // its number in the set
	Piece   string   `json:"piece,omitempty"`
	Purpose string   `json:"purpose"`
	Cutter  string   `json:"cutter"`
	Setup   int      `json:"setup,omitempty"` // of a face that is cut in several
	Still   string   `json:"still"`           // what stands still before hands come near
	Lay     []string `json:"lay"`             // how the blank lies and is held
	Fit     string   `json:"fit"`             // which cutter is fitted
	Hood    string   `json:"hood,omitempty"`  // how high the hood hangs, where that matters
	Touch   []string `json:"touch"`           // what is touched off, X and Y first, then Z
	Start   string   `json:"start"`           // what is true when it is started
	Answers []Answer `json:"answers"`         // its stops, in order
}

// Answer is a stop of a program: the message before it, word for word, and what a yes,
// going on, lets the machine do. Told are the messages before that one.
type Answer struct {
	Line    int      `json:"line"` // of the message
	Told    []string `json:"told"`
	Message string   `json:"message"`
	Yes     string   `json:"yes"`
}

// Act is what a sentence of a step is about.
type Act uint8

// The acts, in the order in which they are done.
const (
	ActStill Act = iota // all stands still before hands come near
	ActLay              // the blank is laid and held
	ActFit              // the cutter is fitted
	ActHood             // the hood is hung higher
	ActTouch            // the zero is touched off
	ActStart            // the program is started
)

// Sentence is one thing that is done before a program is started.
type Sentence struct {
	Number int // from 1
	Act    Act
	Text   string
	Again  bool // it is done for this program; else it is as it was for the one before, and only looked at
}

func (s Sentence) String() string { return fmt.Sprintf("%d: %s", s.Number, s.Text) }

// Sentences are those of a step after another one, nil for the first of a set. X0 and Y0
// are set once for a piece.
func (s BenchStep) Sentences(before *BenchStep) (list []Sentence) {
	same, was := before != nil && before.Piece == s.Piece, BenchStep{}
	if same {
		was = *before
	}
	add := func(act Act, text string, is bool) {
		list = append(list, Sentence{len(list) + 1, act, text, !(same && is)})
	}
	add(ActStill, s.Still, false)
	for _, l := range s.Lay {
		add(ActLay, l, was.Setup == s.Setup && slices.Contains(was.Lay, l))
	}
	add(ActFit, s.Fit, was.Fit == s.Fit)
	if s.Hood != "" {
		add(ActHood, s.Hood, was.Hood == s.Hood)
	}
	for i, t := range s.Touch {
		z := i == len(s.Touch)-1
		add(ActTouch, t, !z || was.Fit == s.Fit && was.Setup == s.Setup && slices.Contains(was.Touch, t))
	}
	add(ActStart, s.Start, false)
	return list
}

// Before are the sentences of a step as its program's head has them.
func (s BenchStep) Before() (list []string) {
	for _, one := range s.Sentences(nil) {
		list = append(list, one.String())
	}
	return list
}

// bench is what has to be known of a program to say what is done before it. A planned one
// and one that was read tell it alike: Lowest is that of their tips.
type bench struct {
	work   *work.Work
	words  job.Words
	extras extra.Set
	layout work.Layout
	piece  string
	cutter path.Cutter
	setup  path.Setup
	lowest float64 // place of the tip in the face frame, mm
	speed  float64 // rpm
	dial   string
	touch  *Place // where the blank's top is touched, as the machine sees it; nil where that is not known

	// What the head says above what is done: the job's name, which program of how many it is,
	// and what for; its lines that say where in the set it stands and how the blank lies.
	name, number measure.Said
	doing        measure.OneOf
	set, laid    string
	extra        bool    // must it say what it cuts of the waste?
	gone         *goneOn // nil where no other was stopped
	covers       covers
}

// program is what a program's text is made from, but for its moves.
func (b bench) program() post.Program {
	w := b.work
	return post.Program{Machine: w.Machine, Zero: w.ProgramZero(), Clearance: w.Clearance(), Thickness: w.Blank.Thickness,
		Cutter: b.cutter, Speed: b.speed, Dial: b.dial, About: b.about(), Piece: b.piece, Set: b.set, Setup: b.laid, Before: b.step().Before(),
		Lies: b.lies(), LowestTip: w.ToldDeepest(b.extras.Deepest()), SpindleOff: b.air(), HoodHeight: b.hood()}
}

// heightSlack is by how much a height that is read back may lie beside the planned one, mm:
// several steps of the last decimal.
const heightSlack = 0.005

// air reports whether the program runs above everything, with nothing turning.
func (b bench) air() bool { return b.lowest >= b.work.Clearance()-heightSlack }

// raw reports whether Z0 is touched off on a top that is still to be skimmed: the air lap
// and the skim itself keep above what is left of it.
func (b bench) raw() bool {
	return b.work.Skim.Off > 0 && !b.work.ZeroAtBed && b.lowest >= -heightSlack
}

// hood returns how high above the tip the hood must hang, mm; 0 where it may stay.
func (b bench) hood() float64 { return beside.HoodFor(b.work, b.lowest) }

// step makes the list of a program, but for its file and its answers.
func (b bench) step() BenchStep {
	s := BenchStep{Piece: b.piece, Cutter: b.cutter.Name, Setup: b.setup.Number, Still: b.still(), Lay: b.lay(), Fit: b.fit(), Touch: b.touching(), Start: b.start(), Answers: []Answer{}}
	if up := b.hood(); up > 0 {
		s.Hood = fmt.Sprintf("The hood %s or more above the tip, lower again afterwards: chips fly farther then.", b.ruler().Up(up, 0))
	}
	for _, text := range [...]*string{&s.Still, &s.Fit, &s.Hood, &s.Start} {
		*text = post.CommentText(*text)
	}
	for _, list := range [...][]string{s.Lay, s.Touch} {
		for i := range list {
			list[i] = post.CommentText(list[i])
		}
	}
	return s
}

// still says what stands still before hands come near the cutter.
func (b bench) still() string {
	if b.work.Machine.HandRouter() {
		return "The router off, standing still and unplugged: a still cutter cuts too."
	}
	return "The spindle off and standing still, its power drawn or locked out as the machine's manual says: a still cutter cuts too."
}

// start says what is true when the program is started.
func (b bench) start() string {
	hand := b.work.Machine.HandRouter()
	switch {
	case b.air() && hand:
		return "Everything off the blank and the bed, everyone clear. The router stays unplugged: nothing turns in this program."
	case b.air():
		return "Everything off the blank and the bed, everyone clear. The spindle's power stays off: nothing turns in this program."
	case hand:
		return fmt.Sprintf("Everything off the blank and the bed, everyone clear. The router's dial at %s, about %.0f rpm, and its switch off: only then is it plugged in.", b.dial, math.Floor(b.speed))
	}
	return fmt.Sprintf("Everything off the blank and the bed, everyone clear. Only then the spindle's power on: the program turns it at %.0f rpm.", math.Floor(b.speed))
}

// fit says which cutter is fitted.
func (b bench) fit() string {
	c, corner := b.cutter, ""
	if c.Shape == path.Bull {
		corner = ", corner " + b.own(c.Corner)
	}
	return fmt.Sprintf("Fit %s: %s %s%s, %s, shank %s, %s out of the holder or more.",
		c.Name, c.Shape, b.own(c.Diameter), corner, measure.Count(c.Flutes, "flute"), b.own(c.Shank), b.own(c.StickOut))
}

// ruler writes lengths in the unit of the machine's programs.
func (b bench) ruler() measure.Ruler { return b.work.Machine.Unit.Ruler() }

// own writes a length in that unit.
func (b bench) own(v float64) string { return b.ruler().Length(v, 3) }

// at writes a place in that unit, to a tenth of a millimetre or a hundredth of an inch.
func (b bench) at(x, y float64) string { return b.ruler().Place(x, y) }

// benchOf is the bench of program i.
func (r *Result) benchOf(i int) bench {
	pr := r.Plan.Programs[i]
	return bench{work: &r.Plan.Work, words: r.Words(), extras: r.Extras, layout: r.Plan.Layout, piece: r.Job.Piece(), cutter: pr.Cutter, setup: pr.Setup,
		lowest: pr.Extents().Min.Z, speed: pr.Speed, dial: pr.Dial, touch: r.touchIn(pr.Setup),
		name: measure.Say("%s", r.Plan.Work.Name), number: numberOf(r.Job.Piece(), r.first, i, len(r.Plan.Programs)), doing: doing(pr), set: r.setLine(i), laid: r.setupLine(pr.Setup),
		extra: pr.Purpose() == work.Extra, covers: r.covers()}
}

// order adds the list of program i to the report, its answers taken from the text.
func (r *Result) order(i int) {
	s, t := r.benchOf(i).step(), r.Texts[i]
	s.File, s.Program, s.Purpose, s.Answers = t.Name, r.first+i+1, string(t.Program.Purpose()), answers(&r.Plan.Work, t.Path)
	r.Report.Order = append(r.Report.Order, s)
}

// answers reads the stops of a program, and what it does after each.
func answers(w *work.Work, p path.Path) []Answer {
	list, now := []Answer{}, Answer{Told: []string{}}
	for k, e := range p.Events {
		switch e.Kind {
		case path.Message:
			if now.Message != "" {
				now.Told = append(now.Told, now.Message)
			}
			now.Line, now.Message = e.Source.Line, e.Text
		case path.Stop:
			now.Yes = yes(w, p, k)
			list, now = append(list, now), Answer{Told: []string{}}
		}
	}
	return list
}

// yes says what a program does after its event k, a stop, up to the next one.
func yes(w *work.Work, p path.Path, k int) string {
	until, speed := len(p.Moves), 0.0
	for _, e := range p.Events[k+1:] {
		if e.Kind == path.Stop {
			until = e.Before
			break
		}
		if e.Kind == path.SpindleOn {
			speed = e.Value
		}
	}
	moves, text, goes := p.Moves[p.Events[k].Before:until], "", "runs on to its end, the router turning"
	if len(moves) == 0 {
		return "the program ends, nothing moves"
	}
	if m := moves[0]; !m.Sideways() {
		text = "the cutter goes straight up to Z" + measure.FormatShort((m.To.Z-w.ProgramZero())/w.Machine.Unit.MM(), w.Machine.Decimals)
	}
	sideways, cuts := false, false
	for _, m := range moves {
		sideways = sideways || m.Sideways()
		cuts = cuts || m.To.Z < w.Clearance()-heightSlack
	}
	switch {
	case !sideways:
		return text + ", and the program waits"
	case !cuts:
		goes = "goes round above everything, nothing turning"
	case speed > 0:
		goes = fmt.Sprintf("turns at %.0f rpm and cuts", speed)
	}
	if text == "" {
		return "the cutter " + goes
	}
	return text + ", then " + goes
}

package shop

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"dishwright/cam/beside"
	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/dial"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/measure/strict"
	"dishwright/post"
)

// mostRead is how many moves, and other things that happen, the programs of a set may have
// together to be proven: four times what is ever planned here, and a bound on memory.
const mostRead = 1_600_000

// Source is a program to be proven.
type Source struct {
	Name   string
	Text   io.Reader
	Cutter string // named by the caller; empty where the program names its own
}

// Verdict is what is proven of programs. Certified figures are missing where a
// program could not be read to its end.
type Verdict struct {
	Job         string          `json:"job"`
	Programs    []ProvenText    `json:"programs"`
	Proven      bool            `json:"proven"`
	Scallop     ProvenScallop   `json:"scallop"`
	GougeMM     *float64        `json:"gouge_mm"`
	CornerMM    *float64        `json:"corner_rounding_mm"`
	DeepestBite *float64        `json:"deepest_bite_mm"`
	Findings    []Finding       `json:"findings"`
	Warnings    []work.Warning  `json:"warnings"`           // what breaks no bound, and should be known
	Readings    *ProvenReadings `json:"readings,omitempty"` // of programs for a dial gauge
	Certificate measure.Said    `json:"certificate"`        // what is certified, for what, and what is left to the controller; empty where nothing is
	Defaults    []keys.Default  `json:"defaults"`           // of the spindle and the cutters, where they matter and the job says nothing of them

	sentence func(certified, corner float64) measure.Said // of the piece with the higher scallop, while they are proven
	faced    bool                                         // has a piece a face, on which a scallop stands?
	level    bool                                         // does the spindle's tilt matter to what was certified?
}

// ProvenText is one program that was read.
type ProvenText struct {
	Program string `json:"program"`
	Cutter  string `json:"cutter"`
	Lines   int    `json:"lines"`
	Moves   int    `json:"moves"`

	gauge bool // is it for a dial gauge, with no cutter?
}

// ProvenScallop is the highest scallop asked for and left.
type ProvenScallop struct {
	AskedMM     float64      `json:"asked_mm"`
	CertifiedMM *float64     `json:"certified_mm"`
	XMM         *float64     `json:"x_mm"`
	YMM         *float64     `json:"y_mm"`
	TiltMM      float64      `json:"tilt_mm_per_100_mm"`
	UndersizeMM float64      `json:"undersize_mm"`
	Condition   measure.Said `json:"condition"` // for which it is certified, in words
}

// Finding is one thing that a program does and may not.
type Finding struct {
	Program  string       `json:"program"`
	Line     int          `json:"line"`
	Column   int          `json:"column"`
	Kind     string       `json:"kind"`
	XMM      float64      `json:"x_mm"`
	YMM      float64      `json:"y_mm"`
	AmountMM float64      `json:"amount_mm"`
	Message  measure.Said `json:"message"`
}

// Prove reads the programs in running order and holds them against the job. The
// programs that were read come back for drawing. An error is a text that could
// not be got at all; everything that is wrong with a text is a Finding.
//
// Of a pair each program says in a line (piece: dish) or (piece: caul) which of the
// two it cuts.
func Prove(j job.Job, sources []Source) (Verdict, []proof.Program, error) {
	v := Verdict{Job: j.Work.Name, Programs: []ProvenText{}, Findings: []Finding{}, Warnings: []work.Warning{}, Defaults: []keys.Default{},
		Scallop: ProvenScallop{AskedMM: j.Work.Scallop, TiltMM: work.Per100(j.Work.Tilt), UndersizeMM: j.Work.Undersize}}
	for _, d := range j.Defaults {
		if key := work.Key(d.Key); key == work.KeyTilt || key == work.KeyUndersize {
			v.Defaults = append(v.Defaults, d)
		}
	}
	var programs []proof.Program
	whole, left, gauged := true, newRoom(), 0
	for _, s := range sources {
		w := j.Work
		text, head := headOf(s.Text)
		if s.Text = text; OfScrap(head) {
			w = job.AsItIs(w)
		}
		p, lines, err := read(&w, s, left)
		var fault *proof.Finding
		if err != nil {
			if fault = asFinding(s.Name, err); fault == nil {
				return v, nil, tooMuch(err)
			}
			whole = false
			v.add(*fault)
		}
		if c, ok := dial.ClaimOf(p.Path); ok {
			v.Programs, gauged = append(v.Programs, ProvenText{s.Name, "", lines, len(p.Path.Moves), true}), gauged+1
			if fault == nil {
				v.readings(j, c, p)
			}
			continue
		}
		cutter, f := cutterOf(j.Work.Shelf, s, p.Path)
		if f != nil && fault == nil {
			whole = false
			v.add(*f)
		}
		p.Cutter = cutter
		v.Programs = append(v.Programs, ProvenText{s.Name, cutter.Name, lines, len(p.Path.Moves), false})
		programs = append(programs, p)
	}
	if whole && (gauged == 0 || len(programs) > 0) {
		if err := v.check(j, programs); err != nil {
			return v, nil, tooMuch(err)
		}
	}
	if v.Scallop.CertifiedMM != nil && !v.level {
		v.Defaults = slices.DeleteFunc(v.Defaults, func(d keys.Default) bool { return d.Key == string(work.KeyTilt) })
	}
	v.Proven, v.sentence = len(v.Findings) == 0, nil
	tell.Tidy(&v)
	return v, programs, nil
}

// check holds programs that were read against the job: of a pair, those of each
// piece against that piece.
func (v *Verdict) check(j job.Job, programs []proof.Program) error {
	read := len(programs)
	programs, err := v.scraps(j, programs)
	switch {
	case err != nil || read > 0 && len(programs) == 0:
		return err
	case j.Mate == nil:
		return v.piece(j, programs)
	}
	return v.pair(j, programs)
}

// pieceOf returns the piece that a program says it cuts.
func pieceOf(p path.Path) string {
	for _, e := range p.Events {
		if name := pieceIn(e); name != "" {
			return name
		}
	}
	return ""
}

// pieceIn reads it from a comment; empty where it does not say.
func pieceIn(e path.Event) string {
	if key, name, ok := strings.Cut(e.Text, ":"); e.Kind == path.Comment && ok && strings.EqualFold(strings.TrimSpace(key), "piece") {
		return strings.ToLower(strings.TrimSpace(name))
	}
	return ""
}

// piece holds the programs of one piece against its job.
func (v *Verdict) piece(j job.Job, programs []proof.Program) error {
	beside, err := beside.Make(&j.Work)
	if err != nil {
		return j.Locate(err)
	}
	layout := v.layOut(j, programs)
	r, err := proof.Check(newCase(work.Whole(&j.Work), beside.Set, layout), programs)
	if err != nil {
		return err
	}
	v.together(j, programs) // first: another order or another job is why much else is found
	v.take(foundCovers(&j.Work, beside.Set, layout, programs), r)
	v.heads(j, programs, beside.Set, layout, r.Remaining)
	v.rubs(&j.Work, programs)
	return nil
}

// take takes over the figures and findings of a proof.
func (v *Verdict) take(c covers, r proof.Result) {
	s := newScallop(c, r.Scallop)
	v.faced, v.level = v.faced || c.work.HasFace(), v.level || c.level
	gouge, bite, corner := max(0, r.Gouge.Amount), 0.0, roundUp(r.CornerRounding)
	for _, b := range r.Bites {
		bite = max(bite, b)
	}
	// Of a pair the worse of the two counts.
	if v.Scallop.CertifiedMM == nil || s.CertifiedMM > *v.Scallop.CertifiedMM {
		v.Scallop.CertifiedMM, v.Scallop.XMM, v.Scallop.YMM = &s.CertifiedMM, &s.XMM, &s.YMM
		v.Scallop.Condition, v.sentence = s.Condition, c.sentence
	}
	if v.GougeMM != nil {
		gouge, bite, corner = max(gouge, *v.GougeMM), max(bite, *v.DeepestBite), max(corner, *v.CornerMM)
	}
	v.GougeMM, v.DeepestBite, v.CornerMM = &gouge, &bite, &corner
	v.Certificate = v.sentence(*v.Scallop.CertifiedMM, corner)
	for _, f := range r.Findings {
		v.add(f)
	}
}

func (v *Verdict) add(f proof.Finding) {
	amount := f.Amount
	if math.IsNaN(amount) || math.IsInf(amount, 0) {
		amount = 0
	}
	v.Findings = append(v.Findings, Finding{f.Program, f.Line, f.Column, string(f.Kind), f.X, f.Y, amount, f.Message})
}

// room is what the programs of a set may still have together.
type room struct{ things, bytes int }

func newRoom() *room { return &room{mostRead, mostText} }

// take takes room for one more thing.
func (r *room) take() error {
	if r.things--; r.things < 0 {
		return errTooLong
	}
	return nil
}

// mostText is how many bytes the programs of a set may have together: forty for each move.
const mostText = 40 * mostRead

var (
	errTooLong  = fmt.Errorf("the programs have more than %d moves together", mostRead)
	errTooLarge = fmt.Errorf("the programs have more than %d MB together", mostText/1_000_000)
)

// tooMuch says what to do where programs are more than can be proven; any other error
// stays as it is.
func tooMuch(err error) error {
	var work proof.TooMuchWorkError
	if errors.Is(err, errTooLong) || errors.Is(err, errTooLarge) || errors.As(err, &work) {
		return tell.Hint(err, "fewer or longer moves, or a program for a part of the work at a time")
	}
	return err
}

// bounded is a text that ends in errTooLarge where there is no more room for it.
type bounded struct {
	from io.Reader
	left *room
}

func (b bounded) Read(p []byte) (int, error) {
	n, err := b.from.Read(p)
	if b.left.bytes -= n; b.left.bytes < 0 {
		return n, errTooLarge
	}
	return n, err
}

// gather collects what a program does, so far as there is room.
type gather struct {
	parts  [][]path.Move // in running order: what is read is never copied before all of it is
	moves  int
	events []path.Event
	modes  []proof.PathMode
	left   *room
}

// movesInPart is how many moves are gathered in a part.
const movesInPart = 1 << 12

func (g *gather) Move(m path.Move) error {
	if g.moves%movesInPart == 0 {
		g.parts = append(g.parts, nil)
	}
	last := &g.parts[len(g.parts)-1]
	*last, g.moves = append(*last, m), g.moves+1
	return g.left.take()
}

func (g *gather) Event(e path.Event) error {
	g.events = append(g.events, e)
	return g.left.take()
}

// path returns all that was gathered.
func (g *gather) path() path.Path {
	return path.Path{Moves: slices.Concat(g.parts...), Events: g.events}
}

// PathMode notes how corners are taken from here on; only the last of several
// without a move between them counts.
func (g *gather) PathMode(text string, at path.Source) {
	m := proof.PathMode{Text: text, Before: g.moves, Source: at}
	n := len(g.modes)
	switch {
	case n > 0 && g.modes[n-1].Text == text:
	case n > 0 && g.modes[n-1].Before == m.Before:
		g.modes[n-1] = m
	default:
		g.modes = append(g.modes, m)
	}
}

// halfKnown is what is wrong with a move that path.Warp and path.Setup cannot follow, unless
// it is an arc.
const halfKnown = "a slanting move to a place of which X or Y alone is known cannot be followed here"

// read reads one program as its machine would, and returns where the tip really goes.
func read(w *work.Work, s Source, left *room) (proof.Program, int, error) {
	g := gather{left: left}
	summary, err := post.Read(bounded{s.Text, left}, post.ReadOptions{Machine: w.Machine, ZShift: w.ProgramZero(), Start: post.UnknownStart()}, &g)
	if err != nil && asFinding(s.Name, err) == nil {
		return proof.Program{}, 0, err
	}
	whole := g.path()
	p := proof.Program{Name: s.Name, Path: whole, PathModes: g.modes, HoodAbove: hoodIn(whole)}
	if err == nil && summary.TextAfter > 0 {
		err = &post.ReadError{Line: summary.TextAfter, Column: 1, Message: measure.Say("text stands after the end of the program, which no machine runs")}
	}
	warp := w.Warp()
	for i, m := range p.Path.Moves {
		actual, ok := warp.ActualMove(m)
		if !ok && err == nil {
			message := halfKnown
			if m.Kind == path.Arc {
				message = "an arc comes out as none where the machine's errors, or a top that does not lie level, are allowed for"
			}
			err = &post.ReadError{Line: m.Source.Line, Column: m.Source.Column, Message: measure.Say(message)}
		}
		p.Path.Moves[i] = actual
	}
	return p, summary.Lines, err
}

// asFinding turns a fault of a text into a finding; nil for another error.
func asFinding(name string, err error) *proof.Finding {
	var fault *post.ReadError
	if !errors.As(err, &fault) {
		return nil
	}
	message := fault.Message
	if fault.Hint != "" {
		message = measure.Say("%v (%s)", message, fault.Hint)
	}
	return &proof.Finding{Program: name, Line: fault.Line, Column: fault.Column, Kind: proof.KindText, Message: message}
}

// cutterOf finds the cutter that a program runs with: the one that the caller
// names, which must not differ from the one in the text, or the one in the text.
func cutterOf(shelf []path.Cutter, s Source, p path.Path) (path.Cutter, *proof.Finding) {
	finding := func(line, column int, format string, args ...any) *proof.Finding {
		return &proof.Finding{Program: s.Name, Line: line, Column: column, Kind: proof.KindCutter, Message: measure.Say(format, args...)}
	}
	said, at := "", path.Source{Line: 1, Column: 1}
	for _, e := range p.Events {
		key, name, ok := strings.Cut(e.Text, ":")
		if e.Kind != path.Comment || !ok || !strings.EqualFold(strings.TrimSpace(key), "cutter") {
			continue
		}
		name = strings.TrimSpace(name)
		if said != "" && name != said {
			return path.Cutter{}, finding(e.Source.Line, e.Source.Column, "the program names two cutters, %q and %q", said, name)
		}
		said, at = name, e.Source
	}
	want := s.Cutter
	if want == "" {
		want = said
	}
	if want == "" {
		return path.Cutter{}, finding(1, 1, "the program names no cutter; --cutter NAME names one of the job's shelf")
	}
	var names []string
	var like []path.Cutter // of that name, whatever capitals an editor has put
	for _, c := range shelf {
		names = append(names, c.Name)
		if c.Name == want || post.CommentText(c.Name) == want {
			like = []path.Cutter{c}
			break
		}
		if strings.EqualFold(post.CommentText(c.Name), want) {
			like = append(like, c)
		}
	}
	if len(like) == 1 {
		if c := like[0]; said != "" && !strings.EqualFold(said, post.CommentText(c.Name)) {
			return c, finding(at.Line, at.Column, "the program is for %q, not for %q", said, c.Name)
		}
		return like[0], nil
	}
	return path.Cutter{}, finding(at.Line, at.Column, "no cutter named %q is on the job's shelf (%s)", want, strict.Suggest(want, names, "on the shelf: "))
}

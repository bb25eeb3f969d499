package shop

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"

	"dishwright/cam/beside"
	"dishwright/cam/path"
	"dishwright/cam/proof"
	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/post"

	"gonum.org/v1/gonum/spatial/r3"
)

// Stopped is where a program was stopped, and with what it goes on.
type Stopped struct {
	Program []byte // the text that ran
	File    string // its name, for messages
	Line    int    // at which it stopped; 0 where a place tells it
	At      *r3.Vec
	HasZ    bool    // does the place tell its height?
	Overlap float64 // how much of what was cut is repeated, mm
	// What the cutter that goes on has, where it is another; 0 where it has not changed.
	Diameter, StickOut float64
}

// Resumption is a program that finishes another.
type Resumption struct {
	Program     string         `json:"program"` // that was stopped, as it is called in its set
	Line        int            `json:"line"`
	FromLine    int            `json:"from_line"` // from which on it is made again
	Others      int            `json:"other_lines_at_the_place"`
	OverlapMM   float64        `json:"overlap_mm"`
	XMM         float64        `json:"x_mm"` // where the cutter comes down
	YMM         float64        `json:"y_mm"`
	ZMM         float64        `json:"z_mm"`
	Cutter      Cutter         `json:"cutter"`
	Lines       int            `json:"lines"`
	CutLengthMM float64        `json:"cut_length_mm"`
	TimeS       float64        `json:"time_s"`
	Scallop     Scallop        `json:"scallop"`
	Certificate measure.Said   `json:"certificate"`
	GougeMM     float64        `json:"gouge_mm"`
	BiteMM      float64        `json:"bite_mm"`
	Then        []string       `json:"then"`  // the programs of the set that follow
	Order       BenchStep      `json:"order"` // what is done before it is started
	Broken      []measure.Said `json:"broken"`
	Caution     string         `json:"caution"`

	Text []byte `json:"-"`
}

// resume is a resumption in the making.
type resume struct {
	r      *Result
	i      int // the program that was stopped
	s      Stopped
	cutter path.Cutter
	stage  int // the section in which it was stopped
	at     int // the move of the program that it was stopped in
	stages []stage
	starts []int         // of the stages, as moves of the program
	back   proof.Program // the program that goes on, as it reads
	out    Resumption
}

// Resume makes the program that finishes one of a result's that was stopped, and
// proves it with all that was cut before it and all that comes after. A broken bound
// is no error: it stands in Broken. The errors say what cannot be gone on with.
func (r *Result) Resume(s Stopped) (*Resumption, error) {
	for _, one := range [...]*Result{r, r.Mate} {
		if one == nil {
			continue
		}
		for i, t := range one.Texts {
			if bytes.Equal(t.Bytes, s.Program) {
				return (&resume{r: one, i: i, s: s}).run()
			}
		}
	}
	return nil, tell.Errorf("the program as make wrote it, and the job as it was then; of a text of another kind nothing is known of what it has cut",
		"%s is none of the programs that this job makes: it was edited since, or belongs to another job", measure.Quote(s.File))
}

func (m *resume) run() (*Resumption, error) {
	t := m.r.Texts[m.i]
	if t.Program.Purpose() == work.AirLap {
		return nil, tell.Errorf("run it again from its start", "%s is the air lap, which cuts nothing", measure.Quote(m.s.File))
	}
	if err := m.exchange(); err != nil {
		return nil, err
	}
	if err := m.locate(); err != nil {
		return nil, err
	}
	if err := m.write(); err != nil {
		return nil, err
	}
	if err := m.prove(); err != nil {
		return nil, err
	}
	tell.Tidy(&m.out)
	return &m.out, nil
}

// exchange finds out with which cutter it goes on.
func (m *resume) exchange() error {
	p := m.r.Texts[m.i].Program
	m.cutter = p.Cutter
	if d := m.s.Diameter; d > 0 && d != m.cutter.Diameter {
		if p.Purpose() == work.Extra {
			return tell.Errorf("a cutter of the same diameter, or the extras made again in a job of their own", "holes, lines and cut-outs are laid for their cutter of %s", m.length(m.cutter.Diameter))
		}
		if d <= 2*m.cutter.Corner {
			return tell.Errorf("the diameter across its cutting edges", "a diameter of %s leaves nothing of %s, with its corner of %s", m.length(d), measure.Quote(m.cutter.Name), m.length(m.cutter.Corner))
		}
		m.cutter.Diameter = d
		m.cutter.Core = min(m.cutter.Core, 0.9*d)
	}
	if l := m.s.StickOut; l > 0 {
		if l < m.cutter.FluteLength {
			return tell.Errorf(fmt.Sprintf("more than the flutes, %s", m.length(m.cutter.FluteLength)), "a cutter %s out of the holder is gripped by its flutes", m.length(l))
		}
		m.cutter.StickOut = l
	}
	return nil
}

// locate finds the move in which it was stopped.
func (m *resume) locate() error {
	t := m.r.Texts[m.i]
	for _, one := range m.r.stagesOf(m.i) {
		m.stages = append(m.stages, one.stage)
		m.starts = append(m.starts, one.from)
	}
	moves := t.Path.Moves
	m.out.Line = m.s.Line
	if m.s.At != nil {
		if err := m.nearest(); err != nil {
			return err
		}
	}
	if last := bytes.Count(t.Bytes, []byte("\n")); m.out.Line < 1 || m.out.Line > last {
		return tell.Errorf(fmt.Sprintf("a line from 1 to %d", last), "%s has %d lines, and no line %d", m.s.File, last, m.out.Line)
	}
	m.at = t.moveAt(m.out.Line)
	cut := func(list []path.Move) bool {
		for _, v := range list {
			if v.Kind != path.Traverse {
				return true
			}
		}
		return false
	}
	switch {
	case !cut(moves[:m.at]):
		return tell.Errorf("run it from its start", "nothing is cut yet before line %d of %s", m.out.Line, m.s.File)
	case !cut(moves[m.at:]):
		return tell.Errorf("go on with the next program of the set", "nothing is left to cut from line %d of %s on", m.out.Line, m.s.File)
	}
	m.stage = len(m.stages) - 1
	for k, from := range m.starts {
		if m.at >= from {
			m.stage = k
		}
	}
	if last := m.stages[m.stage]; !cut(last.moves[max(0, m.at-m.starts[m.stage]):]) {
		m.stage++ // stopped between two sections
		m.at = m.starts[m.stage]
	}
	return nil
}

// readTolerance is how far, in mm, a place that was read off the machine may lie from the
// moves: what a display rounds, and half a step of jogging.
const readTolerance = 0.5

// nearest finds the line at a place: of several that pass there the first, for what is
// cut once more harms nothing.
func (m *resume) nearest() error {
	best, line := math.Inf(1), 0
	for _, v := range m.r.Texts[m.i].Path.Moves {
		if v.Kind == path.Traverse {
			continue
		}
		d := m.away(v)
		best = min(best, d)
		if d > readTolerance {
			continue
		}
		if line == 0 {
			line = v.Source.Line
		} else {
			m.out.Others++
		}
	}
	if line == 0 {
		return tell.Errorf("read X and Y off the machine where it stopped, or name the line", "no cut of %s passes within %s of %s; the nearest is %s away", m.s.File, m.length(readTolerance), m.r.ruler().Place(m.s.At.X, m.s.At.Y), m.length(math.Ceil(best*10)/10))
	}
	m.out.Line = line
	return nil
}

// away returns how far a move passes from the place where it was stopped.
func (m *resume) away(v path.Move) float64 {
	const parts = 8 // of an arc
	best, n := math.Inf(1), 1
	if v.Kind == path.Arc {
		n = parts
	}
	for k := range n {
		a, b := v.At(float64(k)/float64(n)), v.At(float64(k+1)/float64(n))
		p := m.r.Texts[m.i].Program.Setup.Blank(m.r.Plan.Work.Warp().Actual(*m.s.At))
		if !m.s.HasZ {
			a.Z, b.Z, p.Z = 0, 0, 0
		}
		d := r3.Sub(b, a)
		t := 0.0
		if l := r3.Norm2(d); l > 0 {
			t = max(0, min(1, r3.Dot(r3.Sub(p, a), d)/l))
		}
		best = min(best, r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(t, d)))))
	}
	return best
}

// write makes the text and reads it back.
func (m *resume) write() error {
	r, t := m.r, m.r.Texts[m.i]
	w, pr := &r.Plan.Work, t.Program
	stock := proof.NewStock(w.Blank, proof.CellSize(w.Blank, min(pr.Cutter.Diameter, m.cutter.Diameter)))
	stock.Raise(w.Skim.Off)
	for _, before := range r.Texts[:m.i] {
		stock.Run(before.Program.Cutter, before.Path.Moves)
	}
	stock.Run(pr.Cutter, t.Path.Moves[:m.at])
	radius := max(pr.Cutter.Radius(), m.cutter.Radius())
	stands := func(x, y float64) float64 { return max(-w.Blank.Thickness, stock.HighestInDisc(x, y, radius)) }

	section := m.stages[m.stage]
	feeds := pr.Sections[m.stage].Feeds
	moves := m.made(section)
	back := beside.Resume(w, feeds, moves, m.at-m.starts[m.stage], m.s.Overlap, stands)
	m.out.FromLine = section.moves[back.From].Source.Line
	m.out.OverlapMM = back.Repeated
	entry := w.Warp().Compensated(pr.Setup.Machine(back.Entry))
	m.out.XMM, m.out.YMM, m.out.ZMM = entry.X, entry.Y, entry.Z
	sections := []post.Section{{Title: fmt.Sprintf("From line %d of %s on. %s", m.out.FromLine, t.Name, title(w.Machine, pr.Sections[m.stage])), Moves: back.Moves}}
	for k := m.stage + 1; k < len(m.stages); k++ {
		sections = append(sections, post.Section{Title: title(w.Machine, pr.Sections[k]), Moves: m.made(m.stages[k])})
	}
	at := r.benchOf(m.i)
	at.cutter, at.lowest = m.cutter, w.Clearance()
	at.gone = &goneOn{from: m.out.FromLine, line: m.out.Line, file: strings.TrimSuffix(t.Name, ".ngc"), repeats: m.out.OverlapMM, at: entry, was: pr.Cutter.Diameter}
	for i := range sections {
		at.lowest = min(at.lowest, lowestOf(sections[i].Moves))
		sections[i].Moves = work.Compensated(w, work.OnMachine(w, pr.Setup, sections[i].Moves))
	}
	m.out.Order = at.step()
	m.out.Order.Program, m.out.Order.Purpose = r.first+m.i+1, string(pr.Purpose())
	p := at.program()
	p.Sections = sections
	const said = "the program that goes on"
	done, err := writeText(w, said, said, p)
	if err != nil {
		return err
	}
	m.out.Text, m.out.Lines, m.out.Program = done.bytes, done.Lines, t.Name
	m.out.TimeS, m.out.CutLengthMM, m.back = done.took.Total, done.took.CutLength, done.back
	m.out.Cutter = Cutter{m.cutter.Name, m.cutter.Shape.String(), m.cutter.Diameter, m.cutter.Body().Corner}
	m.out.Caution, m.out.Then, m.out.Broken = Caution, []string{}, []measure.Said{}
	for _, next := range r.Texts[m.i+1:] {
		m.out.Then = append(m.out.Then, next.Name)
	}
	return nil
}

// length writes a length in the job's unit.
func (m *resume) length(mm float64) string { return m.r.ruler().Length(mm, 3) }

// made is a section as the cutter that goes on makes it.
func (m *resume) made(s stage) []path.Move {
	if m.cutter.Diameter == s.cutter.Diameter || s.purpose == work.Extra {
		return s.moves
	}
	return beside.Exchange(&m.r.Plan.Work, s.cutter, m.cutter, s.purpose == work.Finishing, s.moves)
}

// prove holds everything that runs against the job: what came before, what was done
// of the program that stopped, the one that goes on, and what follows.
func (m *resume) prove() error {
	r, t := m.r, m.r.Texts[m.i]
	w := &r.Plan.Work
	var programs []proof.Program
	add := func(t Text) { programs = append(programs, t.readBack()) }
	for _, before := range r.Texts[:m.i] {
		add(before)
	}
	add(t)
	done := &programs[len(programs)-1]
	done.Interrupted, done.Path.Moves = true, t.Path.Moves[:m.at]
	done.Path.Events = nil
	for _, e := range t.Path.Events {
		if e.Before <= m.at && e.Source.Line < m.out.Line {
			done.Path.Events = append(done.Path.Events, e)
		}
	}
	at := len(programs)
	m.out.Order.Answers = answers(w, m.back.Path)
	m.back.Cutter = m.cutter
	programs = append(programs, m.back)
	for _, next := range r.Texts[m.i+1:] {
		add(next)
	}
	programs[at].Setup = t.Program.Setup
	if _, ok := ontoBlank(&programs[at]); !ok {
		return tell.Defect(errors.New("the program that goes on cannot be followed on a turned blank"))
	}
	p, err := proof.Check(newCase(r.Plan.Piece(), r.Extras, r.Plan.Layout), programs)
	if err != nil {
		return err
	}
	m.out.Scallop, m.out.GougeMM, m.out.BiteMM = newScallop(r.covers(), p.Scallop), max(0, p.Gouge.Amount), p.Bites[at]
	m.out.Certificate = r.covers().sentence(m.out.Scallop.CertifiedMM, roundUp(p.CornerRounding))
	for _, f := range p.Findings {
		m.out.Broken = append(m.out.Broken, broken(f))
	}
	return nil
}

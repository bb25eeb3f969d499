package post

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"

	"dishwright/cam/path"
	"dishwright/dish/measure"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

// Program is what one text is made from. All coordinates are in the face frame.
type Program struct {
	Machine    machines.Machine
	Zero       float64 // z of the program's Z0 in the face frame, mm
	Clearance  float64 // z at which everything is passed over, mm
	Thickness  float64 // of the blank, mm
	Cutter     path.Cutter
	Speed      float64        // of the spindle, rpm; what keeps it off needs none
	Dial       string         // mark on a hand router's dial; empty where S sets the speed, or nothing turns
	About      []measure.Said // sentences for the head: job, blank, zero, time
	Piece      string         // of a set that cuts several: which one, in a line of its own
	Before     []string       // what is done before the program is started: how the blank is laid, what is touched off
	Set        string         // which program of which set it is, in a line of its own
	Setup      string         // how the blank lies, where it is turned or slid between programs, in a line of its own
	Lies       string         // what shows how the blank lies, such as "mark 2", at most 7 characters; empty where it lies one way only
	LowestTip  float64        // lowest z that the tip may come to; 0 keeps it above the bed
	SpindleOff bool           // the spindle is never switched on: every move keeps at clearance
	HoodHeight float64        // how high above the tip the hood must hang, mm; 0 where it may stay
	Sections   []Section
}

// Section is a run of moves with a sentence before it. It starts and ends at
// clearance.
type Section struct {
	Title string
	Moves []path.Move
}

// Written counts what was written.
type Written struct {
	Lines  int
	Bytes  int64
	Begins []int // the number of the line with which each section begins, from 1
}

// Write writes the program. On an error the text is incomplete and must be
// thrown away: the error says what the program would have broken.
func Write(w io.Writer, p Program) (Written, error) {
	if err := p.validate(); err != nil {
		return Written{}, err
	}
	o := &writer{out: bufio.NewWriterSize(w, 1<<16), program: p,
		lattice: lattice{p.Machine.Step(), p.Machine.Decimals}}
	o.writeHead()
	if o.err != nil {
		return o.written, o.err
	}
	for _, s := range p.Sections {
		o.written.Begins = append(o.written.Begins, o.written.Lines+1)
		o.writeComment(s.Title)
		for i, m := range s.Moves {
			if o.writeMove(m); o.err != nil {
				return o.written, fmt.Errorf("%s, move %d: %w", s.Title, i+1, o.err)
			}
		}
	}
	o.writeTail()
	if o.err == nil {
		o.err = o.out.Flush()
	}
	return o.written, o.err
}

// writer adds line after line and remembers its first error.
type writer struct {
	out     *bufio.Writer
	program Program
	lattice lattice
	written Written
	err     error
	line    []byte
	head    []measure.Said
	told    []string   // the messages since the last stop
	stops   [][]string // those before each stop

	at      r3.Vec // NaN where not yet written
	plane   path.Plane
	inPlane bool // has plane been written?
	waits   bool // must the spindle come up to speed on the first way down?
	feed    float64
}

// endLine writes the line that has been put together.
func (o *writer) endLine() {
	if o.err != nil {
		return
	}
	if m := o.program.Machine; len(o.line) > m.LongestLine {
		o.err = fmt.Errorf("a line of %d characters is longer than %s takes (%d)", len(o.line), m.Name, m.LongestLine)
		return
	}
	for _, c := range o.line {
		if c < ' ' || c > '~' {
			o.err = fmt.Errorf("a line holds a character that is not printable ASCII")
			return
		}
	}
	o.line = append(o.line, '\n')
	_, o.err = o.out.Write(o.line)
	o.written.Lines++
	o.written.Bytes += int64(len(o.line))
	o.line = o.line[:0]
}

// writeLine writes one line as it stands.
func (o *writer) writeLine(text string) {
	o.line = append(o.line, text...)
	o.endLine()
}

// axis adds a coordinate word, if it differs from where the tip stands.
func (o *writer) axis(letter byte, v, at, zero float64) {
	if v == at {
		return
	}
	o.word(letter, v-zero)
}

// word adds a letter with a length.
func (o *writer) word(letter byte, v float64) {
	if o.err != nil {
		return
	}
	o.line = append(o.line, ' ', letter)
	o.line, o.err = o.lattice.append(o.line, v)
}

// axes adds the words of the axes that change.
func (o *writer) axes(to r3.Vec) {
	o.axis('X', to.X, o.at.X, 0)
	o.axis('Y', to.Y, o.at.Y, 0)
	o.axis('Z', to.Z, o.at.Z, o.program.Zero)
	o.at = to
}

// checkContinuity returns why a move may not come next. The text tells a machine only
// where to go, so a move from elsewhere would not be the one that was planned;
// sideways at clearance that does no harm.
func (o *writer) checkContinuity(m path.Move) error {
	level := (m.Kind == path.Traverse || o.program.SpindleOff) && m.From.Z == o.at.Z && m.To.Z == o.at.Z
	if m.From != o.at && !level {
		return errors.New("it does not start where the move before it ends")
	}
	return nil
}

// writeMove writes one move, after proving that the machine may make it.
func (o *writer) writeMove(m path.Move) {
	if o.err != nil {
		return
	}
	if o.err = o.program.checkMove(m); o.err != nil {
		return
	}
	if o.err = o.checkContinuity(m); o.err != nil || (m.To == o.at && m.Kind != path.Arc) {
		return
	}
	if o.waits && m.To.Z < o.at.Z {
		// Only then into what is cleared below the blank's top, which no rounding brings it to.
		if top := (r3.Vec{X: m.To.X, Y: m.To.Y, Z: o.program.Machine.Step()}); o.at.Z > top.Z && m.To.Z < 0 && m.Kind == path.Traverse {
			o.writeMove(path.Move{Kind: path.Traverse, From: m.From, To: top})
			m.From = top
		} else {
			m, o.err = o.slowly(m)
		}
		if o.err != nil {
			return
		}
	}
	switch m.Kind {
	case path.Traverse:
		o.line = append(o.line, "G0"...)
		o.axes(m.To)
	case path.Line:
		o.line = append(o.line, "G1"...)
		o.axes(m.To)
		o.feedWord(m.Feed)
	case path.Arc:
		if !o.inPlane || m.Plane != o.plane {
			o.writeLine([...]string{"G17", "G18", "G19"}[m.Plane])
			o.plane, o.inPlane = m.Plane, true
		}
		o.writeArc(m)
	}
	if o.err == nil {
		o.endLine()
	}
}

// writeArc writes an arc: both end words of its plane and both increments of the
// centre always stand, as the language asks for at least one of each.
func (o *writer) writeArc(m path.Move) {
	if m.Clockwise {
		o.line = append(o.line, "G2"...)
	} else {
		o.line = append(o.line, "G3"...)
	}
	d := r3.Sub(m.Centre, m.From)
	nan := math.NaN()
	at := o.at
	switch m.Plane {
	case path.XY:
		at.X, at.Y = nan, nan
	case path.ZX:
		at.X, at.Z = nan, nan
	case path.YZ:
		at.Y, at.Z = nan, nan
	}
	o.at = at
	o.axes(m.To)
	if m.Plane != path.YZ {
		o.word('I', d.X)
	}
	if m.Plane != path.ZX {
		o.word('J', d.Y)
	}
	if m.Plane != path.XY {
		o.word('K', d.Z)
	}
	o.feedWord(m.Feed)
}

// feedWord adds the feed where it changes, in tenths of a unit a minute, rounded
// down; a millionth of a tenth covers what float64 loses on the way from inches.
func (o *writer) feedWord(f float64) {
	if f == o.feed || o.err != nil {
		return
	}
	tenths := math.Floor(float64(f/o.program.Machine.Unit.MM()*10) + 1e-6)
	if !(tenths > 0) {
		o.err = fmt.Errorf("a feed of %g mm/min is too slow to write", f)
		return
	}
	o.feed = f
	o.line = append(o.line, " F"...)
	o.line = appendDecimal(o.line, int64(tenths), 1)
}

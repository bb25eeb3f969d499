package post

import (
	"fmt"
	"io"
	"math"

	"dishwright/cam/path"
	"dishwright/dish/measure"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

// Sink receives what a machine would do, in the order in which it would do it.
// An error from a sink stops the reading and is returned as it is.
type Sink interface {
	// Move receives one motion. NaN in From or To means that the coordinate is
	// not known: the program has not given it yet, nor did ReadOptions.Start.
	// A motion without length is given like any other.
	Move(path.Move) error
	// Event receives what happens between motions; Before counts the moves
	// given so far.
	Event(path.Event) error
}

// PathModeSink is a Sink that also wants to know how corners are taken from
// the next move on: G61, G61.1, G64, or Machine.PathMode to the letter.
type PathModeSink interface {
	Sink
	PathMode(text string, at path.Source)
}

// ReadOptions says what the text of a program does not.
type ReadOptions struct {
	// Machine is what runs the program. Where a line of the program is its
	// PathMode to the letter, it is accepted, whatever its words; blanks round it,
	// a line number before it and a comment after it do not matter. Its Dwell is
	// what G4 counts, its LongestLine the most characters of a line.
	Machine machines.Machine
	// ZShift is added to the program's Z to get Z in the face frame, in mm: 0
	// where the program's Z0 is the face frame's.
	ZShift float64
	// Start is where the tip stands before the program, in the face frame, in
	// mm; NaN for each coordinate that is not known (see UnknownStart).
	Start r3.Vec
}

// UnknownStart returns the start of a tip that may stand anywhere.
func UnknownStart() r3.Vec { return r3.Vec{X: math.NaN(), Y: math.NaN(), Z: math.NaN()} }

// Summary is how much was read and the state in which the program leaves the
// machine; what M2 and M30 restore (3.6.1) is as they leave it.
type Summary struct {
	Lines, Moves, Events int

	Unit      machines.Unit
	UnitKnown bool    // has G20 or G21 been read?
	Feed      float64 // of G94 in mm/min; 0 where there is none
	Speed     float64 // last S, rpm; NaN where there was none
	Cutter    int     // number of the last cutter called by M6; -1 where there was none
	PathMode  string  // G61, G61.1, G64 or Machine.PathMode; empty where none was selected
	Position  r3.Vec  // of the tip in the face frame, mm; NaN where not known

	HasPercent bool // does a % line begin it?
	Ended      bool // did M2 or M30 end it?
	TextAfter  int  // the first line with text after the end, which no machine runs; 0 where there is none
}

// ReadError is a fault of a program: where, what is wrong and what would be
// right. Line and Column count from 1, the column in bytes.
type ReadError struct {
	Line, Column int
	Message      measure.Said
	Hint         string
}

func (e *ReadError) Error() string { return fmt.Sprintf("%d:%d: %s", e.Line, e.Column, e.Message) }

// Read reads a program in the language of the NIST report (NISTIR 6556) and
// gives the sink what a machine would do. It needs the same little memory for
// a program of any size.
//
// The machine is taken to stand as M2 leaves it (3.6.1): G54, no offsets, G17, G90,
// G94, G40, spindle and coolant off; a program that ends by a percent line must leave
// it so too, for nothing resets it then. The length unit, the
// feed, the speed, the parameters and the motion mode survive from whatever ran
// before, so a program that relies on one of them is refused. The origin of G54
// is that of the face frame, but for ZShift.
//
// Everything in the text is either executed or refused: a word that the report
// does not have, one whose effect depends on what the text does not tell (other
// origins, tool lengths, homing, the switch for lines that begin with a slash),
// and one that is not modelled. Such a fault is a *ReadError; the moves before
// it have been given. Other errors come from r, the sink or the options.
func Read(r io.Reader, opt ReadOptions, sink Sink) (Summary, error) {
	mode, err := readerPathMode(opt.Machine.PathMode)
	if err != nil {
		return Summary{}, err
	}
	if math.IsNaN(opt.ZShift) || math.Abs(opt.ZShift) > readerMaxCoordinate {
		return Summary{}, fmt.Errorf("a shift of %g mm along Z is no length", opt.ZShift)
	}
	start := [3]float64{opt.Start.X, opt.Start.Y, opt.Start.Z}
	for _, v := range start {
		if math.Abs(v) > readerMaxCoordinate {
			return Summary{}, fmt.Errorf("no tip stands at %g mm", v)
		}
	}
	modes, _ := sink.(PathModeSink)
	x := &reader{sink: sink, modes: modes, pathMode: []byte(mode), dwell: opt.Machine.Dwell, state: modalStart(start, opt.ZShift)}
	x.lines.init(r, opt.Machine.LongestLine)
	err = x.run()
	return x.summary(), err
}

// ReadAll reads a whole program into memory. On an error the path is empty.
func ReadAll(r io.Reader, opt ReadOptions) (path.Path, Summary, error) {
	var c readerCollector
	s, err := Read(r, opt, &c)
	if err != nil {
		return path.Path{}, s, err
	}
	return c.path, s, nil
}

// readerCollector is the sink of ReadAll.
type readerCollector struct{ path path.Path }

func (c *readerCollector) Move(m path.Move) error {
	c.path.Moves = append(c.path.Moves, m)
	return nil
}

func (c *readerCollector) Event(e path.Event) error {
	c.path.Events = append(c.path.Events, e)
	return nil
}

// reader is the machine: the text's lines, the modal state and the parameters.
type reader struct {
	sink     Sink
	modes    PathModeSink // nil where the sink is none
	pathMode []byte       // the accepted line, without blanks round it
	dwell    machines.Dwell
	lines    lexLines
	block    readerBlock
	state    modalState

	params   readerParams
	settings []readerSetting // of the line in hand

	moves, events int
	percent       bool // a % line began the program
	begun         bool // a line other than % and blank ones has been read
	ended         bool // M2 or M30
	textAfter     int
}

// fail returns the fault at the given column of the line in hand.
func (x *reader) fail(column int, hint, format string, args ...any) error {
	return &ReadError{Line: x.lines.number, Column: column, Message: measure.Say(format, args...), Hint: hint}
}

// run carries out one line after the other up to the program's end.
func (x *reader) run() error {
	for {
		line, err := x.lines.next()
		switch {
		case err == io.EOF:
			return x.truncated()
		case err != nil:
			return err
		}
		p := lexSkip(line, 0)
		switch line[p] {
		case '\n':
			continue
		case '%':
			done, err := x.percentLine(line, p)
			if err != nil {
				return err
			}
			if done {
				return x.noteTextAfter()
			}
			continue
		}
		x.begun = true
		if err := x.parse(line, p); err != nil {
			return err
		}
		if err := x.execute(); err != nil {
			return err
		}
		if x.ended {
			return x.noteTextAfter()
		}
	}
}

// percentLine takes a line whose first character, at p, is a percent sign:
// such a line may only begin a program or end one that it began (3.1).
func (x *reader) percentLine(line []byte, p int) (done bool, err error) {
	if q := lexSkip(line, p+1); line[q] != '\n' {
		return false, x.fail(q+1, "leave the percent sign alone on its line", "there is something after the percent sign")
	}
	switch {
	case x.percent && !x.begun:
		return false, x.fail(p+1, "", "the program is empty: nothing stands between its percent lines")
	case x.percent:
		if what, word := x.state.left(); what != "" {
			return false, x.fail(p+1, fmt.Sprintf("end the program with M2, or take it back with %s", word),
				"the program ends by a percent line and leaves %s on: only M2 and M30 reset it, so the next program would begin with it (3.6.1)", what)
		}
		return true, nil
	case x.begun:
		return false, x.fail(p+1, "begin the program with a percent line, or leave it out and end with M2",
			"a percent line ends a program only where another begins it (3.1)")
	}
	x.percent = true
	return false, nil
}

// truncated returns the fault of a text that is over before the program is.
func (x *reader) truncated() error {
	line := max(x.lines.number, 1)
	e := &ReadError{Line: line, Column: x.lines.width + 1}
	switch {
	case !x.begun:
		e.Message, e.Hint = measure.Say("the program is empty"), "a program ends with M2"
	case x.percent:
		e.Message = measure.Say("the program is cut off: neither M2, M30 nor a second percent line ends it (3.1)")
		e.Hint = "copy the whole file again"
	default:
		e.Message = measure.Say("the program is cut off: neither M2 nor M30 ends it (3.1)")
		e.Hint = "copy the whole file again, or end it with M2"
	}
	return e
}

// noteTextAfter notes the first line with text after the end, a last percent line aside.
// Nothing there is run (3.1, 3.6.1), so it may hold what it likes.
func (x *reader) noteTextAfter() error {
	closing := x.percent && x.ended
	last := x.lines.number
	for {
		line, err := x.lines.next()
		if _, fault := err.(*ReadError); fault {
			x.textAfter = x.lines.number
			x.lines.number = last
			return nil
		}
		if err == io.EOF {
			x.lines.number = last
			return nil
		}
		if err != nil {
			return err
		}
		p := lexSkip(line, 0)
		if line[p] == '\n' {
			continue
		}
		if closing && line[p] == '%' && line[lexSkip(line, p+1)] == '\n' {
			closing = false
			continue
		}
		x.textAfter = x.lines.number
		x.lines.number = last
		return nil
	}
}

// summary returns what has been read so far and the state that it left.
func (x *reader) summary() Summary {
	s := &x.state
	return Summary{
		Lines: x.lines.number, Moves: x.moves, Events: x.events,
		Unit: s.units, UnitKnown: s.unit != 0,
		Feed: s.feed, Speed: s.speed, Cutter: s.cutter, PathMode: s.pathMode,
		Position:   r3.Vec{X: s.at[0], Y: s.at[1], Z: s.at[2]},
		HasPercent: x.percent, Ended: x.ended, TextAfter: x.textAfter,
	}
}

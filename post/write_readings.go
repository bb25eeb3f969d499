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

// Readings is what a program for a dial gauge is made from: with the spindle off the gauge is
// set down at one place after another, and the program stops at each. All coordinates are in
// the face frame, as the machine is told.
type Readings struct {
	Machine   machines.Machine
	Zero      float64 // z of the program's Z0 in the face frame, mm
	Clearance float64
	About     []string // sentences for the head
	Piece     string   // of a set that has several: which one
	Set       string   // which program of which set it is
	States    string   // what is read, with which gauge: in a line of its own
	Before    []string // what is done before the program is started
	Stops     []Reading
}

// Reading is a place: the moves down to it, and up again after the stop.
type Reading struct {
	At       r3.Vec // where the dial is read
	Down, Up []path.Move
}

// Asks returns what the program says at each of its places, as it is read back. X and Y are in
// the program's unit.
func (r Readings) Asks() (list []string) {
	u := r.Machine.Unit.Ruler()
	for i, s := range r.Stops {
		list = append(list, CommentText(fmt.Sprintf("place %d of %d: %s. Read the dial.", i+1, len(r.Stops), u.Place(s.At.X, s.At.Y))))
	}
	return list
}

// readingCautions are those of a program in which nothing turns.
var readingCautions = []string{
	"CAUTION: axes crush fingers, and what has power may start.",
	"Hands and face away while anything moves. The dial is read from beside the machine, at the stops alone.",
	"Stay beside the machine, the emergency stop in reach.",
	"Where the pointer comes near the end of its travel, or the gauge tilts, stop the machine.",
	"Run it in the air first: at place 1 Z set lower than said, by the gauge's travel where the machine goes up so far. Then Z set right.",
	"The machine's own manual comes before anything said here, and so do local codes and licensed practice.",
	"A program stop is a pause, not a guard.",
}

// WriteReadings writes the program. On an error the text is incomplete.
func WriteReadings(w io.Writer, r Readings) (Written, error) {
	if len(r.Stops) == 0 {
		return Written{}, errors.New("a program without places")
	}
	if !(r.Clearance > 0) {
		return Written{}, fmt.Errorf("clearance must lie above the blank's top, not at %g mm", r.Clearance)
	}
	o := &writer{out: bufio.NewWriterSize(w, 1<<14), lattice: lattice{r.Machine.Step(), r.Machine.Decimals},
		program: Program{Machine: r.Machine, Zero: r.Zero, Clearance: r.Clearance, SpindleOff: true}}
	o.readingsHead(r)
	asks := r.Asks()
	for i, s := range r.Stops {
		for _, m := range s.Down {
			o.writeMove(m)
		}
		o.writeStop(asks[i])
		for _, m := range s.Up {
			o.writeMove(m)
		}
	}
	o.writeComment("Done: nothing was switched on, and the gauge hangs at clearance. Set Z anew before anything is cut.")
	o.writeLine("M2")
	if o.err == nil {
		o.err = o.out.Flush()
	}
	return o.written, o.err
}

// readingsHead writes everything before the first place.
func (o *writer) readingsHead(r Readings) {
	nan := math.NaN()
	o.at = r3.Vec{X: nan, Y: nan, Z: nan}
	o.writeTexts(r.About...)
	o.writeWhole("piece", r.Piece)
	o.writeWhole("set", r.Set)
	o.writeWhole("readings", r.States)
	o.program.Sections = []Section{{}}
	for _, s := range r.Stops {
		o.program.Sections[0].Moves = append(append(o.program.Sections[0].Moves, s.Down...), s.Up...)
	}
	o.writeSaid(o.program.extents())
	o.writeTexts(assumed, BeforeLead)
	o.writeTexts(r.Before...)
	o.writeTexts(readingCautions...)
	state := "Spindle's power off"
	if r.Machine.HandRouter() {
		state = "Router unplugged"
	}
	o.writeStop("The head of this program says what is done before it.",
		fmt.Sprintf("Next: the gauge goes straight up to %s.", o.zWord(r.Clearance)),
		fmt.Sprintf("Then over and down at %s, a stop at each.", measure.Count(len(r.Stops), "place")),
		state+", gauge and zero right? All clear?")
	o.writeModes()
	o.writeComment("Straight to clearance, before anything moves sideways.")
	o.line = append(o.line, "G0"...)
	o.axis('Z', r.Clearance, o.at.Z, r.Zero)
	o.at.Z = r.Clearance
	o.endLine()
}

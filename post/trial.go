package post

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"

	"dishwright/cam/path"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

// ErrUnfit says that a machine moves too little or too slowly for a trial.
var ErrUnfit = errors.New("too small or too slow for a trial program")

// trial writes the dry program of a machine: every word that programs for it hold, each
// announced by a message, so that a controller that refuses a line shows which.
type trial struct {
	*writer
	steps             int
	half, high, above float64 // it moves within ±half along X and Y, and from 0 to high along Z, which is above the bed by as much, mm
	feed              float64 // that every axis may run at, mm/min
}

// Trial returns a dry program in the words that programs for the machine hold: nothing is
// cut, the spindle stands still whenever anything moves, and nothing goes below the Z0
// that is set high above the bed. It is read back before it is returned. The error is
// ErrUnfit for a machine that moves less than 10 mm to each side or 4 mm up.
func Trial(m machines.Machine) ([]byte, error) {
	var b bytes.Buffer
	nan := math.NaN()
	o := &writer{out: bufio.NewWriter(&b), program: Program{Machine: m, SpindleOff: true}, lattice: lattice{m.Step(), m.Decimals},
		at: r3.Vec{X: nan, Y: nan, Z: nan}}
	side, up := min(m.Travel.X, m.Travel.Y)/2, m.Travel.Z/2
	t := &trial{writer: o, half: o.even(min(25, side)), high: o.even(min(10, up)), above: o.even(min(30, up)),
		feed: min(600, m.Feed.X, m.Feed.Y, m.Feed.Z)}
	if side < 5 || up < 2 || t.feed < 0.2*m.Unit.MM() {
		return nil, ErrUnfit
	}
	t.program.Machine.LongestLine = min(m.LongestLine, headLine)
	t.head()
	t.program.Machine = m
	t.modes()
	t.moves()
	if m.Arcs {
		t.arcs()
	}
	t.rest()
	if o.err == nil {
		o.err = o.out.Flush()
	}
	if o.err != nil {
		return nil, o.err
	}
	return b.Bytes(), t.readBack(b.Bytes())
}

// even rounds a length down to tenths of a millimetre or hundredths of an inch.
func (o *writer) even(mm float64) float64 {
	unit := o.program.Machine.Unit
	n := [...]float64{10, 100}[unit]
	return float64(math.Floor(float64(mm/unit.MM()*n)+1e-6) / n * unit.MM())
}

// headLine is the longest line of the head, in characters: what every controller takes. A
// longer one is tried by a step.
const headLine = 64

// head says what is done before, and asks whether it is.
func (t *trial) head() {
	m := t.program.Machine
	length := func(mm float64) string {
		return string(appendDecimal(nil, int64(math.Round(mm/m.Unit.MM()*100)), 2)) + " " + m.Unit.String()
	}
	for _, s := range []string{
		fmt.Sprintf("Trial program for %s: every word of its programs, dry.", m.Name),
		"Each step is told by a message. Where the controller refuses a line, the message before it says what its profile must say otherwise, or it is set up otherwise.",
		assumed,
		"Before this program is started:",
		"Nothing lies on the bed. No cutter, no collet and no nut is in the spindle.",
		map[bool]string{false: "The spindle's motor has no power: near the end S and M3 would start it.", true: "The router is unplugged: nothing in this program needs it."}[m.HandRouter()],
		fmt.Sprintf("The spindle stands over the middle of the bed, %s or more above it, with %s free to all sides and %s upward.", length(t.above), length(t.half), length(t.high)),
		"X, Y and Z are set to 0 right there.",
		fmt.Sprintf("It moves within %s of X0 and Y0, and from Z0 up to Z%s. Nothing goes below Z0.", length(t.half), length(t.high)),
		"CAUTION: axes crush fingers, and what has power may start.",
		"Keep hands, sleeves and hair away. Stay beside the machine, the emergency stop in reach.",
		"The machine's own manual comes before anything said here, and so do local codes and licensed practice.",
	} {
		t.writeComment(s)
	}
	ask := "Spindle empty, its motor off, room about? All clear?"
	if m.HandRouter() {
		ask = "Router empty and unplugged, room about? All clear?"
	}
	t.writeStop("The head of this program says what is done before it.", "Next: modes, then straight up.", ask)
}

// say announces a step.
func (t *trial) say(format string, args ...any) {
	t.steps++
	t.writeMessage(fmt.Sprintf("Step %d: ", t.steps) + fmt.Sprintf(format, args...))
}

// modes goes through the words that stand alone.
func (t *trial) modes() {
	m := t.program.Machine
	unit := [...]string{"G21", "G20"}[m.Unit]
	t.say("longest line, a comment of %d characters.", m.LongestLine)
	long := "So long may a line be [of any kind]: "
	t.writeLine("(" + long + strings.Repeat("0123456789", 25)[:m.LongestLine-len(long)-len("()")] + ")")
	t.say("units, %s: lengths in %s.", unit, [...]string{"millimetres", "inches"}[m.Unit])
	t.writeLine(unit)
	t.say("G90, places from zero.")
	t.writeLine("G90")
	t.say("G94, feeds a minute.")
	t.writeLine("G94")
	if m.PathMode != "" {
		t.say("path mode, %s.", m.PathMode)
		t.writeLine(m.PathMode)
	}
}

// to moves to a place; a feed of 0 is a traverse.
func (t *trial) to(x, y, z, feed float64) {
	m := path.Move{Kind: path.Line, From: t.at, To: r3.Vec{X: x, Y: y, Z: z}, Feed: feed}
	if feed == 0 {
		m.Kind = path.Traverse
	}
	t.writeMove(m)
}

// moves goes straight up first, then sideways and along all axes at once, in numbers of as
// many decimals as programs have.
func (t *trial) moves() {
	up := t.high / 2
	t.say("G0, straight up.")
	t.line = append(t.line, "G0"...)
	t.axis('Z', up, t.at.Z, 0)
	t.at.Z = up
	t.endLine()
	t.say("G0, sideways.")
	t.at.X, t.at.Y = 0, 0 // where it was zeroed
	t.to(-t.half, t.half, up, 0)
	t.to(-t.half, -t.half, up, 0)
	t.say("G1, with a feed.")
	t.to(t.half, -t.half, up, t.feed)
	fine := t.fine()
	t.say("decimals, G1 along three axes with %d.", t.program.Machine.Decimals)
	t.to(t.half-fine, t.half-fine, t.high-fine, t.feed/2)
	t.to(0, 0, up, t.feed)
}

// fine is a length with all decimals, less than a millimetre.
func (t *trial) fine() float64 {
	n := [...]int{1234567, 123456}[t.program.Machine.Unit] / int(math.Pow10(7-t.program.Machine.Decimals))
	return float64(float64(n) * t.program.Machine.Step())
}

// arcs goes round in each plane, both ways; one arc climbs.
func (t *trial) arcs() {
	r := t.even(min(0.4*t.half, t.high))
	round := func(plane path.Plane, clockwise bool, to, centre r3.Vec) {
		t.writeMove(path.Move{Kind: path.Arc, Plane: plane, Clockwise: clockwise, From: t.at, To: to, Centre: centre, Feed: t.feed})
	}
	by := func(x, y, z float64) r3.Vec { return r3.Add(t.at, r3.Vec{X: x, Y: y, Z: z}) }
	t.say("arcs, G17, G2 and G3 in X and Y.")
	round(path.XY, true, by(2*r, 0, 0), by(r, 0, 0))
	round(path.XY, false, by(-2*r, 0, 0), by(-r, 0, 0))
	t.say("arcs, G2 that climbs.")
	round(path.XY, true, by(2*r, 0, t.high/4), by(r, 0, 0))
	t.say("arcs, G18: in Z and X.")
	round(path.ZX, false, by(-2*r, 0, 0), by(-r, 0, 2*r))
	round(path.ZX, true, by(2*r, 0, 0), by(r, 0, 2*r))
	t.say("arcs, G19: in Y and Z.")
	round(path.YZ, false, by(0, 2*r, 0), by(0, r, 2*r))
	round(path.YZ, true, by(0, -2*r, 0), by(0, -r, 2*r))
}

// rest is the dwell and, high up and last of all, the spindle.
func (t *trial) rest() {
	m := t.program.Machine
	if m.Dwell != machines.NoDwell {
		t.say("dwell, G4: 1.5 s by your watch.")
		t.writeDwell(1.5)
	}
	t.say("G0, up.")
	t.to(t.at.X, t.at.Y, t.high, 0)
	if !m.HandRouter() {
		t.say("spindle, S and M3. Its motor off, nothing turns.")
		t.writeLine(fmt.Sprintf("S%.0f", math.Ceil(m.Spindle.Slowest)))
		t.writeLine("M3")
		t.say("M5, spindle off.")
		t.writeLine("M5")
	}
	t.say("M2, the end: every word was taken.")
	t.writeLine("M2")
}

// readBack reads the text as a machine would, and holds it against what it promises.
func (t *trial) readBack(text []byte) error {
	p, s, err := ReadAll(bytes.NewReader(text), ReadOptions{Machine: t.program.Machine, Start: r3.Vec{}})
	if err != nil {
		return fmt.Errorf("the trial does not read back: %w", err)
	}
	on, stopped, next := false, false, 0
	slack := t.program.Machine.Step()
	for i, m := range p.Moves {
		for ; next < len(p.Events) && p.Events[next].Before <= i; next++ {
			switch p.Events[next].Kind {
			case path.SpindleOn:
				on = true
			case path.SpindleOff:
				on = false
			case path.Stop:
				stopped = true
			}
		}
		reached := []r3.Vec{m.To}
		if m.Kind == path.Arc {
			for _, f := range quadrantFractions(m) {
				reached = append(reached, m.At(f))
			}
		}
		for _, v := range reached {
			if !(math.Abs(v.X) <= t.half+slack && math.Abs(v.Y) <= t.half+slack && v.Z >= 0 && v.Z <= t.high+slack) {
				return fmt.Errorf("line %d of the trial goes to %v", m.Source.Line, v)
			}
		}
		switch {
		case !stopped || on:
			return fmt.Errorf("line %d of the trial moves before the stop, or while the spindle is on", m.Source.Line)
		case m.Kind != path.Traverse && !(m.Feed <= t.feed*(1+limitSlack)):
			return fmt.Errorf("line %d of the trial is fed at %g mm/min", m.Source.Line, m.Feed)
		case i == 0 && (m.To.X != 0 || m.To.Y != 0 || !(m.To.Z > 0)):
			return fmt.Errorf("line %d of the trial is no way straight up", m.Source.Line)
		}
	}
	if !s.Ended || len(p.Moves) == 0 {
		return errors.New("the trial does not run to M2")
	}
	return nil
}

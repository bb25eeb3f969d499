package post

import (
	"math"
	"math/bits"
	"strings"

	"dishwright/cam/path"
	"dishwright/machines"
)

// execute carries the block out in the order of Table 8.
func (x *reader) execute() error {
	b := &x.block
	if b.gs|b.ms == 0 && b.have&^readerAxisMask == 0 && len(b.comments) == 0 && !b.pathMode {
		if b.have == 0 {
			return nil
		}
		if err := x.requireMotionMode(x.state.motion); err != nil {
			return err
		}
		return x.makeMove(x.state.motion)
	}
	motion, err := x.checkBlock()
	if err != nil {
		return err
	}
	for i, c := range b.comments {
		kind, text := path.Comment, strings.Trim(string(c.text), " \t")
		if i == len(b.comments)-1 { // no other of a line is shown (3.3.5)
			kind, text = commentEvent(c.text)
		}
		if err := x.emit(kind, text, 0, c.column); err != nil {
			return err
		}
	}
	if err := x.feedAndSpeed(motion); err != nil {
		return err
	}
	if err := x.spindleAndCoolant(); err != nil {
		return err
	}
	if err := x.setModes(); err != nil {
		return err
	}
	if motion != modalMotionNone {
		if err := x.makeMove(motion); err != nil {
			return err
		}
	}
	return x.programStop()
}

// emit gives the sink an event.
func (x *reader) emit(kind path.EventKind, text string, value float64, column int) error {
	x.events++
	return x.sink.Event(path.Event{Kind: kind, Text: text, Value: value, Before: x.moves,
		Source: path.Source{Line: x.lines.number, Column: column}})
}

// checkBlock finds the faults that lie in the words of a line together, and returns
// the motion that the line asks for, modalMotionNone where it asks for none.
func (x *reader) checkBlock() (motion int, err error) {
	b := &x.block
	axes := b.have&readerAxisMask != 0
	modeless, _ := b.code(modalNone)
	offsets := b.gs&(1<<modalNone) != 0 && modeless == 920
	motion, explicit := b.code(modalMotion)
	switch {
	case offsets && explicit && motion != 800:
		return 0, x.fail(b.gAt[modalNone], "use two lines", "G92 and G%d both use the axis words (3.4)", motion/10)
	case offsets && !axes:
		return 0, x.fail(b.gAt[modalNone], "", "G92 needs an axis word (3.5.18)")
	case offsets:
		motion = modalMotionNone
	case explicit && motion == 800 && axes:
		return 0, x.fail(b.firstAxis(), "", "G80 takes no axis words (3.5.15)")
	case explicit && motion == 800:
		motion = modalMotionNone
	case explicit && !axes:
		return 0, x.fail(b.gAt[modalMotion], "", "G%d needs an axis word (3.5)", motion/10)
	case !explicit && axes:
		motion = x.state.motion
		if err := x.requireMotionMode(motion); err != nil {
			return 0, err
		}
	case !explicit:
		motion = modalMotionNone
	}
	return motion, x.checkWords(motion)
}

// requireMotionMode reports axis words where no motion mode is on.
func (x *reader) requireMotionMode(motion int) error {
	switch motion {
	case modalMotionNone:
		return x.fail(x.block.firstAxis(), "write G0, G1, G2 or G3",
			"no motion mode has been selected yet, and what ran before may have left any")
	case 800:
		return x.fail(x.block.firstAxis(), "write G0, G1, G2 or G3", "axis words under G80 (3.5.15)")
	}
	return nil
}

// checkWords reports a word that nothing on its line uses, and a word that is
// missing. The report's interpreter does not skip words either.
func (x *reader) checkWords(motion int) error {
	b := &x.block
	modeless, plain := b.code(modalNone)
	dwell := plain && modeless == 40
	length, lengths := b.code(modalLength)
	offset := lengths && length == 430
	used := uint32(readerAxisMask | 1<<('F'-'A') | 1<<('S'-'A') | 1<<('T'-'A'))
	if motion == 20 || motion == 30 {
		used |= 1<<('I'-'A') | 1<<('J'-'A') | 1<<('K'-'A') | 1<<('R'-'A')
	}
	if dwell {
		used |= 1 << ('P' - 'A')
	}
	if offset {
		used |= 1 << ('H' - 'A')
	}
	if idle := b.have &^ used; idle != 0 {
		i := bits.TrailingZeros32(idle)
		hint := ""
		if b.gs&(1<<modalPath) != 0 {
			hint = "a path mode takes no word, save on the line that the machine's profile states (3.5.14)"
		}
		return x.fail(b.column[i], hint, "nothing on this line uses the word %c", 'A'+rune(i))
	}
	if dwell && x.dwell == machines.NoDwell {
		return x.fail(b.gAt[modalNone], "the machine's profile says dwell: none", "the machine takes no dwell")
	}
	if dwell && !b.has('P') {
		return x.fail(b.gAt[modalNone], "write G4 P and the "+x.dwell.String(), "G4 needs a P word (3.5.4)")
	}
	if p, at := b.word('P'); dwell && p < 0 {
		return x.fail(at, "", "a dwell of P%g is negative (3.5.4)", p)
	}
	if !offset {
		return nil
	}
	h, at := b.word('H')
	switch {
	case !b.has('H'):
		return x.fail(b.gAt[modalLength], "", "G43 needs an H word (3.5.10)")
	case h < 0 || math.Abs(h-math.Round(h)) > readerNearInteger:
		return x.fail(at, "", "H%g is not the number of a cutter (3.5.10)", h)
	case math.Round(h) != 0:
		return x.fail(at, "touch off each cutter, and leave G43 out", "the length of cutter %g stands in the machine's table, not in the text", h)
	}
	return nil
}

// feedAndSpeed carries out G93 and G94, F and S: steps 2 to 4. Under G93 a feed is
// taken where the motion is made.
func (x *reader) feedAndSpeed(motion int) error {
	b, s := &x.block, &x.state
	if mode, ok := b.code(modalFeed); ok {
		if inverse := mode == 930; inverse != s.inverse {
			s.inverse = inverse
			s.feed, s.noFeed = 0, "the feed mode has changed since the last F"
		}
	}
	if f, at := b.word('F'); b.has('F') {
		switch {
		case f < 0:
			return x.fail(at, "", "the feed is negative (3.7.1)")
		case s.inverse: // used by the motion of this line, ignored without one (3.5.19)
		case s.unit == 0:
			s.feed, s.noFeed = 0, "the last F was read before G20 or G21 took effect, which comes after F (Table 8)"
		case f == 0:
			s.feed, s.noFeed = 0, "the feed is 0"
		default:
			s.feed = float64(f * s.unit)
		}
	}
	if v, at := b.word('S'); b.has('S') {
		if v < 0 {
			return x.fail(at, "", "the spindle speed is negative (3.7.2)")
		}
		changed := v != s.speed
		s.speed = v
		if s.on && changed {
			return x.spindle(at)
		}
	}
	return nil
}

// spindle gives the event of a spindle that is on: at speed 0 it does not turn
// (3.6.2).
func (x *reader) spindle(column int) error {
	if x.state.turns() {
		return x.emit(path.SpindleOn, "", x.state.speed, column)
	}
	return x.emit(path.SpindleOff, "", 0, column)
}

// spindleAndCoolant carries out T, M6, the spindle, the coolant and G4: steps 5 to 10.
func (x *reader) spindleAndCoolant() error {
	b, s := &x.block, &x.state
	if v, at := b.word('T'); b.has('T') {
		if v < 0 || math.Abs(v-math.Round(v)) > readerNearInteger {
			return x.fail(at, "", "T%g is not the number of a cutter (3.7.3)", v)
		}
		s.selected = int(math.Round(v))
	}
	if b.ms&(1<<modalChange) != 0 {
		if err := x.changeCutter(b.mAt[modalChange]); err != nil {
			return err
		}
	}
	if b.ms&(1<<modalSpindle) != 0 {
		at := b.mAt[modalSpindle]
		s.on = b.m[modalSpindle] == 3
		switch {
		case s.on && math.IsNaN(s.speed):
			return x.fail(at, "give the speed with S, on the same line or before",
				"M3 without an S so far: the speed is left over from whatever the machine ran before")
		case s.on:
			if err := x.spindle(at); err != nil {
				return err
			}
		default:
			if err := x.emit(path.SpindleOff, "", 0, at); err != nil {
				return err
			}
		}
	}
	if b.ms&(1<<modalCoolant) != 0 {
		kind := path.CoolantOn
		if s.coolant = b.m[modalCoolant] != 9; !s.coolant {
			kind = path.CoolantOff
		}
		if err := x.emit(kind, "", 0, b.mAt[modalCoolant]); err != nil {
			return err
		}
	}
	if mode, ok := b.code(modalNone); ok && mode == 40 {
		p, _ := b.word('P')
		return x.emit(path.Dwell, "", x.dwell.Seconds(p), b.gAt[modalNone])
	}
	return nil
}

// changeCutter carries out M6: the spindle stops, and the cutter selected last goes
// into it (3.6.3). How long that cutter is the text does not tell.
func (x *reader) changeCutter(column int) error {
	s := &x.state
	if s.selected < 0 {
		return x.fail(column, "select the cutter with T", "M6 without a T so far: which cutter it calls is not known")
	}
	if s.turns() {
		if err := x.emit(path.SpindleOff, "", 0, column); err != nil {
			return err
		}
	}
	s.on = false
	s.cutter = s.selected
	return x.emit(path.CutterCall, "", float64(s.cutter), column)
}

// setModes carries out the modes of steps 11 to 19, which cause nothing by
// themselves. G40, G49, G43 H0, G54, G98 and G99 change nothing that is modelled.
func (x *reader) setModes() error {
	b, s := &x.block, &x.state
	if mode, ok := b.code(modalPlane); ok {
		s.plane = path.Plane((mode - 170) / 10)
	}
	if mode, ok := b.code(modalUnits); ok {
		units := machines.Millimetres
		if mode == 200 {
			units = machines.Inches
		}
		if s.unit != 0 && units != s.units {
			s.feed, s.noFeed = 0, "the length unit has changed since the last F"
		}
		s.units, s.unit = units, units.MM()
	}
	if mode, ok := b.code(modalPath); ok {
		s.pathMode = "G" + readerCode(float64(mode)/10)
		x.tellPathMode(b.gAt[modalPath])
	}
	if b.pathMode {
		s.pathMode = string(x.pathMode)
		x.tellPathMode(b.pathModeAt)
	}
	if mode, ok := b.code(modalDistance); ok {
		s.incremental = mode == 910
	}
	if mode, ok := b.code(modalMotion); ok {
		s.motion = mode
	}
	if mode, ok := b.code(modalNone); ok && mode != 40 {
		return x.offsets(mode)
	}
	return nil
}

// tellPathMode gives the path mode to a sink that wants it.
func (x *reader) tellPathMode(column int) {
	if x.modes != nil {
		x.modes.PathMode(x.state.pathMode, path.Source{Line: x.lines.number, Column: column})
	}
}

// offsets carries out G92 to G92.3 (3.5.18).
func (x *reader) offsets(mode int) error {
	b, s := &x.block, &x.state
	switch mode {
	case 921: // zero, and so are the stored ones
		s.origin, s.saved, s.stored = s.shift, s.shift, true
	case 922: // zero, but the stored ones stay
		s.origin = s.shift
	case 923:
		if !s.stored {
			return x.fail(b.gAt[modalNone], "give the offsets with G92",
				"G92.3 takes offsets that the program has not stored: they are left over from whatever the machine ran before")
		}
		s.origin = s.saved
	default:
		for i := range s.origin {
			letter := byte('X' + i)
			v, at := b.word(letter)
			if !b.has(letter) {
				continue
			}
			if err := x.requireUnit(at); err != nil {
				return err
			}
			if math.IsNaN(s.at[i]) {
				return x.fail(at, "move there first", "G92 where the tip's %c is not known", letter)
			}
			s.origin[i] = s.at[i] - float64(v*s.unit)
			if err := x.requireInRange(s.origin[i], at); err != nil {
				return err
			}
		}
		s.saved, s.stored = s.origin, true
	}
	return nil
}

// programStop carries out M0, M1, M2 and M30: step 21.
func (x *reader) programStop() error {
	b, s := &x.block, &x.state
	if b.ms&(1<<modalStop) == 0 {
		return nil
	}
	at := b.mAt[modalStop]
	switch b.m[modalStop] {
	case 0:
		return x.emit(path.Stop, "", 0, at)
	case 1:
		return x.emit(path.OptionalStop, "", 0, at)
	}
	if s.turns() {
		if err := x.emit(path.SpindleOff, "", 0, at); err != nil {
			return err
		}
	}
	if s.coolant {
		if err := x.emit(path.CoolantOff, "", 0, at); err != nil {
			return err
		}
	}
	s.end()
	x.ended = true
	return x.emit(path.End, "", 0, at)
}

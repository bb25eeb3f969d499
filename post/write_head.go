package post

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"dishwright/cam/path"
	"dishwright/dish/measure"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

// cautions are the usual ones; each program carries them.
var cautions = []string{
	"CAUTION: a cutter cuts hands, spinning or still.",
	"Dust harms lungs, noise harms ears, chips can burn.",
	"Protect eyes, ears and lungs, and run dust collection.",
	"Keep hands, sleeves and hair away.",
	"Hold the blank down firmly, outside the cutter's way.",
	"Stay beside the machine, the emergency stop in reach.",
	"Read a new program, and run it in the air first: Z0 no higher than the travel, then set it back.",
	"The machine's own manual comes before anything said here, and so do local codes and licensed practice.",
	"A program stop is a pause, not a guard: it need not stop a spindle.",
	"Never reach near the cutter on the strength of it.",
}

// assumed is what a program takes for granted of the controller.
const assumed = "It counts on a controller as after a start or a reset: no offset for a cutter's length or radius is on."

// writeHead writes everything before the first section. Nothing moves or turns
// before the first M0, and then Z moves first: after touching off the cutter
// may still rest on the blank.
func (o *writer) writeHead() {
	p := o.program
	nan := math.NaN()
	o.at.X, o.at.Y, o.at.Z = nan, nan, nan
	o.writeSaid(p.About...)
	o.writeWhole("cutter", p.Cutter.Name)
	o.writeWhole("piece", p.Piece)
	o.writeWhole("set", p.Set)
	o.writeWhole("setup", p.Setup)
	o.writeSaid(p.extents())
	o.writeTexts(assumed)
	if len(p.Before) > 0 {
		o.writeTexts(BeforeLead)
	}
	o.writeTexts(p.Before...)
	o.writeTexts(cautions...)
	o.writeStop(p.startMessages(o.zWord(p.Clearance))...)
	o.writeModes()
	o.writeComment("Straight to clearance, before anything turns or moves sideways.")
	o.line = append(o.line, "G0"...)
	o.axis('Z', p.Clearance, o.at.Z, p.Zero)
	o.at.Z = p.Clearance
	o.endLine()
	o.writeSpindle()
}

// writeWhole writes a statement about the program in a line of its own, never broken;
// nothing where there is nothing to state.
func (o *writer) writeWhole(key, text string) {
	if text != "" {
		text = key + ": " + CommentText(text)
		o.head = append(o.head, measure.Say(text))
		o.writeLine("(" + text + ")")
	}
}

// writeSaid writes sentences of the head.
func (o *writer) writeSaid(list ...measure.Said) {
	for _, s := range list {
		o.head = append(o.head, s)
		o.writeComment(s.In(o.program.Machine.Unit.Ruler()))
	}
}

// writeTexts writes some that leave nothing open.
func (o *writer) writeTexts(list ...string) {
	for _, text := range list {
		o.writeSaid(measure.Say(text))
	}
}

// writeModes sets every mode that the program depends on.
func (o *writer) writeModes() {
	o.writeLine([...]string{"G21", "G20"}[o.program.Machine.Unit])
	o.writeLine("G90")
	o.writeLine("G94")
	if mode := o.program.Machine.PathMode; mode != "" {
		o.writeLine(mode)
	}
}

// writeSpindle has the spindle turn, and gives it its time.
func (o *writer) writeSpindle() {
	p := o.program
	switch {
	case p.SpindleOff:
		return
	case p.Machine.HandRouter():
		dial := CommentText(p.Dial)
		o.writeStop(fmt.Sprintf("The dial at %s is about %.0f rpm.", dial, p.speed()),
			fmt.Sprintf("Dial at %s? Switch the router on, keep clear.", dial))
	default:
		o.writeLine(fmt.Sprintf("S%.0f", p.speed()))
		o.writeLine("M3")
	}
	start := p.Machine.Spindle.StartTime
	switch {
	case !(start > 0):
	case p.Machine.Dwell == machines.NoDwell:
		o.waits = true
	default:
		o.writeComment("Wait until the spindle is up to speed.")
		o.writeDwell(start)
	}
}

// writeDwell waits, for a time in s: in tenths of a second, rounded up.
func (o *writer) writeDwell(t float64) {
	tenths := int64(math.Ceil(float64(t*10) - 1e-6))
	if o.program.Machine.Dwell == machines.Milliseconds {
		o.writeLine(fmt.Sprintf("G4 P%d", 100*tenths))
		return
	}
	o.writeLine("G4 P" + string(appendDecimal(nil, tenths, 1)))
}

// slowly returns the first way down, straight and through the air, as a feed that takes
// as long as the spindle needs to come up to speed: where the controller takes no dwell
// nothing else gives it the time.
func (o *writer) slowly(m path.Move) (path.Move, error) {
	p, c, start := o.program, o.program.Cutter, o.program.Machine.Spindle.StartTime
	o.waits = false
	d := r3.Sub(m.To, m.From)
	if d.X != 0 || d.Y != 0 || m.Kind == path.Line && !(-d.Z >= float64(m.Feed/60*start)*(1-limitSlack)) || m.Kind == path.Arc {
		return m, errors.New("the first way down is none on which the spindle could come up to speed, and the controller takes no dwell")
	}
	if m.Kind == path.Traverse {
		o.writeComment("Slowly down: the spindle comes up to speed.")
		m.Kind = path.Line
		m.Feed = min(-d.Z/start*60, p.Machine.Feed.Z, float64(p.Speed*float64(c.Flutes)*c.ChipLoad))
	}
	return m, nil
}

// writeStop says what is asked at a stop, and stops. The last message stands alone, for a
// display may keep no other: it says all that matters and asks for nothing but a yes, of
// a hand router also for its dial and its switch. At a stop a controller neither jogs nor
// zeroes.
func (o *writer) writeStop(messages ...string) {
	for _, m := range messages {
		o.writeMessage(m)
	}
	o.writeLine("M0")
	o.stops, o.told = append(o.stops, o.told), nil
}

// startMessages are what the operator is told, and last asked, before anything moves.
func (p Program) startMessages(up string) []string {
	hand, hood := p.Machine.HandRouter(), p.HoodHeight > 0
	list := []string{"The head of this program says what is done before it."}
	if hood {
		list = append(list, fmt.Sprintf("Does the hood hang %s or more above the tip?", p.Machine.Unit.Ruler().Up(p.HoodHeight, 0)))
	}
	list = append(list, "Are the touch plate and its clip away?", fmt.Sprintf("Next: the cutter goes straight up to %s.", up))
	state, then := "Cutter", fmt.Sprintf("Then it turns at %.0f rpm.", p.speed())
	switch {
	case p.SpindleOff && hand:
		state, then = "Router unplugged", "Then it goes round the work in the air, still off."
	case p.SpindleOff:
		state, then = "Spindle off", "Then it goes round the work in the air, still off."
	case hand:
		state, then = "Router off", "Then it waits up there, still off."
	}
	right, clear := []string{"zero"}, "All clear?"
	if hood && !p.SpindleOff {
		right = append(right, "hood")
	}
	switch {
	case p.Lies != "": // which says of the work what matters most
		right, clear = append([]string{p.Lies}, right...), "Clear?"
	case !p.SpindleOff:
		right = append(right, "work")
	}
	return append(list, then, fmt.Sprintf("%s, %s right? Plate off? %s", state, strings.Join(right, ", "), clear))
}

// zWord names the program's Z word of a height in the face frame.
func (o *writer) zWord(z float64) string {
	word, err := o.lattice.append([]byte{'Z'}, z-o.program.Zero)
	if err != nil && o.err == nil {
		o.err = err
	}
	return string(word)
}

// speed is the spindle speed as it is written: a whole number, never above the
// one that is allowed.
func (p Program) speed() float64 { return math.Floor(p.Speed + limitSlack) }

// writeTail lifts, stops the spindle and ends. Nothing moves sideways after it.
func (o *writer) writeTail() {
	p := o.program
	if o.err != nil {
		return
	}
	if p.SpindleOff {
		o.writeComment("Done: nothing was switched on, and the tip stands at clearance.")
	} else {
		o.writeComment("Done: straight up and stop. What turns runs on for a while: keep hands away until it stands still.")
	}
	if o.at.Z != p.Clearance {
		o.line = append(o.line, "G0"...)
		o.axis('Z', p.Clearance, o.at.Z, p.Zero)
		o.endLine()
	}
	switch hand := p.Machine.HandRouter(); {
	case hand && !p.SpindleOff:
		o.writeStop("Done, and the cutter is up.", "Switch the router off. Hands away until it stands still.")
	case !hand:
		o.writeLine("M5")
	}
	o.writeLine("M2")
}

// extents says where the tip goes, in the program's own units, rounded outwards
// to hundredths of a millimetre or thousandths of an inch. It counts in whole
// steps of the coordinates, so that a lost last binary digit changes nothing. In a text whose
// coordinates were rounded once more they are off by one such step.
func (p Program) extents() measure.Said {
	decimals := [...]int{2, 3}[p.Machine.Unit]
	steps := math.Pow10(max(0, p.Machine.Decimals-decimals))
	n := func(v float64, outwards func(float64) float64) string {
		return string(appendDecimal(nil, int64(outwards(math.Round(v/p.Machine.Step())/steps)), decimals))
	}
	low, high, _ := p.bounds()
	text := fmt.Sprintf("The tip moves over X %s to %s, Y %s to %s, Z %s to %s %s.",
		n(low.X, math.Floor), n(high.X, math.Ceil), n(low.Y, math.Floor), n(high.Y, math.Ceil),
		n(low.Z-p.Zero, math.Floor), n(high.Z-p.Zero, math.Ceil), p.Machine.Unit)
	return measure.Say("%v", measure.Near{Text: text, Decimals: decimals})
}

package post

import (
	"fmt"
	"math"
	"strings"

	"dishwright/machines"
)

// cautions are the usual ones; each program carries them.
var cautions = []string{
	"CAUTION: a cutter cuts hands, spinning or still. Dust harms lungs, noise harms ears, chips can burn.",
	"Protect eyes, ears and lungs, and run dust collection. Keep hands, sleeves and hair away.",
	"Hold the blank down firmly, outside the cutter's way. Stay beside the machine with the emergency stop in reach.",
	"Read a new program, and run it in the air first: Z0 no higher than the travel, then set it back.",
	"The machine's own manual, local codes and licensed practice come before anything said here.",
	"A program stop is a pause, not a guard: it need not stop a spindle. Never reach near the cutter on the strength of it.",
}

// CommentText makes text harmless inside a comment: printable ASCII without
// parentheses, and without semicolons, which some controllers take for the end of
// a line; other characters become a question mark, white space a space.
func CommentText(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '(' || r == '[' || r == '{':
			b.WriteByte('[')
		case r == ')' || r == ']' || r == '}':
			b.WriteByte(']')
		case r == ';':
			b.WriteByte(',')
		case r == '\n' || r == '\t' || r == '\r':
			b.WriteByte(' ')
		case r < ' ' || r > '~':
			b.WriteByte('?')
		default:
			b.WriteRune(r)
		}
	}
	return strings.TrimSpace(b.String())
}

// CutterName returns a cutter's name as a program carries it.
func CutterName(name string) string {
	s := CommentText(name)
	if len(s) > nameWidth {
		s = s[:nameWidth]
	}
	return strings.TrimSpace(s)
}

const (
	nameWidth    = 100
	commentWidth = 100 // readable on a controller's screen
)

// writeComment writes text as comments, wrapped between words.
func (o *writer) writeComment(text string) {
	line := ""
	flush := func() {
		if line != "" {
			o.writeLine("(" + harmless(line) + ")")
			line = ""
		}
	}
	for _, word := range strings.Fields(CommentText(text)) {
		if line != "" && len(line)+1+len(word) > commentWidth {
			flush()
		}
		for len(word) > commentWidth {
			line, word = word[:commentWidth], word[commentWidth:]
			flush()
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	flush()
}

// instructions are the beginnings of comments that the reader takes for a statement
// about the program, or that a controller could take for a command: to show, print or
// log something, or to open a file.
var instructions = []string{"cutter:", "piece:", "set:", "setup:", "msg,", "active,", "debug,", "print,", "log,", "logopen", "logappend", "logclose",
	"probeopen", "probeclose", "py,", "abort,"}

// harmless keeps a comment from being taken for an instruction: what begins like
// one is set off.
func harmless(line string) string {
	low := strings.ToLower(strings.ReplaceAll(line, " ", ""))
	for _, begun := range instructions {
		if strings.HasPrefix(low, begun) {
			return "- " + line
		}
	}
	return line
}

// writeMessage writes a message to the operator.
func (o *writer) writeMessage(text string) { o.writeLine("(MSG, " + CommentText(text) + ")") }

// writeHead writes everything before the first section. Nothing moves or turns
// before the first M0, and then Z moves first: after touching off the cutter
// may still rest on the blank.
func (o *writer) writeHead() {
	p := o.program
	nan := math.NaN()
	o.at.X, o.at.Y, o.at.Z = nan, nan, nan
	for _, s := range p.About {
		o.writeComment(s)
	}
	o.writeLine("(cutter: " + CutterName(p.Cutter.Name) + ")")
	if p.Piece != "" {
		o.writeLine("(piece: " + CommentText(p.Piece) + ")")
	}
	if p.Set != "" {
		o.writeLine("(set: " + CommentText(p.Set) + ")")
	}
	if p.Setup != "" {
		o.writeLine("(setup: " + CommentText(p.Setup) + ")")
	}
	o.writeComment(p.extents())
	if len(p.Before) > 0 {
		o.writeComment("Before this program is started:")
	}
	for _, s := range p.Before {
		o.writeComment(s)
	}
	for _, c := range cautions {
		o.writeComment(c)
	}
	up := o.zWord(p.Clearance)
	o.writeMessage(p.startMessage(up))
	o.writeLine("M0")
	o.writeLine([...]string{"G21", "G20"}[p.Machine.Unit])
	o.writeLine("G90")
	o.writeLine("G94")
	if p.Machine.PathMode != "" {
		o.writeLine(p.Machine.PathMode)
	}
	o.writeComment("Straight to clearance, before anything turns or moves sideways.")
	o.line = append(o.line, "G0"...)
	o.axis('Z', p.Clearance, o.at.Z, p.Zero)
	o.at.Z = p.Clearance
	o.endLine()
	switch {
	case p.SpindleOff:
		return
	case p.Machine.HandRouter():
		o.writeMessage(fmt.Sprintf("Dial at %s, about %.0f rpm? Touch plate away, cutter clear of the work? Then switch the router on, keep clear of the cutter, and go on.", CommentText(p.Dial), p.speed()))
		o.writeLine("M0")
	default:
		o.writeLine(fmt.Sprintf("S%.0f", p.speed()))
		o.writeLine("M3")
	}
	o.writeComment("Wait until the spindle is up to speed.")
	o.writeDwell(p.Machine.Spindle.StartTime)
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

// startMessage is what the operator is asked before anything moves.
func (p Program) startMessage(up string) string {
	hood := ""
	if p.HoodHeight > 0 {
		hood = fmt.Sprintf(" the hood %.0f mm or more above the tip,", p.HoodHeight)
	}
	switch {
	case p.SpindleOff && p.Machine.HandRouter():
		return fmt.Sprintf("Is the router unplugged, the touch plate away? Nothing is switched on in this program. Next the cutter goes straight to %s and round the work in the air. Hands away, ready to stop it.", up)
	case p.SpindleOff:
		return fmt.Sprintf("Is the spindle still, the touch plate away? It stays off in this program. Next the cutter goes straight to %s and round the work in the air. Hands away, ready to stop it.", up)
	case p.Machine.HandRouter():
		return fmt.Sprintf("Read the cautions in this program. Is the router off, its dial at %s, the touch plate away,%s the work held? Next the cutter goes straight to %s, still off, and waits.", CommentText(p.Dial), hood, up)
	}
	return fmt.Sprintf("Read the cautions in this program. Is the spindle still, the touch plate away,%s the work held, everyone clear? Next the cutter goes straight to %s, then turns at %.0f rpm.", hood, up, p.speed())
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
		o.writeLine("M2")
		return
	}
	o.writeComment("Done: straight up and stop. What turns runs on for a while: keep hands away until it stands still.")
	if o.at.Z != p.Clearance {
		o.line = append(o.line, "G0"...)
		o.axis('Z', p.Clearance, o.at.Z, p.Zero)
		o.endLine()
	}
	if p.Machine.HandRouter() {
		o.writeMessage("Done, and the cutter is up. Switch the router off and keep hands away until it stands still.")
		o.writeLine("M0")
	} else {
		o.writeLine("M5")
	}
	o.writeLine("M2")
}

// extents says where the tip goes, in the program's own units, rounded outwards
// to hundredths of a millimetre or thousandths of an inch. It counts in whole
// steps of the coordinates, so that a lost last binary digit changes nothing.
func (p Program) extents() string {
	decimals := [...]int{2, 3}[p.Machine.Unit]
	steps := math.Pow10(max(0, p.Machine.Decimals-decimals))
	n := func(v float64, outwards func(float64) float64) string {
		return string(appendDecimal(nil, int64(outwards(math.Round(v/p.Machine.Step())/steps)), decimals))
	}
	low, high, _ := p.bounds()
	return fmt.Sprintf("The tip moves over X %s to %s, Y %s to %s, Z %s to %s %s.",
		n(low.X, math.Floor), n(high.X, math.Ceil), n(low.Y, math.Floor), n(high.Y, math.Ceil),
		n(low.Z-p.Zero, math.Floor), n(high.Z-p.Zero, math.Ceil), p.Machine.Unit)
}

package post

import (
	"fmt"
	"math"
	"strings"
)

// cautions are the usual ones; each program carries them.
var cautions = []string{
	"CAUTION: a spinning cutter cuts hands, dust harms lungs, noise harms ears, chips can burn.",
	"Wear eye and ear protection and a dust mask; run dust collection. Keep hands, sleeves and hair away.",
	"Hold the blank down firmly, outside the cutter's way. Stay beside the machine with the emergency stop in reach.",
	"Run a new program in the air first, well above the work. Read it before you run it.",
	"The machine's own manual, local codes and licensed practice come before anything said here.",
	"A program stop is a pause, not a guard: it need not stop a spindle. Never reach near the cutter on the strength of it.",
}

// Plain makes text harmless inside a comment: printable ASCII without
// parentheses; other characters become a question mark, white space a space.
func Plain(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '(' || r == '[' || r == '{':
			b.WriteByte('[')
		case r == ')' || r == ']' || r == '}':
			b.WriteByte(']')
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
	s := Plain(name)
	if len(s) > nameWidth {
		s = s[:nameWidth]
	}
	return strings.TrimSpace(s)
}

const (
	nameWidth    = 100
	commentWidth = 100 // readable on a controller's screen
)

// comment writes text as comments, wrapped between words.
func (o *writer) comment(text string) {
	line := ""
	for _, word := range strings.Fields(Plain(text)) {
		for len(word) > commentWidth {
			if line != "" {
				o.say("(" + line + ")")
				line = ""
			}
			o.say("(" + word[:commentWidth] + ")")
			word = word[commentWidth:]
		}
		if line != "" && len(line)+1+len(word) > commentWidth {
			o.say("(" + harmless(line) + ")")
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line != "" {
		o.say("(" + harmless(line) + ")")
	}
}

// harmless keeps a comment from being taken for an instruction to a controller
// or to the reader: what begins like one is set off.
func harmless(line string) string {
	low := strings.ToLower(strings.ReplaceAll(line, " ", ""))
	if strings.HasPrefix(low, "msg,") || strings.HasPrefix(low, "cutter:") {
		return "- " + line
	}
	return line
}

// message writes a message to the operator.
func (o *writer) message(text string) { o.say("(MSG, " + Plain(text) + ")") }

// head writes everything before the first section. Nothing moves or turns
// before the first M0, and then Z moves first: after touching off the cutter
// may still rest on the blank.
func (o *writer) head() {
	p := o.program
	nan := math.NaN()
	o.at.X, o.at.Y, o.at.Z = nan, nan, nan
	for _, s := range p.About {
		o.comment(s)
	}
	o.say("(cutter: " + CutterName(p.Cutter.Name) + ")")
	o.comment(p.extents())
	for _, c := range cautions {
		o.comment(c)
	}
	if p.Machine.Hand() {
		o.message("Read the cautions in this program. Router off, touch plate away, work held. Next: the cutter lifts, then a second stop.")
	} else {
		o.message(fmt.Sprintf("Read the cautions in this program. Touch plate away, work held, all clear. Next: the cutter lifts, then turns at %.0f.", p.Speed))
	}
	o.say("M0")
	o.say([...]string{"G21", "G20"}[p.Machine.Unit])
	for _, g := range [...]string{"G17", "G90", "G94", "G40"} {
		o.say(g)
	}
	o.say(p.Machine.PathMode)
	o.comment("Lift before anything turns.")
	o.line = append(o.line, "G0"...)
	o.axis('Z', p.Clearance, o.at.Z, p.Zero)
	o.at.Z = p.Clearance
	o.end()
	if p.Machine.Hand() {
		o.message(fmt.Sprintf("Set the dial to %s, about %.0f turns a minute. Touch plate away and the cutter clear of the work? Then switch the router on.", Plain(p.Dial), p.Speed))
		o.say("M0")
	} else {
		o.say(fmt.Sprintf("S%.0f", p.Speed))
		o.say("M3")
	}
	o.comment("Wait until the spindle is up to speed.")
	o.say("G4 P" + string(appendDecimal(nil, int64(math.Ceil(p.Machine.Spindle.Start*10)), 1)))
}

// tail lifts, stops the spindle and ends. Nothing moves sideways after it.
func (o *writer) tail() {
	p := o.program
	if o.err != nil {
		return
	}
	o.comment("Done: lift and stop.")
	if o.at.Z != p.Clearance {
		o.line = append(o.line, "G0"...)
		o.axis('Z', p.Clearance, o.at.Z, p.Zero)
		o.end()
	}
	if p.Machine.Hand() {
		o.message("Done. Switch the router off and wait until it stands still.")
		o.say("M0")
	} else {
		o.say("M5")
	}
	o.say("M2")
}

// extents says where the tip goes, in the program's own units.
func (p Program) extents() string {
	u := p.Machine.Unit
	lo := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	hi := [3]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	for _, s := range p.Sections {
		for _, m := range s.Moves {
			for i, v := range [...]float64{m.To.X, m.To.Y, m.To.Z - p.Zero} {
				lo[i], hi[i] = math.Min(lo[i], v), math.Max(hi[i], v)
			}
		}
	}
	d := 2
	if u.Size() > 1 {
		d = 3
	}
	n := func(v float64) string { return fmt.Sprintf("%.*f", d, math.Round(v/u.Size()*1e4)/1e4+0) }
	return fmt.Sprintf("The tip moves over X %s to %s, Y %s to %s, Z %s to %s %s.",
		n(lo[0]), n(hi[0]), n(lo[1]), n(hi[1]), n(lo[2]), n(hi[2]), u)
}

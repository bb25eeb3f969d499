package job

import (
	"fmt"
	"math"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/machines"
)

// What is suggested where something is missing suits what the rest of the file says, in the
// builder's unit: nothing is suggested that would be refused.

// writes returns a length in mm as the builder writes it.
func (l *Reader) writes(mm float64) string {
	return work.Written(mm, l.Inches)
}

// like returns an example in millimetres as the builder writes such a one.
func (l *Reader) like(example string) string { return l.ruler().Like(example) }

// tells returns what an error says in the builder's unit.
func (l *Reader) tells(err error) string { return measure.Written(err.Error()).In(l.ruler()) }

func (l *Reader) ruler() measure.Ruler { return measure.Ruler{Inches: l.Inches} }

// peeked returns the length under a key, 0 where there is none that can be read or it is
// out of a range; inches says whether it is in inches.
func peeked(m *strict.Map, name string, r measure.Range) (mm float64, inches bool) {
	v, ok := m.PeekLength(name)
	if !ok || !r.Holds(v.MM) {
		return 0, false
	}
	return v.MM, v.Unit.Imperial()
}

// usualCutter returns what may be written under each key of a cutter that lacks it, by its
// shape, its diameter, the machine, and what else is said of it.
func (l *Reader) usualCutter(w *work.Work, m *strict.Map) map[string]string {
	inches := l.Inches
	peek := func(name string) float64 {
		v, in := peeked(m, name, l.In.Expected("shelf/*/"+name))
		inches = inches || in && name != "diameter" && name != "shank" // half an inch is sold everywhere
		return v
	}
	corner, core, across := peek("corner"), peek("core"), peek("diameter")
	flutes, depth, out, shank := peek("flute length"), peek("depth of cut"), peek("stick out"), peek("shank")
	peek("chip load")
	shape := "flat"
	if word := m.Written("shape"); word == "ball" || word == "bull" {
		shape = word
	} else if corner > 0 {
		shape = "bull"
	}
	if across == 0 {
		if across = 12; inches {
			across = 12.7
		}
		across = max(across, math.Ceil(4*corner), math.Ceil(2*core))
	}
	c := work.UsualCutter(w.Machine, shapes[shape], across, inches)
	if shank > 0 { // its own, not what the machine would take
		c.FluteLength = min(c.FluteLength, max(3*shank, depth))
	}
	c.FluteLength = max(c.FluteLength, depth)
	if out > 0 && c.FluteLength > out {
		c.FluteLength = out
	}
	if flutes > 0 {
		c.DepthOfCut = min(c.DepthOfCut, flutes)
	}
	if c.Corner == 0 {
		c.Corner = work.UsualCutter(w.Machine, path.Bull, across, inches).Corner
	}
	write := func(mm float64) string { return work.Written(mm, inches) }
	return map[string]string{"shape": shape, "diameter": write(across), "flutes": fmt.Sprint(c.Flutes), "flute length": write(c.FluteLength),
		"speed": measure.FormatShort(c.Speed, 0), "chip load": write(c.ChipLoad), "depth of cut": write(c.DepthOfCut), "corner": write(c.Corner)}
}

// usualMachine returns the name of the smallest built-in machine that the face fits, one that
// counts in the builder's unit where there is one.
func (l *Reader) usualMachine() string {
	wide, inches := 0.0, false
	for _, name := range [...]string{"diameter", "length"} {
		if v, in := peeked(l.Root.Map, name, l.In.Expected(name)); v > wide {
			wide, inches = v, in
		}
	}
	best, room := "bench-600", math.Inf(1)
	for _, name := range machines.BuiltinNames() {
		m, _ := machines.Builtin(name)
		own := min(m.Travel.X, m.Travel.Y)
		if inches != (m.Unit == machines.Inches) {
			own = float64(10 * own) // any other first
		}
		if wide > 0 && min(m.Travel.X, m.Travel.Y) >= wide && own < room {
			best, room = name, own
		}
	}
	return best
}

// usualFace returns a diameter that the machine takes: 600 mm or 24 in, or less.
func (l *Reader) usualFace(w *work.Work) string {
	most, step := 600.0, 10.0
	if l.Inches {
		most, step = 24*25.4, 25.4
	}
	if t := min(w.Machine.Travel.X, w.Machine.Travel.Y); t > 0 {
		most = min(most, max(l.Root.Key("diameter").Least, t-landRound))
	}
	return l.writes(float64(math.Floor(most/step+1e-9) * step))
}

// usualSide returns what one side of a blank needs for the face, where only the other is said.
func (l *Reader) usualSide(w *work.Work, side string) string {
	across := 600.0 // as gauges take
	long, wide := w.Region.Size()
	switch {
	case side == "width" && wide > 0:
		across = wide
	case long > 0:
		across = long
	}
	s := SuggestBlank(across, across, 0, landBoard, 0, l.Inches)
	return s.Text(s.Length)
}

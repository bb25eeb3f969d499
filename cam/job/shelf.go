package job

import (
	"cmp"
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/machines"
)

// coreShare of the diameter is taken not to cut, for cutters other than balls that do not
// say: common for inserts and for flat ends without centre edges.
const coreShare = 0.3

// defaultShelf is the shelf of a job that has none: two cutters that
// most workshops own.
func defaultShelf() []path.Cutter {
	const half = 12.7
	flat, ball := work.UsualCutter(machines.Machine{}, path.Flat, half, false), work.UsualCutter(machines.Machine{}, path.Ball, half, false)
	flat.Name, ball.Name = "half-inch flat", "half-inch ball"
	return []path.Cutter{flat, ball}
}

// shelf reads the cutters, or takes the usual ones.
func (l *Reader) shelf(w *work.Work) {
	if !l.Root.Has("shelf") {
		for _, c := range defaultShelf() {
			c.Ramp = l.Root.In("shelf").In("*").Amount("ramp")
			c.Core = standardCore(c)
			c.Shank = work.UsualShank(w.Machine, c.Diameter)
			c.StickOut = l.standardStickOut(w, c)
			w.Shelf = append(w.Shelf, c)
		}
		l.Root.Took("shelf", l.Root.Key("shelf").Default)
		return
	}
	m, ok := l.Root.Section("shelf")
	if !ok {
		return
	}
	if len(m.Keys()) == 0 {
		l.Root.Fault("shelf", "the shelf is empty", "name the cutters that you own, or remove the key: then a small usual shelf is taken")
	}
	seen := map[string]string{}
	for _, name := range m.Keys() {
		if other, ok := seen[programName(name)]; ok {
			m.FaultAtKey(name, fmt.Sprintf("the cutter %q reads like %q in a program", name, other), "names that differ in plain letters and digits")
		}
		seen[programName(name)] = name
		if n := utf8.RuneCountInString(name); w.Machine.LongestLine > 0 && n > w.Machine.LongestName() {
			m.FaultAtKey(name, fmt.Sprintf("the cutter's name has %d characters, too many for the line of a program that names it", n),
				fmt.Sprintf("at most %d fit the longest line of %s, which has %d", w.Machine.LongestName(), w.Machine.Name, w.Machine.LongestLine))
		}
		if strings.EqualFold(name, work.Auto) {
			m.FaultAtKey(name, fmt.Sprintf("%q cannot be the name of a cutter", name), "auto leaves the choice to the planner: another name")
		}
		if c, ok := m.Section(name); ok {
			w.Shelf = append(w.Shelf, l.cutter(w, name, c))
		}
	}
}

// programName is what of a name is surely told apart in a program's comments, on
// a small screen too: its plain characters without blanks, letter case and the
// signs that a comment cannot hold as they are.
func programName(name string) string {
	var b []byte
	for _, r := range strings.ToLower(name) {
		if r > ' ' && r <= '~' && !strings.ContainsRune("()[]{};,?", r) {
			b = append(b, byte(r))
		}
	}
	return string(b)
}

// shapes are the words for shapes.
var shapes = map[string]path.Shape{"ball": path.Ball, "flat": path.Flat, "bull": path.Bull}

// cutter reads one cutter.
func (l *Reader) cutter(w *work.Work, name string, m *keys.Section) path.Cutter {
	hints := l.usualCutter(w, m.Map)
	m.Like(hints)
	c := path.Cutter{Name: name, Shape: shapes[m.Word("shape")], Diameter: m.Amount("diameter"), Flutes: 1}
	if n, ok := m.Count("flutes"); ok {
		c.Flutes = n
	}
	c.FluteLength = m.Amount("flute length")
	c.Speed = l.speed(w, m, "speed")
	if c.FastestSpeed = c.Speed; m.Has("fastest speed") {
		c.FastestSpeed = l.speed(w, m, "fastest speed")
	}
	c.ChipLoad = m.Amount("chip load")
	c.DepthOfCut = m.Amount("depth of cut")
	l.corner(&c, m, hints["corner"])
	l.optional(w, &c, m)
	l.tookOf(c, m)
	return c
}

// corner reads the corner of a bull; other shapes have none of their own.
func (l *Reader) corner(c *path.Cutter, m *keys.Section, usual string) {
	if c.Shape == path.Bull {
		m.Require("corner")
	}
	v, ok := m.Length("corner")
	if !ok {
		return
	}
	switch {
	case c.Shape != path.Bull && m.Has("shape"):
		m.Fault("corner", fmt.Sprintf("a %s cutter has no corner of its own", c.Shape), "shape: bull, or no corner")
	case !(v.MM > 0) || (c.Diameter > 0 && !(v.MM < c.Diameter/2)):
		m.Fault("corner", fmt.Sprintf("a corner of %s does not fit a diameter of %s", v, l.writes(c.Diameter)), "more than 0 and less than half the diameter, such as corner: "+usual+"; a ball has no flat left")
	}
	c.Corner = v.MM
}

// optional reads what a cutter may leave out.
func (l *Reader) optional(w *work.Work, c *path.Cutter, m *keys.Section) {
	c.Core = standardCore(*c)
	if m.Has("core") {
		if c.Core = m.Amount("core"); c.Diameter > 0 && c.Core >= c.Diameter {
			m.Fault("core", "a core as wide as the cutter leaves nothing to cut with", "less than the diameter: write core: "+l.writes(float64(coreShare*c.Diameter)))
		}
	}
	c.Ramp = m.Amount("ramp")
	if m.Has("shank") {
		c.Shank = m.Amount("shank")
	} else {
		c.Shank = work.UsualShank(w.Machine, c.Diameter)
	}
	if m.Has("stick out") {
		if c.StickOut = m.Amount("stick out"); c.StickOut > 0 && c.StickOut < c.FluteLength {
			m.Fault("stick out", "the holder would grip the flutes", "more than the flute length: write stick out: "+l.writes(l.standardStickOut(w, *c)))
		}
	} else {
		c.StickOut = l.standardStickOut(w, *c)
	}
}

// tookOf notes in one line what a cutter leaves out; where its speed is already
// the fastest is no news.
func (l *Reader) tookOf(c path.Cutter, m *keys.Section) {
	var taken []string
	for _, v := range [...]struct {
		key, value string
	}{
		{"shank", measure.Length{MM: c.Shank}.String()},
		{"stick out", measure.Length{MM: c.StickOut}.String()},
		{"core", measure.Length{MM: c.Core}.String()},
		{"ramp", measure.TrimZeros(measure.FormatFixed(c.Ramp*180/math.Pi, 1)) + " deg"},
	} {
		if !m.Has(v.key) {
			taken = append(taken, v.key+" "+v.value)
		}
	}
	if len(taken) > 0 {
		l.Take("shelf, "+c.Name, strings.Join(taken, ", "), "as the collets, the flutes and the shape suggest")
	}
}

// speed reads a speed in rpm. What its bounds are is told with those of the machine.
func (l *Reader) speed(w *work.Work, m *keys.Section, key string) float64 {
	if !m.Stands(key) {
		return 0
	}
	v, ok := m.Number(key)
	if k := m.Key(key); ok && !k.Range().Holds(v) {
		hint := fmt.Sprintf("rpm, from %.0f to %.0f", k.Least, k.Most)
		if s := w.Machine.Spindle; s.Fastest > 0 {
			hint += fmt.Sprintf("; %s turns at %.0f to %.0f", w.Machine.Name, s.Slowest, s.Fastest)
		}
		m.Fault(key, fmt.Sprintf("%s %g is out of range", key, v), hint)
	}
	return v
}

func standardCore(c path.Cutter) float64 {
	if c.Shape == path.Ball {
		return 0
	}
	return float64(coreShare * c.Diameter)
}

// standardStickOut leaves room between holder and flutes, and between holder
// and blank.
func (l *Reader) standardStickOut(w *work.Work, c path.Cutter) float64 {
	deep := 0.0
	if w.Face.Rim > 0 {
		deep = w.Face.Sagitta()
	}
	return work.UsualStickOut(c.Shank, c.FluteLength, deep)
}

// cutterName reads which cutter does something.
func (l *Reader) cutterName(key string, w *work.Work) string {
	if !l.Root.Has(key) {
		l.Root.Took(key, work.Auto)
		return work.Auto
	}
	return cmp.Or(l.onShelf(l.Root, key, w, work.Auto), work.Auto)
}

package job

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"dishwright/cam"
	"dishwright/cam/job/key"
	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/machines"
)

const (
	mostCutters = 40
	// standardRamp is the steepest way down into stock where the job says
	// nothing, in degrees: common practice for cutters without centre edges.
	standardRamp = 3.0
	// coreShare of the diameter is taken not to cut, for cutters other than balls
	// that do not say: common for inserts and for flat ends without centre edges.
	coreShare = 0.3
)

// defaultShelf is the shelf of a job that has none: two cutters that
// most workshops own.
func defaultShelf() []path.Cutter {
	const half = 12.7
	flat, ball := cam.UsualCutter(machines.Machine{}, path.Flat, half, false), cam.UsualCutter(machines.Machine{}, path.Ball, half, false)
	flat.Name, ball.Name = "half-inch flat", "half-inch ball"
	return []path.Cutter{flat, ball}
}

// shelf reads the cutters, or takes the usual ones.
func (l *loader) shelf(w *cam.Work) {
	if !l.root.Has("shelf") {
		for _, c := range defaultShelf() {
			c.Ramp = standardRamp * math.Pi / 180
			c.Core = standardCore(c)
			c.Shank = cam.UsualShank(w.Machine, c.Diameter)
			c.StickOut = l.standardStickOut(w, c)
			w.Shelf = append(w.Shelf, c)
		}
		l.took("shelf", "half-inch flat, half-inch ball", "a small usual one; name your own cutters and what they may do")
		return
	}
	m, ok := l.root.Map("shelf")
	if !ok {
		return
	}
	switch n := len(m.Keys()); {
	case n == 0:
		l.fault(l.root, "shelf", "the shelf is empty", "name the cutters that you own, or remove the key: then a small usual shelf is taken")
		return
	case n > mostCutters:
		l.fault(l.root, "shelf", fmt.Sprintf("a shelf of %d cutters is too long", n), fmt.Sprintf("at most %d", mostCutters))
		return
	}
	l.mark("shelf/", m)
	seen := map[string]string{}
	for _, name := range m.Keys() {
		if other, ok := seen[programName(name)]; ok {
			l.doc.Fault(m.KeyPos(name), fmt.Sprintf("the cutter %q reads like %q in a program", name, other), "names that differ in plain letters and digits")
		}
		seen[programName(name)] = name
		if n := utf8.RuneCountInString(name); w.Machine.LongestLine > 0 && n > w.Machine.LongestName() {
			l.doc.Fault(m.KeyPos(name), fmt.Sprintf("the cutter's name has %d characters, too many for the line of a program that names it", n),
				fmt.Sprintf("at most %d fit the longest line of %s, which has %d", w.Machine.LongestName(), w.Machine.Name, w.Machine.LongestLine))
		}
		if strings.EqualFold(name, cam.Auto) {
			l.doc.Fault(m.KeyPos(name), fmt.Sprintf("%q cannot be the name of a cutter", name), "auto leaves the choice to the planner: another name")
		}
		if c, ok := m.Map(name); ok {
			l.mark("shelf/"+name+"/", c)
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
func (l *loader) cutter(w *cam.Work, name string, m *strict.Map) path.Cutter {
	c := path.Cutter{Name: name}
	m.Allow(key.Under("shelf/*")...)
	shape, _ := m.Word("shape", "ball", "flat", "bull")
	c.Shape = shapes[shape]
	c.Diameter = l.mm(m, "diameter", 0.5, 150)
	hints := l.usualCutter(w, m)
	for _, name := range [...]string{"shape", "diameter", "flutes", "flute length", "speed", "chip load", "depth of cut"} {
		m.Require(name, hints[name])
	}
	l.corner(&c, m, hints["corner"])
	c.Flutes = 1
	if n, ok := m.Int("flutes"); ok {
		if c.Flutes = n; n < 1 || n > 20 {
			l.fault(m, "flutes", "a cutter with "+measure.Count(n, "flute"), "1 to 20; most router cutters have 2")
		}
	}
	c.FluteLength = l.mm(m, "flute length", 0.5, 200)
	c.Speed = l.speed(w, m, "speed")
	if c.FastestSpeed = c.Speed; m.Has("fastest speed") {
		c.FastestSpeed = l.speed(w, m, "fastest speed")
	}
	c.ChipLoad = l.mm(m, "chip load", 0.001, 3)
	c.DepthOfCut = l.mm(m, "depth of cut", 0.05, 100)
	l.optional(w, &c, m)
	l.tookOf(c, m)
	return c
}

// corner reads the corner of a bull; other shapes have none of their own.
func (l *loader) corner(c *path.Cutter, m *strict.Map, usual string) {
	if c.Shape == path.Bull {
		m.Require("corner", usual)
	}
	v, ok := m.Length("corner")
	if !ok {
		return
	}
	switch {
	case c.Shape != path.Bull && m.Has("shape"):
		l.fault(m, "corner", fmt.Sprintf("a %s cutter has no corner of its own", c.Shape), "shape: bull, or no corner")
	case !(v.MM > 0) || (c.Diameter > 0 && !(v.MM < c.Diameter/2)):
		l.fault(m, "corner", fmt.Sprintf("a corner of %s does not fit a diameter of %s", v, measure.Length{MM: c.Diameter}), "more than 0 and less than half the diameter, such as corner: "+usual+"; a ball has no flat left")
	}
	c.Corner = v.MM
}

// optional reads what a cutter may leave out.
func (l *loader) optional(w *cam.Work, c *path.Cutter, m *strict.Map) {
	c.Core = standardCore(*c)
	if m.Has("core") {
		if c.Core = l.mm(m, "core", 0, 150); c.Diameter > 0 && c.Core >= c.Diameter {
			l.fault(m, "core", "a core as wide as the cutter leaves nothing to cut with", "less than the diameter: write core: "+l.writes(float64(coreShare*c.Diameter)))
		}
	}
	c.Ramp = standardRamp * math.Pi / 180
	if a, ok := m.Angle("ramp"); ok {
		if c.Ramp = a; !(a >= 0.2*math.Pi/180 && a <= math.Pi/4) {
			l.fault(m, "ramp", "that is no ramp", "0.2 deg to 45 deg; 3 deg is usual")
		}
	}
	if m.Has("shank") {
		c.Shank = l.mm(m, "shank", 0.5, 60)
	} else {
		c.Shank = cam.UsualShank(w.Machine, c.Diameter)
	}
	if m.Has("stick out") {
		if c.StickOut = l.mm(m, "stick out", 1, 300); c.StickOut > 0 && c.StickOut < c.FluteLength {
			l.fault(m, "stick out", "the holder would grip the flutes", "more than the flute length: write stick out: "+l.writes(l.standardStickOut(w, *c)))
		}
	} else {
		c.StickOut = l.standardStickOut(w, *c)
	}
}

// tookOf notes in one line what a cutter leaves out; where its speed is already
// the fastest is no news.
func (l *loader) tookOf(c path.Cutter, m *strict.Map) {
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
		l.took("shelf, "+c.Name, strings.Join(taken, ", "), "as the collets, the flutes and the shape suggest")
	}
}

// mm reads a length within a range as a plain number.
func (l *loader) mm(m *strict.Map, key string, least, most float64) float64 {
	v, _ := l.length(m, key, least, most)
	return v.MM
}

// speed reads a speed in rpm.
func (l *loader) speed(w *cam.Work, m *strict.Map, key string) float64 {
	v, ok := m.Number(key)
	if ok && !(v >= 100 && v <= 100_000) {
		hint := "rpm, from 100 to 100000"
		if s := w.Machine.Spindle; s.Fastest > 0 {
			hint += fmt.Sprintf("; %s turns at %.0f to %.0f", w.Machine.Name, s.Slowest, s.Fastest)
		}
		l.fault(m, key, fmt.Sprintf("%s %g is out of range", key, v), hint)
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
func (l *loader) standardStickOut(w *cam.Work, c path.Cutter) float64 {
	deep := 0.0
	if w.Face.Rim > 0 && w.Face.Kind != dish.Flat {
		deep = w.Face.Sagitta()
	}
	return cam.UsualStickOut(c.Shank, c.FluteLength, deep)
}

// cutterName reads which cutter does something.
func (l *loader) cutterName(key string, w *cam.Work) string {
	if !l.root.Has(key) {
		l.took(key, cam.Auto, "the quickest of the shelf that keeps every bound")
		return cam.Auto
	}
	name, ok := l.root.Text(key)
	if !ok || name == cam.Auto {
		return cam.Auto
	}
	names := []string{cam.Auto}
	for _, c := range w.Shelf {
		if c.Name == name {
			return name
		}
		names = append(names, c.Name)
	}
	l.fault(l.root, key, fmt.Sprintf("no cutter named %s is on the shelf", measure.Quote(name)), strict.Suggest(name, names, "write one of"))
	return cam.Auto
}

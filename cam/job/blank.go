package job

import (
	"fmt"
	"path/filepath"
	"slices"

	"dishwright/cam"
	"dishwright/cam/job/key"
	"dishwright/cam/path"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/machines"
)

// machine finds the profile that the job names.
func (l *loader) machine(w *cam.Work) {
	if !l.root.Require("machine", l.usualMachine()) {
		return
	}
	name, ok := l.root.Text("machine")
	if !ok {
		return
	}
	m, err := machines.Resolve(name, filepath.Dir(l.root.FileOf("machine")))
	if err == nil {
		w.Machine = m
		if m.Unit == machines.Inches {
			l.job.Inches, l.job.Rule = true, true
		}
		return
	}
	switch e := err.(type) {
	case *measure.Error:
		l.fault(l.root, "machine", e.Message, e.Hint)
	case strict.Faults:
		for _, f := range e {
			l.fault(l.root, "machine", profileFault(f), f.Hint)
		}
	case strict.Fault:
		l.fault(l.root, "machine", profileFault(e), e.Hint)
	default:
		l.fault(l.root, "machine", err.Error(), "dishwright machines lists the built-in ones")
	}
}

// profileFault says what is wrong with a profile, and where in it.
func profileFault(f strict.Fault) string {
	if f.Line == 0 {
		return fmt.Sprintf("profile %s: %s", f.File, f.Message)
	}
	return fmt.Sprintf("profile %s:%d:%d: %s", f.File, f.Line, f.Column, f.Message)
}

// blank reads the piece of material. Its outline may be left out: the size that
// is given tells it. Size and thickness may be left out too, but not of a mould's, which
// nothing here tells (soldBlank).
func (l *loader) blank(w *cam.Work) {
	mould := l.job.Form == key.Rim
	if mould && !l.root.Require("blank", "{shape: square, size: 620 mm, thickness: 25 mm, material: mdf}") {
		return
	}
	m, ok := l.root.MapOrEmpty("blank")
	if !ok {
		return
	}
	l.mark("blank/", m)
	m.Allow(key.Under("blank")...)
	shape := l.shape(m)
	need := map[string][]string{"square": {"size"}, "octagon": {"size"}, "rectangle": {"length", "width"}, "round": {"diameter"}}[shape]
	l.noSize, l.noThickness = !mould && !slices.ContainsFunc(need, m.Has), !mould && !m.Has("thickness")
	var size [2]float64
	for i, key := range need {
		if !l.noSize {
			m.Require(key, l.usualSide(w, key))
		}
		v, _ := l.length(m, key, leastDiameter, mostBlank)
		size[i] = v.MM
		l.inches(v)
	}
	for _, key := range []string{"size", "length", "width", "diameter"} {
		if m.Has(key) && shape != "" && !contains(need, key) {
			l.doc.Fault(m.KeyPos(key), fmt.Sprintf("a %s blank has no %s", shape, key), "a square or octagon has a size, a rectangle length and width, a round a diameter")
		}
	}
	if len(need) == 1 {
		size[1] = size[0]
	}
	if mould {
		m.Require("thickness", "25 mm")
	}
	thick, _ := l.length(m, "thickness", leastThick, mostThick)
	l.inches(thick)
	outline := map[string]dish.BlankShape{"square": dish.Square, "rectangle": dish.Rectangle, "round": dish.Round, "octagon": dish.Octagon}[shape]
	w.Blank = dish.Blank{Shape: outline, Length: size[0], Width: size[1], Thickness: thick.MM}
	w.Material = "mdf"
	if m.Has("material") {
		w.Material, _ = m.Text("material")
	} else {
		l.took("blank material", w.Material, "flat, even and usual for dishes")
	}
}

// shape reads the blank's outline, or tells it from the size that is given.
func (l *loader) shape(m *strict.Map) string {
	if m.Has("shape") {
		s, _ := m.Word("shape", "square", "rectangle", "round", "octagon")
		return s
	}
	shape, why := "square", "by the size that is given"
	switch {
	case !m.Has("size") && !m.Has("length") && !m.Has("width") && !m.Has("diameter"):
		why = "as most are sold and sawn"
		if l.job.Form == key.Board || l.job.Form == key.Gauge {
			shape = "rectangle"
		}
	case m.Has("length") || m.Has("width"):
		shape = "rectangle"
	case m.Has("diameter"):
		shape = "round"
	}
	l.took("blank shape", shape, why)
	return shape
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// mostHoldDowns is more than any blank has room for.
const mostHoldDowns = 100

// standing reads a list of things that stand about, each a map.
func (l *loader) standing(name, things string, each func(m *strict.Map)) {
	if !l.root.Has(name) {
		return
	}
	list, ok := l.root.List(name)
	if !ok {
		return
	}
	if len(list) > mostHoldDowns {
		l.fault(l.root, name, fmt.Sprintf("%d %s are too many", len(list), things), fmt.Sprintf("at most %d", mostHoldDowns))
		return
	}
	for i, v := range list {
		if m, ok := v.Map(); ok {
			m.Allow(key.Under(name + "/#")...)
			l.job.places[fmt.Sprintf("%s/%d", name, i)] = m.OwnPos()
			each(m)
		}
	}
}

// holdDowns reads the screws and clamps.
func (l *loader) holdDowns(w *cam.Work) {
	l.standing("hold downs", "hold-downs", func(m *strict.Map) {
		for _, k := range [...]string{"x", "y", "radius", "height"} {
			l.example(m, "hold downs/#/"+k)
		}
		o, _ := l.cylinder(m)
		o.In = l.inSetup(m)
		w.HoldDowns = append(w.HoldDowns, o)
	})
}

// inSetup reads in which of several setups something stands there; 0 in all.
func (l *loader) inSetup(m *strict.Map) int {
	n, ok := m.Int("setup")
	switch {
	case !ok:
		return 0
	case !l.root.Has("setups"):
		l.fault(m, "setup", "the job is cut in one setup", "setups: auto, or leave it out")
	case n < 1 || n > 6:
		l.fault(m, "setup", fmt.Sprintf("setup of %d is out of range", n), "from 1 to 6")
	}
	return n
}

// cylinder reads a round thing.
func (l *loader) cylinder(m *strict.Map) (o path.Obstacle, ok bool) {
	x, okX := l.length(m, "x", -mostBlank, mostBlank)
	y, okY := l.length(m, "y", -mostBlank, mostBlank)
	r, okR := l.length(m, "radius", 0.5, 500)
	h, okH := l.length(m, "height", 0, 200)
	return path.Obstacle{X: x.MM, Y: y.MM, Radius: r.MM, Height: h.MM}, okX && okY && okR && okH
}

// obstacles reads whatever else stands about: cylinders and fences.
func (l *loader) obstacles(w *cam.Work) {
	l.standing("obstacles", "obstacles", func(m *strict.Map) {
		if o, ok := l.obstacle(m); ok {
			o.In = l.inSetup(m)
			w.Obstacles = append(w.Obstacles, o)
		}
	})
}

// obstacle reads one: from end to end with its width, or about a place with its radius.
func (l *loader) obstacle(m *strict.Map) (o path.Obstacle, ok bool) {
	need, other := [...]string{"x", "y", "radius", "height"}, [...]string{"from", "to", "width", "height"}
	if m.Has("from") || m.Has("to") || m.Has("width") {
		need, other = other, need
	}
	for i, k := range need {
		l.example(m, "obstacles/#/"+k)
		if other[i] != k && m.Has(other[i]) {
			l.doc.Fault(m.KeyPos(other[i]), fmt.Sprintf("%s does not go with %s", other[i], need[0]), "a fence has from, to, width and height, a round thing x, y, radius and height")
			return o, false
		}
	}
	if need[0] == "x" {
		return l.cylinder(m)
	}
	h, okH := l.length(m, "height", 0, 200)
	a, okA := l.place(m, "from")
	b, okB := l.place(m, "to")
	wide, okW := l.length(m, "width", 1, 1000)
	o = path.Obstacle{X: a.X, Y: a.Y, DX: b.X - a.X, DY: b.Y - a.Y, Radius: wide.MM / 2, Height: h.MM}
	return o, okH && okA && okB && okW
}

package job

import (
	"fmt"
	"path/filepath"
	"slices"

	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/measure/strict"
	"dishwright/machines"
)

// machine finds the profile that the job names.
func (l *Reader) machine(w *work.Work) {
	if !l.Root.Has("machine") {
		l.Root.Like(map[string]string{"machine": l.usualMachine()})
	}
	name := l.Root.Text("machine")
	if name == "" {
		return
	}
	m, err := machines.Resolve(name, filepath.Dir(l.Root.FileOf("machine")))
	if err == nil {
		w.Machine = m
		if !l.Ruled && m.Unit == machines.Inches { // then the machine's unit is the likeliest
			l.Inches = true
		}
		return
	}
	switch e := err.(type) {
	case *measure.Error:
		l.Root.Fault("machine", e.Message, e.Hint)
	case strict.Faults:
		for _, f := range e {
			l.Root.Fault("machine", profileFault(f), f.Hint)
		}
	case strict.Fault:
		l.Root.Fault("machine", profileFault(e), e.Hint)
	default:
		l.Root.Fault("machine", err.Error(), "dishwright machines lists the built-in ones")
	}
}

// profileFault says what is wrong with a profile, and where in it.
func profileFault(f strict.Fault) string {
	if f.Line == 0 {
		return fmt.Sprintf("profile %s: %s", f.File, f.Message)
	}
	return fmt.Sprintf("profile %s:%d:%d: %s", f.File, f.Line, f.Column, f.Message)
}

// outlines are the words for the shapes of blanks and cut-outs.
var outlines = map[string]dish.BlankShape{"square": dish.Square, "rectangle": dish.Rectangle, "round": dish.Round, "octagon": dish.Octagon}

// blank reads the piece of material. Its outline may be left out: the size that
// is given tells it, else it is usual. Size and thickness may be left out too where the blank may
// be (soldBlank).
func (l *Reader) blank(w *work.Work, usual string) {
	m, ok := l.Root.SectionOrEmpty("blank")
	if !ok {
		return
	}
	shape := l.shape(m, usual)
	need := map[string][]string{"square": {"size"}, "octagon": {"size"}, "rectangle": {"length", "width"}, "round": {"diameter"}}[shape]
	sold := !l.Root.Key("blank").Needed
	l.noSize, l.noThickness = sold && !slices.ContainsFunc(need, m.Has), sold && !m.Has("thickness")
	var size [2]float64
	for i, key := range need {
		if !l.noSize {
			m.Like(map[string]string{key: l.usualSide(w, key)})
			m.Require(key)
		}
		size[i] = m.Amount(key)
	}
	for _, key := range []string{"size", "length", "width", "diameter"} {
		if m.Has(key) && shape != "" && !slices.Contains(need, key) {
			m.FaultAtKey(key, fmt.Sprintf("a %s blank has no %s", shape, key), "a square or octagon has a size, a rectangle length and width, a round a diameter")
		}
	}
	if len(need) == 1 {
		size[1] = size[0]
	}
	w.Blank = dish.Blank{Shape: outlines[shape], Length: size[0], Width: size[1], Thickness: m.Amount("thickness")}
	if m.Has("layers") {
		w.Layers, _ = m.Count("layers")
	}
	w.Material = m.TextOr("material")
}

// shape reads the blank's outline, or tells it from the size that is given, or takes the usual.
func (l *Reader) shape(m *keys.Section, usual string) string {
	if m.Has("shape") {
		return m.Word("shape")
	}
	shape, why := "square", m.Key("shape").Why
	switch {
	case !m.Has("size") && !m.Has("length") && !m.Has("width") && !m.Has("diameter"):
		shape, why = usual, "as most are sold and sawn"
	case m.Has("length") || m.Has("width"):
		shape = "rectangle"
	case m.Has("diameter"):
		shape = "round"
	}
	l.Take("blank shape", shape, why)
	return shape
}

// holdDowns reads the screws and clamps.
func (l *Reader) holdDowns(w *work.Work) {
	l.Root.EachSection("hold downs", func(_ int, m *keys.Section) {
		o, _ := l.cylinder(m)
		o.In = l.inSetup(m)
		w.HoldDowns = append(w.HoldDowns, o)
	})
}

// inSetup reads in which of several setups something stands there; 0 in all.
func (l *Reader) inSetup(m *keys.Section) int {
	n, ok := m.Count("setup")
	if ok && !l.Root.Has("setups") {
		m.Fault("setup", "the job is cut in one setup", "setups: auto, or leave it out")
	}
	return n
}

// cylinder reads a round thing.
func (l *Reader) cylinder(m *keys.Section) (o path.Obstacle, ok bool) {
	x, okX := m.Quantity("x")
	y, okY := m.Quantity("y")
	r, okR := m.Quantity("radius")
	h, okH := m.Quantity("height")
	return path.Obstacle{X: x, Y: y, Radius: r, Height: h}, okX && okY && okR && okH
}

// obstacles reads whatever else stands about: cylinders and fences.
func (l *Reader) obstacles(w *work.Work) {
	l.Root.EachSection("obstacles", func(_ int, m *keys.Section) {
		if o, ok := l.obstacle(m); ok {
			o.In = l.inSetup(m)
			w.Obstacles = append(w.Obstacles, o)
		}
	})
}

// obstacle reads one: from end to end with its width, or about a place with its radius.
func (l *Reader) obstacle(m *keys.Section) (o path.Obstacle, ok bool) {
	need, other := [...]string{"x", "y", "radius"}, [...]string{"from", "to", "width"}
	if m.Has("from") || m.Has("to") || m.Has("width") {
		need, other = other, need
	}
	for i, k := range need {
		m.Require(k)
		if m.Has(other[i]) {
			m.FaultAtKey(other[i], fmt.Sprintf("%s does not go with %s", other[i], need[0]), "a fence has from, to, width and height, a round thing x, y, radius and height")
			return o, false
		}
	}
	if need[0] == "x" {
		return l.cylinder(m)
	}
	a, okA := l.place(m, "from")
	b, okB := l.place(m, "to")
	wide, okW := m.Quantity("width")
	h, okH := m.Quantity("height")
	o = path.Obstacle{X: a.X, Y: a.Y, DX: b.X - a.X, DY: b.Y - a.Y, Radius: wide / 2, Height: h}
	return o, okH && okA && okB && okW
}

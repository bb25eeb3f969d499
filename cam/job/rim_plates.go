package job

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam"
	"dishwright/cam/job/key"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"
)

// plates reads the top, the back and the depths.
func (l *rimLoader) plates() {
	l.root.Require("top", "{radius: 28 ft, apex: 310 mm}")
	l.root.Require("back", "{radius: 15 ft}")
	if m, ok := l.section("top"); ok {
		l.rim.Top = l.plate(m, "top")
		l.flatAbove(m)
		if !m.Has("apex") && l.rim.Top.Kind != rim.Plane {
			l.took("top: apex", "at the widest", "where the bridge stands, about")
		}
	}
	if m, ok := l.section("back"); ok {
		l.rim.Back = l.plate(m, "back")
	}
	l.root.Require("depth", "{head: 80 mm, tail: 95 mm}")
	m, ok := l.section("depth")
	if !ok {
		return
	}
	h, _ := l.length(m, "head", 5, mostDepth)
	t, _ := l.length(m, "tail", 5, mostDepth)
	l.inches(h, t)
	l.rim.Depths = rim.Depths{Head: h.MM, Tail: t.MM}
	l.checkBackFixed(m)
}

// checkBackFixed sees that the back is fixed, and not twice: that both depths and the
// apex are too much is said once the outline is known, with the apex they imply.
func (l *rimLoader) checkBackFixed(m *strict.Map) {
	both := m.Has("head") && m.Has("tail")
	switch {
	case !m.Has("head") && !m.Has("tail"):
		l.fault(l.root, "depth", "the width of the sides is not told", "{head: 80 mm, tail: 95 mm}")
	case !both && l.rim.Back.Apex == nil:
		l.fault(l.root, "depth", "one depth alone does not fix the back", "both head and tail, or back: {apex: ...} with one of them")
	case l.rim.Back.Kind == rim.Plane && l.rim.Back.Apex != nil:
		l.fault(l.root, "back", "a flat back has no apex", "both depths, head and tail")
	}
}

// plate reads radius, shape and apex of a plate.
func (l *rimLoader) plate(m *strict.Map, name string) Plate {
	p := Plate{}
	if m.Has("shape") {
		word, _ := m.Word("shape", "sphere", "cylinder across", "cylinder along")
		p.Kind = map[string]rim.DomeKind{"cylinder across": rim.CylinderAcross, "cylinder along": rim.CylinderAlong}[word]
	}
	if m.Require("radius", "28 ft") {
		if v, ok := m.Value("radius"); ok && v.IsWord("flat") {
			p.Kind = rim.Plane
		} else if ok {
			p.Radius, _ = l.length(m, "radius", leastDome, mostRadius)
			l.radii(p.Radius)
		}
	}
	if v, ok := m.Value("apex"); m.Has("apex") && ok && !v.IsWord("at the widest") {
		switch {
		case v.IsList():
			if at, ok := l.place(m, "apex"); ok {
				p.Apex = &at
			}
		default:
			if x, ok := v.Length(); ok {
				l.inches(x)
				p.Apex = &r2.Vec{X: x.MM}
				if math.Abs(x.MM) > mostBlank {
					l.fault(m, "apex", fmt.Sprintf("an apex at %s lies beyond any body", x), "a distance from the tail")
				}
			}
		}
		if p.Kind == rim.Plane && name == "top" {
			l.fault(m, "apex", "a flat top has no apex", "leave it out, or give a radius")
		}
	}
	return p
}

// flatAbove reads from where the top is kept flat.
func (l *rimLoader) flatAbove(m *strict.Map) {
	text, ok := m.Text("flat above")
	if !ok {
		if m.Has("blend") && !m.Has("flat above") {
			l.fault(m, "blend", "a blend without a flat area", "flat above: 380 mm from tail, blend: 40 mm")
		}
		return
	}
	plain := strings.TrimSpace(text)
	for _, ending := range [...]string{" from tail", " from the tail"} {
		plain = strings.TrimSuffix(plain, ending)
	}
	v, err := measure.ParseLength(plain)
	if err != nil || !(v.MM > 0 && v.MM < mostBlank) {
		l.fault(m, "flat above", fmt.Sprintf("%s is no distance from the tail", measure.Quote(text)), "flat above: 380 mm from tail")
		return
	}
	if l.rim.Top.Kind == rim.Plane {
		l.fault(m, "flat above", "a flat top is flat everywhere", "leave it out, or give the top a radius")
		return
	}
	l.inches(v)
	l.rim.Top.FlatFrom = v.MM
	l.rim.Top.Blend = l.orLength(m, "blend", 1, mostBlank, usualBlend, "a change that a plate follows")
}

// bench reads what the builder works with.
func (l *rimLoader) bench() {
	l.rim.Step = l.orLength(l.root, "step", leastStep, mostStep, usualStep, "close enough to draw a line by")
	if m, ok := l.section("trim"); ok {
		h, _ := l.length(m, "head", 0, mostTrim)
		t, _ := l.length(m, "tail", 0, mostTrim)
		l.rim.TrimHead, l.rim.TrimTail = h.MM, t.MM
	}
	if parts := l.fractions(); parts > 0 {
		l.rim.Parts, l.rim.Fractions = parts, true
	}
	l.measured()
	l.sandingTool()
	if m, ok := l.section("plate"); ok && m.Require("radius", "28 ft") {
		if v, ok := m.Value("radius"); ok && v.IsWord("flat") {
			l.rim.Dry = math.Inf(1)
		} else if r, ok := l.length(m, "radius", leastDome, mostRadius); ok {
			l.rim.Dry = r.MM
		}
	}
	l.rim.Clamps = Clamps{Spacing: usualSpacing, Each: usualClamp}
	if m, ok := l.section("clamps"); ok {
		l.rim.Clamps.Spacing = l.orLength(m, "spacing", 5, mostBlank, usualSpacing, "common practice: a clamp every 40 mm")
		if s, ok := m.Seconds("each"); ok && s > 0 && s <= mostClampTime {
			l.rim.Clamps.Each = s
		} else if m.Has("each") && ok {
			l.fault(m, "each", "no time for a clamp", "8 s")
		}
	}
	if m, ok := l.section("glue"); ok && m.Require("open time", "8 min") {
		if l.rim.Clamps.OpenTime, ok = m.Seconds("open time"); ok && l.rim.Clamps.OpenTime <= 0 {
			l.fault(m, "open time", "a glue without open time", "what its label says, such as 8 min")
		}
	}
}

// measured reads the widths measured so far.
func (l *rimLoader) measured() {
	m, ok := l.section("measured")
	if !ok {
		return
	}
	for _, place := range key.DepthPlaces() {
		if v, ok := l.length(m, place, 1, mostDepth); ok {
			l.rim.Measured = append(l.rim.Measured, Reading{place, v.MM})
		}
	}
}

// sandingTool reads the dish or the board.
func (l *rimLoader) sandingTool() {
	if l.root.Has("dish") && l.root.Has("board") {
		l.fault(l.root, "board", "a dish and a board at once", "one job for each")
		return
	}
	need := map[string][]string{"dish": {"diameter"}, "board": {"length", "width"}}
	for _, name := range [...]string{"dish", "board"} {
		m, ok := l.section(name)
		if !ok {
			continue
		}
		t := &l.rim.Tool
		for _, k := range need[name] {
			m.Require(k, "620 mm")
		}
		r, _ := l.length(m, "radius", leastDome, mostRadius)
		d, _ := l.length(m, "diameter", leastDiameter, mostDiameter)
		long, _ := l.length(m, "length", leastDiameter, mostDiameter)
		wide, _ := l.length(m, "width", 5, mostDiameter)
		t.Radius, t.Diameter, t.Length, t.Width = r.MM, d.MM, long.MM, wide.MM
		t.Swing = l.orLength(m, "swing", 0, mostDiameter, usualSwing, "a hand's breadth back and forth")
	}
}

// mould reads how a mould's edge is cut, where it is.
func (l *rimLoader) mould() {
	if !l.root.Has("cut") {
		for _, k := range append([]string{"mould"}, mouldKeys...) {
			if l.root.Has(k) {
				l.doc.Fault(l.root.KeyPos(k), fmt.Sprintf("%s is for cutting a mould's edge", k), "cut: mould, or leave it out: sides are sanded, never cut by a spinning cutter")
			}
		}
		return
	}
	l.root.Word("cut", "mould")
	l.rim.Mould = &Mould{}
	l.root.Require("mould", "{wall: 20 mm}")
	if m, ok := l.section("mould"); ok && m.Require("wall", "20 mm") {
		v, _ := l.length(m, "wall", 3, 200)
		l.rim.Mould.Wall = v.MM
	}
	w := &l.job.Work
	w.Name = l.rim.Name
	l.cutting(w)
	if w.Pattern != cam.Auto && l.root.Has("pattern") {
		l.fault(l.root, "pattern", fmt.Sprintf("the edge of a mould is cut in laps, not in %s", w.Pattern), "pattern: auto, or leave it out")
	}
	if w.TouchOff.On == cam.TouchHole || w.TouchOff.On == cam.TouchApex {
		m, _ := l.root.Map("touch off")
		l.fault(m, "on", "a mould has no "+w.TouchOff.On+" to touch off on", "on: diagonals, corner or edges")
	}
	w.Wanted = l.rim.Top.Radius.MM
	l.job.Radius = l.rim.Top.Radius
	l.rim.Mould.Job = l.job
}

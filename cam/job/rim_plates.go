package job

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cam/job/key"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/rim"

	"gonum.org/v1/gonum/spatial/r2"
)

// plates reads the top, the back and the depths.
func (l *rimLoader) plates() {
	if m, ok := l.Root.Section("top"); ok {
		l.rim.Top = l.plate(m, "top")
		l.flatAbove(m)
		if !m.Has("apex") && l.rim.Top.Kind != rim.Plane {
			l.Take("top: apex", "at the widest", "where the bridge stands, about")
		}
	}
	if m, ok := l.Root.Section("back"); ok {
		l.rim.Back = l.plate(m, "back")
	}
	m, ok := l.Root.Section("depth")
	if !ok {
		return
	}
	l.rim.Depths = rim.Depths{Head: m.Amount("head"), Tail: m.Amount("tail")}
	l.checkBackFixed(m)
}

// checkBackFixed sees that the back is fixed, and not twice: that both depths and the
// apex are too much is said once the outline is known, with the apex they imply.
func (l *rimLoader) checkBackFixed(m *keys.Section) {
	both := m.Has("head") && m.Has("tail")
	switch {
	case !m.Has("head") && !m.Has("tail"):
		l.Root.Fault("depth", "the width of the sides is not told", l.like("{head: 80 mm, tail: 95 mm}"))
	case !both && l.rim.Back.Apex == nil:
		l.Root.Fault("depth", "one depth alone does not fix the back", "both head and tail, or back: {apex: ...} with one of them")
	case l.rim.Back.Kind == rim.Plane && l.rim.Back.Apex != nil:
		l.Root.Fault("back", "a flat back has no apex", "both depths, head and tail")
	}
}

// plate reads radius, shape and apex of a plate.
func (l *rimLoader) plate(m *keys.Section, name string) Plate {
	p := Plate{Kind: map[string]rim.DomeKind{"cylinder across": rim.CylinderAcross, "cylinder along": rim.CylinderAlong}[m.Word("shape")]}
	if m.Says("radius", "flat") {
		p.Kind = rim.Plane
	} else {
		p.Radius, _ = m.Length("radius")
	}
	if v, ok := m.Value("apex"); m.Has("apex") && ok && !v.IsWord("at the widest") {
		switch {
		case v.IsList():
			if at, ok := l.place(m, "apex"); ok {
				p.Apex = &at
			}
		default:
			if x, ok := m.Length("apex"); ok {
				p.Apex = &r2.Vec{X: x.MM}
				if math.Abs(x.MM) > mostPlace {
					m.Fault("apex", fmt.Sprintf("an apex at %s lies beyond any body", x), "a distance from the tail")
				}
			}
		}
		if p.Kind == rim.Plane && name == "top" {
			m.Fault("apex", "a flat top has no apex", "leave it out, or give a radius")
		}
	}
	return p
}

// flatAbove reads from where the top is kept flat.
func (l *rimLoader) flatAbove(m *keys.Section) {
	text := m.Text("flat above")
	if text == "" {
		for _, name := range [...]string{"blend", "flat lean"} {
			if m.Has(name) && !m.Has("flat above") {
				m.Fault(name, "a "+name+" without a flat area", l.like("flat above: 380 mm from tail, "+name+": "+m.Key(name).Example))
			}
		}
		return
	}
	plain := strings.TrimSpace(text)
	for _, ending := range [...]string{" from tail", " from the tail"} {
		plain = strings.TrimSuffix(plain, ending)
	}
	v, err := measure.ParseLength(plain)
	if err != nil || !(v.MM > 0 && v.MM < mostPlace) {
		m.Fault("flat above", fmt.Sprintf("%s is no distance from the tail", measure.Quote(text)), l.like("flat above: 380 mm from tail"))
		return
	}
	if l.rim.Top.Kind == rim.Plane {
		m.Fault("flat above", "a flat top is flat everywhere", "leave it out, or give the top a radius")
		return
	}
	l.Inches = l.Inches || v.Unit.Imperial()
	l.rim.Top.FlatFrom = v.MM
	l.rim.Top.Blend, l.rim.Top.Blends = m.Amount("blend"), m.Has("blend")
	if lean, ok := m.Quantity("flat lean"); ok {
		l.rim.Top.FlatLean = &lean
	}
}

// bench reads what the builder works with.
func (l *rimLoader) bench() {
	l.rim.Step = l.Root.Amount("step")
	trim := l.Root.In("trim")
	l.rim.TrimHead, l.rim.TrimTail = trim.Amount("head"), trim.Amount("tail")
	l.Job.Ruler.Parts = l.fractions()
	l.measured()
	l.sandingTool()
	if plate := l.Root.In("plate"); plate.Says("radius", "flat") {
		l.rim.Dry = math.Inf(1)
	} else {
		l.rim.Dry = plate.Amount("radius")
	}
	clamps, glue := l.Root.In("clamps"), l.Root.In("glue")
	each, okE := clamps.Quantity("each")
	if okE && each <= 0 {
		clamps.Fault("each", "no time for a clamp", "8 s")
	}
	openTime, okO := glue.Quantity("open time")
	if okO && openTime <= 0 {
		glue.Fault("open time", "a glue without open time", "what its label says, such as 8 min")
	}
	l.rim.Clamps = Clamps{Spacing: clamps.Amount("spacing"), Each: each, OpenTime: openTime}
}

// measured reads the widths measured so far.
func (l *rimLoader) measured() {
	m := l.Root.In("measured")
	for _, place := range key.DepthPlaces() {
		if v, ok := m.Length(place); ok {
			l.rim.Measured = append(l.rim.Measured, Reading{place, v.MM})
		}
	}
}

// sandingTool reads the dish or the board.
func (l *rimLoader) sandingTool() {
	if l.Root.Has("dish") && l.Root.Has("board") {
		l.Root.Fault("board", "a dish and a board at once", "one job for each")
		return
	}
	if !l.Root.Has("dish") { // the swing in the dish that the rim takes
		l.rim.Tool.Swing = l.Root.In("dish").Amount("swing")
	}
	if m, ok := l.Root.Section("dish"); ok {
		l.rim.Tool = Tool{Diameter: m.Amount("diameter"), Radius: m.Amount("radius"), Swing: m.Amount("swing")}
	}
	if m, ok := l.Root.Section("board"); ok {
		l.rim.Tool = Tool{Length: m.Amount("length"), Width: m.Amount("width"), Radius: m.Amount("radius"), Swing: m.Amount("swing")}
	}
}

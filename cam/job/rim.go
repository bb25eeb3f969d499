package job

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam"
	"dishwright/cam/job/key"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"
)

// Rim is a job file of the form rim as it was understood. What it says of other
// files is not looked at here. Lengths are mm; one that was left out is 0.
type Rim struct {
	File      string
	Name      string
	Inches    bool // does the builder work in inches?
	Rule      bool // is anything but a radius in inches?
	Parts     int  // of an inch, in which lengths are given too: 32 or 64
	Fractions bool // were fractions asked for?
	Outline   Line
	Top       Plate
	Back      Plate
	Depths    rim.Depths // a depth that was left out is 0
	Sides     float64
	Lining    Lining
	Blocks    rim.Depths // thickness of the blocks
	Start     Start
	Braces    []rim.Brace
	Step      float64 // between stations
	TrimTail  float64
	TrimHead  float64
	Measured  []Reading
	Tool      Tool
	Dry       float64 // radius of the plate that will be glued on, +Inf for a flat one
	Clamps    Clamps
	Mould     *Mould // where its edge is to be cut
	Defaults  []Default
	Warnings  []cam.Warning
	Shop      string  // the shop file that it was read with; empty for none
	Values    []Value // every value that counts, and where it comes from

	places map[string]strict.Pos
}

// Line is where the outline comes from: exactly one of File, Points, Path and
// Bouts says it.
type Line struct {
	File   string // of points, or of a drawing
	Points []r2.Vec
	At     []strict.Pos // of each of the points
	Path   string       // an SVG path's data
	Scale  float64      // of a path or a drawing: mm per unit
	Head   *r2.Vec      // of a closed path: the head, in its units
	Bouts  *rim.Bouts
	Curve  rim.Curve
}

// Plate is the face of a top or a back.
type Plate struct {
	Kind     rim.DomeKind
	Radius   measure.Length
	Apex     *r2.Vec // nil where it was left out, or is at the widest
	FlatFrom float64
	Blend    float64
}

// Lining is what the plate is glued to inside the sides.
type Lining struct{ Width, Height float64 }

// Start is the rim before sanding; exactly one of Flat and File is not zero, or
// neither: then Allowance counts.
type Start struct {
	Given     bool
	Flat      float64
	File      string
	Allowance float64
}

// Reading is a side's width as it was measured at a named place.
type Reading struct {
	Place string
	Width float64
}

// Tool is the dish or board that the rim is sanded in.
type Tool struct {
	Radius        float64 // its own, where it is not the top's
	Diameter      float64 // of a dish
	Length, Width float64 // of a board
	Swing         float64 // how far it is moved to either side
}

// Clamps is how the plate is clamped.
type Clamps struct {
	Spacing  float64
	Each     float64 // seconds for one
	OpenTime float64 // of the glue by its label, seconds; 0 where it is not stated
}

// Mould is the cutting of a mould's edge: the Work lacks its face and band, which
// follow from the outline and the top.
type Mould struct {
	Wall float64 // width of the band to cut, outside the outline
	Job  Job
}

// Fault returns a fault of the job file at a key, such as top/radius.
func (r Rim) Fault(key, message, hint string) strict.Fault {
	pos := Job{places: r.places}.place(key)
	return pos.Fault(r.File, message, hint)
}

// FaultAt returns a fault of the job file at a point of its outline.
func (r Rim) FaultAt(point int, message, hint string) strict.Fault {
	if point >= 0 && point < len(r.Outline.At) {
		p := r.Outline.At[point]
		return p.Fault(r.File, message, hint)
	}
	return r.Fault("outline", message, hint)
}

// The ranges are wide: see those of a dish.
const (
	leastDome      = 200.0
	mostDepth      = 500.0
	mostSides      = 20.0
	mostLining     = 100.0
	mostBlock      = 300.0
	leastStep      = 0.5
	mostStep       = 1000.0
	mostTrim       = 100.0
	mostBraces     = 60
	mostClampTime  = 3600.0
	usualStep      = 10.0
	usualSides     = 2.2
	usualAllowance = 1.5
	usualSpacing   = 40.0
	usualClamp     = 8.0
	usualSwing     = 40.0
	usualBlend     = 40.0
)

// rimLoader reads one document of a rim.
type rimLoader struct {
	loader
	rim Rim
}

// mouldKeys are the keys that say how a mould's edge is cut.
var mouldKeys = slices.DeleteFunc(key.Under("", key.Mould), func(name string) bool {
	return name == "cut" || name == "mould" || slices.Contains(key.Under("", key.Rim), name)
})

// all reads the whole file, going on after every fault.
func (l *rimLoader) all() {
	l.root.Allow(key.Under("", key.Rim, key.Mould)...)
	l.mark("", l.root)
	l.rim.Name = l.title("rim")
	if l.root.Require("form", "rim") {
		l.root.Word("form", "rim")
	}
	l.outline()
	l.plates()
	l.sides()
	l.start()
	l.braces()
	l.bench()
	l.mould()
}

// sides reads what the rim is made of.
func (l *rimLoader) sides() {
	l.rim.Sides = l.orLength(l.root, "sides", 0.5, mostSides, usualSides, "usual for bent sides")
	if m, ok := l.section("lining"); ok {
		w, _ := l.length(m, "width", 0, mostLining)
		h, _ := l.length(m, "height", 0, mostLining)
		l.rim.Lining = Lining{w.MM, h.MM}
	}
	if m, ok := l.section("blocks"); ok {
		h, _ := l.length(m, "head", 1, mostBlock)
		t, _ := l.length(m, "tail", 1, mostBlock)
		l.rim.Blocks = rim.Depths{Head: h.MM, Tail: t.MM}
	}
}

// section reads a map of known keys, where it stands.
func (l *rimLoader) section(name string) (*strict.Map, bool) {
	if !l.root.Has(name) {
		return nil, false
	}
	m, ok := l.root.Map(name)
	if ok {
		m.Allow(key.Under(name, key.Rim, key.Mould)...)
		l.mark(name+"/", m)
	}
	return m, ok
}

// start reads what the rim is before sanding.
func (l *rimLoader) start() {
	m, ok := l.section("start")
	if !ok {
		if !l.root.Has("start") {
			l.rim.Start.Allowance = usualAllowance
			l.took("start", "an allowance of 1.5 mm", "cut close to the line before bending")
		}
		return
	}
	l.rim.Start.Given = true
	if n := len(m.Keys()); n != 1 {
		l.fault(l.root, "start", "the start takes one of flat, allowance and file", "{allowance: 1.5 mm}")
		return
	}
	v, _ := l.length(m, "flat", 5, mostDepth)
	l.rim.Start.Flat = v.MM
	v, _ = l.length(m, "allowance", 0, mostLining)
	l.rim.Start.Allowance = v.MM
	l.rim.Start.File, _ = m.Text("file")
}

// braces reads the braces in the order of the file.
func (l *rimLoader) braces() {
	if !l.root.Has("braces") {
		return
	}
	m, ok := l.root.Map("braces")
	if !ok {
		return
	}
	if n := len(m.Keys()); n > mostBraces {
		l.fault(l.root, "braces", fmt.Sprintf("%d braces are too many", n), fmt.Sprintf("at most %d", mostBraces))
		return
	}
	l.mark("braces/", m)
	for _, name := range m.Keys() {
		b, ok := m.Map(name)
		if !ok {
			continue
		}
		b.Allow(key.Under("braces/*")...)
		for _, k := range [...][2]string{{"from", "[250 mm, -140 mm]"}, {"to", "[390 mm, 120 mm]"}, {"width", "8 mm"}, {"end height", "3 mm"}} {
			b.Require(k[0], k[1])
		}
		k := rim.Brace{Name: name}
		k.From, _ = l.place(b, "from")
		k.To, _ = l.place(b, "to")
		w, _ := l.length(b, "width", 0.5, mostLining)
		e, _ := l.length(b, "end height", 0, mostLining)
		k.Width, k.EndHeight = w.MM, e.MM
		l.rim.Braces = append(l.rim.Braces, k)
	}
}

// place reads a place in plan: a list of two lengths.
func (l *loader) place(m *strict.Map, key string) (r2.Vec, bool) {
	v, ok := m.Value(key)
	if !ok {
		return r2.Vec{}, false
	}
	return l.pair(v, func(v *strict.Value) (float64, bool) {
		s, ok := v.Length()
		l.inches(s)
		return s.MM, ok
	})
}

// pair reads a list of two numbers, each by read.
func (l *loader) pair(v *strict.Value, read func(*strict.Value) (float64, bool)) (r2.Vec, bool) {
	list, ok := v.List()
	if !ok {
		return r2.Vec{}, false
	}
	if len(list) != 2 {
		l.doc.Fault(v.Pos(), fmt.Sprintf("%s is a list of two: along the centre line from the tail, and across", v.Label()), "[250 mm, -140 mm]")
		return r2.Vec{}, false
	}
	x, okX := read(list[0])
	y, okY := read(list[1])
	if okX && okY && !(math.Abs(x) <= mostBlank && math.Abs(y) <= mostBlank) {
		l.doc.Fault(v.Pos(), fmt.Sprintf("%s lies beyond any body", v.Label()), "a place within the outline, from the tail and the centre line")
		return r2.Vec{}, false
	}
	return r2.Vec{X: x, Y: y}, okX && okY
}

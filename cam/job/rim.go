package job

import (
	"fmt"
	"math"

	"dishwright/cam/job/key"
	"dishwright/cam/work"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"

	"gonum.org/v1/gonum/spatial/r2"
)

// Rim is a job file of the form rim as it was understood. What it says of other
// files is not looked at here. Lengths are mm; one that was left out is 0.
type Rim struct {
	File     string
	Name     string
	Inches   bool          // is anything in inches or feet, a radius too?
	Ruler    measure.Ruler // in what it is told, as of a Job
	Outline  Line
	Top      Plate
	Back     Plate
	Depths   rim.Depths // a depth that was left out is 0
	Sides    float64
	Lining   Lining
	Blocks   rim.Depths // thickness of the blocks
	Start    Start
	SawTo    float64 // of a start that is flat or measured: how far outside the finished edge it is sawn to
	Boards   Boards
	Braces   []rim.Brace
	Step     float64 // between stations
	TrimTail float64
	TrimHead float64
	Measured []Reading
	Tool     Tool
	Dry      float64 // radius of the plate that will be glued on, +Inf for a flat one
	Clamps   Clamps
	Mould    *Mould // where its edge is to be cut
	Defaults []Default
	Warnings []work.Warning
	Shop     string  // the shop file that it was read with; empty for none
	Values   []Value // every value that counts, and where it comes from

	places map[string]strict.Pos
}

// Line is where the outline comes from: exactly one of File, Points, Path and
// Bouts says it, Bouts with points or without.
type Line struct {
	File   string       // of points, or of a drawing
	Points []r2.Vec     // all, or those that pin Bouts down
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
	FlatLean *float64 // radians; nil for the lean that touches the dome
	Blend    float64
	Blends   bool // is the blend stated?
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

// Boards are what the sides are cut from; 0 where it is not stated.
type Boards struct{ Width, Length float64 }

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

// usualAllowance is what a rim has to spare before sanding, where nothing is said of it, mm.
const usualAllowance = 1.5

// rimLoader reads one document of a rim.
type rimLoader struct {
	Reader
	rim Rim
}

// all reads the whole file, going on after every fault.
func (l *rimLoader) all() {
	l.rim.Name = l.title("rim")
	l.Root.Like(map[string]string{"form": key.Rim})
	if l.Root.Require("form") {
		l.Root.Map.Word("form", key.Rim)
	}
	l.outline()
	l.plates()
	l.sides()
	l.start()
	l.saw()
	l.braces()
	l.bench()
	l.mould()
}

// sides reads what the rim is made of.
func (l *rimLoader) sides() {
	l.rim.Sides = l.Root.Amount("sides")
	lining, blocks := l.Root.In("lining"), l.Root.In("blocks")
	l.rim.Lining = Lining{lining.Amount("width"), lining.Amount("height")}
	l.rim.Blocks = rim.Depths{Head: blocks.Amount("head"), Tail: blocks.Amount("tail")}
}

// start reads what the rim is before sanding.
func (l *rimLoader) start() {
	if !l.Root.Has("start") {
		l.rim.Start.Allowance = usualAllowance
		l.Root.Took("start", "an allowance of 1.5 mm")
	}
	m, ok := l.Root.Section("start")
	if !ok {
		return
	}
	l.rim.Start.Given = true
	if n := len(m.Keys()); n != 1 {
		l.Root.Fault("start", "the start takes one of flat, allowance and file", l.like("{allowance: 1.5 mm}"))
		return
	}
	l.rim.Start.Flat, l.rim.Start.Allowance, l.rim.Start.File = m.Amount("flat"), m.Amount("allowance"), m.Text("file")
}

// saw reads to where a rim is sawn before it is sanded, and the boards that it is of.
func (l *rimLoader) saw() {
	cut := l.rim.Start.Flat == 0 && l.rim.Start.File == "" // to its pattern
	if !cut || l.Root.Has("saw to") {
		l.rim.SawTo = l.Root.Amount("saw to")
	}
	if cut {
		l.rim.SawTo = 0
	}
	boards := l.Root.In("side boards")
	l.rim.Boards = Boards{boards.Amount("width"), boards.Amount("length")}
}

// braces reads the braces in the order of the file.
func (l *rimLoader) braces() {
	m := l.Root.In("braces")
	for _, name := range m.Keys() {
		b := m.In(name)
		k := rim.Brace{Name: name}
		k.From, _ = l.place(b, "from")
		k.To, _ = l.place(b, "to")
		k.Width, k.EndHeight = b.Amount("width"), b.Amount("end height")
		l.rim.Braces = append(l.rim.Braces, k)
	}
}

// place reads a place in plan: a list of two lengths.
func (l *Reader) place(m *keys.Section, key string) (r2.Vec, bool) {
	if !m.Stands(key) {
		return r2.Vec{}, false
	}
	v, ok := m.Value(key)
	if !ok {
		return r2.Vec{}, false
	}
	return l.pair(v, l.lengthOf)
}

// lengthOf reads a length in mm, and notes its unit.
func (l *Reader) lengthOf(v *strict.Value) (float64, bool) {
	s, ok := v.Length()
	l.Inches = l.Inches || s.Unit.Imperial()
	return s.MM, ok
}

// mostPlace is further than any place lies from the middle or the tail, mm.
const mostPlace = 5000.0

// pair reads a list of two numbers, each by read.
func (l *Reader) pair(v *strict.Value, read func(*strict.Value) (float64, bool)) (r2.Vec, bool) {
	list, ok := v.List()
	if !ok {
		return r2.Vec{}, false
	}
	if len(list) != 2 {
		l.Doc.Fault(v.Pos(), fmt.Sprintf("%s is a list of two: along the centre line from the tail, and across", v.Label()), l.like("[250 mm, -140 mm]"))
		return r2.Vec{}, false
	}
	x, okX := read(list[0])
	y, okY := read(list[1])
	if okX && okY && !(math.Abs(x) <= mostPlace && math.Abs(y) <= mostPlace) {
		l.Doc.Fault(v.Pos(), fmt.Sprintf("%s lies beyond any body", v.Label()), "a place within the outline, from the tail and the centre line")
		return r2.Vec{}, false
	}
	return r2.Vec{X: x, Y: y}, okX && okY
}

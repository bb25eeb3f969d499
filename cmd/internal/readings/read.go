package readings

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"dishwright/cmd/internal/sketch"
	"dishwright/dish/fit"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
)

// Set is a file of readings as it was understood.
type Set struct {
	Name    string
	Crown   bool
	Fit     fit.Readings
	Feet    float64   // of a bar or spherometer: distance of its feet from the middle, mm; 0 where there is none
	Heights []float64 // under it, positive for a hollow
	At      []Spot    // of each reading
	Inches  bool      // is the file in inches or feet?
	Ignored int       // readings left out because the file says so

	file string
	of   strict.Pos // where the file says what was read
}

// OfFault is a fault of what the readings are of.
func (s Set) OfFault(message, hint string) error {
	if s.of.Line == 0 {
		s.of = strict.Pos{Line: 1, Column: 1}
	}
	return strict.Faults{s.of.Fault(s.file, message, hint)}
}

// Spot is where a reading was taken.
type Spot struct {
	X, Y float64
	Line int // of a straightedge, from 0
}

// mostReadings of a file: far more than anybody takes by hand, and of a scan what is
// fitted in some seconds.
const mostReadings = 20_000

// A gauge's finest step, mm: from a tenth of a thousandth, finer than any shop's, to a
// coarse rule's.
const (
	LeastGauge = 1e-4
	MostGauge  = 5.0
)

// Read reads a file; gauge is the gauge's step in mm where the call names it, else 0,
// and crown whether the call says that a crown was measured.
func Read(file string, data []byte, gauge float64, crown bool) (Set, error) {
	s := Set{Name: file, Crown: crown, file: file}
	s.Fit.Resolution = gauge
	var err error
	switch strings.ToLower(filepath.Ext(file)) {
	case ".yaml", ".yml":
		err = s.yaml(file, data)
	default:
		err = s.table(file, data)
	}
	if err != nil {
		return Set{}, err
	}
	if n := len(s.At); n > mostReadings {
		return Set{}, strict.Faults{{File: file, Line: 1, Column: 1, Message: fmt.Sprintf("%d readings are too many", n), Hint: fmt.Sprintf("at most %d", mostReadings)}}
	}
	return s, nil
}

// Apart reports whether a file is one that Read takes, by its name or its header: readings taken
// apart from the machine.
func Apart(file string, data []byte) bool {
	switch strings.ToLower(filepath.Ext(file)) {
	case ".yaml", ".yml":
		return true
	}
	h := sketch.Header(data)
	return bytes.Contains(h, []byte("z_")) || bytes.Contains(h, []byte("depth"))
}

// add takes a place.
func (s *Set) add(x, y, z float64, line int) {
	s.Fit.List = append(s.Fit.List, fit.Reading{At: r3.Vec{X: x, Y: y, Z: z}, Line: line})
	s.At = append(s.At, Spot{x, y, line})
}

// table reads places x, y, z, or depths under a straightedge at x.
func (s *Set) table(file string, data []byte) error {
	t, err := sketch.Table(file, data, sketch.Column{Name: "x", Needed: true}, sketch.Column{Name: "y"}, sketch.Column{Name: "z"}, sketch.Column{Name: "depth"})
	if err != nil {
		return err
	}
	s.Inches = t.Inches
	x, y, z, depth := t.MM("x"), t.MM("y"), t.MM("z"), t.MM("depth")
	fault := func(message string) error {
		return strict.Faults{{File: file, Line: 1, Column: 1, Message: message, Hint: "the columns are x_mm,y_mm,z_mm for places, or x_mm,depth_mm for depths under a straightedge laid across the apex"}}
	}
	switch {
	case t.Rows() == 0:
		return fault("the table holds no readings")
	case depth != nil && (y != nil || z != nil):
		return fault("places and depths in one table")
	case depth != nil:
		s.Fit.LineCount = 1
		for i := range x {
			s.add(x[i], 0, -depth[i], 0)
		}
	case y == nil || z == nil:
		return fault("the table has neither places nor depths")
	default:
		for i := range x {
			s.add(x[i], y[i], z[i], 0)
		}
	}
	return nil
}

// yamlReader reads one document.
type yamlReader struct {
	doc  *strict.Document
	root *strict.Map
	unit func(*strict.Value) (float64, bool)
	set  *Set
}

// kinds are the ways of measuring, of which a file has one.
var kinds = []string{"points", "straightedge", "bar", "spherometer"}

func (s *Set) yaml(file string, data []byte) error {
	doc, err := strict.Open(file, data)
	if err != nil {
		return err
	}
	r := &yamlReader{doc: doc, root: doc.Root(), set: s}
	r.all()
	return doc.Err()
}

func (r *yamlReader) all() {
	r.root.Allow(append([]string{"name", "of", "gauge", "unit", "ignore"}, kinds...)...)
	if name, ok := r.root.Text("name"); ok {
		r.set.Name = name
	}
	if w, ok := r.root.Word("of", "hollow", "crown"); ok {
		r.set.Crown, r.set.of = w == "crown", r.root.Pos("of")
	}
	if g, ok := r.root.Length("gauge"); ok {
		if !(g.MM >= LeastGauge && g.MM <= MostGauge) {
			r.doc.Fault(r.root.Pos("gauge"), fmt.Sprintf("a gauge that reads in steps of %s", g), "the finest step that it shows, such as 0.01 mm")
		}
		r.set.Fit.Resolution = g.MM
	}
	r.units()
	var has []string
	for _, k := range kinds {
		if r.root.Has(k) {
			has = append(has, k)
		}
	}
	if len(has) != 1 {
		r.doc.Fault(r.root.OwnPos(), fmt.Sprintf("the file has %d of points, straightedge, bar and spherometer", len(has)), "one way of measuring in one file")
		return
	}
	switch has[0] {
	case "points":
		r.points()
	case "straightedge":
		r.straightedge()
	default:
		r.heights(has[0])
	}
	r.ignore()
}

// units reads how numbers are meant: each with its unit, or all in one.
func (r *yamlReader) units() {
	r.unit = func(v *strict.Value) (float64, bool) {
		l, ok := v.Length()
		r.set.Inches = r.set.Inches || l.Unit.Imperial()
		return l.MM, ok
	}
	if !r.root.Has("unit") {
		return
	}
	word, ok := r.root.Word("unit", "mm", "cm", "m", "in", "ft")
	if !ok {
		return
	}
	unit, _ := measure.ParseLength("1 " + word)
	r.set.Inches = unit.Unit.Imperial()
	r.unit = func(v *strict.Value) (float64, bool) {
		n, ok := v.Number()
		return n * unit.MM, ok
	}
}

// row reads a list of n numbers.
func (r *yamlReader) row(v *strict.Value, n int, example string) ([]float64, bool) {
	list, ok := v.List()
	if !ok {
		return nil, false
	}
	if len(list) != n {
		r.doc.Fault(v.Pos(), fmt.Sprintf("%s where %d are expected", measure.Count(len(list), "number"), n), example)
		return nil, false
	}
	out := make([]float64, n)
	for i, one := range list {
		if out[i], ok = r.unit(one); !ok {
			return nil, false
		}
	}
	return out, true
}

func (r *yamlReader) points() {
	list, _ := r.root.List("points")
	for _, v := range list {
		if p, ok := r.row(v, 3, "[x, y, z] of each place"); ok {
			r.set.add(p[0], p[1], p[2], 0)
		}
	}
}

// straightedge reads one placing, a list of [x, depth], or several, each with its
// angle.
func (r *yamlReader) straightedge() {
	list, ok := r.root.List("straightedge")
	if !ok {
		return
	}
	if len(list) == 0 || list[0].IsList() {
		r.line(list, 0, 1, 0)
		return
	}
	for n, v := range list {
		m, ok := v.Map()
		if !ok {
			continue
		}
		m.Allow("angle", "depths")
		m.Require("depths", "[[-200 mm, 0.9 mm], …]")
		angle, _ := m.Angle("angle")
		sin, cos := math.Sincos(angle)
		if depths, ok := m.List("depths"); ok {
			r.set.Fit.Angles = append(r.set.Fit.Angles, angle)
			r.line(depths, n, cos, sin)
		}
	}
}

// line reads the depths of one placing; the places that are told of its readings lie
// at its angle.
func (r *yamlReader) line(list []*strict.Value, n int, cos, sin float64) {
	r.set.Fit.LineCount = n + 1
	for _, v := range list {
		if p, ok := r.row(v, 2, "[x, depth] of each station, x from the middle"); ok {
			r.set.add(p[0], 0, -p[1], n)
			r.set.At[len(r.set.At)-1] = Spot{p[0] * cos, p[0] * sin, n}
		}
	}
}

// heights reads a bar or a spherometer.
func (r *yamlReader) heights(kind string) {
	m, ok := r.root.Map(kind)
	if !ok {
		return
	}
	m.Allow("legs", "depths")
	m.Require("legs", "200 mm")
	m.Require("depths", "[0.66 mm, 0.65 mm, 0.66 mm]")
	legs, ok := m.Length("legs")
	if ok && !(legs.MM > 1 && legs.MM < 5000) {
		r.doc.Fault(m.Pos("legs"), fmt.Sprintf("legs of %s", legs), "of a bar how far its two legs stand apart, of a spherometer the radius of the circle of its feet")
		return
	}
	r.set.Feet = legs.MM
	if kind == "bar" {
		r.set.Feet /= 2
	}
	list, _ := m.List("depths")
	for _, v := range list {
		h, ok := r.unit(v)
		if !ok {
			continue
		}
		if math.Abs(h) >= r.set.Feet {
			r.doc.Fault(v.Pos(), "a depth that no sphere has under these legs", "the height of the middle under the line of the feet")
			continue
		}
		if r.set.Crown {
			h = -h
		}
		r.set.Heights, r.set.At = append(r.set.Heights, h), append(r.set.At, Spot{})
	}
}

// ignore leaves out the readings within a circle: a plate's flat under the bridge.
func (r *yamlReader) ignore() {
	m, ok := r.root.Map("ignore")
	if !ok {
		return
	}
	m.Allow("x", "y", "radius")
	for _, k := range [...]string{"x", "y", "radius"} {
		m.Require(k, "30 mm")
	}
	x, _ := m.Length("x")
	y, _ := m.Length("y")
	radius, ok := m.Length("radius")
	if ok && !(radius.MM > 0) {
		r.doc.Fault(m.Pos("radius"), fmt.Sprintf("a radius of %s leaves nothing out", radius), "a radius above 0 mm, or no ignore")
		return
	}
	if !ok || r.set.Feet > 0 {
		if r.set.Feet > 0 {
			r.doc.Fault(r.root.KeyPos("ignore"), "depths under legs have no places to leave out", "leave the readings themselves out")
		}
		return
	}
	var list []fit.Reading
	var at []Spot
	for i, p := range r.set.At {
		if math.Hypot(p.X-x.MM, p.Y-y.MM) < radius.MM {
			r.set.Ignored++
			continue
		}
		list, at = append(list, r.set.Fit.List[i]), append(at, p)
	}
	r.set.Fit.List, r.set.At = list, at
}

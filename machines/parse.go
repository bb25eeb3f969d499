package machines

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"

	"gonum.org/v1/gonum/spatial/r3"
)

// What a profile may say. The limits are wide of any hobby router; they catch a
// slip of the unit or of a digit, and keep every later sum finite.
const (
	minTravel, maxTravel             = 1, 5000  // mm
	minFeed, maxFeed                 = 1, 1e5   // mm/min
	minAcceleration, maxAcceleration = 1, 50000 // mm/s²: a feed in a minute or more; five times free fall
	maxRounding                      = 1        // mm: rounding a corner by more would show on any dish
	minSpeed, maxSpeed               = 100, 1e5 // rpm
	maxStart                         = 120      // s
	minCollet, maxCollet             = 0.5, 30  // mm
	minBody, maxBody                 = 1, 500   // mm, of the holder and the hood
	maxEntries                       = 30       // collets, dial settings
	maxMark                          = 10       // characters of a dial setting
)

// former are the names that keys had once.
var former = strict.Former{"deviation": "corner rounding"}

// reader reads one profile; its document collects the faults.
type reader struct {
	doc *strict.Document
	top *strict.Map
	m   Machine
}

// Parse reads a machine profile. file names it in messages; the error is a
// strict.Faults that holds everything wrong with the profile. The keys:
//
//	name, travel, feed, rapid, acceleration, corner rounding, arcs,
//	decimals, spindle, collets, holder         needed
//	about, units, under gantry, between uprights, hood, errors,
//	path mode, dwell, longest line             optional
//
// corner rounding is still read as deviation, its former name. Collets come out ascending, whatever order they stand in.
func Parse(file string, data []byte) (Machine, error) {
	doc, err := former.Open(file, data)
	if err != nil {
		return Machine{}, err
	}
	r := &reader{doc: doc, top: doc.Root()}
	r.top.Allow("name", "about", "units", "travel", "under gantry", "between uprights", "feed", "rapid", "acceleration",
		"corner rounding", "path mode", "dwell", "longest line", "arcs", "decimals", "spindle", "collets", "holder", "hood", "errors")
	r.identity()
	r.axes()
	r.controller()
	r.spindle()
	r.collets()
	r.bodies()
	r.errors()
	if err := doc.Err(); err != nil {
		return Machine{}, err
	}
	return r.m, nil
}

// requireRange records a fault unless low ≤ v ≤ high. It states the range in words.
func (r *reader) requireRange(at strict.Pos, label string, v, low, high float64, unit string) bool {
	if v >= low && v <= high {
		return true
	}
	text := func(x float64) string { return measure.TrimZeros(measure.FormatFixed(x, 3)) }
	hint := "from " + text(low) + " to " + text(high)
	if unit != "" {
		hint += " " + unit
	}
	r.doc.Fault(at, label+" is out of range", "it may be "+hint)
	return false
}

// identity reads what the machine is.
func (r *reader) identity() {
	if r.top.Require("name", "my-router") {
		r.m.Name, _ = r.top.Text("name")
	}
	r.m.About, _ = r.top.Text("about")
	if unit, ok := r.top.Word("units", "mm", "in"); ok && unit == "in" {
		r.m.Unit = Inches
	}
}

// vector reads one value for each axis, each from low to high.
func (r *reader) vector(key, example, unit string, low, high float64, read func(*strict.Map, string) (float64, bool)) (v r3.Vec, m *strict.Map) {
	if !r.top.Require(key, fmt.Sprintf("{x: %s, y: %s, z: %s}", example, example, example)) {
		return v, nil
	}
	m, ok := r.top.Map(key)
	if !ok {
		return v, nil
	}
	m.Allow("x", "y", "z")
	for _, axis := range []struct {
		key string
		to  *float64
	}{{"x", &v.X}, {"y", &v.Y}, {"z", &v.Z}} {
		if !m.Require(axis.key, example) {
			continue
		}
		if value, ok := read(m, axis.key); ok && r.requireRange(m.Pos(axis.key), key+" "+axis.key, value, low, high, unit) {
			*axis.to = value
		}
	}
	return v, m
}

// length reads a length as plain mm.
func length(m *strict.Map, key string) (float64, bool) {
	l, ok := m.Length(key)
	return l.MM, ok
}

// axes reads how far and how fast each axis moves.
func (r *reader) axes() {
	feed := func(m *strict.Map, key string) (float64, bool) { return m.Feed(key) }
	acceleration := func(m *strict.Map, key string) (float64, bool) { return m.Acceleration(key) }
	r.m.Travel, _ = r.vector("travel", "600 mm", "mm", minTravel, maxTravel, length)
	r.m.Feed, _ = r.vector("feed", "5000 mm/min", "mm/min", minFeed, maxFeed, feed)
	var rapid *strict.Map
	r.m.Rapid, rapid = r.vector("rapid", "6000 mm/min", "mm/min", minFeed, maxFeed, feed)
	r.m.Acceleration, _ = r.vector("acceleration", "250 mm/s2", "mm/s2", minAcceleration, maxAcceleration, acceleration)
	if rapid != nil {
		// A controller holds every move to the rate of its traverses.
		for _, axis := range []struct {
			key         string
			feed, rapid float64
		}{{"x", r.m.Feed.X, r.m.Rapid.X}, {"y", r.m.Feed.Y, r.m.Rapid.Y}, {"z", r.m.Feed.Z, r.m.Rapid.Z}} {
			if axis.rapid > 0 && axis.feed > axis.rapid {
				r.doc.Fault(rapid.Pos(axis.key), "rapid "+axis.key+" is below the feed of this axis", "no machine cuts faster than it traverses: lower the feed or raise the rapid")
			}
		}
	}
	r.room("under gantry", &r.m.UnderGantry)
	r.room("between uprights", &r.m.BetweenUprights)
}

// room reads a length that a blank must fit into.
func (r *reader) room(key string, to *float64) {
	if v, ok := length(r.top, key); ok && r.requireRange(r.top.Pos(key), key, v, minBody, maxTravel, "mm") {
		*to = v
	}
}

// collets reads the shanks that the machine takes.
func (r *reader) collets() {
	if !r.top.Require("collets", "[6 mm, 1/4 in]") {
		return
	}
	list, ok := r.top.List("collets")
	if !ok {
		return
	}
	if len(list) == 0 || len(list) > maxEntries {
		r.doc.Fault(r.top.Pos("collets"), fmt.Sprintf("collets must list 1 to %d sizes", maxEntries), "write collets: [6 mm, 1/4 in]")
		return
	}
	for _, v := range list {
		l, ok := v.Length()
		if !ok || !r.requireRange(v.Pos(), v.Label(), l.MM, minCollet, maxCollet, "mm") {
			continue
		}
		if slices.Contains(r.m.Collets, l.MM) {
			r.doc.Fault(v.Pos(), v.Label()+": this size stands in the list already", "remove one of the two")
			continue
		}
		r.m.Collets = append(r.m.Collets, l.MM)
	}
	sort.Float64s(r.m.Collets)
}

// twoLengths reads a map of two lengths, the first from minBody and the second from low,
// both up to maxBody.
func (r *reader) twoLengths(m *strict.Map, name, first, second string, low float64) (a, b float64) {
	m.Allow(first, second)
	if m.Require(first, "40 mm") {
		if v, ok := length(m, first); ok && r.requireRange(m.Pos(first), name+" "+first, v, minBody, maxBody, "mm") {
			a = v
		}
	}
	if m.Require(second, "40 mm") {
		if v, ok := length(m, second); ok && r.requireRange(m.Pos(second), name+" "+second, v, low, maxBody, "mm") {
			b = v
		}
	}
	return a, b
}

// bodies reads what moves with the cutter.
func (r *reader) bodies() {
	if r.top.Require("holder", "{diameter: 32 mm, length: 40 mm}") {
		if m, ok := r.top.Map("holder"); ok {
			r.m.Holder.Diameter, r.m.Holder.Length = r.twoLengths(m, "holder", "diameter", "length", minBody)
		}
	}
	if m, ok := r.top.Map("hood"); ok {
		var h Hood
		h.Diameter, h.AboveTip = r.twoLengths(m, "hood", "diameter", "above tip", 0)
		r.m.Hood = &h
	}
}

// isDialMark reports whether a dial setting can be written in a program's comment and
// read on a dial: short, of letters, digits, point and hyphen.
func isDialMark(s string) bool {
	return len(s) <= maxMark && strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789.-") == ""
}

package machines

import (
	"errors"
	"fmt"
	"slices"
	"sort"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/dish/measure/strict"

	"gonum.org/v1/gonum/spatial/r3"
)

// reader reads one profile; its document collects the faults.
type reader struct {
	doc *strict.Document
	top *strict.Map
	m   Machine
}

// Parse reads a machine profile. file names it in messages; the error is a
// strict.Faults that holds everything wrong with the profile. Keys returns what it may
// hold; name, travel, feed and spindle are needed, and what is taken for the others stands
// in Defaults. Collets come out ascending, whatever order they stand in.
func Parse(file string, data []byte) (Machine, error) {
	doc, err := strict.Former(catalogue.Former()).Open(file, data)
	if err != nil {
		return Machine{}, err
	}
	doc.Expect(catalogue.Expected)
	r := &reader{doc: doc, top: doc.Root()}
	r.top.Allow(catalogue.Under("")...)
	r.identity()
	r.travel()
	r.feeds()
	r.spindle()
	r.collets()
	r.bodies()
	r.controller()
	r.errors()
	if err := doc.Err(); err != nil {
		return Machine{}, err
	}
	return r.m, nil
}

// took notes what was taken for a key that the profile leaves out.
func (r *reader) took(key, value, why string) {
	r.m.Defaults = append(r.m.Defaults, keys.Default{Key: key, Value: value, Why: why})
}

// tookKey notes what was taken for a key for the reason that the catalogue gives.
func (r *reader) tookKey(path, value string) { r.took(path, value, key(path).Why) }

// key returns the key of a path, which is in the catalogue.
func key(path string) keys.Key {
	k, ok := catalogue.Find(path)
	if !ok {
		panic("machines: no key " + path)
	}
	return k
}

// within records a fault unless v lies within the bounds of the key. It states them in the
// unit of the profile.
func (r *reader) within(at strict.Pos, label string, k keys.Key, v float64) bool {
	if k.Range().Holds(v) {
		return true
	}
	least, most := r.m.Unit.round(k, k.Least), r.m.Unit.round(k, k.Most)
	number, _, _ := strings.Cut(least, " ")
	r.doc.Fault(at, label+" is out of range", "it may be from "+number+" to "+most)
	return false
}

// quantity reads what stands at a path, whose last part is a key of the map: a number
// within the bounds of the key, in the inside unit.
func (r *reader) quantity(m *strict.Map, path string) (v float64, ok bool) {
	k, name, size := key(path), path[strings.LastIndexByte(path, '/')+1:], 1.0
	switch {
	case k.Is(keys.Length):
		var l measure.Length
		l, ok = m.Length(name)
		v = l.MM
	case k.Is(keys.Feed):
		v, ok = m.Feed(name)
	case k.Is(keys.Acceleration):
		v, ok = m.Acceleration(name)
	case k.Is(keys.Time):
		v, ok = m.Seconds(name)
	case k.Is(keys.Slope):
		v, ok = r.signedSlope(m, name, label(path))
		size = 100 // the bounds are in mm per 100 mm
	case k.Is(keys.Whole):
		var n int
		n, ok = m.Int(name)
		v = float64(n)
	default:
		v, ok = m.Number(name)
	}
	if !ok || !r.within(m.Pos(name), label(path), k, float64(size*v)) {
		return 0, false
	}
	return v, true
}

// label is what messages call the value at a path.
func label(path string) string {
	return strings.ReplaceAll(strings.TrimPrefix(path, "errors/"), "/", " ")
}

// axisTarget is an axis with where its value goes.
type axisTarget struct {
	key string
	to  *float64
}

func axesOf(v *r3.Vec) []axisTarget { return []axisTarget{{"x", &v.X}, {"y", &v.Y}, {"z", &v.Z}} }

// vector reads a value for each axis of the map at a path. Where like is given every axis
// has to be there, and like is what is suggested for it.
func (r *reader) vector(m *strict.Map, path string, like *r3.Vec) (v r3.Vec) {
	m.Allow(catalogue.Under(path)...)
	for i, a := range axesOf(&v) {
		if like != nil && !m.Require(a.key, r.m.Unit.round(key(path+"/x"), *axesOf(like)[i].to)) {
			continue
		}
		*a.to, _ = r.quantity(m, path+"/"+a.key)
	}
	return v
}

// identity reads what the machine is.
func (r *reader) identity() {
	if r.top.Require("name", key("name").Example) {
		r.m.Name, _ = r.top.Text("name")
	}
	r.m.About, _ = r.top.Text("about")
}

// travel reads how far the axes move, what the blank has to fit into, and the unit of the
// programs, which is that of the travel where the profile does not say.
func (r *reader) travel() {
	unit, stated := r.top.Word("units", key("units").Words...)
	if stated && unit == "in" {
		r.m.Unit = Inches
	}
	if r.top.Require("travel", r.m.Unit.vector("travel", r.m.Unit.usualTravel())) {
		if m, ok := r.top.Map("travel"); ok {
			if !r.top.Has("units") {
				r.m.Unit = unitOf(m)
				r.took("units", r.m.Unit.String(), "as the travel is written")
			}
			like := r.m.Unit.usualTravel()
			r.m.Travel = r.vector(m, "travel", &like)
		}
	}
	if r.top.Has("under gantry") {
		r.m.UnderGantry, _ = r.quantity(r.top, "under gantry")
	}
	if r.top.Has("between uprights") {
		r.m.BetweenUprights, _ = r.quantity(r.top, "between uprights")
	}
}

// unitOf returns the unit of the lengths of a map: inches where all that are lengths are
// in inches or feet.
func unitOf(m *strict.Map) (u Unit) {
	for _, name := range m.Keys() {
		switch l, err := measure.ParseLength(m.Written(name)); {
		case err != nil:
		case l.Unit == measure.Inch || l.Unit == measure.Foot:
			u = Inches
		default:
			return Millimetres
		}
	}
	return u
}

// feeds reads how fast the axes move.
func (r *reader) feeds() {
	u := r.m.Unit
	if r.top.Require("feed", u.vector("feed", u.usualFeed())) {
		r.feed()
	}
	if r.top.Has("rapid") {
		if m, ok := r.top.Map("rapid"); ok {
			like, usual := r.m.Feed, u.usualFeed()
			for i, a := range axesOf(&like) {
				if *a.to == 0 { // the feed is at fault
					*a.to = *axesOf(&usual)[i].to
				}
			}
			r.m.Rapid = r.vector(m, "rapid", &like)
			r.rapidAbove(m)
		}
	} else {
		r.m.Rapid = r.m.Feed
		r.tookKey("rapid", u.vector("rapid", r.m.Rapid))
	}
	usual := r.m.usualAcceleration()
	if r.top.Has("acceleration") {
		if m, ok := r.top.Map("acceleration"); ok {
			r.m.Acceleration = r.vector(m, "acceleration", &usual)
		}
	} else {
		r.m.Acceleration = usual
		r.tookKey("acceleration", u.vector("acceleration", usual))
	}
}

// feed reads the feed of each axis, or one for X and Y.
func (r *reader) feed() {
	v, ok := r.top.Value("feed")
	if !ok {
		return
	}
	if v.IsMap() || v.IsList() {
		if m, ok := v.Map(); ok {
			like := r.m.Unit.usualFeed()
			r.m.Feed = r.vector(m, "feed", &like)
		}
		return
	}
	if f, ok := r.quantity(r.top, "feed"); ok {
		z := r.m.Unit.feedOfZ(f)
		r.m.Feed = r3.Vec{X: f, Y: f, Z: z}
		r.took("feed/z", r.m.Unit.exact(key("feed/z"), z), "a third of X and Y: the Z of hobby routers is slower (common practice, from memory)")
	}
}

// rapidAbove sees that no axis traverses more slowly than it cuts: a controller holds
// every move to the rate of its traverses.
func (r *reader) rapidAbove(rapid *strict.Map) {
	feeds := axesOf(&r.m.Feed)
	for i, a := range axesOf(&r.m.Rapid) {
		if feed := *feeds[i].to; *a.to > 0 && feed > *a.to {
			r.doc.Fault(rapid.Pos(a.key), "rapid "+a.key+" is below the feed of this axis",
				"no machine cuts faster than it traverses: lower the feed, or write at least "+r.m.Unit.exact(key("rapid/x"), feed))
		}
	}
}

// collets reads the shanks that the machine takes.
func (r *reader) collets() {
	if !r.top.Has("collets") {
		text := "[6 mm, 1/4 in]"
		r.m.Collets = []float64{6, 6.35}
		if !r.m.HandRouter() {
			text, r.m.Collets = "[6 mm, 1/4 in, 1/2 in]", append(r.m.Collets, 12.7)
		}
		r.took("collets", text, "usual for "+r.m.Spindle.kind()+" (common practice, from memory): write those that you own")
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
		if !ok || !r.within(v.Pos(), v.Label(), key("collets/#"), l.MM) {
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

// bodies reads what moves with the cutter.
func (r *reader) bodies() {
	switch v, ok := r.top.Value("holder"); {
	case !r.top.Has("holder"):
		r.tookKey("holder", "none")
	case !ok || v.IsWord("none"):
	default:
		if m, ok := v.Map(); ok {
			r.m.Holder.Diameter, r.m.Holder.Length = r.twoLengths(m, "holder/diameter", "holder/length")
		}
	}
	if m, ok := r.top.Map("hood"); ok {
		var h Hood
		h.Diameter, h.AboveTip = r.twoLengths(m, "hood/diameter", "hood/above tip")
		r.m.Hood = &h
	}
}

// twoLengths reads a map of two lengths, both needed.
func (r *reader) twoLengths(m *strict.Map, first, second string) (float64, float64) {
	m.Allow(key(first).Name(), key(second).Name())
	read := func(path string) (v float64) {
		if k := key(path); m.Require(k.Name(), r.m.Unit.like(k)) {
			v, _ = r.quantity(m, path)
		}
		return v
	}
	return read(first), read(second)
}

// signedSlope reads a slope that may lie below zero.
func (r *reader) signedSlope(m *strict.Map, name, label string) (float64, bool) {
	text, ok := m.Text(name)
	if !ok {
		return 0, false
	}
	sign := 1.0
	if rest, minus := strings.CutPrefix(text, "-"); minus {
		text, sign = rest, -1
	}
	v, err := measure.ParseSlope(text)
	if err != nil {
		message := err.Error()
		if e, ok := errors.AsType[*measure.Error](err); ok {
			message = e.Message
		}
		r.doc.Fault(m.Pos(name), label+": "+message, "write it like 0.12 mm per 100 mm, or -0.12 mm per 100 mm")
		return 0, false
	}
	return float64(sign * v), true
}

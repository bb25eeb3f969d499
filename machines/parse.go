package machines

import (
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
	*keys.Reader
	top *keys.Section
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
	r := &reader{Reader: keys.NewReader(doc, catalogue)}
	r.Label, r.Bounds = label, r.bounds
	r.top = r.Root()
	r.identity()
	r.travel()
	r.feeds()
	r.spindle()
	r.collets()
	r.bodies()
	r.controller()
	r.errors()
	r.bed()
	if err := doc.Err(); err != nil {
		return Machine{}, err
	}
	r.m.Defaults = r.Taken
	return r.m, nil
}

// key returns the key of a path, which is in the catalogue.
func key(path string) keys.Key {
	k, ok := catalogue.Find(path)
	if !ok {
		panic("machines: no key " + path)
	}
	return k
}

// bounds tells the bounds of a key in the unit of the profile.
func (r *reader) bounds(k keys.Key) string {
	least, most := r.m.Unit.round(k, k.Least), r.m.Unit.round(k, k.Most)
	number, _, _ := strings.Cut(least, " ")
	return "it may be from " + number + " to " + most
}

// label is what messages call the value at a path.
func label(path string) string {
	if axis, ok := strings.CutPrefix(path, "bed/"); ok {
		return axis[strings.LastIndexByte(axis, '/')+1:] + " of a place of the bed"
	}
	return strings.ReplaceAll(strings.TrimPrefix(path, "errors/"), "/", " ")
}

// axisTarget is an axis with where its value goes.
type axisTarget struct {
	key string
	to  *float64
}

func axesOf(v *r3.Vec) []axisTarget { return []axisTarget{{"x", &v.X}, {"y", &v.Y}, {"z", &v.Z}} }

// vector reads a value for each axis; like is what is suggested for those that are missing.
func (r *reader) vector(m *keys.Section, like r3.Vec) (v r3.Vec) {
	suggested := axesOf(&like)
	for i, a := range axesOf(&v) {
		m.Like(map[string]string{a.key: r.m.Unit.round(m.Key(a.key), *suggested[i].to)})
		*a.to = m.Amount(a.key)
	}
	return v
}

// identity reads what the machine is.
func (r *reader) identity() {
	r.m.Name, r.m.About = r.top.Text("name"), r.top.Text("about")
}

// travel reads how far the axes move, what the blank has to fit into, and the unit of the
// programs, which is that of the travel where the profile does not say.
func (r *reader) travel() {
	if r.top.Word("units") == "in" {
		r.m.Unit = Inches
	}
	r.top.Like(map[string]string{"travel": r.m.Unit.vector("travel", r.m.Unit.usualTravel())})
	if m, ok := r.top.Section("travel"); ok {
		if !r.top.Has("units") {
			r.m.Unit = unitOf(m)
			r.Take("units", r.m.Unit.String(), r.top.Key("units").Default)
		}
		r.m.Travel = r.vector(m, r.m.Unit.usualTravel())
	}
	r.m.UnderGantry, r.m.BetweenUprights = r.top.Amount("under gantry"), r.top.Amount("between uprights")
}

// unitOf returns the unit of the lengths of a map: inches where all that are lengths are
// in inches or feet.
func unitOf(m *keys.Section) (u Unit) {
	for _, name := range m.Keys() {
		switch l, err := measure.ParseLength(m.Written(name)); {
		case err != nil:
		case l.Unit.Imperial():
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
	r.top.Like(map[string]string{"feed": u.vector("feed", u.usualFeed())})
	r.feed()
	if m, ok := r.top.Section("rapid"); ok {
		like, usual := r.m.Feed, u.usualFeed()
		for i, a := range axesOf(&like) {
			if *a.to == 0 { // the feed is at fault
				*a.to = *axesOf(&usual)[i].to
			}
		}
		r.m.Rapid = r.vector(m, like)
		r.rapidAbove(m)
	} else if !r.top.Has("rapid") {
		r.m.Rapid = r.m.Feed
		r.top.Took("rapid", u.vector("rapid", r.m.Rapid))
	}
	usual := r.m.usualAcceleration()
	if m, ok := r.top.Section("acceleration"); ok {
		r.m.Acceleration = r.vector(m, usual)
	} else if !r.top.Has("acceleration") {
		r.m.Acceleration = usual
		r.top.Took("acceleration", u.vector("acceleration", usual))
	}
}

// feed reads the feed of each axis, or one for X and Y.
func (r *reader) feed() {
	switch v, ok := r.top.Value("feed"); {
	case !r.top.Stands("feed") || !ok:
	case v.IsMap() || v.IsList():
		if m, ok := r.top.Section("feed"); ok {
			r.m.Feed = r.vector(m, r.m.Unit.usualFeed())
		}
	default:
		if f, ok := r.top.Quantity("feed"); ok {
			z := r.m.Unit.feedOfZ(f)
			r.m.Feed = r3.Vec{X: f, Y: f, Z: z}
			r.Take("feed/z", r.m.Unit.exact(key("feed/z"), z), "a third of X and Y: the Z of hobby routers is slower (common practice, from memory)")
		}
	}
}

// rapidAbove sees that no axis traverses more slowly than it cuts: a controller holds
// every move to the rate of its traverses.
func (r *reader) rapidAbove(rapid *keys.Section) {
	feeds := axesOf(&r.m.Feed)
	for i, a := range axesOf(&r.m.Rapid) {
		if feed := *feeds[i].to; *a.to > 0 && feed > *a.to {
			rapid.Fault(a.key, "rapid "+a.key+" is below the feed of this axis",
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
		r.Take("collets", text, "usual for "+r.m.Spindle.kind()+" (common practice, from memory): write those that you own")
		return
	}
	list, _ := r.top.Entries("collets")
	for _, v := range list {
		l, ok := r.top.Item(v, "collets")
		switch {
		case !ok:
		case slices.Contains(r.m.Collets, l.MM):
			r.Doc.Fault(v.Pos(), v.Label()+": this size stands in the list already", "remove one of the two")
		default:
			r.m.Collets = append(r.m.Collets, l.MM)
		}
	}
	sort.Float64s(r.m.Collets)
}

// bodies reads what moves with the cutter.
func (r *reader) bodies() {
	if !r.top.Has("holder") {
		r.top.Took("holder", "none")
	} else if !r.top.Says("holder", "none") {
		r.m.Holder.Diameter, r.m.Holder.Length = r.twoLengths("holder", "diameter", "length")
	}
	if r.top.Has("hood") {
		var h Hood
		h.Diameter, h.AboveTip = r.twoLengths("hood", "diameter", "above tip")
		r.m.Hood = &h
	}
}

// twoLengths reads a map of two lengths, both needed.
func (r *reader) twoLengths(name, first, second string) (float64, float64) {
	m, ok := r.top.Section(name)
	if !ok {
		return 0, 0
	}
	m.Like(map[string]string{first: r.m.Unit.like(m.Key(first)), second: r.m.Unit.like(m.Key(second))})
	return m.Amount(first), m.Amount(second)
}

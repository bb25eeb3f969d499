package shop_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"regexp"
	"strings"

	"dishwright/cam/job/key"
)

// tried is one job of a campaign.
type tried struct {
	form    string
	text    []byte
	machine []byte  // its own profile, chance.yaml beside the job; nil for a built-in one
	plain   *order  // what the tests' own evaluator holds it against; nil where it cannot
	turned  divided // plain, in several setups
}

// draw draws a job of any form, two in three on a machine whose controller is drawn as
// well, by dice of its own.
func draw(seed, number uint64) tried {
	t := drawJob(seed, number)
	if d := newDice(seed+1, number); d.often(67) {
		t = t.spoken(d)
	}
	return t
}

// drawJob draws a job. Every twentieth is one that the evaluator judges.
func drawJob(seed, number uint64) tried {
	d := newDice(seed, number)
	if number%20 == 0 {
		return d.judged()
	}
	switch n := d.IntN(100); {
	case n < 36:
		return d.round(key.Dish)
	case n < 55:
		return d.round(key.Caul)
	case n < 59:
		return d.round(key.Pair)
	case n < 67:
		return d.boardJob()
	case n < 72:
		return d.gaugeJob()
	case n < 98:
		return d.rimJob(false)
	}
	return d.rimJob(true)
}

// large is whether faces are drawn as large as they are built.
var large = os.Getenv("CAMPAIGN_LARGE") != ""

// across draws how large a face is: most are small, for they show the same faults in
// a hundredth of the time, unless large ones are asked for.
func (d dice) across() float64 {
	switch n := d.IntN(1000); {
	case large:
		return d.scale(200, 700)
	case n < 970:
		return d.scale(20, 30)
	case n < 998:
		return d.scale(36, 130)
	}
	return d.scale(220, 620)
}

// plainOrder draws a dish or a caul of nothing but what an order holds.
func (d dice) plainOrder(form string) order {
	o := order{name: "by chance", form: form}
	across := d.across()
	o.diameter = d.size(math.Max(20.5, across))
	ratio := d.scale(4, 40)
	if d.often(10) {
		ratio = d.scale(1.2, 4)
	}
	o.radius = d.size(o.diameter.mm * ratio)
	o.machine = d.pick("bench-600", "bench-400", "desktop-300", "inch-24", "wide-1250")
	o.direction = d.pick("both", "both", "both", "uphill", "along x", "along y")
	o.pattern = d.pick("auto", "auto", "auto", "auto", "raster", "rings", "spokes", "gores")
	o.scallop = d.size(d.scale(0.03, 0.5))
	if d.often(3) {
		o.scallop = d.size(d.scale(0.006, 0.02))
	}
	o.allowance, o.zeroError = d.size(d.scale(0.2, 0.8)), d.size(d.scale(0.01, 0.15))
	depth := math.Min(o.diameter.mm*o.diameter.mm/8/o.radius.mm, 60)
	o.thickness, o.floor = d.size(d.within(16, 30)+depth), milli(5)
	o.bed = d.often(40)
	if d.often(25) {
		o.covering = d.size(d.scale(0.3, 2))
		if d.often(30) {
			a, b, c := d.size(d.scale(0.3, 2)), d.size(d.scale(0.3, 2)), d.size(d.scale(0.3, 2))
			o.covering = size{text: fmt.Sprintf("{measured: [%s, %s, %s]}", a.text, b.text, c.text), mm: (a.mm + b.mm + c.mm) / 3}
		}
	}
	land := 5.0
	if form != key.Dish {
		land = 50
	}
	o.outline = d.pick("square", "round", "octagon", "rectangle")
	if !o.bed {
		land += 14
	}
	o.long = d.size((o.diameter.mm + land) * d.scale(1.011, 1.5))
	o.wide = d.size((o.diameter.mm + land) * d.scale(1.011, 1.5))
	o.shelf = d.shelf(o.diameter.mm)
	o.rough, o.finish = "auto", "auto"
	if d.often(25) {
		o.rough = o.shelf[d.IntN(len(o.shelf))].name
	}
	if d.often(25) {
		o.finish = o.shelf[d.IntN(len(o.shelf))].name
	}
	return o
}

// judged draws a job that the evaluator judges, one in four in several setups.
func (d dice) judged() tried {
	o := d.plainOrder(d.pick(key.Dish, key.Dish, key.Caul))
	if o.machine == "wide-1250" && o.pattern == "auto" {
		o.pattern = "raster" // a spiral in arcs takes the evaluator too long
	}
	if d.often(25) && o.outline == "square" {
		at := math.Floor(o.long.mm/2 - 4)
		o.pins = []pin{{at, at, 3, d.within(0, 12)}, {-at, -at, 3, d.within(0, 12)}}
	}
	switch n := d.IntN(100); {
	case n < 25:
		trueBench(&o)
	case n < 50:
		o.tilt, o.undersize = stated(math.Round(d.scale(0.002, 0.15)*1e4)/1e4), stated(math.Round(d.scale(0.005, 0.3)*1e3)/1e3)
	}
	if !d.often(25) {
		return tried{form: o.form, text: o.yaml(), plain: &o}
	}
	o.machine, o.outline = "bench-600", "square" // but for its travel
	travel := o.long.mm * d.within(0.55, 0.95)
	t := divided{order: o, x: travel, y: travel, setups: d.pick("auto", "2", "3", "4", "6"), err: d.indexError()}
	if d.often(50) {
		t.by = d.pick("two fences", "marks", "one fence")
	}
	if d.often(30) {
		t.y = o.long.mm * 1.1
	}
	return tried{form: o.form, plain: &o, turned: t, text: bytes.ReplaceAll(t.text(), []byte("machine: bench-600"), []byte("machine: chance.yaml")), machine: less(t.x, t.y)}
}

// less is bench-600 with less travel.
func less(x, y float64) []byte {
	profile, err := os.ReadFile("../../../machines/profiles/bench-600.yaml")
	if err != nil {
		panic(err)
	}
	travel := regexp.MustCompile(`(?m)^travel: .*$`)
	return travel.ReplaceAll(profile, fmt.Appendf(nil, "travel: {x: %g mm, y: %g mm, z: 90 mm}", x, y))
}

func (d dice) indexError() string {
	text := fmt.Sprintf("%.2f mm, %.2f deg", d.scale(0.01, 0.5), d.scale(0.01, 0.3))
	if d.often(70) {
		text += fmt.Sprintf(", height %.3f mm", d.scale(0.001, 0.02))
	}
	return text
}

// round draws a dish, a caul or a pair of any kind that the job language allows.
func (d dice) round(form string) tried {
	o := d.plainOrder(form)
	t := tried{form: form}
	l := lines(strings.Split(strings.TrimSpace(string(o.yaml())), "\n"))
	for i := range l { // the shelf and what follows are written again
		if l[i] == "shelf:" {
			l = l[:i]
			break
		}
	}
	l = l.drop(d, "name", "form", "floor", "zero", "zero error", "allowance", "pattern", "direction", "scallop")
	if form != key.Dish {
		l.add("form: %s", form)
		l = l.once("form")
	}
	d.writeShelf(&l, o.shelf)
	l.add("rough: %s\nfinish: %s", o.rough, o.finish)
	d.places(&l, o)
	d.beside(&l, o)
	if form == key.Pair || form == key.Caul && d.often(15) {
		l.add("plate: %s", d.size(d.within(1.5, 4)).text)
	}
	if form != key.Caul && d.often(15) {
		l.add("support: %s", d.pick("bench", "board", "rim", "ribs", "ribs\nrib spacing: 80 mm"))
	}
	d.dividing(&l, form, o)
	if d.often(50) {
		t.machine = d.profile(o.long.mm)
		l = l.replace("machine", "chance.yaml")
	}
	t.text = l.bytes()
	if d.often(8) {
		t.text = bytes.Replace(t.text, []byte(", material: "), []byte(fmt.Sprintf(", layers: %d, material: ", 1+d.IntN(4))), 1)
	}
	return t
}

// once keeps the last line of a key alone.
func (l lines) once(name string) (kept lines) {
	for i, line := range l {
		later := false
		for _, other := range l[i+1:] {
			later = later || strings.HasPrefix(other, name+":")
		}
		if !strings.HasPrefix(line, name+":") || !later {
			kept = append(kept, line)
		}
	}
	return kept
}

// replace gives a key another value.
func (l lines) replace(name, value string) lines {
	for i := range l {
		if strings.HasPrefix(l[i], name+":") {
			l[i] = name + ": " + value
		}
	}
	return l
}

// places adds what stands about: hold-downs, obstacles, what is touched, a top that is
// not level.
func (d dice) places(l *lines, o order) {
	half, wide := o.long.mm/2, o.long.mm/2
	if o.outline == "rectangle" {
		wide = o.wide.mm / 2
	}
	if d.often(20) {
		x, y := half-3, wide-3
		if o.outline == "round" || o.outline == "octagon" {
			x, y = half-2, 0
		}
		l.add("hold downs: [{x: %.1f mm, y: %.1f mm, radius: %.1f mm, height: %.1f mm}]", x, y, d.within(2, 4), d.within(0, 20))
	}
	if d.often(12) {
		if d.often(70) {
			l.add("obstacles: [{from: [%.0f mm, %.0f mm], to: [%.0f mm, %.0f mm], width: 12 mm, height: %.0f mm}]", -half, wide+9, half, wide+9, d.within(2, 25))
		} else {
			l.add("obstacles: [{x: %.0f mm, y: %.0f mm, radius: 6 mm, height: 12 mm}]", half+10, d.within(-wide, wide))
		}
	}
	if d.often(20) {
		block := ""
		if d.often(50) {
			block = ", block: 0.1 mm"
		}
		l.add("touch off: {on: %s%s}", d.pick("diagonals", "corner", "edges", "centre hole", "apex"), block)
	}
	switch n := d.IntN(100); {
	case n < 6:
		l.add("skim: %s", d.size(d.scale(0.1, 2)).text)
	case n < 8:
		l.add("skim: {off: 0.4 mm, cutter: %s}", o.shelf[0].name)
	case n < 14:
		h := o.diameter.mm / 2
		l.add("top points: [{x: %.1f mm, y: %.1f mm, z: %.3f mm}, {x: %.1f mm, y: %.1f mm, z: %.3f mm}, {x: %.1f mm, y: %.1f mm, z: %.3f mm}]",
			h, -h, d.within(-0.2, 0.2), -h, -h, d.within(-0.2, 0.2), d.within(-1, 1), h, d.within(-0.2, 0.2))
	}
	d.bench(l)
	if d.often(10) {
		l.add("fractions: %s", d.pick("1/64 in", "1/32 in"))
	}
}

// bench adds how square the spindle is and how worn the cutters are: some, or square and
// new, or nothing.
func (d dice) bench(l *lines) {
	switch n := d.IntN(100); {
	case n < 8:
		l.add("spindle tilt: %.3f mm per 100 mm", d.scale(0.001, 0.1))
	case n < 35:
		l.add("spindle tilt: 0 mm per 100 mm")
	}
	switch n := d.IntN(100); {
	case n < 8:
		l.add("undersize: %.3f mm", d.scale(0.002, 0.05))
	case n < 35:
		l.add("undersize: 0 mm")
	}
}

// beside adds what is cut beside the face, its land, and the covering's layout.
func (d dice) beside(l *lines, o order) {
	var parts []string
	last := o.shelf[len(o.shelf)-1].name
	land := 10.0
	if d.often(25) {
		land = d.within(0, 15)
		if o.outline != "rectangle" {
			land = math.Min(land, (o.long.mm-o.diameter.mm)/2.2)
		}
		l.add("land: %s", d.size(math.Max(0.5, land)).text)
	}
	if d.often(12) {
		parts = append(parts, "centre hole: "+d.pick("6 mm", "1/4 in", "{diameter: 8 mm, depth: 6 mm}", "{diameter: 7 mm, cutter: "+last+"}"))
	}
	if d.often(10) {
		parts = append(parts, "centre lines: "+d.pick("0.3 mm", "{depth: 0.2 mm, cutter: "+last+"}"))
	}
	if d.often(8) {
		depth := d.pick("", ", depth: 5 mm", ", cutter: "+last)
		parts = append(parts, fmt.Sprintf("holes: [{diameter: %.1f mm, circle: %.1f mm, count: %d, from: %d deg%s}]", d.within(3, 8), o.diameter.mm+land, 1+d.IntN(6), d.IntN(90), depth))
	}
	if d.often(15) {
		cut := []string{fmt.Sprintf("tabs: %d", 2+d.IntN(4))}
		if d.often(30) {
			cut = append(cut, "tab length: 6 mm")
		}
		if d.often(30) {
			cut = append(cut, "tab height: 1.5 mm")
		}
		if d.often(20) {
			cut = append(cut, "cutter: "+last)
		}
		switch n := d.IntN(10); {
		case n < 2:
			cut = append(cut, fmt.Sprintf("shape: %s, size: %.1f mm", d.pick("square", "octagon"), o.diameter.mm+2*land))
		case n < 4:
			cut = append(cut, fmt.Sprintf("diameter: %.1f mm", o.diameter.mm+2*land))
		}
		parts = append(parts, "cut out: {"+strings.Join(cut, ", ")+"}")
		if d.often(30) {
			parts = append(parts, fmt.Sprintf("index flat: %.1f mm", d.within(6, 20)))
		}
	}
	if len(parts) > 0 {
		l.add("extras: {%s}", strings.Join(parts, ", "))
	}
	if o.covering.text != "" && d.often(25) {
		disc := math.Ceil(o.diameter.mm * 1.6) // half of a sphere is pi/2 as wide along its surface
		l.add("covering layout: {%s, gap: 0.4 mm}", d.pick("wedges: 8", "wedges: 3", "strips: 60 mm", fmt.Sprintf("disc: %.0f mm", disc), fmt.Sprintf("disc: %.0f mm, backing: cloth", disc), fmt.Sprintf("disc: %.1f in, backing: paper", disc/25.4),
			"wedges: 5, seams: 20 deg, turned: clockwise", "wedges: 9, seams: 8 deg, turned: counter-clockwise", "strips: 40 mm, seams: 30 deg"))
	}
}

// dividing adds setups, seldom to a form that has none.
func (d dice) dividing(l *lines, form string, o order) {
	if !d.often(12) || form == key.Pair {
		return
	}
	l.add("setups: %s\nindex error: %s", d.pick("auto", "auto", "2", "3", "4", "6"), d.indexError())
	if d.often(50) {
		l.add("index by: %s", d.pick("pin", "two fences", "marks", "one fence"))
	}
	if d.often(20) {
		l.add("hold downs: [{x: %.1f mm, y: 0 mm, radius: 2 mm, height: 4 mm, setup: %d}]", o.long.mm/2-2, 1+d.IntN(2))
		*l = l.once("hold downs")
	}
	if d.often(20) {
		l.add("obstacles: [{x: %.1f mm, y: 0 mm, radius: 4 mm, height: 4 mm, setup: 2}]", o.long.mm/2+8)
		*l = l.once("obstacles")
	}
}

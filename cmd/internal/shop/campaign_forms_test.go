package shop_test

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cam/job/key"
)

// milled writes what boards and gauges have in common.
func (d dice) milled(l *lines, t *tried, long, wide, thick float64, shelf []cutter) {
	l.add("blank: {shape: rectangle, length: %s, width: %s, thickness: %s, material: %s}", d.size(long).text, d.size(wide).text, d.size(thick).text, d.pick("mdf", "acrylic", "birch ply"))
	if t.machine = nil; d.often(50) {
		t.machine = d.profile(math.Max(long, wide))
		l.add("machine: chance.yaml")
	} else {
		l.add("machine: %s", d.pick("bench-600", "bench-400", "inch-24", "wide-1250"))
	}
	l.add("zero: %s\nzero error: %s\nscallop: %s", d.pick("centre-top", "centre-bed"), d.size(d.scale(0.01, 0.1)).text, d.size(d.scale(0.03, 0.4)).text)
	*l = l.drop(d, "zero", "zero error")
	d.writeShelf(l, shelf)
}

// boardJob draws a hollow board.
func (d dice) boardJob() tried {
	t := tried{form: key.Board}
	long := d.scale(26, 60)
	if d.often(3) {
		long = d.scale(60, 240)
	}
	if large {
		long = d.scale(200, 600)
	}
	wide := math.Max(12, long*d.scale(0.15, 0.95))
	radius := long * d.scale(3, 40)
	l := lines{"form: board"}
	l.add("radius: %s\nlength: %s\nwidth: %s", d.size(radius).text, d.size(long).text, d.size(wide).text)
	if d.often(40) {
		l.add("curve: %s", d.pick("spherical", "cylindrical"))
	}
	swing := math.Max(2, long/8)
	l.add("swing: %.1f mm", swing)
	if d.often(30) {
		l.add("spans: %.1f mm", math.Max(21, long*0.6))
	}
	if d.often(25) {
		l.add("covering: %s", d.size(d.scale(0.3, 1.5)).text)
	}
	if d.often(20) {
		l.add("land: %s", d.size(d.within(1, 8)).text)
	}
	shelf := d.shelf(wide)
	d.milled(&l, &t, long*d.within(1.03, 1.3)+12, wide*d.within(1.03, 1.3)+12, 20+long*long/8/radius, shelf)
	if d.often(50) {
		l.add("pattern: %s", d.pick("auto", "raster"))
	}
	if d.often(30) {
		l.add("direction: %s", d.pick("both", "uphill", "along x", "along y"))
	}
	if d.often(20) {
		l.add("extras: {cut out: {tabs: 3}}")
	}
	if d.often(8) {
		l.add("skim: 0.5 mm")
	}
	d.bench(&l)
	t.text = l.bytes()
	return t
}

// gaugeJob draws one to three templates.
func (d dice) gaugeJob() tried {
	t := tried{form: key.Gauge}
	long := d.scale(41, 90)
	var radii []string
	for range 1 + d.IntN(3) {
		radii = append(radii, d.size(long*d.scale(1.05, 60)).text)
	}
	l := lines{"form: gauge"}
	l.add("radii: [%s]\nlength: %s", strings.Join(radii, ", "), d.size(long).text)
	high := 40.0
	if d.often(60) {
		high = d.within(16, 50)
		l.add("height: %s", d.size(high).text)
	}
	if d.often(40) {
		l.add("engrave: %s", d.size(d.scale(0.06, 1)).text)
	}
	shelf := []cutter{
		{name: "straight", shape: "flat", diameter: d.size(d.within(2, 6)), shank: inch(0.25), flutes: 2, speed: 16000, deep: milli(1.5), fluteLong: milli(12), chip: milli(0.04), stickOut: milli(30)},
		{name: "fine", shape: "ball", diameter: d.size(d.within(1, 2)), shank: inch(0.25), flutes: 2, speed: 18000, deep: milli(0.8), fluteLong: milli(6), chip: milli(0.03), stickOut: milli(24)},
	}
	tall := (high + long*long/8/long + 30) * float64(len(radii))
	d.milled(&l, &t, long+d.within(20, 80), tall+d.within(10, 60), d.within(3, 8), shelf)
	if d.often(60) {
		l.add("extras: {cut out: {tabs: %d, tab length: 5 mm, tab height: 1 mm}}", 2+d.IntN(4))
	}
	t.text = l.bytes()
	return t
}

// rimJob draws the sides of an instrument, and where it is cut the edge of its mould.
func (d dice) rimJob(cut bool) tried {
	t := tried{form: key.Rim}
	long := d.within(120, 520)
	if cut {
		t.form = key.Mould
		long = d.within(101, 130)
		if large {
			long = d.within(300, 500)
		}
	}
	l := lines{"form: rim"}
	half := d.outlineKeys(&l, long)
	if radius := d.dome(long); radius == "flat" {
		l.add("top: {radius: flat}")
	} else {
		shape := d.pick("", "", ", shape: cylinder across", fmt.Sprintf(", flat above: %.0f mm from tail, blend: %.0f mm", long*0.8, long*0.1))
		if cut {
			shape = ""
		}
		l.add("top: {radius: %s%s%s}", radius, d.apex(long), shape)
	}
	deep := d.within(30, 110)
	back := fmt.Sprintf("back: {radius: %s%s}", d.dome(long), d.pick("", "", ", shape: cylinder along"))
	if d.often(20) {
		l.add("%s\ndepth: {tail: %.1f mm}", strings.Replace(back, "}", fmt.Sprintf(", apex: %.0f mm}", long*0.4), 1), deep)
	} else {
		l.add("%s\ndepth: {head: %.1f mm, tail: %.1f mm}", back, deep-d.within(0, 0.06*long), deep)
	}
	if d.often(60) {
		l.add("sides: %s", d.size(d.within(1.5, 3)).text)
	}
	if d.often(60) {
		l.add("lining: {width: %.1f mm, height: %.1f mm}", d.within(3, 8), d.within(6, 15))
	}
	if d.often(50) {
		l.add("blocks: {head: %.0f mm, tail: %.0f mm}", long*d.within(0.05, 0.12), long*d.within(0.03, 0.06))
	}
	if d.often(60) {
		l.add("start: %s", d.pick("{allowance: 1.5 mm}", fmt.Sprintf("{flat: %.1f mm}", deep+d.within(2, 12))))
	}
	if d.often(40) {
		y := half * d.within(0.5, 0.95)
		l.add("braces:\n  cross: {from: [%.1f mm, %.1f mm], to: [%.1f mm, %.1f mm], width: 6 mm, end height: 2 mm}", long*0.3, -y, long*d.within(0.3, 0.5), y)
	}
	d.sandingKeys(&l, long, deep)
	if cut {
		wall := d.within(8, 20)
		l.add("cut: mould\nmould: {wall: %.1f mm}", wall)
		size := long + 2*wall + d.within(40, 120)
		d.milled(&l, &t, size*1.3, size*1.2, deep+30, d.shelf(2*wall))
		if d.often(30) {
			l.add("allowance: 0.4 mm")
		}
		d.bench(&l)
	} else {
		d.sawnKeys(&l, long, deep)
	}
	t.text = l.bytes()
	return t
}

// sawnKeys draws what a rim is sawn from and to, and how its flat leans: its last keys, for what
// is drawn before them is what it was without.
func (d dice) sawnKeys(l *lines, long, deep float64) {
	if d.often(30) {
		l.add("saw to: %.1f mm", d.within(0.5, 4))
	}
	if d.often(20) {
		l.add("side boards: {width: %.0f mm, length: %.0f mm}", deep+d.within(5, 40), long*d.within(1.5, 2.5))
	}
	for i, line := range *l {
		if strings.HasPrefix(line, "top:") && strings.Contains(line, "flat above") && d.often(50) {
			(*l)[i] = strings.Replace(line, "blend", fmt.Sprintf("flat lean: %.2f deg, blend", d.within(0.2, 4)), 1)
		}
	}
}

func (d dice) dome(long float64) string {
	if d.often(12) {
		return "flat"
	}
	return d.size(math.Max(210, long*d.scale(6, 40))).text
}

func (d dice) apex(long float64) string {
	switch d.IntN(4) {
	case 0:
		return ", apex: at the widest"
	case 1:
		return fmt.Sprintf(", apex: %.1f mm", long*d.within(0.25, 0.6))
	case 2:
		return fmt.Sprintf(", apex: [%.1f mm, %.1f mm]", long*d.within(0.25, 0.6), d.within(-5, 5))
	}
	return ""
}

// outlineKeys writes the outline of a body so long and returns half its width, about.
func (d dice) outlineKeys(l *lines, long float64) float64 {
	wide := long * d.within(0.6, 0.95)
	switch d.IntN(3) {
	case 0:
		l.add("outline: {upper bout: %.1f mm, waist: %.1f mm, lower bout: %.1f mm, length: %.1f mm}", wide*0.75, wide*0.62, wide, long)
	case 1:
		unit := d.pick("mm", "cm", "m", "in", "ft")
		u := map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4, "ft": 304.8}[unit]
		half, long := wide/2/u, long/u
		l.add("outline:\n  unit: %s\n  curve: %s\n  points: [[0, 0], [%.5f, %.5f], [%.5f, %.5f], [%.5f, %.5f], [%.5f, %.5f], [%.5f, 0]]", unit, d.pick("smooth", "straight"),
			long*0.05, half*0.5, long*0.3, half, long*0.6, half*0.9, long*0.93, half*0.4, long)
	default:
		half := wide / 2
		scale := d.pick("1 mm", "1 mm", "0.5 mm")
		k := map[string]float64{"1 mm": 1, "0.5 mm": 2}[scale]
		l.add("outline: {path: \"M0 0 C %.2f %.2f %.2f %.2f %.2f %.2f S %.2f %.2f %.2f 0\", scale: %s}", 0.0, k*half*0.8, k*long*0.2, k*half, k*long*0.4, k*half, k*long, k*half*0.7, k*long, scale)
	}
	return wide / 2
}

// sandingKeys writes what a rim is sanded with and how it stands.
func (d dice) sandingKeys(l *lines, long, deep float64) {
	if d.often(40) {
		l.add("step: %.1f mm", d.scale(1, 30))
	}
	if d.often(20) {
		l.add("trim: {head: 8 mm, tail: 6 mm}")
	}
	if d.often(25) {
		l.add("measured: {head: %.1f mm, tail: %.1f mm%s}", deep+1, deep+1.5, d.pick("", "", fmt.Sprintf(", %s: %.1f mm", d.pick(key.DepthPlaces()[2:]...), deep+2)))
	}
	switch d.IntN(3) {
	case 0:
		l.add("dish: {diameter: %.0f mm%s}", long*1.3, d.pick("", ", radius: 20 ft", ", swing: 30 mm"))
	case 1:
		l.add("board: {length: %.0f mm, width: 60 mm%s}", long*1.2, d.pick("", ", radius: 20 ft", ", swing: 30 mm"))
	}
	if d.often(30) {
		l.add("plate: {radius: %s}\nclamps: {spacing: 40 mm, each: 8 s}\nglue: {open time: 8 min}", d.dome(long))
	}
}

package shop_test

import (
	"fmt"
	"strconv"
	"strings"

	"dishwright/machines"
)

// size is a length as a job states it and what it is in mm.
type size struct {
	text string
	mm   float64
}

func in(unit string, mm, v float64) size {
	return size{strconv.FormatFloat(v, 'f', -1, 64) + " " + unit, v * mm}
}
func milli(v float64) size { return in("mm", 1, v) }
func centi(v float64) size { return in("cm", 10, v) }
func metre(v float64) size { return in("m", 1000, v) }
func inch(v float64) size  { return in("in", 25.4, v) }
func foot(v float64) size  { return in("ft", 304.8, v) }

// cutter is one line of a shelf.
type cutter struct {
	name, shape                  string
	diameter, corner             size
	flutes, speed                int
	fluteLong, chip, deep, shank size
	stickOut                     size
}

// order is a job that the tests make up: it can be written as a job file, and
// says itself what must come of it.
type order struct {
	name, form            string
	radius, diameter      size
	covering              size // no text where there is none
	outline               string
	long, wide, thickness size
	floor                 size
	pins                  []pin
	machine               string
	bed                   bool
	scallop, allowance    size
	direction, pattern    string // no pattern is auto
	zeroError             size
	shelf                 []cutter
	rough, finish         string
	tilt, undersize       *float64 // mm per 100 mm, and mm; nil where the job says nothing
}

// stated is a tilt or an undersize that a job states.
func stated(v float64) *float64 { return &v }

// trueBench asks for a square spindle and cutters of their named diameters.
func trueBench(o *order) { o.tilt, o.undersize = stated(0), stated(0) }

// yaml writes the job file.
func (o order) yaml() []byte {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("name: %s\nform: %s\nradius: %s\ndiameter: %s", o.name, o.form, o.radius.text, o.diameter.text)
	if o.covering.text != "" {
		line("covering: %s", o.covering.text)
	}
	sides := map[string]string{"round": "diameter: " + o.long.text, "square": "size: " + o.long.text, "octagon": "size: " + o.long.text,
		"rectangle": "length: " + o.long.text + ", width: " + o.wide.text}
	line("blank: {shape: %s, %s, thickness: %s, material: mdf}\nfloor: %s", o.outline, sides[o.outline], o.thickness.text, o.floor.text)
	if len(o.pins) > 0 {
		line("hold downs:")
	}
	for _, p := range o.pins {
		line("  - {x: %g mm, y: %g mm, radius: %g mm, height: %g mm}", p.x, p.y, p.radius, p.height)
	}
	pattern := "auto"
	if o.pattern != "" {
		pattern = o.pattern
	}
	zero := map[bool]string{true: "centre-bed", false: "centre-top"}[o.bed]
	line("machine: %s\nzero: %s\nzero error: %s\nscallop: %s\nallowance: %s\npattern: %s\ndirection: %s\nshelf:",
		o.machine, zero, o.zeroError.text, o.scallop.text, o.allowance.text, pattern, o.direction)
	for _, c := range o.shelf {
		corner := ""
		if c.shape == "bull" {
			corner = ", corner: " + c.corner.text
		}
		line("  %s: {shape: %s, diameter: %s%s, flutes: %d, flute length: %s, speed: %d, chip load: %s, depth of cut: %s, shank: %s, stick out: %s}",
			c.name, c.shape, c.diameter.text, corner, c.flutes, c.fluteLong.text, c.speed, c.chip.text, c.deep.text, c.shank.text, c.stickOut.text)
	}
	line("rough: %s\nfinish: %s", o.rough, o.finish)
	if o.tilt != nil {
		line("spindle tilt: %g mm per 100 mm", *o.tilt)
	}
	if o.undersize != nil {
		line("undersize: %g mm", *o.undersize)
	}
	return []byte(b.String())
}

// wanted says what must come of the order.
func (o order) wanted() wanted {
	m, err := machines.Resolve(o.machine, "")
	if err != nil {
		panic("order: " + err.Error())
	}
	cut, crown := o.radius.mm+o.covering.mm, o.form == "caul"
	if crown {
		cut = o.radius.mm - o.covering.mm
	}
	w := wanted{face: newGlobe(crown, cut, o.diameter.mm/2), floor: o.floor.mm, pins: o.pins, bed: o.bed, machine: m, scallop: o.scallop.mm,
		board: board{o.outline, o.long.mm, o.long.mm, o.thickness.mm}, tools: map[string]tool{}}
	if o.outline == "rectangle" {
		w.board.width = o.wide.mm
	}
	w.tilt, w.undersize = silentTilt, silentUndersize
	if o.tilt != nil {
		w.tilt = *o.tilt / 100
	}
	if o.undersize != nil {
		w.undersize = *o.undersize
	}
	for _, c := range o.shelf {
		t := tool{corner: c.diameter.mm / 2, core: 0, ramp: 3, depth: c.deep.mm, flutes: c.flutes, chip: c.chip.mm, speed: float64(c.speed),
			fluteLong: c.fluteLong.mm, shank: c.shank.mm, stickOut: c.stickOut.mm, fastest: float64(c.speed)}
		switch c.shape { // a core of 0.3 of the diameter is what a job takes that says nothing
		case "flat":
			t.corner, t.core = 0, 0.15*c.diameter.mm
		case "bull":
			t.corner, t.core = c.corner.mm, 0.15*c.diameter.mm
		}
		t.flat = c.diameter.mm/2 - t.corner
		w.tools[c.name] = t
	}
	return w
}

// The cutters that the fixed jobs own.
var (
	halfBall     = cutter{"half-inch ball", "ball", inch(0.5), size{}, 2, 16000, milli(25), milli(0.05), milli(3), inch(0.5), milli(40)}
	inchFlat     = cutter{"inch flat", "flat", inch(1), size{}, 2, 16000, milli(12), milli(0.1), milli(2), inch(0.5), milli(30)}
	bigBull      = cutter{"big bull", "bull", inch(1.25), inch(0.25), 2, 14000, milli(16), milli(0.1), milli(2), inch(0.5), milli(30)}
	twoInch      = cutter{"two inch", "flat", inch(2), size{}, 2, 12000, milli(12), milli(0.1), milli(1.5), inch(0.5), milli(30)}
	quarterBall  = cutter{"quarter ball", "ball", inch(0.25), size{}, 2, 12000, milli(18), milli(0.05), milli(2), inch(0.25), milli(30)}
	smallFlat    = cutter{"small flat", "flat", milli(12), size{}, 2, 12000, milli(15), milli(0.08), milli(2.5), inch(0.25), milli(30)}
	smallBull    = cutter{"small bull", "bull", milli(16), milli(3), 2, 12000, milli(15), milli(0.08), milli(2.5), inch(0.25), milli(30)}
	threeCutters = []cutter{halfBall, inchFlat, bigBull}
	fourCutters  = []cutter{halfBall, inchFlat, bigBull, twoInch}
	smallCutters = []cutter{quarterBall, smallFlat, smallBull}
)

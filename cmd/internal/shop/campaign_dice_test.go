package shop_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
)

// dice draws what a job of the campaign says. The same seed and number give the same
// job on every machine.
type dice struct{ *rand.Rand }

func newDice(seed, number uint64) dice { return dice{rand.New(rand.NewPCG(seed, number))} }

// often is true in so many of a hundred cases.
func (d dice) often(percent int) bool { return d.IntN(100) < percent }

func (d dice) within(least, most float64) float64 { return least + (most-least)*d.Float64() }

// scale draws from least to most so that each octave is as likely as any other.
func (d dice) scale(least, most float64) float64 {
	return least * math.Exp(d.Float64()*math.Log(most/least))
}

func (d dice) pick(words ...string) string { return words[d.IntN(len(words))] }

// size writes a length of about so many mm in some unit, with as many decimals as a
// person may write: never off by more than a hundredth of it.
func (d dice) size(mm float64) size {
	for {
		u := d.IntN(6)
		unit := []struct {
			name string
			mm   float64
		}{{"mm", 1}, {"mm", 1}, {"cm", 10}, {"m", 1000}, {"in", 25.4}, {"ft", 304.8}}[u]
		digits := math.Pow10(d.IntN(7))
		v := math.Round(mm/unit.mm*digits) / digits
		if math.Abs(v*unit.mm-mm) <= 0.01*math.Abs(mm) {
			return in(unit.name, unit.mm, v)
		}
	}
}

// lines is a job file as it is put together.
type lines []string

func (l *lines) add(format string, args ...any) { *l = append(*l, fmt.Sprintf(format, args...)) }

func (l lines) bytes() []byte { return []byte(strings.Join(l, "\n") + "\n") }

// drop leaves out the lines of keys that a job need not have, one in so many.
func (l lines) drop(d dice, keys ...string) (kept lines) {
	for _, line := range l {
		gone := false
		for _, k := range keys {
			gone = gone || strings.HasPrefix(line, k+":") && d.often(30)
		}
		if !gone {
			kept = append(kept, line)
		}
	}
	return kept
}

// profile draws a machine of its own about a piece of so many mm: sometimes too small
// for it, in mm or inches, with arcs or without, and sometimes with measured errors.
func (d dice) profile(across float64) []byte {
	unit := func(mm float64) string { return fmt.Sprintf("%.3f mm", mm) }
	var l lines
	l.add("# An invented machine, drawn by chance.\nname: by-chance")
	if d.often(30) {
		l.add("units: in")
		unit = func(mm float64) string { return fmt.Sprintf("%.4f in", mm/25.4) }
	}
	l.add("about: an invented machine")
	x, y := across*d.scale(0.9, 4)+20, across*d.scale(0.9, 4)+20
	l.add("travel: {x: %s, y: %s, z: %s}", unit(x), unit(y), unit(d.within(60, 200)))
	if d.often(20) {
		l.add("under gantry: %s", unit(d.within(60, 250)))
	}
	feed := d.scale(1500, 12000)
	l.add("feed: {x: %s/min, y: %s/min, z: %s/min}", unit(feed), unit(feed*d.within(0.7, 1)), unit(feed*d.within(0.2, 1)))
	l.add("rapid: {x: %s/min, y: %s/min, z: %s/min}", unit(1.5*feed), unit(1.5*feed), unit(1.1*feed))
	l.add("acceleration: {x: %s/s2, y: %s/s2, z: %s/s2}", unit(d.scale(50, 1000)), unit(d.scale(50, 1000)), unit(d.scale(50, 1000)))
	if d.often(25) {
		l.add("corner rounding: %s\npath mode: G64 Q0.01", unit(0.02))
	} else {
		l.add("corner rounding: %s\npath mode: %s", unit(d.scale(0.003, 0.05)), d.pick("G64", "G61"))
	}
	l.add("arcs: %s", d.pick("yes", "no", "no"))
	l.add("decimals: 5")
	if d.often(50) {
		l.add("spindle: {slowest: %d, fastest: 26000, start: 4 s}", 4000+1000*d.IntN(5))
	} else {
		l.add("spindle: {hand router: {1: 9000, 2: 13000, 3: 17000, 4: 21000, 5: 26000}, start: 4 s}")
	}
	l.add("collets: [1/8 in, 6 mm, 1/4 in, 8 mm, 1/2 in]")
	l.add("holder: {diameter: 32 mm, length: 40 mm}")
	if d.often(15) {
		l.add("hood: {diameter: 100 mm, above tip: %s}", unit(d.within(10, 40)))
	}
	if d.often(15) {
		l.add("errors:\n  scale: {x: %.2f mm per 100 mm, y: %.2f mm per 100 mm}\n  lean: %.2f mm per 100 mm\n  backlash: {x: 0.05 mm}\n  known within: 0.01 mm per 100 mm\n  corrected: %s",
			d.within(-0.3, 0.3), d.within(-0.3, 0.3), d.within(-0.2, 0.2), d.pick("yes", "no"))
	}
	if d.often(15) {
		l.add("bed:")
		for _, at := range [...][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}, {0, 0}} {
			l.add("  - {x: %.1f mm, y: %.1f mm, z: %.2f mm}", 150*at[0], 150*at[1], d.within(-0.2, 0.2))
		}
	}
	return l.bytes()
}

// shelf draws one to three cutters about a face of so many mm.
func (d dice) shelf(across float64) (all []cutter) {
	for i := range 1 + max(0, d.IntN(5)-2) {
		c := cutter{name: fmt.Sprintf("cutter %d", i+1), shape: d.pick("ball", "flat", "flat", "bull"), shank: inch(0.25)}
		c.diameter = d.size(math.Min(d.scale(3, 34), across/2.5))
		if c.shape == "bull" {
			c.corner = d.size(c.diameter.mm * d.within(0.05, 0.42))
		}
		c.flutes, c.speed = 1+d.IntN(3), 1000*(10+d.IntN(11))
		c.deep, c.fluteLong = d.size(d.scale(0.8, 4)), d.size(d.within(10, 30))
		c.chip, c.stickOut = d.size(d.scale(0.03, 0.15)), milli([]float64{32, 40, 55}[d.IntN(3)])
		all = append(all, c)
	}
	if d.often(40) {
		straight := cutter{name: "straight", shape: "flat", shank: inch(0.25), flutes: 2, speed: 16000}
		straight.diameter, straight.deep, straight.fluteLong = d.size(d.within(2, 6.3)), milli(2), milli(40)
		straight.chip, straight.stickOut = milli(0.05), milli(44)
		all = append(all, straight)
	}
	return all
}

// writeShelf writes the cutters, what a job may leave out sometimes left out, and what
// it may add sometimes added.
func (d dice) writeShelf(l *lines, shelf []cutter) {
	l.add("shelf:")
	for _, c := range shelf {
		text := fmt.Sprintf("  %s: {shape: %s, diameter: %s, flutes: %d, flute length: %s, speed: %d, chip load: %s, depth of cut: %s",
			c.name, c.shape, c.diameter.text, c.flutes, c.fluteLong.text, c.speed, c.chip.text, c.deep.text)
		if c.shape == "bull" {
			text += ", corner: " + c.corner.text
		}
		if d.often(90) {
			text += ", shank: " + c.shank.text
		}
		if d.often(70) {
			text += ", stick out: " + c.stickOut.text
		}
		if d.often(20) {
			text += fmt.Sprintf(", fastest speed: %d", c.speed+2000)
		}
		if d.often(10) && c.shape != "ball" {
			text += fmt.Sprintf(", core: %.2f mm", c.diameter.mm*d.within(0, 0.5))
		}
		if d.often(15) {
			text += fmt.Sprintf(", ramp: %.1f deg", d.scale(1, 20))
		}
		l.add("%s}", text)
	}
}

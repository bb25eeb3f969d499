package shop

import (
	"fmt"
	"math"

	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
)

// lay are the sentences that say how the blank lies and is held.
func (b bench) lay() (list []string) {
	if b.setup.Number == 0 {
		return []string{b.flat(), b.held() + b.overhang()}
	}
	if b.air() {
		if deep := -b.work.Blank.Thickness - b.extras.Deepest(); deep > 0 {
			list = append(list, fmt.Sprintf("The bed is a flat board of waste, fixed, as large as the blank's corners come round: the centre hole goes %s into it.", b.own(deep)))
		}
		list = append(list, b.once()...)
	}
	if b.setup.Number > 1 {
		list = append(list, "Before the blank is freed: the cutter up and far aside, its motor's power off.")
	}
	if b.setup.Number == 2 && b.work.Setups.By == work.ByPin {
		list = append(list, fmt.Sprintf("Once, before the blank is freed from setup 1, the cutter far aside: drill the bed by hand through the blank's centre hole, for a pin that fits the hole and stands no higher than %s above the bed. It is set when the blank is lifted.", b.own(pinHeight(b.work))))
	}
	list = append(list, b.place())
	if !b.air() {
		list = append(list, b.check())
	}
	list = append(list, "The blank flat and held down. "+b.held()+b.overhang())
	switch {
	case b.air():
		list[len(list)-1] += " For a later setup this lap is run again, the blank then as that setup's programs say."
	case b.setup.Number > 1:
		list[len(list)-1] += " The air lap is run again first, with the blank as it lies now."
	}
	return list
}

// overhang says what is done about a blank that is larger than the machine travels.
func (b bench) overhang() string {
	if t := b.work.Machine.Travel; b.work.Blank.Length <= t.X && b.work.Blank.Width <= t.Y {
		return ""
	}
	return " What stands out beyond the bed is held up, and nothing that moves comes against it."
}

// flat says how a blank lies that is cut in one setup.
func (b bench) flat() string {
	w := b.work
	name, along := b.words.Lies()
	if b.piece != "" && b.piece != job.ScrapWord {
		name += " of the " + b.piece
	}
	switch {
	case along != "":
	case w.Blank.Shape == dish.Round:
		along = ""
	case w.Blank.Shape == dish.Rectangle:
		along = ", its length along X"
	default:
		along = ", its sides along X and Y"
	}
	on := "on the bed"
	if b.extras.Deepest() < -w.Blank.Thickness {
		on = "on a flat board of waste as large as it is"
	}
	return fmt.Sprintf("%s flat %s%s, and held down.", name, on, along)
}

// count of setups.
func (b bench) setups() int { return b.layout.Count() }

// lies is what shows how the blank lies in its setup; empty where there is only the one.
func (b bench) lies() string {
	switch {
	case b.setup.Number == 0 || b.air(): // the lap is run again for each
		return ""
	case b.work.Setups.By == work.ByFences:
		return fmt.Sprintf("side %d", b.setup.Number)
	}
	return fmt.Sprintf("mark %d", b.setup.Number)
}

// slide is the shift of a blank that is slid between two setups; 0 of one that is turned.
func (b bench) slide() (x, y float64) {
	for _, t := range b.layout {
		for _, s := range t.Setups {
			if s.X != 0 || s.Y != 0 {
				return s.X, s.Y
			}
		}
	}
	return 0, 0
}

// indexMark is a mark on the blank's edge, and a line from its middle to it.
type indexMark struct {
	number int // of the setup that it is for; 0 where it only helps to lay the blank
	at     dish.Edge
}

// indexMarks are the marks that are drawn on a blank before the first setup. Of one that
// is turned, mark k lies towards the builder, at -Y, in setup k: the blank has then come
// round counter-clockwise by Turn, so on the blank the mark lies as far clockwise from the
// front. Of one that is slid, mark k lies in setup k where mark 1 lies in setup 1.
func indexMarks(w *work.Work, layout work.Layout) (list []indexMark) {
	const front = 270 // degrees
	for _, t := range layout {
		for _, s := range t.Setups {
			u, v := dish.UnitVector(front - s.Turn)
			list = append(list, indexMark{s.Number, w.Blank.EdgeFrom(0, 0, u, v)})
		}
	}
	switch x, y := (bench{layout: layout}).slide(); {
	case x != 0:
		return []indexMark{{1, w.Blank.EdgeFrom(x/2, 0, 0, -1)}, {2, w.Blank.EdgeFrom(-x/2, 0, 0, -1)}}
	case y != 0:
		return []indexMark{{1, w.Blank.EdgeFrom(0, y/2, 1, 0)}, {2, w.Blank.EdgeFrom(0, -y/2, 1, 0)}}
	}
	if w.Setups.By == work.ByMarks && len(list) == 2 { // on one line: they leave it to slide along that
		for _, a := range [...]int{front - 90, front + 90} {
			u, v := dish.UnitVector(a)
			list = append(list, indexMark{0, w.Blank.EdgeFrom(0, 0, u, v)})
		}
	}
	return list
}

// where says where on the blank's edge a mark lies.
func (b bench) where(m indexMark) string {
	e := m.at
	if e.Side == "" {
		return "" // a round one's marks are stepped off
	}
	// A pencil is not finer.
	along := tenth(b.work.Machine, e.Along)
	if along == "0" {
		return fmt.Sprintf("the middle of the %s side", e.Side)
	}
	return fmt.Sprintf("the %s side, %s %s from its middle towards the %s", e.Side, along, b.work.Machine.Unit, e.Towards)
}

// once are the sentences with which the marks are drawn, before the first program.
func (b bench) once() []string {
	w, n, marks := b.work, b.setups(), indexMarks(b.work, b.layout)
	var at string
	for _, m := range marks {
		name := fmt.Sprintf(" Mark %d: ", m.number)
		if m.number == 0 {
			name = " One more without a number: "
		}
		at += name + b.where(m) + "."
	}
	if w.Blank.Shape == dish.Round {
		at = fmt.Sprintf(" Mark 1: anywhere. The others clockwise from it, seen from above, each %s from the one before, straight across.", b.chord(marks))
		if n == 2 {
			at = " Mark 1: anywhere. Mark 2: right across from it."
		}
		if len(marks) > n {
			at += fmt.Sprintf(" Two more without a number: half way between them, %s from mark 1, straight across.", b.chord(marks))
		}
	}
	const once, front = "Once for the whole set: ", " The front is the side towards you, where Y is least."
	lines := once + "draw on the blank's top a line from its middle to each mark, carry it down the edge and number it." + at + front
	switch w.Setups.By {
	case work.ByFences:
		return []string{once + "number the blank's sides at their top edges." + at + front}
	case work.ByFence:
		return []string{once + "draw two short lines across the blank's top edge and down it." + at + front,
			"When the blank lies against the fence as drawn, its middle where X0 Y0 is to be: carry mark 1 straight on to the bed. This line of the bed stays to the end."}
	case work.ByPin:
		return []string{lines, "When the blank lies for setup 1, its middle where X0 Y0 is to be: carry the line of mark 1 straight on to the bed, farther out than any corner of the blank comes, and as far in as a mark of it comes once it is lifted. This line of the bed stays to the end."}
	}
	return []string{lines, "When the blank lies for setup 1, its middle where X0 Y0 is to be: carry every line straight on to the bed, farther out than any corner of the blank comes, and as far in as a mark of it comes once it is lifted. These lines of the bed stay to the end."}
}

// chord is how far apart two neighbouring marks of a round blank lie, straight across.
func (b bench) chord(marks []indexMark) string {
	a, c := marks[0].at, marks[len(marks)-1].at
	return b.own(math.Round(10*math.Hypot(a.X-c.X, a.Y-c.Y)) / 10)
}

// place says how the blank lies in its setup.
func (b bench) place() string {
	k, w := b.setup.Number, b.work
	lead := fmt.Sprintf("Setup %d of %d: ", k, b.setups())
	square := ""
	if k == 1 && w.Blank.Shape != dish.Round {
		square = ", the blank's sides along X and Y"
	}
	switch w.Setups.By {
	case work.ByFence:
		return lead + fmt.Sprintf("the blank against the fence, mark %d at the bed's line%s.", k, b.farther())
	case work.ByFences:
		return lead + fmt.Sprintf("mark %d towards you, the blank against both fences.", k)
	case work.ByPin:
		if k > 1 {
			return lead + fmt.Sprintf("mark %d towards you, on the bed's line, the blank's centre hole over the pin.", k)
		}
		return lead + fmt.Sprintf("mark %d towards you%s.", k, square)
	}
	if k > 1 {
		return lead + fmt.Sprintf("mark %d towards you, on the bed's line there, and each other line of the blank on a line of the bed: its middle then lies under X0 Y0.", k)
	}
	return lead + fmt.Sprintf("mark %d towards you%s.", k, square)
}

// farther says how far from where it lay first a blank lies that was slid, to check the
// marks by.
func (b bench) farther() string {
	x, y := b.setup.X, b.setup.Y
	switch {
	case x < 0:
		return ": it lies " + b.own(-x) + " farther left than in setup 1"
	case x > 0:
		return ": it lies " + b.own(x) + " farther right than in setup 1"
	case y < 0:
		return ": it lies " + b.own(-y) + " nearer to you than in setup 1"
	case y > 0:
		return ": it lies " + b.own(y) + " farther from you than in setup 1"
	}
	return ""
}

// check says what the program does where the blank lies for another setup.
func (b bench) check() string {
	k := b.setup.Number
	if b.work.Setups.By == work.ByFence {
		return fmt.Sprintf("Look before you start: with mark %d at the bed's line in place of mark %d this program cuts into the face where it must not.", 3-k, k)
	}
	return fmt.Sprintf("Look before you start: with another mark towards you than mark %d this program cuts that mark's part of the face, in the air where it is finished, too deep where another is still to rough it, and leaves its own.", k)
}

// held says where hold-downs and whatever else stand in the program's setup, as the machine
// sees them.
func (b bench) held() string {
	w, here, u := b.work, b.here(b.work.HoldDowns), b.ruler()
	s := "Hold-downs at"
	for i, o := range here {
		o = b.setup.ObstacleOnMachine(o)
		s += [...]string{" ", ", "}[min(i, 1)] + u.XY(o.X, o.Y)
	}
	s += " " + u.Unit() + " and nowhere else."
	if len(here) == 0 {
		wide := "the cutter's and the holder's width"
		if w.Machine.Hood != nil {
			wide = "the width of the cutter, the holder and the hood"
		}
		s = "No hold-downs are stated: whatever holds the blank keeps clear of everything that the tip moves over, with " + wide + " beside it."
	}
	for i, o := range b.here(w.Obstacles) {
		ends := o.Ends()
		s += [...]string{" Kept clear of too: ", ", "}[min(i, 1)] + u.XY(o.X, o.Y)
		if o.DX != 0 || o.DY != 0 {
			s += " to " + u.XY(ends[1][0], ends[1][1])
		}
	}
	if s[len(s)-1] != '.' {
		s += " " + u.Unit() + "."
	}
	return s
}

// here are those of the things that stand about in the program's setup.
func (b bench) here(all []path.Obstacle) (list []path.Obstacle) {
	for _, o := range all {
		if o.In == 0 || b.setup.Number == 0 || o.In == b.setup.Number {
			list = append(list, o)
		}
	}
	return list
}

package sides

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/work"
	"dishwright/dish/measure"
	"dishwright/dish/rim"
)

// lies is how the rim, or a part of it, lies in a dish.
type lies struct {
	at    r2.Vec  // under which the dish's middle comes
	half  float64 // half the dish's diameter, mm
	swing float64 // that it allows to every side, mm
	least float64 // half the part's own circle, mm
	holds bool    // what has to lie in it?
}

// lineRoom is left between a dish's edge and the line that it must not pass, mm: half a pencil
// line, and the 1.27 mm by which a place that is told to a tenth of an inch may be off.
const lineRoom = 1.5

// usefulSwing is the shortest swing beside a flat for which a dish is laid, mm: with less the grains
// run in their own scratches (common practice).
const usefulSwing = 10.0

// edgePoints is how far apart the points of the flat's and the blend's edge lie, mm. Between two the
// edge comes nearer to a dish's middle by their distance squared over eight times that to the middle: nothing
// beside lineRoom.
const edgePoints = 1.0

// domed are the points of the outline that have to lie on what sands the top's dome, and those
// of the edge that must not: a flat that stands above the dome would be sanded away, and so would
// the blend. A flat that cuts the dome lies below it.
func (b *builder) domed(body rim.Body) (on, off []r2.Vec) {
	all := body.Outline.Within(rimPoints)
	if body.Top.FlatFrom == 0 || body.Top.FlatCuts() {
		return all, nil
	}
	n := len(all)
	zone := func(i int) rim.Zone { return body.Top.Zone(all[(i+n)%n]) }
	for i, p := range all {
		// The line between two zones runs between two points: both count.
		if zone(i-1) == rim.Domed || zone(i) == rim.Domed || zone(i+1) == rim.Domed {
			on = append(on, p)
		}
	}
	off = body.EdgeFrom(body.DomedTo(), edgePoints)
	if k := body.HeadBlock(b.job.Blocks.Head); k.Thickness() > 0 {
		off = append(off, faceOf(body, max(k.Inner, body.DomedTo()))...)
	}
	return on, off
}

// faceOf are points across the body at a distance from the tail: a block may be as wide.
func faceOf(body rim.Body, x float64) (list []r2.Vec) {
	half := 0.0
	for _, p := range body.Outline.Within(edgePoints) {
		if math.Abs(p.X-x) < edgePoints {
			half = max(half, math.Abs(p.Y))
		}
	}
	for y := -half; y <= half; y += edgePoints {
		list = append(list, r2.Vec{X: x, Y: y})
	}
	return append(list, r2.Vec{X: x})
}

// widestDish is half the diameter of the widest dish that is thought of beside a flat: twice as wide as
// the body is long, but no more of its sphere than a sixth round.
func widestDish(d rim.Dome, o *rim.Outline) float64 {
	if d.Kind == rim.Plane {
		return o.Length()
	}
	return min(o.Length(), d.Radius/2)
}

// slightest is the shortest swing that is good enough.
func (l laid) slightest() float64 {
	if len(l.off) == 0 {
		return 0
	}
	return min(usefulSwing, l.tool.Swing)
}

// half is half the diameter of the smallest dish that a part takes with a swing, mm; +Inf where none
// does.
func (l laid) half(part rim.Seat, swing float64) float64 {
	if len(l.off) == 0 {
		return l.seat.Half(l.seat.Arc(part.Least().Half) + swing)
	}
	return part.Beside(l.off, l.line, lineRoom).Needs(swing, l.most)
}

// lay lays a part of the rim, or all of it, in a dish of half a diameter: in the middle of the least
// circle, with all the swing that there is room for; beside a flat with no more than is asked for.
func (l laid) lay(part rim.Seat, half float64) lies {
	least := part.Least()
	in := lies{at: least.At, half: half, least: least.Half}
	if len(l.off) == 0 {
		in.swing, in.holds = l.room(least.Half, 2*half), least.Half <= half+hardly
		return in
	}
	in.at, in.swing, in.holds = part.Beside(l.off, l.line, lineRoom).Swing(half, l.slightest(), l.tool.Swing)
	return in
}

// needed is how the rim lies in the smallest dish that it takes, with the swing that is asked for, or
// with the most that a flat leaves room for; half of that 0 where no dish does.
func (l laid) needed() lies {
	swing := l.tool.Swing
	if len(l.off) > 0 {
		most := l.lay(l.seat, l.most)
		if !most.holds {
			most.half, most.swing = 0, 0
			return most
		}
		swing = most.swing
	}
	in := lies{at: l.least.At, half: l.half(l.seat, swing), least: l.least.Half, swing: swing, holds: true}
	if len(l.off) > 0 {
		in.at, _ = l.seat.Beside(l.off, l.line, lineRoom).Place(in.half, swing)
	}
	return in
}

// inTwo lays the rim in its dish in two placings: tail and head, or the two sides where those
// take less; and sees that they hold it.
func (b *builder) inTwo(l *laid) {
	takes := func(two [2]rim.Seat) float64 {
		return max(l.half(two[0], l.slightest()), l.half(two[1], l.slightest()))
	}
	best := l.seat.InTwo(r2.Vec{X: 1}, blend)
	l.parts = [2]string{"tail", "head"}
	least := takes(best)
	sides := l.seat.InTwo(r2.Vec{Y: 1}, blend)
	if other := takes(sides); other < least-hardly {
		best, least, l.parts = sides, other, [2]string{"right", "left"}
	}
	for i, part := range best {
		l.two[i] = l.lay(part, l.tool.Diameter/2)
	}
	if l.two[0].holds && l.two[1].holds {
		return
	}
	u := b.job.Ruler
	hint := "a board " + u.Up(l.needsBoard(), 0) + " long"
	if one := 2 * l.half(l.seat, l.slightest()); !math.IsInf(one, 1) {
		swings := ""
		if s := l.slightest(); s > 0 {
			swings = " with a swing of " + u.Length(s, 0)
		}
		one := u.Up(one, 0) + swings + ", " + u.Up(2*l.needs.half, 0) + " with a swing of " + u.Down(l.needs.swing, 0) + "; or " + hint
		if hint = "at least " + one; 2*least > l.tool.Diameter && !math.IsInf(least, 1) {
			hint = "at least " + u.Up(2*least, 0) + swings + " for two placings, and for one " + one
		}
	}
	if len(l.off) > 0 {
		b.fault("dish/diameter", hint, "a dish of %s does not hold the rim's domed part beside the blend, which it must not sand: not in two placings either", u.Length(l.tool.Diameter, 1))
		return
	}
	b.fault("dish/diameter", hint, "%s is %s across: a dish of %s does not hold it, not in two placings either", circle(false), u.Length(2*l.least.Half, 1), u.Length(l.tool.Diameter, 1))
}

// besideFlat says what of a domed part its dish does not reach, and how far it may swing.
func (w *maker) besideFlat(t *Tool) {
	l := w.laid
	if !t.Domed || !l.dished {
		return
	}
	t.LineMM = l.line
	in := []lies{l.needs}
	switch {
	case len(t.Placings) > 0:
		in = l.two[:]
	case l.tool.Diameter > 0:
		in = []lies{l.lies}
	}
	if in[0].half > 0 {
		t.UnreachedMM, t.PartlyMM = l.left(in)
	}
	swing := in[0].swing
	if len(in) > 1 {
		swing = min(swing, in[1].swing)
	}
	if t.boarded() || swing >= t.SwingMM-hardly {
		return
	}
	hint := measure.Say("swing it no farther than that")
	switch {
	case in[0].half == 0:
		w.warn("flat-in-dish", "a board for the domed part, up to the line", "no dish holds the tail's half of the domed part and keeps off the blend with a swing of %s", mm(l.slightest()))
		return
	case l.tool.Diameter > 0 && l.needs.half > l.tool.Diameter/2:
		hint = measure.Say("swing it no farther than that, or a dish %v across, for %v", measure.Enough(t.NeededMM, 0), measure.Most(t.NeedsMM, 0))
	}
	w.out.Warnings = append(w.out.Warnings, work.Warning{Kind: "swing", Hint: hint,
		Message: measure.Say("it may swing %v to either side, not the %v: with more the dish would sand the blend, or not hold the tail's half of the dome", measure.Most(swing, 0), t.asked())})
}

// asked is the swing that is asked for: the usual one where none is stated.
func (t Tool) asked() measure.Said {
	if t.Usual {
		return measure.Say("usual %v", mm(t.SwingMM))
	}
	return measure.Say("%v asked for", mm(t.SwingMM))
}

// left is how much of the rim before the blend no placing ever reaches, and how much none has in the
// dish at every stroke, mm: along the outside, on the side of the body that has more of it.
func (l laid) left(in []lies) (never, partly float64) {
	var nevers, partlies [2]float64
	for i, p := range l.points {
		if p.X > l.line {
			continue
		}
		long := min(rimPoints, r2.Norm(r2.Sub(l.points[(i+1)%len(l.points)], p)))
		side, no, some := 0, true, true
		if p.Y > 0 {
			side = 1
		}
		for _, one := range in {
			a, b := l.seat.Left(p, one.at, one.half, one.swing)
			no, some = no && a, some && b
		}
		if no {
			nevers[side] += long
		}
		if some {
			partlies[side] += long
		}
	}
	return max(nevers[0], nevers[1]), max(partlies[0], partlies[1])
}

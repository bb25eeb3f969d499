package sides

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/job"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"
)

// builder makes a body of a job, going on after every fault.
type builder struct {
	job    job.Rim
	open   Opener
	faults strict.Faults
}

// Opener returns the bytes of a file that a job names.
type Opener func(name string) ([]byte, error)

// fault records a fault at a key of the job, in the job's unit; what the hint gives as an example
// is in millimetres.
func (b *builder) fault(key, hint, format string, args ...any) {
	u := b.job.Ruler
	b.faults = append(b.faults, b.job.Fault(key, measure.Say(format, args...).In(u), u.Like(hint)))
}

// tells is what an error says, whose lengths are in millimetres.
func tells(err error) measure.Said { return measure.Written(err.Error()) }

// mm writes a length for a hint.
func (b *builder) mm(v float64) string { return mm(v).In(b.job.Ruler) }

// err returns the faults, if any.
func (b *builder) err() error {
	if len(b.faults) == 0 {
		return nil
	}
	return b.faults
}

// mm writes a length for a message.
func mm(v float64) measure.Term { return measure.To(v, 2) }

// body makes the outline and the two domes.
func (b *builder) body() rim.Body {
	body := rim.Body{Sides: b.job.Sides, Lining: b.job.Lining.Width}
	body.Outline = b.outline()
	if body.Outline == nil {
		return body
	}
	fits := b.fits(body)
	body, ok := b.domes(body)
	if fits && ok {
		b.wide(body)
	}
	return body
}

// domes makes the two domes over an outline.
func (b *builder) domes(body rim.Body) (rim.Body, bool) {
	var ok bool
	if body.Top, ok = b.top(body.Outline); ok {
		body.Back, ok = b.back(body)
	}
	return body, ok
}

// fits compares the parts with the outline.
func (b *builder) fits(body rim.Body) bool {
	o, n := body.Outline, len(b.faults)
	least := math.Inf(1)
	for _, p := range o.Polygon(1) {
		if x := p.X; x > 0.1*o.Length() && x < 0.9*o.Length() {
			least = min(least, math.Abs(p.Y))
		}
	}
	if edge := body.EdgeWidth(); edge >= least/2 {
		b.fault("lining", "the width of the lining, such as 6 mm", "sides and lining of %s leave no room in a body %s wide", mm(edge), mm(2*least))
	}
	if t := b.job.Blocks.Head + b.job.Blocks.Tail + 2*b.job.Sides; t >= o.Length() {
		b.fault("blocks", "their thickness along the centre line, such as {head: 60 mm, tail: 20 mm}", "blocks of %s are longer than the body", mm(t))
	}
	return len(b.faults) == n
}

// widest returns where the outline is widest, on the centre line.
func widest(o *rim.Outline) r2.Vec {
	// The curve of an outline goes nowhere beyond its points.
	var at r2.Vec
	most := 0.0
	for _, p := range o.Polygon(1) {
		if w := math.Abs(p.Y); w > most {
			most, at = w, r2.Vec{X: p.X}
		}
	}
	return at
}

// top makes the top's dome.
func (b *builder) top(o *rim.Outline) (rim.Dome, bool) {
	p := b.job.Top
	d := rim.Dome{Kind: p.Kind, Radius: p.Radius.MM, FlatFrom: p.FlatFrom, Blend: p.Blend}
	if p.Kind == rim.Plane {
		return d, true
	}
	d.Apex = widest(o)
	if p.Apex != nil {
		d.Apex = *p.Apex
	}
	if !b.reaches("top", d, o) {
		return d, false
	}
	if d.FlatFrom > 0 && !b.flat(&d, o) {
		return d, false
	}
	return d, true
}

// reaches sees that a sphere reaches all of the outline.
func (b *builder) reaches(key string, d rim.Dome, o *rim.Outline) bool {
	if far := d.Extent(o); d.Kind != rim.Plane && !(d.Radius > far) {
		b.fault(key+"/radius", fmt.Sprintf("a radius well above %s; the domes of instruments have 4 m to 9 m", b.mm(far)),
			"a dome of radius %s does not reach an edge %s from its apex", mm(d.Radius), mm(far))
		return false
	}
	return true
}

// back makes the back's dome.
func (b *builder) back(body rim.Body) (rim.Dome, bool) {
	p, depths, length := b.job.Back, b.job.Depths, body.Outline.Length()
	both := depths.Head > 0 && depths.Tail > 0
	if !both {
		depth := max(depths.Head, depths.Tail)
		d := rim.BackAt(p.Kind, p.Radius.MM, *p.Apex, body.Top, length, depth, depths.Head > 0)
		return d, b.reaches("back", d, body.Outline)
	}
	d, err := rim.BackThrough(p.Kind, p.Radius.MM, body.Top, length, depths)
	if err != nil {
		b.fault("back/radius", "a radius well above half the length; backs have 3.5 m to 6 m", "%v", tells(err))
		return d, false
	}
	if p.Apex != nil {
		if p.Kind == rim.CylinderAcross {
			d.Apex = *p.Apex
			d.Level += float64(d.Pitch * d.Apex.X)
			return d, b.reaches("back", d, body.Outline)
		}
		b.fault("back/apex", "leave the apex out, or one of the two depths",
			"the radius and both depths fix the back already: they put its apex %s from the tail", mm(d.Apex.X))
		return d, false
	}
	return d, b.reaches("back", d, body.Outline)
}

// wide sees that the sides are wide enough everywhere.
func (b *builder) wide(body rim.Body) {
	_, _, narrow, _ := body.Extremes()
	least := max(b.job.Lining.Height, 1)
	if narrow.Width < least {
		b.fault("depth", "deeper sides, a lower lining, or flatter domes", "the sides end up %s wide at %v from the tail (%v), narrower than the lining of %v",
			mm(narrow.Width), mm(narrow.Arc), measure.At(narrow.At.X, narrow.At.Y), mm(b.job.Lining.Height))
	}
}

// notches works out the braces' ends.
func (b *builder) notches(body rim.Body) [][2]rim.Notch {
	var all [][2]rim.Notch
	for _, k := range b.job.Braces {
		n, err := body.Notches(k)
		if err != nil {
			b.fault("braces/"+k.Name, fmt.Sprintf("two points on the outline, from the tail and the centre line; the body is %s long", b.mm(body.Outline.Length())), "%s: %v", measure.Quote(k.Name), tells(err))
		}
		for _, end := range []struct{ given, met r2.Vec }{{k.From, n[0].At}, {k.To, n[1].At}} {
			// A point well off the outline is a slip, not a way of naming the line.
			if off := r2.Norm(r2.Sub(end.given, end.met)); err == nil && off > mostOff*body.Outline.Length() {
				b.fault("braces/"+k.Name, fmt.Sprintf("the line meets the outline at [%s, %s]", b.mm(end.met.X), b.mm(end.met.Y)),
					"%s: the point [%s, %s] lies %s off the outline", measure.Quote(k.Name), mm(end.given.X), mm(end.given.Y), mm(off))
			}
		}
		all = append(all, n)
	}
	return all
}

// mostOff is how far from the outline a brace's point may lie, as a share of the
// body's length: a hand's breadth on a guitar, for the line is drawn on a plan.
const mostOff = 0.2

// wrong turns an error about an outline's points into a fault, in the job's unit.
func (b *builder) wrong(err error) (point int, message, hint string) {
	message = err.Error()
	if w, ok := errors.AsType[*rim.OutlineError](err); ok {
		point, message, hint = w.Point, w.Message, w.Hint
	}
	return point, measure.Written(message).In(b.job.Ruler), measure.Written(hint).In(b.job.Ruler)
}

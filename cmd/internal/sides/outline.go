package sides

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cmd/internal/sketch"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"
	"dishwright/dish/rim"
)

// source is points in the rim's frame, and where each came from.
type source struct {
	points []r2.Vec
	place  func(point int, message, hint string) strict.Fault
}

// fineness and longest are how a drawn path is divided, mm: a thousandth of a
// millimetre off the drawing is nothing to wood, and points two millimetres apart
// keep straight parts straight.
const fineness, longest = 0.001, 2.0

// outline reads the outline from where the job says; nil where it is faulty.
func (b *builder) outline() *rim.Outline {
	n := len(b.faults)
	src := b.source()
	if len(b.faults) > n {
		return nil
	}
	whole, err := closed(src.points)
	if err == nil {
		var o *rim.Outline
		if o, err = rim.NewOutline(whole, b.job.Outline.Curve); err == nil {
			return o
		}
	}
	point, message, hint := b.wrong(err)
	if point >= len(src.points) { // of the mirrored half
		point = max(0, 2*(len(src.points)-1)-point)
	}
	b.faults = append(b.faults, src.place(point, message, hint))
	return nil
}

// source finds the points.
func (b *builder) source() source {
	l := b.job.Outline
	switch {
	case l.File != "" && strings.EqualFold(filepath.Ext(l.File), ".svg"):
		return b.drawing(l.File)
	case l.File != "":
		return b.table(l.File)
	case l.Path != "":
		return b.path(l.Path, func(message, hint string) strict.Fault { return b.job.Fault("outline/path", message, hint) })
	case l.Bouts != nil:
		half, err := l.Bouts.Half()
		if err != nil {
			pin, message, hint := b.wrong(err)
			if pin < len(l.At) {
				b.faults = append(b.faults, b.job.FaultAt(pin, message, hint))
			} else {
				b.fault("outline", hint, "%s", message)
			}
		}
		return source{half, func(_ int, m, h string) strict.Fault { return b.job.Fault("outline", m, h) }}
	}
	return source{l.Points, b.job.FaultAt}
}

// closed makes a whole outline of points: a half is mirrored, a whole one may
// repeat its first point at its end. The error is a *rim.OutlineError.
func closed(points []r2.Vec) ([]r2.Vec, error) {
	if len(points) < 4 {
		return nil, &rim.OutlineError{Message: measure.Count(len(points), "point") + " cannot make an outline", Hint: "at least 4, from the tail round to the head"}
	}
	left, right := false, false
	for _, p := range points {
		left, right = left || p.Y > 0, right || p.Y < 0
	}
	last := len(points) - 1
	if left && right {
		if points[0] == points[last] {
			return points[:last], nil
		}
		gap, step := r2.Norm(r2.Sub(points[0], points[last])), 0.0
		for i, p := range points[1:] {
			step = max(step, r2.Norm(r2.Sub(p, points[i])))
		}
		if gap > 2*step {
			return nil, &rim.OutlineError{Point: last, Message: fmt.Sprintf("the outline is open: its end lies %s from its beginning", mm(gap)),
				Hint: "a whole outline goes round to where it began; a half has all of y on one side and both ends on the centre line, y = 0"}
		}
		return points, nil
	}
	for _, i := range [...]int{0, last} {
		if points[i].Y != 0 {
			return nil, &rim.OutlineError{Point: i, Message: fmt.Sprintf("the outline is open: its end lies %s off the centre line", mm(math.Abs(points[i].Y))),
				Hint: "a half outline begins at the tail and ends at the head, both with y = 0"}
		}
	}
	return rim.Mirrored(points), nil
}

// read returns the bytes of a file that the job names.
func (b *builder) read(key, name string) ([]byte, bool) {
	data, err := b.open(name)
	if err == nil {
		return data, true
	}
	var f strict.Fault
	if errors.As(err, &f) {
		b.fault(key, f.Hint, "%s: %s", measure.Quote(name), f.Message)
	} else {
		b.fault(key, "a path relative to the job file", "%s cannot be read: %s", measure.Quote(name), err)
	}
	return nil, false
}

// take adds the faults of an error from reading a file.
func (b *builder) take(key string, err error) {
	var list strict.Faults
	if errors.As(err, &list) {
		b.faults = append(b.faults, list...)
		return
	}
	b.fault(key, "", "%s", err)
}

// table reads points from a table of columns x and y.
func (b *builder) table(name string) source {
	data, ok := b.read("outline/file", name)
	if !ok {
		return source{}
	}
	t, err := sketch.Table(name, data, sketch.Column{Name: "x", Needed: true}, sketch.Column{Name: "y", Needed: true})
	if err != nil {
		b.take("outline/file", err)
		return source{}
	}
	xs, ys := t.MM("x"), t.MM("y")
	points := make([]r2.Vec, len(xs))
	for i := range points {
		points[i] = r2.Vec{X: xs[i], Y: ys[i]}
	}
	return source{points, func(i int, m, h string) strict.Fault {
		line := 1
		if i < len(points) {
			line = t.Line(i)
		}
		return strict.Fault{File: name, Line: line, Column: 1, Message: m, Hint: h}
	}}
}

// drawing reads the one path of a drawing.
func (b *builder) drawing(name string) source {
	data, ok := b.read("outline/file", name)
	if !ok {
		return source{}
	}
	d, line, column, err := sketch.SVGFile(name, data)
	if err != nil {
		b.take("outline/file", err)
		return source{}
	}
	return b.path(d, func(message, hint string) strict.Fault {
		return strict.Fault{File: name, Line: line, Column: column, Message: message, Hint: hint}
	})
}

// path makes points of a path's data: it begins at the tail. An open path is one
// half and ends at the head; of a closed one the head is stated, or the place
// farthest from the tail. Drawings measure y downward: it is turned over, so that
// the body is seen as it was drawn.
func (b *builder) path(d string, fault func(message, hint string) strict.Fault) source {
	bad := func(message, hint string) source {
		b.faults = append(b.faults, fault(message, hint))
		return source{}
	}
	subpaths, err := sketch.Path(d)
	if err != nil {
		var p *sketch.PathError
		if errors.As(err, &p) {
			return bad(fmt.Sprintf("at character %d of the path: %s", p.Offset+1, p.Message), p.Hint)
		}
		return bad(err.Error(), "a simpler path: one line round the body")
	}
	if len(subpaths) != 1 {
		return bad(fmt.Sprintf("the path has %d parts", len(subpaths)), "one line round the body, or along its one half")
	}
	scale := b.job.Outline.Scale
	drawn, err := subpaths[0].Points(fineness/scale, longest/scale)
	if err != nil {
		return bad(err.Error(), "is the scale right? it says how long one unit of the drawing is")
	}
	for i := range drawn {
		drawn[i].Y = -drawn[i].Y
	}
	if subpaths[0].Closed && len(drawn) > 1 && drawn[0] == drawn[len(drawn)-1] {
		drawn = drawn[:len(drawn)-1]
	}
	points, message := b.turned(drawn, subpaths[0].Closed)
	if message != "" {
		return bad(message, "a body's path runs from its tail; say where its head is: head: [x, y] in units of the drawing")
	}
	return source{points, func(_ int, m, h string) strict.Fault { return fault(m, h) }}
}

// turned brings drawn points into the rim's frame: the first becomes the tail, and
// the head comes to lie on the centre line.
func (b *builder) turned(drawn []r2.Vec, isClosed bool) (points []r2.Vec, message string) {
	if len(drawn) < 4 {
		return nil, "the path is too short for an outline"
	}
	tail, head := drawn[0], drawn[len(drawn)-1]
	if isClosed {
		for _, p := range drawn {
			if r2.Norm(r2.Sub(p, tail)) > r2.Norm(r2.Sub(head, tail)) {
				head = p
			}
		}
	}
	if h := b.job.Outline.Head; h != nil {
		head = r2.Vec{X: h.X, Y: -h.Y}
	}
	along := r2.Sub(head, tail)
	long := r2.Norm(along)
	if long == 0 {
		return nil, "the path's head is its tail"
	}
	along = r2.Scale(b.job.Outline.Scale/long, along)
	for _, p := range drawn {
		v := r2.Sub(p, tail)
		points = append(points, r2.Vec{X: r2.Dot(along, v), Y: r2.Cross(along, v)})
	}
	points[0] = r2.Vec{}
	if !isClosed {
		points[len(points)-1].Y = 0 // but for rounding it is there
		for i := range points {
			if math.Abs(points[i].Y) < 1e-9 {
				points[i].Y = 0
			}
		}
	}
	return points, ""
}

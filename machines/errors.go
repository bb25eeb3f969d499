package machines

import (
	"errors"
	"strings"

	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"

	"gonum.org/v1/gonum/spatial/r3"
)

// GeometryErrors are what a machine does other than it is told, as it was measured. The zero
// value knows of none.
type GeometryErrors struct {
	Scale       r3.Vec  // by which share of a length each axis goes too far
	Lean        float64 // by how much Y leans towards +X, rise over length
	Backlash    r3.Vec  // what each axis loses where it turns round, mm
	Uncertainty float64 // how well Scale and Lean are known, as a share
	Corrected   bool    // are programs laid so that Scale and Lean come out right?
}

// NoneKnown reports whether nothing is known to be wrong.
func (e GeometryErrors) NoneKnown() bool { return e == GeometryErrors{Corrected: e.Corrected} }

// NeedsCorrection reports whether programs have to be laid for the errors.
func (e GeometryErrors) NeedsCorrection() bool {
	return e.Corrected && (e.Scale != r3.Vec{} || e.Lean != 0)
}

// The greatest errors that a profile may state: more is a slip, or a machine to mend.
const (
	maxScale    = 0.02 // 2 mm per 100 mm
	maxBacklash = 2    // mm
)

// errors reads what the machine does wrong.
func (r *reader) errors() {
	if !r.top.Has("errors") {
		return
	}
	m, ok := r.top.Map("errors")
	if !ok {
		return
	}
	m.Allow("scale", "lean", "backlash", "known within", "corrected")
	e := &r.m.Errors
	if s, ok := r.axisMap(m, "scale"); ok {
		for _, a := range axesOf(&e.Scale) {
			r.signedSlope(s, a.key, "scale "+a.key, a.to)
		}
	}
	r.signedSlope(m, "lean", "lean", &e.Lean)
	if b, ok := r.axisMap(m, "backlash"); ok {
		for _, a := range axesOf(&e.Backlash) {
			if v, ok := length(b, a.key); ok && r.requireRange(b.Pos(a.key), "backlash "+a.key, v, 0, maxBacklash, "mm") {
				*a.to = v
			}
		}
	}
	if v, ok := m.Slope("known within"); ok && r.requireRange(m.Pos("known within"), "known within", float64(100*v), 0, 100*maxScale, "mm per 100 mm") {
		e.Uncertainty = v
	}
	e.Corrected, _ = m.YesNo("corrected")
}

// axisTarget is an axis with where its value goes.
type axisTarget struct {
	key string
	to  *float64
}

func axesOf(v *r3.Vec) []axisTarget { return []axisTarget{{"x", &v.X}, {"y", &v.Y}, {"z", &v.Z}} }

// axisMap reads a map that may hold a value for each axis.
func (r *reader) axisMap(m *strict.Map, key string) (*strict.Map, bool) {
	if !m.Has(key) {
		return nil, false
	}
	axes, ok := m.Map(key)
	if ok {
		axes.Allow("x", "y", "z")
	}
	return axes, ok
}

// signedSlope reads a slope that may lie below zero.
func (r *reader) signedSlope(m *strict.Map, key, label string, to *float64) {
	if !m.Has(key) {
		return
	}
	text, ok := m.Text(key)
	if !ok {
		return
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
		r.doc.Fault(m.Pos(key), label+": "+message, "write it like 0.12 mm per 100 mm, or -0.12 mm per 100 mm")
		return
	}
	if r.requireRange(m.Pos(key), label, float64(100*v), 0, 100*maxScale, "mm per 100 mm, either way") {
		*to = float64(sign * v)
	}
}

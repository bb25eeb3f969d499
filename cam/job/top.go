package job

import (
	"fmt"
	"math"

	"dishwright/cam"
	"dishwright/cam/job/key"
	"dishwright/dish/measure"
	"dishwright/dish/measure/strict"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// mostPoints is more places than anybody touches.
	mostPoints = 100
	// mostTop is the steepest that a top may lie, rise over length: 2 mm per 100 mm.
	mostTop = 0.02
)

// topPoints reads where the blank's top was touched off, and lays a plane through it.
func (l *loader) topPoints(w *cam.Work) {
	if !l.root.Has("top points") {
		return
	}
	list, ok := l.root.List("top points")
	if !ok {
		return
	}
	if len(list) < 3 || len(list) > mostPoints {
		l.fault(l.root, "top points", measure.Count(len(list), "place")+" cannot make a plane", fmt.Sprintf("three to %d places, far apart", mostPoints))
		return
	}
	var points []r3.Vec
	for _, v := range list {
		if p, ok := l.touched(v); ok {
			points = append(points, p)
		}
	}
	if len(points) < len(list) {
		return
	}
	p, ok := planeThrough(points)
	switch {
	case !ok:
		l.fault(l.root, "top points", "the places lie in one line, through which there are many planes", "three or more that make a wide triangle")
	case p.Slope() > mostTop:
		l.fault(l.root, "top points", fmt.Sprintf("the top would fall %s per 100 mm", measure.Length{MM: math.Round(1e5*p.Slope()) / 1e3}), "up to 2 mm per 100 mm; shim the blank level first")
	default:
		w.Top = &p
		if p.Off > w.ZeroError {
			l.job.Warnings = append(l.job.Warnings, cam.Warning{Kind: "top-not-flat", Message: fmt.Sprintf("the touched places lie up to %s off their plane", measure.Length{MM: math.Ceil(1e3*p.Off) / 1e3}), Hint: "touch them again, or make the top flat first"})
		}
	}
}

// touched reads one place.
func (l *loader) touched(v *strict.Value) (p r3.Vec, ok bool) {
	m, ok := v.Map()
	if !ok {
		return p, false
	}
	m.Allow(key.Under("top points/#")...)
	for _, k := range [...]string{"x", "y", "z"} {
		ok = l.example(m, "top points/#/"+k) && ok
	}
	if !ok {
		return p, false
	}
	x, okX := l.length(m, "x", -mostBlank, mostBlank)
	y, okY := l.length(m, "y", -mostBlank, mostBlank)
	z, okZ := l.length(m, "z", -20, 20)
	return r3.Vec{X: x.MM, Y: y.MM, Z: z.MM}, okX && okY && okZ
}

// planeThrough returns the plane of least squares; false where the places lie in a line.
func planeThrough(points []r3.Vec) (cam.Plane, bool) {
	a, b := mat.NewDense(len(points), 3, nil), mat.NewVecDense(len(points), nil)
	span := 0.0
	for _, p := range points {
		span = max(span, max(math.Abs(p.X), math.Abs(p.Y)))
	}
	for i, p := range points {
		a.SetRow(i, []float64{p.X / span, p.Y / span, 1})
		b.SetVec(i, p.Z)
	}
	var qr mat.QR
	var x mat.VecDense
	if qr.Factorize(a); !(qr.Cond() < 1e4) || qr.SolveVecTo(&x, false, b) != nil {
		return cam.Plane{}, false
	}
	// To a picometre per millimetre, so that it is the same on every machine.
	round := func(v, to float64) float64 { return float64(math.Round(v/to)*to) + 0 }
	p := cam.Plane{A: round(x.AtVec(0)/span, 1e-9), B: round(x.AtVec(1)/span, 1e-9), C: round(x.AtVec(2), 1e-6)}
	for _, q := range points {
		p.Off = max(p.Off, math.Abs(float64(p.A*q.X)+float64(p.B*q.Y)+p.C-q.Z))
	}
	return p, true
}

// corrected keeps arcs out of programs that are laid for a machine's errors or a top
// that is not level: they come out as none. What a machine is told may be as much longer
// than what it does: so much less is left of its travel.
func (l *loader) corrected(w *cam.Work) {
	m := &w.Machine
	if w.Top != nil || m.Errors.NeedsCorrection() {
		m.Arcs = false
	}
	if e := m.Errors; e.NeedsCorrection() {
		m.Travel.X -= float64(math.Abs(e.Scale.X)*m.Travel.X) + float64(math.Abs(e.Lean)*m.Travel.Y)
		m.Travel.Y -= float64(math.Abs(e.Scale.Y) * m.Travel.Y)
	}
}

// The bounds of a skim, mm.
const leastSkim, mostSkim = 0.05, 5

// skimDepth reads what is taken off the blank's top first.
func (l *loader) skimDepth(w *cam.Work) {
	if !l.root.Has("skim") || l.job.Form == key.Gauge {
		return
	}
	if m, ok := l.mapOr(l.root, "skim"); ok {
		if m == nil {
			return
		}
		m.Allow(key.Under("skim")...)
		l.mark("skim/", m)
		m.Require("off", "0.6 mm")
		w.Skim.Off, w.Skim.Cutter = l.mm(m, "off", leastSkim, mostSkim), l.cutterFor(m, w)
	} else {
		w.Skim.Off = l.mm(l.root, "skim", leastSkim, mostSkim)
	}
	for _, k := range [...]string{"setups", "top points"} {
		if l.root.Has(k) {
			l.fault(l.root, "skim", map[string]string{"setups": "a blank that is cut in several setups is larger than the machine skims", "top points": "a top that is skimmed lies level: its places before that say nothing"}[k], "leave out one of the two: skim, "+k)
		}
	}
}

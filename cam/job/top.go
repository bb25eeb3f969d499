package job

import (
	"math"

	"dishwright/cam/work"
	"dishwright/dish/fit"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

// topPoints reads where the blank's top was touched off, and lays a plane through it.
func (l *Reader) topPoints(w *work.Work) {
	list, ok := l.Root.Entries("top points")
	if !ok {
		return
	}
	var points []r3.Vec
	l.Root.EachSection("top points", func(_ int, m *keys.Section) {
		x, okX := m.Quantity("x")
		y, okY := m.Quantity("y")
		z, okZ := m.Quantity("z")
		if okX && okY && okZ {
			points = append(points, r3.Vec{X: x, Y: y, Z: z})
		}
	})
	if len(points) < len(list) {
		return
	}
	p, ok := fit.PlaneThrough(points)
	switch {
	case !ok:
		l.Root.Fault("top points", "the places lie in one line, through which there are many planes", "three or more that make a wide triangle")
	case p.Slope() > machines.MostLean:
		l.Root.Fault("top points", "the top would fall "+l.ruler().Slope(math.Round(1e5*p.Slope())/1e5), l.like("up to 2 mm per 100 mm; shim the blank level first"))
	default:
		w.Top = &p
		if p.Off > w.ZeroError {
			l.Job.Warnings = append(l.Job.Warnings, work.Warning{Kind: "top-not-flat", Message: measure.Say("the touched places lie up to %s off their plane", measure.Enough(p.Off, 3)), Hint: measure.Say("touch them again, or make the top flat first")})
		}
	}
}

// corrected keeps arcs out of programs that are laid for a machine's errors or a top
// that is not level: they come out as none. What a machine is told may be as much longer
// than what it does: so much less is left of its travel.
func (l *Reader) corrected(w *work.Work) {
	m := &w.Machine
	if w.Top != nil || m.Errors.NeedsCorrection() {
		m.Arcs = false
	}
	if e := m.Errors; e.NeedsCorrection() {
		m.Travel.X -= float64(math.Abs(e.Scale.X)*m.Travel.X) + float64(math.Abs(e.Lean)*m.Travel.Y)
		m.Travel.Y -= float64(math.Abs(e.Scale.Y) * m.Travel.Y)
	}
}

// skimDepth reads what is taken off the blank's top first.
func (l *Reader) skimDepth(w *work.Work) {
	if !l.Root.Has("skim") {
		return
	}
	off, m, ok := l.Root.Main("skim", "off")
	if !ok {
		return
	}
	w.Skim.Off, w.Skim.Cutter = off, l.onShelf(m, "cutter", w)
	for _, k := range [...]string{"setups", "top points"} {
		if l.Root.Has(k) {
			l.Root.Fault("skim", map[string]string{"setups": "a blank that is cut in several setups is larger than the machine skims", "top points": "a top that is skimmed lies level: its places before that say nothing"}[k], "leave out one of the two: skim, "+k)
		}
	}
}

package sides

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/work"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
	"dishwright/dish/rim"
)

// blocks fills in the straightedge on the blocks and how they are sawn.
func (w *maker) blocks() {
	t := w.job.Blocks
	if t.Head == 0 && t.Tail == 0 {
		return
	}
	head, tail := w.body.HeadBlock(t.Head), w.body.TailBlock(t.Tail)
	for i, k := range [...]rim.Block{head, tail} {
		if k.Thickness() == 0 {
			continue
		}
		g, c := w.body.BlockGaps(k, [...]rim.Block{tail, head}[i]), w.body.BlockCut(k)
		w.out.Blocks = append(w.out.Blocks, Block{Name: k.Name, ThicknessMM: k.Thickness(), GapBothMM: g.OverBoth, GapLevelMM: g.Level, GapRockedMM: g.Rocked,
			OuterMM: c.OuterHeight, InnerMM: c.InnerHeight, TopBevel: degrees(c.TopBevel), BackBevel: degrees(c.BackBevel)})
	}
}

// braces fills in the notches and the braces' arcs.
func (w *maker) braces() {
	for i, k := range w.job.Braces {
		ends := w.notches[i]
		for _, n := range ends {
			side := "left"
			if n.At.Y < 0 {
				side = "right"
			}
			w.out.Notches = append(w.out.Notches, Notch{Brace: k.Name, Side: side, ArcMM: n.Arc, InnerMM: n.InnerArc, X: n.At.X, Y: n.At.Y,
				AngleDeg: degrees(n.Angle), WidthMM: n.Width, DepthMM: n.Depth,
				PieceMM: Piece{n.Width, w.job.Lining.Width, max(0, w.job.Lining.Height-n.Depth)}})
		}
		radius, length, heights := w.body.BraceArc(ends, braceParts)
		if math.IsInf(radius, 1) {
			radius = 0
		}
		w.out.Braces = append(w.out.Braces, Brace{k.Name, length, radius, heights})
		if h := w.job.Lining.Height; h > 0 && k.EndHeight > h {
			w.warn("brace-end", "a lower end", "%s ends %s high, more than the lining's %s", measure.Quote(k.Name), mm(k.EndHeight), mm(h))
		}
	}
}

// lining fills in how much lining is needed: a line at distance d inside a smooth
// closed outline is 2πd shorter.
func (w *maker) lining() {
	if w.job.Lining.Width == 0 {
		return
	}
	w.out.Lining = Lining{w.job.Lining.Width, w.job.Lining.Height, w.body.Outline.Perimeter() - 2*math.Pi*w.job.Sides}
}

// dryStep is how many of the places of a dry fit are listed: one in so many.
const dryStep = 20

// dry fills in the dry fit and the clamps.
func (w *maker) dry() {
	c := w.job.Clamps
	count := int(math.Ceil(w.body.Outline.Perimeter() / c.Spacing))
	w.out.Clamps = Clamps{c.Spacing, count, float64(count) * c.Each, c.OpenTime}
	if c.OpenTime > 0 && w.out.Clamps.TimeS > c.OpenTime {
		w.warn("open-time", "more hands, quicker clamps, a glue that stays open longer, or clamps set half closed beforehand",
			"%d clamps at %g s each take %s, longer than the glue stays open, %s", count, c.Each, tell.Clock(w.out.Clamps.TimeS), tell.Clock(c.OpenTime))
	}
	if w.job.Dry == 0 {
		return
	}
	d := w.body.DryFit(w.job.Dry)
	out := &Dry{LargestMM: d.LargestGap, MeanMM: d.MeanGap, Rests: []Gap{}, Openings: []Gap{}}
	if !math.IsInf(w.job.Dry, 1) {
		out.RadiusMM = w.job.Dry
	}
	for _, s := range d.RestsOn {
		out.Rests = append(out.Rests, Gap{s.Arc, s.At.X, s.At.Y, 0})
	}
	for _, s := range d.Openings {
		out.Openings = append(out.Openings, Gap{s.Station.Arc, s.Station.At.X, s.Station.At.Y, s.Gap})
	}
	for i := 0; i < len(d.Gaps); i += dryStep {
		at := w.body.Outline.At(d.Arcs[i]).At
		out.Gaps = append(out.Gaps, Gap{d.Arcs[i], at.X, at.Y, d.Gaps[i]})
	}
	w.out.Dry = out
}

// leastUsual is half the least radius that the domes of instruments have, mm (common practice):
// one below it is rather a slip of the unit.
const leastUsual = 2000.0

// domes warns where a dome's radius is rather a slip, and where its apex lies outside the body.
func (w *maker) domes() {
	for _, d := range [...]struct {
		name  string
		dome  rim.Dome
		given measure.Length
	}{{"top", w.body.Top, w.job.Top.Radius}, {"back", w.body.Back, w.job.Back.Radius}} {
		if d.dome.Kind != rim.Plane && d.dome.Radius < leastUsual {
			hint := "another number or unit, if it is a slip"
			if d.given.Unit == measure.Inch {
				hint = "feet in place of inches, if it is a slip"
			}
			w.warn("radius", hint, "the %s's radius is %s, less than half of what the domes of instruments have", d.name, d.given)
		}
		if d.dome.Kind != rim.Plane && !inside(w.body.Outline, d.dome.Apex) {
			w.warn("apex-outside", "it may be meant; else another radius or other depths",
				"the %s's apex, %v, lies outside the outline", d.name, measure.At(d.dome.Apex.X, d.dome.Apex.Y))
		}
	}
}

// inside reports whether a place lies inside the outline: how often a line to the
// right of it crosses.
func inside(o *rim.Outline, p r2.Vec) bool {
	line, in := o.Polygon(4), false
	for i, a := range line {
		b := line[(i+1)%len(line)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+float64((b.X-a.X)*((p.Y-a.Y)/(b.Y-a.Y))) {
			in = !in
		}
	}
	return in
}

// warn adds a warning.
func (w *maker) warn(kind, hint, format string, args ...any) {
	w.out.Warnings = append(w.out.Warnings, work.Warning{Kind: kind, Message: measure.Say(format, args...), Hint: measure.Say(hint)})
}

// broken adds a broken bound.
func (w *maker) broken(format string, args ...any) {
	w.out.Broken = append(w.out.Broken, measure.Say(format, args...))
}

// startText says what the rim is before sanding.
func (w *maker) startText() measure.Said {
	s := w.job.Start
	switch {
	case s.Flat > 0:
		return measure.Say("cut flat, %s above the plane that the back's edge stands on", mm(s.Flat))
	case s.File != "":
		return measure.Say("as measured in %s", s.File)
	}
	return measure.Say("cut to its pattern with %s to spare", mm(s.Allowance))
}

package beside

import (
	"math"

	"dishwright/cam/link"
	"dishwright/cam/pass"
	"dishwright/cam/work"
	"dishwright/dish/extra"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r3"
)

// runsTitle is what runs are called together.
const runsTitle = "marks to measure"

// run plans one run: down a ramp along its line, no deeper at once than the cutter bites, and
// along it to its end.
func (e *extrasPlanner) run(r work.RunWanted) {
	if len(e.problems) > 0 { // what one run lacks, all do
		return
	}
	c, ok := e.w.Cutter(r.Cutter)
	why := e.able(c, -min(r.From.Z, r.To.Z))
	if !ok || !why.Empty() {
		e.cannot(r.Name, work.CutterKey(r.Cutter), r.Cutter, why, measure.Say("another cutter"))
		return
	}
	bite := c.DepthOfCut - work.BiteMargin
	if bite < pass.LeastLayer {
		e.cannot(r.Name, work.DepthOfCutKey(c), r.Cutter, measure.Say("%s may bite only %s", c.Name, measure.MM(c.DepthOfCut)), measure.Say("a depth of cut of at least %s, or another cutter", measure.MM(work.BiteMargin+pass.LeastLayer)))
		return
	}
	if down := (r.From.Z - r.To.Z) / link.InPlan(r.From, r.To); down > work.Steep(c) {
		least := math.Ceil(10*180/math.Pi*math.Atan(down/work.Kept)) / 10
		e.cannot(r.Name, work.RampKey(c), r.Cutter, measure.Say("it goes down more steeply than the ramp of %s", c.Name), measure.Say("a ramp of at least %.1f deg, where the cutter's maker allows it, or another cutter", least))
		return
	}
	g := e.w.Grid()
	place := func(p r3.Vec) r3.Vec { return r3.Vec{X: g.Near(p.X), Y: g.Near(p.Y), Z: g.Raise(p.Z)} }
	cut := extra.Run{Name: r.Name, From: place(r.From), To: place(r.To), Aside: r.Aside, Radius: c.Radius()}
	e.out.Set.Runs = append(e.out.Set.Runs, cut)
	e.add(jobOf{c, measure.Say(runsTitle), runsTitle, 0, func(b *link.Builder) {
		l := link.Linker{Builder: b, Cutter: c, Stands: link.FlatTop(0), Beside: link.FlatTop(0), Bite: bite, Aside: r.Aside}
		b.Lift()
		l.Cut(b.Along([]r3.Vec{cut.From, cut.To}))
		b.Lift()
	}})
}

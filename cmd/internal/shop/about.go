package shop

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"dishwright/cam"
	"dishwright/cam/choose"
	"dishwright/cam/job"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/cmd/internal/outset"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
	"dishwright/dish/measure"
	"dishwright/dish/measure/keys"
	"dishwright/machines"

	"gonum.org/v1/gonum/spatial/r3"
)

// Caution is the short caution that make prints.
const Caution = "Caution: a spinning cutter cuts hands, a still one too, dust harms lungs, noise harms ears, chips can burn. Read SAFETY.md and the programs, run them in the air first, and follow the machine's own manual, local codes and licensed practice."

// fileName is the name of the n-th program of a job.
func fileName(n int, job string) string { return fmt.Sprintf("%d-%s.ngc", n, outset.Slug(job)) }

// begin fills what is known before the programs are written.
func (r *Result) begin(c choose.Choice) {
	w, j := &r.Plan.Work, r.Job
	r.Report = Report{Name: w.Name, Form: j.Form.Word(), Machine: w.Machine.Name, Units: w.Machine.Unit.String(),
		RadiusMM: j.Radius.MM, SagittaMM: w.Face.Sagitta(),
		FloorLeftMM: w.Left(), Chosen: c.Why, Caution: Caution,
		Programs: []Program{}, Order: []BenchStep{}, Extras: listed(r.Plan.Work.Blank, r.Extras), Steps: []Step{}, HoldPlaces: []Hold{}, Shop: j.Shop, Values: append([]job.Value{}, j.Values...), Defaults: append([]keys.Default{}, j.Defaults...), Warnings: []work.Warning{}, Broken: []measure.Said{}}
	r.form()
	if !w.ZeroAtBed {
		r.Report.Touch = r.touchIn(r.Plan.Programs[0].Setup)
	}
	for _, one := range c.Among {
		r.Report.Ways = append(r.Report.Ways, Way{one.Rough, one.Finish, one.Pattern, one.Seconds, one.Out})
	}
	for _, d := range w.Machine.Defaults {
		d.Key = "machine/" + d.Key
		r.Report.Defaults = append(r.Report.Defaults, d)
	}
	r.holdPlaces()
	if len(w.HoldDowns) == 0 {
		r.Report.Warnings = append([]work.Warning{r.noHoldDowns()}, r.Report.Warnings...)
	}
}

// holdPlaces finds where the blank can be held down and still be touched off, in every setup.
func (r *Result) holdPlaces() {
	w := r.Plan.Work
	w.Obstacles = slices.Clone(w.Obstacles)
	for _, pr := range r.Plan.Programs {
		if t := r.touchIn(pr.Setup); t != nil {
			p := pr.Setup.Blank(r3.Vec{X: t.X, Y: t.Y})
			w.Obstacles = append(w.Obstacles, path.Obstacle{X: p.X, Y: p.Y, Radius: work.TouchLand / 2})
		}
	}
	for _, h := range cam.HoldPlaces(r.Plan.Piece().Of(w), r.Plan.Programs[1:]) {
		r.Report.HoldPlaces = append(r.Report.HoldPlaces, Hold(h))
	}
}

// warn adds a warning.
func (r *Result) warn(kind string, message, hint measure.Said) {
	r.Report.Warnings = append(r.Report.Warnings, work.Warning{Kind: kind, Message: message, Hint: hint})
}

// finish adds the warnings, of the job first.
func (r *Result) finish() {
	for _, ws := range [...][]work.Warning{r.Job.Warnings, r.Plan.Warnings} {
		r.Report.Warnings = append(r.Report.Warnings, ws...)
	}
	if s := r.Report.Scallop; r.Report.CornerMM > s.AskedMM/10 {
		r.warn(verdictTells,
			measure.Say("beside the certified scallop %v", r.covers().corners(r.Report.CornerMM)),
			measure.Say("a slightly smaller scallop, or the controller's exact path mode, if that matters"))
	}
	if c := r.Plan.Work.Covering; c > 0 {
		f := r.Plan.Work.Face
		d := math.Abs(dish.Drop(r.Plan.Work.Wanted, f.Rim) - f.Sagitta())
		uneven := measure.Say("lumps and uneven glue under the covering matter far more: spread it thin and roll it flat")
		if by := r.Plan.Work.Uneven; by > 0 && !r.uneven() {
			uneven = measure.Say("it is uneven by %s over the places where it was measured, beside the certified scallop of %s: spread the glue thin and roll it flat", length(by), length(r.Plan.Work.Scallop))
		}
		r.warn("covering",
			measure.Say("the wood is cut to %s so that the covering's face has %s; that moves the depth by %v", length(f.Radius), length(r.Plan.Work.Wanted), measure.To(d, 4)),
			uneven)
	}
}

func length(v float64) measure.Term { return measure.MM(v) }

// ownRuler writes lengths in the unit of the machine's programs.
func (r *Result) ownRuler() measure.Ruler { return r.Plan.Work.Machine.Unit.Ruler() }

// own writes a length in that unit.
func (r *Result) own(v float64) string { return r.ownRuler().Length(v, 3) }

// tenth writes a length in that unit without its name, to what a pencil can mark.
func tenth(m machines.Machine, v float64) string {
	return measure.FormatShort(v/m.Unit.MM(), [...]int{1, 3}[m.Unit])
}

// title is the sentence before a section, in the unit of the machine's programs.
func title(m machines.Machine, s work.Section) string {
	in := m.Unit.Ruler()
	what := map[work.Purpose]string{work.AirLap: "In the air, %s.", work.Extra: "Extras: %s, feed up to %s.", work.Skim: "The top: %s, feed up to %s.",
		work.Roughing: "Roughing: %s, feed up to %s.", work.Finishing: "Finishing: %s, feed up to %s."}[s.Purpose]
	if s.Purpose == work.AirLap {
		return fmt.Sprintf(what, s.Pattern.Said().In(in))
	}
	return fmt.Sprintf(what, s.Pattern.Said().In(in), in.Length(s.Feeds.Feed, 3)+"/min")
}

// doings are what a program may be for, as its head says it.
var doings = saids("roughing and finishing", "roughing", "finishing", "extras", "air lap", "skim")

// doing is what one is for.
func doing(p work.Program) measure.OneOf {
	said := doings[0]
	if p.Sections[0].Purpose == p.Purpose() {
		said = map[work.Purpose]measure.Said{work.Roughing: doings[1], work.Finishing: doings[2], work.Extra: doings[3], work.AirLap: doings[4], work.Skim: doings[5]}[p.Purpose()]
	}
	return measure.Either(said, doings...)
}

// saids are sentences that leave nothing open.
func saids(texts ...string) (list []measure.Said) {
	for _, t := range texts {
		list = append(list, measure.Say(t))
	}
	return list
}

// goneOn is what the head of a program says that goes on where another was stopped.
type goneOn struct {
	from, line int    // from which line on it is made again, and in which it stopped
	file       string // what was stopped, but for its .ngc
	repeats    float64
	at         r3.Vec  // where it comes down, as the machine sees it
	was        float64 // the diameter of the cutter that it was laid for
}

// goesOn begins such a head.
const goesOn = "This goes on where another program was stopped: " + outset.Mark + "."

// sentences are the head's first ones.
func (g *goneOn) sentences(b bench) []measure.Said {
	number := func(n int) measure.Figures { return measure.Figures(strconv.Itoa(n)) }
	worn := measure.Say("It is laid for a cutter of %v in place of %v.", measure.Figures(b.own(b.cutter.Diameter)), measure.Figures(b.own(g.was)))
	if g.was == b.cutter.Diameter {
		worn = measure.Say("%v", measure.Either(measure.Said{}, worn))
	}
	return []measure.Said{
		measure.Say(goesOn),
		measure.Say("%v: %v, gone on with from line %v of %v.ngc, where it stopped at line %v.", b.name, b.number, number(g.from), measure.Open(g.file), number(g.line)),
		measure.Say("It repeats %v of what was cut and comes down at %v, where it has cut already.", measure.Figures(b.own(math.Round(g.repeats*10)/10)), measure.Figures(b.ruler().Place(g.at.X, g.at.Y))),
		measure.Say("The blank must not have moved, and X0 Y0 must be where it was: if the machine lost its place, X0 and Y0 are set again at the same marks first. Z0 is set again in any case."),
		worn,
	}
}

// about returns the sentences at the head of a program: what it is and what it needs. Open
// is in them what the job does not settle, or may state otherwise by now.
func (b bench) about() (list []measure.Said) {
	w := b.work
	add := func(format string, args ...any) { list = append(list, measure.Say(format, args...)) }
	if b.gone != nil {
		list = b.gone.sentences(b)
	} else {
		add("%v: %v, %v.", b.name, b.number, b.doing)
	}
	made := b.words.Product()
	if deep := b.words.Depth(); deep != "" {
		made += ", " + deep
	}
	add("%s.", made)
	blank := fmt.Sprintf("Blank: %s %s, %s thick.", w.Material, sized(w.Blank, b.own), b.own(w.Blank.Thickness))
	if w.HasFace() {
		blank += fmt.Sprintf(" %s of it stay under the deepest place.", b.ruler().Length(w.Left(), 2))
	}
	if w.Skim.Off > 0 {
		blank += fmt.Sprintf(" That is its thickness after %s are skimmed off the highest place of its top.", b.own(w.Skim.Off))
	}
	add("%s", blank)
	for _, s := range b.words.Head() {
		add("%s", s)
	}
	if w.Covering > 0 {
		add("The wood is cut to radius %s for a covering of %s.", b.own(w.Face.Radius), b.own(w.Covering))
	}
	switch {
	case b.air():
		add("%s", b.airLap())
	case w.HasFace():
		add("The scallop of %v is certified %v.", length(w.Scallop), b.covers.condition())
		list = append(list, b.covers.corners(unproven).Sentence())
	}
	if waste := b.waste(); waste != "" && b.extra {
		add("%s", waste)
	} else if !b.air() {
		add("%v", measure.Either(measure.Said{}, measure.Say("%s", waste)))
	}
	return list
}

// takes says how long a program takes, s.
func takes(w *work.Work, seconds float64) measure.Said {
	clock := func(s float64) measure.Said { return measure.Say("%v", measure.Figures(tell.Clock(s))) }
	return measure.Say("About %v on %s.", measure.Either(clock(seconds), clock(0), clock(3600)), w.Machine.Name)
}

// waste says what is cut of the board of waste below the blank; empty where none of it is.
func (b bench) waste() string {
	w := b.work
	if b.extras.Deepest() >= -w.Blank.Thickness {
		return ""
	}
	cuts := fmt.Sprintf("It cuts up to %s into the board of waste below the blank.", b.own(-w.Blank.Thickness-w.ToldDeepest(b.extras.Deepest())))
	if len(b.extras.CutOuts) > 0 {
		cuts += " Tabs hold what is cut out. Leave them, and whatever else holds it, until the cutter stands still and is up."
	}
	return cuts
}

// airLap says what the first program is for.
func (b bench) airLap() string {
	off, parts := "with the spindle off", "the cutter"
	if b.work.Machine.HandRouter() {
		off = "with the router unplugged"
	}
	if b.work.Machine.Hood != nil {
		parts += " and the hood"
	}
	above := "above the hold-downs that the job states"
	if len(b.work.HoldDowns) == 0 {
		above = fmt.Sprintf("%s above the blank's top. WARNING: the job states no hold-downs, and whatever stands higher is hit", b.own(b.work.Clearance()))
	}
	return fmt.Sprintf("Run this first, %s: the tip goes slowly round the extents of every program, %s. Watch that %s would clear everything that stands higher than the blank. Where another cutter is wider the lap runs further out by as much.", off, above, parts)
}

// noHoldDowns warns that nothing is known of what holds the blank.
func (r *Result) noHoldDowns() work.Warning {
	w := &r.Plan.Work
	hint := measure.Say("state screws and clamps under 'hold downs', or let nothing stand above the top")
	switch places := r.Report.HoldPlaces; {
	case r.Job.Marks != nil:
		hint = measure.Say("hold the scrap by double-sided tape under all of it, or at its sides, below its top: the marks leave no room on it")
	case len(places) > 0:
		p := places[0]
		hint = measure.Say("%v; there is room at %s, about %v, for a circle of %s", hint, measure.Count(len(places), "place"), measure.About(p.X, p.Y), length(p.Radius))
	case w.HasFace():
		hint = measure.Say("the passes leave no land to hold the blank down on: screws from below through the bed, double-sided tape over the whole back, or vacuum; or a larger blank")
	}
	return work.Warning{Kind: "no-hold-downs", Message: measure.Say("NO HOLD-DOWNS ARE STATED: what stands %s above the blank's top is hit", length(w.Clearance())), Hint: hint}
}

// sized says how large a blank is, each length as it is written there.
func sized(b dish.Blank, length func(mm float64) string) string {
	switch b.Shape {
	case dish.Rectangle:
		return length(b.Length) + " by " + length(b.Width)
	case dish.Round:
		return "round, " + length(b.Length) + " across"
	case dish.Octagon:
		return "octagon, " + length(b.Length) + " across its flats"
	}
	return length(b.Length) + " square"
}

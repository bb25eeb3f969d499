package sheet

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cam/job"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// rim is the sheet of a rim, in the making.
type rim struct {
	*page
	r *sides.Result
	p sides.Report
	f sides.Pictures
	u Units
}

// OfRim writes the sheet of a rim that was worked out; mould is the cutting of its
// mould's edge, nil where the job asks for none.
func OfRim(r *sides.Result, mould *shop.Result) ([]byte, error) {
	u := Units(r.Job.Ruler)
	d := rim{page: &page{Title: r.Report.Name, Caution: r.Report.Caution}, r: r, p: r.Report, f: r.Pictures(), u: u}
	d.What = fmt.Sprintf("A rim %s long, %s round", u.Len(d.p.LengthMM, 1), u.Len(d.p.PerimeterMM, 1))
	d.Facts = d.facts()
	d.outline()
	d.sides()
	d.sanding()
	d.inTheDish()
	d.straightedge()
	d.braces()
	d.glue()
	d.known()
	d.Foot = "Made by dishwright. Arcs run along the outside of the sides from the tail, counter-clockwise seen from above; Z0 is the plane that touches the top at its apex. The glue's label, local codes and licensed practice come before anything said here."
	if mould != nil {
		d.Caution += " " + mould.Words().Caution()
		c := cut{page: d.page, r: mould, u: u}
		c.piece("The mould: ")
		c.steps()
		c.messages()
		c.stopped()
		c.after()
		c.known()
	}
	return d.write()
}

// dome names a plate's face.
func (d rim) dome(v sides.Dome) string {
	if v.Shape == "flat" {
		return "flat"
	}
	return v.Shape + ", radius " + d.u.Len(v.RadiusMM, 1)
}

func (d rim) facts() []fact {
	p, u := d.p, d.u
	return []fact{{"top", d.dome(p.Top)}, {"back", d.dome(p.Back)}, {"side at the head", u.Depth(p.Depth.Head)}, {"side at the tail", u.Depth(p.Depth.Tail)},
		{"widest side", u.Depth(p.Widest.WidthMM)}, {"narrowest side", u.Depth(p.Narrowest.WidthMM)}, {"gluing edge", u.Len(p.EdgeMM, 2) + " wide"},
		{"rim before sanding", p.Sanding.Start}}
}

// outline shows the plan and the widths to hold.
func (d rim) outline() {
	t := &table{Caption: "Widths of the side to hold, at its outside. The bevel is how far the top's edge falls outward.", Head: []string{"place", "arc", "top's Z", "side", "bevel"}}
	for _, s := range d.p.Places {
		t.Rows = append(t.Rows, []string{s.Name, measure.FormatShort(s.ArcMM, 0) + " mm", measure.FormatFixed(s.TopZ, 2) + " mm", d.u.Depth(s.WidthMM), measure.FormatFixed(s.SlopeDeg, 2) + " deg"})
	}
	d.add("Outline and heights", block{Figures: d.show(d.f.Plan)}, block{Table: t})
}

// sides shows the sides unrolled.
func (d rim) sides() {
	s, u := d.p.Side, d.u
	facts := []fact{{"board for each side", u.Len(s.BlankWidthMM, 1) + " by " + u.Len(math.Ceil(s.BlankLengthMM), 0)}, {"leaning in it by", measure.FormatShort(s.BlankLeanDeg, 2) + " deg"}}
	for _, h := range s.Halves {
		facts = append(facts, fact{h.Side + " side, flat", u.Len(h.Mid, 1) + " at mid-thickness"}, fact{h.Side + " side, bent", u.Len(h.Outside, 1) + " outside"})
	}
	if d.p.Lining.LengthMM > 0 {
		facts = append(facts, fact{"lining for each plate", u.Len(d.p.Lining.LengthMM, 0) + ", less the blocks"})
	}
	d.add("The sides, unrolled", block{Figures: d.show(d.f.Unrolled...)}, block{Facts: facts}, block{Texts: []string{"dishwright rim JOB -o DIR prints patterns at true size. Measure their bar of 100 mm before cutting."}})
}

// sanding shows where how much comes off, and the steps.
func (d rim) sanding() {
	s, u := d.p.Sanding, d.u
	facts := []fact{{"most comes off", u.Len(s.MostMM, 2) + " at " + u.Place(s.First.X, s.First.Y)}, {"least comes off", u.Len(s.LeastMM, 2) + " at " + u.Place(s.Last.X, s.Last.Y)},
		{"wood in all", measure.FormatFixed(s.WoodMM3/1000, 1) + " cm3"}}
	d.add("Sanding: what comes off where", block{Figures: d.show(d.f.Sanding, d.f.Touched)}, block{Facts: facts})
	last := fmt.Sprintf("Mark the edge all over with a soft pencil. The dish touches first at %s; the last mark goes at %s.", u.Place(s.First.X, s.First.Y), u.Place(s.Last.X, s.Last.Y))
	if s.MostMM-s.LeastMM < 1e-6 {
		last = "Mark the edge all over with a soft pencil. As much comes off everywhere: the dish touches all of it at once."
	}
	steps := []step{
		{"Hold the sides in their mould or with spreaders, linings and blocks glued and dry, the other edge flat and supported.", "Sides are sanded, never cut by a spinning cutter."},
		{last, careDust},
		{"Turn the rim back and forth and shift it about; let its own weight do the work.", ""},
		{"Time the first tenth of what is to come off: the bars above say how much is left, and so how long it takes.", ""},
	}
	if s.LeastMM > 1e-6 {
		steps = append(steps, step{fmt.Sprintf("When the last mark is gone, mark again: %s more come off evenly all round.", u.Len(s.LeastMM, 2)), ""})
	}
	steps = append(steps, step{"Stop when the widths in the table above hold, not when a mark is gone.", ""})
	d.add("Sanding, step by step", block{Texts: []string{practice}, Steps: steps})
}

// inTheDish says what places the dome.
func (d rim) inTheDish() {
	p, u := d.p, d.u
	var b block
	if a := p.Attitude; a != nil {
		t := &table{Caption: "Widths measured so far.", Head: []string{"place", "measured", "wanted", "too much"}}
		for _, l := range a.Left {
			t.Rows = append(t.Rows, []string{l.Name, u.Len(l.Has, 2), u.Len(l.Wanted, 2), u.Len(l.TooMMM, 2)})
		}
		b.Table = t
		b.List = append(b.List, "Press "+map[bool]string{true: a.Press, false: "the " + a.Press}[a.Press == "evenly"]+".")
	}
	if p.Top.Shape != "flat" {
		b.List = append(b.List, fmt.Sprintf("A rim tilted by %s deg sets the apex off by %s; head and tail are then %s out, each its own way.", measure.FormatShort(p.Tilt.AngleDeg, 2), u.Len(p.Tilt.ApexShift, 1), u.Len(p.Tilt.EndsMM, 2)))
	}
	b.List = append(b.List, fmt.Sprintf("A dish of %s across holds all of the rim, with a swing of %s; a board that spans it is %s long.", u.Len(math.Ceil(p.Tool.NeededMM), 0), u.Len(p.Tool.SwingMM, 0), u.Len(math.Ceil(p.Tool.AcrossMM), 0)))
	if p.Tool.HasMM > 0 {
		b.List = append(b.List, fmt.Sprintf("Yours has %s: the rim overhangs it by %s.", u.Len(p.Tool.HasMM, 0), u.Len(p.Tool.OverhangMM, 1)))
	}
	d.add("In the dish", b)
}

// straightedge shows the gaps on the centre line.
func (d rim) straightedge() {
	if len(d.p.Blocks) == 0 {
		return
	}
	gap := func(v float64) string {
		if v < sides.Feeler {
			return measure.FormatFixed(v, 3) + " mm, too little to feel"
		}
		return measure.FormatFixed(v, 2) + " mm"
	}
	t := &table{Caption: "Gap at a block's outer face under a straightedge on the centre line, and how the block is bevelled.", Head: []string{"block", "on both", "held level", "rocked", "bevel, top", "bevel, back"}}
	for _, b := range d.p.Blocks {
		t.Rows = append(t.Rows, []string{b.Name + ", " + d.u.Len(b.ThicknessMM, 1), gap(b.GapBothMM), gap(b.GapLevelMM), gap(b.GapRockedMM), measure.FormatFixed(b.TopBevel, 2) + " deg", measure.FormatFixed(b.BackBevel, 2) + " deg"})
	}
	d.add("Straightedge over the blocks", block{Table: t, Texts: []string{"Laid over both blocks it rests on their inner edges and holds itself: that is the check to trust. Rocked is about the inner edge, along the slope there."}})
}

// braces shows notches and arcs.
func (d rim) braces() {
	if len(d.p.Notches) == 0 {
		return
	}
	t := &table{Caption: "Notches in the lining; the arc is that of the brace's middle.", Head: []string{"brace", "side", "arc", "crosses at", "wide by deep"}}
	for _, n := range d.p.Notches {
		t.Rows = append(t.Rows, []string{n.Brace, n.Side, d.u.Len(n.ArcMM, 1), measure.FormatShort(n.AngleDeg, 1) + " deg", d.u.Len(n.WidthMM, 2) + " by " + d.u.Len(n.DepthMM, 2)})
	}
	var arcs []string
	for _, b := range d.p.Braces {
		var list []string
		for _, h := range b.HeightsMM {
			list = append(list, measure.FormatFixed(h, 2))
		}
		arcs = append(arcs, fmt.Sprintf("%s, %s long: heights of its edge from end to end, mm: %s", b.Name, d.u.Len(b.LengthMM, 1), strings.Join(list, " ")))
	}
	d.add("Braces", block{Table: t}, block{List: arcs})
}

// glue says how the plate goes on.
func (d rim) glue() {
	var first []string
	if f := d.p.Dry; f != nil {
		if f.LargestMM < 0.005 {
			first = append(first, "The plate lies dry on all of the rim.")
		} else {
			first = append(first, fmt.Sprintf("The plate lies dry with gaps of up to %s.", d.u.Len(f.LargestMM, 2)))
			for i, o := range f.Openings {
				if i == 4 || o.GapMM < 0.005 {
					break
				}
				first = append(first, fmt.Sprintf("Clamp at %s early: the gap is %s there.", d.u.Place(o.X, o.Y), d.u.Len(o.GapMM, 2)))
			}
		}
	}
	c := d.p.Clamps
	line := fmt.Sprintf("A clamp every %s (common practice) makes %d; they take about %s to set.", d.u.Len(c.SpacingMM, 0), c.Count, tell.Clock(c.TimeS))
	if c.OpenTimeS > 0 {
		line += fmt.Sprintf(" The glue stays open %s by its label.", tell.Clock(c.OpenTimeS))
	}
	d.add("Glue the plate on", gluing(append(first, line))...)
}

// known shows what is worth knowing and what was taken.
func (d rim) known() {
	var list, taken []string
	for _, b := range d.p.Broken {
		list = append(list, "Broken: "+b)
	}
	for _, w := range d.p.Warnings {
		list = append(list, sentence(w.Message, w.Hint))
	}
	for _, v := range d.p.Defaults {
		taken = append(taken, fmt.Sprintf("%s: %s (%s)", v.Key, v.Value, v.Why))
	}
	var blocks []block
	if len(list) > 0 {
		blocks = append(blocks, block{List: list})
	}
	if held := job.OfShop(d.p.Values); len(held) > 0 {
		blocks = append(blocks, block{Sub: "From the shop file " + d.p.Shop, List: held})
	}
	if len(taken) > 0 {
		blocks = append(blocks, block{Sub: "Defaults used", List: taken})
	}
	d.add("Worth knowing", blocks...)
}

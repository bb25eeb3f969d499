package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"dishwright/cam/job"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// rimWriter writes a rim for a person.
type rimWriter struct {
	page
	p    sides.Report
	job  job.Rim
	u    measure.Ruler
	look picture.Look
}

// writeRim writes what is known of a rim, its drawings, which may be coloured, to out.
func writeRim(to page, out io.Writer, r *sides.Result, look picture.Look) {
	w := rimWriter{to, r.Report, r.Job, r.Job.Ruler, look}
	size := figure.SizeOf(look, 36)
	w.facts()
	w.places()
	w.draw(out, r.Plan(size))
	w.unrolled()
	w.draw(out, r.Unrolled(size)...)
	w.sanding(r.StopAt())
	w.flat()
	w.draw(out, r.Sanded(size)...)
	w.depths()
	w.draw(out, r.Laid(size)...)
	w.straightedge()
	w.braces()
	w.dry()
	w.stations()
	w.notes()
}

// tight keeps a table of many columns within eighty.
const tight = 1 << 16

// table writes rows of columns, parted by tabs.
func (w rimWriter) table(align uint, rows func(t io.Writer)) {
	padding := 2
	if align&tight != 0 {
		padding = 1
	}
	t := tabwriter.NewWriter(w, 0, 0, padding, ' ', align&^tight)
	rows(t)
	t.Flush()
}

// draw writes drawings, which may be coloured.
func (w rimWriter) draw(out io.Writer, list ...*picture.Figure) {
	for _, f := range list {
		io.WriteString(out, "\n"+f.Characters(w.look))
	}
}

// plate names a plate's face.
func plate(d sides.Dome, radius measure.Length) string {
	switch d.Shape {
	case "flat":
		if d.LeanDeg != 0 {
			return fmt.Sprintf("flat, leaning %s deg", num(d.LeanDeg, 2))
		}
		return "flat"
	case "sphere":
		return fmt.Sprintf("a sphere of radius %s", radius)
	}
	return fmt.Sprintf("a %s of radius %s", d.Shape, radius)
}

// facts writes the figures of the whole.
func (w rimWriter) facts() {
	p, u := w.p, w.u
	writeWrapped(w.page, "", fmt.Sprintf("%s: a rim %s long, %s round", p.Name, u.Length(p.LengthMM, 1), u.Length(p.PerimeterMM, 1)))
	fmt.Fprintln(w)
	var list document.Facts
	list.Add("top", "%s", plate(p.Top, w.job.Top.Radius))
	if p.Top.Shape != "flat" {
		list.Add("", "apex %s from the tail, %s off the centre line", u.Length(p.Top.ApexX, 1), u.Length(p.Top.ApexY, 1))
		list.Add("", "falls %s to the head, %s to the tail", u.Length(p.Top.FallHead, 2), u.Length(p.Top.FallTail, 2))
	}
	if p.Top.FlatFromMM > 0 {
		list.Add("", "%s", w.flatFrom())
	}
	list.Add("back", "%s", plate(p.Back, w.job.Back.Radius))
	if p.Back.Shape != "flat" {
		list.Add("", "apex %s from the tail, %s below the top's", u.Length(p.Back.ApexX, 1), u.Length(-p.Back.ApexZ, 2))
	}
	list.Add("side at the head", "%s", u.Depth(p.Depth.Head, 2))
	list.Add("side at the tail", "%s", u.Depth(p.Depth.Tail, 2))
	list.Add("widest side", "%s, %s from the tail round", u.Depth(p.Widest.WidthMM, 2), u.Length(p.Widest.ArcMM, 0))
	list.Add("narrowest side", "%s, %s from the tail round", u.Depth(p.Narrowest.WidthMM, 2), u.Length(p.Narrowest.ArcMM, 0))
	list.Add("top's edge", "highest %s at %s", u.Length(p.Highest.TopZ, 2), u.Place(p.Highest.X, p.Highest.Y))
	list.Add("", "lowest %s at %s", u.Length(p.Lowest.TopZ, 2), u.Place(p.Lowest.X, p.Lowest.Y))
	list.Add("gluing edge", "%s wide, sides and lining", u.Length(p.EdgeMM, 2))
	writeDocument(w.page, document.Document{list})
}

// places writes the named places: the gauge marks to hold.
func (w rimWriter) places() {
	u := w.u
	fmt.Fprintln(w, "\nwidths of the side to hold, at its outside, "+u.Unit())
	w.table(tabwriter.AlignRight|tight, func(t io.Writer) {
		fmt.Fprintf(t, "place\tside\tarc\tX\tY\ttop Z\tinner\tbevel\t\n")
		for _, s := range w.p.Places {
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t\n", s.Name, u.Mark(s.WidthMM, 2), u.Fixed(s.ArcMM, 1), u.Fixed(s.X, 1), u.Fixed(s.Y, 1),
				u.Fixed(s.TopZ, 2), u.Fixed(s.TopInnerZ, 2), measure.FormatFixed(s.SlopeDeg, 2))
		}
	})
	text := "Side is the width that a gauge is set to. Arc from the tail, counter-clockwise seen from above, along the outside. Z0 is the plane that touches the top at its apex. " +
		"Inner is Z of the edge at the lining's inner side. The bevel, in degrees, is how far the top's edge falls outward."
	if u.Inches && u.Parts > 0 {
		text += fmt.Sprintf(" The side is told to 1/%d in; the small figure after it is what the mark has too much.", u.Parts)
	}
	writeWrapped(w.page, "  ", text)
}

// unrolled writes the sides as they are bought and bent.
func (w rimWriter) unrolled() {
	s, u := w.p.Side, w.u
	fmt.Fprintln(w, "\nsides, unrolled")
	var list document.Facts
	for _, h := range s.Halves {
		list.Add(h.Side+" side", "%s outside, %s at mid-thickness, before bending", w.p.Guess.About(u, h.Outside), w.p.Guess.About(u, h.Mid))
	}
	list.Add("board for each", "%s wide, %s long at least", u.Up(s.BlankWidthMM, 1), u.Up(s.BlankLengthMM, 0))
	list.Add("", "leaning %s deg in it, %s to spare on either edge", num(s.BlankLeanDeg, 2), u.Length(s.AllowanceMM, 2))
	if w.p.Lining.LengthMM > 0 {
		list.Add("lining", "%s round the inside for each plate, less the blocks", u.Length(w.p.Lining.LengthMM, 0))
	}
	writeDocument(w.page, document.Document{list})
}

// sanding writes how the edge comes down.
func (w rimWriter) sanding(stop string) {
	s, u := w.p.Sanding, w.u
	start := "the rim is " + s.Start.In(u)
	if w.p.Saw != nil {
		w.saw()
		start = fmt.Sprintf("the rim is sawn to %s outside the finished edge, or less", u.Length(w.p.Saw.ToMM, 2))
	}
	writeWrapped(w.page, "\nsanding: ", start)
	var list document.Facts
	list.Add("most comes off", "%s at %s, arc %s: the dish touches there first", u.Length(s.MostMM, 2), u.Place(s.First.X, s.First.Y), u.Length(s.First.ArcMM, 0))
	list.Add("least comes off", "%s at %s, arc %s: the last mark goes there", u.Length(s.LeastMM, 2), u.Place(s.Last.X, s.Last.Y), u.Length(s.Last.ArcMM, 0))
	list.Add("wood in all", "%s of sides and lining", u.Volume(s.WoodMM3))
	if f := w.p.Flat; f != nil {
		list.Add("of the dome alone", "%s of the rim's %s", u.Length(w.p.PerimeterMM-f.EdgeMM-w.blend().EdgeMM, 0), u.Length(w.p.PerimeterMM, 0))
	}
	writeDocument(w.page, document.Document{list})
	if s.MostMM-s.LeastMM < 1e-6 {
		writeWrapped(w.page, "  ", "As much comes off everywhere along the outside: the dish touches all of it at once.")
		return
	}
	w.table(tabwriter.AlignRight, func(t io.Writer) {
		fmt.Fprintf(t, "lowered %s\ttouched %%\tgone %%\t\n", u.Unit())
		for _, l := range s.Steps {
			fmt.Fprintf(t, "%s\t%s\t%s\t\n", u.Fixed(l.ByMM, 2), measure.FormatFixed(100*l.Touched, 1), measure.FormatFixed(100*l.Gone, 1))
		}
	})
	if s.LeastMM > 1e-6 {
		writeWrapped(w.page, "  ", fmt.Sprintf("The last pencil mark goes %s before the end: from there on as much comes off everywhere, down to the widths.", u.Length(s.LeastMM, 2)))
	}
	writeWrapped(w.page, "  ", "Time the first tenth of what is to go: the table says how much is left, and so how long it takes. When the last pencil mark is gone, mark again; stop "+stop+".")
}

// depths writes what places the dome, and what goes wrong with it.
func (w rimWriter) depths() {
	p, u := w.p, w.u
	fmt.Fprintln(w, "\nin the dish")
	if a := p.Attitude; a != nil {
		for _, l := range a.Left {
			writeWrapped(w.page, "  ", fmt.Sprintf("%s: measured %s, wanted %s%s: %s", l.Name, u.Depth(l.Has, 2), u.Depth(l.Wanted, 2), l.Back(u), l.Much(u)))
		}
		switch {
		case a.Down():
			fmt.Fprintln(w, "  stop: nothing is left to come off there")
		case a.Press == "evenly":
			fmt.Fprintln(w, "  press evenly")
		default:
			writeWrapped(w.page, "  ", fmt.Sprintf("press the %s: it has %s more to come off than the other side. As it lies now the apex is %s from its place.",
				a.Press, u.Length(a.PressMM, 2), u.Length(math.Hypot(a.ApexX, a.ApexY), 0)))
		}
	}
	if p.Top.Shape != "flat" {
		writeWrapped(w.page, "  ", fmt.Sprintf("A rim tilted by %s deg sets the apex off by %s; head and tail are then %s out, each its own way.",
			num(p.Tilt.AngleDeg, 2), u.Length(p.Tilt.ApexShift, 1), u.Length(p.Tilt.EndsMM, 2)))
	}
	for _, text := range p.Placed(u) {
		writeWrapped(w.page, "  ", text)
	}
}

// tells says whether a feeler gauge can tell a gap.
func (w rimWriter) tells(gap float64) string {
	if gap < sides.Feeler {
		return w.u.Fixed(gap, 3) + " *"
	}
	return w.u.Fixed(gap, 2)
}

// straightedge writes the gaps.
func (w rimWriter) straightedge() {
	if len(w.p.Blocks) == 0 {
		return
	}
	u := w.u
	fmt.Fprintf(w, "\nstraightedge on the centre line: gap in %s at the block's outer face\n", u.Unit())
	w.table(tabwriter.AlignRight|tight, func(t io.Writer) {
		fmt.Fprintf(t, "block\tthick\ton both\tlevel\trocked\thigh outside\tinside\tbevel top\tback\t\n")
		for _, b := range w.p.Blocks {
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t\n", b.Name, u.Short(b.ThicknessMM, 1), w.tells(b.GapBothMM), w.tells(b.GapLevelMM), w.tells(b.GapRockedMM),
				u.Fixed(b.OuterMM, 2), u.Fixed(b.InnerMM, 2), measure.FormatFixed(b.TopBevel, 2), measure.FormatFixed(b.BackBevel, 2))
		}
	})
	writeWrapped(w.page, "  ", "Laid over both blocks it rests on their inner edges and holds itself: that is the check to trust. Held level is against the plane of Z0, rocked is about the inner edge along the slope there. "+
		"* less than a feeler gauge can tell.")
}

// braces writes notches and arcs.
func (w rimWriter) braces() {
	if len(w.p.Braces) == 0 {
		return
	}
	u := w.u
	fmt.Fprintln(w, "\nbraces: notches in the lining, "+u.Unit())
	w.table(tabwriter.AlignRight|tight, func(t io.Writer) {
		fmt.Fprintf(t, "brace\tside\tarc\tcrosses deg\twide\tdeep\tlining put back\t\n")
		for _, n := range w.p.Notches {
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s x %s x %s\t\n", n.Brace, n.Side, u.Fixed(n.ArcMM, 1), measure.FormatFixed(n.AngleDeg, 1), u.Fixed(n.WidthMM, 2), u.Fixed(n.DepthMM, 2),
				u.Short(n.PieceMM.Length, 1), u.Short(n.PieceMM.Width, 1), u.Short(n.PieceMM.Height, 1))
		}
	})
	fmt.Fprintf(w, "\nbraces: height of the edge over the line between its ends, %s, end to end\n", u.Unit())
	for _, b := range w.p.Braces {
		var list []string
		for _, h := range b.HeightsMM {
			list = append(list, u.Fixed(h, 2))
		}
		radius := "straight"
		if b.RadiusMM > 0 {
			radius = "radius " + u.Length(b.RadiusMM, 0)
		}
		writeWrapped(w.page, "  ", fmt.Sprintf("%s, %s, %s: %s", b.Name, u.Length(b.LengthMM, 1), radius, strings.Join(list, " ")))
	}
}

// dry writes the dry fit and the clamps.
func (w rimWriter) dry() {
	u := w.u
	fmt.Fprintln(w, "\nbefore the glue")
	if d := w.p.Dry; d.Bent() {
		from, braced := w.p.Bending(u)
		writeWrapped(w.page, "  ", from)
		writeWrapped(w.page, "  ", braced)
	} else if d != nil {
		name := "a flat plate"
		if d.RadiusMM > 0 {
			name = "a plate domed to " + u.Length(d.RadiusMM, 0)
		}
		line := fmt.Sprintf("%s lies dry with gaps of up to %s, %s on average.", name, u.Length(d.LargestMM, 2), u.Length(d.MeanMM, 2))
		if d.LargestMM < 0.005 {
			line = name + " lies on all of the rim."
		}
		writeWrapped(w.page, "  ", line)
		for i, o := range d.Openings {
			if i == 4 || o.GapMM < 0.005 {
				break
			}
			fmt.Fprintf(w, "  clamp first at %s, arc %s: gap %s\n", u.Place(o.X, o.Y), u.Length(o.ArcMM, 0), u.Length(o.GapMM, 2))
		}
	}
	c := w.p.Clamps
	line := fmt.Sprintf("A clamp every %s (common practice) makes %d; they take about %s to set.", u.Length(c.SpacingMM, 0), c.Count, tell.Clock(c.TimeS))
	if c.OpenTimeS > 0 {
		line += fmt.Sprintf(" The glue stays open %s by its label.", tell.Clock(c.OpenTimeS))
	}
	writeWrapped(w.page, "  ", line)
}

// stations writes the whole lap.
func (w rimWriter) stations() {
	u := w.u
	fmt.Fprintf(w, "\nall round, every %s, in %s\n", u.Length(w.p.StepMM, 2), u.Unit())
	w.table(tabwriter.AlignRight|tight, func(t io.Writer) {
		fmt.Fprintf(t, "arc\tX\tY\ttop Z\tinner\tside\tbevel\toff top\tback\trocked\t\n")
		for _, s := range w.p.Stations {
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t\n", u.Short(s.ArcMM, 1), u.Fixed(s.X, 1), u.Fixed(s.Y, 1), u.Fixed(s.TopZ, 2), u.Fixed(s.TopInnerZ, 2),
				u.Mark(s.WidthMM, 2), measure.FormatFixed(s.SlopeDeg, 2), u.Fixed(s.RemoveMM, 2), u.Fixed(s.BackRemove, 2), u.Fixed(s.GapRocked, 3))
		}
	})
	writeWrapped(w.page, "  ", "Rocked: the gap at the outside under a straightedge rocked onto the lining's inner edge, square to the rim; below "+u.Length(sides.Feeler, 2)+" no feeler gauge tells it.")
}

// notes writes what was taken, what is worth knowing, and what is broken.
func (w rimWriter) notes() {
	p := w.p
	writeDocument(w.page, shop.ShopParts(p.Shop, p.Values))
	writeDocument(w.page, shop.DefaultsParts(p.Defaults, w.u))
	if len(p.Warnings) > 0 {
		writeDocument(w.page, document.Document{document.Heading("worth knowing"), document.Notes{List: shop.Notes(p.Warnings, w.u)}})
	}
	writeDocument(w.page, shop.ListParts("broken", measure.Texts(p.Broken, w.u)))
	fmt.Fprintln(w)
}

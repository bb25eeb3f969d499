package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"dishwright/cmd/internal/draw"
	"dishwright/cmd/internal/shop"
	"dishwright/cmd/internal/sides"
	"dishwright/cmd/internal/tell"
	"dishwright/dish/measure"
)

// rimWriter writes a rim for a person.
type rimWriter struct {
	io.Writer
	p     sides.Report
	parts int // of an inch
	look  draw.Options
}

// writeRim writes what is known of a rim.
func writeRim(out io.Writer, r *sides.Result, look draw.Options) {
	w := rimWriter{tell.Shown(out), r.Report, r.Job.Parts, look}
	w.facts()
	w.places()
	io.WriteString(out, "\n"+r.Plan(look))
	w.unrolled()
	io.WriteString(out, "\n"+r.Unrolled(look))
	w.sanding()
	io.WriteString(out, "\n"+r.Sanded(look))
	w.depths()
	w.straightedge()
	w.braces()
	w.dry()
	w.stations()
	w.notes()
}

// mark writes a length in inches as the nearest mark of the builder's rule, with
// what the mark has too much in mm.
func (w rimWriter) mark(mm float64) string {
	text, over := measure.Fraction(mm, w.parts)
	return fmt.Sprintf("%s %s", strings.TrimSuffix(text, " in"), signed(over))
}

// signed writes a small length with its sign.
func signed(mm float64) string {
	s := measure.FormatFixed(mm, 2)
	if !strings.HasPrefix(s, "-") {
		s = "+" + s
	}
	return s
}

// both writes a length in mm and as a mark.
func (w rimWriter) both(mm float64) string {
	return fmt.Sprintf("%s mm (%s mm)", measure.FormatFixed(mm, 2), strings.Replace(w.mark(mm), " +", " in +", 1))
}

// tight keeps a table of many columns within eighty.
const tight = 1 << 16

func (w rimWriter) table(align uint, rows func(t *tabwriter.Writer)) {
	padding := 2
	if align&tight != 0 {
		padding = 1
	}
	t := tabwriter.NewWriter(w, 0, 0, padding, ' ', align&^tight)
	rows(t)
	t.Flush()
}

// plate names a plate's face.
func plate(d sides.Dome) string {
	switch d.Shape {
	case "flat":
		if d.LeanDeg != 0 {
			return fmt.Sprintf("flat, leaning %s deg", num(d.LeanDeg, 2))
		}
		return "flat"
	case "sphere":
		return fmt.Sprintf("a sphere of radius %s mm (%s ft)", num(d.RadiusMM, 1), num(d.RadiusMM/304.8, 2))
	}
	return fmt.Sprintf("a %s of radius %s mm (%s ft)", d.Shape, num(d.RadiusMM, 1), num(d.RadiusMM/304.8, 2))
}

// facts writes the figures of the whole.
func (w rimWriter) facts() {
	p := w.p
	writeWrapped(w, "", fmt.Sprintf("%s: a rim %s mm long, %s mm round", p.Name, num(p.LengthMM, 1), num(p.PerimeterMM, 1)))
	fmt.Fprintln(w)
	w.table(0, func(t *tabwriter.Writer) {
		fmt.Fprintf(t, "  top\t%s\n", plate(p.Top))
		if p.Top.Shape != "flat" {
			fmt.Fprintf(t, "  \tapex %s mm from the tail, %s mm off the centre line\n", num(p.Top.ApexX, 1), num(p.Top.ApexY, 1))
			fmt.Fprintf(t, "  \tfalls %s mm to the head, %s mm to the tail\n", measure.FormatFixed(p.Top.FallHead, 2), measure.FormatFixed(p.Top.FallTail, 2))
		}
		if p.Top.FlatFromMM > 0 {
			fmt.Fprintf(t, "  \tflat from %s mm on, blended over %s mm\n", num(p.Top.FlatFromMM, 1), num(p.Top.BlendMM, 1))
		}
		fmt.Fprintf(t, "  back\t%s\n", plate(p.Back))
		if p.Back.Shape != "flat" {
			fmt.Fprintf(t, "  \tapex %s mm from the tail, %s mm below the top's\n", num(p.Back.ApexX, 1), num(-p.Back.ApexZ, 2))
		}
		fmt.Fprintf(t, "  side at the head\t%s\n", w.both(p.Depth.Head))
		fmt.Fprintf(t, "  side at the tail\t%s\n", w.both(p.Depth.Tail))
		fmt.Fprintf(t, "  widest side\t%s, %s mm from the tail round\n", w.both(p.Widest.WidthMM), num(p.Widest.ArcMM, 0))
		fmt.Fprintf(t, "  narrowest side\t%s, %s mm from the tail round\n", w.both(p.Narrowest.WidthMM), num(p.Narrowest.ArcMM, 0))
		fmt.Fprintf(t, "  top's edge\thighest %s mm at X%s Y%s\n", measure.FormatFixed(p.Highest.TopZ, 2), num(p.Highest.X, 0), num(p.Highest.Y, 0))
		fmt.Fprintf(t, "  \tlowest %s mm at X%s Y%s\n", measure.FormatFixed(p.Lowest.TopZ, 2), num(p.Lowest.X, 0), num(p.Lowest.Y, 0))
		fmt.Fprintf(t, "  gluing edge\t%s mm wide, sides and lining\n", num(p.EdgeMM, 2))
	})
}

// places writes the named places: the gauge marks to hold.
func (w rimWriter) places() {
	fmt.Fprintln(w, "\nwidths of the side to hold, at its outside")
	w.table(tabwriter.AlignRight|tight, func(t *tabwriter.Writer) {
		fmt.Fprintf(t, "place\tarc\tX\tY\ttop Z\tinner\tside\tin 1/%d\tbevel\t\n", w.parts)
		for _, s := range w.p.Places {
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t\n", s.Name, measure.FormatFixed(s.ArcMM, 1), measure.FormatFixed(s.X, 1), measure.FormatFixed(s.Y, 1),
				measure.FormatFixed(s.TopZ, 2), measure.FormatFixed(s.TopInnerZ, 2), measure.FormatFixed(s.WidthMM, 2), w.mark(s.WidthMM), measure.FormatFixed(s.SlopeDeg, 2))
		}
	})
	writeWrapped(w, "  ", "Arc from the tail, counter-clockwise seen from above, along the outside. Z0 is the plane that touches the top at its apex. "+
		"Inner is Z of the edge at the lining's inner side. The bevel, in degrees, is how far the top's edge falls outward. The small figure after the inches is what the mark has too much, mm.")
}

// unrolled writes the sides as they are bought and bent.
func (w rimWriter) unrolled() {
	s := w.p.Side
	fmt.Fprintln(w, "\nsides, unrolled")
	w.table(0, func(t *tabwriter.Writer) {
		for _, h := range s.Halves {
			fmt.Fprintf(t, "  %s side\t%s mm outside, %s mm at mid-thickness, before bending\n", h.Side, measure.FormatFixed(h.Outside, 1), measure.FormatFixed(h.Mid, 1))
		}
		fmt.Fprintf(t, "  board for each\t%s mm wide, %s mm long at least\n", measure.FormatFixed(s.BlankWidthMM, 1), measure.FormatFixed(s.BlankLengthMM, 0))
		fmt.Fprintf(t, "  \tleaning %s deg in it, %s mm to spare on either edge\n", num(s.BlankLeanDeg, 2), num(s.AllowanceMM, 2))
		if w.p.Lining.LengthMM > 0 {
			fmt.Fprintf(t, "  lining\t%s mm round the inside for each plate, less the blocks\n", measure.FormatFixed(w.p.Lining.LengthMM, 0))
		}
	})
}

// sanding writes how the edge comes down.
func (w rimWriter) sanding() {
	s := w.p.Sanding
	writeWrapped(w, "\nsanding: ", "the rim is "+s.Start)
	w.table(0, func(t *tabwriter.Writer) {
		fmt.Fprintf(t, "  most comes off\t%s mm at X%s Y%s, arc %s: the dish touches there first\n", measure.FormatFixed(s.MostMM, 2), num(s.First.X, 0), num(s.First.Y, 0), num(s.First.ArcMM, 0))
		fmt.Fprintf(t, "  least comes off\t%s mm at X%s Y%s, arc %s: the last mark goes there\n", measure.FormatFixed(s.LeastMM, 2), num(s.Last.X, 0), num(s.Last.Y, 0), num(s.Last.ArcMM, 0))
		fmt.Fprintf(t, "  wood in all\t%s cm3 of sides and lining\n", measure.FormatFixed(s.WoodMM3/1000, 1))
	})
	if s.MostMM-s.LeastMM < 1e-6 {
		writeWrapped(w, "  ", "As much comes off everywhere along the outside: the dish touches all of it at once.")
		return
	}
	w.table(tabwriter.AlignRight, func(t *tabwriter.Writer) {
		fmt.Fprintf(t, "lowered mm\ttouched %%\tgone %%\t\n")
		for _, l := range s.Steps {
			fmt.Fprintf(t, "%s\t%s\t%s\t\n", measure.FormatFixed(l.ByMM, 2), measure.FormatFixed(100*l.Touched, 1), measure.FormatFixed(100*l.Gone, 1))
		}
	})
	if s.LeastMM > 1e-6 {
		writeWrapped(w, "  ", fmt.Sprintf("The last pencil mark goes %s mm before the end: from there on as much comes off everywhere, down to the widths.", measure.FormatFixed(s.LeastMM, 2)))
	}
	writeWrapped(w, "  ", "Time the first tenth of what is to go: the table says how much is left, and so how long it takes. When the last pencil mark is gone, mark again; stop when the widths hold.")
}

// depths writes what places the dome, and what goes wrong with it.
func (w rimWriter) depths() {
	p := w.p
	fmt.Fprintln(w, "\nin the dish")
	if a := p.Attitude; a != nil {
		for _, l := range a.Left {
			fmt.Fprintf(w, "  %-18s measured %s mm, wanted %s, %s mm too much\n", l.Name, measure.FormatFixed(l.Has, 2), measure.FormatFixed(l.Wanted, 2), measure.FormatFixed(l.TooMMM, 2))
		}
		if a.Press == "evenly" {
			fmt.Fprintln(w, "  press evenly")
		} else {
			writeWrapped(w, "  ", fmt.Sprintf("press the %s: it has %s mm more to come off than the other side. As it lies now the apex is %s mm from its place.",
				a.Press, measure.FormatFixed(a.PressMM, 2), measure.FormatFixed(math.Hypot(a.ApexX, a.ApexY), 0)))
		}
	}
	if p.Top.Shape != "flat" {
		writeWrapped(w, "  ", fmt.Sprintf("A rim tilted by %s deg sets the apex off by %s mm; head and tail are then %s mm out, each its own way.",
			num(p.Tilt.AngleDeg, 2), measure.FormatFixed(p.Tilt.ApexShift, 1), measure.FormatFixed(p.Tilt.EndsMM, 2)))
	}
	t := p.Tool
	line := fmt.Sprintf("A dish of %s mm across holds all of the rim, with a swing of %s mm; a board that spans it, %s mm long.", num(math.Ceil(t.NeededMM), 0), num(t.SwingMM, 0), num(math.Ceil(t.AcrossMM), 0))
	if t.HasMM > 0 {
		line += fmt.Sprintf(" Yours has %s mm: the rim overhangs it by %s mm.", num(t.HasMM, 0), num(t.OverhangMM, 1))
	}
	writeWrapped(w, "  ", line)
}

// tells says whether a feeler gauge can tell a gap.
func tells(gap float64) string {
	if gap < sides.Feeler {
		return measure.FormatFixed(gap, 3) + " *"
	}
	return measure.FormatFixed(gap, 2)
}

// straightedge writes the gaps.
func (w rimWriter) straightedge() {
	if len(w.p.Blocks) == 0 {
		return
	}
	fmt.Fprintln(w, "\nstraightedge on the centre line: gap in mm at the block's outer face")
	w.table(tabwriter.AlignRight|tight, func(t *tabwriter.Writer) {
		fmt.Fprintf(t, "block\tthick\ton both\tlevel\trocked\thigh outside\tinside\tbevel top\tback\t\n")
		for _, b := range w.p.Blocks {
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t\n", b.Name, num(b.ThicknessMM, 1), tells(b.GapBothMM), tells(b.GapLevelMM), tells(b.GapRockedMM),
				measure.FormatFixed(b.OuterMM, 2), measure.FormatFixed(b.InnerMM, 2), measure.FormatFixed(b.TopBevel, 2), measure.FormatFixed(b.BackBevel, 2))
		}
	})
	writeWrapped(w, "  ", "Laid over both blocks it rests on their inner edges and holds itself: that is the check to trust. Held level is against the plane of Z0, rocked is about the inner edge along the slope there. "+
		"* less than a feeler gauge can tell.")
}

// braces writes notches and arcs.
func (w rimWriter) braces() {
	if len(w.p.Braces) == 0 {
		return
	}
	fmt.Fprintln(w, "\nbraces: notches in the lining")
	w.table(tabwriter.AlignRight|tight, func(t *tabwriter.Writer) {
		fmt.Fprintf(t, "brace\tside\tarc mm\tcrosses deg\twide mm\tdeep mm\tlining put back mm\t\n")
		for _, n := range w.p.Notches {
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s x %s x %s\t\n", n.Brace, n.Side, measure.FormatFixed(n.ArcMM, 1), measure.FormatFixed(n.AngleDeg, 1), measure.FormatFixed(n.WidthMM, 2), measure.FormatFixed(n.DepthMM, 2),
				num(n.PieceMM.Length, 1), num(n.PieceMM.Width, 1), num(n.PieceMM.Height, 1))
		}
	})
	fmt.Fprintln(w, "\nbraces: height of the edge over the line between its ends, mm, end to end")
	for _, b := range w.p.Braces {
		var list []string
		for _, h := range b.HeightsMM {
			list = append(list, measure.FormatFixed(h, 2))
		}
		radius := "straight"
		if b.RadiusMM > 0 {
			radius = "radius " + num(b.RadiusMM, 0) + " mm"
		}
		writeWrapped(w, "  ", fmt.Sprintf("%s, %s mm, %s: %s", b.Name, num(b.LengthMM, 1), radius, strings.Join(list, " ")))
	}
}

// dry writes the dry fit and the clamps.
func (w rimWriter) dry() {
	fmt.Fprintln(w, "\nbefore the glue")
	if d := w.p.Dry; d != nil {
		name := "a flat plate"
		if d.RadiusMM > 0 {
			name = "a plate domed to " + num(d.RadiusMM, 0) + " mm"
		}
		line := fmt.Sprintf("%s lies dry with gaps of up to %s mm, %s mm on average.", name, measure.FormatFixed(d.LargestMM, 2), measure.FormatFixed(d.MeanMM, 2))
		if d.LargestMM < 0.005 {
			line = name + " lies on all of the rim."
		}
		writeWrapped(w, "  ", line)
		for i, o := range d.Openings {
			if i == 4 || o.GapMM < 0.005 {
				break
			}
			fmt.Fprintf(w, "  clamp first at X%s Y%s, arc %s mm: gap %s mm\n", num(o.X, 0), num(o.Y, 0), num(o.ArcMM, 0), measure.FormatFixed(o.GapMM, 2))
		}
	}
	c := w.p.Clamps
	line := fmt.Sprintf("A clamp every %s mm (common practice) makes %d; they take about %s to set.", num(c.SpacingMM, 0), c.Count, tell.Clock(c.TimeS))
	if c.OpenTimeS > 0 {
		line += fmt.Sprintf(" The glue stays open %s by its label.", tell.Clock(c.OpenTimeS))
	}
	writeWrapped(w, "  ", line)
}

// stations writes the whole lap.
func (w rimWriter) stations() {
	fmt.Fprintf(w, "\nall round, every %s mm\n", num(w.p.StepMM, 2))
	w.table(tabwriter.AlignRight|tight, func(t *tabwriter.Writer) {
		fmt.Fprintf(t, "arc\tX\tY\ttop Z\tinner\tside\tin 1/%d\tbevel\toff top\tback\trocked\t\n", w.parts)
		for _, s := range w.p.Stations {
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t\n", num(s.ArcMM, 1), measure.FormatFixed(s.X, 1), measure.FormatFixed(s.Y, 1), measure.FormatFixed(s.TopZ, 2), measure.FormatFixed(s.TopInnerZ, 2),
				measure.FormatFixed(s.WidthMM, 2), w.mark(s.WidthMM), measure.FormatFixed(s.SlopeDeg, 2), measure.FormatFixed(s.RemoveMM, 2), measure.FormatFixed(s.BackRemove, 2), measure.FormatFixed(s.GapRocked, 3))
		}
	})
	writeWrapped(w, "  ", "Rocked: the gap at the outside under a straightedge rocked onto the lining's inner edge, square to the rim; below 0.05 mm no feeler gauge tells it.")
}

// notes writes what was taken, what is worth knowing, and what is broken.
func (w rimWriter) notes() {
	p := w.p
	writeDocument(w, shop.ShopParts(p.Shop, p.Values))
	writeDocument(w, shop.DefaultsParts(p.Defaults))
	if len(p.Warnings) > 0 {
		fmt.Fprintln(w, "\nworth knowing")
		for i, one := range p.Warnings {
			writeWrapped(w, fmt.Sprintf("  %d. ", i+1), one.Message)
			if one.Hint != "" {
				writeWrapped(w, "     hint: ", one.Hint)
			}
		}
	}
	writeDocument(w, shop.ListParts("broken", p.Broken))
	fmt.Fprintln(w)
}

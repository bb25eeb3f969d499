package sheet

import (
	"fmt"
	"math"

	"dishwright/cam/work"
	"dishwright/cmd/internal/document"
	"dishwright/cmd/internal/shop"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// practice stands above what is of the trade: no standard says it.
const practice = " (common practice: what the makers of glue, abrasive and board say goes before it)"

// after is what is done with a piece when it is cut: what stays on one page together.
func (c cut) after() []document.Document {
	title, common, list := c.Words().Use()
	if c.Job.Marks != nil {
		drawing, table := c.marks()
		how := append(document.Document{document.Heading("How"), document.List(c.Words().Checks())}, practised(title, common, document.List(list))...)
		return []document.Document{append(drawing, how...), {table}}
	}
	d := document.Document{document.Paragraph{Lead: "Measure again", Text: "when the dust is gone, the next day, and before each use: wood and MDF move once their skin is cut, and swell with moisture. " +
		"Seal both faces, the edges and every hole alike soon after cutting (common practice); keep it on a flat support that carries all of it."}}
	if list := c.Words().Checks(); len(list) > 0 {
		d = append(d, document.List(list))
	} else {
		d = append(d, document.Columns{{c.depths()}, {c.gaugeHeights()}}, document.Heading("What a difference means"), document.List(c.differences()))
	}
	if title != "" {
		return []document.Document{append(d, practised(title, common, document.List(list))...)}
	}
	return []document.Document{d, practised("The covering", true, document.List(c.covering())), practised("First sanding", true, c.sanding())}
}

// practised puts what is common practice under a heading that says so.
func practised(title string, common bool, part document.Part) document.Document {
	if common {
		title += practice
	}
	return document.Document{document.Heading(title), part}
}

// reach is how far the face reaches from its middle, along a board.
func (c cut) reach() float64 {
	long, _ := c.Plan.Work.Region.Size()
	return long / 2
}

// crown reports whether the face is one.
func (c cut) crown() bool { return c.Plan.Work.Face.Falls() }

// columns are the heads of a table to fill in, or a row of it: with a covering its face stands
// beside the wood.
func (c cut) columns(first, wood, covered string, rest ...string) []string {
	list := []string{first, wood}
	if c.Plan.Work.Covering > 0 {
		list = append(list, covered)
	}
	return append(list, rest...)
}

// depths is what a straightedge across the apex shows.
func (c cut) depths() document.Table {
	const rows = 10
	w, reach, step := &c.Plan.Work, c.reach(), 25.0
	t := document.Table{Caption: "Depth under a straightedge across the apex, measured along X and Y, " + c.u.Unit(), Head: c.columns("from the middle", "wood", "covered", "along X", "along Y")}
	if c.crown() {
		t.Caption = "Gap under a straightedge level on the apex, measured along X and Y, " + c.u.Unit()
	}
	if c.u.Inches {
		step = 25.4
	}
	for reach/step > rows {
		step *= 2
	}
	stations := c.Stations(step)
	if n := len(stations); n > 0 && reach-stations[n-1].At > 1 && c.crown() {
		stations = append(stations, shop.Station{At: reach, Wood: dish.Drop(w.Face.Radius, reach), Finished: dish.Drop(w.Wanted, reach)})
	}
	for _, s := range stations {
		t.Rows = append(t.Rows, c.columns(c.u.Short(s.At, 1), c.u.Fixed(s.Wood, 2), c.u.Fixed(s.Finished, 2), "", ""))
	}
	return t
}

// gaugeHeights is what a gauge in the middle between two feet shows.
func (c cut) gaugeHeights() document.Table {
	w := &c.Plan.Work
	side, bars := "below", []float64{100, 150, 200, 300, 400}
	if c.crown() {
		side = "above"
	}
	if c.u.Inches {
		bars = []float64{101.6, 152.4, 203.2, 304.8, 406.4} // 4, 6, 8, 12 and 16 in
	}
	t := document.Table{Caption: "A gauge between two feet, " + side + " their line, " + c.u.Unit(), Head: c.columns("feet apart", "wood", "covered", "1 % is", "measured")}
	for _, b := range bars {
		if b/2 <= c.reach() {
			wood := dish.Drop(w.Face.Radius, b/2)
			t.Rows = append(t.Rows, c.columns(c.u.Short(b, 1), c.u.Fixed(wood, 3), c.u.Fixed(dish.Drop(w.Wanted, b/2), 3), c.u.Fixed(dish.Drop(w.Face.Radius/1.01, b/2)-wood, 3), ""))
		}
	}
	return t
}

// differences say what it means where another depth is measured than is listed.
func (c cut) differences() []string {
	w, reach := &c.Plan.Work, c.reach()
	list := []string{
		fmt.Sprintf("More everywhere, in proportion: the radius is smaller by that share; less: larger. One percent is %s at full width.", c.u.Length(dish.Drop(w.Face.Radius/1.01, reach)-dish.Drop(w.Face.Radius, reach), 3)),
		"The same at every place: the straightedge stood on a chip, or the gauge's zero, set on a flat plate, was off; the radius is right.",
		"Another along X than along Y: the face is not round, or the board has moved.",
	}
	const bow = 0.5
	if s := dish.Drop(w.Face.Radius, reach); s > 2*bow {
		more, errM := dish.Radius(2*reach, s+bow)
		less, errL := dish.Radius(2*reach, s-bow)
		if errM == nil && errL == nil {
			r := c.Job.Radius
			list = append(list, fmt.Sprintf("A bow of %s over %s turns a radius of %s into %s or %s.", c.u.Length(bow, 1), c.u.Length(2*reach, 0), r, roughly(r, more), roughly(r, less)))
		}
	}
	if s := c.Report.Sag; s != nil {
		list = append(list, "It sags "+s.Briefly(c.u)+".")
		if layers := s.Laminated(c.u); layers != "" {
			list = append(list, layers+".")
		}
	}
	return append(list, fmt.Sprintf("dishwright fit READINGS --radius \"%s\" says from the readings which radius was really cut, and how sure that is.", c.Job.Radius))
}

// roughly writes a radius in the unit of another, to a tenth of a foot or its like.
func roughly(like measure.Length, mm float64) string {
	to := map[measure.Unit]float64{measure.Foot: 30.48, measure.Inch: 25.4, measure.Metre: 10, measure.Centimetre: 10, measure.Millimetre: 10}[like.Unit]
	return like.WithMM(math.Round(mm/to) * to).String()
}

// covering says how the abrasive, cork or leather is glued on.
func (c cut) covering() []string {
	first := "The wood is cut for no covering: a sheet of abrasive takes less off the radius than anyone can measure; lumps matter more."
	if thick := c.Plan.Work.Covering; thick > 0 {
		first = fmt.Sprintf("The wood is cut for a covering of %s. Measure yours with its glue in five places: covering: {measured: [...]}.", c.u.Length(thick, 2))
		if uneven := c.Plan.Work.Uneven; uneven > 0 {
			first = fmt.Sprintf("The wood is cut for a covering of %s, the mean of the places where it was measured. They differ by %s: that comes on top of the certified scallop of %s.", c.u.Length(thick, 3), c.u.Length(uneven, 3), c.u.Length(c.Plan.Work.Scallop, 3))
		}
	}
	flat := "A flat sheet does not lie on a sphere: cut wedges or strips with narrow gaps; the key covering layout draws them."
	list := []string{first}
	if k := c.Report.Covering; k != nil {
		flat = "Cut it by covering.svg, seen from above with the grain up: " + k.Layout(c.u) + "."
	}
	list = append(list, flat)
	if k := c.Report.Covering; k == nil || k.OnePiece == nil {
		list = append(list, "Never overlap a seam: a rim rides up on it and tears it. Cut from the back with a sharp knife, the pieces mirrored.")
	} else {
		list = append(list, "A self-adhesive disc: fold back a hand's width of its liner, set its middle on the centre of the face, and roll from there outward as the liner comes off; it does not lift again.")
	}
	if k := c.Report.Covering; k != nil && k.Turned != "" {
		list = append(list, fmt.Sprintf("Turn the dish %s under the rim, or the rim the other way in it: the seams then trail, and no edge is pushed open.", k.Turned))
	}
	list = append(list, c.bolt()...)
	return append(list,
		"Take every scallop and speck off, vacuum, wipe as the glue's label allows, and seal bare MDF first. "+careFumes,
		"Spread a thin, even film, lay the pieces from the middle outward, roll each down from its middle; press it with a crown of the same radius or a bag of dry sand, never with a flat board.",
		"Look across it under slanting light: cut out a bubble or a lump now, for it will mark every rim.",
	)
}

// bolt says what a bolt through the centre hole takes, about which a dish is turned.
func (c cut) bolt() []string {
	const under, washer = 1.0, 3 // mm that a bolt ends below the face; a washer's width in holes
	for _, h := range c.Plan.Work.Extras.Holes {
		if h.Key == work.KeyCentreHole && h.Depth == 0 && !c.crown() {
			return []string{fmt.Sprintf("To turn the dish about a bolt in its centre hole of %s: put it in from below, a washer of about %s between dish and bench, and let it end %s or more under the face: at most %s of it stand in the wood. Cut the covering away over the hole, and nothing more.",
				c.u.Length(h.Diameter, 2), c.u.Length(washer*h.Diameter, 0), c.u.Length(under, 1), c.u.Down(max(0, c.Report.FloorLeftMM-under), 1))}
		}
	}
	return nil
}

// sanding says how the first rim is sanded.
func (c cut) sanding() document.Steps {
	_, how := c.Words().Sanding(func(mm float64) string { return c.u.Length(mm, 0) })
	return document.Steps{
		{Text: "Hold the sides in their mould or with spreaders, linings glued and dry, the back's side flat and supported.", Care: "Sides are sanded, never cut by a spinning cutter. The finest dust of all: mask and extraction."},
		{Text: "Mark the whole edge, sides, linings and blocks, with a soft pencil in close zigzags."},
		{Text: how + " Let its own weight do the work. Mark again whenever most of it is gone; measure the sides at head, tail and widest places each time."},
		{Text: "When the last mark is gone, mark once more. Stop when the depths of the sides hold: dishwright rim says which, and where the marks go last."},
	}
}

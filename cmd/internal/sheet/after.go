package sheet

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/shop"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// after is what is done with the piece when it is cut.
func (c cut) after() {
	c.add("Check the result", c.check()...)
	if title, common, list := c.r.Words().Use(); title != "" {
		use := block{List: list}
		if common {
			use.Texts = []string{practice}
		}
		c.add(title, use)
	} else {
		c.covering()
		c.sanding()
		c.add("Glue the plate on", gluing(nil)...)
	}
	c.add("How the board moves", c.moves()...)
}

// practice stands above what is of the trade: no standard says it.
const practice = "Common practice, no rule of a standard: what the makers of glue, abrasive and board say goes before it."

// check says how the finished face is measured.
func (c cut) check() []block {
	if list := c.r.Words().Checks(); len(list) > 0 {
		return []block{{List: list}}
	}
	blocks := []block{{Texts: []string{"Measure when the spindle's power is off and the dust is gone. Zero a gauge on a flat plate first."}, Table: c.depths()}}
	if g := c.gaugeHeights(); len(g.Rows) > 0 {
		blocks = append(blocks, block{Table: g})
	}
	return append(blocks, block{List: []string{
		"Measure along two lines across one another: both must agree, or the face is not round.",
		"dishwright fit takes the readings to the radius that was really cut, and says how sure that is.",
	}})
}

// reach is how far the face reaches from its middle, along a board.
func (c cut) reach() float64 {
	long, _ := c.r.Plan.Work.Region.Size()
	return long / 2
}

// crown reports whether the face is one.
func (c cut) crown() bool { return c.r.Plan.Work.Face.Falls() }

// faces is what a table has beside its first column: the wood, and with a covering its
// face too.
func (c cut) faces(first, wood, finished string) []string {
	if c.r.Plan.Work.Covering > 0 {
		return []string{first, wood, finished}
	}
	return []string{first, wood}
}

// depths is what a straightedge across the apex shows.
func (c cut) depths() *table {
	w, u, reach := &c.r.Plan.Work, c.u, c.reach()
	t := &table{Caption: "Depth under a straightedge that lies across the apex on the rim, at a distance from the middle.", Head: c.faces("from the middle", "wood", "with its covering")}
	if c.crown() {
		t.Caption = "Gap under a straightedge that touches the apex and is held level, at a distance from the middle."
	}
	step := 25.0
	if u.Inches {
		step = 25.4
	}
	const rows = 12
	for reach/step > rows {
		step *= 2
	}
	stations := c.r.Stations(step)
	if n := len(stations); n > 0 && reach-stations[n-1].At > 1 && c.crown() {
		stations = append(stations, shop.Station{At: reach, Wood: dish.Drop(w.Face.Radius, reach), Finished: dish.Drop(w.Wanted, reach)})
	}
	for _, s := range stations {
		t.Rows = append(t.Rows, c.faces(u.Len(s.At, 1), u.Depth(s.Wood), u.Depth(s.Finished)))
	}
	return t
}

// gaugeHeights is what a gauge in the middle between two feet shows.
func (c cut) gaugeHeights() *table {
	w, u := &c.r.Plan.Work, c.u
	side, bars := "below", []float64{100, 150, 200, 300, 400}
	if c.crown() {
		side = "above"
	}
	if u.Inches {
		bars = []float64{101.6, 152.4, 203.2, 304.8, 406.4} // 4, 6, 8, 12 and 16 in
	}
	t := &table{Caption: "What a gauge in the middle between two feet shows, " + side + " the line through the feet. The last column is what one percent of the radius makes.",
		Head: append(c.faces("feet apart", "wood", "with its covering"), "1 % is")}
	for _, b := range bars {
		if b/2 > c.reach() {
			break
		}
		wood := dish.Drop(w.Face.Radius, b/2)
		row := c.faces(u.Len(b, 1), u.Len(wood, 3), u.Len(dish.Drop(w.Wanted, b/2), 3))
		t.Rows = append(t.Rows, append(row, u.Len(dish.Drop(w.Face.Radius/1.01, b/2)-wood, 3)))
	}
	return t
}

// covering says how the abrasive, cork or leather is glued on.
func (c cut) covering() {
	w := &c.r.Plan.Work
	var list []string
	if w.Covering > 0 {
		list = append(list, fmt.Sprintf("The wood is cut for a covering of %s: measure yours, glue included, in five places.", c.u.Len(w.Covering, 2)))
	} else {
		list = append(list, "The wood is cut for no covering: one of 0.6 mm makes the radius 0.6 mm less, which no one can measure; lumps and thick glue matter more.")
	}
	if k := c.r.Report.Covering; k != nil {
		list = append(list, fmt.Sprintf("Cut it by covering.svg: %d %s, with gaps of %s. A flat sheet would be %s too long round the rim.", k.Count, k.Pieces, c.u.Len(k.GapMM, 2), c.u.Len(k.ExcessMM, 2)))
	} else {
		list = append(list, "A flat sheet does not lie on a sphere: cut it into wedges or strips with narrow gaps, or let it be slit. The job's key covering layout draws them.")
	}
	list = append(list,
		"Take every scallop and speck off, vacuum the face, and wipe it with what the glue's label allows.",
		careFumes,
		"Seal the face first: bare MDF drinks glue. Let it dry and knock it back.",
		"Spread a thin, even film, lay the pieces from the middle outward, and roll each down from its middle. Cut off what stands over the rim.",
		"Press it while the glue sets with a crown of the same radius or a bag of dry sand, never with a flat board.",
		"Look across it under slanting light: cut out a bubble or a lump now, for it will mark every rim.",
	)
	c.add("Glue on the covering", block{Texts: []string{practice}, List: list})
}

// sanding says how the rim is sanded.
func (c cut) sanding() {
	moved, how := c.r.Words().Sanding(func(mm float64) string { return c.u.Len(mm, 0) })
	c.add("Sand the rim with it", block{Texts: []string{practice}, Steps: []step{
		{"Hold the sides in their mould or with spreaders, the linings glued and dry, the back's side flat and supported.", "Sides are sanded, never cut by a spinning cutter. " + careDust},
		{"Mark the whole edge, sides, linings and blocks, with a soft pencil in close zigzags.", ""},
		{how + " Let the " + moved + "'s own weight do the work.", ""},
		{"Mark again whenever most of it is gone. The marks go first where the rim stands highest, and last where the flat rim was lowest: the sheet of the rim (dishwright rim) says where.", ""},
		{"Measure the depths of the sides at head, tail and widest places each time: press a little more where there is most left.", ""},
		{"When the last mark is gone, mark the whole edge again. Stop when the depths of the sides hold: more only makes them lower.", ""},
		{"Lay a straightedge over the blocks: it rests on their inner edges, with light at the outer ones. At most a feeler gauge of 0.05 mm goes under anywhere else.", ""},
	}})
}

// gluing says how a plate is glued to the rim; more comes first.
func gluing(more []string) []block {
	return []block{{Texts: []string{practice}, List: append(more,
		"Fit it dry with every clamp: no gap may need force to close. Where it does, sand on, do not clamp harder.",
		"Draw the centre line on plate and blocks, and fix it with two small pins or blocks outside the body.",
		"Read the open time and the clamping time on the glue's own label, and lay everything out first: the clamps must all sit within the open time.",
		"Brush an even film on the rim, set the plate on its marks, and clamp head and tail first, then from the waist outward, each side in turn.",
		"Glue must squeeze out all round, inside too, in small even beads: where none comes there is a gap or none was spread. Clean it off before it sets.",
	)}}
}

// moves says what a bow of the board does to the radius.
func (c cut) moves() []block {
	w, u := &c.r.Plan.Work, c.u
	list := []string{}
	reach := c.reach()
	const bow = 0.5
	if s := dish.Drop(w.Face.Radius, reach); len(c.r.Words().Checks()) == 0 && s > 2*bow {
		more, errM := dish.Radius(2*reach, s+bow)
		less, errL := dish.Radius(2*reach, s-bow)
		if errM == nil && errL == nil {
			r := c.r.Job.Radius
			list = append(list, fmt.Sprintf("A bow of %s over %s turns a radius of %s into %s or %s.", u.Len(bow, 1), u.Len(2*reach, 0), r, roughly(r, more), roughly(r, less)))
		}
	}
	list = append(list,
		"Common practice: MDF swells with moisture, and one face alone makes it bow, so seal both faces, the edges and every hole alike, and do it soon after cutting.",
		"Store and use it on a flat support that carries all of it; a dish that rests on its rim sags.",
		"Check it again before each use: a straightedge across it and the gauge in the middle take a minute.",
	)
	return []block{{List: list}}
}

// roughly writes a radius in the unit of another, to a tenth of a foot or its like.
func roughly(like measure.Length, mm float64) string {
	to := map[measure.Unit]float64{measure.Foot: 30.48, measure.Inch: 25.4, measure.Metre: 10, measure.Centimetre: 10, measure.Millimetre: 10}[like.Unit]
	return like.WithMM(math.Round(mm/to) * to).String()
}

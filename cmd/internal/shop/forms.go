package shop

import (
	"fmt"
	"strings"

	"dishwright/dish"
	"dishwright/dish/extra"

	"gonum.org/v1/gonum/spatial/r2"
)

// form adds what only some forms have.
func (r *Result) form() {
	w, j, p := &r.Plan.Work, r.Job, &r.Report
	p.PlateMM = j.Plate.MM
	board, isBoard := w.Region.(dish.Strip)
	if isBoard {
		p.LengthMM, p.WidthMM, p.DiameterMM = board.Length, board.Width, 0
		p.SpansMM, p.BendsMM = j.Spans, j.Bends
		if w.Face.Cylinder {
			p.OffSphereMM = dish.CylinderDeparture(w.Wanted, board.Width)
			p.Warnings = append(p.Warnings, Warning{"cylinder",
				fmt.Sprintf("a cylinder is off the sphere by w²/8R across its width: %s here, beside the scallop", length(p.OffSphereMM)),
				"swing it only along its length, square to the sides' edge, or make it spherical"})
		}
		p.Warnings = append(p.Warnings, Warning{"board-spans",
			fmt.Sprintf("swung by %s it stays on both sides of an outline up to %s wide there; pressed by hand in its middle it bends about %.2f mm", length(j.Swing), length(j.Spans), j.Bends),
			"measure the outline at its widest, and press over the sides"})
	}
	if !w.HasFace() {
		p.LengthMM, p.DiameterMM, p.CutRadiusMM = j.Length.MM, 0, j.Radius.MM
		for _, v := range j.Radii {
			p.RadiiMM = append(p.RadiiMM, v.MM)
		}
	}
}

// productWords describes what is made in a few words.
func (r *Result) productWords() string {
	if w := &r.Plan.Work; w.HasFace() {
		return fmt.Sprintf("%s, %s deep", r.product(), r.own(w.Face.Sagitta()))
	}
	return r.product()
}

// product is productWords without the depth.
func (r *Result) product() string {
	w, j := &r.Plan.Work, r.Job
	_, isBoard := w.Region.(dish.Strip)
	switch {
	case !w.HasFace():
		names := make([]string, len(j.Radii))
		for i, v := range j.Radii {
			names[i] = v.String()
		}
		return fmt.Sprintf("Gauge templates %s long, each with a concave and a convex edge, of radius %s", j.Length, strings.Join(names, ", "))
	case isBoard:
		curve := "spherical"
		if w.Face.Cylinder {
			curve = "cylindrical"
		}
		return fmt.Sprintf("A hollow %s board of radius %s, %s by %s", curve, j.Radius, j.Length, j.Width)
	case w.Face.Falls() && j.Plate.MM > 0:
		return fmt.Sprintf("A crown that mates with a hollow of radius %s through a plate of %s, of radius %s and diameter %s", j.Radius, j.Plate, r.own(w.Wanted), j.Diameter)
	case w.Face.Falls():
		return fmt.Sprintf("A crown of radius %s and diameter %s", j.Radius, j.Diameter)
	}
	return fmt.Sprintf("A hollow of radius %s and diameter %s", j.Radius, j.Diameter)
}

// ProductHeading is productWords for a heading, where the depth follows below.
func (r *Result) ProductHeading() string {
	w, j := &r.Plan.Work, r.Job
	_, isBoard := w.Region.(dish.Strip)
	band, isBand := w.Region.(*dish.Band)
	switch {
	case isBand:
		return fmt.Sprintf("the edge of a mould, %s wide, cut to radius %s", length(band.Width), j.Radius)
	case !w.HasFace() || isBoard || j.Plate.MM > 0 && w.Face.Falls():
		s := r.product()
		return strings.ToLower(s[:1]) + s[1:]
	}
	kind := "hollow"
	if w.Face.Falls() {
		kind = "crown"
	}
	return fmt.Sprintf("a %s of radius %s, %s across", kind, j.Radius, j.Diameter)
}

// listed is the report's list of extras.
func listed(b dish.Blank, set extra.Set) []Extra {
	list := []Extra{}
	for _, g := range set.Grooves {
		a, b := g.Path[0], g.Path[len(g.Path)-1]
		list = append(list, Extra{Name: g.Name, Kind: "line", XMM: (a.X + b.X) / 2, YMM: (a.Y + b.Y) / 2, WidthMM: g.Width, DepthMM: g.Depth})
	}
	for _, h := range set.Holes {
		list = append(list, Extra{Name: h.Name, Kind: "hole", XMM: h.X, YMM: h.Y, DiameterMM: 2 * h.Radius, DepthMM: -h.Bottom})
	}
	for _, c := range set.CutOuts {
		points, _ := c.Slot.Line()
		mid := r2.Vec{}
		for _, p := range points {
			mid = r2.Add(mid, r2.Scale(1/float64(len(points)), p))
		}
		one := Extra{Name: c.Name, Kind: "cut-out", XMM: mid.X, YMM: mid.Y, WidthMM: c.Slot.Width, DepthMM: -c.Bottom}
		for _, t := range c.Tabs {
			one.Tabs = append(one.Tabs, Tab{t.At.X, t.At.Y, 2 * t.HalfLength, t.Top + b.Thickness})
		}
		list = append(list, one)
	}
	return list
}

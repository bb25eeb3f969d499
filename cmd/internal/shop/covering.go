package shop

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/picture"
	"dishwright/dish"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// Covering is how a flat sheet is cut for the sphere.
type Covering struct {
	Pieces   string  `json:"pieces"` // wedges or strips
	Count    int     `json:"count"`
	WidthMM  float64 `json:"width_mm,omitempty"` // of the roll, for strips
	GapMM    float64 `json:"gap_mm"`             // left at every seam
	ReachMM  float64 `json:"reach_mm"`           // along the surface from the apex
	ExcessMM float64 `json:"excess_circumference_mm"`
	NarrowMM float64 `json:"narrower_mm"` // by which a piece is narrower at the rim than a plain one, the gap apart
}

// covering works out the covering's layout, where the job asks for one, and draws it.
func (r *Result) covering() error {
	l, w := r.Job.Layout, &r.Plan.Work
	if l == nil || w.Covering == 0 {
		return nil
	}
	R := w.Face.Radius // the covering's own underside lies on the wood
	s := R * math.Asin(w.Face.Rim/R)
	c := &Covering{GapMM: l.Gap, ReachMM: s, ExcessMM: dish.EdgeExcess(R, s)}
	var pieces []dish.CoveringPiece
	var err error
	if l.Wedges > 0 {
		c.Pieces = "wedges"
		pieces, err = dish.CoveringWedges(R, s, l.Wedges, l.Gap)
		c.NarrowMM = c.ExcessMM / float64(l.Wedges)
	} else {
		c.Pieces, c.WidthMM = "strips", l.Width
		pieces, err = dish.CoveringStrips(R, s, l.Width, l.Gap)
		c.NarrowMM = l.Width - 2*R*math.Atan(math.Tan(l.Width/2/R)*math.Cos(s/R))
	}
	if err != nil {
		return r.Job.Fault("covering layout", err.Error(), "wedges: 8, or strips: 100 mm")
	}
	c.Count = len(pieces)
	r.Report.Covering = c
	r.Drawings = append(r.Drawings, Drawing{Name: "covering.svg", SVG: drawCovering(w.Name, *c, pieces)})
	return nil
}

// Drawing is a drawing that belongs to the set.
type Drawing struct {
	Name string
	SVG  []byte
}

// File is a file that belongs to the set beside its programs, and what it is for.
type File struct {
	Name, For string
	Data      []byte
}

// drawCovering draws the pieces in their places at true size.
func drawCovering(name string, c Covering, pieces []dish.CoveringPiece) []byte {
	const foot = 24.0
	half := c.ReachMM + 12
	f := picture.New(2*half, 2*half+foot, fmt.Sprintf("Covering of %s: %d %s, gaps of %s mm, true size", name, c.Count, c.Pieces, measure.FormatShort(c.GapMM, 3)))
	f.Exact, f.About = true, "The pieces of the covering in their places, to be cut out along their lines."
	for _, p := range pieces {
		sin, cos := math.Sincos(p.Turn)
		mid := r2.Vec{}
		var ring []r2.Vec
		for _, v := range p.Outline {
			v = r2.Add(v, p.Shift)
			q := r2.Vec{X: half + v.X*cos - v.Y*sin, Y: half - v.X*sin - v.Y*cos}
			mid = r2.Add(mid, r2.Scale(1/float64(len(p.Outline)), q))
			ring = append(ring, q)
		}
		f.Ring(picture.Pen{Width: 0.2, Class: "piece"}, ring...)
		f.Text(mid, picture.Middle, p.Name)
	}
	y := 2*half + 10
	f.Text(r2.Vec{X: 6, Y: y - 4}, picture.Start, f.Title)
	f.Lines(picture.Pen{Width: 0.3, Class: "bar"}, [][]r2.Vec{{{X: 6, Y: y}, {X: 6, Y: y + 4}}, {{X: 6, Y: y + 2}, {X: 106, Y: y + 2}}, {{X: 106, Y: y}, {X: 106, Y: y + 4}}})
	f.Text(r2.Vec{X: 110, Y: y + 4}, picture.Start, "100 mm: measure it before cutting")
	return f.SVG("covering", true)
}

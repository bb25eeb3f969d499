package shop

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"math"

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

// drawCovering draws the pieces in their places at true size, millimetres its unit.
func drawCovering(name string, c Covering, pieces []dish.CoveringPiece) []byte {
	n := func(v float64) string { return measure.TrimZeros(measure.FormatFixed(v, 3)) }
	half := c.ReachMM + 12
	const foot = 24.0
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="%s %s %s %s">`+"\n", n(2*half), n(2*half+foot), n(-half), n(-half), n(2*half), n(2*half+foot))
	title := fmt.Sprintf("Covering of %s: %d %s, gaps of %s mm, true size", name, c.Count, c.Pieces, n(c.GapMM))
	fmt.Fprintf(&b, "<title>%s</title>\n", escapeXML(title))
	for _, p := range pieces {
		sin, cos := math.Sincos(p.Turn)
		place := func(v r2.Vec) r2.Vec {
			v = r2.Add(v, p.Shift)
			return r2.Vec{X: v.X*cos - v.Y*sin, Y: v.X*sin + v.Y*cos}
		}
		b.WriteString(`<path class="piece" fill="none" stroke="#000" stroke-width="0.2" d="`)
		mid := r2.Vec{}
		for i, v := range p.Outline {
			q := place(v)
			mid = r2.Add(mid, r2.Scale(1/float64(len(p.Outline)), q))
			letter := "L"
			if i == 0 {
				letter = "M"
			}
			fmt.Fprintf(&b, "%s%s %s", letter, n(q.X), n(-q.Y))
		}
		fmt.Fprintf(&b, `Z"/>`+"\n"+`<text x="%s" y="%s" font-family="sans-serif" font-size="6" text-anchor="middle">%s</text>`+"\n", n(mid.X), n(-mid.Y), p.Name)
	}
	y := half + 6
	fmt.Fprintf(&b, `<text x="%s" y="%s" font-family="sans-serif" font-size="5">%s</text>`+"\n", n(6-half), n(y), escapeXML(title))
	fmt.Fprintf(&b, `<path class="bar" fill="none" stroke="#000" stroke-width="0.3" d="M%s %sv4m0 -2h100m0 -2v4"/>`+"\n", n(6-half), n(y+4))
	fmt.Fprintf(&b, `<text x="%s" y="%s" font-family="sans-serif" font-size="5">100 mm: measure it before cutting</text>`+"\n", n(110-half), n(y+8))
	b.WriteString("</svg>\n")
	return b.Bytes()
}

// escapeXML makes text safe inside an element.
func escapeXML(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a buffer takes everything
	return b.String()
}

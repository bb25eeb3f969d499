package shop

import (
	"fmt"
	"math"
	"slices"

	"dishwright/cam/work"
	"dishwright/cmd/internal/picture"
	"dishwright/dish"
	"dishwright/dish/measure"

	"gonum.org/v1/gonum/spatial/r2"
)

// Covering is how a flat sheet is cut for the sphere.
type Covering struct {
	Pieces    string  `json:"pieces"` // disc, wedges or strips
	Count     int     `json:"count"`
	WidthMM   float64 `json:"width_mm,omitempty"` // of the roll, for strips
	GapMM     float64 `json:"gap_mm"`             // left at every seam
	ReachMM   float64 `json:"reach_mm"`           // along the surface from the apex
	ExcessMM  float64 `json:"excess_circumference_mm"`
	NarrowMM  float64 `json:"narrower_mm"` // by which a piece is narrower at the rim than a plain one, the gap apart
	SeamsDeg  float64 `json:"seams_deg,omitempty"`
	Turned    string  `json:"turned,omitempty"` // which way the dish is turned under the rim, where seams lean
	HoleMM    float64 `json:"hole_mm,omitempty"`
	*OnePiece         // of a disc
}

// OnePiece is what is told of a disc that is laid in one piece.
type OnePiece struct {
	DiscMM  float64 `json:"disc_mm"`
	Backing string  `json:"backing"`
	Share   float64 `json:"excess_share"` // of the edge's length
	Gives   float64 `json:"gives_share"`  // what the backing takes without a crease
	Lies    bool    `json:"lies"`         // does it lie without creases?
	BareMM  float64 `json:"bare_ring_mm"` // of the face outside it
	CutsFor int     `json:"wedges_instead,omitempty"`
}

// What a backing gives in its plane before it creases, as a share (invented: glued down from the
// middle by hand, and no standard says it).
const paperGives, clothGives = 0.0005, 0.0015

// covering works out the covering's layout, where the job asks for one, and draws it.
func (r *Result) covering() error {
	l, w := r.Job.Layout, &r.Plan.Work
	if l == nil || w.Covering == 0 {
		return nil
	}
	R := w.Face.Radius // the covering's own underside lies on the wood
	s := R * math.Asin(w.Face.Rim/R)
	c := &Covering{GapMM: l.Gap, ReachMM: s, ExcessMM: dish.EdgeExcess(R, s)}
	lean := l.Lean
	if lean > 0 {
		c.SeamsDeg = lean * 180 / math.Pi
		if c.Turned = "clockwise"; l.Back {
			c.Turned, lean = "counter-clockwise", -lean
		}
	}
	var pieces []dish.CoveringPiece
	var err error
	switch {
	case l.Disc > 0:
		pieces = r.disc(c, s)
	case l.Wedges > 0:
		c.Pieces = "wedges"
		pieces, err = dish.CoveringWedges(R, s, l.Wedges, l.Gap, lean)
		c.NarrowMM = c.ExcessMM / float64(l.Wedges)
	default:
		c.Pieces, c.WidthMM, c.Turned = "strips", l.Width, ""
		pieces, err = dish.CoveringStrips(R, s, l.Width, l.Gap, l.Lean)
		c.NarrowMM = l.Width - 2*R*math.Atan(math.Tan(l.Width/2/R)*math.Cos(s/R))
	}
	if err != nil {
		return r.Job.Fault("covering layout", err.Error(), "wedges: 8, or strips: 100 mm")
	}
	for _, h := range w.Extras.Holes {
		if h.Key == work.KeyCentreHole {
			c.HoleMM = h.Diameter
		}
	}
	c.Count = len(pieces)
	r.Report.Covering = c
	r.Drawings = append(r.Drawings, Drawing{Name: "covering.svg", SVG: drawCovering(w.Name, *c, pieces)})
	return nil
}

// disc lays a disc in one piece, and says whether the face is too curved for that.
func (r *Result) disc(c *Covering, s float64) []dish.CoveringPiece {
	l, R := r.Job.Layout, r.Plan.Work.Face.Radius
	d := &OnePiece{DiscMM: l.Disc, Backing: "paper", Gives: paperGives, BareMM: max(0, s-l.Disc/2)}
	if l.Cloth {
		d.Backing, d.Gives = "cloth", clothGives
	}
	reach := min(s, l.Disc/2)
	c.Pieces, c.GapMM, c.ReachMM, c.ExcessMM, c.OnePiece = "disc", 0, reach, dish.EdgeExcess(R, reach), d
	d.Share = c.ExcessMM / (2 * math.Pi * reach)
	d.Lies = d.Share <= d.Gives
	if !d.Lies {
		// A wedge of n reaches πs/n to either side of its middle, and what is left over goes with the
		// square of a flat piece's reach.
		d.CutsFor = max(6, int(math.Ceil(math.Pi*math.Sqrt(d.Share/d.Gives))))
		r.warn("covering-disc",
			measure.Say("the face is too curved for a disc of %s in one piece: round its edge it is %v too long, %s %%, where %s gives about %s %% before it creases (estimate)", length(l.Disc), measure.To(c.ExcessMM, 2), measure.FormatShort(100*d.Share, 3), d.Backing, measure.FormatShort(100*d.Gives, 3)),
			measure.Say("write covering layout: {wedges: %d}, or cut the disc so", d.CutsFor))
	}
	return dish.CoveringDisc(reach)
}

// farOff is how many times the median, or which part of it, a covering nowhere has: one sheet
// differs by tenths of its thickness, and twice of it is a fold, a second layer or a slip (common
// practice).
const farOff = 2

// uneven warns of a covering that is measured and no even one, and reports whether it did.
func (r *Result) uneven() bool {
	list, w := r.Job.Covered, &r.Plan.Work
	if len(list) == 0 {
		return false
	}
	sorted := slices.Sorted(slices.Values(list))
	median := (sorted[(len(list)-1)/2] + sorted[len(list)/2]) / 2
	for i, t := range list {
		if t > farOff*median || t*farOff < median {
			r.warn("covering-uneven",
				measure.Say("place %d of the covering is %v, the median %v: no sheet is so uneven", i+1, length(t), length(median)),
				measure.Say("measure again: a fold, two layers or a slip; it counts in the mean of %v that the wood is cut for", length(w.Covering)))
			return true
		}
	}
	over := w.Uneven > w.Scallop*(1+1e-9)
	if over {
		r.warn("covering-uneven",
			measure.Say("the covering is uneven by %v, more than the scallop of %v", length(w.Uneven), length(w.Scallop)),
			measure.Say("measure again, then spread the glue thin and roll it flat: a finer scallop is of no use under it"))
	}
	return over
}

// Layout says how the covering is cut.
func (c Covering) Layout(u measure.Ruler) string {
	if d := c.OnePiece; d != nil {
		text := fmt.Sprintf("one disc of %s, %s too long round its edge: %s %%, of about %s %% that %s gives (estimate); ", u.Length(d.DiscMM, 1), u.Length(c.ExcessMM, 3), measure.FormatShort(100*d.Share, 3), measure.FormatShort(100*d.Gives, 3), d.Backing)
		if d.Lies {
			return text + "it lies without creases"
		}
		return text + fmt.Sprintf("it creases: cut it into %d wedges", d.CutsFor)
	}
	text := fmt.Sprintf("%d %s with gaps of %s; a flat sheet is %s too long round the rim: each piece is %s narrower there",
		c.Count, c.Pieces, u.Length(c.GapMM, 2), u.Length(c.ExcessMM, 2), u.Length(c.NarrowMM, 3))
	switch {
	case c.Turned != "":
		text += fmt.Sprintf("; seams lean by %s deg at the rim: turn the dish %s", measure.FormatShort(c.SeamsDeg, 1), c.Turned)
	case c.SeamsDeg > 0:
		text += fmt.Sprintf("; laid at %s deg to X", measure.FormatShort(c.SeamsDeg, 1))
	}
	return text
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
	const foot = 30.0
	half := c.ReachMM + 12
	title := fmt.Sprintf("Covering of %s: %d %s, gaps of %s mm, true size, seen from above with the grain up", name, c.Count, c.Pieces, measure.FormatShort(c.GapMM, 3))
	if c.OnePiece != nil {
		title = fmt.Sprintf("Covering of %s: one disc, true size", name)
	}
	f := picture.New(2*half, 2*half+foot, title)
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
	if c.HoleMM > 0 {
		f.Circle(picture.Pen{Width: 0.2, Class: "piece"}, r2.Vec{X: half, Y: half}, c.HoleMM/2)
	}
	y := 2*half + 10
	f.Text(r2.Vec{X: 6, Y: y - 4}, picture.Start, f.Title)
	f.Lines(picture.Pen{Width: 0.3, Class: "bar"}, [][]r2.Vec{{{X: 6, Y: y}, {X: 6, Y: y + 4}}, {{X: 6, Y: y + 2}, {X: 106, Y: y + 2}}, {{X: 106, Y: y}, {X: 106, Y: y + 4}}})
	f.Text(r2.Vec{X: 110, Y: y + 4}, picture.Start, "100 mm: measure it before cutting")
	if c.Turned != "" {
		f.Text(r2.Vec{X: 6, Y: y + 12}, picture.Start, "Turn the dish "+c.Turned+" under the rim: the seams trail. Marked on the back, mirror the pieces.")
	}
	return f.SVG("covering", true)
}

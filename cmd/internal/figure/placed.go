package figure

import (
	"math"
	"slices"

	"dishwright/cmd/internal/picture"
)

// PlacedView is a rim on what it is sanded with, from above in the rim's own frame.
type PlacedView struct {
	Outline []Point   // closed, its first point not repeated
	Edges   [][]Point // where a flat and its blend begin
	Apex    *Point    // of the top; nil where it has none
	Dishes  []Disc    // each about its middle
	Used    *Disc     // what the rim takes of a dish with its swing; nil where nothing is said of that
	Circle  *Disc     // the least circle round the rim, likewise
	Boards  [][]Point // corners of a board where it is laid
	Swung   [][]Point // and swung to either side
	Labels  []Label   // of the dishes' middles: how far from the tail
}

// Placed draws a rim in its dish, or under its board, the tail at the left.
func Placed(v PlacedView, title string, size Size) *Figure {
	const margin, top = 4.0, 2.0
	f := newPaper(size.Width, size.Height, title)
	lists := append(append([][]Point{v.Outline}, v.Boards...), v.Swung...)
	for _, d := range v.discs() {
		lists = append(lists, []Point{{X: d.X - d.Radius, Y: d.Y - d.Radius}, {X: d.X + d.Radius, Y: d.Y + d.Radius}})
	}
	lo, hi := box(lists...)
	keys := v.keys()
	fr := fit(lo, hi, size.Width-2*margin, size.Height-2*top-picture.KeysHeight(size.Width, keys), margin, top)
	f.Line(picture.Axis, fr.p(Point{X: lo.X}), fr.p(Point{X: hi.X}))
	for _, d := range v.discs()[len(v.Dishes):] {
		f.Circle(picture.Dashed, fr.p(Point{X: d.X, Y: d.Y}), d.Radius*fr.sx)
	}
	for _, b := range v.Swung {
		f.Ring(picture.Dashed, fr.ps(b)...)
	}
	for _, e := range v.Edges {
		f.Line(edgePen, fr.ps(e)...)
	}
	f.Ring(picture.Bold, fr.ps(v.Outline)...)
	for _, b := range v.Boards {
		f.Ring(picture.Rim, fr.ps(b)...)
	}
	if v.Apex != nil {
		f.cross(picture.Medium, fr.p(*v.Apex), 2.2)
	}
	for _, d := range v.Dishes {
		at := fr.p(Point{X: d.X, Y: d.Y})
		f.Circle(picture.Rim, at, d.Radius*fr.sx)
		f.middle(at)
	}
	f.About = "The rim from above, the tail at the left, the centre line dashed, on what it is sanded with."
	for _, l := range v.Labels {
		at := fr.p(l.At)
		f.Place(0, []string{l.Text}, picture.Spot{Anchor: picture.Middle, At: Point{X: at.X, Y: at.Y + 2*picture.Line}}, picture.Spot{Anchor: picture.Middle, At: Point{X: at.X, Y: at.Y - 1.5*picture.Line}})
		f.About += " The dish's middle is " + l.Text + " from the tail."
	}
	y := math.Ceil((fr.high()+2*top)/picture.Line) * picture.Line
	f.Height = y + f.Keys(Point{X: 1, Y: y}, size.Width-2, keys)
	return f.Figure
}

// discs are the dishes, and after them the circles that are drawn dashed.
func (v PlacedView) discs() []Disc {
	list := slices.Clone(v.Dishes)
	for _, d := range [...]*Disc{v.Used, v.Circle} {
		if d != nil {
			list = append(list, *d)
		}
	}
	return list
}

// middle marks the middle of a dish.
func (f paper) middle(at Point) { f.Circle(picture.Ringed, at, 1.1) }

func (v PlacedView) keys() []picture.Key {
	list := []picture.Key{picture.KeyOf(picture.Bold, "outside of the sides, the tail at the left")}
	if len(v.Dishes) > 0 {
		list = append(list, picture.KeyOf(picture.Rim, "dish"), picture.Key{Words: "its middle, so far from the tail", Draw: func(f *Figure, at Point) { paper{f}.middle(Point{X: at.X + 2, Y: at.Y}) }})
	}
	if len(v.Boards) > 0 {
		list = append(list, picture.KeyOf(picture.Rim, "board"))
	}
	if v.Used != nil || len(v.Swung) > 0 {
		list = append(list, picture.KeyOf(picture.Dashed, "with its swing"))
	}
	if v.Circle != nil {
		list = append(list, picture.KeyOf(picture.Dashed, "the rim's own circle"))
	}
	if len(v.Edges) > 0 {
		list = append(list, picture.KeyOf(edgePen, RimView{Edges: v.Edges}.edgeWords()))
	}
	if v.Apex != nil {
		list = append(list, picture.Key{Words: "apex of the top", Draw: func(f *Figure, at Point) { paper{f}.cross(picture.Medium, Point{X: at.X + 2, Y: at.Y}, 1.8) }})
	}
	return list
}

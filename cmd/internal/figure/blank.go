package figure

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cmd/internal/picture"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// BlankView is the blank with what has to be found on it.
type BlankView struct {
	Blank     dish.Blank
	Rim       float64   // of a round face; 0 for another
	Edges     [][]Point // of the face where it is not round, or of templates
	Clear     bool      // no letter of the zero stands on an edge: of a scrap, whose cuts lie close to it
	HoldDowns []Disc
	Room      []Disc // where there is room to hold
	Touch     *Point // where Z0 is touched off; nil for the bed
	Marks     []Mark // at the edge, by which the blank is laid in its setups
	Ruler     measure.Ruler
}

// Mark is a short line from a place of the blank's edge inward, with its number.
type Mark struct {
	At, In Point
	Name   string
}

// Blank draws the blank with its dimensions, the zero, and where to touch off.
func Blank(v BlankView, title string) *Figure {
	edge := Outline(v.Blank)
	lo, hi := box(edge)
	const left, top, below = 6.0, 8.0, 12.0
	fr := fit(lo, hi, 62, 54, left, top)
	f := newPaper(90, top+fr.high()+below, title)
	f.blank(fr, edge)
	zero := fr.p(Point{})
	if v.Rim > 0 {
		f.Circle(picture.Medium, zero, v.Rim*fr.sx)
	}
	for _, e := range v.Edges {
		f.Ring(picture.Medium, fr.ps(e)...)
	}
	for _, h := range v.Room {
		f.Circle(picture.Dashed, fr.p(Point{X: h.X, Y: h.Y}), h.Radius*fr.sx)
	}
	for _, h := range v.HoldDowns {
		f.standing(fr, h)
	}
	f.Line(picture.Axis, Point{X: fr.at.X - 4, Y: zero.Y}, Point{X: fr.at.X + fr.wide() + 4, Y: zero.Y})
	f.Line(picture.Axis, Point{X: zero.X, Y: top - 4}, Point{X: zero.X, Y: top + fr.high() + 4})
	write := func(text string, spots ...picture.Spot) { f.Text(spots[0].At, spots[0].Anchor, text) }
	if v.Clear {
		f.takeEdges(fr, v)
		write = func(text string, spots ...picture.Spot) { f.Place(0, []string{text}, spots...) }
	}
	write("X", f.shaft(zero, 9, 0), picture.Spot{At: Point{X: fr.at.X + fr.wide() + 1, Y: zero.Y - 1}}) // or at the axis's end
	write("Y", f.shaft(zero, 0, -9), picture.Spot{At: Point{X: zero.X + 1, Y: top - 1}})
	write("X0 Y0", picture.Spot{Anchor: picture.End, At: Point{X: zero.X - 1, Y: zero.Y + 4}}, picture.Spot{At: Point{X: zero.X + 1, Y: zero.Y + 4}})
	for _, m := range v.Marks {
		at, in := fr.p(m.At), fr.p(m.In)
		f.Line(picture.Bold, at, in)
		f.Text(Point{X: in.X + 0.6*(in.X-at.X), Y: in.Y + 0.6*(in.Y-at.Y) + 1.2}, picture.Middle, m.Name)
	}
	if v.Touch != nil {
		write("Z0", f.touch(fr.p(*v.Touch))...)
	}
	// The dimensions below; the height of a rectangle beside it.
	y := top + fr.high() + 9
	f.measureX(fr.at.X, fr.at.X+fr.wide(), y, v.Ruler.Length(v.Blank.Length, 1))
	x := fr.at.X + fr.wide() + 6
	f.measureY(x, top, top+fr.high())
	f.Text(Point{X: x + 1.5, Y: top + fr.high()/2 + 1}, picture.Start, v.Ruler.Length(v.Blank.Width, 1))
	f.About = "The blank from above with its length and width, the zero in its middle, X to the right, Y up."
	if v.Touch != nil {
		f.About += " A black triangle marks where Z0 is touched off."
	}
	if len(v.Marks) > 0 {
		f.About += fmt.Sprintf(" %d short bold lines at its edge are the marks by which it is laid in its setups, with their numbers.", len(v.Marks))
	}
	if len(v.HoldDowns) > 0 {
		f.About += fmt.Sprintf(" %d hold-downs are crossed circles.", len(v.HoldDowns))
	}
	if len(v.Room) > 0 {
		f.About += fmt.Sprintf(" %d dashed circles show where there is room to hold it.", len(v.Room))
	}
	return f.Figure
}

// touch marks where Z0 is touched off, and returns where its name may stand: above it, to the
// right, to the left or below.
func (f paper) touch(at Point) []picture.Spot {
	f.Area(0, Point{X: at.X, Y: at.Y}, Point{X: at.X - 1.6, Y: at.Y - 3}, Point{X: at.X + 1.6, Y: at.Y - 3})
	return []picture.Spot{
		{Anchor: picture.Middle, At: Point{X: at.X, Y: at.Y - 3.8}},
		{At: Point{X: at.X + 2.4, Y: at.Y - 1.2}},
		{Anchor: picture.End, At: Point{X: at.X - 2.4, Y: at.Y - 1.2}},
		{Anchor: picture.Middle, At: Point{X: at.X, Y: at.Y + 3.4}},
	}
}

// takeEdges keeps letters off the edges, the axes' arrows and the mark of the touch.
func (f paper) takeEdges(fr frame, v BlankView) {
	const stroke = 0.3
	take := func(list ...Point) {
		lo, hi := box(list)
		f.Take(r2.Box{Min: Point{X: lo.X - stroke, Y: lo.Y - stroke}, Max: Point{X: hi.X + stroke, Y: hi.Y + stroke}})
	}
	for _, e := range v.Edges {
		for i, p := range e {
			take(fr.p(e[(i+len(e)-1)%len(e)]), fr.p(p))
		}
	}
	zero := fr.p(Point{})
	take(zero, Point{X: zero.X + 9, Y: zero.Y})
	take(zero, Point{X: zero.X, Y: zero.Y - 9})
	if v.Touch != nil {
		at := fr.p(*v.Touch)
		take(at, Point{X: at.X - 1.6, Y: at.Y - 3}, Point{X: at.X + 1.6, Y: at.Y - 3})
	}
}

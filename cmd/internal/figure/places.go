package figure

import (
	"fmt"
	"strings"

	"dishwright/cmd/internal/picture"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// PlacesView is a blank from above with the places of it that are read, in order.
type PlacesView struct {
	Blank     dish.Blank
	Rim       float64 // of a round face; 0 for another
	Edge      []Point // of a face that is not round
	HoldDowns []Disc
	Places    []Point
	Ruler     measure.Ruler
}

// Places draws the places with their numbers.
func Places(v PlacesView, title string, size Size) *Figure {
	edge := Outline(v.Blank)
	lo, hi := box(edge)
	f := newPaper(size.Width, 0, title)
	at := f.lay(lo, hi, size, func(frame) []picture.Key { return v.keys() })
	f.Height = at.bottom
	fr := at.frame
	if v.Rim > 0 {
		f.Circle(picture.Rim, fr.p(Point{}), v.Rim*fr.sx)
	}
	if len(v.Edge) > 0 {
		f.Ring(picture.Rim, fr.ps(v.Edge)...)
	}
	f.blank(fr, edge)
	for _, h := range v.HoldDowns {
		f.standing(fr, h)
	}
	f.cross(picture.Thin, fr.p(Point{}), 3)
	var order []Point
	names := map[Point][]string{}
	for i, p := range v.Places {
		if names[p] == nil {
			order = append(order, p)
		}
		names[p] = append(names[p], fmt.Sprint(i+1))
	}
	f.About = "Seen from above, X to the right and Y up, the blank's edge and the places that are read:"
	for _, p := range order {
		q := fr.p(p)
		f.middle(q)
		name := strings.Join(names[p], ", ")
		var spots []picture.Spot
		for _, y := range [...]float64{-0.8, 3.2} {
			spots = append(spots, picture.Spot{Anchor: picture.Start, At: Point{X: q.X + 1.8, Y: q.Y + y}}, picture.Spot{Anchor: picture.End, At: Point{X: q.X - 1.8, Y: q.Y + y}})
		}
		f.Place(0, []string{name}, spots...)
		f.About += fmt.Sprintf(" %s at %s.", name, v.Ruler.Place(p.X, p.Y))
	}
	return f.Figure
}

// keys are what the signs stand for.
func (v PlacesView) keys() []picture.Key {
	list := []picture.Key{{Words: "a place, with its number", Draw: func(f *Figure, at Point) { paper{f}.middle(Point{X: at.X + 2, Y: at.Y}) }},
		picture.KeyOf(picture.Rim, "edge of the face"), picture.KeyOf(picture.Bold, "blank")}
	if len(v.HoldDowns) > 0 {
		list = append(list, picture.Key{Words: "hold-downs", Draw: func(f *Figure, at Point) {
			paper{f}.standing(frame{at: Point{X: at.X + 1.5, Y: at.Y}, sx: 1, sy: 1}, Disc{Radius: 1.5})
		}})
	}
	return append(list, picture.Key{Words: "X0 Y0; X to the right, Y up", Draw: func(f *Figure, at Point) { paper{f}.cross(picture.Thin, Point{X: at.X + 2, Y: at.Y}, 1.8) }})
}

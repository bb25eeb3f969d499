package figure

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/picture"
	"dishwright/dish/measure"
)

// MeasuredView is a section through the apex with its measures, as they are written beside it;
// one that is empty is left out. The surface is drawn from left to right, its heights in mm
// under the blank's top, the blank Thick mm thick.
type MeasuredView struct {
	Surface []Point
	Thick   float64
	Rim     float64 // half of what Across measures
	Deepest Point
	Crown   bool
	OnBed   bool // where Z0 is: on the bed, else on the blank's top

	Across, Depth, Radius, Blank, Thickness, Under string
}

// Measured draws that section, as wide as asked for, its heights larger than they are so that
// the hollow shows.
func Measured(v MeasuredView, wide float64, title string) *Figure {
	const left, right, top, high = 13.0, 25.0, 12.0, 22.0
	lo, hi := box(v.Surface)
	fr := frame{lo: Point{X: lo.X, Y: -v.Thick}, hi: Point{X: hi.X}, at: Point{X: left, Y: top}}
	fr.sx = (wide - left - right) / (hi.X - lo.X)
	times := easy(high / v.Thick / fr.sx)
	fr.sy = times * fr.sx
	f := newPaper(wide, top+fr.high()+9, fmt.Sprintf("%s; heights drawn %s times larger", title, measure.FormatShort(times, 1)))
	surface := raised(v.Surface, -v.Thick)
	f.hatch(fr, surface)
	a, b := fr.p(Point{X: lo.X, Y: -v.Thick}), fr.p(Point{X: hi.X, Y: -v.Thick})
	f.Ring(picture.Bold, append(fr.ps(surface), b, a)...)

	up, down := fr.p(Point{X: -v.Rim}), fr.p(Point{X: v.Rim})
	for _, x := range [...]float64{up.X, down.X} {
		f.Line(picture.Thin, Point{X: x, Y: top - 8}, Point{X: x, Y: top})
	}
	f.measureX(up.X, down.X, top-7, v.Across)
	f.Line(picture.Dashed, up, down)
	deep := fr.p(v.Deepest)
	f.measureY(deep.X, top, deep.Y)
	f.Text(Point{X: deep.X + 1.2, Y: top - 1.2}, picture.Start, v.Depth)
	apex := fr.p(Point{Y: v.Deepest.Y})
	if v.Crown {
		apex.Y = top
	}
	f.measureY(apex.X, apex.Y, b.Y)
	f.label(Point{X: apex.X + 1.5, Y: (apex.Y+b.Y)/2 + 1.1}, v.Under)

	f.measureX(a.X, b.X, b.Y+7, v.Blank)
	f.measureY(b.X+4, top, b.Y)
	f.Text(Point{X: b.X + 5.5, Y: (top+b.Y)/2 + 1.1}, picture.Start, v.Thickness)
	f.zero(Point{X: a.X, Y: map[bool]float64{false: top, true: a.Y}[v.OnBed]})
	f.radius(fr, surface, v)
	f.About = fmt.Sprintf("A section through the apex, heights drawn %s times larger than lengths, the wood hatched. Measured on it: %s, %s, %s; the blank is %s wide and %s thick.", measure.FormatShort(times, 1), v.Across, v.Depth, v.Radius, v.Blank, v.Thickness)
	return f.Figure
}

// radius writes the radius in the wood, with an arrow to the face.
func (f paper) radius(fr frame, surface []Point, v MeasuredView) {
	at := Point{X: -0.55 * v.Rim}
	for i := 1; i < len(surface); i++ {
		if p, q := surface[i-1], surface[i]; p.X <= at.X && at.X < q.X {
			at.Y = p.Y + (q.Y-p.Y)*(at.X-p.X)/(q.X-p.X)
		}
	}
	to := fr.p(at)
	from := Point{X: to.X - 2, Y: (to.Y+fr.at.Y+fr.high())/2 - 1}
	n := math.Hypot(to.X-from.X, to.Y-from.Y)
	f.arrow(from, (to.X-from.X)*(n-0.3)/n, (to.Y-from.Y)*(n-0.3)/n, "")
	f.label(Point{X: from.X - picture.TextWidth(v.Radius)/2, Y: from.Y + 3.4}, v.Radius)
}

// label writes on a white ground.
func (f paper) label(at Point, s string) {
	w := 0.85 * picture.TextWidth(s) // as wide as most fonts write it
	f.Area(1, Point{X: at.X - 0.5, Y: at.Y + 1}, Point{X: at.X + w + 0.5, Y: at.Y + 1}, Point{X: at.X + w + 0.5, Y: at.Y - 3}, Point{X: at.X - 0.5, Y: at.Y - 3})
	f.Text(at, picture.Start, s)
}

// measureY draws a dimension from a height to another.
func (f paper) measureY(x, from, to float64) {
	f.Line(picture.Thin, Point{X: x, Y: from}, Point{X: x, Y: to})
	f.ends(Point{X: x, Y: from}, Point{X: x, Y: to})
}

// zero marks the height at which Z is 0.
func (f paper) zero(at Point) {
	f.Line(picture.Medium, Point{X: at.X - 5, Y: at.Y}, at)
	f.Text(Point{X: at.X - 6, Y: at.Y + 1.1}, picture.End, "Z0")
}

// LaidView is a blank as it lies on the machine for one setup.
type LaidView struct {
	Name  string
	Edge  []Point
	Part  []Point // what is cut then
	Marks []Mark
	Stand []Disc // hold-downs, and whatever else stands then
	Room  []Disc // where there is room to hold it
	Touch *Point // where Z0 is touched off; nil for the bed
}

// besideEachOther is how many blanks a row holds at most, their numbers and marks apart.
const besideEachOther = 4

// Laid draws rows of blanks, each as it lies for its setup, what is cut then grey.
func Laid(list []LaidView, title string, u measure.Ruler) *Figure {
	const wide, gap, most, top = 150.0, 5.0, 32.0, 5.0
	rows := (len(list) + besideEachOther - 1) / besideEachOther
	row := (len(list) + rows - 1) / rows
	each := (wide - gap*float64(row-1)) / float64(row)
	var all []Point
	for _, v := range list {
		lo, hi := box(v.Edge)
		all = append(all, Point{X: hi.X - lo.X, Y: hi.Y - lo.Y})
	}
	_, size := box(all)
	scale := min((each-8)/size.X, most/size.Y)
	high := top + size.Y*scale
	f := newPaper(wide, high*float64(rows)+6, title)
	for i, v := range list {
		lo, hi := box(v.Edge)
		middle, down := (each+gap)*float64(i%row)+each/2, high*float64(i/row)
		fr := frame{lo: lo, hi: hi, at: Point{X: middle - scale*(hi.X-lo.X)/2, Y: down + top + scale*(size.Y-hi.Y+lo.Y)/2}, sx: scale, sy: scale}
		f.Area(0.75, fr.ps(v.Part)...)
		f.blank(fr, v.Edge)
		f.numbered(fr, v.Marks)
		for _, h := range v.Stand {
			f.standing(fr, h)
		}
		for _, h := range v.Room {
			f.Circle(picture.Dashed, fr.p(Point{X: h.X, Y: h.Y}), h.Radius*fr.sx)
		}
		f.cross(picture.Medium, fr.p(Point{}), 2)
		if v.Touch != nil {
			f.touch(fr.p(*v.Touch))
		}
		f.Text(Point{X: middle, Y: down + 3.6}, picture.Middle, v.Name)
		f.About += fmt.Sprintf("%s: ", v.Name)
		for _, m := range v.Marks {
			f.About += fmt.Sprintf("mark %s at %s; ", m.Name, u.Place(m.At.X, m.At.Y))
		}
	}
	f.Text(Point{X: wide / 2, Y: f.Height - 1.5}, picture.Middle, "you stand on this side; grey: what is cut then; +: X0 Y0; dashed: room to hold")
	return f.Figure
}

// numbered draws marks at a blank's edge, their numbers inside it.
func (f paper) numbered(fr frame, list []Mark) {
	for _, m := range list {
		at, in := fr.p(m.At), fr.p(m.In)
		d := max(math.Hypot(in.X-at.X, in.Y-at.Y), 1e-9)
		ux, uy := (in.X-at.X)/d, (in.Y-at.Y)/d
		f.Line(picture.Bold, at, Point{X: at.X + 3*ux, Y: at.Y + 3*uy})
		f.Text(Point{X: at.X + 5.5*ux, Y: at.Y + 5.5*uy + 1.2}, picture.Middle, m.Name)
	}
}

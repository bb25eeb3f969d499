package figure

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cmd/internal/picture"
	"dishwright/dish/measure"
)

// RimPlan draws the outline of a body from above, the tail at the left, with the labels
// beside it.
func RimPlan(v RimView, title string, size Size) *Figure {
	const margin, top = 18.0, 8.0
	f := newPaper(size.Width, size.Height, title)
	lo, hi := box(v.Outline)
	keys := v.keys()
	below := picture.KeysHeight(size.Width, keys)
	fr := fit(lo, hi, size.Width-2*margin, size.Height-2*top-below, margin, top)
	f.Line(picture.Axis, fr.p(Point{X: lo.X - 8/fr.sx}), fr.p(Point{X: hi.X + 8/fr.sx}))
	for _, b := range v.Braces {
		f.Line(picture.Dashed, fr.ps(b)...)
	}
	for _, b := range v.Blocks {
		f.Ring(picture.Medium, fr.ps(b)...)
	}
	for _, e := range v.Edges {
		f.Line(edgePen, fr.ps(e)...)
	}
	f.Ring(picture.Bold, fr.ps(v.Outline)...)
	f.About = "The outline from above, the tail at the left, the head at the right, the centre line dashed."
	if v.Apex != nil {
		f.cross(picture.Medium, fr.p(*v.Apex), 2.2)
		f.About += " A cross marks the top's apex."
	}
	if len(v.Edges) > 0 {
		f.About += " Lines across it show " + v.edgeWords() + "."
	}
	middle := fr.p(Point{X: (lo.X + hi.X) / 2, Y: (lo.Y + hi.Y) / 2})
	var said []string
	for _, l := range v.Labels {
		f.widthAt(fr.p(l.At), middle, l.Text)
		said = append(said, l.Text)
	}
	if len(said) > 0 {
		f.About += " Beside it stands how wide the side is, round from the tail: " + strings.Join(said, ", ") + "."
	}
	y := math.Ceil((fr.high()+2*top)/picture.Line) * picture.Line
	f.Height = y + f.Keys(Point{X: 1, Y: y}, size.Width-2, keys)
	return f.Figure
}

// widthAt writes beside a place, on the side away from the middle.
func (f paper) widthAt(at, middle Point, text string) {
	dx, dy := at.X-middle.X, at.Y-middle.Y
	far := max(math.Hypot(dx, dy), 1e-9)
	dx, dy = dx/far, dy/far
	side := picture.Start
	if dx < 0 {
		side = picture.End
	}
	out := picture.Spot{Anchor: side, At: Point{X: at.X + math.Copysign(3, dx), Y: at.Y + 3*dy + 1.1}}
	over := picture.Spot{Anchor: picture.Middle, At: Point{X: at.X, Y: at.Y + 6*dy + 1.1}}
	up := picture.Spot{Anchor: side, At: Point{X: out.At.X, Y: at.Y - 3}} // off the centre line
	spots := []picture.Spot{over, out}
	switch {
	case math.Abs(dy) < 0.15 && math.Abs(dx) > 0.5:
		spots = []picture.Spot{up, out}
	case math.Abs(dx) > 0.35:
		spots = []picture.Spot{out, over}
	}
	f.Place(0, []string{text}, spots...)
}

// edgePen draws where a flat begins.
var edgePen = picture.Pen{Width: 0.25, Dash: []float64{3, 1, 1, 1}, Sign: ':'}

func (v RimView) edgeWords() string {
	if len(v.Edges) == 1 {
		return "where the flat begins"
	}
	return "where the blend and the flat begin"
}

func (v RimView) keys() []picture.Key {
	list := []picture.Key{picture.KeyOf(picture.Bold, "outside of the sides, the tail at the left")}
	if v.Apex != nil {
		list = append(list, picture.Key{Words: "apex of the top", Draw: func(f *Figure, at Point) { paper{f}.cross(picture.Medium, Point{X: at.X + 2, Y: at.Y}, 1.8) }})
	}
	if len(v.Edges) > 0 {
		list = append(list, picture.KeyOf(edgePen, v.edgeWords()))
	}
	if len(v.Braces) > 0 {
		list = append(list, picture.KeyOf(picture.Dashed, "braces"))
	}
	if len(v.Blocks) > 0 {
		list = append(list, picture.KeyOf(picture.Medium, "blocks"))
	}
	return list
}

// Strip draws a side unrolled: its two edges, each with its heights drawn larger, the
// middle of the side left out.
func Strip(v StripView, title string, size Size) *Figure {
	const left, high, gap = 22.0, 20.0, 4.0
	f := newPaper(size.Width, 200, title)
	y := picture.Line
	wide := size.Width - left - 5
	var marks frame
	for i, edge := range [...][]Point{v.Upper, v.Lower} {
		lo, hi := box(edge)
		sx := wide / (hi.X - lo.X)
		times := easy(high / max(hi.Y-lo.Y, 0.01) / sx)
		name := [...]string{"top's edge", "back's edge"}[i]
		f.Text(Point{X: left, Y: y}, picture.Start, fmt.Sprintf("%s, heights %s times", name, measure.FormatShort(times, 1)))
		y += picture.Line / 2
		fr := frame{lo: lo, hi: hi, at: Point{X: left, Y: y}, sx: sx, sy: times * sx}
		f.Line(picture.Medium, fr.ps(edge)...)
		f.level(fr, hi.Y, v.Ruler.Length(hi.Y, 2))
		f.level(fr, lo.Y, v.Ruler.Length(lo.Y, 2))
		f.About += fmt.Sprintf("The %s runs between %s and %s, drawn %s times higher than long. ", name, v.Ruler.Length(lo.Y, 2), v.Ruler.Length(hi.Y, 2), measure.FormatShort(times, 1))
		if y += fr.high() + gap; i == 0 {
			f.Line(picture.Air, Point{X: left, Y: y}, Point{X: left + wide, Y: y})
			y += gap + picture.Line/2
		}
		marks = fr
	}
	f.names(v.Marks, func(x float64) float64 { return left + (x-marks.lo.X)*marks.sx }, y+2)
	f.Height = y + picture.Line
	f.About += "Tail at the left, head at the right."
	return f.Figure
}

// Sanding draws how much has to come off round the rim, as a curve over the lap.
func Sanding(v SandingView, title string, size Size) *Figure {
	const left, top, high = 22.0, 2.0, 24.0
	f := newPaper(size.Width, top+high+2*picture.Line, title)
	wide := size.Width - left - 5
	least, most := math.Inf(1), 0.0
	for _, l := range v.Left {
		least, most = min(least, l), max(most, l)
	}
	if len(v.Left) == 0 {
		return f.Figure
	}
	low := min(0, least)
	span := max(most-low, 1e-6)
	fr := frame{lo: Point{Y: low}, hi: Point{X: 1, Y: low + span}, at: Point{X: left, Y: top}, sx: wide, sy: high / span}
	ring := []Point{fr.p(Point{})}
	for i := 0; i <= len(v.Left); i++ {
		ring = append(ring, fr.p(Point{X: float64(i) / float64(len(v.Left)), Y: v.Left[i%len(v.Left)]}))
	}
	ring = append(ring, fr.p(Point{X: 1}))
	f.Area(0.8, ring...)
	f.Line(picture.Medium, ring[1:len(ring)-1]...)
	f.Line(picture.Thin, Point{X: left, Y: top + high}, Point{X: left + wide, Y: top + high})
	f.level(fr, most, v.Ruler.Length(most, 2))
	f.level(fr, low, v.Ruler.Length(low, 2))
	f.names(v.Marks, func(share float64) float64 { return left + wide*share }, top+high+picture.Line+1)
	f.About = fmt.Sprintf("A curve of what has to come off round the rim, from the tail over the right side to the head and back: between %s and %s.", v.Ruler.Length(least, 2), v.Ruler.Length(most, 2))
	return f.Figure
}

// Touched draws how much of the rim the dish touches as it comes down.
func Touched(v SandingView, title string, size Size) *Figure {
	const row, left, right = picture.Line, 24.0, 18.0
	f := newPaper(size.Width, 2+row*float64(len(v.Steps)), title)
	for i, s := range v.Steps {
		y := row * float64(i)
		share := max(0, min(1, s.Touched))
		if math.IsNaN(share) {
			share = 0
		}
		bar := func(wide float64) []Point {
			return []Point{{X: left, Y: y + 0.6}, {X: left + wide, Y: y + 0.6}, {X: left + wide, Y: y + row - 0.6}, {X: left, Y: y + row - 0.6}}
		}
		f.Area(0.45, bar((size.Width-left-right)*share)...)
		f.Ring(picture.Thin, bar(size.Width-left-right)...)
		f.Text(Point{X: left - 1.5, Y: y + row - 0.9}, picture.End, v.Ruler.Length(s.By, 2))
		f.Text(Point{X: size.Width - 1, Y: y + row - 0.9}, picture.End, measure.FormatFixed(100*share, 1)+" %")
		f.About += fmt.Sprintf("Lowered by %s it touches %s %%. ", v.Ruler.Length(s.By, 2), measure.FormatFixed(100*share, 1))
	}
	return f.Figure
}

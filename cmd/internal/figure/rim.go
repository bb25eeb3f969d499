package figure

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cmd/internal/draw"
	"dishwright/dish/measure"
)

// Rim draws the outline of a body from above, the tail at the left, with the labels
// beside it.
func Rim(v draw.RimView, title string) *Figure {
	const margin = 17.0
	lo, hi := box(v.Outline)
	fr := fit(lo, hi, Width-2*margin, 110, margin, 9)
	f := New(Width, fr.high()+24, title)
	f.Line(Axis, fr.p(draw.Point{X: lo.X - 8/fr.sx}), fr.p(draw.Point{X: hi.X + 8/fr.sx}))
	for _, b := range v.Braces {
		f.Line(Dashed, fr.ps(b)...)
	}
	for _, b := range v.Blocks {
		f.Ring(Medium, fr.ps(b)...)
	}
	f.Ring(Bold, fr.ps(v.Outline)...)
	f.About = "The outline from above, the tail at the left, the head at the right, the centre line dashed."
	if v.Apex != nil {
		f.cross(fr.p(*v.Apex), 2.2)
		f.About += " A cross marks the top's apex."
	}
	middle := fr.p(draw.Point{X: (lo.X + hi.X) / 2, Y: (lo.Y + hi.Y) / 2})
	var said []string
	var taken [][4]float64 // left, top, right, bottom
	for _, l := range v.Labels {
		at := fr.p(l.At)
		f.Dots(1.2, []Point{at})
		dx, dy := at.X-middle.X, at.Y-middle.Y
		far := max(math.Hypot(dx, dy), 1e-9)
		dx, dy = dx/far, dy/far
		anchor, place := Middle, Point{X: at.X + 2*dx, Y: at.Y + 3*dy + 1.1}
		switch {
		case math.Abs(dy) < 0.15 && math.Abs(dx) > 0.5: // beside the centre line, not on it
			anchor, place.Y = beside(dx), at.Y-1.2
		case math.Abs(dx) > 0.35:
			anchor = beside(dx)
		}
		said = append(said, l.Text)
		w := TextWidth(l.Text)
		left := place.X - w*[...]float64{0, 0.5, 1}[anchor]
		here := [4]float64{left, place.Y - TextSize, left + w, place.Y}
		free := true
		for _, t := range taken {
			free = free && (here[0] > t[2]+0.5 || here[2] < t[0]-0.5 || here[1] > t[3]+0.2 || here[3] < t[1]-0.2)
		}
		if free { // half a number would be a wrong one
			f.Text(place, anchor, l.Text)
			taken = append(taken, here)
		}
	}
	if len(said) > 0 {
		f.About += " Beside it stand heights, round from the tail: " + strings.Join(said, ", ") + "."
	}
	f.Text(Point{X: 1, Y: fr.high() + 22}, Start, "tail at the left; +: apex; dashed: braces")
	return f
}

// beside is the anchor of a text to the left or the right of its place.
func beside(dx float64) Anchor {
	if dx < 0 {
		return End
	}
	return Start
}

// Strip draws a side unrolled: its two edges, each with its heights drawn larger, the
// middle of the side left out.
func Strip(v draw.StripView, title string) *Figure {
	const left, high, gap = 16.0, 20.0, 7.0
	f := New(Width, 0, title)
	y := 6.0
	wide := Width - left - 5
	var marks frame
	for i, edge := range [...][]draw.Point{v.Upper, v.Lower} {
		lo, hi := box(edge)
		sx := wide / (hi.X - lo.X)
		times := easy(high / max(hi.Y-lo.Y, 0.01) / sx)
		fr := frame{lo: lo, hi: hi, at: Point{X: left, Y: y}, sx: sx, sy: times * sx}
		f.Line(Bold, fr.ps(edge)...)
		name := [...]string{"top's edge", "back's edge"}[i]
		f.Text(Point{X: left + wide, Y: y - 2}, End, fmt.Sprintf("%s, heights %s times", name, measure.FormatShort(times, 1)))
		f.level(fr, hi.Y)
		if (hi.Y-lo.Y)*fr.sy > TextSize {
			f.level(fr, lo.Y)
		}
		f.About += fmt.Sprintf("The %s runs between %s and %s mm, drawn %s times higher than long. ", name, measure.FormatFixed(lo.Y, 2), measure.FormatFixed(hi.Y, 2), measure.FormatShort(times, 1))
		if y += fr.high(); i == 0 {
			for x := left; x < left+wide-4; x += 8 {
				f.Line(Thin, Point{X: x, Y: y + gap/2}, Point{X: x + 2, Y: y + gap/2 - 1}, Point{X: x + 4, Y: y + gap/2 + 1}, Point{X: x + 6, Y: y + gap/2})
			}
			y += gap + 4
		}
		marks = fr
	}
	f.names(v.Marks, func(x float64) float64 { return left + (x-marks.lo.X)*marks.sx }, y+TextSize+1.5)
	f.Height = y + TextSize + 4
	f.About += "Tail at the left, head at the right."
	return f
}

// names writes the names of places in a row, those that find no room left out.
func (f *Figure) names(marks []draw.Label, x func(float64) float64, y float64) {
	free := 0.0
	for _, m := range marks {
		half := TextWidth(m.Text) / 2
		at := max(half+0.5, min(x(m.At.X), f.Width-half-0.5))
		if at-half < free {
			continue
		}
		f.Text(Point{X: at, Y: y}, Middle, m.Text)
		free = at + half + 1
	}
}

// Sanding draws how much has to come off round the rim, as a curve over the lap.
func Sanding(v draw.SandingView, title string) *Figure {
	const left, top, high = 16.0, 9.0, 26.0
	f := New(Width, top+high+8, title)
	wide := Width - left - 5
	least, most := math.Inf(1), 0.0
	for _, l := range v.Left {
		least, most = min(least, l), max(most, l)
	}
	if len(v.Left) == 0 {
		return f
	}
	low := min(0, least)
	span := max(most-low, 1e-6)
	x := func(share float64) float64 { return left + wide*share }
	y := func(l float64) float64 { return top + high*(1-(l-low)/span) }
	ring := []Point{{X: left, Y: y(0)}}
	for i := 0; i <= len(v.Left); i++ {
		l := v.Left[i%len(v.Left)]
		ring = append(ring, Point{X: x(float64(i) / float64(len(v.Left))), Y: y(l)})
	}
	ring = append(ring, Point{X: left + wide, Y: y(0)})
	f.Area(0.8, ring...)
	f.Line(Bold, ring[1:len(ring)-1]...)
	f.Line(Medium, Point{X: left, Y: top}, Point{X: left, Y: top + high}, Point{X: left + wide, Y: top + high})
	for _, l := range [...]float64{most, low} {
		f.Text(Point{X: left - 1.5, Y: y(l) + 1.1}, End, measure.FormatFixed(l, 2))
	}
	f.Text(Point{X: 1, Y: 4.5}, Start, "to come off, mm")
	f.names(v.Marks, x, top+high+5)
	f.About = fmt.Sprintf("A curve of what has to come off round the rim, from the tail over the right side to the head and back: between %s and %s mm.", measure.FormatFixed(least, 2), measure.FormatFixed(most, 2))
	return f
}

// Touched draws how much of the rim the dish touches as it comes down.
func Touched(v draw.SandingView, title string) *Figure {
	const row = 5.0
	f := New(Width, 4+row*float64(len(v.Steps)), title)
	const left, right = 24.0, 18.0
	for i, s := range v.Steps {
		y := 2 + row*float64(i)
		share := max(0, min(1, s.Touched))
		wide := (Width - left - right) * share
		f.Ring(Thin, Point{X: left, Y: y + 0.8}, Point{X: Width - right, Y: y + 0.8}, Point{X: Width - right, Y: y + row - 0.8}, Point{X: left, Y: y + row - 0.8})
		f.Area(0.45, Point{X: left, Y: y + 0.8}, Point{X: left + wide, Y: y + 0.8}, Point{X: left + wide, Y: y + row - 0.8}, Point{X: left, Y: y + row - 0.8})
		f.Text(Point{X: left - 1.5, Y: y + row - 1.4}, End, measure.FormatFixed(s.By, 2)+" mm")
		f.Text(Point{X: Width - 1, Y: y + row - 1.4}, End, measure.FormatFixed(100*share, 1)+" %")
		f.About += fmt.Sprintf("Lowered by %s mm it touches %s %%. ", measure.FormatFixed(s.By, 2), measure.FormatFixed(100*share, 1))
	}
	return f
}

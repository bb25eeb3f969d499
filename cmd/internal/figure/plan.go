package figure

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/draw"
	"dishwright/dish"
)

// closest is how near passes are drawn to one another, mm of paper: nearer ones run
// together in print.
const closest = 0.9

// Plan draws the passes seen from above; where they would run together every second,
// third, … of them.
func Plan(v draw.PlanView, title string) *Figure {
	edge := draw.BlankOutline(v.Blank)
	lo, hi := box(edge)
	for _, fence := range v.HoldDowns {
		for _, h := range fence.Round() {
			lo = draw.Point{X: min(lo.X, h.X-h.Radius), Y: min(lo.Y, h.Y-h.Radius)}
			hi = draw.Point{X: max(hi.X, h.X+h.Radius), Y: max(hi.Y, h.Y+h.Radius)}
		}
	}
	fr := fit(lo, hi, Width-4, 150, 2, 2)
	f := New(Width, fr.high()+10, title)
	drawn, every, total := f.passes(fr, v)
	if v.Rim > 0 {
		f.Circle(Medium, fr.p(draw.Point{}), v.Rim*fr.sx)
	}
	f.blank(fr, edge)
	for _, h := range v.HoldDowns {
		f.standing(fr, h)
	}
	f.cross(fr.p(draw.Point{}), 2)
	note := "every pass drawn"
	if every > 1 {
		note = fmt.Sprintf("one of %d passes drawn, %d of %d", every, drawn, total)
	}
	f.Text(Point{X: 2, Y: fr.high() + 7.5}, Start, note+"; dashed: traverses in the air")
	f.About = fmt.Sprintf("Seen from above, X to the right and Y up: the blank's edge, %d passes of the cutter inside it, the hold-downs as crossed circles (%d), the middle as a cross.", total, len(v.HoldDowns))
	return f
}

// standing draws what stands about: a crossed circle, or a fence with round ends and a
// cross at each.
func (f *Figure) standing(fr frame, h draw.Disc) {
	r := h.Radius * fr.sx
	a, b := fr.p(draw.Point{X: h.X, Y: h.Y}), fr.p(draw.Point{X: h.X + h.DX, Y: h.Y + h.DY})
	f.cross(a, r*0.7)
	if h.DX == 0 && h.DY == 0 {
		f.Circle(Bold, a, r)
		return
	}
	f.cross(b, r*0.7)
	const half = 12
	start := math.Atan2(b.Y-a.Y, b.X-a.X) + math.Pi/2
	var ring []Point
	for end, at := range [...]Point{a, b} {
		for k := range half + 1 {
			sin, cos := math.Sincos(start + math.Pi*(float64(k)/half+float64(end)))
			ring = append(ring, Point{X: at.X + r*cos, Y: at.Y + r*sin})
		}
	}
	f.Ring(Bold, ring...)
}

// passes draws the passes and the traverses between those that are drawn.
func (f *Figure) passes(fr frame, v draw.PlanView) (drawn, every, total int) {
	length := 0.0
	var all []draw.Point
	for _, p := range v.Passes {
		if p.Traverse {
			continue
		}
		total++
		for i, q := range p.Points {
			if i > 0 {
				length += math.Hypot(q.X-p.Points[i-1].X, q.Y-p.Points[i-1].Y)
			}
			all = append(all, q)
		}
	}
	if total == 0 {
		return 0, 1, 0
	}
	lo, hi := box(all)
	area := (hi.X - lo.X) * (hi.Y - lo.Y)
	if v.Rim > 0 {
		area = min(area, math.Pi*v.Rim*v.Rim)
	}
	if every = 1; distinct(fr, v.Passes) > area*fr.sx*fr.sx/closest {
		every = max(1, min(total, int(math.Ceil(closest*length/max(area, 1)/fr.sx))))
	}
	var cuts, jumps [][]Point
	n := 0
	for _, p := range v.Passes {
		if p.Traverse {
			if every == 1 {
				jumps = append(jumps, fr.ps(p.Points))
			}
			continue
		}
		if n%every == every/2 {
			cuts = append(cuts, fr.ps(p.Points))
		}
		n++
	}
	f.Lines(Pen{Width: 0.12, Dash: []float64{0.8, 0.8}}, jumps)
	f.Lines(Pen{Width: 0.18}, cuts)
	return len(cuts), every, total
}

// distinct is about how long the passes are on the paper, mm, what lies on one another,
// as the layers of roughing do, counted once.
func distinct(fr frame, passes []draw.Pass) float64 {
	const cell = 0.3
	seen := map[[2]int]bool{}
	for _, p := range passes {
		if p.Traverse {
			continue
		}
		for i := 1; i < len(p.Points); i++ {
			a, b := fr.p(p.Points[i-1]), fr.p(p.Points[i])
			n := min(10_000, int(math.Hypot(b.X-a.X, b.Y-a.Y)/cell)+1)
			for k := range n {
				t := float64(k) / float64(n)
				seen[[2]int{int((a.X + t*(b.X-a.X)) / cell), int((a.Y + t*(b.Y-a.Y)) / cell)}] = true
			}
		}
	}
	return cell * float64(len(seen))
}

// BlankView is the blank with what has to be found on it.
type BlankView struct {
	Blank     dish.Blank
	Rim       float64        // of a round face; 0 for another
	Edges     [][]draw.Point // of the face where it is not round, or of templates
	HoldDowns []draw.Disc
	Room      []draw.Disc // where there is room to hold
	Touch     *draw.Point // where Z0 is touched off; nil for the bed
	Marks     []Mark      // at the edge, by which the blank is laid in its setups
	Length    func(mm float64) string
}

// Mark is a short line from a place of the blank's edge inward, with its number.
type Mark struct {
	At, In draw.Point
	Name   string
}

// Blank draws the blank with its dimensions, the zero, and where to touch off.
func Blank(v BlankView, title string) *Figure {
	edge := draw.BlankOutline(v.Blank)
	lo, hi := box(edge)
	const left, top, below = 24.0, 8.0, 12.0
	fr := fit(lo, hi, Width-2*left, 90, left, top)
	f := New(Width, top+fr.high()+below+30, title)
	f.blank(fr, edge)
	zero := fr.p(draw.Point{})
	if v.Rim > 0 {
		f.Circle(Medium, zero, v.Rim*fr.sx)
	}
	for _, e := range v.Edges {
		f.Ring(Medium, fr.ps(e)...)
	}
	for _, h := range v.Room {
		f.Circle(Dashed, fr.p(draw.Point{X: h.X, Y: h.Y}), h.Radius*fr.sx)
	}
	for _, h := range v.HoldDowns {
		f.standing(fr, h)
	}
	f.Line(Axis, Point{X: fr.at.X - 4, Y: zero.Y}, Point{X: fr.at.X + fr.wide() + 4, Y: zero.Y})
	f.Line(Axis, Point{X: zero.X, Y: top - 4}, Point{X: zero.X, Y: top + fr.high() + 4})
	f.arrow(zero, 9, 0, "X")
	f.arrow(zero, 0, -9, "Y")
	f.Text(Point{X: zero.X - 1, Y: zero.Y + 4}, End, "X0 Y0")
	for _, m := range v.Marks {
		at, in := fr.p(m.At), fr.p(m.In)
		f.Line(Bold, at, in)
		f.Text(Point{X: in.X + 0.6*(in.X-at.X), Y: in.Y + 0.6*(in.Y-at.Y) + 1.2}, Middle, m.Name)
	}
	if v.Touch != nil {
		at := fr.p(*v.Touch)
		f.Area(0, Point{X: at.X, Y: at.Y}, Point{X: at.X - 1.6, Y: at.Y - 3}, Point{X: at.X + 1.6, Y: at.Y - 3})
		f.Text(Point{X: at.X, Y: at.Y - 3.8}, Middle, "Z0")
	}
	// The dimensions below; the height of a rectangle beside it.
	y := top + fr.high() + 9
	f.measureX(fr.at.X, fr.at.X+fr.wide(), y, v.Length(v.Blank.Length))
	x := fr.at.X + fr.wide() + 6
	f.Line(Thin, Point{X: x, Y: top}, Point{X: x, Y: top + fr.high()})
	for _, at := range [...]float64{top, top + fr.high()} {
		f.Line(Medium, Point{X: x - 0.9, Y: at + 0.9}, Point{X: x + 0.9, Y: at - 0.9})
	}
	f.Text(Point{X: x + 1.5, Y: top + fr.high()/2 + 1}, Start, v.Length(v.Blank.Width))
	f.side(v, y+8, left)
	f.About = "The blank from above with its length and width, the zero in its middle, X to the right, Y up; below it the blank from the side with its thickness."
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
	return f
}

// side draws the blank from the side: its thickness, and where Z0 is.
func (f *Figure) side(v BlankView, y, left float64) {
	const high = 9.0
	a, b := left, Width-left
	f.Ring(Bold, Point{X: a, Y: y}, Point{X: b, Y: y}, Point{X: b, Y: y + high}, Point{X: a, Y: y + high})
	for x := a + 3; x < b+high; x += 3 { // hatched, as wood in a section is
		f.Line(Thin, Point{X: min(x, b), Y: y + max(0, x-b)}, Point{X: max(a, x-high), Y: y + min(high, x-a)})
	}
	f.Text(Point{X: b + 1.5, Y: y + high/2 + 1}, Start, v.Length(v.Blank.Thickness))
	at, word := y, "Z0, top"
	if v.Touch == nil {
		at, word = y+high, "Z0, bed"
	}
	f.Line(Medium, Point{X: a - 6, Y: at}, Point{X: a, Y: at})
	f.Text(Point{X: a - 7, Y: at + 1}, End, word)
}

// arrow draws an axis with its letter.
func (f *Figure) arrow(from Point, dx, dy float64, label string) {
	to := Point{X: from.X + dx, Y: from.Y + dy}
	f.Line(Bold, from, to)
	n := math.Hypot(dx, dy)
	ux, uy := dx/n, dy/n
	f.Area(0, to, Point{X: to.X - 2.4*ux + 0.9*uy, Y: to.Y - 2.4*uy + 0.9*ux}, Point{X: to.X - 2.4*ux - 0.9*uy, Y: to.Y - 2.4*uy - 0.9*ux})
	f.Text(Point{X: to.X + 2.2*ux + 1.4*math.Abs(uy), Y: to.Y + 2.2*uy*0.3 + 1.1*math.Abs(ux)}, Start, label)
}

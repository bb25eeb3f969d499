package figure

import (
	"fmt"
	"math"

	"dishwright/cmd/internal/picture"
)

// Plan draws the passes seen from above, over what is left where the view has it: as many
// of them as do not run together.
func Plan(v PlanView, title string, size Size) *Figure {
	edge := Outline(v.Blank)
	lo, hi := box(edge)
	for _, fence := range v.HoldDowns {
		for _, h := range [...]Point{{X: fence.X, Y: fence.Y}, {X: fence.X + fence.DX, Y: fence.Y + fence.DY}} {
			if math.Abs(h.X) < 3*hi.X && math.Abs(h.Y) < 3*hi.Y {
				lo = Point{X: min(lo.X, h.X-fence.Radius), Y: min(lo.Y, h.Y-fence.Radius)}
				hi = Point{X: max(hi.X, h.X+fence.Radius), Y: max(hi.Y, h.Y+fence.Radius)}
			}
		}
	}
	f := newPaper(size.Width, 0, title)
	at := f.lay(lo, hi, size, func(fr frame) []picture.Key { return v.keys(fr, size) })
	f.Height = at.bottom
	fr := at.frame
	for _, m := range [...]*MapView{v.Depth, v.Left} {
		if m != nil {
			f.Shade(m.shade(fr))
		}
	}
	cuts, jumps, drawn, total := v.passes(fr, size)
	f.Lines(picture.Air, jumps)
	f.Lines(picture.Pass, cuts)
	if v.Rim > 0 {
		f.Circle(picture.Rim, fr.p(Point{}), v.Rim*fr.sx)
	}
	f.blank(fr, edge)
	for _, h := range v.HoldDowns {
		f.standing(fr, h)
	}
	f.cross(picture.Medium, fr.p(Point{}), 2)
	if v.Left != nil {
		f.largest(fr, *v.Left)
	}
	f.About = fmt.Sprintf("Seen from above, X to the right and Y up: the blank's edge, the cutter's %s inside it, the hold-downs as crossed circles (%d), the middle as a cross.",
		shown(drawn, total), len(v.HoldDowns))
	return f.Figure
}

// laid is where a drawing and its keys are on the paper.
type laid struct {
	frame
	bottom float64
}

// lay puts a drawing of a box of the work on the paper, as large as there is room for,
// and its keys beside it where the room there is wide enough, else below.
func (f paper) lay(lo, hi Point, size Size, keys func(frame) []picture.Key) laid {
	const margin, column = 2.0, 44.0
	tall := fit(lo, hi, size.Width-2*margin, size.Height-2*margin, margin, margin)
	if rest := size.Width - 2*margin - tall.wide(); rest >= column+4 {
		tall.at.X = margin
		f.Height = size.Height
		high := f.Keys(Point{X: tall.wide() + margin + 4}, rest-4, keys(tall))
		return laid{tall, max(tall.high()+2*margin, high+margin)}
	}
	need := picture.KeysHeight(size.Width-2*margin, keys(tall)) // may change a little with the scale
	fr := fit(lo, hi, size.Width-2*margin, max(size.Height-need-2*margin-1, size.Height/3), margin, margin)
	below := math.Ceil((fr.high()+2*margin)/picture.Line) * picture.Line
	f.Height = size.Height
	return laid{fr, below + f.Keys(Point{X: margin, Y: below}, size.Width-2*margin, keys(fr))}
}

// passes returns the lines to draw, and how many passes are drawn of how many there are.
func (v PlanView) passes(fr frame, size Size) (cuts, jumps [][]Point, drawn, total int) {
	var all [][]Point
	var of []int // the pass that each belongs to
	for i, p := range v.Passes {
		if p.Traverse || p.Link {
			continue
		}
		for _, turn := range turns(onPaper(fr, p.Points)) {
			if len(turn) > 1 {
				all, of = append(all, turn), append(of, i)
			}
		}
	}
	apart := size.Apart
	if v.Close {
		apart = min(apart, 1)
	}
	keep := thinned(all, apart)
	whole := make([]bool, len(v.Passes))
	for i := range v.Passes {
		whole[i] = true
	}
	for i, k := range keep {
		if k {
			cuts = append(cuts, all[i])
		} else {
			whole[of[i]] = false
		}
	}
	drawn, total = len(cuts), len(all)
	for i, p := range v.Passes {
		switch both := (i == 0 || whole[i-1]) && (i+1 == len(v.Passes) || whole[i+1]); {
		case p.Link && both:
			cuts = append(cuts, onPaper(fr, p.Points))
		case p.Traverse && drawn == total:
			jumps = append(jumps, onPaper(fr, p.Points))
		}
	}
	return cuts, jumps, drawn, total
}

// onPaper returns the places on the paper, without those that are none.
func onPaper(fr frame, points []Point) (list []Point) {
	const far = 1e4
	for _, p := range points {
		if q := fr.p(p); math.Abs(q.X) < far && math.Abs(q.Y) < far {
			list = append(list, q)
		}
	}
	return list
}

// shown says how many of the runs that are passes are drawn. It counts none: a pass may be drawn
// in several runs.
func shown(drawn, total int) string {
	switch n := math.Round(float64(total) / float64(drawn)); {
	case drawn == total:
		return "passes"
	case n < 2:
		return "passes, most of them drawn"
	default:
		return fmt.Sprintf("passes, 1 in %.0f drawn", n)
	}
}

// keys are what the signs of a plan stand for.
func (v PlanView) keys(fr frame, size Size) (list []picture.Key) {
	_, jumps, drawn, total := v.passes(fr, size)
	if total == 0 {
		list = append(list, picture.Key{Words: "no passes"})
	} else {
		list = append(list, picture.KeyOf(picture.Pass, shown(drawn, total)))
	}
	if len(jumps) > 0 {
		list = append(list, picture.KeyOf(picture.Air, "traverses in the air"))
	}
	if v.Rim > 0 {
		list = append(list, picture.KeyOf(picture.Rim, "rim, "+v.Ruler.Length(2*v.Rim, 1)+" across"))
	}
	list = append(list, picture.KeyOf(picture.Bold, "blank, "+v.Ruler.Length(v.Blank.Length, 1)+" by "+v.Ruler.Length(v.Blank.Width, 1)))
	if len(v.HoldDowns) > 0 {
		list = append(list, picture.Key{Words: "hold-downs", Draw: func(f *Figure, at Point) {
			paper{f}.standing(frame{at: Point{X: at.X + 1.5, Y: at.Y}, sx: 1, sy: 1}, Disc{Radius: 1.5})
		}})
	}
	list = append(list, picture.Key{Words: "apex, X0 Y0; X to the right, Y up", Draw: func(f *Figure, at Point) { paper{f}.cross(picture.Medium, Point{X: at.X + 2, Y: at.Y}, 1.8) }})
	for _, m := range [...]*MapView{v.Depth, v.Left} {
		if m != nil {
			list = append(list, m.keys(fr)...)
		}
	}
	return list
}

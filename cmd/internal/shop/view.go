package shop

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"dishwright/cam/work"
	"dishwright/cmd/internal/figure"
	"dishwright/cmd/internal/picture"
	"dishwright/cmd/internal/tell"
	"dishwright/dish"
)

// Still draws what is asked for as characters, 40 rows of them at most where the look has
// 80 columns.
func (list Scenes) Still(name string, a Ask, look picture.Look) (string, error) {
	s := list.of(a.Stage)
	v, err := s.see(a)
	if errors.Is(err, errNothing) {
		return "nothing is cut yet\n", nil
	} else if err != nil {
		return "", err
	}
	rows := func(text string) int { return strings.Count(text, "\n") }
	head, foot := picture.Sentence(name, look), ""
	if last := list[len(list)-1]; last.first+len(last.stages) > 1 {
		foot = picture.Sentence("stages: "+list.names()+"; --stage N shows one", look)
		if rows(foot) > 3 {
			foot = picture.Sentence(fmt.Sprintf("stages: 1 to %d; --stage N shows one", last.first+len(last.stages)), look)
		}
	}
	room, below := 40-rows(head)-rows(foot), ""
	if s.w.HasFace() && !a.alone() {
		section, _ := s.section(v, Ask{Section: &Line{}, Ruler: a.Ruler}, figure.SizeOf(look, 10)) // one through the apex meets the blank
		below = section.Characters(look)
	}
	one, err := s.view(v, a, figure.SizeOf(look, room-rows(below)-rows(picture.Sentence(v.title, look))))
	if err != nil {
		return "", err
	}
	return head + one.Characters(look) + below + foot, nil
}

// alone reports whether one view alone is asked for.
func (a Ask) alone() bool { return a.Passes || a.Remaining || a.Section != nil }

// view draws the one view that is asked for, by default the passes over what they leave.
func (s Scene) view(v seen, a Ask, size figure.Size) (*figure.Figure, error) {
	switch {
	case a.Passes || !a.alone():
		return s.planned(v, a, !a.Passes && s.w.HasFace(), size), nil
	case !s.w.HasFace():
		return nil, tell.Errorf("--passes draws what is cut", "templates have no face: nothing is left over it")
	case a.Remaining:
		return figure.Map(s.leftOver(v, a), "left above the wanted face after "+v.name, size), nil
	}
	size.Height /= 2
	return s.section(v, a, size)
}

// Pictures draws what is asked for: a view alone, or all that there is.
func (list Scenes) Pictures(a Ask) (all []*figure.Figure, err error) {
	if a.Stage > 0 {
		list = Scenes{list.of(a.Stage)}
	}
	for _, s := range list {
		v, err := s.see(a)
		if errors.Is(err, errNothing) && len(all) > 0 {
			continue // the share ends before this piece
		} else if err != nil {
			return nil, tell.Hint(err, "a larger share, such as --step 1/4")
		}
		if a.alone() {
			one, err := s.view(v, a, figure.Page)
			if err != nil {
				return nil, err
			}
			all = append(all, one)
			continue
		}
		cut := upToShare(s.stages, a.Share)
		if a.Stage > 0 {
			cut = []stage{v.stage}
		}
		if s.r != nil && a.all() {
			if laid := s.r.Laid(); laid != nil {
				all = append(all, laid)
			}
		}
		all = append(all, s.pictures(cut, v, a)...)
	}
	return all, nil
}

// pictures draws plans of stages, and a section and a map of what stands at the end.
func (s Scene) pictures(stages []stage, v seen, a Ask) (list []*figure.Figure) {
	for _, t := range stages {
		one := v
		one.stage, one.title = t, t.name+": "+t.pattern
		list = append(list, s.planned(one, a, false, figure.Page))
	}
	if !s.w.HasFace() || v.purpose == work.Extra {
		return list
	}
	a.Section = &Line{}
	section, _ := s.section(v, a, figure.Size{Width: figure.Page.Width, Height: 49}) // one through the apex meets the blank
	v.last = true
	title := fmt.Sprintf("left above the wanted face; %s is allowed", a.Ruler.Length(s.w.Scallop, 4))
	return append(list, section, figure.Map(s.leftOver(v, a), title, figure.Page))
}

// planned draws the passes, where it is asked for over what they leave.
func (s Scene) planned(v seen, a Ask, ground bool, size figure.Size) *figure.Figure {
	p := figure.PlanView{Blank: s.w.Blank, Rim: s.w.Face.Rim, HoldDowns: standing(s.w), Passes: passesOf(v.moves), Close: v.purpose == work.Extra, Ruler: a.Ruler}
	if !s.w.Round() {
		p.Rim = 0
	}
	if ground {
		left, depth := s.leftOver(v, a), s.depth(v, a)
		if left.Bare, left.Levels = true, left.Levels[3:]; !v.last {
			left.Levels = nil // before the finish much is left everywhere
		}
		p.Left, p.Depth = &left, &depth
	}
	return figure.Plan(p, v.title, size)
}

// depth shows how far below the blank's top what stands is.
func (s Scene) depth(v seen, a Ask) figure.MapView {
	const cells = 160
	x, y := s.w.Blank.Length/2, s.w.Blank.Width/2
	m := figure.MapView{Lo: r2.Vec{X: -x, Y: -y}, Hi: r2.Vec{X: x, Y: y}, Digits: 1, Ruler: a.Ruler, Bare: true, Silent: true, What: "depth below the blank's top:"}
	deepest := 0.0
	for j := range cells {
		row := make([]float64, cells)
		for i := range row {
			row[i] = -v.stock.Height(2*x*(float64(i)+0.5)/cells-x, y-2*y*(float64(j)+0.5)/cells)
			if row[i] > s.w.Blank.Thickness {
				row[i] = math.NaN() // beside the blank, or cut through
			}
			if row[i] > deepest {
				deepest = row[i]
			}
		}
		m.Values = append(m.Values, row)
	}
	for k := range 3 {
		m.Levels = append(m.Levels, deepest*(float64(k)+0.02)/3)
	}
	return m
}

// standing are the hold-downs and what else stands about.
func standing(w *work.Work) (list []figure.Disc) {
	for _, h := range work.Whole(w).Standing() {
		list = append(list, figure.Disc{X: h.X, Y: h.Y, Radius: h.Radius, DX: h.DX, DY: h.DY})
	}
	return list
}

// leftOver shows what stands above the wanted face: after the finish in shares of the
// scallop, before it in shares of what is left for finishing.
func (s Scene) leftOver(v seen, a Ask) figure.MapView { return s.leftIn(v.stock, v.last, a) }

// heights are what stands in a blank: a proof.Stock, or proof.Heights.
type heights interface {
	HeightMap(face dish.Face, cols, rows int) [][]float64
}

// leftIn is leftOver of heights, after the last stage that cuts the face or before it.
func (s Scene) leftIn(h heights, last bool, a Ask) figure.MapView {
	unit, allowed := s.left, 0.0
	if last {
		unit, allowed = s.w.Scallop, s.w.Scallop
	}
	rim := s.w.Face.Rim
	m := figure.MapView{Allowed: allowed, Lo: r2.Vec{X: -rim, Y: -rim}, Hi: r2.Vec{X: rim, Y: rim}, Digits: 3, Ruler: a.Ruler,
		Levels: []float64{0.25 * unit, 0.5 * unit, 0.75 * unit, unit, 2 * unit, 4 * unit}}
	const cells = 160
	m.Values = h.HeightMap(s.w.Face, cells, cells)
	if s.w.Round() {
		return m
	}
	for r, row := range m.Values { // the part of the face that counts
		for c := range row {
			x, y := 2*rim*(float64(c)+0.5)/cells-rim, rim-2*rim*(float64(r)+0.5)/cells
			if off, _ := s.w.Region.Off(x, y); off > 0 {
				row[c] = math.NaN()
			}
		}
	}
	return m
}

package job

import (
	"fmt"
	"math"
	"strings"

	"dishwright/cam/job/key"
	"dishwright/cam/path"
	"dishwright/cam/work"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// gauge is a set of templates that are cut out of a sheet.
type gauge struct{ Dish }

func (gauge) Word() string { return key.Gauge }

func (gauge) Words(j Job, own func(mm float64) string) Words { return gaugeWords{DishWords{j, own}} }

// Read reads templates for a list of radii.
func (gauge) Read(l *Reader) {
	w := &l.Job.Work
	w.Region = dish.Nowhere{}
	list, _ := l.Root.Entries("radii")
	long, okL := l.Root.Length("length")
	high, okH := l.Root.Quantity("height")
	depth := l.Root.Amount("engrave")
	var radii []measure.Length
	for _, v := range list {
		r, ok := v.Length()
		if !ok {
			continue
		}
		if okL && !(r.MM >= long.MM && r.MM <= l.Root.Key("radius").Most) {
			l.Doc.Fault(v.Pos(), fmt.Sprintf("a radius of %s does not suit a template of %s", r, long), l.like("at least its length; the domes of instruments have 4 m to 9 m"))
			continue
		}
		radii = append(radii, r)
	}
	l.Job.Radii, l.Job.Length = radii, long
	if len(radii) > 0 {
		l.Job.Radius = radii[0]
		w.Wanted = radii[0].MM
	}
	l.blank(w, "rectangle")
	l.holdDowns(w)
	l.obstacles(w)
	w.ZeroAtBed = l.Root.Word("zero") == "centre-bed"
	l.touchOff(w)
	w.ZeroError = l.Root.Amount("zero error")
	l.topPoints(w)
	l.corrected(w)
	w.Scallop = l.Root.Amount("scallop")
	w.Pattern = work.Auto
	l.shelf(w)
	l.soldSheet(w, high)
	l.touchable(w)
	held, okT := l.gaugeTabs(w)
	if !okL || !okH || !okT || len(radii) == 0 || w.Blank.Length == 0 || w.Blank.Width == 0 || w.Blank.Thickness == 0 {
		return
	}
	f, err := dish.NewFace(dish.Flat, 0, w.Blank.OuterRadius())
	if err != nil {
		return
	}
	w.Face = f
	l.layOut(w, high, depth, held)
}

// tabs are how templates are held while they are cut out, and the cutter that is named for it.
type tabs struct {
	count      int
	long, high float64
	cutter     string
}

// gaugeTabs reads how the templates are held: the cut-out of the extras.
func (l *Reader) gaugeTabs(w *work.Work) (t tabs, ok bool) {
	m, ok := l.Root.SectionOrEmpty("extras", key.Gauge)
	if !ok {
		return t, false
	}
	in, ok := m.SectionOrEmpty("cut out", key.Gauge)
	if !ok {
		return t, false
	}
	t.count, ok = in.Count("tabs")
	t.long, t.high, t.cutter = in.Amount("tab length"), min(1, w.Blank.Thickness/3), l.onShelf(in, "cutter", w)
	if in.Has("tab height") {
		t.high = in.Amount("tab height")
	}
	return t, ok
}

// layOut places the templates on the sheet, row by row, with their letters.
func (l *Reader) layOut(w *work.Work, high, depth float64, held tabs) {
	by := straight(w, held.cutter)
	long := l.Job.Length.MM
	gap := 2*by.Diameter + between
	deepest := 0.0
	for _, r := range l.Job.Radii {
		deepest = max(deepest, dish.Drop(r.MM, long/2))
	}
	row := high + deepest + gap
	across := int(max(0, math.Floor((w.Blank.Length-gap+1e-9)/(long+gap))))
	down := int(max(0, math.Floor((w.Blank.Width-gap+1e-9)/row)))
	if n := len(l.Job.Radii); across*down < n {
		cols := max(1, across)
		rows := (n + cols - 1) / cols
		l.Root.Fault("radii", fmt.Sprintf("%d templates of %s by %s have no room on the blank: %d fit", n, l.Job.Length, l.ruler().Length(high+deepest, 0), across*down),
			fmt.Sprintf("a blank of at least %s by %s, shorter templates, or fewer of them", l.ruler().Up(float64(float64(cols)*(long+gap))+gap, 0), l.ruler().Up(float64(float64(rows)*row)+gap, 0)))
		return
	}
	for i, r := range l.Job.Radii {
		cols := min(across, len(l.Job.Radii))
		col, line := i%cols, i/cols
		x := float64((float64(col) - float64(cols-1)/2) * (long + gap))
		rows := (len(l.Job.Radii) + cols - 1) / cols
		y := float64((float64(rows-1)/2-float64(line))*row) + deepest/2
		l.template(w, r, x, y, high, depth, work.CutOutWanted{Key: "extras/cut out", TabLength: held.long, TabHeight: held.high, Cutter: by.Name, Chord: dish.TemplateChordTolerance}, held.count)
	}
}

// straight returns the cutter that cuts the templates out: the one that is named, or
// of the straight ones that go through the sheet the widest of at most 8 mm, which is
// quick and leaves room, else the narrowest; empty where there is none.
func straight(w *work.Work, named string) (best path.Cutter) {
	const wide, through = 8.0, 0.5
	for _, c := range w.Shelf {
		switch {
		case c.Name == named:
			return c
		case named != "" || c.Shape != path.Flat || c.FluteLength < w.Blank.Thickness+through:
		case best.Name == "", c.Diameter <= wide && (best.Diameter > wide || c.Diameter > best.Diameter), best.Diameter > wide && c.Diameter < best.Diameter:
			best = c
		}
	}
	return best
}

// between is what stands between the slots of two templates, mm.
const between = 4.0

// template adds one template about (x, y): its edge, its tabs and its letters.
func (l *Reader) template(w *work.Work, r measure.Length, x, y, high, depth float64, o work.CutOutWanted, tabs int) {
	long := l.Job.Length.MM
	line, err := dish.TemplateLine(r.MM, long, high)
	if err != nil {
		l.Root.Fault("radii", l.tells(err), "a radius well above the length of the template, or a shorter template")
		return
	}
	for i := range line {
		line[i].X, line[i].Y = tenth(line[i].X+x), tenth(line[i].Y+y)
	}
	o.Name, o.Line = fmt.Sprintf("the template of %s", r), line
	o.Group = "the templates"
	// Not on the curved edges, which are what is used: on the straight ends, and where
	// more are wanted near the ends of the edges.
	o.Tabs = dish.TemplateTabs(line, tabs)
	w.Extras.CutOuts = append(w.Extras.CutOuts, o)
	text := strings.ToUpper(r.String()) + "  L " + strings.ToUpper(l.Job.Length.String())
	size := min(0.3*high, 12)
	strokes, wide := dish.Letters(text, size)
	if most := float64(0.8 * long); wide > most {
		size = float64(size * (most / wide))
		strokes, wide = dish.Letters(text, size)
	}
	mid := y - dish.Drop(r.MM, long/2)
	for _, s := range strokes {
		for i := range s {
			s[i].X, s[i].Y = tenth(s[i].X+x-wide/2), tenth(s[i].Y+mid-size/2)
		}
	}
	w.Extras.Letters = append(w.Extras.Letters, work.LettersWanted{Name: "the letters " + r.String(), Group: "the letters", Key: "engrave", Strokes: strokes, Depth: depth, Widest: max(0.8, size/4)})
}

type gaugeWords struct{ DishWords }

func (f gaugeWords) Product() string {
	var names []string
	for _, v := range f.Job.Radii {
		names = append(names, v.String())
	}
	return fmt.Sprintf("Gauge templates %s long, each with a concave and a convex edge, of radius %s", f.Job.Length, strings.Join(names, ", "))
}

func (gaugeWords) Depth() string { return "" }

func (f gaugeWords) Heading() string { return lower(f.Product()) }

func (f gaugeWords) Sizes() Sizes {
	s := Sizes{Length: f.Job.Length.MM, Radius: f.Job.Radius.MM}
	for _, v := range f.Job.Radii {
		s.Radii = append(s.Radii, v.MM)
	}
	return s
}

func (gaugeWords) Lies() (name, along string) { return "The sheet", "" }

func (gaugeWords) Checks() []string {
	return []string{
		"Lay a straightedge along the chord of an edge: in its middle the gap is the sagitta that is engraved or listed for its radius.",
		"Measure the thickness of the sheet at both ends: a sheet that is not flat moves when it is cut free.",
	}
}

func (gaugeWords) Use() (title string, practice bool, list []string) {
	return "Using the gauges", false, []string{
		"Hold a gauge square to the face, its edge over the apex, a lamp behind it: light in the middle means a curve that is too deep for its edge, light at both ends one that is too flat.",
		"Lay the hollow edge of one on the round edge of its fellow: no light may pass. If it does, one of them moved while it was cut.",
	}
}

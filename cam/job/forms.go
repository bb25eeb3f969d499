package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dishwright/cam"
	"dishwright/dish"
	"dishwright/dish/measure"
)

// forms are the tools that are made, with the keys that only some of them have.
var forms = []struct {
	name string
	own  []string
}{
	{"dish", []string{"radius", "diameter", "covering", "covering layout", "land"}},
	{"caul", []string{"radius", "diameter", "covering", "covering layout", "plate", "land"}},
	{"board", []string{"radius", "length", "width", "curve", "spans", "swing", "covering", "covering layout", "land"}},
	{"gauge", []string{"radii", "length", "height", "engrave"}},
	{"pair", []string{"radius", "diameter", "plate", "covering", "covering layout", "land"}},
	{"rim", nil},
}

// someOnly are the keys that not every form has.
var someOnly = []string{"radius", "diameter", "length", "width", "curve", "spans", "swing", "plate", "radii", "height", "engrave", "covering", "covering layout", "land"}

// hints for keys that another form has.
var instead = map[string]string{
	"diameter": "a board has length and width, a gauge radii and length", "length": "a dish or caul has a diameter", "width": "a dish or caul has a diameter",
	"radius": "radii: [15 ft, 25 ft]", "radii": "radius: 25 ft; only a gauge has radii", "plate": "only a caul or a pair presses a plate against a dish",
	"curve": "only a board may be cylindrical", "spans": "only a board spans the sides", "swing": "only a board is swung", "covering": "a gauge has no covering", "covering layout": "a gauge has no covering",
	"land": "the land is a flat ring round a face", "height": "only a gauge has a height", "engrave": "only a gauge is engraved",
}

// form reads which tool is made, and finds keys that it does not have.
func (l *loader) form() {
	names := make([]string, len(forms))
	for i, f := range forms {
		names[i] = f.name
	}
	l.job.Form = l.orWord("form", "a hollow dish", names...)
	if l.job.Form == "rim" {
		l.fault(l.root, "form", "a rim is worked out, not cut as a dish is", "dishwright rim JOB")
		return
	}
	for _, f := range forms {
		if f.name != l.job.Form {
			continue
		}
		for _, k := range someOnly {
			if l.root.Has(k) && !slices.Contains(f.own, k) {
				l.doc.Fault(l.root.KeyPos(k), fmt.Sprintf("a %s has no %s", f.name, k), instead[k])
			}
		}
	}
}

// face reads radius, size and covering, and makes the face that the wood is cut to.
func (l *loader) face(w *cam.Work) {
	board := l.job.Form == "board"
	l.root.Require("radius", "25 ft")
	radius, okR := l.length(l.root, "radius", 1, mostRadius)
	var rim float64
	var size string
	okD := false
	if board {
		rim, size, okD = l.strip(w)
	} else {
		l.root.Require("diameter", "600 mm")
		l.job.Diameter, okD = l.length(l.root, "diameter", leastDiameter, mostDiameter)
		rim, size = l.job.Diameter.MM/2, "a diameter of "+l.job.Diameter.String()
	}
	covering := measure.Length{}
	if l.root.Has("covering") {
		covering, _ = l.length(l.root, "covering", 0, mostCovering)
	}
	if l.job.Form == "pair" {
		l.root.Require("plate", "3 mm")
	}
	if l.root.Has("plate") {
		l.job.Plate, _ = l.length(l.root, "plate", 0, mostCovering)
	}
	if !okR || !okD {
		return
	}
	l.job.Radius = radius
	l.inches(radius, l.job.Diameter, l.job.Length, l.job.Width)
	w.Wanted, w.Covering = radius.MM, covering.MM
	kind, cut := dish.Hollow, radius.MM+covering.MM
	if l.job.Form == "caul" {
		w.Wanted -= l.job.Plate.MM
		kind, cut = dish.Crown, w.Wanted-covering.MM
	}
	if radius.MM <= rim || cut <= rim {
		l.fault(l.root, "radius", fmt.Sprintf("a sphere of radius %s is not wide enough for %s", radius, size),
			fmt.Sprintf("a radius well above %s; the domes of instruments have 4 m to 9 m", radius.With(rim)))
		return
	}
	f, err := dish.NewFace(kind, cut, rim)
	if err != nil {
		l.fault(l.root, "radius", err.Error(), "")
		return
	}
	f.Cylinder = w.Face.Cylinder
	w.Face = f
	if board {
		l.hand(w)
	}
}

// strip reads the size and the curve of a board; rim is the distance of its corners
// from its middle.
func (l *loader) strip(w *cam.Work) (rim float64, size string, ok bool) {
	l.root.Require("length", "600 mm")
	l.root.Require("width", "80 mm")
	long, okL := l.length(l.root, "length", leastDiameter, mostDiameter)
	wide, okW := l.length(l.root, "width", 10, mostDiameter)
	if !l.root.Has("curve") {
		l.took("curve", "spherical", "true at every angle to the sides")
	} else if word, _ := l.root.Word("curve", "spherical", "cylindrical"); word == "cylindrical" {
		w.Face.Cylinder = true
	}
	if !okL || !okW {
		return 0, "", false
	}
	if wide.MM > long.MM {
		l.fault(l.root, "width", fmt.Sprintf("a board %s wide is longer across than along (%s)", wide, long), "length is along the curve that is felt across the sides; exchange the two")
		return 0, "", false
	}
	l.job.Length, l.job.Width = long, wide
	w.Board = &dish.Strip{Length: long.MM, Width: wide.MM}
	return w.Board.Corner(), "a length of " + long.String(), true
}

const (
	// boardSwing is how far a board is swung to and fro along its length (common
	// practice, about): a third of that leaves rings in the wood.
	boardSwing = 50.0
	// bends of MDF, N/mm²: what EN 622-5 asks of boards of 12 to 19 mm (from memory).
	boardModulus = 2200.0
	// pressing is how hard a board is pressed with one hand, N (common practice, about).
	pressing = 20.0
)

// hand works out what a board can be used for by hand: the widest sides that it
// spans with its swing, and how far it bends under the hand.
func (l *loader) hand(w *cam.Work) {
	l.job.Swing = boardSwing
	if l.root.Has("swing") {
		l.job.Swing = l.mm(l.root, "swing", 1, mostDiameter)
	} else {
		l.took("swing", measure.Length{MM: boardSwing}.String(), "to and fro along the board while sanding")
	}
	span := w.Board.Length - l.job.Swing
	if l.root.Has("spans") {
		over, ok := l.length(l.root, "spans", leastDiameter, mostDiameter)
		if ok && over.MM > span {
			l.fault(l.root, "length", fmt.Sprintf("a board of %s swung by %s stays on both sides only up to %s apart; they are %s", l.job.Length, measure.Length{MM: l.job.Swing}, measure.Length{MM: math.Max(0, span)}, over),
				fmt.Sprintf("a length of at least %s, or a shorter swing", l.job.Length.With(math.Ceil(over.MM+l.job.Swing))))
			return
		}
		span = over.MM
	}
	l.job.Spans = span
}

// stiff says how far a board bends between the sides under a hand that presses its
// middle: F L³ / (48 E I), the handbooks' beam on two supports.
func (l *loader) stiff(w *cam.Work) {
	b := w.Board
	if b == nil || w.Blank.Thickness == 0 || l.job.Spans <= 0 {
		return
	}
	thin := w.Blank.Thickness - w.Face.Sagitta()
	if !(thin > 0) {
		return
	}
	bend := pressing * math.Pow(l.job.Spans, 3) / (48 * boardModulus * b.Width * thin * thin * thin / 12)
	l.job.Bends = bend
	message := fmt.Sprintf("pressed with %.0f N in the middle between sides %.0f mm apart, %.1f mm of MDF bend %.2f mm: a sphere of %.0f mm reads as about %.0f mm there", pressing, l.job.Spans, thin, bend,
		w.Wanted, 1/math.Max(1e-9, 1/w.Wanted-8*bend/(l.job.Spans*l.job.Spans)))
	hint := "press over the sides and not in the middle, or glue a rib on edge along the board's back"
	if bend > w.Scallop {
		l.job.Warnings = append(l.job.Warnings, cam.Warning{Kind: "board-bends", Message: message, Hint: hint + fmt.Sprintf("; a blank of %.0f mm would keep within the scallop", math.Ceil(thin*math.Cbrt(bend/w.Scallop)+w.Face.Sagitta()))})
	}
}

// CoveringLayout is how a flat covering is cut for a round face: in wedges, or in
// strips from a roll.
type CoveringLayout struct {
	Wedges int     // 0 for strips
	Width  float64 // of the strips, mm
	Gap    float64 // left at every seam, mm
}

// layout reads how the covering is cut.
func (l *loader) layout(w *cam.Work) {
	if !l.root.Has("covering layout") {
		return
	}
	m, ok := l.root.Map("covering layout")
	if !ok {
		return
	}
	m.Allow("wedges", "strips", "gap")
	c := &CoveringLayout{Gap: 0.5}
	if m.Has("gap") {
		c.Gap = l.mm(m, "gap", 0, 20)
	}
	switch {
	case m.Has("wedges") == m.Has("strips"):
		l.fault(l.root, "covering layout", "a covering is laid in wedges or in strips", "wedges: 8, or strips: 100 mm")
		return
	case m.Has("wedges"):
		n, ok := m.Int("wedges")
		if ok && (n < 2 || n > 72) {
			l.fault(m, "wedges", fmt.Sprintf("%d wedges", n), "2 to 72; 8 are usual")
			return
		}
		c.Wedges = n
	default:
		c.Width = l.mm(m, "strips", 5, mostBlank)
	}
	switch {
	case w.Board != nil:
		l.fault(l.root, "covering layout", "a board takes its covering in one piece", "remove it")
	case w.Covering == 0 && w.Face.Rim > 0:
		l.fault(l.root, "covering layout", "there is no covering to lay out", "covering: 0.6 mm beside it")
	case c.Wedges > 0 || c.Width > 0:
		l.job.Layout = c
	}
}

// mate makes the caul of a pair: the same sphere less the plate, in a blank like the
// dish's.
func (l *loader) mate(w *cam.Work) {
	if w.Face.Rim <= 0 {
		return
	}
	m := l.job
	m.Form, m.Paired, m.Mate, m.Layout = "caul", true, nil, nil
	cut := w.Wanted - l.job.Plate.MM
	f, err := dish.NewFace(dish.Crown, cut, w.Face.Rim)
	if err != nil {
		l.fault(l.root, "plate", fmt.Sprintf("a caul for a plate of %s has no radius left", l.job.Plate), "the thickness of the plate, 2 to 4 mm")
		return
	}
	m.Work.Face, m.Work.Wanted, m.Work.Covering = f, cut, 0
	m.Work.Name = w.Name + " caul"
	if m.Work.Extras.Lines != nil {
		lines := *m.Work.Extras.Lines
		lines.Face = true
		m.Work.Extras.Lines = &lines
	}
	l.job.Mate, l.job.Form = &m, "pair"
}

// gauge reads templates for a list of radii.
func (l *loader) gauge(w *cam.Work) {
	w.Gauge = true
	l.root.Require("radii", "[15 ft, 25 ft]")
	l.root.Require("length", "300 mm")
	long, okL := l.length(l.root, "length", 40, mostDiameter)
	high := measure.Length{MM: 40}
	if l.root.Has("height") {
		high, _ = l.length(l.root, "height", 15, 500)
	} else {
		l.took("height", high.String(), "room for the fingers and the letters")
	}
	depth := 0.3
	if l.root.Has("engrave") {
		depth = l.mm(l.root, "engrave", 0.05, 2)
	} else {
		l.took("engrave", "0.3 mm", "deep enough to read")
	}
	var radii []measure.Length
	if list, ok := l.root.List("radii"); ok {
		if len(list) == 0 || len(list) > mostTemplates {
			l.fault(l.root, "radii", fmt.Sprintf("%d radii", len(list)), fmt.Sprintf("1 to %d", mostTemplates))
		}
		for _, v := range list[:min(len(list), mostTemplates)] {
			r, ok := v.Length()
			if !ok {
				continue
			}
			if okL && !(r.MM >= long.MM && r.MM <= mostRadius) {
				l.doc.Fault(v.Pos(), fmt.Sprintf("a radius of %s does not suit a template of %s", r, long), fmt.Sprintf("at least its length; the domes of instruments have 4 m to 9 m"))
				continue
			}
			radii = append(radii, r)
		}
	}
	l.job.Radii, l.job.Length = radii, long
	if len(radii) > 0 {
		l.job.Radius = radii[0]
		w.Wanted = radii[0].MM
	}
	l.inches(append(radii, long)...)
	l.blank(w)
	l.holdDowns(w)
	w.ZeroAtBed = l.orWord("zero", "touched off on the sheet's top", "centre-top", "centre-bed") == "centre-bed"
	w.ZeroError = l.orLength(l.root, "zero error", 0, mostZeroError, 0.05, "a sheet of paper, felt carefully")
	w.Scallop = l.orLength(l.root, "scallop", cam.LeastScallop, mostScallop, 0.05, "how true the edges are held")
	for _, k := range [...]string{"rough", "finish", "pattern", "direction", "allowance", "floor", "spindle tilt", "undersize"} {
		if l.root.Has(k) {
			l.doc.Fault(l.root.KeyPos(k), fmt.Sprintf("a gauge has no %s: it has no face", k), "remove it")
		}
	}
	w.Pattern = cam.Auto
	l.shelf(w)
	tabs, tabLong, tabHigh, cutter := l.gaugeTabs(w)
	if !okL || len(radii) == 0 || w.Blank.Length == 0 || w.Blank.Thickness == 0 {
		return
	}
	f, err := dish.NewFace(dish.Flat, 0, w.Blank.Corner())
	if err != nil {
		return
	}
	w.Face = f
	l.layOut(w, high.MM, depth, tabs, tabLong, tabHigh, cutter)
}

// mostTemplates is more than a sheet has room for.
const mostTemplates = 40

// gaugeTabs reads how the templates are held: the cut-out of the extras.
func (l *loader) gaugeTabs(w *cam.Work) (n int, long, high float64, cutter string) {
	n, long, high = 4, usualTab, math.Min(1, w.Blank.Thickness/3)
	if !l.root.Has("extras") {
		return n, long, high, ""
	}
	m, ok := l.root.Map("extras")
	if !ok {
		return n, long, high, ""
	}
	l.mark("extras/", m)
	m.Allow("cut out")
	if in, ok := m.Map("cut out"); ok {
		in.Allow("tabs", "tab length", "tab height", "cutter")
		if in.Has("tabs") {
			if v, ok := in.Int("tabs"); ok {
				if n = v; n < 2 || n > mostTabs {
					l.fault(in, "tabs", fmt.Sprintf("%d tabs do not hold what is cut out", n), fmt.Sprintf("2 to %d; 3 to 8 are usual", mostTabs))
				}
			}
		}
		if in.Has("tab length") {
			long = l.mm(in, "tab length", leastTab, mostTab)
		}
		if in.Has("tab height") {
			high = l.mm(in, "tab height", 0.3, mostTab)
		}
		cutter = l.cutterFor(in, w)
	}
	return n, long, high, cutter
}

// layOut places the templates on the sheet, row by row, with their letters.
func (l *loader) layOut(w *cam.Work, high, depth float64, tabs int, tabLong, tabHigh float64, cutter string) {
	widest := 0.0
	for _, c := range w.Shelf {
		if (cutter == "" || c.Name == cutter) && c.FluteLength > w.Blank.Thickness {
			if widest == 0 || cutter != "" || c.Diameter < widest {
				widest = c.Diameter
			}
		}
	}
	if widest == 0 {
		widest = 6
	}
	// The narrowest straight cutter decides how close they may stand.
	for _, c := range w.Shelf {
		if cutter == "" && c.FluteLength > w.Blank.Thickness && c.Diameter > widest && c.Diameter <= 8 {
			widest = c.Diameter
		}
	}
	long := l.job.Length.MM
	gap := 2*widest + between
	deepest := 0.0
	for _, r := range l.job.Radii {
		deepest = math.Max(deepest, dish.Drop(r.MM, long/2))
	}
	row := high + deepest + gap
	across := int(math.Max(0, math.Floor((w.Blank.Length-gap+1e-9)/(long+gap))))
	down := int(math.Max(0, math.Floor((w.Blank.Width-gap+1e-9)/row)))
	if n := len(l.job.Radii); across*down < n {
		cols := max(1, across)
		rows := (n + cols - 1) / cols
		l.fault(l.root, "radii", fmt.Sprintf("%d templates of %s by %.0f mm have no room on the blank: %d fit", n, l.job.Length, high+deepest, across*down),
			fmt.Sprintf("a blank of at least %.0f by %.0f mm, shorter templates, or fewer of them", math.Ceil(float64(cols)*(long+gap)+gap), math.Ceil(float64(rows)*row+gap)))
		return
	}
	for i, r := range l.job.Radii {
		cols := min(across, len(l.job.Radii))
		col, line := i%cols, i/cols
		x := (float64(col) - float64(cols-1)/2) * (long + gap)
		rows := (len(l.job.Radii) + cols - 1) / cols
		y := (float64(rows-1)/2-float64(line))*row + deepest/2
		l.template(w, r, x, y, high, depth, cam.CutOutWanted{Key: "extras/cut out", TabLength: tabLong, TabHeight: tabHigh, Cutter: cutter}, tabs)
	}
}

// between is what stands between the slots of two templates, mm.
const between = 4.0

// template adds one template about (x, y): its edge, its tabs and its letters.
func (l *loader) template(w *cam.Work, r measure.Length, x, y, high, depth float64, o cam.CutOutWanted, tabs int) {
	long := l.job.Length.MM
	line, err := dish.TemplateLine(r.MM, long, high)
	if err != nil {
		l.fault(l.root, "radii", err.Error(), "")
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
	text := strings.ToUpper(r.String()) + "  L " + strings.ToUpper(l.job.Length.String())
	size := math.Min(0.3*high, 12)
	strokes, wide := dish.Letters(text, size)
	if most := 0.8 * long; wide > most {
		size *= most / wide
		strokes, wide = dish.Letters(text, size)
	}
	mid := y - dish.Drop(r.MM, long/2)
	for _, s := range strokes {
		for i := range s {
			s[i].X, s[i].Y = tenth(s[i].X+x-wide/2), tenth(s[i].Y+mid-size/2)
		}
	}
	w.Extras.Letters = append(w.Extras.Letters, cam.LettersWanted{Name: "the letters " + r.String(), Group: "the letters", Key: "engrave", Strokes: strokes, Depth: depth, Widest: math.Max(0.8, size/4)})
}
